//! A claim of reach, judged, as text, JSON or a drawing.

mod drawing;
mod text;

pub use drawing::drawing;
pub use text::text;

use wrackline_plan::cautions;
use wrackline_plan::reach::Answer;

/// What the programs say whenever a number could tempt somebody nearer.
pub const NOT_NEARER: &str = "Distance: a longer reach is never a reason to go nearer. Disturbing \
    protected animals is an offence in many places; keep the stand-off distance, whatever the \
    frame still lacks.";

/// The cautions of this program, in the order in which they are printed.
pub const CAUTIONS: [&str; 3] = [NOT_NEARER, cautions::LAW, cautions::WELFARE];

/// An answer with its question, assumptions and cautions as JSON.
///
/// # Errors
/// What serde_json cannot write; nothing that is in an answer.
pub fn json(answer: &Answer) -> serde_json::Result<String> {
    #[derive(serde::Serialize)]
    struct Whole<'a> {
        #[serde(flatten)]
        answer: &'a Answer,
        cautions: [&'static str; 3],
    }
    let mut text = serde_json::to_string_pretty(&Whole {
        answer,
        cautions: CAUTIONS,
    })?;
    text.push('\n');
    Ok(text)
}
