//! An independent judge of windows: a plain reading of the written rules, minute by minute, that
//! shares no code with the libraries.
//!
//! Its sun, its tide and its search are its own ([`sun`], [`tide`], [`search`]); time zones are a
//! third party's. It draws scenarios and asks of each: does any window break a rule ([`rules`]);
//! is any window missed that the rules allow; is the answer for a day the same in every span that
//! holds it. `PLAIN_READING_SCENARIOS=3000` is the full run; without it the number is what takes
//! less than a minute on two cores in the development profile. `PLAIN_READING_SEED=17` tells one
//! scenario in full.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod ask;
mod blind;
mod cases;
mod chance;
mod coast;
mod draw;
mod laws;
mod plan;
mod rules;
mod search;
mod sun;
mod table;
mod tide;
mod week;

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use jiff::civil::Date;

use ask::{Answer, Found, ask_plan};
use plan::Plan;
use table::Table;

const SCENARIOS: u64 = 300;

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok().and_then(|text| text.parse().ok())
}

/// How many scenarios are drawn.
pub(crate) fn scenarios() -> u64 {
    number("PLAIN_READING_SCENARIOS").unwrap_or(SCENARIOS)
}

/// What one scenario brought to light.
#[derive(Default)]
pub(crate) struct Verdict {
    pub(crate) windows: usize,
    /// Windows that the search asks for.
    pub(crate) asked: usize,
    pub(crate) breaks: Vec<(&'static str, String)>,
}

#[test]
fn windows_keep_the_rules_and_none_is_missed() {
    let seeds = match number("PLAIN_READING_SEED") {
        Some(seed) => seed..seed + 1,
        None => 0..scenarios(),
    };
    let next = AtomicU64::new(seeds.start);
    let verdicts = Mutex::new(BTreeMap::new());
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if !seeds.contains(&seed) {
                        break;
                    }
                    let verdict = judge(&draw::plan(seed));
                    verdicts.lock().unwrap().insert(seed, verdict);
                }
            });
        }
    });
    let verdicts = verdicts.into_inner().unwrap();
    let windows: usize = verdicts.values().map(|verdict| verdict.windows).sum();
    let asked: usize = verdicts.values().map(|verdict| verdict.asked).sum();
    println!(
        "{} scenarios, {windows} windows, {asked} asked for",
        verdicts.len()
    );
    let report = report(&verdicts);
    assert!(
        report.is_empty(),
        "of {} scenarios, {windows} windows:\n{report}",
        verdicts.len()
    );
    // A judge that is shown nothing has judged nothing.
    assert!(seeds.end - seeds.start < 100 || windows > 1000 && asked > 1000);
}

/// Each rule that was broken: how often, and where first, with its scenario.
fn report(verdicts: &BTreeMap<u64, Verdict>) -> String {
    let mut by_rule: BTreeMap<&str, Vec<(u64, &str)>> = BTreeMap::new();
    for (seed, verdict) in verdicts {
        for (rule, what) in &verdict.breaks {
            by_rule.entry(rule).or_default().push((*seed, what));
        }
    }
    let mut out = String::new();
    for (rule, breaks) in &by_rule {
        let mut seeds: Vec<u64> = breaks.iter().map(|(seed, _)| *seed).collect();
        seeds.dedup();
        out += &format!(
            "\n{rule}: {} times in {} scenarios\n",
            breaks.len(),
            seeds.len()
        );
        for (seed, what) in breaks.iter().take(3) {
            out += &format!("  scenario {seed}: {what}\n");
        }
    }
    let shown = verdicts
        .iter()
        .find(|(_, verdict)| !verdict.breaks.is_empty());
    if let Some((seed, verdict)) = shown {
        let plan = draw::plan(*seed);
        out += &format!(
            "\nscenario {seed}, from {} for {} days:\n",
            plan.from, plan.days
        );
        out += &plan.text();
        out += &format!("{:?}\n", plan.week);
        for (rule, what) in &verdict.breaks {
            out += &format!("\n{rule}: {what}");
        }
    }
    out
}

