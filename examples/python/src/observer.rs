//! Sun and moon at a place.

use std::ops::Range;

use jiff::Timestamp;
use pyo3::prelude::*;
use wrackline_solar::{
    AltitudeBand, Body, Crossings, Culmination, Error, Grid, Horizontal, LitMoon, Outcome, Path,
    Site, SunAndMoon, Threshold, Transit,
};

use crate::errors::refused;
use crate::instants::{Given, Instants, give, span};
use crate::results::tuple;

/// Somebody who looks at the sky from a place.
#[pyclass(frozen, eq, module = "wrackline")]
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Observer(wrackline_solar::Observer);

/// What a day of a path costs in single instants: some 15 of the full theory for each piece of 16
/// days (sun) or 4 days (moon).
const SUN_A_DAY: f64 = 0.95;
const MOON_A_DAY: f64 = 3.8;

#[pymethods]
impl Observer {
    #[new]
    #[pyo3(signature = (latitude_deg, longitude_deg, elevation_m = 0.0))]
    fn new(latitude_deg: f64, longitude_deg: f64, elevation_m: f64) -> PyResult<Self> {
        let site = Site {
            latitude_deg,
            longitude_deg,
            elevation_m,
        };
        wrackline_solar::Observer::new(site)
            .map(Self)
            .map_err(refused)
    }

    #[getter]
    fn latitude_deg(&self) -> f64 {
        self.0.site().latitude_deg
    }

    #[getter]
    fn longitude_deg(&self) -> f64 {
        self.0.site().longitude_deg
    }

    #[getter]
    fn elevation_m(&self) -> f64 {
        self.0.site().elevation_m
    }

    fn __getnewargs__(&self) -> (f64, f64, f64) {
        (
            self.latitude_deg(),
            self.longitude_deg(),
            self.elevation_m(),
        )
    }

    fn __repr__(&self) -> String {
        let (latitude_deg, longitude_deg, elevation_m) = self.__getnewargs__();
        format!("Observer({latitude_deg}, {longitude_deg}, {elevation_m})")
    }

    fn sun<'py>(
        &self,
        py: Python<'py>,
        instants: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let instants = Instants::read("instants", instants)?;
        let given = instants.given();
        let suns = py.detach(|| suns(&self.0, given)).map_err(refused)?;
        let fields = (
            instants.column(py, &suns, |sun| sun.azimuth_deg)?,
            instants.column(py, &suns, |sun| sun.altitude_deg)?,
        );
        tuple(py, "Directions", fields)
    }

    fn moon<'py>(
        &self,
        py: Python<'py>,
        instants: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let instants = Instants::read("instants", instants)?;
        let given = instants.given();
        let moons = py.detach(|| moons(&self.0, given)).map_err(refused)?;
        let fields = (
            instants.column(py, &moons, |moon| moon.azimuth_deg)?,
            instants.column(py, &moons, |moon| moon.altitude_deg)?,
            instants.column(py, &moons, |moon| moon.distance_km)?,
            instants.column(py, &moons, |moon| moon.lit_fraction)?,
            instants.column(py, &moons, |moon| moon.phase_angle_deg)?,
        );
        tuple(py, "MoonDirections", fields)
    }

    fn sun_crossings<'py>(
        &self,
        py: Python<'py>,
        threshold: &Bound<'py, PyAny>,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let threshold = threshold_of(threshold)?;
        let found = self.over(py, start, end, |observer, span| {
            observer.sun_crossings(threshold, span)
        })?;
        crossings(py, found)
    }

    fn moon_crossings<'py>(
        &self,
        py: Python<'py>,
        threshold: &Bound<'py, PyAny>,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let threshold = threshold_of(threshold)?;
        let found = self.over(py, start, end, |observer, span| {
            observer.moon_crossings(threshold, span)
        })?;
        crossings(py, found)
    }

    fn sun_transits<'py>(
        &self,
        py: Python<'py>,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let found = self.over(py, start, end, |observer, span| observer.sun_transits(span))?;
        transits(py, &found)
    }

    fn moon_transits<'py>(
        &self,
        py: Python<'py>,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let found = self.over(py, start, end, |observer, span| {
            observer.moon_transits(span)
        })?;
        transits(py, &found)
    }

    fn sun_between<'py>(
        &self,
        py: Python<'py>,
        lowest_deg: f64,
        highest_deg: f64,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let band = AltitudeBand {
            lowest_deg,
            highest_deg,
        };
        let found = self.over(py, start, end, |observer, span| {
            observer.sun_between(band, span)
        })?;
        stretches(py, &found)
    }

    fn moon_between<'py>(
        &self,
        py: Python<'py>,
        lowest_deg: f64,
        highest_deg: f64,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let band = AltitudeBand {
            lowest_deg,
            highest_deg,
        };
        let found = self.over(py, start, end, |observer, span| {
            observer.moon_between(band, span)
        })?;
        stretches(py, &found)
    }
}

