//! What the log hands to a plan.

use wrackline_plan::experience::Experience;
use wrackline_plan::scenario::Scenario;

use super::ageing::{Fading, newest_day};
use super::lessons::Chances;
use crate::Record;
use crate::welfare::{farthest_alarm, rests};

/// What the visits tell a plan, for every place and subject of the scenario; `None` without an
/// entry. Visits of the log's newest season count in full.
pub fn experience(scenario: &Scenario, records: &[Record], fading: Fading) -> Option<Experience> {
    let newest = newest_day(records, scenario.zone())?;
    let mut told = Experience {
        rests: rests(scenario, records),
        ..Experience::default()
    };
    for subject in scenario.subjects() {
        let chances = Chances::of(scenario, records, subject, fading, newest);
        for place in scenario.places() {
            if scenario
                .subjects_at(place)
                .all(|there| there.id != subject.id)
            {
                continue;
            }
            let key = (place.id.clone(), subject.id.clone());
            let chance = chances.for_a_plan(records, place);
            told.chances.insert(key.clone(), chance);
            if let Some(alarm) = farthest_alarm(scenario, records, &place.id, &subject.id) {
                told.alarms.insert(key, alarm);
            }
        }
    }
    Some(told)
}
