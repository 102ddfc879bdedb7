//! When a seat and the way to it are clear of the upper water, as sets over the whole prediction.
//!
//! The way is *closed* while the upper water stands over its lowest point, widened by both margins;
//! it is *open* for the rest. The seat is *dry* while the upper water leaves its ground the
//! freeboard. No high water is picked out and no two of them are merged: whoever wants to know
//! whether an outing is permissible asks whether its walks lie in `open` and the whole of it in
//! `dry`. Both are sets over what is known: outside of the prediction nothing is open, and where a
//! level is missing there are no sets at all. Before the first and after the last turn of a printed
//! table the way counts as under water, with its margin in time.

use std::sync::Arc;

use super::dry::DryStretch;
use super::refusal::{Condition, Refusal};
use super::walks::Walks;
use crate::port::{Shape, TideCurve};
use crate::scenario::{Access, Scenario, Seat};
use crate::time::{Stretch, Stretches, shifted};
use crate::weather::Shift;
use jiff::Timestamp;

/// When the tide closes a way in, at the upper water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Closing {
    /// The upper water reaches the lowest point, or the lowest creek.
    pub cut: Timestamp,
    /// It falls below again.
    pub clear: Timestamp,
    /// Be across by then: the earlier of the margin in time and the margin in height.
    pub cross_by: Timestamp,
    /// Do not cross back before then: the later of the two margins.
    pub cross_from: Timestamp,
}

/// The upper water against one seat and its way in.
pub(crate) struct Ground<'s> {
    pub(crate) scenario: &'s Scenario,
    pub(crate) seat: &'s Seat,
    pub(crate) walks: Walks,
    curve: Option<&'s TideCurve>,
    sets: Arc<Sets>,
}

/// What the upper water leaves of the time, of ground and way alone.
struct Sets {
    /// In order of time.
    dry: Vec<DryStretch>,
    /// The way closed, with both margins.
    closed: Stretches,
    /// The upper water over the way, without margins.
    under_water: Stretches,
    /// In which an open way is known to be open.
    known: Stretch,
}

impl<'s> Ground<'s> {
    /// Works the sets out over everything that is known.
    ///
    /// # Errors
    /// A level that is needed and missing.
    pub(crate) fn new(
        scenario: &'s Scenario,
        seat: &'s Seat,
        curve: Option<&'s TideCurve>,
        known: &Stretch,
    ) -> Result<Self, Refusal> {
        if let Some(missing) = missing(scenario, seat) {
            return Err(missing);
        }
        let upper_m = scenario.water().upper_m();
        let curve = curve.filter(|_| touched(scenario, seat) && !seat.on_paper);
        let known = curve.map_or_else(|| known.clone(), |curve| curve.span().clone());
        let over = |level_m: f64| {
            curve.map_or_else(Stretches::default, |curve| match scenario.weather() {
                None => Stretches::new(curve.above_of(level_m - upper_m, Shape::Highest)),
                Some(weather) => {
                    let more = |shift: &Shift| shift.upper_m;
                    let shifts = weather.shifts();
                    shifts.over(curve, level_m - upper_m, Shape::Highest, more)
                }
            })
        };
        let drowned = seat
            .ground_m
            .map_or_else(Stretches::default, |ground| over(ground - seat.freeboard_m));
        let (under_water, closed) = match scenario.way_in_of(seat) {
            None => (Stretches::default(), Stretches::default()),
            Some(way) => {
                let lost_at = way.cut_off_m();
                let under_water = over(lost_at);
                let in_height = over(lost_at - way.margin_m);
                let closed = under_water.widened(way.margin_minutes).union(&in_height);
                (under_water, closed)
            }
        };
        let margin = scenario
            .way_in_of(seat)
            .map_or(0.0, |way| way.margin_minutes);
        let open_known = curve.map_or_else(|| known.clone(), |curve| sure_of(curve, margin));
        let open = closed.gaps_in(&open_known);
        let walks = Walks::of(scenario, seat);
        let dry = drowned.gaps_in(&known);
        let sets = Sets {
            dry: dry
                .iter()
                .map(|dry| DryStretch::new(dry, &open, walks))
                .collect(),
            closed,
            under_water,
            known: open_known,
        };
        Ok(Self {
            scenario,
            seat,
            walks,
            curve,
            sets: Arc::new(sets),
        })
    }

