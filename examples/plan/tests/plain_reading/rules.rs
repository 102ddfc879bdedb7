//! Whether a window that is proposed keeps every rule, minute by minute from setting out to being
//! back.
//!
//! Tolerances, all to the side of the library: a rule is broken only if it is broken for more
//! than a minute (instants are looked at that far inside each limit), by more water than the two
//! sums can differ ([`tide::ERROR_M`]), by more sun than the judge's formula can be off
//! ([`sun::ERROR_DEG`]).

use std::ops::Range;

use super::ask::Found;
use super::plan::{Access, Phase, Plan, Seat, Subject};
use super::table::{Table, Walks, day_forbids, stand_off_m, stays, unknown, walks};
use super::{sun, tide};

/// A broken rule: its name, and what was seen.
pub(crate) type Break = (&'static str, String);

const MINUTE_S: f64 = 60.0;
const OUR_LONGEST_HOURS: f64 = 24.0;

pub(crate) fn longest_minutes(plan: &Plan) -> f64 {
    plan.longest_hours.unwrap_or(OUR_LONGEST_HOURS) * 60.0
}

struct Judged<'a> {
    plan: &'a Plan,
    table: &'a Table,
    seat: &'a Seat,
    subject: &'a Subject,
    found: &'a Found,
    breaks: Vec<Break>,
}

/// Every rule that a window breaks.
pub(crate) fn breaks(plan: &Plan, table: &Table, found: &Found) -> Vec<Break> {
    let seat = plan.seats.iter().find(|seat| seat.id == found.seat);
    let subject = plan
        .subjects
        .iter()
        .find(|subject| subject.id == found.subject);
    let (Some(seat), Some(subject)) = (seat, subject) else {
        return vec![(
            "names",
            format!("{found:?} is no seat and subject of the scenario"),
        )];
    };
    let mut judged = Judged {
        plan,
        table,
        seat,
        subject,
        found,
        breaks: Vec::new(),
    };
    judged.times();
    judged.animals();
    judged.light();
    judged.days();
    judged.hours();
    judged.push();
    judged.lower();
    judged.ground();
    judged.way();
    judged.breaks
}

