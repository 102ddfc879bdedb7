//! What the rules allow, by trying minutes: a window that must be among those proposed.
//!
//! What is undecided is not asked for. Each limit is tried on both of its sides: levels 1 cm up
//! and down (five times what the two tidal sums can differ, and as near as anybody knows a
//! level), the light 0.04° inside and outside of its limits (twice what the judge's sun can be
//! off), margins and walks a minute longer. Only what every trial allows is asked for, and two
//! minutes at each end of it are left to the sampling.

use std::ops::Range;

use super::plan::{Access, Phase, Plan, Seat, Subject};
use super::rules::longest_minutes;
use super::sun;
use super::table::{Table, day_forbids, day_number, stand_off_m, stays, unknown, walks};

const LEVEL_M: f64 = 0.01;
const LIGHT_DEG: f64 = 2.0 * sun::ERROR_DEG;
/// A day is certain if it is the same this many minutes before and after.
const DAY_MINUTES: usize = 3;

/// One side of the limits.
#[derive(Clone, Copy)]
struct Trial {
    /// Added to the push level.
    push_m: f64,
    light_deg: f64,
    /// Positive lets the water stand higher over ground and way.
    water_m: f64,
    /// Added to the margin in time and to each walk.
    minutes: f64,
}

const TRIALS: [Trial; 4] = {
    let strict = Trial {
        push_m: LEVEL_M,
        light_deg: -LIGHT_DEG,
        water_m: -LEVEL_M,
        minutes: 1.0,
    };
    let late = Trial {
        push_m: -LEVEL_M,
        light_deg: LIGHT_DEG,
        ..strict
    };
    let loose = Trial {
        water_m: LEVEL_M,
        minutes: 0.0,
        ..strict
    };
    [
        strict,
        late,
        loose,
        Trial {
            push_m: -LEVEL_M,
            light_deg: LIGHT_DEG,
            ..loose
        },
    ]
};

/// Windows of more than the shortest and two minutes that every trial allows.
pub(crate) fn allowed(
    plan: &Plan,
    table: &Table,
    seat: &Seat,
    subject: &Subject,
) -> Vec<Range<usize>> {
    if unknown(plan, seat).is_some() || seat.distance_m < stand_off_m(plan, seat, subject) {
        return Vec::new();
    }
    let mut left: Option<Vec<Range<usize>>> = None;
    for trial in TRIALS {
        let found = Search::new(plan, table, seat, subject, trial).windows();
        left = Some(match left {
            None => found,
            Some(left) => both(&left, &found),
        });
    }
    let mut left = left.unwrap_or_default();
    left.retain(|window| window.len() as f64 > plan.shortest + 2.0);
    left
}

fn both(a: &[Range<usize>], b: &[Range<usize>]) -> Vec<Range<usize>> {
    a.iter()
        .flat_map(|x| b.iter().map(|y| x.start.max(y.start)..x.end.min(y.end)))
        .filter(|window| !window.is_empty())
        .collect()
}

/// Maximal runs of minutes in which something holds.
pub(crate) fn runs(len: usize, holds: impl Fn(usize) -> bool) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut since = None;
    for at in 0..=len {
        match (at < len && holds(at), since) {
            (true, None) => since = Some(at),
            (false, Some(from)) => {
                out.push(from..at);
                since = None;
            }
            _ => {}
        }
    }
    out
}

struct Search<'a> {
    plan: &'a Plan,
    table: &'a Table,
    seat: &'a Seat,
    subject: &'a Subject,
    trial: Trial,
    open: Vec<bool>,
    /// Open minutes in a row before and from each minute.
    open_before: Vec<usize>,
    open_from: Vec<usize>,
    dry: Vec<bool>,
    walk_in: usize,
    walk_back: usize,
    /// Minutes from standing up for which way and ground must be clear.
    clear: usize,
    settle: usize,
}

