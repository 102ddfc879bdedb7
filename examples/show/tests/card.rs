//! The card: what stands on it, what must never stand on it, and that it needs nothing but itself.
#![allow(clippy::unwrap_used)]

mod support;

use jiff::Timestamp;
use jiff::civil::{Date, date};
use quick_xml::Reader;
use quick_xml::events::Event;
use support::{ask, demo, demo_with, leaving, words};
use wrackline_plan::scenario::{DEMO, Scenario};
use wrackline_plan::weather;
use wrackline_plan::windows::{Departure, Phase};
use wrackline_show::card::{Ask, Card, Error, Paper, card, page};

/// A high water in low light that the demo was built around.
const DAY: Date = date(2026, 12, 29);

fn html(card: &Card<'_>) -> String {
    page(card, Paper::A4)
}

#[test]
fn the_card_of_a_seat_that_stays_the_tide() {
    let scenario = demo();
    let card = card(&scenario, ask(DAY, "B")).unwrap();
    insta::assert_snapshot!(html(&card));
}

#[test]
fn the_card_of_an_inland_seat() {
    let scenario = demo();
    let wanted = Ask {
        subject: Some("reed-owl"),
        light: Some("side light"),
        ..ask(date(2026, 12, 21), "E")
    };
    let card = card(&scenario, wanted).unwrap();
    assert_eq!(card.departure, Departure::Inland);
    assert!(card.levels.is_none());
    let text = words(&html(&card));
    assert!(
        !text.contains("high water 0") && !text.contains("Water by quarter-hours"),
        "{text}"
    );
    insta::assert_snapshot!(text);
}

/// A low of 996 to 999 hPa raises the water, and the animals come and go with it.
#[test]
fn a_forecast_brings_the_animals_sooner() {
    let week = include_str!("../../demo/oskerrow_week.csv");
    let calm = demo();
    let forecast = weather::read("week.csv", week, calm.zone()).unwrap();
    let low = demo().in_weather(forecast, None, Timestamp::UNIX_EPOCH);
    let step = |scenario: &Scenario, what: &str| {
        let card = card(scenario, ask(DAY, "B")).unwrap();
        let step = card.steps.iter().find(|step| step.what == what).unwrap();
        (step.at.unwrap(), step.detail.clone())
    };
    let (expected, by) = step(&calm, "animals expected");
    let (forecast, by_forecast) = step(&low, "animals expected");
    assert!(forecast < expected, "{forecast} {expected}");
    assert_eq!(
        (by.as_str(), by_forecast.as_str()),
        ("push level", "push level, by the forecast")
    );
    let (expected, _) = step(&calm, "animals leave");
    let (forecast, _) = step(&low, "animals leave");
    assert!(forecast > expected, "{forecast} {expected}");
    // Nobody comes after them, by either.
    let (seated, _) = step(&low, "seated and still");
    let (animals, _) = step(&low, "animals expected");
    assert!(seated <= animals);
}

/// Cards of every kind the demo and its changes give.
fn pages() -> Vec<String> {
    let leaving = leaving();
    let back = Ask {
        light: Some("back light"),
        subject: Some("reed-owl"),
        ..ask(date(2026, 12, 21), "E")
    };
    let soft = Ask {
        light: Some("soft overcast"),
        ..ask(DAY, "C")
    };
    let demo = demo();
    let mut pages = vec![
        html(&card(&demo, ask(DAY, "A")).unwrap()),
        html(&card(&demo, ask(DAY, "B")).unwrap()),
        html(&card(&leaving, soft).unwrap()),
    ];
    pages.extend(card(&demo, back).ok().map(|card| html(&card)));
    pages.push(page(&card(&demo, ask(DAY, "A")).unwrap(), Paper::A5));
    pages
}

