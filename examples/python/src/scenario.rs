//! A scenario and its season.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, read_one};
use wrackline_plan::season::Request;
use wrackline_plan::windows::Phase;
use wrackline_show::report;

use crate::errors::refused;
use crate::results::json;

/// Places, seats, animals, closures, water and kit, read and checked, with the texts that it was
/// read from.
#[pyclass(frozen, module = "wrackline")]
#[derive(Debug)]
pub(crate) struct Scenario {
    pub(crate) checked: wrackline_plan::scenario::Scenario,
    name: String,
    /// Every file by the path under which it was read, so that a copy elsewhere needs no disk.
    texts: BTreeMap<String, String>,
}

#[pymethods]
impl Scenario {
    /// Reads a scenario and what it includes.
    #[new]
    fn new(path: PathBuf) -> PyResult<Self> {
        Self::read(&path, &|named| read_one(&path, named))
    }

    /// The invented demo.
    #[staticmethod]
    pub(crate) fn demo() -> PyResult<Self> {
        Self::of_texts(
            DEMO_NAME.to_owned(),
            BTreeMap::from([(DEMO_NAME.to_owned(), DEMO.to_owned())]),
        )
    }

    /// A scenario from texts by name: its own, and those that it includes.
    #[staticmethod]
    fn of_texts(name: String, texts: BTreeMap<String, String>) -> PyResult<Self> {
        Self::read(Path::new(&name), &|path| {
            let text = texts.get(path.to_string_lossy().as_ref());
            text.cloned()
                .ok_or_else(|| "is not among the texts".to_owned())
        })
    }

    #[getter]
    fn title(&self) -> &str {
        self.checked.title()
    }

    #[getter]
    fn zone(&self) -> &str {
        self.checked.zone_name()
    }

    #[getter]
    fn seats(&self) -> Vec<(&str, &str)> {
        let seats = self.checked.seats().iter();
        seats
            .map(|seat| (self.checked.place_of(seat).id.as_str(), seat.id.as_str()))
            .collect()
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let make = py.get_type::<Self>().getattr("of_texts")?;
        let arguments = (self.name.as_str(), self.texts.clone()).into_pyobject(py)?;
        Ok((make, arguments))
    }

    fn __eq__(&self, other: &Self) -> bool {
        self.name == other.name && self.texts == other.texts
    }

    fn __repr__(&self) -> String {
        format!("<Scenario: {}, from {}>", self.title(), self.name)
    }
}

impl Scenario {
    /// Whether nobody's coast but the invented one is planned for, however it came here.
    fn is_demo(&self) -> bool {
        self.texts.get(&self.name).is_some_and(|text| text == DEMO)
    }

    fn read(path: &Path, read: &dyn Fn(&Path) -> Result<String, String>) -> PyResult<Self> {
        let texts = Mutex::new(BTreeMap::new());
        let checked = wrackline_plan::scenario::Scenario::parse_with(path, &|path| {
            let text = read(path)?;
            if let Ok(mut texts) = texts.lock() {
                texts.insert(path.to_string_lossy().into_owned(), text.clone());
            }
            Ok(text)
        });
        Ok(Self {
            checked: checked.map_err(refused)?,
            name: path.to_string_lossy().into_owned(),
            texts: texts.into_inner().unwrap_or_default(),
        })
    }
}

/// The ranked windows of a season, as the program `season` gives them in JSON.
#[pyfunction]
#[pyo3(signature = (
    scenario, start, *, days = 90, place = None, subject = None, light = None, tide = "both",
    count = 15
))]
#[allow(clippy::too_many_arguments)] // Python names them.
pub(crate) fn season<'py>(
    py: Python<'py>,
    scenario: &Bound<'py, Scenario>,
    start: &Bound<'py, PyAny>,
    days: u32,
    place: Option<&str>,
    subject: Option<&str>,
    light: Option<&str>,
    tide: &str,
    count: usize,
) -> PyResult<Bound<'py, PyAny>> {
    let day = start.str()?;
    let from = day.to_cow()?;
    let from: jiff::civil::Date = from
        .parse()
        .map_err(|_| refused(format!("start is \"{day}\": give a date as YYYY-MM-DD")))?;
    let phase = match tide {
        "flood" => Phase::Flood,
        "ebb" => Phase::Ebb,
        "both" => Phase::Both,
        _ => {
            return Err(refused(format!(
                "tide is \"{tide}\": give flood, ebb or both"
            )));
        }
    };
    let is_demo = scenario.get().is_demo();
    let scenario = &scenario.get().checked;
    let text = py
        .detach(|| {
            let request = Request {
                place,
                subject,
                light,
                phase,
                keep: count,
                ..Request::new(from, days)
            };
            let season = wrackline_plan::season::season(scenario, request)
                .map_err(|error| error.to_string())?;
            let mut text = Vec::new();
            let mut options = report::Options::default();
            options.style.demo = is_demo;
            report::write(&season, report::Format::Json, options, &mut text)
                .map_err(|error| error.to_string())?;
            String::from_utf8(text).map_err(|error| error.to_string())
        })
        .map_err(refused)?;
    json(py, &text)
}
