//! What the log hands to a plan.

use jiff::civil::Date;
use wrackline_plan::experience::sightings::Sightings;
use wrackline_plan::experience::{Experience, Visited};
use wrackline_plan::scenario::Scenario;

use super::ageing::{Fading, newest_day};
use super::lessons::Chances;
use crate::Record;
use crate::welfare::{farthest_alarm, rests};

/// What the visits tell a plan, for every place and subject of the scenario; `None` without an
/// entry. Visits of the log's newest season count in full.
pub fn experience(scenario: &Scenario, records: &[Record], fading: Fading) -> Option<Experience> {
    experience_with(scenario, records, fading, &Sightings::default())
}

/// As [`experience`], with what others saw as a prior of the chances; without an entry there is
/// that alone.
pub fn experience_with(
    scenario: &Scenario,
    records: &[Record],
    fading: Fading,
    sightings: &Sightings,
) -> Option<Experience> {
    // Without a visit there is none that could fade.
    let nobody_went = || (!sightings.is_empty()).then_some(Date::ZERO);
    let newest = newest_day(records, scenario.zone()).or_else(nobody_went)?;
    let mut told = Experience {
        rests: rests(scenario, records),
        visits: visits(scenario, records),
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
            if let Some(year) = sightings.year(&place.id, &subject.id) {
                let weight = sightings.weight();
                let with = |share| chances.with_sightings(records, place, share, weight);
                // Where too few others went, visits alone tell.
                let year = year.shares().map(|share| share.map_or(chance, with));
                told.by_half_month.insert(key.clone(), year);
            }
            let selects = chances.of_a_select(records, place);
            told.selects.insert(key.clone(), selects);
            if let Some(alarm) = farthest_alarm(scenario, records, &place.id, &subject.id) {
                told.alarms.insert(key, alarm);
            }
        }
    }
    Some(told)
}

/// Every visit that was made, and the day on which it began.
fn visits(scenario: &Scenario, records: &[Record]) -> Vec<Visited> {
    let made = records.iter().map(|record| &record.entry);
    made.filter(|entry| entry.outcome.visited())
        .map(|entry| Visited {
            place: entry.place.clone(),
            subject: entry.subject.clone(),
            date: entry.when.date(scenario.zone()),
        })
        .collect()
}
