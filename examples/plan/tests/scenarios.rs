//! Scenarios other than the demo: secondary ports, inland places, polar days, windows across
//! midnight, free hours, moonlight.
#![allow(clippy::unwrap_used)]

use jiff::civil::date;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{EVERY_SUBJECT, Request, Season, season};
use wrackline_plan::windows::{Condition, Phase};

fn demo() -> Scenario {
    Scenario::parse(DEMO_NAME, DEMO).unwrap()
}

fn demo_and(more: &str) -> Scenario {
    Scenario::parse("demo_and.toml", &format!("{DEMO}\n{more}")).unwrap()
}

fn winter<'s>(scenario: &'s Scenario, light: Option<&str>) -> Season<'s> {
    let request = Request {
        light,
        ..Request::new(date(2026, 11, 25), 96)
    };
    season(scenario, request).unwrap()
}

const NO_DIFFERENCE: &str = r#"
[port.secondary]
standard = { mhws_m = 7.8, mhwn_m = 6.1, mlwn_m = 2.7, mlws_m = 1.0 }
differences = { mhws_m = 0, mhwn_m = 0, mlwn_m = 0, mlws_m = 0 }
high_water_minutes = [[0, 0], [6, 0]]
low_water_minutes = [[0, 0], [6, 0]]
"#;

#[test]
fn a_secondary_port_without_differences_has_the_tides_of_its_standard_port() {
    let standard = demo();
    let secondary = demo_and(NO_DIFFERENCE);
    let (a, b) = (winter(&standard, None), winter(&secondary, None));
    assert_eq!(a.seats[0].tally.all, b.seats[0].tally.all);
    assert_eq!(a.seats[0].tally.in_band, b.seats[0].tally.in_band);
    let span = wrackline_plan::season::civil_span(&standard, a.from, a.last).unwrap();
    let turns = |scenario: &Scenario| {
        let curve = scenario.tide().unwrap().curve(span.clone()).unwrap();
        let inside = curve.turns().iter().filter(|turn| span.contains(&turn.at));
        inside.copied().collect::<Vec<_>>()
    };
    // The certificate ends within a second and a tenth of a millimetre of the turn, whatever the
    // span it was made for.
    let (x, y) = (turns(&standard), turns(&secondary));
    assert_eq!(x.len(), y.len());
    for (x, y) in x.iter().zip(&y) {
        assert_eq!(x.kind, y.kind);
        assert!(x.at.duration_since(y.at).as_secs_f64().abs() < 1.0);
        assert!((x.height_m - y.height_m).abs() < 1e-4);
    }
}

#[test]
fn differences_shift_and_lower_the_tides() {
    let text = NO_DIFFERENCE
        .replace(
            "high_water_minutes = [[0, 0], [6, 0]]",
            "high_water_minutes = [[0, 30], [6, 30]]",
        )
        .replace("mhws_m = 0, mhwn_m = 0", "mhws_m = -0.5, mhwn_m = -0.5");
    let standard = demo();
    let secondary = demo_and(&text);
    let (a, b) = (winter(&standard, None), winter(&secondary, None));
    let first = |season: &Season<'_>| season.seats[0].refused[0].high_water.clone().unwrap();
    let (x, y) = (first(&a), first(&b));
    assert_eq!(y.at.duration_since(x.at).as_secs(), 1800);
    assert!((x.height_m - y.height_m - 0.5).abs() < 1e-9);
    assert!(b.seats[0].tally.in_band < a.seats[0].tally.in_band);
}

#[test]
fn free_hours_hold_for_the_whole_outing() {
    let scenario =
        demo_and("[[free]]\nweekdays = [\"Sat\", \"Sun\"]\nfrom = \"04:00\"\nuntil = \"20:00\"\n");
    let season = winter(&scenario, None);
    assert!(!season.outings.is_empty());
    for outing in &season.outings {
        let times = &outing.window.timetable;
        // Forty minutes from home to the road, and as many back.
        let home = jiff::SignedDuration::from_mins(40);
        for at in [times.set_out - home, times.back_by + home] {
            let there = at.to_zoned_datetime(scenario.zone().clone());
            let weekday = there.date().weekday().to_monday_one_offset();
            assert!(weekday >= 6, "{there}");
            assert!((4..20).contains(&there.time().hour()), "{there}");
        }
    }
    let busy = season.seats[0]
        .obstacles
        .iter()
        .find(|(c, _)| *c == Condition::FreeHours);
    assert!(busy.is_some());
}