impl<'a> Search<'a> {
    fn new(
        plan: &'a Plan,
        table: &'a Table,
        seat: &'a Seat,
        subject: &'a Subject,
        trial: Trial,
    ) -> Self {
        let len = table.len;
        let open: Vec<bool> = match seat.way {
            None => vec![true; len],
            Some(way) => table
                .closed(
                    plan,
                    &plan.ways[way],
                    trial.water_m,
                    if trial.minutes > 0.0 { -1.0 } else { 1.0 },
                )
                .iter()
                .map(|closed| !closed)
                .collect(),
        };
        let mut open_before = vec![0; len + 1];
        for at in 0..len {
            open_before[at + 1] = if open[at] { open_before[at] + 1 } else { 0 };
        }
        let mut open_from = vec![0; len + 1];
        for at in (0..len).rev() {
            open_from[at] = if open[at] { open_from[at + 1] + 1 } else { 0 };
        }
        let dry = match seat.ground_m {
            None => vec![true; len],
            Some(ground) => (0..len)
                .map(|at| table.upper_m(plan, at) <= ground - seat.freeboard_m + trial.water_m)
                .collect(),
        };
        let walks = walks(plan, seat);
        let whole = |minutes: f64| (minutes + trial.minutes).ceil() as usize;
        Self {
            plan,
            table,
            seat,
            subject,
            trial,
            open,
            open_before,
            open_from,
            dry,
            walk_in: whole(walks.into),
            walk_back: whole(walks.back),
            clear: whole(walks.clear),
            settle: plan.settle.ceil() as usize + 1,
        }
    }

    fn lit(&self, within: &Range<usize>) -> Vec<Range<usize>> {
        runs(within.len(), |at| {
            self.table.lit(
                self.plan,
                self.seat,
                within.start + at,
                self.trial.light_deg,
            )
        })
        .into_iter()
        .map(|run| run.start + within.start..run.end + within.start)
        .collect()
    }

    fn windows(&self) -> Vec<Range<usize>> {
        match self.plan.push_m {
            Some(push_m) => self.on_tides(push_m + self.trial.push_m),
            None => self.by_light(),
        }
    }

    fn on_tides(&self, push_m: f64) -> Vec<Range<usize>> {
        let (plan, table) = (self.plan, self.table);
        let expected = |at: usize| table.expected_m(plan, at);
        let mut out = Vec::new();
        for there in runs(table.len, |at| expected(at) >= push_m) {
            let whole = there.start > 0 && there.end < table.len;
            let top = there.clone().map(expected).fold(f64::MIN, f64::max);
            let drowned = plan
                .overtop_m
                .is_some_and(|overtop| top > overtop - LEVEL_M);
            let long = there.len() as f64 > longest_minutes(plan) - 2.0;
            // Every minute near the top must tell the same day.
            let mut tops = there.clone().filter(|&at| expected(at) > top - LEVEL_M);
            let days = tops.clone().map(|at| self.day(at));
            let day = tops.next().and_then(|at| self.day(at));
            let certain = day.is_some() && days.clone().all(|other| other == day);
            if !whole || drowned || long || !certain || !self.asked_for(day) {
                continue;
            }
            out.extend(self.on_tide(&there, push_m));
        }
        out
    }

    fn on_tide(&self, there: &Range<usize>, push_m: f64) -> Vec<Range<usize>> {
        // The animals, by a forecast, too.
        let risen = |at: &usize| self.table.risen_m(self.plan, *at) >= push_m;
        // Away for as many minutes may still be for less than half an hour.
        let sooner = stays((0..there.start).rev(), risen, 32);
        let longer = stays(there.end..self.table.len, risen, 32);
        let animals = sooner.unwrap_or(there.start)..longer.map_or(there.end, |at| at + 1);
        let latest = animals.start.checked_sub(self.settle);
        let Some(seated) = latest.and_then(|latest| self.seated_by(latest, 0)) else {
            return Vec::new();
        };
        let leaves = self.seat.access == Access::Leave;
        // The last minute at which to stand up, in the stretch of the way that was walked in on.
        let last = if leaves {
            let closes = seated + self.open_from[seated];
            if closes < self.clear {
                return Vec::new();
            }
            closes - self.clear
        } else {
            self.table.len
        };
        let expected = |at: usize| self.table.expected_m(self.plan, at);
        let top = there.clone().map(expected).fold(f64::MIN, f64::max);
        let near_top = |at: &usize| expected(*at) > top - LEVEL_M;
        let wanted = match self.plan.phase {
            Phase::Both => there.clone(),
            Phase::Flood => there.start..there.clone().find(near_top).unwrap_or(there.end),
            Phase::Ebb => there.clone().rev().find(near_top).unwrap_or(there.start)..there.end,
        };
        let mut out = Vec::new();
        for lit in self.lit(&wanted) {
            let pictures = lit.start..lit.end.min(last);
            if pictures.is_empty() {
                continue;
            }
            let gone = pictures.end.max(animals.end);
            let up = if leaves {
                Some(gone.min(last))
            } else {
                self.stand_up(gone)
            };
            if let Some(up) = up
                && self.permitted(seated, up)
            {
                out.push(pictures);
            }
        }
        out
    }

