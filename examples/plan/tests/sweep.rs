//! Seats all around a place: against the seasons of real seats, and independent of the number of
//! threads.
#![allow(clippy::unwrap_used, clippy::panic)]

use jiff::civil::{Date, date};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{Request, season};
use wrackline_plan::sweep::{Ask, Sweep, Tried, sweep};
use wrackline_plan::windows::Condition;

const FROM: Date = date(2026, 11, 25);

fn demo() -> Scenario {
    Scenario::parse(DEMO_NAME, DEMO).unwrap()
}

fn ask<'a>(place: &'a str, distances_m: &'a [f64]) -> Ask<'a> {
    Ask {
        place: Some(place),
        distances_m,
        ..Ask::new(FROM, 96)
    }
}

fn at(sweep: &Sweep<'_>, bearing_deg: u32) -> Tried {
    let mut trials = sweep.trials.iter();
    trials
        .find(|tried| tried.bearing_deg == bearing_deg)
        .unwrap()
        .clone()
}

#[test]
fn a_view_like_that_of_a_seat_has_the_windows_of_that_seat() {
    // Seat A's bearing, distance and everything else; the trial seat stands a few metres elsewhere,
    // which moves the sun by less than a thousandth of a degree and the ends of windows by less
    // than a second.
    let text = DEMO.replacen("bearing_deg = 292", "bearing_deg = 290", 1);
    let scenario = Scenario::parse("test.toml", &text).unwrap();
    let asked = Ask {
        like: Some("A"),
        on_foot: true,
        ..ask("tallow-ness", &[85.0])
    };
    let swept = sweep(&scenario, asked).unwrap();
    let season = season(&scenario, Request::new(FROM, 96)).unwrap();
    let mut reports = season.seats.iter();
    let report = reports.find(|report| report.seat.id == "A").unwrap();
    let tried = at(&swept, 290);
    assert_eq!(tried.in_band, report.tally.in_band);
    assert_eq!(tried.lit, report.tally.in_band_and_light);
    assert_eq!(tried.open, report.tally.open);
    assert!(tried.open > 10);
    let outings = season.outings.iter().filter(|outing| outing.seat.id == "A");
    let minutes: f64 = outings
        .map(|outing| wrackline_plan::time::minutes(&outing.window.stretch))
        .sum();
    let windows = report.tally.windows as f64;
    assert!(
        (tried.minutes - minutes).abs() < windows / 60.0,
        "{} {minutes}",
        tried.minutes
    );
}

#[test]
fn the_best_day_is_that_of_a_season_and_not_that_of_the_longest_window() {
    let text = DEMO.replacen("bearing_deg = 292", "bearing_deg = 290", 1);
    let scenario = Scenario::parse("test.toml", &text).unwrap();
    // Days of which the longest window has low light and water that may well stay away.
    let (from, days) = (date(2027, 1, 15), 43);
    let asked = Ask {
        from,
        days,
        like: Some("A"),
        on_foot: true,
        ..ask("tallow-ness", &[85.0])
    };
    let tried = at(&sweep(&scenario, asked).unwrap(), 290);
    let season = season(&scenario, Request::new(from, days)).unwrap();
    let at_a = || season.outings.iter().filter(|outing| outing.seat.id == "A");
    let best = at_a().max_by(|a, b| a.score.total_cmp(&b.score)).unwrap();
    let minutes = |stretch| wrackline_plan::time::minutes(stretch);
    let longest = at_a()
        .max_by(|a, b| minutes(&a.window.stretch).total_cmp(&minutes(&b.window.stretch)))
        .unwrap();
    assert_ne!(best.occasion.date, longest.occasion.date);
    assert_eq!(tried.best, Some(best.occasion.date));
}

#[test]
fn the_view_of_seat_d_never_works_but_others_there_do() {
    // The demo's seat D looks to 40 degrees: tides in its band, none in low front light.
    let scenario = demo();
    let swept = sweep(&scenario, ask("gorsey", &[])).unwrap();
    let north_east = at(&swept, 40);
    assert!(north_east.in_band > 0);
    assert_eq!((north_east.lit, north_east.open), (0, 0));
    assert_eq!(north_east.limit, Some(Condition::Light));
    assert!(swept.trials.iter().any(|tried| tried.open > 0));
}

#[test]
fn no_view_inside_the_stand_off_distance_has_a_window() {
    let scenario = demo();
    let swept = sweep(&scenario, ask("tallow-ness", &[59.0, 60.0])).unwrap();
    assert_eq!(swept.trials.len(), 72);
    let (inside, outside) = swept.trials.split_at(36);
    assert!(
        inside
            .iter()
            .all(|tried| tried.open == 0 && tried.never == Some(Condition::StandOff))
    );
    assert!(outside.iter().any(|tried| tried.open > 0));
    assert!(outside.iter().all(|tried| tried.never.is_none()));
}

#[cfg(feature = "parallel")]
#[test]
fn the_result_does_not_depend_on_the_number_of_threads() {
    let scenario = demo();
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.unwrap().install(|| {
            let swept = sweep(&scenario, ask("tallow-ness", &[60.0, 85.0])).unwrap();
            swept.trials
        })
    };
    let alone = with(1);
    assert_eq!(alone, with(2));
    assert_eq!(alone, with(5));
}
