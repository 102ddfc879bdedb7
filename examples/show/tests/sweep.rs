//! Seats all around a place, as text, tables and a picture.
#![allow(clippy::unwrap_used, clippy::panic)]

mod support;

use jiff::civil::date;
use support::demo;
use wrackline_plan::sweep::{Ask, Sweep, sweep};
use wrackline_show::report::Style;
use wrackline_show::sweep::{Format, write};

fn ask<'a>(place: &'a str, distances_m: &'a [f64]) -> Ask<'a> {
    Ask {
        place: Some(place),
        distances_m,
        ..Ask::new(date(2026, 11, 25), 96)
    }
}

fn written(sweep: &Sweep<'_>, format: Format) -> String {
    let mut out = Vec::new();
    write(sweep, format, Style::default(), &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn inland_the_days_are_counted() {
    let scenario = demo();
    let swept = sweep(&scenario, ask("overmere", &[])).unwrap();
    assert_eq!(swept.place.subject.id, "reed-owl");
    assert!(swept.trials.iter().any(|tried| tried.open > 50));
    assert!(written(&swept, Format::Svg).contains("length: days with a window"));
}

#[test]
fn snapshots_of_every_format() {
    let scenario = demo();
    let asked = Ask {
        step_deg: 45,
        ..ask("tallow-ness", &[60.0])
    };
    let swept = sweep(&scenario, asked).unwrap();
    insta::assert_snapshot!("text", written(&swept, Format::Text));
    insta::assert_snapshot!("csv", written(&swept, Format::Csv).replace("\r\n", "\n"));
    insta::assert_snapshot!("json", written(&swept, Format::Json));
    insta::assert_snapshot!("svg", written(&swept, Format::Svg));
}

#[test]
fn every_format_is_read_back() {
    let scenario = demo();
    let swept = sweep(&scenario, ask("tallow-ness", &[60.0])).unwrap();
    let json: serde_json::Value = serde_json::from_str(&written(&swept, Format::Json)).unwrap();
    assert_eq!(json["trials"].as_array().unwrap().len(), 36);
    let csv = written(&swept, Format::Csv);
    let rows: Vec<_> = csv::Reader::from_reader(csv.as_bytes())
        .into_records()
        .map(Result::unwrap)
        .collect();
    assert_eq!(rows.len(), 36);
    let svg = written(&swept, Format::Svg);
    let mut reader = quick_xml::Reader::from_str(&svg);
    let mut petals = 0;
    loop {
        match reader.read_event().unwrap() {
            quick_xml::events::Event::Eof => break,
            quick_xml::events::Event::Start(tag) if tag.name().as_ref() == "path" => petals += 1,
            _ => {}
        }
    }
    assert_eq!(
        petals,
        swept.trials.iter().filter(|tried| tried.open > 0).count()
    );
    assert!(!svg.to_lowercase().contains("nan") && !svg.contains("-0 "));
}