    fn by_light(&self) -> Vec<Range<usize>> {
        const DAY: usize = 24 * 60;
        let table = self.table;
        let mut out = Vec::new();
        for lit in self.lit(&(0..table.len)) {
            if lit.len() <= DAY {
                if self.asked_for(self.day(lit.start)) {
                    out.extend(self.in_light(&lit));
                }
                continue;
            }
            let mut from = lit.start;
            for at in lit.start + 1..=lit.end {
                if at == lit.end || table.day[at] != table.day[at - 1] {
                    // A piece that begins at a midnight belongs to the day that begins there.
                    let cut = from > lit.start;
                    let day = if cut {
                        Some(table.day[from])
                    } else {
                        self.day(from)
                    };
                    if self.asked_for(day) {
                        out.extend(self.in_light(&(from..at)));
                    }
                    from = at;
                }
            }
        }
        out
    }

    fn in_light(&self, lit: &Range<usize>) -> Vec<Range<usize>> {
        let leaves = self.seat.access == Access::Leave;
        let near = lit.start.saturating_sub(2 * 1440)..(lit.end + 2 * 1440).min(self.table.len);
        // Where one can be without getting wet; for who leaves before the flood, without being
        // cut off either.
        let stays = runs(near.len(), |at| {
            let at = near.start + at;
            self.dry[at] && (!leaves || self.open[at])
        });
        let mut out = Vec::new();
        for stay in stays {
            let stay = stay.start + near.start..stay.end + near.start;
            let walked = |at: &usize| self.open_before[*at] >= self.walk_in;
            let first = (stay.start + self.walk_in..stay.end).find(walked);
            let walks_out = |at: &usize| self.open_from[*at] >= self.clear;
            let last = (stay.start..(stay.end + 1).saturating_sub(self.clear))
                .rev()
                .find(walks_out);
            let (Some(first), Some(last)) = (first, last) else {
                continue;
            };
            let pictures = lit.start.max(first + self.settle)..lit.end.min(last);
            if pictures.is_empty() {
                continue;
            }
            let seated = self.seated_by(pictures.start - self.settle, stay.start);
            let up = self.stand_up(pictures.end);
            if let (Some(seated), Some(up)) = (seated, up)
                && self.permitted(seated, up)
            {
                out.push(pictures);
            }
        }
        out
    }

    /// The latest minute at which a walk in can end.
    fn seated_by(&self, latest: usize, earliest_out: usize) -> Option<usize> {
        (earliest_out + self.walk_in..=latest)
            .rev()
            .find(|&at| self.open_before[at] >= self.walk_in)
    }

    /// The earliest minute from which a walk out can begin.
    fn stand_up(&self, earliest: usize) -> Option<usize> {
        (earliest..self.table.len).find(|&at| self.open_from[at] >= self.clear)
    }

    /// Whether a whole outing is dry, free, not too long, and touches no forbidden day.
    fn permitted(&self, seated: usize, up: usize) -> bool {
        let (plan, table) = (self.plan, self.table);
        let outing = seated - self.walk_in..up + self.walk_back;
        let clear = outing.start..outing.end.max(up + self.clear);
        let home = plan.from_home.unwrap_or(0.0).ceil() as usize + 1;
        if outing.start < home || clear.end + home > table.len {
            return false;
        }
        let fits = outing.len() as f64 + 2.0 <= longest_minutes(plan);
        let dry = clear.clone().all(|at| self.dry[at]);
        let free = (outing.start - home..outing.end + home).all(|at| table.free[at]);
        let mut days = table.day[outing.start - 1]..=table.day[outing.end];
        let allowed = days.all(|day| day_forbids(plan, self.seat, self.subject, day).is_none());
        fits && dry && free && allowed
    }

    /// The civil day of a minute, where it is certain.
    fn day(&self, at: usize) -> Option<i32> {
        let before = self.table.day[at.saturating_sub(DAY_MINUTES)];
        let after = self.table.day[(at + DAY_MINUTES).min(self.table.len - 1)];
        (before == after).then_some(before)
    }

    fn asked_for(&self, day: Option<i32>) -> bool {
        let first = day_number(self.plan.from);
        day.is_some_and(|day| (first..first + self.plan.days as i32).contains(&day))
    }
}
