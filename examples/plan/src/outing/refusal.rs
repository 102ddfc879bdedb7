//! Why an outing is not proposed: the limiting condition, and by how much it falls short.

use core::fmt;

/// What an outing must meet. The order is the order in which they are judged: welfare and safety
/// before the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Condition {
    /// The subject is nearer to the seat than its stand-off distance.
    StandOff,
    /// A closure bears on the day.
    Closure,
    /// The animals were put up here twice this winter: the place rests.
    Rest,
    /// The subject breeds.
    Breeding,
    /// The subject is not there at this time of the year.
    Presence,
    /// What is needed to judge the water is not known.
    Unknown,
    /// The seat's ground keeps too little height over the upper water.
    Freeboard,
    /// The way in is cut off at the wrong time.
    WayIn,
    /// Nobody can come and be back within the longest outing.
    LongestOuting,
    /// The water does not reach the push level.
    PushLevel,
    /// The water drowns the place.
    OvertopLevel,
    /// No light of the wanted kind while the animals are there.
    Light,
    /// Less time than is worth an outing.
    Duration,
    /// The photographer is not free.
    FreeHours,
}

impl Condition {
    /// The trade's name for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::StandOff => "stand-off",
            Self::Closure => "closure",
            Self::Rest => "rest",
            Self::Breeding => "breeding",
            Self::Presence => "presence",
            Self::Unknown => "not known",
            Self::Freeboard => "freeboard",
            Self::WayIn => "way in",
            Self::LongestOuting => "longest outing",
            Self::PushLevel => "push level",
            Self::OvertopLevel => "overtop level",
            Self::Light => "light",
            Self::Duration => "duration",
            Self::FreeHours => "free hours",
        }
    }

    /// Whether the condition guards the animals or the photographer. Such a condition is never
    /// offered for relaxing.
    pub fn guards(self) -> bool {
        matches!(
            self,
            Self::StandOff
                | Self::Closure
                | Self::Rest
                | Self::Breeding
                | Self::Unknown
                | Self::Freeboard
                | Self::WayIn
                | Self::LongestOuting
        )
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A condition that is not met.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Refusal {
    /// Which condition.
    pub condition: Condition,
    /// By how much, in the unit of the condition: metres, or minutes for the way in, light and
    /// duration; 0 where there is no measure.
    #[serde(serialize_with = "crate::rounding::to_thousandths")]
    pub shortfall: f64,
    /// In words, with the figures.
    pub reason: String,
}

impl Refusal {
    pub(crate) fn new(condition: Condition, shortfall: f64, reason: String) -> Self {
        Self {
            condition,
            shortfall,
            reason,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.condition, self.reason)
    }
}
