//! Values as people write them: the words of conventions, turns, directions and units.

use alloc::string::ToString;
use core::fmt::{Display, Formatter, Result as Written};
use core::str::FromStr;

use crate::constituent::Constituent;
use crate::convention::Convention;
use crate::datum::Spring;
use crate::error::Error;
use crate::level::Flow;
use crate::nodal::Latitude;
use crate::table::LengthUnit;
use crate::turning::TurnKind;

/// What the word of the satellite convention is followed by.
const FOREMAN: &str = "foreman-instant@";

impl Display for Convention {
    /// The word that [`Convention::from_str`] reads; a custom one is `custom`.
    fn fmt(&self, out: &mut Formatter<'_>) -> Written {
        out.write_str(match self {
            Self::SchuremanAnnual => "schureman-annual",
            Self::SchuremanInstant => "schureman-instant",
            Self::IhoInstant => "iho-instant",
            Self::Rijkswaterstaat => "rijkswaterstaat",
            Self::ForemanInstant(latitude) => return write!(out, "{FOREMAN}{}", latitude.deg()),
            Self::Custom(_) => "custom",
        })
    }
}

impl FromStr for Convention {
    type Err = Error;

    /// Reads a convention's word; the satellite convention's is followed by the latitude, degrees
    /// north.
    ///
    /// ```
    /// use wrackline_tides::Convention;
    /// let convention: Convention = "foreman-instant@67.3".parse()?;
    /// assert_eq!(convention.to_string(), "foreman-instant@67.3");
    /// assert_eq!("iho-instant".parse(), Ok(Convention::IhoInstant));
    /// assert!("foreman-instant".parse::<Convention>().is_err());
    /// # Ok::<(), wrackline_tides::Error>(())
    /// ```
    fn from_str(word: &str) -> Result<Self, Error> {
        let plain = [
            Self::SchuremanAnnual,
            Self::SchuremanInstant,
            Self::IhoInstant,
            Self::Rijkswaterstaat,
        ];
        if let Some(found) = plain.into_iter().find(|it| it.to_string() == word) {
            return Ok(found);
        }
        let latitude = word
            .strip_prefix(FOREMAN)
            .and_then(|rest| rest.parse().ok());
        match latitude {
            Some(latitude_deg) => Latitude::new(latitude_deg).map(Self::ForemanInstant),
            None => Err(unknown(
                "convention",
                word,
                "schureman-annual, schureman-instant, iho-instant, rijkswaterstaat, or foreman-instant@ and the latitude in degrees",
            )),
        }
    }
}

impl Display for Constituent {
    fn fmt(&self, out: &mut Formatter<'_>) -> Written {
        out.write_str(self.name())
    }
}

impl FromStr for Constituent {
    type Err = Error;

    /// As [`Constituent::named`].
    fn from_str(name: &str) -> Result<Self, Error> {
        Self::named(name)
    }
}

impl Display for TurnKind {
    fn fmt(&self, out: &mut Formatter<'_>) -> Written {
        out.write_str(match self {
            Self::HighWater => "high water",
            Self::LowWater => "low water",
        })
    }
}

impl FromStr for TurnKind {
    type Err = Error;

    fn from_str(word: &str) -> Result<Self, Error> {
        match word {
            "high water" => Ok(Self::HighWater),
            "low water" => Ok(Self::LowWater),
            _ => Err(unknown("turn", word, "high water or low water")),
        }
    }
}

impl Display for Flow {
    fn fmt(&self, out: &mut Formatter<'_>) -> Written {
        out.write_str(match self {
            Self::Rising => "rising",
            Self::Falling => "falling",
        })
    }
}

impl FromStr for Flow {
    type Err = Error;

    fn from_str(word: &str) -> Result<Self, Error> {
        match word {
            "rising" => Ok(Self::Rising),
            "falling" => Ok(Self::Falling),
            _ => Err(unknown("direction", word, "rising or falling")),
        }
    }
}

impl Display for Spring {
    fn fmt(&self, out: &mut Formatter<'_>) -> Written {
        out.write_str(match self {
            Self::Springs => "springs",
            Self::Neaps => "neaps",
        })
    }
}

impl Display for LengthUnit {
    fn fmt(&self, out: &mut Formatter<'_>) -> Written {
        out.write_str(match self {
            Self::Metre => "m",
            Self::Centimetre => "cm",
            Self::Foot => "ft",
        })
    }
}

impl FromStr for LengthUnit {
    type Err = Error;

    fn from_str(word: &str) -> Result<Self, Error> {
        match word {
            "m" => Ok(Self::Metre),
            "cm" => Ok(Self::Centimetre),
            "ft" => Ok(Self::Foot),
            _ => Err(unknown("unit of length", word, "m, cm or ft")),
        }
    }
}

fn unknown(what: &'static str, given: &str, choices: &'static str) -> Error {
    Error::UnknownWord {
        what,
        given: given.to_string(),
        choices,
    }
}
