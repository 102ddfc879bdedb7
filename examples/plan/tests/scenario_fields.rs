//! What the fields of a scenario mean to a season.
#![allow(clippy::unwrap_used)]

use jiff::civil::{Date, date};
use wrackline_plan::scenario::{DEMO, HalfMonths, Scenario};
use wrackline_plan::season::{EVERY_SUBJECT, Request, Season, season};

fn demo_with(old: &str, new: &str) -> Scenario {
    assert!(DEMO.contains(old), "the demo no longer has: {old}");
    Scenario::parse("test.toml", &DEMO.replacen(old, new, 1)).unwrap()
}

fn demo_and(more: &str) -> Scenario {
    Scenario::parse("test.toml", &format!("{DEMO}\n{more}")).unwrap()
}

fn winter<'s>(scenario: &'s Scenario, subject: Option<&str>) -> Season<'s> {
    let request = Request {
        subject,
        ..Request::new(date(2026, 11, 25), 96)
    };
    season(scenario, request).unwrap()
}

/// The days of the outings, by seat and subject.
fn days(season: &Season<'_>) -> Vec<(String, String, Date)> {
    let mut days: Vec<_> = season
        .outings
        .iter()
        .map(|outing| {
            let at = outing.window.stretch.start;
            let zone = season.scenario.zone().clone();
            let day = at.to_zoned_datetime(zone).date();
            (outing.seat.id.clone(), outing.subject.id.clone(), day)
        })
        .collect();
    days.sort();
    days
}

#[test]
fn a_closure_may_be_of_a_seat_alone() {
    let open = Scenario::parse("test.toml", DEMO).unwrap();
    let closed = demo_and(
        "[[closure]]\nseat = \"A\"\nfrom = \"12-01\"\nto = \"01-31\"\nreason = \"r\"\nrule = \
         \"closed\"",
    );
    let (before, after) = (days(&winter(&open, None)), days(&winter(&closed, None)));
    let shut = |day: &Date| (date(2026, 12, 1)..=date(2027, 1, 31)).contains(day);
    let left: Vec<_> = before
        .iter()
        .filter(|(seat, _, day)| seat != "A" || !shut(day))
        .cloned()
        .collect();
    assert!(left.len() < before.len());
    assert_eq!(after, left);
}

#[test]
fn a_closure_of_an_animal_guards_it_wherever_it_is_listed() {
    let open = Scenario::parse("test.toml", DEMO).unwrap();
    let closed = demo_and(
        "[[closure]]\nsubject = \"longbill-marshpiper\"\nfrom = \"11-01\"\nto = \"02-28\"\nreason \
         = \"r\"\n\
         rule = \"closed\"",
    );
    let every = Some(EVERY_SUBJECT);
    let (before, after) = (days(&winter(&open, every)), days(&winter(&closed, every)));
    let at = |days: &[(String, String, Date)], seats: &[&str]| {
        let here = days
            .iter()
            .filter(|(seat, _, _)| seats.contains(&seat.as_str()));
        here.cloned().collect::<Vec<_>>()
    };
    // The piper is listed at Brindle, where seat C stands, and nowhere else.
    assert!(at(&after, &["C"]).is_empty());
    let others = ["A", "B", "D", "E", "F"];
    assert!(!at(&before, &others).is_empty());
    assert_eq!(at(&after, &others), at(&before, &others));
}

#[test]
fn a_closure_names_a_seat_of_its_own_place() {
    let text = format!(
        "{DEMO}\n[[closure]]\nplace = \"brindle\"\nseat = \"A\"\nfrom = \"12-01\"\nto = \
         \"01-31\"\nreason = \"r\"\n\
         rule = \"closed\""
    );
    let problems = Scenario::parse("test.toml", &text).unwrap_err().to_string();
    assert!(problems.contains("stands at another place"), "{problems}");
    let text = text.replace("seat = \"A\"", "seat = \"Z\"");
    let problems = Scenario::parse("test.toml", &text).unwrap_err().to_string();
    assert!(problems.contains("there is no seat \"Z\""), "{problems}");
}

