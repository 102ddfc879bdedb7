//! The tide of a port.

use jiff::SignedDuration;
use numpy::PyArray1;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use wrackline_plan::port::{CONVENTIONS, convention, convention_words};
use wrackline_tides::{Convention, Grid, Harmonic, PortSpec, Predictor, TurnKind};

use crate::errors::refused;
use crate::instants::{Given, Instants, give, span};
use crate::observer::stretches;
use crate::results::tuple;

/// A port by its harmonic constants.
#[pyclass(frozen, eq, module = "wrackline")]
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Port(pub(crate) wrackline_tides::Port);

/// What a day of a prepared curve costs in single heights.
const HEIGHTS_A_DAY: f64 = 0.2;
/// The longest step of a regular series.
const LONGEST_STEP: SignedDuration = SignedDuration::from_hours(24);

type Constituents = Vec<(String, f64, f64)>;

#[pymethods]
impl Port {
    #[new]
    fn new(mean_level_m: f64, constituents: &Bound<'_, PyAny>, convention: &str) -> PyResult<Self> {
        let harmonics: Vec<Harmonic> = read_constituents(constituents)?
            .into_iter()
            .map(|(name, amplitude_m, phase_lag_deg)| Harmonic {
                name,
                amplitude_m,
                phase_lag_deg,
            })
            .collect();
        let spec = PortSpec {
            mean_level_m,
            harmonics: &harmonics,
            convention: convention_of(convention)?,
        };
        wrackline_tides::Port::new(spec).map(Self).map_err(refused)
    }

    #[getter]
    fn mean_level_m(&self) -> f64 {
        self.0.mean_level_m()
    }

    #[getter]
    fn constituents(&self) -> Constituents {
        self.0
            .harmonics()
            .map(|(_, line)| (line.name, line.amplitude_m, line.phase_lag_deg))
            .collect()
    }

    #[getter]
    fn convention(&self) -> &'static str {
        word_of(self.0.convention())
    }

    fn __getnewargs__(&self) -> (f64, Constituents, &'static str) {
        (self.mean_level_m(), self.constituents(), self.convention())
    }

    fn __repr__(&self) -> String {
        let names: Vec<String> = self.0.harmonics().map(|(_, line)| line.name).collect();
        format!(
            "<Port: mean level {} m, {}, {}>",
            self.mean_level_m(),
            names.join(" "),
            self.convention()
        )
    }

    fn heights<'py>(
        &self,
        py: Python<'py>,
        instants: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let instants = Instants::read("instants", instants)?;
        let given = instants.given();
        let heights = py.detach(|| heights(&self.0, given)).map_err(refused)?;
        instants.shaped(py, heights)
    }

    fn rates<'py>(
        &self,
        py: Python<'py>,
        instants: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let instants = Instants::read("instants", instants)?;
        let given = instants.given();
        let rates = py.detach(|| rates(&self.0, given)).map_err(refused)?;
        instants.shaped(py, rates)
    }

    fn turns<'py>(
        &self,
        py: Python<'py>,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let found = self.over(py, start, end, |predictor| Ok(predictor.turns()))?;
        let is_high = found.iter().map(|turn| turn.kind == TurnKind::HighWater);
        let fields = (
            give(py, found.iter().map(|turn| turn.at))?,
            PyArray1::from_iter(py, found.iter().map(|turn| turn.height_m)),
            PyArray1::from_iter(py, is_high),
        );
        tuple(py, "Turns", fields)
    }

    fn above<'py>(
        &self,
        py: Python<'py>,
        level_m: f64,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let found = self.over(py, start, end, |predictor| predictor.above(level_m))?;
        stretches(py, &found)
    }

    fn below<'py>(
        &self,
        py: Python<'py>,
        level_m: f64,
        start: &Bound<'py, PyAny>,
        end: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let found = self.over(py, start, end, |predictor| predictor.below(level_m))?;
        stretches(py, &found)
    }
}

impl Port {
    fn over<T: Send>(
        &self,
        py: Python<'_>,
        start: &Bound<'_, PyAny>,
        end: &Bound<'_, PyAny>,
        find: impl Fn(&Predictor) -> Result<T, wrackline_tides::Error> + Send + Sync,
    ) -> PyResult<T> {
        let span = span(start, end)?;
        py.detach(|| find(&self.0.predictor(span)?))
            .map_err(refused)
    }
}

fn heights(
    port: &wrackline_tides::Port,
    given: &Given,
) -> Result<Vec<f64>, wrackline_tides::Error> {
    let Some(span) = given.span() else {
        return Ok(Vec::new());
    };
    if given.are_sparse(HEIGHTS_A_DAY) {
        return given.listed().iter().map(|at| port.height_m(*at)).collect();
    }
    let predictor = port.predictor(span)?;
    let mut heights = vec![0.0; given.len()];
    match even(given)? {
        Some(grid) => predictor.fill_heights(&grid, &mut heights)?,
        None => predictor.fill_heights_at(&given.listed(), &mut heights)?,
    }
    Ok(heights)
}

fn rates(port: &wrackline_tides::Port, given: &Given) -> Result<Vec<f64>, wrackline_tides::Error> {
    let Some(span) = given.span() else {
        return Ok(Vec::new());
    };
    let predictor = port.predictor(span)?;
    let mut rates = vec![0.0; given.len()];
    match even(given)? {
        Some(grid) => predictor.fill_rates(&grid, &mut rates)?,
        None => {
            let mut heights = vec![0.0; given.len()];
            predictor.fill_heights_and_rates_at(&given.listed(), &mut heights, &mut rates)?;
        }
    }
    Ok(rates)
}

/// The grid of evenly spaced instants, where the library takes so long a step.
fn even(given: &Given) -> Result<Option<Grid>, wrackline_tides::Error> {
    match given {
        Given::Even { start, step, count } if *step <= LONGEST_STEP => {
            Grid::new(*start, *step, *count).map(Some)
        }
        _ => Ok(None),
    }
}

/// Constituents as a mapping from names to amplitude and lag, or as triples.
fn read_constituents(from: &Bound<'_, PyAny>) -> PyResult<Constituents> {
    if let Ok(mapping) = from.cast::<PyDict>() {
        let items = mapping.iter().map(|(name, pair)| {
            let (amplitude_m, phase_lag_deg) = pair.extract()?;
            Ok((name.extract()?, amplitude_m, phase_lag_deg))
        });
        return items.collect();
    }
    from.try_iter()?.map(|item| item?.extract()).collect()
}

/// The convention that a word stands for.
pub(crate) fn convention_of(word: &str) -> PyResult<Convention> {
    convention(word).ok_or_else(|| {
        refused(format!(
            "convention \"{word}\" is not known: give one of {}",
            convention_words()
        ))
    })
}

fn word_of(convention: Convention) -> &'static str {
    let known = CONVENTIONS.iter().find(|(_, known)| *known == convention);
    // Every port here was made from a word.
    known.map_or("", |(word, _)| word)
}
