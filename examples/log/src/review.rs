//! Past visits held against the rules as they stand: which ones would not be proposed today, and
//! why.

use std::collections::BTreeMap;

use jiff::civil::Date;
use rayon::prelude::*;

use super::entry::Entry;
use super::outcome::Outcome;
use super::rows::Record;
use super::welfare::{alarm_of, farthest_alarm, rests};
use wrackline_plan::experience::{Alarm, Rest, larger_stand_off};
use wrackline_plan::scenario::{Closure, ClosureRule, FrozenDays, Light, Scenario, Seat};
use wrackline_plan::season::civil_span;
use wrackline_plan::windows::{self, Almanac, Condition, Wish};

/// What a review has to say about an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// The entry.
    pub id: String,
    /// Its day.
    pub date: Date,
    /// How grave it is.
    pub kind: RemarkKind,
    /// In words, with the figures.
    pub text: String,
}

/// How a remark is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RemarkKind {
    /// The seat could not be reached and left again within the rules on that tide.
    Access,
    /// The animals were nearer than the stand-off distance, or than what alarmed them before.
    StandOff,
    /// The place was closed, resting, or its animals were breeding.
    Closed,
    /// Somebody had to be asked first.
    AskFirst,
    /// A visit that was called off, and rightly so.
    RightlyCalledOff,
}

impl RemarkKind {
    /// Whether the rules would not have allowed the visit.
    pub fn refused(self) -> bool {
        matches!(
            self,
            RemarkKind::Access | RemarkKind::StandOff | RemarkKind::Closed
        )
    }

    /// The heading under which remarks of this kind are printed.
    pub fn heading(self) -> &'static str {
        match self {
            RemarkKind::Access => "No permissible way to be there",
            RemarkKind::StandOff => "Nearer than the stand-off distance",
            RemarkKind::Closed => "Closed",
            RemarkKind::AskFirst => "To be asked first",
            RemarkKind::RightlyCalledOff => "Rightly called off",
        }
    }
}

/// How far under the push level animals in range are taken for a mistaken time, metres: our choice.
const FAR_UNDER_M: f64 = 1.0;

/// What may be a slip of the pen in an entry, or a clock that was wrong.
pub fn doubts(scenario: &Scenario, record: &Record) -> Vec<String> {
    let entry = &record.entry;
    let mut doubts = Vec::new();
    let (Some(place), Some(subject)) = (
        scenario.place(&entry.place),
        scenario.subject(&entry.subject),
    ) else {
        return doubts;
    };
    if scenario
        .subjects_at(place)
        .all(|known| known.id != subject.id)
    {
        doubts.push(format!(
            "the scenario does not have the {} at {}.",
            subject.name, place.name
        ));
    }
    if let (Some(push_m), Some(level_m)) = (
        place.push_m,
        record.conditions.and_then(|conditions| conditions.level_m),
    ) && entry.outcome >= Outcome::InRange
        && level_m < push_m - FAR_UNDER_M
    {
        doubts.push(format!(
            "they were in range, yet the water stood at {level_m:.2} m then, far under the push \
             level of {push_m:.2} m; check the time."
        ));
    }
    doubts
}

/// How many entries a summary names one by one.
const NAMED: usize = 12;

/// The remarks under their headings.
pub fn text(remarks: &[Remark], entries: usize) -> String {
    let mut kinds: Vec<RemarkKind> = remarks.iter().map(|remark| remark.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let mut refused: Vec<&str> = remarks
        .iter()
        .filter(|remark| remark.kind.refused())
        .map(|remark| remark.id.as_str())
        .collect();
    refused.dedup();
    let mut text = format!("{entries} entries held against the rules as they stand; ");
    text.push_str(&match refused.len() {
        0 => "all would be allowed.\n".to_owned(),
        n if n > NAMED => format!("{n} would not be allowed.\n"),
        n => format!("{n} would not be allowed: {}.\n", refused.join(", ")),
    });
    for kind in kinds {
        text.push_str(&format!("\n{}\n", kind.heading()));
        for remark in remarks.iter().filter(|remark| remark.kind == kind) {
            text.push_str(&format!(
                "  {} {}  {}\n",
                remark.date, remark.id, remark.text
            ));
        }
    }
    text
}

/// What was known when an entry was made: nobody can keep a distance that is learnt later.
struct Known<'k> {
    /// All rests; each begins with the flush that brought it on.
    rests: &'k [Rest],
    /// The farthest alarm before the entry.
    alarm: Option<Alarm>,
}

