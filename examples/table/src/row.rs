//! One row by the functions that take one instant: slow, and the measure for the batches.

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{
    LightSide, Luminaries, SideLimits, SkyCondition, View, shadow_line_angle_deg,
};

use super::error::Error;
use super::judge::{self, Moment, Timeline, Verdict};
use super::sky::NO_SIDE_BELOW_DEG;
use super::tide::{self, TideState};
use super::{Table, schema};

/// One place at one instant, not rounded. The fields mean what the columns of the same name mean.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)] // The names say it, with their units; `schema::COLUMNS` tells the rest.
pub struct Row {
    pub at: Timestamp,
    pub utc_offset_s: i32,
    pub sun_altitude_deg: f64,
    pub sun_azimuth_deg: f64,
    pub light_angle_deg: Option<f64>,
    pub light_side: Option<LightSide>,
    pub illuminance_lx: f64,
    pub moon_altitude_deg: f64,
    pub moon_lit_fraction: f64,
    pub tide_height_m: Option<f64>,
    pub tide_rate_m_per_h: Option<f64>,
    pub tide_state: Option<TideState>,
    pub level_exceeded: Option<&'static str>,
    pub verdict: Verdict,
}

impl Table {
    /// One place of the table at any instant, by the scalar functions of the libraries.
    ///
    /// # Errors
    /// A place that is not in the table, or an instant for which its tide cannot be predicted.
    pub fn row(&self, place: usize, at: Timestamp) -> Result<Row, Error> {
        let spec = &self.spec;
        let Some(spot) = spec.places.spots.get(place) else {
            return Err(Error::option(
                "--place",
                format!("there is no place {place}"),
                format!("give 0 to {}", spec.places.spots.len() - 1),
            ));
        };
        let sun = spot.observer.sun(at);
        let moon = spot.observer.moon(at);
        let defect = |error: wrackline_solar::Error| Error::Encode(error.to_string());
        let lights = Luminaries::new(&sun, &moon).map_err(defect)?;
        let light = lights.horizontal(SkyCondition::Clear);
        let light_angle = spot.bearing_deg.map(|bearing_deg| {
            shadow_line_angle_deg(View {
                light_azimuth_deg: sun.azimuth_deg,
                bearing_deg,
            })
        });
        let light_angle_deg = light_angle.transpose().map_err(defect)?;
        let has_side = sun.altitude_deg >= NO_SIDE_BELOW_DEG;
        let port = spot.port.map(|port| &spec.places.ports[port].port);
        let predictor = port.map(|port| port.predictor(tide::span_around(&[at], spec.near_turn)));
        let refused = |source| Error::Tide {
            place: spot.place.clone(),
            source: Box::new(source),
        };
        let predictor = predictor.transpose().map_err(refused)?;
        let water = port.zip(predictor.as_ref()).map(|(port, predictor)| {
            let height_m = port.height_m(at)?;
            Ok((height_m, predictor.rate_m_per_h(at)?))
        });
        let water = water.transpose().map_err(refused)?;
        let (tide_height_m, tide_rate_m_per_h) = water.unzip();
        let tide_state = predictor
            .as_ref()
            .zip(tide_rate_m_per_h)
            .map(|(predictor, rate)| tide::state(&predictor.turns(), at, rate, spec.near_turn));
        let level_exceeded = tide_height_m
            .filter(|_| spot.levels.any())
            .map(|height| schema::LEVELS[spot.levels.exceeded(height) as usize]);
        let verdict = match (&spec.scenario, spot.wish) {
            (Some(scenario), Some(wish)) => {
                let next = at
                    .saturating_add(SignedDuration::from_millis(1))
                    .unwrap_or(at);
                let told = spec.experience.as_ref();
                Timeline::new(scenario, told, spot, wish, at..next)?.at(at)
            }
            _ => judge::at_once(
                spot,
                spec.light.as_ref(),
                &Moment {
                    sun_altitude_deg: sun.altitude_deg,
                    light_angle_deg,
                    tide_height_m,
                },
            ),
        };
        Ok(Row {
            at,
            utc_offset_s: spec.places.zones[spot.zone].1.to_offset(at).seconds(),
            sun_altitude_deg: sun.altitude_deg,
            sun_azimuth_deg: sun.azimuth_deg,
            light_angle_deg,
            light_side: light_angle_deg
                .filter(|_| has_side)
                .map(|angle| SideLimits::default().side(angle)),
            illuminance_lx: light.likely_lx,
            moon_altitude_deg: moon.altitude_deg,
            moon_lit_fraction: moon.lit_fraction,
            tide_height_m,
            tide_rate_m_per_h,
            tide_state,
            level_exceeded,
            verdict,
        })
    }
}
