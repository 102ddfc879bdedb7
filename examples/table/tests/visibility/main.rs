//! Tables of visibility: what is in the rows, that formats and threads do not change it, and that a
//! run can be cut short.
#![allow(clippy::unwrap_used, clippy::panic)] // A test that cannot go on fails.

mod formats;
mod laws;
mod parts;
mod resume;
mod seats;

use jiff::{SignedDuration, Timestamp};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_table::{
    Done, Format, Instants, Output, SeatChoice, Table, TableSpec, Written, seats_of, write,
};

/// The seats of the demo over some days from a date on, every ten minutes.
fn demo_spec(from: &str, days: i64) -> TableSpec {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let places = seats_of(&scenario, SeatChoice::default()).unwrap();
    let start: Timestamp = from.parse().unwrap();
    let end = start + SignedDuration::from_hours(24 * days);
    let instants = Instants::regular(start..end, SignedDuration::from_mins(10)).unwrap();
    let mut spec = TableSpec::new(places, instants);
    spec.scenario = Some(scenario);
    spec
}

fn bytes_of(table: &Table, format: Format, threads: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    let output = Output::Stream {
        name: "memory".to_owned(),
        to: &mut bytes,
    };
    let done = write(table, format, threads, output, &mut |_| true).unwrap();
    assert!(matches!(done, Done::Whole(Written { rows, .. }) if rows == table.rows()));
    bytes
}
