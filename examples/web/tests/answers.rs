//! What a page is told: the same as the programs say, whatever it asks.
#![allow(clippy::unwrap_used)] // A test that cannot go on fails.

use serde_json::{Value, json};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::season::{Request, season};
use wrackline_show::card;
use wrackline_show::report::{self, Format, Options};
use wrackline_web::answer;

fn asked(question: &Value) -> Value {
    serde_json::from_str(&answer(&question.to_string())).unwrap()
}

fn of(text: &str) -> Value {
    json!({ "files": [{ "name": "my.toml", "text": text }] })
}

fn winter() -> Value {
    json!({ "from": "2026-11-25", "days": 90 })
}

#[test]
fn a_season_is_that_of_the_program() {
    let told = asked(
        &json!({ "season": { "from": of(DEMO), "wanted": winter(), "format": "json", "count": 15,
    } }),
    );
    let scenario = Scenario::parse("my.toml", DEMO).unwrap();
    let request = Request {
        keep: 15,
        ..Request::new("2026-11-25".parse().unwrap(), 90)
    };
    let season = season(&scenario, request).unwrap();
    assert!(season.outings.len() == 15);
    let mut out = Vec::new();
    report::write(&season, Format::Json, Options::default(), &mut out).unwrap();
    assert_eq!(told["text"].as_str().unwrap().as_bytes(), out);
}

#[test]
fn a_card_is_that_of_the_program_and_holds_no_position() {
    let told = asked(&json!({ "card": { "from": of(DEMO),
        "wanted": { "today": "2026-11-25", "date": "2026-12-29", "seat": "B" },
    } }));
    let told = told["text"].as_str().unwrap();
    let scenario = Scenario::parse("my.toml", DEMO).unwrap();
    let day = "2026-12-29".parse().unwrap();
    let ask = card::Ask {
        date: Some(day),
        today: day,
        seat: Some("B"),
        subject: None,
        light: None,
        phase: wrackline_plan::windows::Phase::Both,
        experience: None,
    };
    let known = card::page(&card::card(&scenario, ask).unwrap(), card::Paper::A4);
    assert_eq!(told, known);
    // The place is marked as sensitive: whoever is given the card learns its name, as from a map,
    // and not where it is. The scenario's positions have four decimals; two would be a kilometre.
    assert!(scenario.places()[0].sensitive);
    let seats = scenario.seats().iter();
    let positions = seats.flat_map(|seat| [seat.latitude_deg, seat.longitude_deg]);
    let way = scenario
        .seats()
        .iter()
        .filter_map(|seat| scenario.way_in_of(seat));
    let positions = positions.chain(way.flat_map(|way| way.path_deg.concat()));
    for degrees in positions {
        let cut = format!("{:.3}", (degrees * 1000.0).floor() / 1000.0);
        assert!(!told.contains(&cut), "{cut}");
    }
}

#[test]
fn what_is_wrong_is_told_with_its_line() {
    let text = DEMO.replacen("latitude_deg = 53.4016", "latitude_deg = 95", 1);
    for ask in ["check", "files"] {
        let told = asked(&json!({ ask: { "from": of(&text) } }));
        let problem = &told["problems"][0];
        let line = 1 + text
            .lines()
            .position(|line| line == "latitude_deg = 95")
            .unwrap();
        assert_eq!(problem["line"], line);
        assert_eq!(problem["file"], "my.toml");
        assert!(
            problem["remedy"].as_str().unwrap().contains("-90 to 90"),
            "{problem}"
        );
    }
    let torn = asked(&json!({ "check": { "from": of("title = ") } }));
    assert_eq!(torn["problems"][0]["line"], 1);
}

#[test]
fn what_is_implausible_is_told_with_its_line() {
    let text = DEMO.replacen("alert_m = 70", "alert_m = 90", 1);
    let told = asked(&json!({ "check": { "from": of(&text) } }));
    let warnings = told["good"]["warnings"].as_array().unwrap();
    assert!(!warnings.is_empty());
    assert!(warnings[0]["line"].as_u64().unwrap() > 1);
}

