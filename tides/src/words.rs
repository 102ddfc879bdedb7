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
        let word = word.trim();
        if let Some(found) = plain.into_iter().find(|it| same(&it.to_string(), word)) {
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
                "schureman-annual, schureman-instant, iho-instant, rijkswaterstaat, \
                 or foreman-instant@ and the latitude in degrees",
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

/// The refusal of a word.
pub(crate) fn unknown(what: &'static str, given: &str, expected: &'static str) -> Error {
    // A message quotes the beginning of what may be a whole file.
    const SHOWN: usize = 40;
    let given = if given.chars().count() > SHOWN {
        given.chars().take(SHOWN).chain("...".chars()).collect()
    } else {
        given.to_string()
    };
    Error::UnknownWord {
        what,
        given,
        expected,
    }
}

/// Whether two words are the same, whatever their case and whether their parts are joined by a
/// space, a hyphen or a low line.
pub(crate) fn same(one: &str, other: &str) -> bool {
    let plain = |byte: u8| match byte {
        b'_' | b'-' => b' ',
        other => other.to_ascii_lowercase(),
    };
    one.bytes().map(plain).eq(other.bytes().map(plain))
}

/// `Display` and `FromStr` of an enum by one list of words.
macro_rules! words {
    ($type:ident, $what:literal: {
        $first:ident => $first_word:literal $(, $variant:ident => $word:literal)* $(,)?
    }) => {
        /// In the word that [`FromStr`](core::str::FromStr) reads.
        impl core::fmt::Display for $type {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.pad(match self {
                    Self::$first => $first_word,
                    $(Self::$variant => $word,)*
                })
            }
        }

        /// From the word that `Display` writes or the one that `serde` writes, in any case.
        impl core::str::FromStr for $type {
            type Err = $crate::Error;

            fn from_str(text: &str) -> core::result::Result<Self, Self::Err> {
                let text = text.trim();
                if $crate::words::same(text, $first_word) {
                    return Ok(Self::$first);
                }
                $(if $crate::words::same(text, $word) {
                    return Ok(Self::$variant);
                })*
                const EXPECTED: &str = concat!($first_word $(, ", ", $word)*);
                Err($crate::words::unknown($what, text, EXPECTED))
            }
        }
    };
}

words!(TurnKind, "turn": { HighWater => "high water", LowWater => "low water" });
words!(Flow, "direction": { Rising => "rising", Falling => "falling" });
words!(Spring, "range of the tide": { Springs => "springs", Neaps => "neaps" });
words!(LengthUnit, "unit of length": { Metre => "m", Centimetre => "cm", Foot => "ft" });
