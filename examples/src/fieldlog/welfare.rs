//! What the log says about the animals' peace: distances that alarmed them, and places that need rest.

use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::entry::Entry;
use super::rows::Record;

/// From this sign of unease on, the visit alarmed them: calling, bunching, walking off, or worse. At heads up one waits.
const ALARM: u8 = 2;

/// The share by which a distance goes beyond the one that alarmed them, so as not to find out again: our choice.
const BEYOND: f64 = 1.25;

/// Flushes in one winter after which a place is left in peace for a month: our choice.
const FLUSHES: u32 = 2;

/// The farthest distance at which a visit alarmed them.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// Metres.
    pub distance_m: f64,
    /// The entry.
    pub id: String,
}

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

/// A stand-off distance that the log asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct LargerStandOff {
    /// What to keep, metres; never less than the scenario's own.
    pub stand_off_m: f64,
    /// What asks for it.
    pub alarm: Alarm,
}

impl LargerStandOff {
    /// Whether a planned distance lies inside what alarmed them before.
    pub fn warns_of(&self, planned_m: f64) -> bool {
        planned_m <= self.alarm.distance_m
    }
}

/// The larger stand-off that an alarm asks for, whole metres; `None` where the scenario's is large enough already. A log can
/// only ever make the distance larger: animals that bore it once have not agreed to it.
pub fn larger_stand_off(alarm: Alarm, stand_off_m: f64) -> Option<LargerStandOff> {
    let wanted = (alarm.distance_m * BEYOND).ceil();
    (wanted > stand_off_m).then_some(LargerStandOff {
        stand_off_m: wanted,
        alarm,
    })
}

/// A month of peace for a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rest {
    /// The place.
    pub place: String,
    /// The day of the flush that brought it on, or of the last one after that.
    pub since: Date,
    /// The last day of it.
    pub until: Date,
    /// Flushes in that winter, and the entries that hold them.
    pub flushes: Vec<(String, u32)>,
}

impl Rest {
    /// Whether a day falls into it; the day of the flush itself does not, the visit was under way.
    pub fn covers(&self, date: Date) -> bool {
        date > self.since && date <= self.until
    }
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
