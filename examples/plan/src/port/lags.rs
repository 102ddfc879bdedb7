//! The words for what lags are counted against, and for the unit of amplitudes: what a published
//! table often says nowhere, and nobody may guess.

use wrackline_tides::{LagReference, LengthUnit};

/// The words for lags, as a remedy lists them.
pub const LAG_WORDS: &str = "G (Greenwich, UTC), utc+1 (the time of a zone), kappa (the port's own \
                             meridian, with its longitude)";
/// The words for units.
pub const UNITS: [(&str, LengthUnit); 3] = [
    ("m", LengthUnit::Metre),
    ("cm", LengthUnit::Centimetre),
    ("ft", LengthUnit::Foot),
];

/// What the lags of a table are counted against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lags {
    /// Greenwich, for UTC: G.
    Greenwich,
    /// Greenwich, entered with the time of a zone so many hours east of UTC: g.
    Zone(f64),
    /// The port's own meridian: κ.
    Local,
}

impl Lags {
    /// What a word stands for: `G`, `kappa`, `utc+1`, `utc-3.5`.
    pub fn of(word: &str) -> Option<Self> {
        match word {
            "G" => Some(Self::Greenwich),
            "kappa" | "κ" => Some(Self::Local),
            _ => {
                let offset = word.strip_prefix("utc")?;
                let signed = offset.starts_with(['+', '-']);
                let hours = offset.parse::<f64>().ok().filter(|_| signed)?;
                // No zone lies farther from Greenwich.
                (-14.0..=14.0).contains(&hours).then_some(Self::Zone(hours))
            }
        }
    }

    /// The same as the tides take it; `None` where the longitude is missing.
    pub(super) fn reference(self, longitude_deg: Option<f64>) -> Option<LagReference> {
        Some(match self {
            Self::Greenwich => LagReference::Greenwich,
            Self::Zone(utc_offset_h) => LagReference::ZoneTime { utc_offset_h },
            Self::Local => LagReference::LocalMeridian {
                longitude_deg: longitude_deg?,
            },
        })
    }
}

/// The unit that a word stands for.
pub fn unit(word: &str) -> Option<LengthUnit> {
    let found = UNITS.iter().find(|(known, _)| *known == word);
    found.map(|(_, unit)| *unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_and_others_are_not() {
        assert_eq!(Lags::of("G"), Some(Lags::Greenwich));
        assert_eq!(Lags::of("utc-8"), Some(Lags::Zone(-8.0)));
        assert_eq!(Lags::of("kappa"), Some(Lags::Local));
        for wrong in ["g", "", "utc", "utc8", "utc+nan", "utc+15", "UTC+1"] {
            assert_eq!(Lags::of(wrong), None, "{wrong}");
        }
        assert_eq!(unit("cm"), Some(LengthUnit::Centimetre));
        assert_eq!(unit("fathoms"), None);
    }
}
