//! Names that others gave, made fit for a scenario.

use std::collections::HashSet;

/// Characters of a name or a remark that are kept; our default.
const LONGEST: usize = 120;
/// Characters of an id; our default.
const LONGEST_ID: usize = 40;

/// A text of somebody else's in one plain line: a scenario refuses what would not travel into a
/// calendar, a map or a terminal, so that is taken out here. `None` where nothing is left.
pub(super) fn plain(text: &str) -> Option<String> {
    let mut line = String::new();
    for word in text.split(|c: char| c.is_whitespace() || c.is_control() || is_line_end(c)) {
        let word: String = word.chars().filter(|c| !is_astray(*c)).collect();
        if !word.is_empty() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&word);
        }
    }
    let line: String = line.chars().take(LONGEST).collect();
    let line = line.trim().to_owned();
    (!line.is_empty()).then_some(line)
}

fn is_line_end(c: char) -> bool {
    matches!(c, '\u{85}' | '\u{2028}' | '\u{2029}')
}

/// What turns the order of reading around, is no character, or is not seen at all.
fn is_astray(c: char) -> bool {
    matches!(
        c,
        '\u{202a}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}'
            | '\u{200b}'..='\u{200f}'
            | '\u{feff}'
            | '\u{fffe}'
            | '\u{ffff}'
    )
}

/// Short names for references, each once.
#[derive(Default)]
pub(super) struct Ids {
    taken: HashSet<String>,
}

impl Ids {
    /// Small letters and digits of a name with hyphens between them, or a stand-in where it has
    /// none, with a number where it is taken.
    pub(super) fn of(&mut self, name: &str, stand_in: &str) -> String {
        let mut base = String::new();
        for c in name.chars().flat_map(char::to_lowercase) {
            if c.is_ascii_alphanumeric() {
                base.push(c);
            } else if !base.is_empty() && !base.ends_with('-') {
                base.push('-');
            }
            if base.len() >= LONGEST_ID {
                break;
            }
        }
        let base = match base.trim_end_matches('-') {
            "" => stand_in,
            base => base,
        };
        let mut id = base.to_owned();
        let mut count = 1;
        while !self.taken.insert(id.clone()) {
            count += 1;
            id = format!("{base}-{count}");
        }
        id
    }
}

#[cfg(test)]
mod tests {
    use super::{Ids, plain};

    #[test]
    fn what_does_not_travel_is_taken_out() {
        assert_eq!(
            plain(" Wall\r\n\tSeat \u{202e}2\u{7} ").as_deref(),
            Some("Wall Seat 2")
        );
        assert_eq!(plain("\u{feff}\u{0}\n"), None);
        assert_eq!(plain("Gr\u{fc}n \"A\"").as_deref(), Some("Gr\u{fc}n \"A\""));
        assert_eq!(plain(&"x".repeat(500)).map(|name| name.len()), Some(120));
    }

    #[test]
    fn ids_are_short_and_each_is_there_once() {
        let mut ids = Ids::default();
        assert_eq!(ids.of("Wall Seat (2)", "seat"), "wall-seat-2");
        assert_eq!(ids.of("Wall Seat", "seat"), "wall-seat");
        assert_eq!(ids.of("wall seat", "seat"), "wall-seat-3");
        assert_eq!(ids.of("\u{6d5c}", "seat"), "seat");
        assert_eq!(ids.of("\u{6d5c}", "seat"), "seat-2");
    }
}
