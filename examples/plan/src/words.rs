//! Words that are not known, answered with those that are.

/// A name that nothing has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no {what} \"{name}\" {among}{}", end(.remedy.as_deref()))]
pub struct Unknown {
    /// The kind of thing that was named.
    pub what: &'static str,
    /// The name, cut off where it is long.
    pub name: String,
    /// Where it was looked for, such as "in the scenario".
    pub among: String,
    /// What could be meant; `None` where there is nothing to be named.
    pub remedy: Option<String>,
}

impl Unknown {
    /// Of a name that is none of those known.
    pub fn new<'k>(
        what: &'static str,
        name: &str,
        among: impl Into<String>,
        known: impl Iterator<Item = &'k str>,
    ) -> Self {
        Self {
            what,
            name: echo(name),
            among: among.into(),
            remedy: remedy(name, known),
        }
    }
}

/// A remedy as the end of a message.
fn end(remedy: Option<&str>) -> String {
    remedy.map_or_else(String::new, |remedy| format!("; {remedy}"))
}

/// How many characters of an input a message gives back: our choice.
const ECHOED: usize = 40;

/// An input as a message gives it back: a whole file in one field is not repeated whole.
pub fn echo(text: &str) -> String {
    let mut shown: String = text.chars().take(ECHOED).collect();
    if shown.len() < text.len() {
        shown.push('…');
    }
    shown
}

/// What to do about a word that is not known: the known one that it is likeliest to mean, or else
/// all of them; `None` where there are none.
///
/// ```
/// use wrackline_plan::words::remedy;
/// let known = ["dunlin", "knot"];
/// let told = |word| remedy(word, known.into_iter()).unwrap();
/// assert_eq!(told("dunlinn"), "did you mean dunlin?");
/// assert_eq!(told("owl"), "known: dunlin, knot");
/// ```
pub fn remedy<'k>(word: &str, known: impl Iterator<Item = &'k str>) -> Option<String> {
    let all: Vec<&str> = known.collect();
    if let Some(near) = nearest(word, &all) {
        return Some(format!("did you mean {near}?"));
    }
    match all.len() {
        0 => None,
        n if n > LISTED => Some(format!(
            "known: {} and {} more",
            all[..LISTED].join(", "),
            n - LISTED
        )),
        _ => Some(format!("known: {}", all.join(", "))),
    }
}

/// The known word that a misspelt one is likeliest to mean.
pub(crate) fn nearest<'k>(word: &str, known: &[&'k str]) -> Option<&'k str> {
    let word = word.to_lowercase();
    let likeness = |known: &str| strsim::jaro_winkler(&word, &known.to_lowercase());
    known
        .iter()
        .map(|candidate| (likeness(candidate), *candidate))
        .filter(|(score, _)| *score > LIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}

/// The most words that a message lists: our choice.
const LISTED: usize = 40;

/// Words less alike than this mean something else: our choice.
const LIKE: f64 = 0.8;