#[test]
fn a_seat_that_is_left_before_the_flood_prints_its_latest_departure_first() {
    let scenario = leaving();
    let wanted = Ask {
        light: Some("soft overcast"),
        ..ask(DAY, "C")
    };
    let card = card(&scenario, wanted).unwrap();
    let Departure::Latest(latest) = card.departure else {
        panic!("{:?}", card.departure);
    };
    assert_eq!(Some(latest), card.outing.window.timetable.latest_departure);
    // Rounded to the cautious side: not after the instant itself.
    let printed = latest.as_second().div_euclid(60) * 60;
    let printed = jiff::Timestamp::from_second(printed).unwrap();
    let clock = printed.strftime("%H:%M").to_string();
    let page = html(&card);
    assert!(page.contains(&format!("<strong>Latest departure {clock}</strong>")));
    assert!(words(&page).contains(&format!("{clock} LATEST DEPARTURE")));
    let strong: Vec<_> = card.steps.iter().filter(|step| step.strong).collect();
    assert_eq!(strong.len(), 1);
}

#[test]
fn no_outing_without_the_height_of_the_ground() {
    let scenario = demo_with(&[("ground_m = 9.1\n", "")]);
    let refused = card(&scenario, ask(DAY, "A")).unwrap_err().to_string();
    assert!(
        refused.contains("not known: ") && refused.contains("`ground_m`, the height of its ground"),
        "{refused}"
    );
}

#[test]
fn the_times_stand_in_order_from_home_to_the_overdue_contact() {
    let scenario = demo();
    for seat in ["A", "B"] {
        let card = card(&scenario, ask(DAY, seat)).unwrap();
        let times: Vec<_> = card.steps.iter().filter_map(|step| step.at).collect();
        assert!(times.is_sorted());
        assert_eq!(card.steps.first().unwrap().what, "leave home");
        assert_eq!(card.steps.last().unwrap().what, "overdue: contact acts");
    }
    // Where nobody said how far home is, the line is left to the pencil.
    let far = demo_with(&[("from_home_minutes = 40\n", "")]);
    let card = card(&far, ask(DAY, "A")).unwrap();
    assert_eq!(card.steps[0].at, None);
    assert_eq!(card.steps[0].what, "leave home");
}

#[test]
fn the_water_has_three_levels_at_every_quarter_of_an_hour() {
    let scenario = demo();
    let card = card(&scenario, ask(DAY, "B")).unwrap();
    let quarters = &card.levels.as_ref().unwrap().quarters;
    let times = &card.outing.window.timetable;
    assert!(quarters[0].at <= times.set_out && quarters.last().unwrap().at >= times.overdue);
    for pair in quarters.windows(2) {
        assert_eq!(pair[1].at.as_second() - pair[0].at.as_second(), 900);
    }
    for level in quarters {
        // The allowances of the demo, 0.30 m to either side.
        assert!((level.upper_m - level.central_m - 0.3).abs() < 1e-9);
        assert!((level.central_m - level.low_m - 0.3).abs() < 1e-9);
        // 2026-12-29 has its quarter-hours at :00, :15, :30, :45.
        assert_eq!(level.at.as_second() % 900, 0);
    }
}

#[test]
fn plan_b_is_another_outing_of_the_days_around() {
    let scenario = demo();
    let card = card(&scenario, ask(DAY, "B")).unwrap();
    assert!(!card.plan_b.is_empty());
    for other in &card.plan_b {
        let days = (other.occasion.date - DAY).get_days();
        assert!((-3..=3).contains(&days));
        assert!(
            (other.seat.id.as_str(), other.window.stretch.start)
                != ("B", card.outing.window.stretch.start)
        );
    }
}

#[test]
fn no_page_promises_anything_or_reaches_out() {
    for page in pages() {
        let lower = page.to_lowercase();
        for never in [
            "safe", "http", "<script", "src=", "href=", "url(", "@import", "nan", "inf ",
        ] {
            assert!(!lower.contains(never), "\"{never}\" in {page}");
        }
        assert!(lower.contains("estimated") && lower.contains("check the local rule"));
    }
}

