//! The high waters of a span as seen from one place: does the water come up, and does it drown the
//! place?

use crate::port::{Shape, TideCurve};
use jiff::Timestamp;
use statrs::distribution::{ContinuousCDF, Normal};
use wrackline_tides::{Turn, TurnKind};

use crate::levels::Standing;
use crate::outing::{Condition, Refusal};
use crate::scenario::{Place, Scenario};
use crate::time::{Stretch, Stretches, minutes, widened};
use crate::weather::{Residual, Shift};

/// Differences from the expected water at which each window is judged again, centimetres.
pub const OFFSETS_CM: [i32; 6] = [-30, -20, -10, 10, 20, 30];

/// One high water at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct HighWater {
    /// When the prediction tops out.
    pub at: Timestamp,
    /// Predicted height, metres above chart datum.
    pub height_m: f64,
    /// Height that is expected, residual included.
    pub expected_m: f64,
    /// Fall to the following low water (from the one before, at the end of the prediction), metres.
    pub range_m: f64,
    /// The expected water stands between push and overtop level at its top.
    pub in_band: bool,
    /// While the expected water is at or above the push level; empty when it never is. Of water
    /// that does not fall below it for longer than an outing may take, the part between the low
    /// waters.
    pub roosting: Stretch,
    /// In which the animals may be there: `roosting`, and longer where a forecast raises the water
    /// and where it falls below the push level for a short while only. Who comes and goes keeps to
    /// this.
    pub animals: Stretch,
    /// Minutes for which the water stays over the push level, where that is longer than an outing
    /// may take: then nobody can come before the animals and leave after them.
    pub endless_minutes: Option<f64>,
    /// The same at the lower water.
    pub roosting_at_lower_water: Option<Stretch>,
}

impl HighWater {
    /// The upper high water, metres above chart datum. Where a forecast raises the water, by the
    /// most that it does so around the top.
    pub fn upper_m(&self, scenario: &Scenario) -> f64 {
        /// Water that is raised more before the top or after it may top out then.
        const AROUND_HOURS: i64 = 3;
        let more = scenario.weather().map_or(0.0, |weather| {
            let around = widened(&(self.at..self.at), AROUND_HOURS);
            weather.shifts().widest_in(&around).upper_m
        });
        self.height_m + scenario.water().upper_m() + more
    }
}

/// Animals that the water lets go for less than this have not gone, minutes; our default.
const AWAY_MINUTES: f64 = 30.0;

/// When the water stands over a place's push level: as expected, at the lower water, and where it
/// differs from either.
pub(super) struct PushedWater<'c> {
    curve: &'c TideCurve,
    push_m: f64,
    /// Expected difference from the prediction.
    residual_m: f64,
    expected: Stretches,
    /// As expected or as a forecast has it, whichever is longer, short falls below it included: then
    /// the animals may be there.
    there: Stretches,
    lower: Stretches,
}

impl<'c> PushedWater<'c> {
    pub(super) fn of(scenario: &Scenario, push_m: f64, curve: &'c TideCurve) -> Self {
        let water = scenario.water();
        let level_m = push_m - water.expected_m;
        let expected = Stretches::new(curve.above(level_m));
        let (there, lower) = match scenario.weather() {
            None => (
                expected.clone(),
                Stretches::new(curve.above_of(push_m - water.lower_m(), Shape::Lowest)),
            ),
            Some(weather) => {
                let shifts = weather.shifts();
                let rise = |shift: &Shift| shift.rise_m;
                let less = |shift: &Shift| shift.lower_m;
                (
                    shifts.over(curve, level_m, Shape::Expected, rise),
                    shifts.over_when_lowered(curve, push_m - water.lower_m(), less),
                )
            }
        };
        Self {
            curve,
            push_m,
            residual_m: water.expected_m,
            expected,
            there: there.joined(AWAY_MINUTES),
            lower,
        }
    }

    /// The time in which the animals may be there of a tide that is expected to hold them for
    /// `roosting`.
    fn animals(&self, roosting: &Stretch) -> Stretch {
        let around = self.there.around(roosting.start);
        around.map_or_else(
            || roosting.clone(),
            |there| there.start.min(roosting.start)..there.end.max(roosting.end),
        )
    }

    /// The stretch over the push level around an instant, of water that differs from what is
    /// expected. Looked for tide by tide: only those with a window ask.
    pub(super) fn at_offset(&self, offset_cm: i32, at: Timestamp) -> Option<Stretch> {
        let level_m = self.push_m - (self.residual_m + f64::from(offset_cm) / 100.0);
        self.curve.above_around(level_m, at)
    }
}

