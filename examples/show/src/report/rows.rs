//! A season as flat rows, one for each window, with units in the names.

use jiff::civil::Date;
use jiff::{Timestamp, Unit};
use serde::Serialize;

use wrackline_plan::framing::Framed;
use wrackline_plan::scenario::Warning;
use wrackline_plan::season::{Outing, Relaxation, Season, Tally};
use wrackline_plan::windows::{Refusal, Window};

#[derive(Serialize)]
pub(super) struct Report<'s> {
    pub scenario: &'s str,
    pub from: Date,
    pub last: Date,
    pub zone: &'s str,
    pub light: &'s str,
    pub warnings: &'s [Warning],
    pub windows_in_all: usize,
    pub windows: Vec<OutingRow>,
    pub seats: Vec<SeatRow>,
    pub cautions: [&'static str; 5],
}

/// One window. Instants are UTC, to the second; heights are metres above chart datum.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs)] // The names say it, with their units.
pub struct OutingRow {
    pub rank: usize,
    pub date: Date,
    pub place: String,
    pub seat: String,
    pub subject: String,
    pub light: String,
    pub start_utc: Timestamp,
    pub end_utc: Timestamp,
    pub start_local: String,
    pub end_local: String,
    pub minutes: f64,
    pub score_minutes: f64,
    pub learned_chance: Option<f64>,
    pub learned_low: Option<f64>,
    pub learned_high: Option<f64>,
    pub to_find_out: bool,
    pub chance_of_water: f64,
    pub chance_above_upper_water: Option<f64>,
    pub start_at_lower_water_utc: Option<Timestamp>,
    pub end_at_lower_water_utc: Option<Timestamp>,
    pub sun_altitude_start_deg: f64,
    pub sun_altitude_end_deg: f64,
    pub light_angle_start_deg: f64,
    pub light_angle_end_deg: f64,
    pub light_side: &'static str,
    pub high_water_utc: Option<Timestamp>,
    pub high_water_m: Option<f64>,
    pub upper_high_water_m: Option<f64>,
    pub range_m: Option<f64>,
    pub set_out_utc: Timestamp,
    pub seated_by_utc: Timestamp,
    pub way_cut_utc: Option<Timestamp>,
    pub way_clear_utc: Option<Timestamp>,
    pub latest_departure_utc: Option<Timestamp>,
    pub stand_up_utc: Timestamp,
    pub back_by_utc: Timestamp,
    pub overdue_utc: Timestamp,
    pub in_by_dark: bool,
    pub out_by_dark: bool,
    pub distance_m: f64,
    pub stand_off_m: f64,
    pub kit: Option<String>,
    pub frame_share: Option<f64>,
    pub pixels_along_subject: Option<f64>,
    pub picture: Option<&'static str>,
    pub may_bring: String,
    pub ask_first: String,
}

/// One seat and subject.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs)] // The names say it, with their units.
pub struct SeatRow {
    pub seat: String,
    pub place: String,
    pub subject: String,
    pub tally: Tally,
    pub never: Vec<Refusal>,
    pub relaxations: Vec<Relaxation>,
    pub framings: Vec<Framed>,
    pub refused: Vec<RefusedRow>,
}

/// One tide, or one stretch of light, without a window.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs)] // The names say it, with their units.
pub struct RefusedRow {
    pub date: Date,
    pub high_water_utc: Option<Timestamp>,
    pub high_water_m: Option<f64>,
    pub refusals: Vec<Refusal>,
}

pub(super) fn outings(season: &Season<'_>, count: usize) -> Vec<OutingRow> {
    let chosen = season.outings.iter().take(count).enumerate();
    chosen
        .map(|(index, outing)| row(season, index + 1, outing))
        .collect()
}