#[test]
fn moonlight_needs_a_moon() {
    let scenario = demo();
    let season = winter(&scenario, Some("moonlight"));
    assert!(!season.outings.is_empty());
    for outing in &season.outings {
        for sun in outing.window.sun {
            let moon = outing.seat.observer.moon(sun.at);
            assert!(moon.altitude_deg > 9.99, "{}", moon.altitude_deg);
            // Judged in the middle of the moon's stretch: half a night is worth 0.05 of lit
            // fraction.
            assert!(moon.lit_fraction > 0.55);
            assert!((-18.01..=-3.99).contains(&sun.altitude_deg));
        }
    }
}

#[test]
fn flood_and_ebb_part_at_high_water() {
    let scenario = demo();
    let on = |phase| {
        let request = Request {
            phase,
            ..Request::new(date(2026, 11, 25), 96)
        };
        season(&scenario, request).unwrap()
    };
    let (flood, ebb) = (on(Phase::Flood), on(Phase::Ebb));
    assert!(!flood.outings.is_empty() && !ebb.outings.is_empty());
    for outing in &flood.outings {
        assert!(outing.window.stretch.end <= outing.occasion.high_water.as_ref().unwrap().at);
    }
    for outing in &ebb.outings {
        assert!(outing.window.stretch.start >= outing.occasion.high_water.as_ref().unwrap().at);
    }
}

fn inland(latitude: f64, zone: &str, altitude: &str) -> Scenario {
    let text = format!(
        r#"
title = "inland"
zone = "{zone}"
[[light]]
name = "wanted"
altitude_deg = {altitude}
angle_deg = [0, 180]
[[place]]
id = "p"
name = "place"
latitude_deg = {latitude}
longitude_deg = 20
subjects = ["s"]
[[seat]]
id = "a"
name = "seat"
place = "p"
latitude_deg = {latitude}
longitude_deg = 20
bearing_deg = 0
distance_m = 100
in_minutes = 10
out_minutes = 10
[[subject]]
id = "s"
name = "subject"
length_m = 0.3
stand_off_on_foot_m = 80
stand_off_from_hide_m = 50
present = "all year"
"#
    );
    Scenario::parse("inland.toml", &text).unwrap()
}

#[test]
fn inland_places_need_no_port() {
    let scenario = inland(52.0, "Europe/Berlin", "[0, 12]");
    let season = season(&scenario, Request::new(date(2026, 3, 25), 10)).unwrap();
    // Morning and evening of each of ten days, a clock change among them.
    assert_eq!(season.outings.len(), 20);
    assert!(
        season
            .outings
            .iter()
            .all(|outing| outing.occasion.high_water.is_none())
    );
}

#[test]
fn polar_day_and_night_are_answers() {
    let low = inland(78.0, "Arctic/Longyearbyen", "[0, 12]");
    // The sun stays below 12 degrees around midnight through the polar day: windows run across
    // midnight.
    let midsummer = season(&low, Request::new(date(2027, 6, 20), 3)).unwrap();
    // At 78 degrees north the sun of midsummer stands at 11.4 degrees at midnight: just inside.
    assert_eq!(midsummer.outings.len(), 3);
    let across = season(&low, Request::new(date(2027, 5, 1), 5)).unwrap();
    assert!(!across.outings.is_empty());
    let midwinter = season(&low, Request::new(date(2026, 12, 10), 20)).unwrap();
    assert_eq!(midwinter.seats[0].tally.all, 0);
    let always = inland(78.0, "Arctic/Longyearbyen", "[5, 60]");
    let season = season(&always, Request::new(date(2027, 6, 1), 30)).unwrap();
    // One stretch of light, longer than the span, told day by day.
    assert_eq!(season.seats[0].tally.all, 30);
}

#[test]
fn a_year_with_no_window_is_an_answer() {
    let text = DEMO.replace("altitude_deg = [0, 12]", "altitude_deg = [70, 80]");
    let scenario = Scenario::parse("none.toml", &text).unwrap();
    let request = Request {
        subject: Some(EVERY_SUBJECT),
        ..Request::new(date(2027, 1, 1), 365)
    };
    let season = season(&scenario, request).unwrap();
    assert!(season.outings.is_empty());
    assert!(
        season
            .seats
            .iter()
            .any(|report| !report.other_lights.is_empty())
    );
}