/// Reviews every entry, in the order of the log.
pub fn review(scenario: &Scenario, records: &[Record]) -> Vec<Remark> {
    let rests = rests(scenario, records);
    let mut alarms: BTreeMap<(&str, &str), Alarm> = BTreeMap::new();
    let known: Vec<Known<'_>> = records
        .iter()
        .map(|Record { entry, .. }| {
            let key = (entry.place.as_str(), entry.subject.as_str());
            let known = Known {
                rests: &rests,
                alarm: alarms.get(&key).cloned(),
            };
            if let Some(alarm) = alarm_of(scenario, entry)
                && known
                    .alarm
                    .as_ref()
                    .is_none_or(|farthest| alarm.distance_m > farthest.distance_m)
            {
                alarms.insert(key, alarm);
            }
            known
        })
        .collect();
    let remarks: Vec<Vec<Remark>> = records
        .par_iter()
        .zip(known)
        .map(|(record, known)| review_one(scenario, &known, &record.entry))
        .collect();
    remarks.into_iter().flatten().collect()
}

/// Reviews one entry of the log.
pub fn review_entry(scenario: &Scenario, records: &[Record], id: &str) -> Vec<Remark> {
    let Some(index) = records.iter().position(|record| record.entry.id == id) else {
        return Vec::new();
    };
    let entry = &records[index].entry;
    let rests = rests(scenario, records);
    let known = Known {
        rests: &rests,
        alarm: farthest_alarm(scenario, &records[..index], &entry.place, &entry.subject),
    };
    review_one(scenario, &known, entry)
}

fn review_one(scenario: &Scenario, known: &Known<'_>, entry: &Entry) -> Vec<Remark> {
    let date = entry.when.date(scenario.zone());
    let mut found: Vec<(RemarkKind, String)> = Vec::new();
    calendar(scenario, known, entry, date, &mut found);
    if !entry.outcome.visited() {
        found.retain(|(kind, _)| *kind == RemarkKind::Closed);
        for (kind, _) in &mut found {
            *kind = RemarkKind::RightlyCalledOff;
        }
    } else if let Some(seat) = entry.seat.as_deref().and_then(|id| scenario.seat(id)) {
        stand_off(scenario, known, entry, seat, &mut found);
        access(scenario, entry, seat, date, &mut found);
    }
    found
        .into_iter()
        .map(|(kind, text)| Remark {
            id: entry.id.clone(),
            date,
            kind,
            text,
        })
        .collect()
}

fn calendar(
    scenario: &Scenario,
    known: &Known<'_>,
    entry: &Entry,
    date: Date,
    found: &mut Vec<(RemarkKind, String)>,
) {
    let frost = entry
        .frozen_days
        .and_then(|days| u16::try_from(days).ok())
        .map(|days| FrozenDays { days, on: date });
    if let Some(place) = scenario.place(&entry.place) {
        for closure in scenario
            .closures_of(place)
            .filter(|closure| closure.applies_on(date, frost))
        {
            let kind = match closure.rule {
                ClosureRule::Closed => RemarkKind::Closed,
                ClosureRule::AskFirst => RemarkKind::AskFirst,
            };
            found.push((kind, why_closed(closure, frost)));
        }
    }
    if let Some(subject) = scenario.subject(&entry.subject)
        && subject.breeding.contains(date)
    {
        found.push((
            RemarkKind::Closed,
            format!("the {} breeds at that time of the year", subject.name),
        ));
    }
    if let Some(rest) = known
        .rests
        .iter()
        .rev()
        .find(|rest| rest.place == entry.place && rest.covers(date))
    {
        let text = format!(
            "to be left in peace until {} after the flushes up to {}",
            rest.until, rest.since
        );
        found.push((RemarkKind::Closed, text));
    }
}

