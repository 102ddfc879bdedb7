//! What past visits tell a plan, as plain numbers: a plan need not know how a log is kept or how it
//! learns.

pub mod explore;
pub mod sightings;

use std::collections::BTreeMap;
use std::fmt;

use jiff::civil::Date;

use crate::scenario::{HALF_MONTHS, half_month_of};

/// What is known from visits to the places of a scenario.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Experience {
    /// The chance that a visit in the right water comes within range, by place and subject, by
    /// their ids.
    pub chances: BTreeMap<(String, String), Chance>,
    /// The same with what others saw in each half-month, from early January, where that is to
    /// count.
    pub by_half_month: BTreeMap<(String, String), [Chance; HALF_MONTHS]>,
    /// The farthest distance that alarmed a subject at a place, by their ids.
    pub alarms: BTreeMap<(String, String), Alarm>,
    /// Places to be left in peace, the past rests included.
    pub rests: Vec<Rest>,
    /// How often visits brought a select, by place and subject, by their ids.
    pub selects: BTreeMap<(String, String), Successes>,
    /// Every visit, also to nothing: those called off are none.
    pub visits: Vec<Visited>,
}

/// A visit that was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Visited {
    /// The place, by its id.
    pub place: String,
    /// The subject, by its id.
    pub subject: String,
    /// The day.
    pub date: Date,
}

impl Experience {
    /// The chance of a subject at a place; [`Chance::UNKNOWN`] where nobody has been.
    pub fn chance(&self, place: &str, subject: &str) -> Chance {
        let key = (place.to_owned(), subject.to_owned());
        self.chances.get(&key).copied().unwrap_or(Chance::UNKNOWN)
    }

    /// The chance of a subject at a place on a day: as [`Self::chance`], with what others saw at
    /// that time of the year where that is to count.
    pub fn chance_on(&self, place: &str, subject: &str, date: Date) -> Chance {
        let key = (place.to_owned(), subject.to_owned());
        match self.by_half_month.get(&key) {
            Some(year) => year[half_month_of(date)],
            None => self.chance(place, subject),
        }
    }

    /// How often visits for a subject to a place brought a select; [`Successes::UNKNOWN`] where
    /// nobody has been.
    pub fn selects(&self, place: &str, subject: &str) -> Successes {
        let key = (place.to_owned(), subject.to_owned());
        self.selects
            .get(&key)
            .copied()
            .unwrap_or(Successes::UNKNOWN)
    }

    /// The farthest alarm of a subject at a place.
    pub fn alarm(&self, place: &str, subject: &str) -> Option<&Alarm> {
        self.alarms.get(&(place.to_owned(), subject.to_owned()))
    }
}

/// An interval that holds a chance with a given probability, the same probability being left out on
/// either side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// From end to end.
    pub fn width(self) -> f64 {
        self.high - self.low
    }
}

/// Whole per cent from end to end.
impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0}-{:.0} %", self.low * 100.0, self.high * 100.0)
    }
}

/// What is known about the chance that a visit succeeds: a Beta distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Successes {
    /// Visits that did.
    pub hits: u32,
    /// All visits; those called off are not visits.
    pub visits: u32,
    /// First shape, above 0: successes and the prior's share.
    pub a: f64,
    /// Second shape, above 0: the others and the prior's share.
    pub b: f64,
    /// The interval that holds the chance nine times in ten.
    pub interval: Interval,
}

impl Successes {
    /// Nothing known yet: every chance equally likely.
    pub const UNKNOWN: Self = Self {
        hits: 0,
        visits: 0,
        a: 1.0,
        b: 1.0,
        interval: Chance::UNKNOWN.interval,
    };

    /// The chance that the next visit succeeds.
    pub fn mean(&self) -> f64 {
        self.a / (self.a + self.b)
    }

    /// The chance that `n` visits in a row all fail, as [`misses_in_a_row`].
    ///
    /// ```
    /// use wrackline_plan::experience::Successes;
    /// // Where nothing is known, half of the places fail once, a third of them twice.
    /// assert_eq!(Successes::UNKNOWN.misses_in_a_row(1), 1.0 / 2.0);
    /// assert_eq!(Successes::UNKNOWN.misses_in_a_row(2), 1.0 / 3.0);
    /// ```
    pub fn misses_in_a_row(&self, n: u32) -> f64 {
        misses_in_a_row(self.a, self.b, n)
    }

