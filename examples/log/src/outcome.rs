//! How a visit ended, as a ladder: each rung includes the ones below it.

use std::fmt;

/// How a visit ended. The order is the ladder: a visit that gave a select had the animals in range,
/// and so on.
///
/// "Blank" would hide what differs: an absent flock says something about the place, a flock out of
/// range about the water level, a missed picture about the photographer, and a visit called off
/// says nothing about any of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outcome {
    /// The visit did not take place. It is no evidence of anything but the reason it was called
    /// off.
    CalledOff,
    /// The visit took place and the animals were not there.
    Absent,
    /// They were there, too far away to photograph.
    OutOfRange,
    /// They came within range, and no picture was made.
    InRange,
    /// At least one picture was made.
    Picture,
    /// At least one picture was kept in the first selection.
    Select,
}

impl Outcome {
    /// Every rung, lowest first.
    pub const ALL: [Outcome; 6] = [
        Outcome::CalledOff,
        Outcome::Absent,
        Outcome::OutOfRange,
        Outcome::InRange,
        Outcome::Picture,
        Outcome::Select,
    ];

    /// The word that files use.
    pub const fn word(self) -> &'static str {
        match self {
            Outcome::CalledOff => "called_off",
            Outcome::Absent => "absent",
            Outcome::OutOfRange => "out_of_range",
            Outcome::InRange => "in_range",
            Outcome::Picture => "picture",
            Outcome::Select => "select",
        }
    }

    /// The word in a file, or the phrase that a person types: case, spaces, hyphens and underscores
    /// do not matter.
    pub fn parse(text: &str) -> Option<Outcome> {
        let bare: String = text
            .chars()
            .filter(|c| c.is_alphanumeric())
            .collect::<String>()
            .to_lowercase();
        Some(match bare.as_str() {
            "calledoff" => Outcome::CalledOff,
            "absent" => Outcome::Absent,
            "outofrange" => Outcome::OutOfRange,
            "inrange" | "inrangenopicture" => Outcome::InRange,
            "picture" => Outcome::Picture,
            "select" => Outcome::Select,
            _ => return None,
        })
    }

    /// Whether somebody stood there and looked: everything but a visit called off.
    pub const fn visited(self) -> bool {
        !matches!(self, Outcome::CalledOff)
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Outcome::CalledOff => "called off",
            Outcome::Absent => "absent",
            Outcome::OutOfRange => "out of range",
            Outcome::InRange => "in range, no picture",
            Outcome::Picture => "picture",
            Outcome::Select => "select",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_phrases_name_the_same_rung() {
        for outcome in Outcome::ALL {
            assert_eq!(Outcome::parse(outcome.word()), Some(outcome));
            assert_eq!(
                Outcome::parse(&outcome.to_string().to_uppercase()),
                Some(outcome)
            );
        }
        assert_eq!(Outcome::parse("pitcure"), None);
    }

    #[test]
    fn the_ladder_is_in_order() {
        assert!(Outcome::ALL.windows(2).all(|pair| pair[0] < pair[1]));
    }
}
