//! What records are left out for.

/// Why a record tells nothing of the year of an animal at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeftOut {
    /// Its position lies beyond the radius.
    Elsewhere,
    /// It has no position.
    NoPosition,
    /// Its position is less certain than was asked for.
    CoarsePosition,
    /// It names no animal.
    NoName,
    /// It has no date.
    NoDate,
    /// Its date spans more than one half-month.
    CoarseDate,
    /// It lies before the first day that was asked for.
    TooOld,
    /// A specimen, a fossil or a citation: nobody watched.
    NotWatched,
    /// The animal was kept, bred or set free.
    Captive,
    /// Those who checked it did not believe it, or who wrote it was not sure.
    Doubtful,
    /// It says that the animal was there and counts none, or the other way round.
    Contradictory,
    /// It says again what another record said.
    Duplicate,
    /// It cannot be read.
    Unreadable,
}

impl LeftOut {
    /// All reasons, in the order in which they are looked for.
    pub const ALL: [Self; 13] = [
        Self::Elsewhere,
        Self::NoPosition,
        Self::CoarsePosition,
        Self::NoName,
        Self::NoDate,
        Self::CoarseDate,
        Self::TooOld,
        Self::NotWatched,
        Self::Captive,
        Self::Doubtful,
        Self::Contradictory,
        Self::Duplicate,
        Self::Unreadable,
    ];

    /// The reason in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Elsewhere => "too far away",
            Self::NoPosition => "no position",
            Self::CoarsePosition => "position too coarse",
            Self::NoName => "no name",
            Self::NoDate => "no date",
            Self::CoarseDate => "date spans half-months",
            Self::TooOld => "before the first day asked for",
            Self::NotWatched => "specimen or citation",
            Self::Captive => "captive, bred or released",
            Self::Doubtful => "doubtful or rejected",
            Self::Contradictory => "present, yet none counted",
            Self::Duplicate => "said twice",
            Self::Unreadable => "cannot be read",
        }
    }

    /// Whether a sighting left out for this may still have been one of the animal at the place.
    pub(super) const fn may_be_true(self) -> bool {
        matches!(self, Self::CoarsePosition | Self::CoarseDate)
    }
}

/// Records left out for a reason.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Number {
    /// Of all animals.
    pub records: u64,
    /// Of the one that was asked for; beyond the radius they are not told apart.
    pub of_animal: u64,
}