/// Every tide whose top lies in the span. High waters without a fall below the push level between
/// them are one tide, told by the highest of them; which of them lie in the span plays no part in
/// that.
pub(super) fn high_waters(
    scenario: &Scenario,
    place: &Place,
    pushed: &PushedWater<'_>,
    span: &Stretch,
    predictor: &TideCurve,
) -> Vec<HighWater> {
    let water = scenario.water();
    let longest = scenario.habits().longest_minutes;
    let turns = predictor.turns();
    let mut out: Vec<HighWater> = Vec::new();
    for (index, turn) in turns.iter().enumerate() {
        if turn.kind != TurnKind::HighWater {
            continue;
        }
        let before = index.checked_sub(1).and_then(|before| turns.get(before));
        let after = turns.get(index + 1);
        let expected_m = turn.height_m + water.expected_m;
        let over = pushed.expected.around(turn.at);
        let drowned = place.levels().standing(expected_m) == Standing::Over;
        let endless_minutes = over.map(minutes).filter(|minutes| *minutes > longest);
        let roosting = match over {
            None => turn.at..turn.at,
            Some(over) if endless_minutes.is_none() => over.clone(),
            Some(over) => {
                let low = |turn: Option<&Turn>, end| turn.map_or(end, |low| low.at);
                let between = low(before, over.start)..low(after, over.end);
                over.start.max(between.start)..over.end.min(between.end)
            }
        };
        let high_water = HighWater {
            at: turn.at,
            height_m: turn.height_m,
            expected_m,
            range_m: after
                .or(before)
                .map_or(0.0, |low| turn.height_m - low.height_m),
            in_band: over.is_some() && !drowned,
            roosting_at_lower_water: pushed.lower.around(turn.at).cloned(),
            endless_minutes,
            animals: pushed.animals(&roosting),
            roosting,
        };
        let same = |last: &&mut HighWater| {
            over.is_some() && endless_minutes.is_none() && last.roosting == high_water.roosting
        };
        match out.last_mut().filter(same) {
            Some(last) if high_water.height_m > last.height_m => *last = high_water,
            Some(_) => {}
            None => out.push(high_water),
        }
    }
    out.retain(|high_water| span.contains(&high_water.at));
    out
}

/// What the water fails in.
pub(super) fn refusals(
    high_water: &HighWater,
    place: &Place,
    longest_minutes: f64,
) -> Option<Refusal> {
    let level = high_water.expected_m;
    let push = place.push_m?;
    if let Some(endless) = high_water.endless_minutes {
        return Some(Refusal::new(
            Condition::LongestOuting,
            endless - longest_minutes,
            format!(
                "the water stays over the push level {push:.2} m for {:.0} h: nobody can come \
                 before the animals and leave after them",
                endless / 60.0
            ),
        ));
    }
    if high_water.roosting.is_empty() && level > push {
        return Some(Refusal::new(
            Condition::Unknown,
            0.0,
            format!(
                "the printed table begins or ends with this high water, {level:.2} m: what the \
                 water does on its other side is not known"
            ),
        ));
    }
    if high_water.roosting.is_empty() {
        return Some(Refusal::new(
            Condition::PushLevel,
            push - level,
            format!("{level:.2} of {push:.2} m"),
        ));
    }
    let over = place.levels().standing(level) == Standing::Over;
    let overtop = place.overtop_m.filter(|_| over)?;
    Some(Refusal::new(
        Condition::OvertopLevel,
        level - overtop,
        format!("{level:.2} m over {overtop:.2} m"),
    ))
}

/// Chance that the water tops out between push and overtop level, for a residual with the
/// scenario's deviation; the least of that and of what each row of a forecast that speaks for the
/// top makes of it.
pub(super) fn chance_in_band(high_water: &HighWater, place: &Place, scenario: &Scenario) -> f64 {
    let chance = |residual_m: f64, deviation_m: f64| {
        let expected_m = high_water.height_m + residual_m;
        let above = |level: f64| chance_above(level - expected_m, deviation_m);
        let reaches = place.push_m.map_or(1.0, above);
        let drowns = place.overtop_m.map_or(0.0, above);
        (reaches - drowns).max(0.0)
    };
    let water = scenario.water();
    let own = chance(water.expected_m, water.standard_deviation_m);
    residuals(scenario, &(high_water.at..high_water.at))
        .map(|(residual, _)| chance(residual.mean_m, residual.standard_deviation_m))
        .fold(own, f64::min)
}

/// Chance that the water exceeds the upper level by which an outing was judged; the largest of the
/// scenario's own and of what each row of a forecast makes of it.
pub(super) fn chance_above_upper(scenario: &Scenario, outing: &Stretch) -> f64 {
    let water = scenario.water();
    let own = chance_above(water.upper_allowance_m, water.standard_deviation_m);
    residuals(scenario, outing)
        .map(|(residual, shift)| {
            let upper_m = water.upper_m() + shift.upper_m;
            chance_above(upper_m - residual.mean_m, residual.standard_deviation_m)
        })
        .fold(own, f64::max)
}

/// What a forecast expects of the water in a stretch, with what it adds to the upper water.
fn residuals(scenario: &Scenario, stretch: &Stretch) -> impl Iterator<Item = (Residual, Shift)> {
    let weather = scenario.weather().into_iter();
    weather.flat_map(|weather| weather.shifts().residuals_in(stretch))
}

/// Chance that a normal residual exceeds its expected value by more than `excess_m`. A deviation of
/// zero makes it certain one way or the other.
fn chance_above(excess_m: f64, standard_deviation_m: f64) -> f64 {
    match Normal::new(0.0, standard_deviation_m) {
        Ok(normal) if standard_deviation_m > 0.0 => normal.sf(excess_m),
        _ if excess_m < 0.0 => 1.0,
        _ => 0.0,
    }
}
