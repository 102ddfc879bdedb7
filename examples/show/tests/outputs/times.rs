//! Times: rounded to the cautious side, with the day and the offset where they are not those of the row.

use jiff::civil::date;
use jiff::tz::TimeZone;
use wrackline_show::report::Format;

use crate::helpers::{Wanted, cell, demo, demo_with, leaving, one_day, words, written};

/// What a minute or a second before and after an instant is called.
fn clock(at: jiff::Timestamp, later: bool) -> String {
    let seconds = at.as_nanosecond().div_euclid(1_000_000_000) as i64;
    let whole = at.as_nanosecond() % 60_000_000_000 == 0;
    let minute = seconds.div_euclid(60) + i64::from(later && !whole);
    let minute = jiff::Timestamp::from_second(minute * 60).unwrap();
    minute.strftime("%H:%M").to_string()
}

#[test]
fn the_latest_departure_is_the_same_everywhere_and_never_later_than_it_is() {
    let scenario = leaving();
    let wanted = Wanted {
        day: date(2026, 12, 29),
        seat: "C",
        place: "brindle",
        subject: "slate-knotling",
        light: "soft overcast",
    };
    let season = one_day(&scenario, wanted);
    let latest = season.outings[0].window.timetable.latest_departure.unwrap();
    let told = format!("atest departure {}", clock(latest, false)).to_lowercase();
    for (name, text) in words(&scenario, wanted) {
        let told = text.to_lowercase().contains(&told);
        assert!(told, "{} on the {name}: {text}", clock(latest, false));
    }
    if season.outings[0].window.timetable.stand_up == latest {
        let up = format!("stand up {},", clock(latest, false));
        let text = written(&season, Format::Text);
        assert!(text.contains(&up), "{up} {text}");
    }
    let csv = written(&season, Format::Csv);
    let second: jiff::Timestamp = cell(&csv, "latest_departure_utc").parse().unwrap();
    assert!(second <= latest && latest.as_second() == second.as_second());
}

#[test]
fn the_way_back_is_not_told_earlier_than_it_opens_nor_the_way_in_later() {
    let scenario = demo();
    let wanted = Wanted {
        day: date(2026, 12, 29),
        seat: "B",
        place: "tallow-ness",
        subject: "slate-knotling",
        light: "low front light",
    };
    let season = one_day(&scenario, wanted);
    let way = season.outings[0].window.timetable.way.unwrap();
    let told = format!(
        "cross by {}, not back before {}",
        clock(way.cross_by, false),
        clock(way.cross_from, true)
    );
    let told = told.trim_start_matches("cross ");
    for (name, text) in words(&scenario, wanted) {
        assert!(text.contains(told), "{told} on the {name}: {text}");
    }
    let csv = written(&season, Format::Csv);
    let second = |name| cell(&csv, name).parse::<jiff::Timestamp>().unwrap();
    assert!(second("across_by_utc") <= way.cross_by);
    assert!(second("not_back_before_utc") >= way.cross_from);
    assert!(second("start_utc") >= season.outings[0].window.stretch.start);
    assert!(second("end_utc") <= season.outings[0].window.stretch.end);
    let upper: f64 = cell(&csv, "upper_high_water_m").parse().unwrap();
    let tide = season.outings[0].occasion.high_water.as_ref().unwrap();
    assert!(upper >= tide.height_m + scenario.water().upper_m() - 1e-9);
}

#[test]
fn an_instant_on_another_day_says_which_in_the_text_too() {
    // UTC+14 puts the same high water on the evening, and the way home after midnight.
    let zone = TimeZone::get("Pacific/Kiritimati").unwrap();
    let scenario = demo().in_zone(zone, "Pacific/Kiritimati");
    let wanted = Wanted {
        day: date(2026, 12, 29),
        seat: "B",
        place: "tallow-ness",
        subject: "slate-knotling",
        light: "low front light",
    };
    for (name, text) in words(&scenario, wanted) {
        assert!(text.contains("Wed 0"), "{name}: {text}");
    }
}

#[test]
fn at_a_clock_change_every_time_has_its_offset_in_the_text_too() {
    // Clocks in New York go forward on the second Sunday in March at 02:00, which is 07:00 UTC (Energy Policy Act of 2005,
    // section 110).
    let zone = TimeZone::get("America/New_York").unwrap();
    let scenario = demo().in_zone(zone, "America/New_York");
    let wanted = Wanted {
        day: date(2027, 3, 14),
        seat: "E",
        place: "overmere",
        subject: "reed-owl",
        light: "soft overcast",
    };
    for (name, text) in words(&scenario, wanted) {
        assert!(text.contains(" -05:00"), "{name}: {text}");
        assert!(text.contains(" -04:00"), "{name}: {text}");
    }
}

#[test]
fn a_polar_day_is_not_a_window_of_a_whole_day() {
    let scenario = demo_with(&[
        ("latitude_deg = 53.3852", "latitude_deg = 78.0002"),
        ("latitude_deg = 53.385\n", "latitude_deg = 78.0\n"),
        ("present = \"Nov-Mar\"", "present = \"all year\""),
        ("altitude_deg = [6, 60]", "altitude_deg = [0, 60]"),
    ]);
    let wanted = Wanted {
        day: date(2027, 6, 10),
        seat: "E",
        place: "overmere",
        subject: "reed-owl",
        light: "soft overcast",
    };
    let csv = written(&one_day(&scenario, wanted), Format::Csv);
    let minutes: f64 = cell(&csv, "minutes").parse().unwrap();
    let second = |name| cell(&csv, name).parse::<jiff::Timestamp>().unwrap();
    let away = second("back_by_utc") - second("set_out_utc");
    // The longest outing is a day, walks and waiting included.
    assert!(away.as_secs() <= 24 * 3600 + 1, "{away}");
    assert!((1000.0..1440.0 - 45.0).contains(&minutes), "{minutes}");
}

#[test]
fn whom_to_call_where_to_park_and_how_long_one_is_out_reach_card_and_calendar() {
    let scenario = demo_with(&[("[contact]", "[habits]\nlongest_hours = 11\n\n[contact]")]);
    let wanted = Wanted {
        day: date(2026, 12, 29),
        seat: "B",
        place: "tallow-ness",
        subject: "slate-knotling",
        light: "low front light",
    };
    let contact = scenario.contact().unwrap();
    let place = scenario.place("tallow-ness").unwrap();
    // 05:40:15 to 14:00:23.
    let expected = [
        contact.name.as_str(),
        contact.phone.as_deref().unwrap(),
        place.parking.as_deref().unwrap(),
        "out 8:21 h of 11:00 h",
    ];
    for (name, text) in &words(&scenario, wanted)[1..] {
        for expected in expected {
            assert!(text.contains(expected), "{expected} on the {name}: {text}");
        }
    }
}
