//! How often the ranges that the log prints hold the truth: logs are simulated whose chances are
//! known, and learnt from.
//!
//! `cargo run --release -p wrackline-log --example coverage` prints the figures that the README of
//! the examples gives.

use std::error::Error;

use jiff::civil::{Date, date};
use jiff::{Timestamp, ToSpan};
use wrackline_log::learning::pooled::{Pool, Tally};
use wrackline_log::learning::{Ageing, Chance, Fading, LEVEL};
use wrackline_log::{Draft, Outcome, Record, join};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};

/// Logs for each line of the table: the figures are then within 1.5 % of their own truth, twice the
/// standard error.
const LOGS: u32 = 1600;

/// Numbers that are the same in every run (SplitMix64; Steele, Lea and Flood, OOPSLA 2014).
struct Random(u64);

impl Random {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn hits(&mut self, chance: f64, visits: u32) -> u32 {
        (0..visits).map(|_| u32::from(self.unit() < chance)).sum()
    }

    /// Of a Beta distribution with whole shapes: the a-th smallest of a + b - 1 numbers.
    fn beta(&mut self, a: usize, b: usize) -> f64 {
        let mut numbers: Vec<f64> = (0..a + b - 1).map(|_| self.unit()).collect();
        numbers.sort_by(f64::total_cmp);
        numbers[a - 1]
    }
}

/// What all the visits of a simulated log have in common.
struct Simulated {
    scenario: Scenario,
    blank: Record,
}

impl Simulated {
    fn new() -> Result<Self, Box<dyn Error>> {
        let scenario = Scenario::parse(DEMO_NAME, DEMO)?;
        let mut draft = Draft::default();
        for (field, text) in [
            ("when", "2026-01-24"),
            ("seat", "B"),
            ("subject", "slate-knotling"),
            ("outcome", "absent"),
        ] {
            draft.set(field, text)?;
        }
        let gate = join::gate(&scenario, "2026-11-25T12:00:00Z".parse()?);
        let entry = gate
            .accept(&draft)
            .map_err(|problems| format!("{problems:?}"))?;
        let blank = Record {
            entry,
            revision: 1,
            recorded: Timestamp::UNIX_EPOCH,
            why: None,
            conditions: None,
        };
        Ok(Self { scenario, blank })
    }

    /// Visits of some winters up to the newest, each with its own chance.
    fn log(&self, random: &mut Random, winters: &[f64], each: u32) -> Vec<Record> {
        let mut records = Vec::new();
        for (back, chance) in (0..).zip(winters) {
            for _ in 0..each {
                let mut record = self.blank.clone();
                let day = NEWEST.checked_sub((back * 12).months()).unwrap_or(NEWEST);
                record.entry.when = wrackline_log::When::Day(day);
                if random.unit() < *chance {
                    record.entry.outcome = Outcome::InRange;
                }
                records.push(record);
            }
        }
        records
    }

    fn chance(&self, records: &[Record], per_season: f64) -> Result<Chance, Box<dyn Error>> {
        let subject = self.scenario.subjects().first().ok_or("no subject")?;
        let place = self.scenario.places().first().ok_or("no place")?;
        let fading = Fading { per_season };
        let ageing = Ageing::new(&self.scenario, place, subject, fading, NEWEST);
        Ok(Chance::of_reaching(Outcome::InRange, records, &ageing))
    }
}

const NEWEST: Date = date(2026, 1, 24);

fn main() -> Result<(), Box<dyn Error>> {
    let simulated = Simulated::new()?;
    let mut random = Random(1);
    let percent = |held: u32, of: u32| 100.0 * f64::from(held) / f64::from(of);
    println!(
        "Of {LOGS} logs each, the range printed for {:.0} % holds the truth in",
        100.0 * LEVEL
    );
    println!("\none winter, one place\n  chance      5 visits  20 visits  60 visits");
    let chances = [
        Some(0.05),
        Some(0.2),
        Some(0.5),
        Some(0.8),
        Some(0.95),
        None,
    ];
    for chance in chances {
        print!(
            "  {:<10}",
            chance.map_or("any".to_owned(), |chance| chance.to_string())
        );
        for visits in [5, 20, 60] {
            let mut held = 0;
            for _ in 0..LOGS {
                let truth = chance.unwrap_or_else(|| random.unit());
                let log = simulated.log(&mut random, &[truth], visits);
                let range = simulated.chance(&log, 1.0)?.interval();
                held += u32::from((range.low..=range.high).contains(&truth));
            }
            print!("  {:7.1} %", percent(held, LOGS));
        }
        println!();
    }
    println!("\nsix winters of 10 visits, any chance; the newest winter's is asked for");
    println!("  winters back count   the same chance   moving by up to 0.1 a winter");
    for per_season in [1.0, 0.8, 0.5] {
        print!("  {per_season:<19}");
        for step in [0.0, 0.1] {
            let mut held = 0;
            for _ in 0..LOGS {
                let mut winters = vec![random.unit()];
                for _ in 1..6 {
                    let moved = winters[winters.len() - 1] + step * (2.0 * random.unit() - 1.0);
                    winters.push(moved.clamp(0.0, 1.0));
                }
                let log = simulated.log(&mut random, &winters, 10);
                let range = simulated.chance(&log, per_season)?.interval();
                held += u32::from((range.low..=range.high).contains(&winters[0]));
            }
            print!("  {:13.1} %", percent(held, LOGS));
        }
        println!();
    }
    println!("\nfive places whose chances are of one kind, each asked for");
    println!("  kind                 3 visits  10 visits  30 visits");
    for (name, a, b) in [
        ("any (uniform)", 1, 1),
        ("mostly 0.5 to 0.9", 7, 3),
        ("mostly 0.05 to 0.4", 2, 8),
    ] {
        print!("  {name:<19}");
        for visits in [3, 10, 30] {
            let (mut held, mut asked) = (0, 0);
            for _ in 0..LOGS / 5 {
                let truths: Vec<f64> = (0..5).map(|_| random.beta(a, b)).collect();
                let tallies: Vec<Tally> = truths
                    .iter()
                    .map(|truth| {
                        let hits = random.hits(*truth, visits);
                        Tally {
                            hits: f64::from(hits),
                            misses: f64::from(visits - hits),
                        }
                    })
                    .collect();
                let pool = Pool::learn(&tallies);
                for (tally, truth) in tallies.iter().zip(&truths) {
                    // The ends of the range leave as much below as above: this is to lie between
                    // them.
                    let below = pool.at(*tally).cdf(*truth);
                    held += u32::from((below - 0.5).abs() <= LEVEL / 2.0);
                    asked += 1;
                }
            }
            print!("  {:7.1} %", percent(held, asked));
        }
        println!();
    }
    Ok(())
}