#[test]
fn included_texts_are_found_by_name() {
    let (port, rest) = (DEMO.find("[port]").unwrap(), DEMO.find("[water]").unwrap());
    let comment = DEMO[..rest].rfind("\n# How far").unwrap();
    let main = format!(
        "include = [\"parts/port.toml\"]\n{}{}",
        &DEMO[..port],
        &DEMO[comment..]
    );
    let part = &DEMO[port..comment];
    let whole = json!({ "files": [
        { "name": "my.toml", "text": main }, { "name": "port.toml", "text": part },
    ] });
    let told = asked(&json!({ "check": { "from": whole } }));
    assert_eq!(told["good"]["tide"], "Oskerrow Water", "{told}");
    let told = asked(&json!({ "check": { "from": of(&main) } }));
    let what = told["problems"][0]["what"].as_str().unwrap();
    assert!(what.contains("open it together"), "{what}");
}

#[test]
fn a_page_holds_every_window_and_a_card_comes_for_each() {
    let from = of(DEMO);
    let page = asked(&json!({ "page": { "from": from, "wanted": winter(), "cards": 0 } }));
    let page = page["text"].as_str().unwrap();
    assert!(page.matches("<li id=\"w").count() > 20);
    assert!(page.contains("id=\"cautions\"") && !page.contains("<script"));
    for rank in [1, 20] {
        let card = asked(
            &json!({ "card_of_window": { "from": from, "wanted": winter(), "rank": rank, "number": 7,
        } }),
        );
        assert!(
            card["text"].as_str().unwrap().contains("class=\"card\""),
            "{card}"
        );
    }
    for rank in [0, 9999] {
        let card = asked(
            &json!({ "card_of_window": { "from": from, "wanted": winter(), "rank": rank, "number": 7,
        } }),
        );
        assert!(card["trouble"].is_string(), "{card}");
    }
}

#[test]
fn the_tide_of_a_day_is_that_of_its_table() {
    let told = asked(&json!({ "tide": { "from": of(DEMO), "day": "2026-12-29" } }));
    let told = &told["good"];
    let turns = told["turns"].as_array().unwrap();
    assert_eq!(turns.len(), 4, "{told}");
    assert_eq!(told["heights_m"].as_array().unwrap().len(), 97);
    let heights = told["heights_m"].as_array().unwrap();
    for turn in turns {
        // The water is lower (higher) a quarter of an hour from each high (low) water.
        let at = turn["minute"].as_f64().unwrap() / 15.0;
        let beside = heights[(at.ceil() as usize + 1).min(96)].as_f64().unwrap();
        let height = turn["height_m"].as_f64().unwrap();
        assert_eq!(beside < height, turn["high"].as_bool().unwrap(), "{turn}");
    }
    let inland = DEMO
        .lines()
        .take_while(|line| !line.starts_with("# The tide"));
    let inland = inland.collect::<Vec<_>>().join("\n");
    let told = asked(&json!({ "tide": { "from": of(&inland), "day": "2026-12-29" } }));
    assert!(
        told["problems"].is_array() || told["trouble"].is_string(),
        "{told}"
    );
}

#[test]
fn whatever_is_asked_there_is_an_answer() {
    for question in [
        "",
        "{",
        "null",
        "{\"nothing\":{}}",
        "{\"demo\":{\"more\":1}}",
        "{\"check\":{\"from\":{\"files\":[]}}}",
        "{\"reach\":{\"name\":\"q\",\"text\":\"\"}}",
    ] {
        let told: Value = serde_json::from_str(&answer(question)).unwrap();
        assert!(
            ["trouble", "problems", "good"]
                .iter()
                .any(|word| !told[word].is_null()),
            "{question}: {told}"
        );
    }
    for (from, days) in [
        ("2026-11-25", 0),
        ("9999-12-31", 9),
        ("-9999-01-01", 2),
        ("2026-01-01", 99_999),
    ] {
        let told = asked(
            &json!({ "page": { "from": of(DEMO), "wanted": { "from": from, "days": days }, "cards": 0,
        } }),
        );
        assert!(
            told["trouble"].is_string() || told["text"].is_string(),
            "{told}"
        );
    }
    let told = asked(&json!({ "page": { "from": of(DEMO), "cards": 0,
        "wanted": { "from": "2026-11-25", "days": 3, "place": "tallow-nes" },
    } }));
    assert!(
        told["trouble"].as_str().unwrap().contains("tallow-ness"),
        "{told}"
    );
    let demo = asked(&json!({ "demo": { } }));
    assert_eq!(demo["good"]["scenario"]["name"], DEMO_NAME);
}
