//! Sun and moon at many instants.

use wrackline_solar as solar;

use crate::choices::{Body, chosen};
use crate::instants::{Grid, instants, rows, span};
use crate::refusal::Refusal;
use crate::sky::Observer;

/// A body's way over a span, prepared for many instants and any number of observers.
#[derive(Debug)]
pub struct Path(solar::Path);

/// The moon's way over a span with the sun that lights it, prepared for many instants and any
/// number of observers.
#[derive(Debug)]
pub struct MoonPath(solar::SunAndMoon);

/// Where a body stands at one of many instants.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horizontal {
    /// Degrees clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Degrees above the horizontal, of the centre, as if there were no air.
    pub altitude_deg: f64,
}

/// Where the moon stands at one of many instants, and how it is lit.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LitMoon {
    /// Degrees clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Degrees above the horizontal, of the centre, as if there were no air.
    pub altitude_deg: f64,
    /// Kilometres from the observer.
    pub distance_km: f64,
    /// Lit fraction of the disc, 0 to 1.
    pub lit_fraction: f64,
    /// Angle at the moon between sun and Earth, degrees, 0 (full) to 180 (new).
    pub phase_angle_deg: f64,
}

impl Path {
    pub(crate) fn new(body: i32, start_us: i64, end_us: i64) -> Result<Self, Refusal> {
        let body = match chosen(body)? {
            Body::Sun => solar::Body::Sun,
            Body::Moon => solar::Body::Moon,
        };
        Ok(Self(solar::Path::new(body, span(start_us, end_us)?)?))
    }

    pub(crate) fn places(
        &self,
        observer: &Observer,
        at_us: &[i64],
    ) -> Result<Vec<Horizontal>, Refusal> {
        let instants = instants(at_us)?;
        let mut places = vec![solar::Horizontal::default(); instants.len()];
        self.0.fill_places_at(&observer.0, &instants, &mut places)?;
        Ok(places.iter().map(Horizontal::from).collect())
    }

    pub(crate) fn grid(
        &self,
        observer: &Observer,
        grid: &Grid,
    ) -> Result<Vec<Horizontal>, Refusal> {
        let mut places: Vec<solar::Horizontal> = rows(grid.count)?;
        if let Some(grid) = grid.of_sky()? {
            self.0.fill_places(&observer.0, &grid, &mut places)?;
        }
        Ok(places.iter().map(Horizontal::from).collect())
    }
}

impl MoonPath {
    pub(crate) fn new(start_us: i64, end_us: i64) -> Result<Self, Refusal> {
        Ok(Self(solar::SunAndMoon::new(span(start_us, end_us)?)?))
    }

    pub(crate) fn moons(
        &self,
        observer: &Observer,
        at_us: &[i64],
    ) -> Result<Vec<LitMoon>, Refusal> {
        let instants = instants(at_us)?;
        let mut moons = vec![solar::LitMoon::default(); instants.len()];
        self.0.fill_moons_at(&observer.0, &instants, &mut moons)?;
        Ok(moons.iter().map(LitMoon::from).collect())
    }

    pub(crate) fn grid(&self, observer: &Observer, grid: &Grid) -> Result<Vec<LitMoon>, Refusal> {
        let mut moons: Vec<solar::LitMoon> = rows(grid.count)?;
        if let Some(grid) = grid.of_sky()? {
            self.0.fill_moons(&observer.0, &grid, &mut moons)?;
        }
        Ok(moons.iter().map(LitMoon::from).collect())
    }
}

impl From<&solar::Horizontal> for Horizontal {
    fn from(place: &solar::Horizontal) -> Self {
        Self {
            azimuth_deg: place.azimuth_deg,
            altitude_deg: place.altitude_deg,
        }
    }
}

impl From<&solar::LitMoon> for LitMoon {
    fn from(moon: &solar::LitMoon) -> Self {
        Self {
            azimuth_deg: moon.azimuth_deg,
            altitude_deg: moon.altitude_deg,
            distance_km: moon.distance_km,
            lit_fraction: moon.lit_fraction,
            phase_angle_deg: moon.phase_angle_deg,
        }
    }
}
