//! Constants from readings.

use numpy::{PyArray1, PyReadonlyArray1};
use pyo3::prelude::*;
use wrackline_tides::{Analysis, AnalysisSpec, FittedHarmonic, Reading, Selection};

use crate::errors::refused;
use crate::instants::Instants;
use crate::port::{Port, convention_of};
use crate::results::tuple;

/// Finds the harmonic constants of a record of readings.
#[pyfunction]
#[pyo3(signature = (
    instants, heights_m, convention, *, constituents = None, rayleigh = 1.0, trend = false,
    robust = false
))]
#[allow(clippy::too_many_arguments)] // Python names them.
pub(crate) fn analyse<'py>(
    py: Python<'py>,
    instants: &Bound<'py, PyAny>,
    heights_m: &Bound<'py, PyAny>,
    convention: &str,
    constituents: Option<Vec<String>>,
    rayleigh: f64,
    trend: bool,
    robust: bool,
) -> PyResult<Bound<'py, PyAny>> {
    let instants = Instants::read("instants", instants)?;
    let heights = py
        .import("numpy")?
        .call_method1("asarray", (heights_m, "float64"))?
        .call_method0("ravel")?;
    let heights: PyReadonlyArray1<'_, f64> = heights.extract()?;
    let heights = heights.as_array();
    let listed = instants.given().listed();
    if listed.len() != heights.len() {
        return Err(refused(format!(
            "{} instants go with {} heights: give as many of one as of the other",
            listed.len(),
            heights.len()
        )));
    }
    let readings: Vec<Reading> = listed
        .iter()
        .zip(heights)
        .map(|(at, height_m)| Reading {
            at: *at,
            height_m: *height_m,
        })
        .collect();
    let spec = AnalysisSpec {
        selection: match constituents {
            Some(names) => Selection::Named(names),
            None => Selection::Rayleigh(rayleigh),
        },
        trend,
        robust,
        ..AnalysisSpec::new(convention_of(convention)?)
    };
    let (found, port) = py
        .detach(|| {
            let found = Analysis::of(&readings, &spec)?;
            let port = found.port()?;
            Ok::<_, wrackline_tides::Error>((found, port))
        })
        .map_err(refused)?;
    let harmonics: PyResult<Vec<_>> = found
        .harmonics
        .iter()
        .map(|line| fitted(py, line))
        .collect();
    let left = found.residual;
    let residual = (
        left.readings,
        left.standard_deviation_m,
        left.highest_m,
        left.lowest_m,
        left.explained,
        left.mean_weight,
    );
    let fields = (
        found.mean_level_m,
        found.trend_m_per_year,
        harmonics?,
        tuple(py, "ResidualSummary", residual)?,
        PyArray1::from_vec(py, found.residuals_m),
        Port(port),
    );
    tuple(py, "Analysis", fields)
}

fn fitted<'py>(py: Python<'py>, line: &FittedHarmonic) -> PyResult<Bound<'py, PyAny>> {
    let fields = (
        line.name.as_str(),
        line.speed_deg_per_h,
        line.amplitude_m,
        line.amplitude_error_m,
        line.phase_lag_deg,
        line.phase_lag_error_deg,
        line.signal_to_noise,
    );
    tuple(py, "FittedHarmonic", fields)
}