#[test]
fn a_wanted_picture_may_be_of_another_animal_than_the_project() {
    let scenario = demo_and(
        "[[wanted]]\nname = \"owl over the ditch\"\nsubject = \"reed-owl\"\nlight = [\"low front \
         light\"]",
    );
    let season = winter(&scenario, Some(EVERY_SUBJECT));
    let owl = scenario.wanted().last().unwrap();
    assert_eq!(scenario.subject_of(owl).unwrap().id, "reed-owl");
    let mut pictures = 0;
    for outing in &season.outings {
        let brings: Vec<&str> = outing
            .brings
            .iter()
            .map(|wanted| wanted.picture.as_str())
            .collect();
        match outing.subject.id.as_str() {
            "reed-owl" => assert_eq!(brings, ["owl over the ditch"]),
            "slate-knotling" => assert!(!brings.contains(&"owl over the ditch")),
            _ => assert!(brings.is_empty(), "{brings:?}"),
        }
        pictures += brings.len();
    }
    assert!(pictures > 0);
}

#[test]
fn the_contact_and_the_parking_are_told() {
    let scenario = Scenario::parse("test.toml", DEMO).unwrap();
    let contact = scenario.contact().unwrap();
    assert!(!contact.name.is_empty());
    assert!(contact.phone.is_some());
    let parking = scenario.places()[0].parking.as_deref();
    assert_eq!(parking, Some("yard at the sea wall, gate shut at dusk"));
    let text = DEMO.replacen("phone = \"", "phone = \"none\" # \"", 1);
    let problems = Scenario::parse("test.toml", &text).unwrap_err().to_string();
    assert!(problems.contains("has no digit"), "{problems}");
}

#[test]
fn by_moonlight_the_sun_may_be_anywhere_below() {
    let old = "altitude_deg = [-18, -4]";
    let request = || Request {
        light: Some("moonlight"),
        subject: Some(EVERY_SUBJECT),
        ..Request::new(date(2027, 1, 15), 20)
    };
    let deep = demo_with(old, "altitude_deg = [-90, -4]");
    let season = season(&deep, request()).unwrap();
    let lowest = season
        .outings
        .iter()
        .map(|outing| {
            outing
                .seat
                .observer
                .sun(outing.window.stretch.end)
                .altitude_deg
        })
        .fold(90.0, f64::min);
    assert!(lowest < -30.0, "{lowest}");
}

#[test]
fn the_year_of_an_animal_begins_in_the_middle_of_its_longest_absence() {
    // The first day of its year, at 53 degrees north and south.
    for (present, north, south) in [
        // Away from May to August.
        ("Sep-Apr", (7, 1), (7, 1)),
        // Away from October to March, and so on over the new year.
        ("Apr-Sep", (1, 1), (1, 1)),
        ("Aug-Mar", (6, 1), (6, 1)),
        // Two absences: of February and of June to September, the longer one counts; of two equal
        // ones the first.
        ("Oct-Jan, Mar-May", (8, 1), (8, 1)),
        ("Jan-Mar, Jul-Sep", (5, 16), (5, 16)),
        // An odd number of half-months: the half-month in their middle.
        ("early Aug - early Jul", (7, 16), (7, 16)),
        // Never away: half a year from midwinter.
        ("all year", (7, 1), (1, 1)),
    ] {
        let present: HalfMonths = present.parse().unwrap();
        for (latitude_deg, (month, day)) in [(53.0, north), (-53.0, south)] {
            let first = date(2027, month, day);
            let before = first.yesterday().unwrap();
            assert_eq!(present.year_of(first, latitude_deg), 2027, "{first}");
            assert_eq!(present.year_of(before, latitude_deg), 2026, "{before}");
            // A year is a year.
            let next = date(2028, month, day).yesterday().unwrap();
            assert_eq!(present.year_of(next, latitude_deg), 2027, "{next}");
        }
    }
    let demo = Scenario::parse("test.toml", DEMO).unwrap();
    let knotling = demo.project_subject().unwrap();
    assert_eq!(knotling.year_of(date(2027, 4, 30), 53.4), 2026);
}
