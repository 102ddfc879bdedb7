//! A way to seats that the tide can close.

use super::bounds::{Bound, LATITUDE, LEVEL, LONGITUDE, MINUTES};
use super::reader::Table;

/// A way to seats that the tide can close.
#[derive(Clone, Debug, PartialEq)]
pub struct WayIn {
    /// Short name used in references.
    pub id: String,
    /// Full name.
    pub name: String,
    /// What it is: a causeway, a path along the marsh.
    pub kind: Option<String>,
    /// Its length, metres; a check on the minutes.
    pub length_m: Option<f64>,
    /// Minutes to walk it by day; a check on the minutes loaded and in the dark.
    pub walk_minutes: Option<f64>,
    /// Its lowest point, metres above chart datum.
    pub low_point_m: f64,
    /// Creeks that fill and cut the way off earlier, by name and level.
    pub creeks: Vec<Creek>,
    /// Minutes to cross the low part, loaded and in the dark.
    pub loaded_dark_minutes: f64,
    /// Its line from the road to the seats, as latitude and longitude in degrees; empty when it is
    /// not given.
    pub path_deg: Vec<[f64; 2]>,
    /// Height kept between the upper water and the low point, metres.
    pub margin_m: f64,
    /// Minutes kept before the way closes and after it clears.
    pub margin_minutes: f64,
    /// Remark, for you alone: nothing reads it.
    pub note: Option<String>,
}

impl WayIn {
    /// The level at which the way out is lost: its low point, or the lowest creek behind the seat.
    pub fn cut_off_m(&self) -> f64 {
        self.creeks
            .iter()
            .map(|creek| creek.level_m)
            .fold(self.low_point_m, f64::min)
    }
}

/// A creek that fills behind a seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Creek {
    /// Which creek.
    pub name: String,
    /// Water level at which it can no longer be crossed, metres above chart datum.
    pub level_m: f64,
}

pub(super) fn read(table: Table<'_, '_>) -> WayIn {
    let mut creeks = Vec::new();
    for creek in table.tables("creeks") {
        creeks.push(Creek {
            name: creek.text("name"),
            level_m: creek.number("level_m", LEVEL),
        });
        creek.finish();
    }
    let way = WayIn {
        id: table.text("id"),
        name: table.text("name"),
        kind: table.optional_text("kind"),
        length_m: table.optional_number("length_m", Bound::AboveUpTo(0.0, 50_000.0)),
        walk_minutes: table.optional_number("walk_minutes", MINUTES),
        low_point_m: table.number("low_point_m", LEVEL),
        creeks,
        path_deg: table.pairs("path_deg", LATITUDE, LONGITUDE),
        loaded_dark_minutes: table.number("loaded_dark_minutes", MINUTES),
        margin_m: table.number("margin_m", Bound::Within(0.0, 5.0)),
        margin_minutes: table.number("margin_minutes", MINUTES),
        note: table.optional_text("note"),
    };
    table.finish();
    way
}