#[test]
fn every_figure_has_its_text_and_every_tag_its_end() {
    for page in pages() {
        let mut reader = Reader::from_str(&page);
        let mut figures = 0;
        loop {
            match reader.read_event().unwrap() {
                Event::Eof => break,
                Event::Start(tag) if tag.name().as_ref() == "svg" => {
                    figures += 1;
                    let attributes: Vec<_> = tag.attributes().map(Result::unwrap).collect();
                    let value = |name: &str| {
                        let found = attributes.iter().find(|a| a.key.as_ref() == name);
                        found.map(|a| a.value.to_string())
                    };
                    assert_eq!(value("role").as_deref(), Some("img"));
                    match (value("aria-label"), value("aria-labelledby")) {
                        (Some(label), None) => assert!(label.len() > 20),
                        (None, Some(ids)) => {
                            for id in ids.split(' ') {
                                assert!(page.contains(&format!("id=\"{id}\"")), "{id}");
                            }
                        }
                        other => panic!("{other:?}"),
                    }
                }
                _ => {}
            }
        }
        assert!(figures >= 3, "{figures}");
    }
}

#[test]
fn text_of_the_scenario_is_never_markup() {
    let scenario = demo_with(&[("name = \"Wall Seat\"", "name = \"<b>&\\\"Wall'</b>\"")]);
    let page = html(&card(&scenario, ask(DAY, "A")).unwrap());
    assert!(page.contains("&lt;b&gt;&amp;&quot;Wall&#39;&lt;/b&gt;"));
    assert!(!page.contains("<b>&"));
}

#[test]
fn times_follow_the_zone_and_name_another_day() {
    // UTC+14 puts the same high water on the next day's evening.
    let zone = jiff::tz::TimeZone::get("Pacific/Kiritimati").unwrap();
    let scenario = demo().in_zone(zone, "Pacific/Kiritimati");
    let card = card(&scenario, ask(DAY, "B")).unwrap();
    let text = words(&html(&card));
    assert!(text.contains("times in Pacific/Kiritimati (+14:00)"));
    assert!(
        text.contains("Wed 0"),
        "the way home lies after midnight: {text}"
    );
}

#[test]
fn a_day_without_a_window_says_why_and_what_is_near() {
    let scenario = demo();
    let error = card(&scenario, ask(date(2027, 1, 27), "B")).unwrap_err();
    let Error::NoWindow { .. } = &error else {
        panic!("{error:?}");
    };
    let message = error.to_string();
    assert!(
        message.contains("of 0.50 m at the upper water"),
        "{message}"
    );
    insta::assert_snapshot!(message);
}

#[test]
fn the_card_shows_the_water_of_the_secondary_port() {
    let text = r#"
[port.secondary]
standard = { mhws_m = 7.8, mhwn_m = 6.1, mlwn_m = 2.7, mlws_m = 1.0 }
differences = { mhws_m = -0.3, mhwn_m = -0.3, mlwn_m = 0, mlws_m = 0 }
high_water_minutes = [[0, 20], [6, 20]]
low_water_minutes = [[0, 0], [6, 0]]
"#;
    let scenario = Scenario::parse("demo_and.toml", &format!("{DEMO}\n{text}")).unwrap();
    let ask = Ask {
        date: Some(date(2026, 12, 29)),
        today: date(2026, 12, 1),
        seat: Some("A"),
        subject: None,
        light: None,
        phase: Phase::Both,
        experience: None,
    };
    let card = card(&scenario, ask).unwrap();
    let top = card.outing.occasion.high_water.as_ref().unwrap();
    let levels = card.levels.as_ref().unwrap();
    let highest = levels
        .curve
        .iter()
        .map(|level| level.central_m)
        .fold(f64::MIN, f64::max);
    // Five minutes from one point to the next: the top lies at most 150 s from a point, which is 3 mm of a half cosine of
    // 6.5 m in six hours. The standard port stands 0.3 m higher.
    assert!(
        (highest - top.expected_m).abs() < 0.004,
        "{highest} {}",
        top.expected_m
    );
}

#[test]
fn what_is_implausible_stands_above_all_else() {
    let told_of = |scenario: &Scenario| words(&html(&card(scenario, ask(DAY, "B")).unwrap()));
    let odd = told_of(&demo_with(&[("distance_m = 16", "distance_m = 216")]));
    let told = odd.find("216 m to the animals").unwrap();
    assert!(told < odd.find("Across by").unwrap());
    assert!(!told_of(&demo()).contains("Warnings of the scenario"));
}
