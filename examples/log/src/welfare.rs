//! What the log says about the animals' peace: distances that alarmed them, and places that need
//! rest.

use jiff::ToSpan;
use jiff::civil::Date;
use wrackline_plan::experience::{Alarm, Rest};
use wrackline_plan::scenario::{HalfMonths, Scenario};

use super::entry::Entry;
use super::rows::Record;

/// From this sign of unease on, the visit alarmed them: calling, bunching, walking off, or worse.
/// At heads up one waits.
const ALARM: u8 = 2;

/// Flushes in one year of an animal after which a place is left in peace for a month: our choice.
const FLUSHES: u32 = 2;

fn alarmed(entry: &Entry) -> bool {
    entry.unease >= Some(ALARM) || entry.flushes > Some(0)
}

/// The alarm of a visit, if it was one; without a distance of its own it counts at the nearest
/// distance of that visit, and without that at the distance of its seat.
pub fn alarm_of(scenario: &Scenario, entry: &Entry) -> Option<Alarm> {
    let noted = entry.unease_distance_m.or(entry.distance_m);
    let of_seat = || Some(scenario.seat(entry.seat.as_deref()?)?.distance_m);
    let distance_m = noted.or_else(of_seat)?;
    alarmed(entry).then(|| Alarm {
        distance_m,
        id: entry.id.clone(),
        of_seat: noted.is_none(),
    })
}

/// Whether a visit alarmed them at a distance that nothing tells.
pub fn alarmed_from_nowhere(scenario: &Scenario, entry: &Entry) -> bool {
    alarmed(entry) && alarm_of(scenario, entry).is_none()
}

/// The farthest alarm of one subject at one place.
pub fn farthest_alarm<'a>(
    scenario: &Scenario,
    records: impl IntoIterator<Item = &'a Record>,
    place: &str,
    subject: &str,
) -> Option<Alarm> {
    records
        .into_iter()
        .filter(|record| record.entry.place == place && record.entry.subject == subject)
        .filter_map(|record| alarm_of(scenario, &record.entry))
        .max_by(|a, b| a.distance_m.total_cmp(&b.distance_m))
}

/// One visit that put animals to flight.
struct Flush<'a> {
    place: &'a str,
    /// When the animal is there at all, and where the place is: they tell where its year begins.
    present: HalfMonths,
    latitude_deg: f64,
    date: Date,
    id: &'a str,
    times: u32,
}

impl Flush<'_> {
    /// Whether two flushes fall into one year, of the one animal or of the other: a place has its
    /// rest from either.
    fn in_one_year_with(&self, other: &Flush<'_>) -> bool {
        [self, other].into_iter().any(|animal| {
            let year = |date| animal.present.year_of(date, animal.latitude_deg);
            year(self.date) == year(other.date)
        })
    }
}

/// The rests that the log asks for, by place and year of the animal; a further flush begins the
/// month anew.
pub fn rests(scenario: &Scenario, records: &[Record]) -> Vec<Rest> {
    let mut flushes: Vec<Flush<'_>> = records
        .iter()
        .filter_map(|Record { entry, .. }| {
            let times = entry
                .flushes
                .unwrap_or(0)
                .max(u32::from(entry.unease == Some(4)));
            // An animal that the scenario does not know is taken for one that never leaves.
            let place = scenario.place(&entry.place).or(scenario.places().first());
            let subject = scenario.subject(&entry.subject);
            (times > 0).then(|| Flush {
                place: &entry.place,
                present: subject.map_or(HalfMonths::ALL, |subject| subject.present),
                latitude_deg: place.map_or(0.0, |place| place.latitude_deg),
                date: entry.when.date(scenario.zone()),
                id: &entry.id,
                times,
            })
        })
        .collect();
    flushes.sort_by_key(|flush| (flush.place, flush.date));
    let mut rests = Vec::new();
    let together = |a: &Flush<'_>, b: &Flush<'_>| a.place == b.place && a.in_one_year_with(b);
    for year_of_place in flushes.chunk_by(together) {
        let mut times = 0;
        let mut so_far = Vec::new();
        for flush in year_of_place {
            times += flush.times;
            so_far.push((flush.id.to_owned(), flush.times));
            if times >= FLUSHES {
                rests.push(Rest {
                    place: flush.place.to_owned(),
                    since: flush.date,
                    until: flush.date.saturating_add(1.month()),
                    flushes: so_far.clone(),
                });
            }
        }
    }
    rests
}