impl Judged<'_> {
    fn broken(&mut self, rule: &'static str, what: String) {
        self.breaks.push((rule, what));
    }

    fn must(&mut self, rule: &'static str, holds: bool, what: impl FnOnce() -> String) {
        if !holds {
            self.broken(rule, what());
        }
    }

    /// The minutes that lie more than a minute inside two instants.
    fn inside(&self, from_s: f64, until_s: f64) -> Range<usize> {
        let from = self.table.at(from_s + MINUTE_S);
        from..self.table.at(until_s - MINUTE_S).max(from)
    }

    /// The end of the walk out by the rule, even where the library says that it is over sooner.
    fn back_s(&self) -> f64 {
        let back = walks(self.plan, self.seat).back;
        self.found.back_by.max(self.found.stand_up + back * 60.0)
    }

    /// The end of the time for which way and ground must be clear.
    fn clear_s(&self) -> f64 {
        let clear = walks(self.plan, self.seat).clear;
        self.back_s().max(self.found.stand_up + clear * 60.0)
    }

    fn times(&mut self) {
        let found = self.found;
        let Walks {
            into: walk_in,
            back: walk_out,
            ..
        } = walks(self.plan, self.seat);
        let slack = MINUTE_S / 60.0;
        let given = (found.seated_by - found.set_out) / 60.0;
        self.must("walk in", given >= walk_in - slack, || {
            format!("{given:.1} min for a walk in of {walk_in}")
        });
        let given = (found.back_by - found.stand_up) / 60.0;
        self.must("walk out", given >= walk_out - slack, || {
            format!("{given:.1} min for a walk out of {walk_out}")
        });
        let [start, end] = found.pictures;
        let settled = (start - found.seated_by) / 60.0;
        let settle = self.plan.settle;
        self.must("settling", settled >= settle - slack, || {
            format!("{settled:.1} min from sitting down to the first picture, of {settle}")
        });
        self.must("stand up", found.stand_up >= end - MINUTE_S, || {
            format!(
                "stands up {:.1} min before the window ends",
                (end - found.stand_up) / 60.0
            )
        });
        let shortest = self.plan.shortest;
        self.must("shortest", (end - start) / 60.0 >= shortest - slack, || {
            format!("a window of {:.1} min, of {shortest}", (end - start) / 60.0)
        });
        let (whole, longest) = (
            (self.back_s() - found.set_out) / 60.0,
            longest_minutes(self.plan),
        );
        self.must("longest outing", whole <= longest + slack, || {
            format!("an outing of {whole:.0} min, of {longest:.0}")
        });
    }

    fn animals(&mut self) {
        let (seat, nearest) = (self.seat, stand_off_m(self.plan, self.seat, self.subject));
        self.must("stand-off", seat.distance_m >= nearest, || {
            format!("{} m from the subject, of {nearest}", seat.distance_m)
        });
        if let Some(what) = unknown(self.plan, seat) {
            self.broken("unknown", format!("{what} is not given"));
        }
    }

    fn light(&mut self) {
        let [start, end] = self.found.pictures;
        let dark = self
            .inside(start, end)
            .find(|&at| !self.table.lit(self.plan, self.seat, at, sun::ERROR_DEG));
        if let Some(at) = dark {
            self.broken(
                "light",
                format!("not as wanted at {}", self.table.clock(at)),
            );
        }
    }

    fn days(&mut self) {
        let outing = self.inside(self.found.set_out, self.back_s());
        let mut last = None;
        let mut forbidden = Vec::new();
        for at in outing {
            let day = self.table.day[at];
            if last != Some(day) {
                last = Some(day);
                if let Some(rule) = day_forbids(self.plan, self.seat, self.subject, day) {
                    forbidden.push((
                        rule,
                        format!("the outing is out at {}", self.table.clock(at)),
                    ));
                }
            }
        }
        self.breaks.extend(forbidden);
    }

    fn hours(&mut self) {
        let home_s = self.plan.from_home.unwrap_or(0.0) * 60.0;
        let busy = self
            .inside(self.found.set_out - home_s, self.back_s() + home_s)
            .find(|&at| !self.table.free[at]);
        if let Some(at) = busy {
            self.broken(
                "free hours",
                format!("not free at {}", self.table.clock(at)),
            );
        }
    }

    fn push(&mut self) {
        let Some(push) = self.plan.push_m else {
            return;
        };
        let (plan, table, found) = (self.plan, self.table, self.found);
        let expected = |at: usize| table.expected_m(plan, at);
        let pictures = self.inside(found.pictures[0], found.pictures[1]);
        if let Some(at) = pictures
            .clone()
            .find(|&at| expected(at) < push - tide::ERROR_M)
        {
            let height = expected(at);
            self.broken(
                "push level",
                format!("{height:.3} m at {}", table.clock(at)),
            );
            return;
        }
        let over = |at: usize| expected(at) >= push + tide::ERROR_M;
        let Some(middle) = pictures.clone().find(|&at| over(at)) else {
            return;
        };
        let first = (0..middle)
            .rev()
            .take_while(|&at| over(at))
            .last()
            .unwrap_or(middle);
        let last = (middle..table.len)
            .take_while(|&at| over(at))
            .last()
            .unwrap_or(middle);
        if let Some(overtop) = plan.overtop_m
            && let Some(at) = (first..=last).find(|&at| expected(at) > overtop + tide::ERROR_M)
        {
            let height = expected(at);
            self.broken(
                "overtop level",
                format!("{height:.3} m at {}", table.clock(at)),
            );
        }
        let (length, longest) = ((last - first) as f64, longest_minutes(plan));
        self.must("longest stretch", length <= longest + 1.0, || {
            format!(
                "over the push level for {length} min from {}",
                table.clock(first)
            )
        });
        // Water that falls to the push level by less than the sums can differ may be one tide or
        // two, and two tops within that are both the highest: a part of the tide is held against
        // whichever reading allows it.
        let joined = |at: &usize| expected(*at) >= push - tide::ERROR_M;
        let since = (0..=first).rev().take_while(joined).last().unwrap_or(first);
        let until = (last..table.len).take_while(joined).last().unwrap_or(last);
        let tops_of = |part: std::ops::RangeInclusive<usize>| {
            let top = part.clone().map(expected).fold(f64::MIN, f64::max);
            let mut tops = part.filter(move |&at| expected(at) >= top - tide::ERROR_M);
            let first_top = tops.next().unwrap_or(middle);
            (first_top, tops.next_back().unwrap_or(first_top))
        };
        let (narrow, wide) = (tops_of(first..=last), tops_of(since..=until));
        let (first_top, last_top) = (narrow.0.min(wide.0), narrow.1.max(wide.1));
        let on_flood = plan.phase != Phase::Flood || pictures.end <= last_top + 1;
        self.must("flood only", on_flood, || {
            format!("topped out at {}", table.clock(last_top))
        });
        let on_ebb = plan.phase != Phase::Ebb || pictures.start + 1 >= first_top;
        self.must("ebb only", on_ebb, || {
            format!("tops out at {}", table.clock(first_top))
        });
        // By a forecast the animals may be there sooner and longer, and what lets them go for less
        // than half an hour lets nobody go: between minutes so far apart it is shorter.
        let risen = |at: &usize| table.risen_m(plan, *at) >= push + tide::ERROR_M;
        let first = stays((0..=first).rev(), risen, 29)
            .unwrap_or(first)
            .min(first);
        let last = stays(last..table.len, risen, 29).unwrap_or(last).max(last);
        // The first minute over the level may stand up to a minute after the crossing.
        let due = table.unix_s(first) - plan.settle * 60.0;
        self.must(
            "seated before the animals",
            found.seated_by <= due + MINUTE_S,
            || {
                format!(
                    "{:.1} min late for {}",
                    (found.seated_by - due) / 60.0,
                    table.clock(first)
                )
            },
        );
        let gone = table.unix_s(last);
        let waits = self.seat.access == Access::Leave || found.stand_up >= gone - MINUTE_S;
        self.must("waits for the animals to leave", waits, || {
            format!("they are there until {}", table.clock(last))
        });
    }

    /// What is promised at the lower water is under it nowhere.
    fn lower(&mut self) {
        let (Some(push), Some([from, until])) = (self.plan.push_m, self.found.at_lower_water)
        else {
            return;
        };
        let mut left = self.inside(from, until);
        let lower = |at: usize| self.table.lower_m(self.plan, at);
        if let Some(at) = left.find(|&at| lower(at) < push - tide::ERROR_M) {
            let what = format!("{:.3} m at {}", lower(at), self.table.clock(at));
            self.broken("lower water", what);
        }
    }

    fn ground(&mut self) {
        let Some(ground) = self.seat.ground_m else {
            return;
        };
        let highest = ground - self.seat.freeboard_m;
        let wet = self
            .inside(self.found.set_out, self.clear_s())
            .find(|&at| self.table.upper_m(self.plan, at) > highest + tide::ERROR_M);
        if let Some(at) = wet {
            let over = self.table.upper_m(self.plan, at) - highest;
            self.broken(
                "freeboard",
                format!("{over:.3} m short at {}", self.table.clock(at)),
            );
        }
    }

    fn way(&mut self) {
        let Some(way) = self.seat.way else {
            return;
        };
        let closed = self
            .table
            .closed(self.plan, &self.plan.ways[way], tide::ERROR_M, 1.0);
        let found = self.found;
        let walk_in = walks(self.plan, self.seat).into;
        let set_out = found.set_out.min(found.seated_by - walk_in * 60.0);
        let walks = [
            ("way in", self.inside(set_out, found.seated_by)),
            ("way out", self.inside(found.stand_up, self.clear_s())),
        ];
        for (rule, mut walk) in walks {
            if let Some(at) = walk.find(|&at| closed[at]) {
                self.broken(rule, format!("closed at {}", self.table.clock(at)));
            }
        }
        if self.seat.access == Access::Leave {
            let mut sitting = self.inside(found.seated_by, found.stand_up);
            if let Some(at) = sitting.find(|&at| closed[at]) {
                let clock = self.table.clock(at);
                self.broken("left before the flood", format!("cut off at {clock}"));
            }
        }
    }
}