fn row(season: &Season<'_>, rank: usize, outing: &Outing<'_>) -> OutingRow {
    let Outing {
        seat,
        subject,
        occasion,
        window,
        brings,
        score,
        learned,
        to_find_out,
    } = outing;
    let scenario = season.scenario;
    let best = best_framing(season, outing);
    let high_water = occasion.high_water.as_ref();
    let times = &window.timetable;
    let lower = window
        .at_lower_water
        .as_ref()
        .filter(|_| high_water.is_some());
    OutingRow {
        rank,
        date: occasion.date,
        place: scenario.place_of(seat).id.clone(),
        seat: seat.id.clone(),
        subject: subject.id.clone(),
        light: season.light.name.clone(),
        start_utc: to_second(window.stretch.start),
        end_utc: to_second(window.stretch.end),
        start_local: local(season, window.stretch.start),
        end_local: local(season, window.stretch.end),
        minutes: places(wrackline_plan::time::minutes(&window.stretch), 1),
        score_minutes: places(*score, 1),
        learned_chance: learned.map(|chance| places(chance.mean, 3)),
        learned_low: learned.map(|chance| places(chance.interval.low, 3)),
        learned_high: learned.map(|chance| places(chance.interval.high, 3)),
        to_find_out: *to_find_out,
        chance_of_water: places(window.chance_of_water, 3),
        chance_above_upper_water: window.chance_above_upper.map(|p| places(p, 3)),
        start_at_lower_water_utc: lower.map(|s| to_second(s.start)),
        end_at_lower_water_utc: lower.map(|s| to_second(s.end)),
        sun_altitude_start_deg: places(window.sun[0].altitude_deg, 2),
        sun_altitude_end_deg: places(window.sun[2].altitude_deg, 2),
        light_angle_start_deg: places(window.sun[0].angle_deg, 1),
        light_angle_end_deg: places(window.sun[2].angle_deg, 1),
        light_side: side_name(window),
        high_water_utc: high_water.map(|hw| to_second(hw.at)),
        high_water_m: high_water.map(|hw| places(hw.height_m, 3)),
        upper_high_water_m: high_water
            .map(|hw| places(hw.height_m + scenario.water().upper_m(), 3)),
        range_m: high_water.map(|hw| places(hw.range_m, 2)),
        set_out_utc: to_second(times.set_out),
        seated_by_utc: to_second(times.seated_by),
        way_cut_utc: times.way.map(|way| to_second(way.cut)),
        way_clear_utc: times.way.map(|way| to_second(way.clear)),
        latest_departure_utc: times.latest_departure.map(to_second),
        stand_up_utc: to_second(times.stand_up),
        back_by_utc: to_second(times.back_by),
        overdue_utc: to_second(times.overdue),
        in_by_dark: times.in_by_dark,
        out_by_dark: times.out_by_dark,
        distance_m: seat.distance_m,
        stand_off_m: subject.stand_off_m(seat),
        kit: best.map(|framed| framed.kit.clone()),
        frame_share: best.map(|framed| places(framed.share, 4)),
        pixels_along_subject: best.map(|framed| framed.pixels.round()),
        picture: best.map(|framed| framed.picture.name()),
        may_bring: brings
            .iter()
            .map(|wanted| wanted.picture.as_str())
            .collect::<Vec<_>>()
            .join("; "),
        ask_first: window.ask_first.join("; "),
    }
}

pub(super) fn seats(season: &Season<'_>) -> Vec<SeatRow> {
    season
        .seats
        .iter()
        .map(|report| SeatRow {
            seat: report.seat.id.clone(),
            place: season.scenario.place_of(report.seat).id.clone(),
            subject: report.subject.id.clone(),
            tally: report.tally,
            never: report.never.clone(),
            relaxations: report.relaxations.clone(),
            framings: report.framings.clone(),
            refused: report
                .refused
                .iter()
                .map(|occasion| RefusedRow {
                    date: occasion.date,
                    high_water_utc: occasion.high_water.as_ref().map(|hw| to_second(hw.at)),
                    high_water_m: occasion
                        .high_water
                        .as_ref()
                        .map(|hw| places(hw.height_m, 3)),
                    refusals: occasion.refusals.clone(),
                })
                .collect(),
        })
        .collect()
}

/// The kit that shows the subject largest from an outing's seat.
pub(super) fn best_framing<'s>(season: &'s Season<'_>, outing: &Outing<'_>) -> Option<&'s Framed> {
    season
        .seats
        .iter()
        .find(|report| report.seat.id == outing.seat.id && report.subject.id == outing.subject.id)
        .and_then(|report| report.framings.first())
}

/// The side of the light in the middle of a window.
pub(super) fn side_name(window: &Window) -> &'static str {
    wrackline_plan::windows::side_name(window.sun[1].side)
}

/// An instant in the season's zone, as RFC 3339 with the offset of that day.
fn local(season: &Season<'_>, at: Timestamp) -> String {
    to_second(at)
        .to_zoned_datetime(season.scenario.zone().clone())
        .strftime("%Y-%m-%dT%H:%M:%S%:z")
        .to_string()
}

/// To the nearest second, which is finer than anything here is known.
fn to_second(at: Timestamp) -> Timestamp {
    at.round(Unit::Second).unwrap_or(at)
}

fn places(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}
