//! The columns of a table: names with units, types, meanings. All formats and the `schema` program
//! read them from here.

use std::sync::Arc;

use arrow_schema::{DataType, Field, Metadata, Schema, SchemaRef, TimeUnit};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A name given by the user.
    Name,
    /// One of a few words.
    Word(&'static [&'static str]),
    /// An instant in UTC.
    Instant,
    /// The same on the clock of the place.
    LocalTime,
    /// A whole number.
    Whole,
    /// A number rounded to so many decimals.
    Decimals(u8),
    /// A number rounded to so many significant digits.
    Digits(u8),
    /// Yes or no.
    Flag,
}

/// One column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name, with its unit.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Its unit; empty where there is none.
    pub unit: &'static str,
    /// Whether a row can be without it.
    pub nullable: bool,
    /// What it means, and when it is missing.
    pub meaning: &'static str,
}

/// Sides of the light, in the order of `LightSide`.
pub(super) const SIDES: &[&str] = &["front", "over the shoulder", "side", "rim", "into the sun"];
/// States of the tide.
pub(super) const STATES: &[&str] = &["rising", "high water", "falling", "low water"];
/// Levels that the water can exceed.
pub(super) const LEVELS: &[&str] = &["none", "push level", "overtop level"];
/// Conditions that can limit a row.
pub(super) const CONDITIONS: &[&str] = &[
    "stand-off",
    "closure",
    "rest",
    "breeding",
    "presence",
    "not known",
    "freeboard",
    "way in",
    "longest outing",
    "push level",
    "overtop level",
    "light",
    "duration",
    "free hours",
];

const fn column(
    name: &'static str,
    kind: Kind,
    unit: &'static str,
    nullable: bool,
    meaning: &'static str,
) -> Column {
    Column {
        name,
        kind,
        unit,
        nullable,
        meaning,
    }
}

/// The columns in order.
pub const COLUMNS: [Column; 19] = [
    column(
        "place",
        Kind::Name,
        "",
        false,
        "the place, as named in the input",
    ),
    column(
        "seat",
        Kind::Name,
        "",
        true,
        "the seat there; missing where none is named",
    ),
    column(
        "subject",
        Kind::Name,
        "",
        true,
        "the subject that the seat is judged for; missing where none is",
    ),
    column("instant_utc", Kind::Instant, "UTC", false, "the instant"),
    column(
        "instant_local",
        Kind::LocalTime,
        "local clock",
        false,
        "the same instant on the clock of the place's time zone; in text with its offset from UTC",
    ),
    column(
        "utc_offset_s",
        Kind::Whole,
        "s",
        false,
        "that clock less UTC",
    ),
    column(
        "sun_altitude_deg",
        Kind::Decimals(4),
        "deg",
        false,
        "altitude of the sun's centre above the horizontal, as if there were no air",
    ),
    column(
        "sun_azimuth_deg",
        Kind::Decimals(4),
        "deg",
        false,
        "azimuth of the sun, clockwise from true north",
    ),
    column(
        "light_angle_deg",
        Kind::Decimals(3),
        "deg",
        true,
        "angle between the shadow line and the view: 0 front light, 180 into the sun; missing \
         without a bearing",
    ),
    column(
        "light_side",
        Kind::Word(SIDES),
        "",
        true,
        "side of the light as the camera sees it; missing without a bearing, and with the sun's \
         centre more than 6 deg down, when light has no side",
    ),
    column(
        "illuminance_lx",
        Kind::Digits(3),
        "lx",
        false,
        "likely light of sun and moon on level ground under a clear sky; half a stop either way \
         by day, a stop in twilight and at night",
    ),
    column(
        "moon_altitude_deg",
        Kind::Decimals(4),
        "deg",
        false,
        "altitude of the moon's centre above the horizontal, as if there were no air",
    ),
    column(
        "moon_lit_fraction",
        Kind::Decimals(4),
        "1",
        false,
        "lit fraction of the moon's disc",
    ),
    column(
        "tide_height_m",
        Kind::Decimals(4),
        "m",
        true,
        "predicted height of the tide above the port's datum; missing without a port",
    ),
    column(
        "tide_rate_m_per_h",
        Kind::Decimals(4),
        "m/h",
        true,
        "rate of rise of the tide, negative when it falls; missing without a port",
    ),
    column(
        "tide_state",
        Kind::Word(STATES),
        "",
        true,
        "high or low water within some minutes of the turn (10 unless asked otherwise), rising or \
         falling between; missing without a port",
    ),
    column(
        "level_exceeded",
        Kind::Word(LEVELS),
        "",
        true,
        "the highest of the place's levels that the expected water (prediction and the scenario's \
         expected difference) reaches; missing without a port or without levels",
    ),
    column(
        "usable",
        Kind::Flag,
        "",
        true,
        "whether all that was asked for holds: for a seat of a scenario, whether the instant lies \
         in one of its windows; missing where nothing was asked for",
    ),
    column(
        "limiting_condition",
        Kind::Word(CONDITIONS),
        "",
        true,
        "the first condition that does not hold, those that guard animals and people first; \
         missing when usable",
    ),
];

/// The position of a column by its name in [`COLUMNS`].
pub fn position(name: &str) -> Option<usize> {
    COLUMNS.iter().position(|column| column.name == name)
}

impl Kind {
    /// Its type in Arrow.
    pub fn arrow(self) -> DataType {
        let words = |key| DataType::Dictionary(Box::new(key), Box::new(DataType::Utf8));
        match self {
            Self::Name => words(DataType::Int32),
            Self::Word(_) => words(DataType::Int8),
            Self::Instant => DataType::Timestamp(TimeUnit::Millisecond, Some("UTC".into())),
            Self::LocalTime => DataType::Timestamp(TimeUnit::Millisecond, None),
            Self::Whole => DataType::Int32,
            Self::Decimals(_) | Self::Digits(_) => DataType::Float32,
            Self::Flag => DataType::Boolean,
        }
    }

    /// Its type in words.
    pub fn describe(self) -> String {
        match self {
            Self::Name => "text".to_owned(),
            Self::Word(words) => format!("text: {}", words.join(", ")),
            Self::Instant => "instant to the millisecond".to_owned(),
            Self::LocalTime => "date and time to the millisecond".to_owned(),
            Self::Whole => "whole number".to_owned(),
            Self::Decimals(n) => format!("number, {n} decimals"),
            Self::Digits(n) => format!("number, {n} significant digits"),
            Self::Flag => "true or false".to_owned(),
        }
    }
}

/// The schema in Arrow, with units and meanings as metadata of the columns, and the table's own
/// metadata.
pub(super) fn arrow(metadata: impl Into<Metadata>) -> SchemaRef {
    let fields: Vec<Field> = COLUMNS
        .iter()
        .map(|column| {
            Field::new(column.name, column.kind.arrow(), column.nullable)
                .with_metadata([("unit", column.unit), ("meaning", column.meaning)])
        })
        .collect();
    Arc::new(Schema::new(fields).with_metadata(metadata))
}
