//! What `season` prints, kept as snapshots: a change of any figure or word shows.
#![allow(clippy::unwrap_used)]

mod support;

use support::Program;

fn season(arguments: &[&str]) -> String {
    let output = Program(env!("CARGO_BIN_EXE_season")).run(arguments);
    assert!(output.status.success(), "{output:?}");
    let said = String::from_utf8(output.stderr).unwrap();
    let demo = "season: no scenario given: this is the invented demo\n";
    assert_eq!(said, demo, "otherwise quiet in a pipe");
    String::from_utf8(output.stdout).unwrap()
}

const WINTER: [&str; 4] = ["--from", "2026-11-25", "--days", "96"];

#[test]
fn text() {
    let arguments = [&WINTER[..], &["--count", "5"]].concat();
    insta::assert_snapshot!(season(&arguments));
}

#[test]
fn csv() {
    let arguments = [&WINTER[..], &["--count", "5", "--format", "csv"]].concat();
    // RFC 4180 ends lines with CRLF; the snapshot keeps lines only.
    let printed = season(&arguments);
    assert_eq!(printed.matches("\r\n").count(), 6);
    insta::assert_snapshot!(printed.replace("\r\n", "\n"));
}

#[test]
fn json() {
    let arguments = ["--from", "2026-12-29", "--days", "1", "--format", "json"];
    insta::assert_snapshot!(season(&arguments));
}

#[test]
fn why() {
    insta::assert_snapshot!(season(&["--why", "2027-01-27", "--place", "tallow-ness"]));
}

#[test]
fn nothing_to_be_had() {
    let arguments = ["--from", "2027-05-01", "--days", "30", "--count", "3"];
    let printed = season(&arguments);
    assert!(printed.contains("No window"));
    insta::assert_snapshot!(printed);
}

#[test]
fn the_same_instants_in_another_zone() {
    let utc = season(&[&WINTER[..], &["--format", "csv", "--count", "1"]].concat());
    let there = season(
        &[
            &WINTER[..],
            &[
                "--format",
                "csv",
                "--count",
                "1",
                "--zone",
                "Europe/Amsterdam",
            ],
        ]
        .concat(),
    );
    let cell = |csv: &str, name: &str| {
        let mut lines = csv.lines();
        let column = lines
            .next()
            .unwrap()
            .split(',')
            .position(|head| head == name);
        lines
            .next()
            .unwrap()
            .split(',')
            .nth(column.unwrap())
            .unwrap()
            .to_owned()
    };
    assert_eq!(cell(&utc, "start_utc"), cell(&there, "start_utc"));
    assert!(cell(&there, "start_local").ends_with("+01:00"));
}

/// Clock changes, the end of a year, a leap day: each day of the span is looked at once, none
/// twice.
#[test]
fn every_tide_is_counted_once_across_hard_days() {
    use jiff::civil::date;
    use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
    use wrackline_plan::season::{Request, season};
    let zone = jiff::tz::TimeZone::get("Europe/London").unwrap();
    let scenario = Scenario::parse(DEMO_NAME, DEMO)
        .unwrap()
        .in_zone(zone, "Europe/London");
    let tides = |from, days| {
        let season = season(&scenario, Request::new(from, days)).unwrap();
        season.seats[0].tally.all
    };
    for (from, days) in [
        (date(2027, 3, 26), 5),
        (date(2026, 10, 23), 5),
        (date(2026, 12, 29), 5),
        (date(2028, 2, 27), 4),
    ] {
        let each: usize = (0..days)
            .map(|n| tides(from.checked_add(jiff::Span::new().days(n)).unwrap(), 1))
            .sum();
        assert_eq!(each, tides(from, days as u32), "{from}");
    }
}