fn why_closed(closure: &Closure, frost: Option<FrozenDays>) -> String {
    match (closure.frozen_days, frost) {
        (Some(_), Some(frost)) => format!("frozen day {} in a row; {}", frost.days, closure.reason),
        _ => closure.reason.clone(),
    }
}

fn stand_off(
    scenario: &Scenario,
    known: &Known<'_>,
    entry: &Entry,
    seat: &Seat,
    found: &mut Vec<(RemarkKind, String)>,
) {
    let Some(subject) = scenario.subject(&entry.subject) else {
        return;
    };
    let stand_off_m = subject.stand_off_m(seat);
    let (distance_m, from) = match entry.distance_m {
        Some(measured) => (measured, ""),
        None => (seat.distance_m, " as the seat has it"),
    };
    let how = if seat.hide { "from a hide" } else { "on foot" };
    if distance_m < stand_off_m {
        found.push((
            RemarkKind::StandOff,
            format!(
                "{distance_m} m{from}; the {} asks for {stand_off_m} m {how}",
                subject.name
            ),
        ));
    } else if let Some(alarm) = known.alarm.clone()
        && let Some(larger) = larger_stand_off(alarm, stand_off_m)
        && larger.asks_for_more_than(distance_m)
    {
        let text = format!(
            "{distance_m} m{from}; they were alarmed at {} m here before ({}), keep {} m",
            larger.alarm.distance_m,
            larger.alarm.source(),
            larger.stand_off_m
        );
        found.push((RemarkKind::StandOff, text));
    }
}

/// Access is a matter of water and ground alone: any light will do.
pub(crate) fn any_light() -> Light {
    Light {
        name: "any light".to_owned(),
        lowest_deg: -90.0,
        highest_deg: 90.0,
        narrowest_deg: 0.0,
        widest_deg: 180.0,
        overcast: true,
        moon: None,
    }
}

fn access(
    scenario: &Scenario,
    entry: &Entry,
    seat: &Seat,
    date: Date,
    found: &mut Vec<(RemarkKind, String)>,
) {
    let Some(subject) = scenario.subject(&entry.subject) else {
        return;
    };
    let Ok(span) = civil_span(scenario, date, date) else {
        return;
    };
    let Ok(almanac) = Almanac::over(scenario, &span) else {
        return;
    };
    let light = any_light();
    let wish = Wish::new(seat, subject, &light);
    let outlook = windows::outlook(scenario, wish, &almanac);
    let is_access = |condition| matches!(condition, Condition::Freeboard | Condition::WayIn);
    if let Some(never) = outlook
        .never
        .iter()
        .find(|refusal| is_access(refusal.condition))
    {
        found.push((RemarkKind::Access, never.reason.clone()));
        return;
    }
    // The tide that the visit was for; without an instant, only what holds on every tide of the
    // day.
    let refused: Vec<Option<&windows::Refusal>> = outlook
        .occasions
        .iter()
        .filter(
            |occasion| match (entry.when.instant(), &occasion.high_water) {
                (Some(at), Some(high_water)) => {
                    at.duration_since(high_water.at).abs() < jiff::SignedDuration::from_hours(6)
                }
                _ => true,
            },
        )
        .map(|occasion| {
            occasion
                .refusals
                .iter()
                .find(|refusal| is_access(refusal.condition))
        })
        .collect();
    if !refused.is_empty()
        && let Some(all) = refused.into_iter().collect::<Option<Vec<_>>>()
        && let Some(refusal) = all.first()
    {
        found.push((RemarkKind::Access, refusal.reason.clone()));
    }
}