    /// The fewest visits of which at least one succeeds with a chance, if that takes no more than
    /// `most`.
    pub fn visits_for(&self, chance: f64, most: u32) -> Option<u32> {
        let mut misses = 1.0;
        for n in 0..=most {
            if 1.0 - misses >= chance {
                return Some(n);
            }
            let i = f64::from(n);
            misses *= (self.b + i) / (self.a + self.b + i);
        }
        None
    }
}

/// The expected chance that `n` visits in a row all fail, where the chance of one is Beta
/// distributed: E\[(1-p)^n\] = B(a, b+n) / B(a, b), a product of ratios.
pub fn misses_in_a_row(a: f64, b: f64, n: u32) -> f64 {
    let ratios = (0..n).map(f64::from).map(|i| (b + i) / (a + b + i));
    ratios.product()
}

/// An interval wider than this tells too little to plan with: our choice.
const TOO_WIDE: f64 = 0.5;

/// How often visits reached a rung of the ladder of outcomes, and what that says about the next
/// one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// Visits that reached it.
    pub hits: u32,
    /// All visits; those called off are not visits.
    pub visits: u32,
    /// The expected chance, 0-1.
    pub mean: f64,
    /// The interval that holds the chance nine times in ten.
    pub interval: Interval,
    /// The visits that the sightings of others were held to be worth in it; 0 where they do not
    /// count.
    pub sightings: f64,
}

impl Chance {
    /// Nothing known yet: every chance equally likely.
    pub const UNKNOWN: Self = Self {
        hits: 0,
        visits: 0,
        mean: 0.5,
        interval: Interval {
            low: 0.05,
            high: 0.95,
        },
        sightings: 0.0,
    };

    /// What the sightings of others add to a sentence about it.
    fn with_sightings(&self) -> String {
        if self.sightings > 0.0 {
            format!(", others' sightings taken for {} visits", self.sightings)
        } else {
            String::new()
        }
    }

    /// Whether the visits narrow the chance down enough to plan with.
    pub fn tells(&self) -> bool {
        self.interval.width() <= TOO_WIDE
    }

    /// The chance as a reason for or against an outing: "in range on 8 of 9 visits in this band,
    /// 61-96 %".
    pub fn reason(&self, reached: &str, where_or_when: &str) -> String {
        let others = self.with_sightings();
        if self.visits == 0 {
            return match others.as_str() {
                "" => format!("no visit {where_or_when} yet"),
                _ => format!("no visit {where_or_when} yet{others}: {}", self.interval),
            };
        }
        let plural = if self.visits == 1 { "visit" } else { "visits" };
        let few = if self.tells() {
            ""
        } else {
            ", too few to tell"
        };
        format!(
            "{reached} on {} of {} {plural} {where_or_when}{others}, {}{few}",
            self.hits, self.visits, self.interval
        )
    }
}

impl fmt::Display for Chance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let others = self.with_sightings();
        if self.visits == 0 && others.is_empty() {
            return f.write_str("no visit yet");
        }
        write!(
            f,
            "{} of {}{others}, {:.0} % ({})",
            self.hits,
            self.visits,
            self.mean * 100.0,
            self.interval
        )?;
        if self.tells() {
            Ok(())
        } else {
            f.write_str(", too few visits to tell")
        }
    }
}

/// The share by which a distance goes beyond the one that alarmed them, so as not to find out
/// again: our choice.
const BEYOND: f64 = 1.25;

/// The farthest distance at which a visit alarmed them.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// Metres.
    pub distance_m: f64,
    /// The entry.
    pub id: String,
    /// Whether nobody noted the distance, so that it is the one from the entry's seat.
    pub of_seat: bool,
}

impl Alarm {
    /// Where the distance comes from, in words: the entry, and that it is only its seat's.
    pub fn source(&self) -> String {
        let of_seat = if self.of_seat {
            ", no distance noted: that of its seat"
        } else {
            ""
        };
        format!("{}{of_seat}", self.id)
    }
}

/// A stand-off distance that past visits ask for.
#[derive(Debug, Clone, PartialEq)]
pub struct LargerStandOff {
    /// What to keep, metres; never less than the scenario's own.
    pub stand_off_m: f64,
    /// What asks for it.
    pub alarm: Alarm,
}

impl LargerStandOff {
    /// Whether a planned distance is nearer than what past visits ask for.
    pub fn asks_for_more_than(&self, planned_m: f64) -> bool {
        planned_m < self.stand_off_m
    }
}

/// The larger stand-off that an alarm asks for, whole metres; `None` where the scenario's is large
/// enough already. Visits can only ever make the distance larger: animals that bore it once have
/// not agreed to it.
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
