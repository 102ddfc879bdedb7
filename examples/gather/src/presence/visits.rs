//! Records put together into visits: what one event, or else one observer on one day, told of.
//!
//! The effort is counted from the records of all animals (the target group; Phillips, Dudík,
//! Elith, Graham, Lehmann, Leathwick and Ferrier 2009, Sample selection bias and presence-only
//! distribution models, Ecological Applications 19): whoever noted others and not this one is held
//! to have looked for it in vain.

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};

use jiff::civil::Date;
use wrackline_plan::scenario::{HALF_MONTHS, half_month_of};

use super::cyclic::Tally;

/// What stands for a text where only sameness matters. Of ten million texts two share one with a
/// probability of 3 in a million.
pub(super) fn hash(of: impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    of.hash(&mut hasher);
    hasher.finish()
}

/// What a visit is told by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Key {
    /// An event with a name of its own.
    Event(u64),
    /// An observer's day.
    Observer(u64, Date),
    /// A day of which nobody says whose it was: all of it is one visit, rather too few than too
    /// many.
    Day(Date),
}

#[derive(Clone, Debug)]
struct Visit {
    date: Date,
    observer: Option<u64>,
    /// Kinds of animals, up to as many as a list must have.
    kinds: Vec<u64>,
    with: bool,
    /// It says itself that it was a visit: an event of its own table, or one that tells what was
    /// absent.
    declared: bool,
    effort: bool,
}

/// The visits around a place.
#[derive(Debug, Default)]
pub(super) struct Visits(HashMap<Key, Visit>);

/// What a record adds to its visit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Note {
    pub(super) date: Date,
    pub(super) observer: Option<u64>,
    /// What stands for the kind of animal; `None` for none.
    pub(super) kind: Option<u64>,
    pub(super) with: bool,
    pub(super) declared: bool,
    pub(super) effort: bool,
}

/// How many visits a half-month has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// All visits.
    pub visits: u32,
    /// Visits with the animal.
    pub with: u32,
}

/// What the visits come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// By half-month, from early January.
    pub half_months: [Count; HALF_MONTHS],
    /// Visits that were events with a name.
    pub by_event: u32,
    /// Visits that were an observer's day.
    pub by_observer: u32,
    /// Visits that were a day of nobody.
    pub by_day: u32,
    /// Visits that say how was looked, or for how long.
    pub with_effort: u32,
    /// Visits left out, since they tell of too few kinds of animals to be a list.
    pub too_short: Count,
    /// Observers with a name.
    pub observers: usize,
    /// First and last day of a visit.
    pub days: Option<(Date, Date)>,
    /// Whether any visit tells of another animal, or of this one's absence.
    pub looked_in_vain: bool,
    /// How many visits it takes to tell as much as one that was made independently of all others: 1
    /// where visits of one year, or of one observer, are no more alike than any.
    pub alike: f64,
}

impl Visits {
    pub(super) fn note(&mut self, key: Key, note: Note, most_kinds: usize) {
        let visit = self.0.entry(key).or_insert_with(|| Visit {
            date: note.date,
            observer: note.observer,
            kinds: Vec::new(),
            with: false,
            declared: false,
            effort: false,
        });
        visit.observer = visit.observer.or(note.observer);
        visit.with |= note.with;
        visit.declared |= note.declared;
        visit.effort |= note.effort;
        if let Some(kind) = note.kind
            && visit.kinds.len() < most_kinds
            && !visit.kinds.contains(&kind)
        {
            visit.kinds.push(kind);
        }
    }

    /// Counts them. `seen` is told the half-month of every visit with the animal that was left out.
    pub(super) fn count(self, shortest: usize, mut seen: impl FnMut(usize)) -> Effort {
        let long = |visit: &Visit| visit.declared || visit.kinds.len() >= shortest;
        let (mut whole, short): (HashMap<Key, Visit>, HashMap<Key, Visit>) =
            self.0.into_iter().partition(|(_, visit)| long(visit));
        // Where every record is an event of its own, the observer's day is the visit.
        let mut days = Visits::default();
        for (key, visit) in short {
            let key = match (key, visit.observer) {
                (Key::Event(_), Some(observer)) => Key::Observer(observer, visit.date),
                _ => key,
            };
            let kinds = visit.kinds.iter().map(|kind| Some(*kind)).chain([None]);
            for kind in kinds {
                let Visit {
                    date,
                    observer,
                    with,
                    declared,
                    effort,
                    ..
                } = visit;
                let note = Note {
                    date,
                    observer,
                    kind,
                    with,
                    declared,
                    effort,
                };
                days.note(key, note, shortest.max(2));
            }
        }
        let mut too_short = Count::default();
        for (key, visit) in days.0 {
            if long(&visit) {
                // Whoever noted an event of that day as well was there once more.
                whole.insert(key, visit);
            } else {
                too_short.visits += 1;
                too_short.with += u32::from(visit.with);
                if visit.with {
                    seen(half_month_of(visit.date));
                }
            }
        }
        let mut effort = Effort {
            half_months: [Count::default(); HALF_MONTHS],
            by_event: 0,
            by_observer: 0,
            by_day: 0,
            with_effort: 0,
            too_short,
            observers: 0,
            days: None,
            looked_in_vain: false,
            alike: 1.0,
        };
        let (mut years, mut observers) = (BTreeMap::new(), BTreeMap::new());
        for (key, visit) in &whole {
            let half = half_month_of(visit.date);
            let add = |count: &mut Count| {
                count.visits += 1;
                count.with += u32::from(visit.with);
            };
            add(&mut effort.half_months[half]);
            add(years
                .entry((half, u64::from(visit.date.year().unsigned_abs())))
                .or_default());
            // Of whom nothing is known is somebody else each time.
            let observer = visit.observer.unwrap_or_else(|| hash(key));
            add(observers.entry((half, observer)).or_default());
            match key {
                Key::Event(_) => effort.by_event += 1,
                Key::Observer(..) => effort.by_observer += 1,
                Key::Day(_) => effort.by_day += 1,
            }
            effort.with_effort += u32::from(visit.effort);
            effort.looked_in_vain |= !visit.with || visit.kinds.len() > 1;
            let (first, last) = effort.days.unwrap_or((visit.date, visit.date));
            effort.days = Some((first.min(visit.date), last.max(visit.date)));
        }
        let mut named: Vec<u64> = whole.values().filter_map(|visit| visit.observer).collect();
        named.sort_unstable();
        named.dedup();
        effort.observers = named.len();
        effort.alike =
            alike(&effort.half_months, &years).max(alike(&effort.half_months, &observers));
        effort
    }
}