    /// The same ground and way under another seat, of which the same must have been said: levels,
    /// access, way in and minutes.
    pub(crate) fn under<'t>(&'t self, seat: &'t Seat) -> Ground<'t> {
        Ground {
            seat,
            sets: Arc::clone(&self.sets),
            ..*self
        }
    }

    /// The dry stretch that an instant lies in.
    pub(crate) fn dry_at(&self, at: Timestamp) -> Option<&DryStretch> {
        let after = self.sets.dry.partition_point(|dry| dry.whole.end <= at);
        self.sets.dry.get(after).filter(|dry| dry.whole.start <= at)
    }

    /// The dry stretches that touch a stretch, in order of time.
    pub(crate) fn dry_near(&self, near: &Stretch) -> &[DryStretch] {
        let first = self
            .sets
            .dry
            .partition_point(|dry| dry.whole.end < near.start);
        let end = self
            .sets
            .dry
            .partition_point(|dry| dry.whole.start <= near.end);
        &self.sets.dry[first..end.max(first)]
    }

    /// Whether the photographer must be out again before the way closes.
    pub(crate) fn leaves_before_the_flood(&self) -> bool {
        self.seat.access == Some(Access::LeaveBeforeTheFlood)
    }

    /// The closing that a stay is bounded by: every closing between sitting down and standing up as
    /// one, else the first one after it that begins before `until`.
    pub(crate) fn closing(&self, stay: &Stretch, until: Timestamp) -> Option<Closing> {
        let during = self.sets.closed.within(stay);
        let spanned = match (during.iter().next(), during.iter().next_back()) {
            (Some(first), Some(last)) => {
                let (first, last) = (
                    self.sets.closed.around(first.start)?,
                    self.sets.closed.around(last.start)?,
                );
                first.start..last.end
            }
            _ => {
                let after = self.sets.closed.within(&(stay.end..until));
                let next = after.iter().next()?;
                self.sets.closed.around(next.start)?.clone()
            }
        };
        // Water that comes into the margin in height without reaching the way itself counts as
        // closing it all the same.
        let wet = self.sets.under_water.within(&spanned);
        let cut = wet.iter().next().map_or(spanned.start, |wet| wet.start);
        let clear = wet.iter().next_back().map_or(spanned.end, |wet| wet.end);
        Some(Closing {
            cut,
            clear,
            cross_by: spanned.start,
            cross_from: spanned.end,
        })
    }

    /// The highest upper water of a stretch, metres; `None` where the water does not touch the
    /// seat.
    pub(crate) fn highest_upper_m(&self, stretch: &Stretch) -> Option<f64> {
        let curve = self.curve?;
        let highest = match self.scenario.weather() {
            None => curve.highest_m(stretch)?,
            Some(weather) => {
                let more = |shift: &Shift| shift.upper_m;
                weather.shifts().highest_m(curve, stretch, more)?
            }
        };
        Some(highest + self.scenario.water().upper_m())
    }

    /// Whether an open and dry stretch ends by the water, or by the end of a printed table, which
    /// must be taken for water; and not by the end of what was asked for.
    pub(crate) fn ends_by_water(&self, part: &Stretch) -> bool {
        self.curve.is_some_and(|curve| part.end < curve.asked().end)
    }

    /// Whether the water of a table that ends may close the way before an instant, unforeseen.
    pub(crate) fn is_unknown_before(&self, at: Timestamp) -> bool {
        self.ends_by_water(&self.sets.known) && at > self.sets.known.end
    }

    /// That the water is not known, where a printed table begins or ends so near to a stretch that
    /// an outing would leave it.
    pub(crate) fn unknown_about(&self, stretch: &Stretch) -> Option<Refusal> {
        let curve = self.curve?;
        let longest = self.scenario.habits().longest_minutes;
        let (span, asked) = (curve.span(), curve.asked());
        let begins = span.start > asked.start && shifted(stretch.start, -longest) < span.start;
        let ends = span.end < asked.end && shifted(stretch.end, longest) > span.end;
        let empty = span.start >= span.end;
        (begins || ends || empty).then(|| {
            let table = self.scenario.tide().and_then(|tide| tide.printed());
            let known = table.map_or_else(|| span.clone(), |table| table.span());
            let reason = format!(
                "the water is known from {:.16}Z to {:.16}Z only, as far as the printed table \
                 goes: an outing here would leave it",
                known.start.to_string(),
                known.end.to_string()
            );
            Refusal::new(Condition::Unknown, 0.0, reason)
        })
    }

