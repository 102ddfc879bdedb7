//! The sun near the view, and the moon where it lights the picture.

use jiff::civil::date;
use wrackline_plan::season::{Request, season};
use wrackline_show::report::Format;

use crate::helpers::{Wanted, cell, demo, one_day, words, written};

#[test]
fn every_output_tells_when_the_sun_is_near_the_view() {
    let scenario = demo();
    let wanted = Wanted {
        day: date(2027, 3, 31),
        seat: "E",
        place: "overmere",
        subject: "reed-owl",
        light: "back light",
    };
    let season = one_day(&scenario, wanted);
    let near = &season.outings[0].window.sun_near_view.near;
    let (from, until) = (
        near.iter().next().unwrap().start,
        near.iter().next_back().unwrap().end,
    );
    // Not later than it begins, not earlier than it ends: times are UTC in the demo.
    let clock = |at: jiff::Timestamp, seconds: i64| {
        let minute = (at.as_second() + seconds).div_euclid(60) * 60;
        jiff::Timestamp::from_second(minute)
            .unwrap()
            .strftime("%H:%M")
            .to_string()
    };
    let (from_told, until_told) = (clock(from, 0), clock(until, 60));
    for (name, text) in words(&scenario, wanted) {
        let told = text.contains(&format!("rom {from_told} to {until_told}"));
        assert!(
            told,
            "{from_told} to {until_told} is not on the {name}: {text}"
        );
    }
    let text = written(&season, Format::Text);
    assert!(
        text.contains(&format!("SUN NEAR THE VIEW {from_told}-{until_told}")),
        "{text}"
    );
    let csv = written(&season, Format::Csv);
    let json: serde_json::Value = serde_json::from_str(&written(&season, Format::Json)).unwrap();
    for (column, at) in [
        ("sun_near_view_from_utc", from),
        ("sun_near_view_until_utc", until),
    ] {
        let told: jiff::Timestamp = cell(&csv, column).parse().unwrap();
        assert_eq!(json["windows"][0][column], cell(&csv, column).as_str());
        assert!((told - at).as_secs_f64().abs() < 1.0);
    }
    assert!(
        cell(&csv, "sun_near_view_from_utc")
            .parse::<jiff::Timestamp>()
            .unwrap()
            <= from
    );
    assert!(
        cell(&csv, "sun_near_view_until_utc")
            .parse::<jiff::Timestamp>()
            .unwrap()
            >= until
    );
}

#[test]
fn by_moonlight_the_side_is_that_of_the_moon() {
    let scenario = demo();
    let request = Request {
        light: Some("moonlight"),
        ..Request::new(date(2026, 11, 25), 96)
    };
    let found = season(&scenario, request).unwrap();
    let outing = found.outings.first().expect("a moonlit window");
    let wanted = Wanted {
        day: outing.occasion.date,
        seat: &outing.seat.id,
        place: &scenario.place_of(outing.seat).id,
        subject: &outing.subject.id,
        light: "moonlight",
    };
    let lit = outing
        .seat
        .observer
        .moon(outing.window.sun[1].at)
        .lit_fraction;
    assert!(lit >= 0.6, "the demo asks for 60 %");
    let told = format!("{} % lit", (lit * 100.0).floor());
    for (name, text) in words(&scenario, wanted) {
        assert!(text.contains("by the moon"), "{name}: {text}");
        assert!(text.contains(&told), "{told} on the {name}: {text}");
    }
    let csv = written(&one_day(&scenario, wanted), Format::Csv);
    assert_eq!(cell(&csv, "light_by"), "moon");
    let moon = outing.window.moon.unwrap();
    let angle: f64 = cell(&csv, "light_angle_start_deg").parse().unwrap();
    assert!((angle - moon[0].angle_deg).abs() <= 0.051);
    let height: f64 = cell(&csv, "moon_altitude_start_deg").parse().unwrap();
    assert!((height - moon[0].altitude_deg).abs() <= 0.0051);
}
