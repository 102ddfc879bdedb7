//! What a receiver does not know, as far as somebody has said it.

/// How a seat stands to the water.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Water {
    /// Nobody said. Such a seat is closed.
    #[default]
    Unknown,
    /// The tide never reaches the seat or the way to it, somebody said.
    Never,
    /// It can, and these are the levels.
    Levels(Levels),
}

/// The levels of a seat that the water can reach.
#[derive(Clone, Debug, PartialEq)]
pub struct Levels {
    /// Height of the ground above chart datum, metres; needed to stay, and by every seat that is
    /// proposed.
    pub ground_m: f64,
    /// How the way to it stands to the tide.
    pub access: Access,
}

/// How the way to a seat stands to the tide.
#[derive(Clone, Debug, PartialEq)]
pub enum Access {
    /// The way is always open.
    Dry,
    /// Out again before the way closes.
    Leave(Way),
    /// In before it closes, out when it has cleared.
    Stay(Way),
}

/// A way in that the tide closes.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Height of its lowest point or creek above chart datum, metres.
    pub low_point_m: f64,
    /// Minutes to cross it loaded and in the dark.
    pub loaded_dark_minutes: f64,
    /// Metres of water under its lowest point at which it counts as closed.
    pub margin_m: f64,
    /// Minutes before and after for which it counts as closed.
    pub margin_minutes: f64,
}

/// What was said about a seat.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SeatFacts {
    /// How it stands to the water.
    pub water: Water,
    /// Minutes from leaving the road to sitting down.
    pub in_minutes: Option<f64>,
    /// Minutes from standing up to the road.
    pub out_minutes: Option<f64>,
}

/// What is known of the animal.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Animal {
    /// Nothing.
    #[default]
    Unknown,
    /// Its name.
    Named(String),
    /// It stands in a file that the draft includes, under this id.
    Included(String),
    /// All that a plan needs.
    Known(Known),
}

/// All that a plan needs of an animal.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// Its name.
    pub name: String,
    /// Body length, metres.
    pub length_m: f64,
    /// Stand-off distance for a person on foot, metres.
    pub stand_off_on_foot_m: f64,
    /// Stand-off distance from a hide, metres.
    pub stand_off_from_hide_m: f64,
    /// When it is there, as the scenario writes it: `Sep-Apr`.
    pub present: String,
}

/// A printed tide table as the port.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Name of the port.
    pub name: String,
    /// What its heights are above.
    pub datum: String,
    /// Zone of its days and times, where the table itself gives no offsets.
    pub zone: Option<String>,
    /// Its file, relative to the draft.
    pub file: String,
}
