//! Sun and moon at the instants of one block, for any number of places: the paths are worked out once.

use std::sync::{Arc, Mutex, PoisonError};

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{
    Body, Grid, Horizontal, Instant, Luminaries, MoonPlace, Observer, Path, Place, SkyCondition,
    moon_light_at,
};

use super::Table;
use super::error::Error;
use super::instants::timestamp;
use super::layout::Group;

/// The instants of one block, and what sun and moon do at them whatever the place.
#[derive(Debug)]
pub(super) struct SkyBlock {
    instants: Vec<Timestamp>,
    step: Option<SignedDuration>,
    sun: Path,
    moon: Path,
    moon_light: Vec<MoonLight>,
}

/// How the moon is lit at one instant.
#[derive(Clone, Copy, Debug)]
struct MoonLight {
    lit_fraction: f64,
    phase_angle_deg: f64,
}

/// What the sky over one place shows, one entry for each instant of the block.
#[derive(Debug, Default)]
pub(super) struct SkyColumns {
    pub(super) sun: Vec<Horizontal>,
    pub(super) moon_altitude_deg: Vec<f64>,
    pub(super) lit_fraction: Vec<f64>,
    pub(super) illuminance_lx: Vec<f64>,
}

impl SkyBlock {
    /// Works out the paths over instants in rising order, at least one; `step` is their distance if it is even.
    pub(super) fn new(
        instants: Vec<Timestamp>,
        step: Option<SignedDuration>,
    ) -> Result<Self, Error> {
        let (Some(first), Some(last)) = (instants.first(), instants.last()) else {
            return Err(Error::Encode("a block without instants".to_owned()));
        };
        let path = |body| {
            Path::new(body, *first..*last)
                .map_err(|error| Error::option("--to", error.to_string(), "choose a shorter span"))
        };
        let (sun, moon) = (path(Body::Sun)?, path(Body::Moon)?);
        let moon_light = instants
            .iter()
            .map(|at| {
                let light = moon_light_at(Instant::from_timestamp(*at));
                MoonLight {
                    lit_fraction: light.lit_fraction,
                    phase_angle_deg: light.phase_angle_deg,
                }
            })
            .collect();
        Ok(Self {
            instants,
            step,
            sun,
            moon,
            moon_light,
        })
    }

    pub(super) fn instants(&self) -> &[Timestamp] {
        &self.instants
    }

    /// Fills the columns for one observer.
    pub(super) fn fill(&self, observer: &Observer, columns: &mut SkyColumns) -> Result<(), Error> {
        columns
            .sun
            .resize(self.instants.len(), Horizontal::default());
        let filled = match self.step {
            Some(step) => {
                let start = self.instants[0];
                self.sun
                    .fill_grid(observer, Grid { start, step }, &mut columns.sun)
            }
            None => self.sun.fill_at(observer, &self.instants, &mut columns.sun),
        };
        // The paths cover the instants of the block, so this tells of a defect here.
        let defect = |error: wrackline_solar::Error| Error::Encode(error.to_string());
        filled.map_err(defect)?;
        columns.moon_altitude_deg.clear();
        columns.lit_fraction.clear();
        columns.illuminance_lx.clear();
        for ((at, sun), light) in self.instants.iter().zip(&columns.sun).zip(&self.moon_light) {
            let moon = self.moon.place(observer, *at).map_err(defect)?;
            let lux = luminaries(*sun, &moon, light)
                .horizontal(SkyCondition::Clear)
                .likely_lx;
            columns.moon_altitude_deg.push(moon.altitude_deg);
            columns.lit_fraction.push(light.lit_fraction);
            columns.illuminance_lx.push(lux);
        }
        Ok(())
    }
}

/// The lights on level ground need no more of the two places than this.
fn luminaries(sun: Horizontal, moon: &Place, light: &MoonLight) -> Luminaries {
    let sun = Place {
        azimuth_deg: sun.azimuth_deg,
        altitude_deg: sun.altitude_deg,
        hour_angle_deg: 0.0,
        declination_deg: 0.0,
        distance_au: 1.0,
        semi_diameter_deg: 0.0,
    };
    let moon = MoonPlace {
        azimuth_deg: moon.azimuth_deg,
        altitude_deg: moon.altitude_deg,
        hour_angle_deg: moon.hour_angle_deg,
        declination_deg: moon.declination_deg,
        distance_km: moon.distance_km(),
        semi_diameter_deg: moon.semi_diameter_deg,
        lit_fraction: light.lit_fraction,
        phase_angle_deg: light.phase_angle_deg,
        bright_limb_tilt_deg: 0.0,
    };
    Luminaries::new(&sun, &moon)
}

/// The centre of the sun so far down, degrees, that light has no side: the end of civil twilight.
pub(super) const NO_SIDE_BELOW_DEG: f64 = -6.0;

/// Prepared skies kept for the groups to come.
const KEPT_SKIES: usize = 8;

/// What the threads share: skies of stretches of instants, the newest last.
#[derive(Debug, Default)]
pub(super) struct Skies(Mutex<Vec<(usize, Arc<SkyBlock>)>>);

impl Skies {
    pub(super) fn get(&self, table: &Table, group: &Group) -> Result<Arc<SkyBlock>, Error> {
        let start = group.instants.start;
        let find = || {
            let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let at = kept.iter().position(|(key, _)| *key == start)?;
            let found = kept.remove(at);
            let sky = Arc::clone(&found.1);
            kept.push(found);
            Some(sky)
        };
        if let Some(sky) = find() {
            return Ok(sky);
        }
        // Two threads may prepare the same sky at once: the work is doubled, the result is the same.
        let mut ms = Vec::with_capacity(group.instants.len());
        table
            .spec
            .instants
            .append_ms(group.instants.clone(), &mut ms);
        let instants = ms.into_iter().map(timestamp).collect();
        let sky = Arc::new(SkyBlock::new(instants, step(table))?);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= KEPT_SKIES {
            kept.remove(0);
        }
        kept.push((start, Arc::clone(&sky)));
        Ok(sky)
    }
}

/// The step of a table's instants, if it is the same between all.
pub(super) fn step(table: &Table) -> Option<SignedDuration> {
    table
        .spec
        .instants
        .step_ms()
        .map(SignedDuration::from_millis)
}
