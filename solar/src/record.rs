//! How types with an invariant are stored: plain records that pass through the fallible constructor
//! on their way back.

use alloc::vec::Vec;

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::{
    AirSpec, Atmosphere, EarthTime, EarthTimeSpec, GivenEarthTime, Grid, Instant, Limb, Observer,
    RefractionFormula, SideLimits, SideLimitsSpec, Site, Skyline, SkylinePoint, Threshold,
};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct AtmosphereRecord {
    pressure_hpa: f64,
    temperature_c: f64,
    #[serde(default)]
    formula: RefractionFormula,
}

impl TryFrom<AtmosphereRecord> for Atmosphere {
    type Error = Error;

    fn try_from(record: AtmosphereRecord) -> Result<Self, Error> {
        let spec = AirSpec {
            pressure_hpa: record.pressure_hpa,
            temperature_c: record.temperature_c,
        };
        Ok(Self::new(spec)?.with_formula(record.formula))
    }
}

impl From<Atmosphere> for AtmosphereRecord {
    fn from(air: Atmosphere) -> Self {
        Self {
            pressure_hpa: air.spec().pressure_hpa,
            temperature_c: air.spec().temperature_c,
            formula: air.formula(),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ThresholdRecord {
    airless_altitude_deg: f64,
    #[serde(default)]
    limb: Limb,
    #[serde(default)]
    refraction_deg: f64,
}

impl TryFrom<ThresholdRecord> for Threshold {
    type Error = Error;

    fn try_from(record: ThresholdRecord) -> Result<Self, Error> {
        Self::of_parts(
            record.airless_altitude_deg,
            record.limb,
            record.refraction_deg,
        )
    }
}

impl From<Threshold> for ThresholdRecord {
    fn from(threshold: Threshold) -> Self {
        Self {
            airless_altitude_deg: threshold.airless_altitude_deg(),
            limb: threshold.limb(),
            refraction_deg: threshold.refraction_deg(),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ObserverRecord {
    site: Site,
    #[serde(default)]
    earth_time: EarthTime,
}

impl TryFrom<ObserverRecord> for Observer {
    type Error = Error;

    fn try_from(record: ObserverRecord) -> Result<Self, Error> {
        Ok(Self::new(record.site)?.with_earth_time(record.earth_time))
    }
}

impl From<Observer> for ObserverRecord {
    fn from(observer: Observer) -> Self {
        Self {
            site: observer.site(),
            earth_time: observer.earth_time(),
        }
    }
}

/// Days from J2000 rather than Julian dates, which would cost digits.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct InstantRecord {
    ut1_days: f64,
    tt_days: f64,
}

impl TryFrom<InstantRecord> for Instant {
    type Error = Error;

    fn try_from(record: InstantRecord) -> Result<Self, Error> {
        Self::of_days(record.ut1_days, record.tt_days)
    }
}

impl From<Instant> for InstantRecord {
    fn from(instant: Instant) -> Self {
        Self {
            ut1_days: instant.ut1().0,
            tt_days: instant.tt().0,
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct GridRecord {
    start: Timestamp,
    step: SignedDuration,
    len: usize,
}

impl TryFrom<GridRecord> for Grid {
    type Error = Error;

    fn try_from(record: GridRecord) -> Result<Self, Error> {
        Self::new(record.start, record.step, record.len)
    }
}

impl From<Grid> for GridRecord {
    fn from(grid: Grid) -> Self {
        Self {
            start: grid.start(),
            step: grid.step(),
            len: grid.len(),
        }
    }
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SkylineRecord {
    points: Vec<SkylinePoint>,
}

impl TryFrom<SkylineRecord> for Skyline {
    type Error = Error;

    fn try_from(record: SkylineRecord) -> Result<Self, Error> {
        Self::new(&record.points)
    }
}

impl From<Skyline> for SkylineRecord {
    fn from(skyline: Skyline) -> Self {
        Self {
            points: skyline.points().to_vec(),
        }
    }
}

impl TryFrom<SideLimitsSpec> for SideLimits {
    type Error = Error;

    fn try_from(spec: SideLimitsSpec) -> Result<Self, Error> {
        Self::new(spec)
    }
}

impl From<SideLimits> for SideLimitsSpec {
    fn from(limits: SideLimits) -> Self {
        limits.spec()
    }
}

impl TryFrom<EarthTimeSpec> for GivenEarthTime {
    type Error = Error;

    fn try_from(spec: EarthTimeSpec) -> Result<Self, Error> {
        Self::new(spec)
    }
}

impl From<GivenEarthTime> for EarthTimeSpec {
    fn from(given: GivenEarthTime) -> Self {
        given.spec()
    }
}
