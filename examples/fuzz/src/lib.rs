//! What targets for several forms of one thing share.

pub mod drafted;

use std::sync::LazyLock;

use jiff::Timestamp;
use wrackline_log::{Entry, Error, Gate, Record, join};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};

static GATE: LazyLock<Gate> = LazyLock::new(|| {
    let demo = Scenario::parse(DEMO_NAME, DEMO).expect("the demo is a scenario");
    // A fixed instant: a finding must be one tomorrow, too.
    join::gate(&demo, Timestamp::from_second(1_800_000_000).expect("a year of this century"))
});

/// Reads bytes as a log; what was read is written and read again, and must be the same.
pub fn as_log(
    bytes: &[u8],
    read: fn(&str, &[u8], &Gate) -> Result<Vec<Entry>, Error>,
    write: fn(&[Record], &mut Vec<u8>) -> std::io::Result<()>,
) {
    let entries = match read("fuzz", bytes, &GATE) {
        Ok(entries) => entries,
        Err(error) => {
            assert!(error.to_string().contains("nothing was taken"));
            return;
        }
    };
    let records: Vec<Record> = entries
        .iter()
        .map(|entry| Record {
            entry: entry.clone(),
            revision: 1,
            recorded: Timestamp::UNIX_EPOCH,
            why: None,
            conditions: None,
        })
        .collect();
    let mut out = Vec::new();
    write(&records, &mut out).expect("memory takes it");
    let again = read("again", &out, &GATE).expect("what is written can be read");
    assert_eq!(again, entries);
}
