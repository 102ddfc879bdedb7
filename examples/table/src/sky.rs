//! Sun and moon at the instants of one stretch, for any number of places: the paths are worked out
//! once.

use std::ops::Range;
use std::sync::{Arc, Mutex, PoisonError};

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{
    Grid, Horizontal, LitMoon, Observer, SkyCondition, SunAndMoon, fill_level_lx,
};

use super::Table;
use super::error::Error;
use super::instants::timestamp;

/// The instants of one stretch, and what sun and moon do at them whatever the place.
#[derive(Debug)]
pub(super) struct SkyStretch {
    instants: Vec<Timestamp>,
    step: Option<SignedDuration>,
    sky: SunAndMoon,
}

/// What the sky over one place shows, one entry for each instant of a group.
#[derive(Debug, Default)]
pub(super) struct SkyColumns {
    pub(super) sun: Vec<Horizontal>,
    pub(super) moon: Vec<LitMoon>,
    pub(super) illuminance_lx: Vec<f64>,
}

impl SkyStretch {
    /// Works out the paths over instants in rising order, at least one; `step` is their distance if
    /// it is even.
    pub(super) fn new(
        instants: Vec<Timestamp>,
        step: Option<SignedDuration>,
    ) -> Result<Self, Error> {
        let (Some(first), Some(last)) = (instants.first(), instants.last()) else {
            return Err(Error::Encode("a stretch without instants".to_owned()));
        };
        // A span leaves its end out, and there may be one instant only.
        let end = last
            .saturating_add(SignedDuration::from_millis(1))
            .unwrap_or(*last);
        let sky = SunAndMoon::new(*first..end)
            .map_err(|error| Error::option("--to", error.to_string(), "choose a shorter span"))?;
        Ok(Self {
            instants,
            step,
            sky,
        })
    }

    pub(super) fn instants(&self) -> &[Timestamp] {
        &self.instants
    }

    /// Fills the columns from a row on with what one observer sees.
    pub(super) fn fill(
        &self,
        observer: &Observer,
        columns: &mut SkyColumns,
        from: usize,
    ) -> Result<(), Error> {
        let rows = from..from + self.instants.len();
        // The paths cover the instants of the stretch, so a refusal tells of a defect here.
        let defect = |error: wrackline_solar::Error| Error::Encode(error.to_string());
        let sun = &mut columns.sun[rows.clone()];
        let moon = &mut columns.moon[rows.clone()];
        match self.step {
            Some(step) => {
                let grid = Grid::new(self.instants[0], step, sun.len()).map_err(defect)?;
                self.sky
                    .sun()
                    .fill_places(observer, &grid, sun)
                    .map_err(defect)?;
                self.sky.fill_moons(observer, &grid, moon).map_err(defect)?;
            }
            None => {
                let at = &self.instants;
                self.sky
                    .sun()
                    .fill_places_at(observer, at, sun)
                    .map_err(defect)?;
                self.sky.fill_moons_at(observer, at, moon).map_err(defect)?;
            }
        }
        let lux = &mut columns.illuminance_lx[rows];
        fill_level_lx(sun, moon, SkyCondition::Clear, lux).map_err(defect)
    }
}

/// The centre of the sun so far down, degrees, that light has no side: the end of civil twilight.
pub(super) const NO_SIDE_BELOW_DEG: f64 = -6.0;

impl SkyColumns {
    /// Makes room for so many rows; what stands there is of the place before.
    pub(super) fn resize(&mut self, rows: usize) {
        self.sun.resize(rows, Horizontal::default());
        self.moon.resize(rows, LitMoon::default());
        self.illuminance_lx.resize(rows, 0.0);
    }
}

/// Prepared skies kept for the places to come, some 80 kB each: enough for half a year of minutes.
const KEPT_SKIES: usize = 64;

/// What the threads share: skies of stretches of instants, the newest last.
#[derive(Debug, Default)]
pub(super) struct Skies(Mutex<Vec<(usize, Arc<SkyStretch>)>>);

impl Skies {
    pub(super) fn get(
        &self,
        table: &Table,
        stretch: Range<usize>,
    ) -> Result<Arc<SkyStretch>, Error> {
        let start = stretch.start;
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
        // Two threads may prepare the same sky at once: the work is doubled, the result is the
        // same.
        let mut ms = Vec::with_capacity(stretch.len());
        table.spec.instants.append_ms(stretch, &mut ms);
        let instants = ms.into_iter().map(timestamp).collect();
        let sky = Arc::new(SkyStretch::new(instants, step(table))?);
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
