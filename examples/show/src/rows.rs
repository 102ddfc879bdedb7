//! A season as flat rows, one for each window, with units in the names.

use jiff::civil::Date;
use jiff::{Timestamp, Unit};
use serde::Serialize;

use crate::clock::Clock;
use crate::light;
use crate::limits::{Limit, Limits, Side, down, up};
use crate::nothing::Against;
use crate::weather;
use wrackline_plan::framing::Framed;
use wrackline_plan::scenario::Warning;
use wrackline_plan::season::{Outing, Relaxation, Season, Tally};
use wrackline_plan::weather::Reach;
use wrackline_plan::windows::{Refusal, side_name};

#[derive(Serialize)]
pub(super) struct Report<'s> {
    pub scenario: &'s str,
    /// Whether it is the invented demo, because no scenario was given.
    pub demo: bool,
    pub from: Date,
    pub last: Date,
    pub zone: &'s str,
    pub light: &'s str,
    pub warnings: &'s [Warning],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub forecast: Vec<String>,
    pub windows_in_all: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stands_against_most: Option<Against>,
    pub windows: Vec<OutingRow>,
    pub seats: Vec<SeatRow>,
    pub cautions: [&'static str; 5],
}

/// One window. Instants are UTC, to the second, limits on their cautious side; heights are metres
/// above chart datum, rounded up where they decide about access and down where they decide about
/// the picture.
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
    pub light_by: &'static str,
    pub terrain_takes_minutes: Option<f64>,
    pub moon_altitude_start_deg: Option<f64>,
    pub moon_altitude_end_deg: Option<f64>,
    pub moon_lit_fraction: Option<f64>,
    pub sun_near_view_from_utc: Option<Timestamp>,
    pub sun_near_view_until_utc: Option<Timestamp>,
    pub high_water_utc: Option<Timestamp>,
    pub high_water_m: Option<f64>,
    pub upper_high_water_m: Option<f64>,
    pub range_m: Option<f64>,
    pub set_out_utc: Timestamp,
    pub seated_by_utc: Timestamp,
    pub way_cut_utc: Option<Timestamp>,
    pub way_clear_utc: Option<Timestamp>,
    pub across_by_utc: Option<Timestamp>,
    pub not_back_before_utc: Option<Timestamp>,
    pub never_closes_lost_at_m: Option<f64>,
    pub never_closes_upper_water_m: Option<f64>,
    pub freeboard_m: Option<f64>,
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
    pub frost: String,
    pub forecast_age_hours: Option<f64>,
    pub forecast_water: Option<Reach>,
    pub forecast_upper_more_m: Option<f64>,
    pub forecast_lower_less_m: Option<f64>,
    pub cloud: Option<String>,
    pub cloud_as_wanted: Option<bool>,
}

