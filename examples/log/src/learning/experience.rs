//! What the log hands to a plan.

use wrackline_plan::experience::Experience;
use wrackline_plan::scenario::Scenario;

use super::chance::Fading;
use super::lessons::chance;
use crate::Record;
use crate::welfare::{farthest_alarm, rests};

/// What the visits tell a plan, for every place and subject of the scenario; `None` without an entry.
pub fn experience(scenario: &Scenario, records: &[Record], fading: Fading) -> Option<Experience> {
    if records.is_empty() {
        return None;
    }
    let mut told = Experience {
        rests: rests(scenario, records),
        ..Experience::default()
    };
    for place in scenario.places() {
        for subject in scenario.subjects_at(place) {
            let key = (place.id.clone(), subject.id.clone());
            let learned = chance(scenario, records, place, subject, fading);
            told.chances.insert(key.clone(), learned.plain());
            if let Some(alarm) = farthest_alarm(records, &place.id, &subject.id) {
                told.alarms.insert(key, alarm);
            }
        }
    }
    Some(told)
}