impl Effort {
    /// The visits as a model of independent ones takes them.
    pub fn tallies(&self) -> [Tally; HALF_MONTHS] {
        self.half_months.map(|count| Tally {
            visits: f64::from(count.visits) / self.alike,
            with: f64::from(count.with) / self.alike,
        })
    }

    /// All visits.
    pub fn visits(&self) -> Count {
        self.half_months
            .iter()
            .fold(Count::default(), |sum, count| Count {
                visits: sum.visits + count.visits,
                with: sum.with + count.with,
            })
    }
}

/// Degrees of freedom with which independence is believed before any visit: with few groups their
/// scatter is itself uncertain. Our default.
const BELIEF: f64 = 10.0;

/// By how much groups of visits (of a year, of an observer) differ within a half-month more than
/// independent visits would: Pearson's statistic over its degrees of freedom (McCullagh and Nelder
/// 1989, Generalized Linear Models, 2nd edition, section 4.5, from memory), never below 1.
fn alike(half_months: &[Count; HALF_MONTHS], groups: &BTreeMap<(usize, u64), Count>) -> f64 {
    let (mut statistic, mut freedom) = (0.0, 0.0);
    for (half, all) in half_months.iter().enumerate() {
        let of_half = groups.range((half, 0)..=(half, u64::MAX));
        let share = f64::from(all.with) / f64::from(all.visits);
        if all.with == 0 || all.with == all.visits {
            continue;
        }
        let mut count = 0;
        for (_, group) in of_half {
            let visits = f64::from(group.visits);
            let off = f64::from(group.with) - visits * share;
            statistic += off * off / (visits * share * (1.0 - share));
            count += 1;
        }
        // Of so many visits, drawn without putting any back.
        let drawn = f64::from(all.visits) / (f64::from(all.visits) - 1.0);
        freedom += f64::from(count - 1) * drawn;
    }
    ((statistic + BELIEF) / (freedom + BELIEF)).max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn note(day: i8, observer: u64, kind: u64, with: bool) -> Note {
        Note {
            date: date(2026, 3, day),
            observer: Some(observer),
            kind: Some(kind),
            with,
            declared: false,
            effort: false,
        }
    }

    #[test]
    fn events_of_one_record_are_the_day_of_their_observer() {
        let mut visits = Visits::default();
        for (event, kind) in [(1, 10), (2, 11), (3, 12)] {
            visits.note(Key::Event(event), note(4, 7, kind, kind == 11), 2);
        }
        // One record, and no other of that day: no list.
        visits.note(Key::Event(4), note(20, 7, 11, true), 2);
        let mut seen = Vec::new();
        let effort = visits.count(2, |half| seen.push(half));
        assert_eq!(effort.half_months[4], Count { visits: 1, with: 1 });
        assert_eq!((effort.by_observer, effort.by_event), (1, 0));
        assert_eq!(effort.too_short, Count { visits: 1, with: 1 });
        assert_eq!(seen, [5]);
    }

    #[test]
    fn an_event_that_tells_of_nothing_is_a_visit_when_it_says_so() {
        let mut visits = Visits::default();
        let nothing = Note {
            kind: None,
            declared: true,
            ..note(4, 7, 0, false)
        };
        visits.note(Key::Event(1), nothing, 2);
        let effort = visits.count(2, |_| unreachable!());
        assert_eq!(effort.visits(), Count { visits: 1, with: 0 });
        assert!(effort.looked_in_vain);
    }

    #[test]
    fn what_is_alike_counts_less() {
        let mut half_months = [Count::default(); HALF_MONTHS];
        half_months[3] = Count {
            visits: 400,
            with: 200,
        };
        let group = |with| Count { visits: 20, with };
        // Twenty observers who see it always or never, and twenty who see it every other time.
        let split = (0..20)
            .map(|at| ((3, at), group(if at < 10 { 20 } else { 0 })))
            .collect();
        let even = (0..20).map(|at| ((3, at), group(10))).collect();
        // Each adds 10 x 10 / (20 x 0.25) = 20 to the statistic; 19 x 400 / 399 are free.
        let expected = (20.0 * 20.0 + 10.0) / (19.0 * 400.0 / 399.0 + 10.0);
        assert!((alike(&half_months, &split) - expected).abs() < 1e-12);
        assert!((alike(&half_months, &even) - 1.0).abs() < 1e-12);
    }
}
