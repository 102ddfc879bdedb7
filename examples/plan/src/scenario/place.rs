//! A place that is returned to.

use wrackline_solar::Observer;

use super::bounds::{LATITUDE, LEVEL, LONGITUDE, MINUTES};
use super::reader::Table;
use super::seat::observer;

/// A place that is returned to.
#[derive(Clone, Debug)]
pub struct Place {
    /// Short name used in references.
    pub id: String,
    /// Full name.
    pub name: String,
    /// What it is: a roost, a marsh, farmland.
    pub kind: Option<String>,
    /// Where it is.
    pub observer: Observer,
    /// Latitude, degrees north.
    pub latitude_deg: f64,
    /// Longitude, degrees east.
    pub longitude_deg: f64,
    /// Water level at which the animals come up, metres above chart datum; `None` where the tide
    /// plays no part.
    pub push_m: Option<f64>,
    /// Water level at which the place drowns and empties.
    pub overtop_m: Option<f64>,
    /// Minutes from home to the road at which an outing sets out; `None` when it is left to the
    /// photographer.
    pub from_home_minutes: Option<f64>,
    /// The most visits in a calendar month that the place bears; `None` where nobody set a limit.
    pub most_visits_a_month: Option<u32>,
    /// Its animals would suffer if many knew of it: its position is coarsened in every export
    /// unless asked for.
    pub sensitive: bool,
    /// Where to leave the car, and whom to ask for that.
    pub parking: Option<String>,
    /// Remark, for you alone: nothing reads it.
    pub note: Option<String>,
    pub(super) subjects: Vec<usize>,
}

pub(super) fn read(table: Table<'_, '_>) -> Option<Place> {
    let latitude_deg = table.number("latitude_deg", LATITUDE);
    let longitude_deg = table.number("longitude_deg", LONGITUDE);
    let push_m = table.optional_number("push_m", LEVEL);
    let overtop_m = table.optional_number("overtop_m", LEVEL);
    match (push_m, overtop_m) {
        (Some(push), Some(overtop)) if overtop <= push => table.report(
            "overtop_m",
            format!("{overtop} is not above the push level {push}"),
            "the place must fill before it drowns: check both levels and their datum",
        ),
        (None, Some(_)) => table.report(
            "overtop_m",
            "stands without a push level",
            "add `push_m = ...`, the level at which the animals come up",
        ),
        _ => {}
    }
    let place = Place {
        id: table.text("id"),
        name: table.text("name"),
        kind: table.optional_text("kind"),
        observer: observer(latitude_deg, longitude_deg)?,
        latitude_deg,
        longitude_deg,
        push_m,
        overtop_m,
        from_home_minutes: table.optional_number("from_home_minutes", MINUTES),
        most_visits_a_month: table
            .integer("most_visits_a_month", 1..=31)
            .map(|visits| visits as u32),
        parking: table.optional_text("parking"),
        sensitive: table.flag_or("sensitive", false),
        note: table.optional_text("note"),
        subjects: Vec::new(),
    };
    table.finish();
    Some(place)
}
