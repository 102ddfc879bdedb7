//! Whether a row is usable, and if not, what limits it.

use jiff::Timestamp;

use super::error::Error;
use super::schema;
use super::spot::{LightWish, SeatWish, Spot};
use wrackline_plan::experience::Experience;
use wrackline_plan::levels::Standing;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::time::{Stretch, Stretches, widened};
use wrackline_plan::windows::{self, Almanac, Condition, Occasion, Wish};

/// What is said of one row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing was asked for.
    Unjudged,
    /// All that was asked for holds.
    Usable,
    /// This does not hold.
    Limited(Condition),
}

/// What a row without a seat of a scenario is judged by.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) sun_altitude_deg: f64,
    /// `None` without a bearing.
    pub(super) light_angle_deg: Option<f64>,
    /// `None` without a port.
    pub(super) tide_height_m: Option<f64>,
}

/// Judges one instant by itself: water against the place's levels, then light.
pub(super) fn at_once(spot: &Spot, light: Option<&LightWish>, moment: &Moment) -> Verdict {
    let water = moment
        .tide_height_m
        .map(|height| spot.levels.standing(height));
    let judged = light.is_some() || (water.is_some() && spot.levels.any());
    if !judged {
        return Verdict::Unjudged;
    }
    match water {
        Some(Standing::Under) => return Verdict::Limited(Condition::PushLevel),
        Some(Standing::Over) => return Verdict::Limited(Condition::OvertopLevel),
        Some(Standing::InBand) | None => {}
    }
    let within = |band: &[f64; 2], value: f64| (band[0]..=band[1]).contains(&value);
    let lit = light.is_none_or(|light| {
        within(&light.altitude_deg, moment.sun_altitude_deg)
            && moment
                .light_angle_deg
                .is_none_or(|angle| within(&light.angle_deg, angle))
    });
    if lit {
        Verdict::Usable
    } else {
        Verdict::Limited(Condition::Light)
    }
}

/// Hours on either side of a span whose tides and light are judged with it.
const EDGE_HOURS: i64 = 36;

/// The verdicts over a span at one seat: each holds from its instant to the next.
#[derive(Clone, Debug)]
pub(super) struct Timeline(Vec<(Timestamp, Verdict)>);

impl Timeline {
    /// Judges a seat by the windows of its scenario, so that a row is usable exactly when it lies
    /// in one.
    pub(super) fn new(
        scenario: &Scenario,
        experience: Option<&Experience>,
        spot: &Spot,
        wish: SeatWish,
        span: Stretch,
    ) -> Result<Self, Error> {
        let wish = Wish {
            experience,
            ..Wish::new(
                &scenario.seats()[wish.seat],
                &scenario.subjects()[wish.subject],
                &scenario.lights()[wish.light],
            )
        };
        // Wider than the span by more than the longest outing, so that a tide at its edge is judged
        // whole.
        let wide = widened(&span, EDGE_HOURS);
        let almanac = Almanac::over(scenario, &wide).map_err(|source| Error::Almanac {
            place: spot.place.clone(),
            source: Box::new(source),
        })?;
        let outlook = windows::outlook(scenario, wish, &almanac);
        if let Some(never) = outlook.never.first() {
            return Ok(Self(vec![(span.start, Verdict::Limited(never.condition))]));
        }
        let judge = Judge {
            scenario,
            wish,
            tidal: scenario.place_of(wish.seat).push_m.is_some(),
            occasions: &outlook.occasions,
        };
        let mut edges = judge.edges(&span);
        edges.retain(|at| span.contains(at));
        edges.push(span.start);
        edges.sort_unstable();
        edges.dedup();
        let mut timeline: Vec<(Timestamp, Verdict)> = Vec::new();
        for at in edges {
            let verdict = judge.verdict(at);
            if timeline.last().is_none_or(|(_, last)| *last != verdict) {
                timeline.push((at, verdict));
            }
        }
        Ok(Self(timeline))
    }

    /// The verdict at an instant of the span.
    pub(super) fn at(&self, at: Timestamp) -> Verdict {
        let after = self.0.partition_point(|(from, _)| *from <= at);
        self.0
            .get(after.saturating_sub(1))
            .map_or(Verdict::Unjudged, |(_, verdict)| *verdict)
    }
}

struct Judge<'j> {
    scenario: &'j Scenario,
    wish: Wish<'j>,
    tidal: bool,
    occasions: &'j [Occasion],
}

impl Judge<'_> {
    /// Every instant at which the verdict can change.
    fn edges(&self, span: &Stretch) -> Vec<Timestamp> {
        let mut edges = Vec::new();
        for occasion in self.occasions {
            let steps = occasion.steps.iter().flat_map(|step| step.left.iter());
            let windows = occasion.windows.iter().map(|window| &window.stretch);
            let roosting = occasion.high_water.iter().map(|tide| &tide.roosting);
            for stretch in steps.chain(windows).chain(roosting) {
                edges.extend([stretch.start, stretch.end]);
            }
        }
        let zone = self.scenario.zone();
        let mut day = span.start.to_zoned_datetime(zone.clone()).date();
        while let Ok(next) = day.tomorrow() {
            match zone.to_timestamp(next.into()) {
                Ok(midnight) if midnight < span.end => edges.push(midnight),
                _ => break,
            }
            day = next;
        }
        edges
    }

    fn verdict(&self, at: Timestamp) -> Verdict {
        let date = at.to_zoned_datetime(self.scenario.zone().clone()).date();
        let closed = windows::calendar_refusals(self.scenario, self.wish, date..=date);
        if let Some(condition) = closed.iter().map(|refusal| refusal.condition).min() {
            return Verdict::Limited(condition);
        }
        // Occasions come in order of time, and no two of them hold the same instant.
        let now = self
            .occasions
            .iter()
            .find(|occasion| match &occasion.high_water {
                Some(tide) => tide.roosting.contains(&at),
                None => occasion.steps.iter().any(|step| holds(&step.left, at)),
            });
        let Some(occasion) = now else {
            return Verdict::Limited(if self.tidal {
                Condition::PushLevel
            } else {
                Condition::Light
            });
        };
        if occasion
            .windows
            .iter()
            .any(|window| window.stretch.contains(&at))
        {
            return Verdict::Usable;
        }
        let lost = occasion.steps.iter().find(|step| !holds(&step.left, at));
        let lost = lost.map(|step| step.condition);
        let refused = occasion.refusals.first().map(|refusal| refusal.condition);
        // What refuses the whole tide stands before what takes away a part of it, unless it is the
        // lesser matter.
        let first = [refused, lost].into_iter().flatten().min();
        Verdict::Limited(first.unwrap_or(Condition::Duration))
    }
}

fn holds(stretches: &Stretches, at: Timestamp) -> bool {
    stretches.iter().any(|stretch| stretch.contains(&at))
}

/// The position of a condition among the words of its column.
pub(super) fn word(condition: Condition) -> i8 {
    let name = condition.name();
    let found = schema::CONDITIONS.iter().position(|word| *word == name);
    found.map_or(-1, |at| at as i8)
}