impl Observer {
    /// What a search over a span finds.
    fn over<T: Send>(
        &self,
        py: Python<'_>,
        start: &Bound<'_, PyAny>,
        end: &Bound<'_, PyAny>,
        find: impl FnOnce(&wrackline_solar::Observer, Range<Timestamp>) -> Result<T, Error> + Send,
    ) -> PyResult<T> {
        let span = span(start, end)?;
        py.detach(|| find(&self.0, span)).map_err(refused)
    }
}

fn suns(observer: &wrackline_solar::Observer, given: &Given) -> Result<Vec<Horizontal>, Error> {
    let Some(span) = given.span() else {
        return Ok(Vec::new());
    };
    let full = |at: &Timestamp| {
        let place = observer.sun(*at);
        Horizontal {
            azimuth_deg: place.azimuth_deg,
            altitude_deg: place.altitude_deg,
        }
    };
    if given.are_sparse(SUN_A_DAY) {
        return Ok(given.listed().iter().map(full).collect());
    }
    let path = Path::new(Body::Sun, span)?;
    let mut places = vec![Horizontal::default(); given.len()];
    match given {
        Given::Even { start, step, count } => {
            path.fill_places(observer, &Grid::new(*start, *step, *count)?, &mut places)?;
        }
        Given::Listed(list) => path.fill_places_at(observer, list, &mut places)?,
    }
    Ok(places)
}

fn moons(observer: &wrackline_solar::Observer, given: &Given) -> Result<Vec<LitMoon>, Error> {
    let Some(span) = given.span() else {
        return Ok(Vec::new());
    };
    let full = |at: &Timestamp| {
        let moon = observer.moon(*at);
        LitMoon {
            azimuth_deg: moon.azimuth_deg,
            altitude_deg: moon.altitude_deg,
            distance_km: moon.distance_km,
            lit_fraction: moon.lit_fraction,
            phase_angle_deg: moon.phase_angle_deg,
        }
    };
    if given.are_sparse(MOON_A_DAY) {
        return Ok(given.listed().iter().map(full).collect());
    }
    let sky = SunAndMoon::new(span)?;
    let mut places = vec![LitMoon::default(); given.len()];
    match given {
        Given::Even { start, step, count } => {
            sky.fill_moons(observer, &Grid::new(*start, *step, *count)?, &mut places)?;
        }
        Given::Listed(list) => sky.fill_moons_at(observer, list, &mut places)?,
    }
    Ok(places)
}

/// A threshold by its name or its airless altitude in degrees.
fn threshold_of(from: &Bound<'_, PyAny>) -> PyResult<Threshold> {
    let Ok(word) = from.extract::<String>() else {
        let altitude_deg: f64 = from.extract()?;
        return Threshold::altitude_deg(altitude_deg).map_err(refused);
    };
    match word.as_str() {
        "sunrise" => Ok(Threshold::SUNRISE),
        "moonrise" => Ok(Threshold::MOONRISE),
        "civil" => Ok(Threshold::CIVIL),
        "nautical" => Ok(Threshold::NAUTICAL),
        "astronomical" => Ok(Threshold::ASTRONOMICAL),
        _ => Err(refused(format!(
            "threshold \"{word}\" is not known: give sunrise, moonrise, civil, nautical, \
             astronomical or an altitude in degrees"
        ))),
    }
}

fn crossings(py: Python<'_>, found: Crossings) -> PyResult<Bound<'_, PyAny>> {
    let (outcome, margin_deg) = match found.outcome {
        Outcome::Crosses => ("crosses", None),
        Outcome::Grazes { margin_deg } => ("grazes", Some(margin_deg)),
        Outcome::AlwaysAbove { margin_deg } => ("always above", Some(margin_deg)),
        Outcome::AlwaysBelow { margin_deg } => ("always below", Some(margin_deg)),
        _ => ("other", None),
    };
    let events = &found.events;
    let numbers = |part: fn(&wrackline_solar::Crossing) -> f64| {
        numpy::PyArray1::from_iter(py, events.iter().map(part))
    };
    let rising = events
        .iter()
        .map(|event| event.direction == wrackline_solar::Direction::Rising);
    let fields = (
        give(py, events.iter().map(|event| event.at))?,
        numpy::PyArray1::from_iter(py, rising),
        numbers(|event| event.azimuth_deg),
        numbers(|event| event.uncertainty_s),
        outcome,
        margin_deg,
    );
    tuple(py, "Crossings", fields)
}

fn transits<'py>(py: Python<'py>, found: &[Transit]) -> PyResult<Bound<'py, PyAny>> {
    let fields = (
        give(py, found.iter().map(|transit| transit.at))?,
        numpy::PyArray1::from_iter(py, found.iter().map(|transit| transit.altitude_deg)),
        numpy::PyArray1::from_iter(
            py,
            found
                .iter()
                .map(|transit| transit.culmination == Culmination::Upper),
        ),
    );
    tuple(py, "Transits", fields)
}

/// Stretches of time as their starts and ends.
pub(crate) fn stretches<'py>(
    py: Python<'py>,
    found: &[std::ops::Range<Timestamp>],
) -> PyResult<Bound<'py, PyAny>> {
    let fields = (
        give(py, found.iter().map(|stretch| stretch.start))?,
        give(py, found.iter().map(|stretch| stretch.end))?,
    );
    tuple(py, "Stretches", fields)
}