/// One seat and subject.
#[derive(Clone, Debug, Serialize)]
#[allow(missing_docs)] // The names say it, with their units.
pub struct SeatRow {
    pub seat: String,
    pub place: String,
    pub subject: String,
    pub tally: Tally,
    pub light_minutes_under_open_horizon: Option<f64>,
    pub terrain_takes_minutes: Option<f64>,
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

/// The windows of a season as rows.
pub(crate) fn outings(season: &Season<'_>) -> Vec<OutingRow> {
    let outings = season.outings.iter();
    outings.map(|outing| row(season, outing)).collect()
}

fn row(season: &Season<'_>, outing: &Outing<'_>) -> OutingRow {
    let Outing {
        seat,
        subject,
        occasion,
        window,
        brings,
        score,
        learned,
        to_find_out,
        rank,
    } = outing;
    let scenario = season.scenario;
    let best = best_framing(season, outing);
    let high_water = occasion.high_water.as_ref();
    let times = &window.timetable;
    let limits = Limits::of(outing);
    let moon = light::moon(outing);
    let lit = window.light();
    let weather = window.weather.as_ref();
    let second = |limit: Option<Limit>| limit.map(Limit::to_second);
    let lower = window
        .at_lower_water
        .as_ref()
        .filter(|_| high_water.is_some());
    OutingRow {
        rank: *rank,
        date: occasion.date,
        place: scenario.place_of(seat).id.clone(),
        seat: seat.id.clone(),
        subject: subject.id.clone(),
        light: season.light.name.clone(),
        start_utc: limits.pictures_from.to_second(),
        end_utc: limits.pictures_until.to_second(),
        start_local: local(season, limits.pictures_from),
        end_local: local(season, limits.pictures_until),
        minutes: down(wrackline_plan::time::minutes(&window.stretch), 1),
        score_minutes: places(*score, 1),
        learned_chance: learned.map(|chance| places(chance.mean, 3)),
        learned_low: learned.map(|chance| places(chance.interval.low, 3)),
        learned_high: learned.map(|chance| places(chance.interval.high, 3)),
        to_find_out: *to_find_out,
        chance_of_water: places(window.chance_of_water, 3),
        chance_above_upper_water: window.chance_above_upper.map(|p| places(p, 3)),
        start_at_lower_water_utc: lower.map(|s| Side::NotEarlier.rounded(s.start, Unit::Second)),
        end_at_lower_water_utc: lower.map(|s| Side::NotLater.rounded(s.end, Unit::Second)),
        sun_altitude_start_deg: places(window.sun[0].altitude_deg, 2),
        sun_altitude_end_deg: places(window.sun[2].altitude_deg, 2),
        light_angle_start_deg: places(lit[0].angle_deg, 1),
        light_angle_end_deg: places(lit[2].angle_deg, 1),
        light_side: side_name(lit[1].side),
        light_by: light::source(window),
        terrain_takes_minutes: window
            .terrain_takes
            .map(|takes| places(takes.taken_minutes, 1)),
        moon_altitude_start_deg: moon.map(|moon| places(moon.altitude_deg[0], 2)),
        moon_altitude_end_deg: moon.map(|moon| places(moon.altitude_deg[1], 2)),
        moon_lit_fraction: moon.map(|moon| down(moon.lit_fraction, 3)),
        sun_near_view_from_utc: limits.sun_near_view.map(|near| near[0].to_second()),
        sun_near_view_until_utc: limits.sun_near_view.map(|near| near[1].to_second()),
        high_water_utc: high_water.map(|hw| to_second(hw.at)),
        high_water_m: high_water.map(|hw| down(hw.height_m, 3)),
        upper_high_water_m: high_water.map(|hw| up(hw.upper_m(scenario), 3)),
        range_m: high_water.map(|hw| places(hw.range_m, 2)),
        set_out_utc: limits.set_out.to_second(),
        seated_by_utc: limits.seated_by.to_second(),
        way_cut_utc: second(limits.way.map(|way| way.cut)),
        way_clear_utc: second(limits.way.map(|way| way.clear)),
        across_by_utc: second(limits.way.map(|way| way.cross_by)),
        not_back_before_utc: second(limits.way.map(|way| way.cross_from)),
        never_closes_lost_at_m: times.never_closes.map(|way| down(way.lost_at_m, 3)),
        never_closes_upper_water_m: times.never_closes.map(|way| up(way.upper_m, 3)),
        freeboard_m: times.freeboard_m.map(|freeboard| down(freeboard, 3)),
        latest_departure_utc: second(limits.latest_departure),
        stand_up_utc: limits.stand_up.to_second(),
        back_by_utc: limits.back_by.to_second(),
        overdue_utc: limits.overdue.to_second(),
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
        frost: window.frost.join("; "),
        forecast_age_hours: weather.and_then(|at| at.age_hours).map(|h| places(h, 1)),
        forecast_water: weather.map(|at| at.water),
        forecast_upper_more_m: weather.map(|at| up(at.upper_more_m, 3)),
        forecast_lower_less_m: weather.map(|at| up(at.lower_less_m, 3)),
        cloud: weather.and_then(|at| {
            let clock = Clock::of(scenario, outing);
            weather::cloud(at, &clock)
        }),
        cloud_as_wanted: weather.and_then(|at| at.as_wanted),
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
            light_minutes_under_open_horizon: report
                .terrain_takes
                .map(|takes| places(takes.open_minutes, 1)),
            terrain_takes_minutes: report
                .terrain_takes
                .map(|takes| places(takes.taken_minutes, 1)),
            never: report.never.clone(),
            relaxations: report.relaxations.clone(),
            framings: report.framings.clone(),
            refused: report
                .refused
                .iter()
                .map(|occasion| RefusedRow {
                    date: occasion.date,
                    high_water_utc: occasion.high_water.as_ref().map(|hw| to_second(hw.at)),
                    high_water_m: occasion.high_water.as_ref().map(|hw| down(hw.height_m, 3)),
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

/// An instant in the season's zone, as RFC 3339 with the offset of that day.
fn local(season: &Season<'_>, limit: Limit) -> String {
    limit
        .to_second()
        .to_zoned_datetime(season.scenario.zone().clone())
        .strftime("%Y-%m-%dT%H:%M:%S%:z")
        .to_string()
}

/// To the nearest second, where nothing depends on it.
fn to_second(at: Timestamp) -> Timestamp {
    Side::Nearest.rounded(at, Unit::Second)
}

fn places(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}
