//! The words that people write and read for the values of this library.

use alloc::string::ToString;
use core::fmt;
use core::str::FromStr;

use crate::body::Body;
use crate::crossing::{Culmination, Direction, Limb, Threshold};
use crate::error::Error;
use crate::illuminance::SkyCondition;
use crate::light::LightSide;
use crate::phase::{MoonPhase, Season};
use crate::refraction::RefractionFormula;

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

words!(Body, "body": { Sun => "sun", Moon => "moon" });
words!(Limb, "point of the disc": { Centre => "centre", Upper => "upper", Lower => "lower" });
words!(Direction, "direction": { Rising => "rising", Setting => "setting" });
words!(Culmination, "culmination": { Upper => "upper", Lower => "lower" });
words!(LightSide, "side of the light": {
    Front => "front",
    Shoulder => "over the shoulder",
    Side => "side",
    Rim => "rim",
    IntoTheSun => "into the sun",
});
words!(SkyCondition, "sky": {
    Clear => "clear",
    ThinVeil => "thin veil",
    AverageCloud => "average cloud",
    DarkStratus => "dark stratus",
});
words!(MoonPhase, "phase of the moon": {
    New => "new moon",
    FirstQuarter => "first quarter",
    Full => "full moon",
    LastQuarter => "last quarter",
});
words!(Season, "season": {
    MarchEquinox => "march equinox",
    JuneSolstice => "june solstice",
    SeptemberEquinox => "september equinox",
    DecemberSolstice => "december solstice",
});
words!(RefractionFormula, "formula of refraction": {
    Saemundsson => "saemundsson",
    Bennett => "bennett",
});

/// The thresholds that have names.
const NAMED: [(&str, Threshold); 5] = [
    ("sunrise", Threshold::SUNRISE),
    ("moonrise", Threshold::MOONRISE),
    ("civil", Threshold::CIVIL),
    ("nautical", Threshold::NAUTICAL),
    ("astronomical", Threshold::ASTRONOMICAL),
];

/// By name where it has one, else by airless altitude, point of the disc and the refraction in it.
impl fmt::Display for Threshold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((name, _)) = NAMED.iter().find(|(_, threshold)| threshold == self) {
            return f.pad(name);
        }
        write!(f, "{}°", self.airless_altitude_deg())?;
        if self.limb() != Limb::Centre {
            write!(f, ", {} limb", self.limb())?;
        }
        if self.refraction_deg() != 0.0 {
            write!(f, ", {:.2}° of it refraction", self.refraction_deg())?;
        }
        Ok(())
    }
}

/// `sunrise`, `moonrise`, `civil`, `nautical`, `astronomical`, or the airless altitude of the
/// centre in degrees, with or without its sign.
///
/// ```
/// use wrackline_solar::Threshold;
///
/// assert_eq!("civil".parse::<Threshold>()?, Threshold::CIVIL);
/// assert_eq!("-4°".parse::<Threshold>()?, Threshold::altitude_deg(-4.0)?);
/// assert!("dusk".parse::<Threshold>().is_err());
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
impl FromStr for Threshold {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        let text = text.trim();
        if let Some((_, threshold)) = NAMED.iter().find(|(name, _)| same(name, text)) {
            return Ok(*threshold);
        }
        match text.strip_suffix('°').unwrap_or(text).parse() {
            Ok(altitude_deg) => Self::altitude_deg(altitude_deg),
            Err(_) => Err(unknown(
                "threshold",
                text,
                "sunrise, moonrise, civil, nautical, astronomical, or an altitude in degrees",
            )),
        }
    }
}
