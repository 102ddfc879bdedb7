//! Invented records of an invented animal whose year is known.
#![allow(clippy::unwrap_used)]
#![allow(dead_code)] // The sample and the tests each take their own part of this.

use std::fmt::Write;

use jiff::civil::{Date, date};

/// Where the records lie, degrees north and east: the invented coast of the demo, in open sea.
pub(crate) const AT: [f64; 2] = [53.4016, 1.202];
/// The animal.
pub(crate) const ANIMAL: (&str, &str) = ("Fictidris saxatilis", "Slate Knotling");
/// Its neighbours, each with its chance on any visit.
const OTHERS: [(&str, &str, f64); 5] = [
    ("Fictidris littorea", "Shore Plovel", 0.55),
    ("Paludipica longirostra", "Longbill Marshpiper", 0.4),
    ("Arundinoctua fulva", "Reed Owl", 0.08),
    ("Salinalauda minor", "Salt Larkle", 0.7),
    ("Fictanas undarum", "Wave Teal", 0.45),
];

/// Numbers that look random and are the same every time (Steele, Lea and Flood 2014, Fast
/// splittable pseudorandom number generators, OOPSLA '14, the generator SplitMix64).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_f491_4f6c_dd1d))
    }

    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly from 0 to below 1.
    pub(crate) fn even(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn falls(&mut self, chance: f64) -> bool {
        self.even() < chance
    }

    /// Evenly from 0 to below a number.
    fn below(&mut self, most: usize) -> usize {
        (self.even() * most as f64) as usize
    }

    /// Normal, by the sum of twelve.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}

/// How records come about.
#[derive(Clone, Copy)]
pub(crate) struct World {
    /// The logit of the chance that a visit finds the animal, by the part of the year from 0 to 1.
    pub(crate) year: fn(f64) -> f64,
    /// Visits in the middle of a half-month; there are half as many in some and twice in others.
    pub(crate) visits: f64,
    /// Observers, and how much their logits differ: a standard deviation.
    pub(crate) observers: usize,
    pub(crate) skill: f64,
    /// How much the logits of years differ.
    pub(crate) years_differ: f64,
    /// The part of records that come twice, or with what keeps them from counting.
    pub(crate) flawed: f64,
    /// Days have a name of their own as events.
    pub(crate) as_events: bool,
}

pub(crate) fn expit(eta: f64) -> f64 {
    1.0 / (1.0 + (-eta).exp())
}

const FIRST_YEAR: i16 = 2019;
const YEARS: usize = 6;

/// A day of a half-month of one of the years.
fn day(half: usize, year: usize, dice: &mut Dice) -> Date {
    let first = date(FIRST_YEAR + year as i16, 1 + half as i8 / 2, 1);
    let last_of_month = first.last_of_month().day();
    let day = match half % 2 {
        0 => 1 + dice.below(15) as i8,
        _ => 16 + dice.below(usize::from((last_of_month - 15).unsigned_abs())) as i8,
    };
    first.with().day(day).build().unwrap()
}

impl World {
    /// The share of visits that find the animal in a half-month: over its days, all observers there
    /// could be, and all years.
    pub(crate) fn truth(&self, half: usize) -> f64 {
        let differ = self.skill.hypot(self.years_differ);
        let (mut sum, mut whole) = (0.0, 0.0);
        for step in 0..15 {
            let at = (half as f64 + (f64::from(step) + 0.5) / 15.0) / 24.0;
            for z in -12..=12 {
                let z = f64::from(z) / 3.0;
                let density = (-0.5 * z * z).exp();
                whole += density;
                sum += density * expit((self.year)(at) + z * differ);
            }
        }
        sum / whole
    }

    /// The records as CSV.
    pub(crate) fn records(&self, seed: u64) -> String {
        let mut dice = Dice::new(seed);
        let mut out = String::from(
            "occurrenceID,eventID,eventDate,recordedBy,scientificName,vernacularName,\
             occurrenceStatus,individualCount,decimalLatitude,decimalLongitude,\
             coordinateUncertaintyInMeters,basisOfRecord,degreeOfEstablishment,\
             identificationVerificationStatus,datasetName,license\n",
        );
        let skills: Vec<f64> = (0..self.observers)
            .map(|_| self.skill * dice.normal())
            .collect();
        let years: Vec<f64> = (0..YEARS)
            .map(|_| self.years_differ * dice.normal())
            .collect();
        let mut number = 0;
        for half in 0..24 {
            let visits = self.visits * 2_f64.powf(2.0 * dice.even() - 1.0);
            let mut taken = std::collections::BTreeSet::new();
            for _ in 0..visits.round() as usize {
                // An observer's day is one visit, so that nobody goes out twice.
                let (observer, year, date) = loop {
                    let (observer, year) = (dice.below(self.observers), dice.below(YEARS));
                    let date = day(half, year, &mut dice);
                    if taken.insert((observer, date)) {
                        break (observer, year, date);
                    }
                };
                let length = if half % 2 == 0 {
                    15.0
                } else {
                    f64::from(date.days_in_month() - 15)
                };
                let since = f64::from((date.day() - 1) % 15) + f64::from(date.day() / 31) * 15.0;
                let at = (half as f64 + (since + 0.5) / length) / 24.0;
                let there = expit((self.year)(at) + skills[observer] + years[year]);
                let mut seen: Vec<(&str, &str)> = Vec::new();
                if dice.falls(there) {
                    seen.push(ANIMAL);
                }
                // Of the neighbours at least two, so that every visit is a list.
                while seen.iter().filter(|kind| **kind != ANIMAL).count() < 2 {
                    seen.retain(|kind| *kind == ANIMAL);
                    let others = OTHERS.iter().filter(|(_, _, chance)| dice.falls(*chance));
                    seen.extend(others.map(|(name, common, _)| (*name, *common)));
                }
                for (name, common) in seen {
                    number += 1;
                    self.record(
                        &mut out,
                        &mut dice,
                        number,
                        (observer, date),
                        (name, common),
                    );
                }
            }
        }
        out
    }

    fn record(
        &self,
        out: &mut String,
        dice: &mut Dice,
        number: usize,
        (observer, date): (usize, Date),
        (name, common): (&str, &str),
    ) {
        let around = |dice: &mut Dice| 0.04 * (dice.even() - 0.5);
        let (latitude, longitude) = (AT[0] + around(dice), AT[1] + around(dice));
        let count = 1 + dice.below(40);
        let event = match self.as_events {
            true => format!("walk-{date}-{observer}"),
            false => String::new(),
        };
        let mut row =
            |id: &str, kind: (&str, &str), date: &str, uncertainty: u32, flaw: [&str; 2]| {
                let [establishment, verification] = flaw;
                let _ = writeln!(
                    out,
                    "{id},{event},{date},Observer {observer},{},{},present,{count},{latitude:.4},\
                 {longitude:.4},{uncertainty},HumanObservation,{establishment},{verification},\
                 Oskerrow shore walks (invented),CC0 1.0",
                    kind.0, kind.1
                );
            };
        let id = format!("osk-{number}");
        row(&id, (name, common), &date.to_string(), 100, ["", ""]);
        if !dice.falls(self.flawed) {
            return;
        }
        // Beside it, a flawed record of the animal of which nothing may be counted.
        let flawed = format!("{id}-b");
        let month = date.strftime("%Y-%m").to_string();
        // A coarse record may be true: it stands only where the animal was.
        let flaws = if (name, common) == ANIMAL { 5 } else { 3 };
        match dice.below(flaws) {
            0 => row(&id, (name, common), &date.to_string(), 100, ["", ""]),
            1 => row(&flawed, ANIMAL, &date.to_string(), 100, ["captive", ""]),
            2 => row(&flawed, ANIMAL, &date.to_string(), 100, ["", "rejected"]),
            3 => row(&flawed, ANIMAL, &date.to_string(), 50_000, ["", ""]),
            _ => row(&flawed, ANIMAL, &month, 100, ["", ""]),
        }
    }
}

/// How far two parts of the year lie apart on its circle, in half-months.
fn apart(at: f64, other: f64) -> f64 {
    let apart = (at - other).rem_euclid(1.0);
    24.0 * apart.min(1.0 - apart)
}

/// Comes in a few days of September and leaves in April.
pub(crate) fn winter_guest(at: f64) -> f64 {
    1.1 - 7.0 * expit((apart(at, 0.985) - 7.2) / 0.35)
}

/// Comes in April, leaves in August.
pub(crate) fn summer_guest(at: f64) -> f64 {
    0.4 - (apart(at, 0.49) / 2.6).powi(2)
}

/// On passage in April and in September.
pub(crate) fn passage(at: f64) -> f64 {
    let (spring, autumn) = (apart(at, 0.31) / 1.3, apart(at, 0.69) / 1.8);
    (-0.6 - spring * spring)
        .max(0.2 - autumn * autumn)
        .max(-5.5)
}

/// All year, a little less in the heat.
pub(crate) fn resident(at: f64) -> f64 {
    0.3 + 0.6 * (std::f64::consts::TAU * at).cos()
}

/// Now and then, at any time.
pub(crate) fn rarity(_: f64) -> f64 {
    -3.2
}