    /// Why nobody can be at the seat in a stretch of light.
    pub(crate) fn why_not_in_light(&self) -> Refusal {
        let habits = self.scenario.habits();
        let way = self.scenario.way_in_of(self.seat);
        let reason = match way {
            Some(way) => format!(
                "{} closes and clears at the upper water so that nobody can walk in, settle for \
                 {:.0} min, see that light and walk out while the seat stays dry",
                way.name, habits.settle_minutes
            ),
            None => "the ground of the seat drowns at the upper water in that light".to_owned(),
        };
        let condition = match way {
            Some(_) => Condition::WayIn,
            None => Condition::Freeboard,
        };
        Refusal::new(condition, 0.0, reason)
    }

    /// Why nobody can be at the seat while the animals are there, whatever the light; `None` where
    /// somebody can for a part of the time at least.
    pub(crate) fn why_not(&self, animals: &Stretch) -> Option<Refusal> {
        let habits = self.scenario.habits();
        let due = shifted(animals.start, -habits.settle_minutes);
        let way = self
            .scenario
            .way_in_of(self.seat)
            .map_or("the way in", |way| way.name.as_str());
        if let (Some(ground), Some(upper)) = (self.seat.ground_m, self.highest_upper_m(animals)) {
            let freeboard = ground - upper;
            // Who leaves before the flood is not there when the water tops out; everybody else is.
            if freeboard < self.seat.freeboard_m && !self.leaves_before_the_flood() {
                return Some(Refusal::new(
                    Condition::Freeboard,
                    self.seat.freeboard_m - freeboard,
                    format!(
                        "freeboard {freeboard:.2} of {:.2} m at the upper water",
                        self.seat.freeboard_m
                    ),
                ));
            }
        }
        let walk_in = self.walks.in_minutes;
        let earliest = shifted(due, -habits.longest_minutes);
        let comes = |dry: &DryStretch| {
            let way = dry.last_way_in(walk_in, due);
            way.is_some_and(|way| way.end > earliest)
        };
        let can_come = if self.leaves_before_the_flood() {
            self.dry_near(&(earliest..due)).iter().any(comes)
        } else {
            self.dry_at(animals.start).is_some_and(comes)
        };
        if !can_come {
            return Some(Refusal::new(
                Condition::WayIn,
                0.0,
                format!(
                    "{way} is not open at the upper water for a walk in of {walk_in:.0} min that \
                     ends {:.0} min before the animals are due",
                    habits.settle_minutes
                ),
            ));
        }
        if self.leaves_before_the_flood() {
            return None;
        }
        let walk_out = self.walks.clear_minutes;
        let latest = shifted(animals.end, habits.longest_minutes);
        let dry = self.dry_at(animals.start);
        let can_go = dry
            .and_then(|dry| dry.first_way_out(walk_out, animals.end))
            .is_some_and(|way| way.start < latest);
        (!can_go).then(|| {
            Refusal::new(
                Condition::WayIn,
                0.0,
                format!(
                    "{way} is not open at the upper water, while the seat stays dry, for a walk \
                     out of {walk_out:.0} min once the animals have left"
                ),
            )
        })
    }
}

/// Minutes of known water that an outing must have before and after it where a table begins or ends:
/// until somebody is overdue, and to the full quarter of an hour, as it is drawn on the card.
const KNOWN_AROUND_MINUTES: f64 = 45.0;

/// The part of a curve's span in which a way that is not under water is surely open: where a table
/// begins or ends, the water beyond may close the way at once.
fn sure_of(curve: &TideCurve, margin_minutes: f64) -> Stretch {
    let margin_minutes = margin_minutes.max(KNOWN_AROUND_MINUTES);
    let (span, asked) = (curve.span(), curve.asked());
    let start = if span.start > asked.start {
        shifted(span.start, margin_minutes)
    } else {
        span.start
    };
    let end = if span.end < asked.end {
        shifted(span.end, -margin_minutes)
    } else {
        span.end
    };
    start..end.max(start)
}

