//! Works out the conditions at an instant from the tide, the sun and the moon.

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{Observer, View, shadow_line_angle_deg};
use wrackline_tides::{Flow, TurnKind};

use wrackline_plan::port::TideCurve;
use wrackline_plan::scenario::Tide;

use super::conditions::Conditions;

/// What a place, or a seat at it, brings to the conditions.
#[derive(Debug, Clone, Copy)]
pub struct Surroundings<'s> {
    /// Where the sun and the moon are looked at from.
    pub observer: &'s Observer,
    /// True bearing of the view, degrees, where a seat gives one.
    pub bearing_deg: Option<f64>,
    /// The tide, where it plays a part.
    pub tide: Option<&'s Tide>,
    /// The level that pushes the animals, metres above chart datum.
    pub push_m: Option<f64>,
}

/// Hours looked at on either side of an instant: the nearest high water is at most half a day away
/// even where there is only one a day, and the low water before it half a day more.
const REACH: SignedDuration = SignedDuration::from_hours(27);

impl Surroundings<'_> {
    /// The conditions at an instant.
    pub fn at(&self, at: Timestamp) -> Conditions {
        self.at_all(&[at]).pop().unwrap_or_default()
    }

    /// The conditions at many instants; those near one another share one prediction.
    pub fn at_all(&self, instants: &[Timestamp]) -> Vec<Conditions> {
        let mut conditions: Vec<Conditions> = instants.iter().map(|at| self.light(*at)).collect();
        let Some(tide) = self.tide else {
            return conditions;
        };
        let mut order: Vec<usize> = (0..instants.len()).collect();
        order.sort_by_key(|index| instants[*index]);
        for group in order.chunk_by(|a, b| instants[*b].duration_since(instants[*a]) <= REACH) {
            let (Some(first), Some(last)) = (group.first(), group.last()) else {
                continue;
            };
            let from = instants[*first].checked_sub(REACH);
            let to = instants[*last].checked_add(REACH);
            let (Ok(from), Ok(to)) = (from, to) else {
                continue;
            };
            // At the ends of the calendar there is no prediction, and so no tide.
            let Ok(predictor) = tide.curve(from..to) else {
                continue;
            };
            let water = Water::of(&predictor, self.push_m);
            for index in group {
                water.fill(&mut conditions[*index], instants[*index]);
            }
        }
        conditions
    }

    fn light(&self, at: Timestamp) -> Conditions {
        let sun = self.observer.sun(at);
        let moon = self.observer.moon(at);
        let view = |bearing_deg| View {
            light_azimuth_deg: sun.azimuth_deg,
            bearing_deg,
        };
        Conditions {
            sun_altitude_deg: Some(sun.altitude_deg),
            sun_azimuth_deg: Some(sun.azimuth_deg),
            shadow_angle_deg: self
                .bearing_deg
                .and_then(|bearing_deg| shadow_line_angle_deg(view(bearing_deg)).ok()),
            moon_altitude_deg: Some(moon.altitude_deg),
            moon_lit_fraction: Some(moon.lit_fraction),
            ..Conditions::default()
        }
    }
}

/// A stretch of tide with its high waters.
struct Water<'p> {
    predictor: &'p TideCurve,
    high_waters: Vec<HighWater>,
}

struct HighWater {
    at: Timestamp,
    height_m: f64,
    range_m: Option<f64>,
    pushed_at: Option<Timestamp>,
}

impl<'p> Water<'p> {
    fn of(predictor: &'p TideCurve, push_m: Option<f64>) -> Water<'p> {
        let turns = predictor.turns();
        let pushes: Vec<Timestamp> = push_m
            .map(|push_m| predictor.crossings(push_m))
            .unwrap_or_default()
            .into_iter()
            .filter(|crossing| crossing.direction == Flow::Rising)
            .map(|crossing| crossing.at)
            .collect();
        let mut high_waters = Vec::new();
        for (index, turn) in turns.iter().enumerate() {
            if turn.kind != TurnKind::HighWater {
                continue;
            }
            let low = index.checked_sub(1).map(|before| turns[before]);
            let reaches = push_m.is_some_and(|push_m| turn.height_m >= push_m);
            high_waters.push(HighWater {
                at: turn.at,
                height_m: turn.height_m,
                range_m: low.map(|low| turn.height_m - low.height_m),
                // Of a double high water the second has no flood of its own over the level: the
                // last one counts.
                pushed_at: pushes
                    .iter()
                    .rev()
                    .find(|at| **at <= turn.at)
                    .copied()
                    .filter(|_| reaches),
            });
        }
        Water {
            predictor,
            high_waters,
        }
    }

    fn fill(&self, conditions: &mut Conditions, at: Timestamp) {
        let minutes = |from: Timestamp| at.duration_since(from).as_secs_f64() / 60.0;
        conditions.level_m = self.predictor.height_m(at).ok();
        let nearest = self
            .high_waters
            .iter()
            .min_by_key(|high_water| at.duration_since(high_water.at).abs());
        let Some(high_water) = nearest else { return };
        conditions.high_water_at = Some(high_water.at);
        conditions.high_water_m = Some(high_water.height_m);
        conditions.range_m = high_water.range_m;
        conditions.minutes_from_high_water = Some(minutes(high_water.at));
        conditions.minutes_from_push = high_water.pushed_at.map(minutes);
    }
}
