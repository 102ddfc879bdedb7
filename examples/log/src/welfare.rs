//! What the log says about the animals' peace: distances that alarmed them, and places that need rest.

use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use wrackline_plan::experience::{Alarm, Rest};

use super::entry::Entry;
use super::rows::Record;

/// From this sign of unease on, the visit alarmed them: calling, bunching, walking off, or worse. At heads up one waits.
const ALARM: u8 = 2;

/// Flushes in one winter after which a place is left in peace for a month: our choice.
const FLUSHES: u32 = 2;

/// The alarm of a visit, if it was one; without a distance of its own it counts at the nearest distance of that visit.
pub fn alarm_of(entry: &Entry) -> Option<Alarm> {
    let alarmed = entry.unease >= Some(ALARM) || entry.flushes > Some(0);
    let distance_m = entry.unease_distance_m.or(entry.distance_m)?;
    alarmed.then(|| Alarm {
        distance_m,
        id: entry.id.clone(),
    })
}

/// The farthest alarm of one subject at one place.
pub fn farthest_alarm<'a>(
    records: impl IntoIterator<Item = &'a Record>,
    place: &str,
    subject: &str,
) -> Option<Alarm> {
    records
        .into_iter()
        .filter(|record| record.entry.place == place && record.entry.subject == subject)
        .filter_map(|record| alarm_of(&record.entry))
        .max_by(|a, b| a.distance_m.total_cmp(&b.distance_m))
}

/// The rests that the log asks for, by place and winter; a further flush begins the month anew.
pub fn rests(records: &[Record], zone: &TimeZone) -> Vec<Rest> {
    struct Flush<'a> {
        place: &'a str,
        date: Date,
        winter: i16,
        id: &'a str,
        times: u32,
    }
    let mut flushes: Vec<Flush<'_>> = records
        .iter()
        .filter_map(|Record { entry, .. }| {
            let times = entry
                .flushes
                .unwrap_or(0)
                .max(u32::from(entry.unease == Some(4)));
            let (date, winter) = (entry.when.date(zone), entry.when.winter(zone));
            (times > 0).then_some(Flush {
                place: &entry.place,
                date,
                winter,
                id: &entry.id,
                times,
            })
        })
        .collect();
    flushes.sort_by_key(|flush| (flush.place, flush.date));
    let mut rests = Vec::new();
    for winter_of_place in flushes.chunk_by(|a, b| a.place == b.place && a.winter == b.winter) {
        let mut times = 0;
        let mut so_far = Vec::new();
        for flush in winter_of_place {
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