/// All that the judge holds against the library's answer to a plan.
pub(crate) fn judge(plan: &Plan) -> Verdict {
    let mut verdict = Verdict::default();
    let answer = match ask_plan(plan, plan.from, plan.days) {
        Ok(answer) => answer,
        Err(problem) => {
            // What decides about life and is not given may be refused at reading.
            let lacking = plan
                .seats
                .iter()
                .any(|seat| table::unknown(plan, seat).is_some());
            if !lacking {
                verdict.breaks.push(("reads the scenario", problem));
            }
            return verdict;
        }
    };
    let table = Table::of(plan);
    verdict.windows = answer.windows.len();
    for found in &answer.windows {
        let told = tell(found);
        let breaks = rules::breaks(plan, &table, found);
        verdict.breaks.extend(
            breaks
                .into_iter()
                .map(|(rule, what)| (rule, format!("{what}; {told}"))),
        );
    }
    named(plan, &answer, &mut verdict);
    missed(plan, &table, &answer, &mut verdict);
    same_in_every_span(plan, &answer, &mut verdict);
    verdict
}

/// A seat that nothing may be proposed for says so.
fn named(plan: &Plan, answer: &Answer, verdict: &mut Verdict) {
    for seat in &plan.seats {
        let said = answer.unknown.iter().any(|id| id == seat.id);
        if let Some(what) = table::unknown(plan, seat)
            && !said
        {
            let what = format!(
                "{what} of seat {} is not given, and nothing says so",
                seat.id
            );
            verdict.breaks.push(("names what is unknown", what));
        }
    }
}

fn missed(plan: &Plan, table: &Table, answer: &Answer, verdict: &mut Verdict) {
    for seat in &plan.seats {
        for subject in &plan.subjects {
            let allowed = search::allowed(plan, table, seat, subject);
            verdict.asked += allowed.len();
            for window in allowed {
                let (from, until) = (table.unix_s(window.start + 2), table.unix_s(window.end - 2));
                let met = answer.windows.iter().any(|found| {
                    (found.seat == seat.id && found.subject == subject.id)
                        && found.pictures[0] <= from
                        && until <= found.pictures[1]
                });
                if !met {
                    let what = format!(
                        "seat {}, subject {}, {} to {}",
                        seat.id,
                        subject.id,
                        table.clock(window.start),
                        table.clock(window.end)
                    );
                    verdict.breaks.push(("missed", what));
                }
            }
        }
    }
}

/// Days with windows, and one that is drawn, by themselves.
fn same_in_every_span(plan: &Plan, answer: &Answer, verdict: &mut Verdict) {
    let drawn = u64::from(plan.from.day_of_year() as u16) % u64::from(plan.days);
    let mut days: Vec<Date> = answer.windows.iter().map(|found| found.day).collect();
    days.sort();
    days.dedup();
    let edges = [days.first().copied(), days.last().copied()];
    let drawn = plan
        .from
        .checked_add(jiff::Span::new().days(drawn as i64))
        .ok();
    for day in edges.into_iter().chain([drawn]).flatten() {
        let alone = match ask_plan(plan, day, 1) {
            Ok(alone) => alone.windows,
            Err(problem) => {
                verdict.breaks.push(("reads the scenario", problem));
                continue;
            }
        };
        let among: Vec<&Found> = answer
            .windows
            .iter()
            .filter(|found| found.day == day)
            .collect();
        let same = alone.len() == among.len() && alone.iter().zip(&among).all(|(a, b)| alike(a, b));
        if !same {
            let list = |found: &mut dyn Iterator<Item = &Found>| {
                found.map(tell).collect::<Vec<_>>().join(", ")
            };
            let what = format!(
                "{day}: alone [{}], among {} days [{}]",
                list(&mut alone.iter()),
                plan.days,
                list(&mut among.into_iter())
            );
            verdict.breaks.push(("the same in every span", what));
        }
    }
}

/// The same to a second: roots may be bracketed otherwise in another span.
pub(crate) fn alike(a: &Found, b: &Found) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= 1.0;
    a.seat == b.seat
        && a.subject == b.subject
        && near(a.pictures[0], b.pictures[0])
        && near(a.pictures[1], b.pictures[1])
        && near(a.set_out, b.set_out)
        && near(a.back_by, b.back_by)
}

pub(crate) fn tell(found: &Found) -> String {
    let clock =
        |s: f64| jiff::Timestamp::from_second(s as i64).map_or(String::new(), |at| at.to_string());
    format!(
        "seat {} for {}: {} to {}, out {}, seated {}, up {}, back {}",
        found.seat,
        found.subject,
        clock(found.pictures[0]),
        clock(found.pictures[1]),
        clock(found.set_out),
        clock(found.seated_by),
        clock(found.stand_up),
        clock(found.back_by)
    )
}
