//! The words that people write and read for the values of this library.

use core::fmt;
use core::str::FromStr;

use crate::body::Body;
use crate::crossing::{Direction, Limb, Threshold};
use crate::error::Error;
use crate::illuminance::SkyCondition;
use crate::light::LightSide;
use crate::phase::{MoonPhase, Season};
use crate::refraction::RefractionFormula;

/// Writes and reads a type by a list of its values and their words.
macro_rules! words {
    ($type:ty, $what:literal, [$($value:ident: $word:literal),+ $(,)?]) => {
        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(match self {
                    $(Self::$value => $word,)+
                })
            }
        }

        impl FromStr for $type {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self, Error> {
                match text {
                    $($word => Ok(Self::$value),)+
                    _ => Err(Error::UnknownWord { what: $what, words: &[$($word),+] }),
                }
            }
        }
    };
}

words!(Body, "body", [Sun: "sun", Moon: "moon"]);
words!(Limb, "point of the disc", [Centre: "centre", Upper: "upper", Lower: "lower"]);
words!(Direction, "direction", [Rising: "rising", Setting: "setting"]);
words!(LightSide, "side of the light", [
    Front: "front",
    Shoulder: "over the shoulder",
    Side: "side",
    Rim: "rim",
    IntoTheSun: "into the sun",
]);
words!(SkyCondition, "sky", [
    Clear: "clear",
    ThinVeil: "thin veil",
    AverageCloud: "average cloud",
    DarkStratus: "dark stratus",
]);
words!(MoonPhase, "phase of the moon", [
    New: "new moon",
    FirstQuarter: "first quarter",
    Full: "full moon",
    LastQuarter: "last quarter",
]);
words!(Season, "season", [
    MarchEquinox: "march equinox",
    JuneSolstice: "june solstice",
    SeptemberEquinox: "september equinox",
    DecemberSolstice: "december solstice",
]);
words!(RefractionFormula, "formula of refraction", [
    Saemundsson: "saemundsson",
    Bennett: "bennett",
]);

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
        if let Some((_, threshold)) = NAMED.iter().find(|(name, _)| *name == text) {
            return Ok(*threshold);
        }
        match text.strip_suffix('°').unwrap_or(text).parse() {
            Ok(altitude_deg) => Self::altitude_deg(altitude_deg),
            Err(_) => Err(Error::UnknownWord {
                what: "threshold",
                words: &[
                    "sunrise",
                    "moonrise",
                    "civil",
                    "nautical",
                    "astronomical",
                    "an altitude in degrees",
                ],
            }),
        }
    }
}
