//! The demo log, for the tests of this room and of the program.

use jiff::Timestamp;
use wrackline_log::{Log, Record, from_csv, join};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};

/// The demo scenario and its log, as an import leaves it.
pub(crate) fn demo() -> (Scenario, Vec<Record>) {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let now: Timestamp = "2026-11-25T12:00:00Z".parse().unwrap();
    let entries = from_csv(
        "log.csv",
        include_bytes!("../../../demo/log.csv"),
        &join::gate(&scenario, now),
    )
    .unwrap();
    let joined: Vec<_> = entries
        .into_iter()
        .map(|entry| {
            let conditions = join::conditions(&scenario, &entry);
            (entry, conditions)
        })
        .collect();
    let folder = tempfile::tempdir().unwrap();
    let mut log = Log::open_or_create(&folder.path().join("log.sqlite")).unwrap();
    assert_eq!(log.add(&joined, scenario.zone()).unwrap().new.len(), 25);
    let records = log.records().unwrap();
    (scenario, records)
}