/// Whether the water can reach the seat, the way to it or its animals, as far as anybody knows.
pub(crate) fn touched(scenario: &Scenario, seat: &Seat) -> bool {
    match seat.access {
        Some(Access::Unknown) => true,
        Some(Access::Dry) => scenario.tide().is_some() && reached(scenario, seat),
        Some(Access::LeaveBeforeTheFlood | Access::StayTheTide) | None => scenario.tide().is_some(),
    }
}

/// Whether a level was given for the seat, its animals or the way to it, or one of them needs one.
fn reached(scenario: &Scenario, seat: &Seat) -> bool {
    let place = scenario.place_of(seat);
    let tidal = matches!(
        seat.access,
        Some(Access::LeaveBeforeTheFlood | Access::StayTheTide)
    );
    tidal
        || place.push_m.is_some()
        || place.overtop_m.is_some()
        || seat.ground_m.is_some()
        || scenario.way_in_of(seat).is_some()
}

/// What must be known about a seat that the water touches, and is not: ground of unknown height is
/// not dry ground, and a way of which nobody spoke is not a dry way.
pub(crate) fn missing(scenario: &Scenario, seat: &Seat) -> Option<Refusal> {
    if !touched(scenario, seat) || seat.on_paper {
        return None;
    }
    let mut missing = Vec::new();
    if seat.ground_m.is_none() && reached(scenario, seat) {
        missing.push("`ground_m`, the height of its ground");
    }
    match seat.access {
        None | Some(Access::Unknown) => missing.push("`access`, how it stands to the tide"),
        Some(Access::LeaveBeforeTheFlood | Access::StayTheTide)
            if scenario.way_in_of(seat).is_none() =>
        {
            missing.push("`way_in`, the way to it");
        }
        Some(_) => {}
    }
    if scenario
        .tide()
        .is_some_and(|tide| tide.datum.trim().is_empty())
    {
        missing.push("the datum of the port's heights");
    }
    (!missing.is_empty()).then(|| {
        Refusal::new(
            Condition::Unknown,
            0.0,
            format!(
                "the water may reach this seat or its way, and what is needed to judge it is \
                 missing: {}",
                missing.join(", ")
            ),
        )
    })
}

/// Why no tide whatever lets this seat be used when its animals are there; `None` when some tide
/// may.
///
/// Leaving before the flood fails when the way is lost at a level that every tide passes before the
/// animals are pushed. Staying fails when a tide high enough to push them leaves too little
/// freeboard.
pub(crate) fn never(scenario: &Scenario, seat: &Seat) -> Option<Refusal> {
    let push = scenario.place_of(seat).push_m? - scenario.water().expected_m;
    let water = scenario.water();
    let highest_stay = seat
        .ground_m
        .map(|ground| ground - seat.freeboard_m - water.upper_m());
    match seat.access? {
        Access::Dry | Access::StayTheTide => {
            let highest = highest_stay?;
            (highest < push).then(|| {
                Refusal::new(
                    Condition::Freeboard,
                    push - highest,
                    format!(
                        "no tide can work: staying needs a high water of at most {highest:.2} m, \
                         and the animals are pushed at {push:.2} m"
                    ),
                )
            })
        }
        Access::Unknown => None,
        Access::LeaveBeforeTheFlood => {
            let way = scenario.way_in_of(seat)?;
            let closing = way.cut_off_m() - water.upper_m();
            (closing <= push).then(|| {
                let staying = match highest_stay {
                    Some(highest) if highest < push => {
                        format!("; staying would need a high water of at most {highest:.2} m")
                    }
                    _ => String::new(),
                };
                Refusal::new(
                    Condition::WayIn,
                    push - closing,
                    format!(
                        "no tide can work: the way out is lost at {:.2} m, before the animals are \
                         pushed at {push:.2} m{staying}",
                        way.cut_off_m()
                    ),
                )
            })
        }
    }
}
