//! An animal.

use jiff::civil::Date;

use super::bounds::Bound;
use super::reader::Table;
use super::season_of_year::HalfMonths;
use super::seat::Seat;

/// An animal.
#[derive(Clone, Debug, PartialEq)]
pub struct Subject {
    /// Short name used in references.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Body length, metres.
    pub length_m: f64,
    /// Wing span, metres, for flight.
    pub span_m: Option<f64>,
    /// Stand-off distance for a person on foot, metres.
    pub stand_off_on_foot_m: f64,
    /// Stand-off distance from a hide, metres.
    pub stand_off_from_hide_m: f64,
    /// When it is there.
    pub present: HalfMonths,
    /// When it breeds; no outing is proposed for it then.
    pub breeding: HalfMonths,
    /// Distance at which heads go up, metres; a check on the stand-off distances.
    pub alert_m: Option<f64>,
    /// Distance at which it takes flight, metres; a check on the stand-off distances.
    pub flight_m: Option<f64>,
    /// Speed in flight, for you alone: nothing reads it.
    pub flight_speed_m_per_s: Option<f64>,
    /// Wing beats a second, for you alone: nothing reads it.
    pub wingbeat_hz: Option<f64>,
    /// Remark, for you alone: nothing reads it.
    pub note: Option<String>,
}

impl Subject {
    /// The year of this animal to which a date belongs: see [`HalfMonths::year_of`].
    pub fn year_of(&self, date: Date, latitude_deg: f64) -> i16 {
        self.present.year_of(date, latitude_deg)
    }

    /// The stand-off distance that holds at a seat, metres.
    pub fn stand_off_m(&self, seat: &Seat) -> f64 {
        if seat.hide {
            self.stand_off_from_hide_m
        } else {
            self.stand_off_on_foot_m
        }
    }
}

pub(super) fn read(table: Table<'_, '_>) -> Subject {
    let size = Bound::AboveUpTo(0.0, 30.0);
    let distance = Bound::AboveUpTo(0.0, 5000.0);
    let halves = |key: &'static str, default: HalfMonths| {
        table.optional_text(key).map_or(default, |text| {
            text.parse().unwrap_or_else(|error: String| {
                table.report(
                    key,
                    error,
                    "write it like \"Sep-Apr\", \"late Sep - early Apr\" or \"all year\"",
                );
                default
            })
        })
    };
    let present = halves("present", HalfMonths::ALL);
    let breeding = halves("breeding", HalfMonths::NONE);
    if !table.has("present") {
        table.report(
            "present",
            "is missing",
            "say when the animal is there, such as \"Sep-Apr\"",
        );
    }
    let subject = Subject {
        id: table.text("id"),
        name: table.text("name"),
        length_m: table.number("length_m", size),
        span_m: table.optional_number("span_m", size),
        stand_off_on_foot_m: table.number("stand_off_on_foot_m", distance),
        stand_off_from_hide_m: table.number("stand_off_from_hide_m", distance),
        present,
        breeding,
        alert_m: table.optional_number("alert_m", distance),
        flight_m: table.optional_number("flight_m", distance),
        flight_speed_m_per_s: table
            .optional_number("flight_speed_m_per_s", Bound::AboveUpTo(0.0, 200.0)),
        wingbeat_hz: table.optional_number("wingbeat_hz", Bound::AboveUpTo(0.0, 1000.0)),
        note: table.optional_text("note"),
    };
    table.finish();
    subject
}
