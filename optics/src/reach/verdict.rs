//! The words of a verdict.

use core::fmt;

/// What "reach" can mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Meaning {
    /// How tightly the frame sits.
    Framing,
    /// How many pixels lie on the subject.
    Pixels,
    /// How fine a pattern on the subject is resolved.
    Detail,
    /// How much light of each area of the subject is gathered.
    Light,
    /// How shallow the sharp zone is.
    DepthOfField,
    /// How large a point of the background is drawn against the subject.
    Background,
}

impl Meaning {
    /// All of them, in the order of [`Comparison::findings`](crate::Comparison).
    pub const ALL: [Self; 6] = [
        Self::Framing,
        Self::Pixels,
        Self::Detail,
        Self::Light,
        Self::DepthOfField,
        Self::Background,
    ];
}

impl fmt::Display for Meaning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Framing => "framing",
            Self::Pixels => "pixels on the subject",
            Self::Detail => "detail resolved",
            Self::Light => "light of the subject",
            Self::DepthOfField => "shallow sharp zone",
            Self::Background => "soft background",
        })
    }
}

/// What decides a meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Decider {
    /// Focal length and width of the frame.
    FocalLengthAndFrame,
    /// Magnification and pitch of the pixels.
    MagnificationAndPixels,
    /// The blur named for each case of optics and air.
    Blur,
    /// Diameter of the entrance pupil (and what the converter's glass takes).
    Pupil,
    /// Entrance pupil, magnification and the circle of confusion that was chosen.
    PupilAndCircle,
}

impl fmt::Display for Decider {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::FocalLengthAndFrame => "focal length and frame",
            Self::MagnificationAndPixels => "magnification and pixel pitch",
            Self::Blur => "blur",
            Self::Pupil => "entrance pupil",
            Self::PupilAndCircle => "entrance pupil and circle of confusion",
        })
    }
}

/// What is stated, and so what a verdict is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Statement {
    /// The first reaches farther than the second.
    Further,
    /// The first reaches as far as the second.
    AsFar,
}

impl Statement {
    /// Whether a ratio, first over second, bears the statement out.
    pub(crate) fn holds(self, ratio: f64, tolerance: f64) -> bool {
        match self {
            Self::Further => ratio > 1.0 + tolerance,
            Self::AsFar => ratio >= 1.0 - tolerance,
        }
    }
}

/// "reaches farther than" and "reaches as far as", between the names of the two.
impl fmt::Display for Statement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Further => "reaches farther than",
            Self::AsFar => "reaches as far as",
        })
    }
}

/// How good lens and converter are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum OpticsGrade {
    /// Without aberrations: the bound that physics sets.
    Perfect,
    /// As good lenses are.
    Good,
    /// As softer lenses, or good ones a little out of focus, are.
    Soft,
}

impl OpticsGrade {
    /// All of them, the best first.
    pub const ALL: [Self; 3] = [Self::Perfect, Self::Good, Self::Soft];
}

crate::words::words!(OpticsGrade, "grade of optics": {
    Perfect => "perfect",
    Good => "good",
    Soft => "soft",
});

/// How the air is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum AirGrade {
    /// Little shimmer.
    Calm,
    /// Shimmer over warm ground.
    Warm,
}

impl AirGrade {
    /// All of them, the best first.
    pub const ALL: [Self; 2] = [Self::Calm, Self::Warm];
}

crate::words::words!(AirGrade, "grade of air": {
    Calm => "calm",
    Warm => "warm",
});

/// The cases of optics and air in which a statement holds: by grade of the optics, then of the air,
/// both best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Cases(pub(crate) [[bool; 2]; 3]);

impl Cases {
    /// Whether the statement holds in a case.
    #[must_use]
    pub fn holds(&self, optics: OpticsGrade, air: AirGrade) -> bool {
        self.0[optics as usize][air as usize]
    }

    fn count(&self) -> usize {
        self.0.iter().flatten().filter(|holds| **holds).count()
    }
}

/// In words: "perfect optics, or good optics in calm air".
impl fmt::Display for Cases {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole_air = |air: AirGrade| {
            OpticsGrade::ALL
                .iter()
                .all(|&optics| self.holds(optics, air))
        };
        for air in AirGrade::ALL {
            if whole_air(air) && self.count() == OpticsGrade::ALL.len() {
                return write!(f, "{air} air");
            }
        }
        let mut first = true;
        for optics in OpticsGrade::ALL {
            let separator = if first { "" } else { ", or " };
            match (
                self.holds(optics, AirGrade::Calm),
                self.holds(optics, AirGrade::Warm),
            ) {
                (true, true) => write!(f, "{separator}{optics} optics")?,
                (true, false) => write!(f, "{separator}{optics} optics in calm air")?,
                (false, true) => write!(f, "{separator}{optics} optics in warm air")?,
                (false, false) => continue,
            }
            first = false;
        }
        Ok(())
    }
}

/// Whether a statement holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Verdict {
    /// In every case.
    True,
    /// In no case.
    False,
    /// In some cases of optics and air.
    TrueIf(Cases),
}

impl Verdict {
    /// The verdict of a statement that no case of optics or air touches.
    pub(crate) fn plain(holds: bool) -> Self {
        if holds { Self::True } else { Self::False }
    }

    /// The verdict of all cases together.
    pub(crate) fn of_cases(cases: [[bool; 2]; 3]) -> Self {
        let cases = Cases(cases);
        match cases.count() {
            0 => Self::False,
            6 => Self::True,
            _ => Self::TrueIf(cases),
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::True => f.write_str("true"),
            Self::False => f.write_str("false"),
            Self::TrueIf(cases) => write!(f, "true with {cases}"),
        }
    }
}

/// The least and the greatest value over the cases of optics and air; equal where none of them
/// matters.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Band {
    /// The least value.
    pub lowest: f64,
    /// The greatest value.
    pub highest: f64,
}

impl Band {
    /// One value that no case of optics or air touches.
    pub(crate) fn point(value: f64) -> Self {
        Self {
            lowest: value,
            highest: value,
        }
    }

    /// The band of several values.
    pub(crate) fn of(values: impl Iterator<Item = f64>) -> Self {
        values.fold(
            Self {
                lowest: f64::MAX,
                highest: f64::MIN,
            },
            |band, value| Self {
                lowest: band.lowest.min(value),
                highest: band.highest.max(value),
            },
        )
    }
}
