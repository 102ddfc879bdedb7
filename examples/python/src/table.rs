//! Tables of visibility, in parts.

use std::path::PathBuf;
use std::sync::Arc;

use arrow_array::ffi_stream::FFI_ArrowArrayStream;
use arrow_array::{RecordBatch, RecordBatchIterator};
use arrow_schema::SchemaRef;
use arrow_schema::ffi::FFI_ArrowSchema;
use jiff::SignedDuration;
use pyo3::prelude::*;
use pyo3::types::{PyCapsule, PyDict, PyTuple};
use wrackline_plan::cautions;
use wrackline_table::{
    Format, Instants as TableInstants, Output, Part, Request, Table, Text, When, encode_part,
    schema, write_part,
};

use crate::errors::{of_table, refused};
use crate::instants::{Instants, instant};
use crate::results::tuple;
use crate::scenario::Scenario;

/// A table of light, moon and tide for many places at many instants, before any of it is computed.
#[pyclass(frozen, module = "wrackline")]
#[derive(Debug)]
pub(crate) struct VisibilityTable {
    table: Arc<Table>,
    /// The arguments that make it anywhere: files as their texts, instants as they were settled.
    arguments: Py<PyDict>,
}

/// A file by its path, or by its name and its text.
#[derive(FromPyObject)]
enum File {
    Read((String, String)),
    Path(PathBuf),
}

impl File {
    fn text(self, remedy: &str) -> PyResult<Text> {
        match self {
            Self::Read((name, text)) => Ok(Text {
                name: name.into(),
                text,
            }),
            Self::Path(path) => Text::read(&path, remedy).map_err(of_table),
        }
    }
}

/// A part as Python has it: which cut of the instants and of the places, and their positions.
type Cuts = (usize, usize, (usize, usize), (usize, usize));

#[pymethods]
impl VisibilityTable {
    #[new]
    #[pyo3(signature = (
        *, places = None, ports = None, port = None, scenario = None, place = None, subject = None,
        light = None, sun_altitude_deg = None, light_angle_deg = None, start = None, end = None,
        step = None, instants = None, zone = None, near_turn = None, group_rows = None
    ))]
    #[allow(clippy::too_many_arguments)] // Python names them.
    fn new(
        py: Python<'_>,
        places: Option<File>,
        ports: Option<File>,
        port: Option<String>,
        scenario: Option<Bound<'_, PyAny>>,
        place: Option<String>,
        subject: Option<String>,
        light: Option<String>,
        sun_altitude_deg: Option<[f64; 2]>,
        light_angle_deg: Option<[f64; 2]>,
        start: Option<Bound<'_, PyAny>>,
        end: Option<Bound<'_, PyAny>>,
        step: Option<Bound<'_, PyAny>>,
        instants: Option<Bound<'_, PyAny>>,
        zone: Option<String>,
        near_turn: Option<Bound<'_, PyAny>>,
        group_rows: Option<usize>,
    ) -> PyResult<Self> {
        if places.is_some() && scenario.is_some() {
            return Err(refused(
                "places and scenario are both given: the places are those of a file or the seats \
                 of a scenario",
            ));
        }
        let text = |file: Option<File>, remedy| file.map(|file| file.text(remedy)).transpose();
        let places = text(places, "give the path of a CSV or GeoJSON file of places")?;
        let ports = text(ports, "give the path of a CSV file of harmonic constants")?;
        let scenario = match scenario {
            Some(given) => Some(scenario_of(&given)?),
            None if places.is_none() => Some(Py::new(py, Scenario::demo()?)?),
            None => None,
        };
        let defaults = Request::default();
        let when = match instants {
            Some(_) if start.is_some() || end.is_some() || step.is_some() => {
                return Err(refused(
                    "instants are given, and start, end or step too: give one or the other",
                ));
            }
            Some(instants) => When::Given(listed(&Instants::read("instants", &instants)?)?),
            None => When::Steps {
                from: start.map(|at| written("start", &at)).transpose()?,
                to: end.map(|at| written("end", &at)).transpose()?,
                step: step.map_or(Ok(SignedDuration::from_mins(10)), |step| {
                    duration("step", &step)
                })?,
            },
        };
        let near_turn =
            near_turn.map_or(Ok(defaults.near_turn), |near| duration("near_turn", &near))?;
        let arguments = PyDict::new(py);
        let pair = |text: &Text| (text.name.to_string_lossy().into_owned(), text.text.clone());
        arguments.set_item("places", places.as_ref().map(pair))?;
        arguments.set_item("ports", ports.as_ref().map(pair))?;
        arguments.set_item("port", &port)?;
        arguments.set_item("scenario", &scenario)?;
        arguments.set_item("place", &place)?;
        arguments.set_item("subject", &subject)?;
        arguments.set_item("light", &light)?;
        arguments.set_item("sun_altitude_deg", sun_altitude_deg)?;
        arguments.set_item("light_angle_deg", light_angle_deg)?;
        arguments.set_item("zone", &zone)?;
        arguments.set_item("near_turn", near_turn.to_string())?;
        arguments.set_item("group_rows", group_rows)?;
        let request = Request {
            places,
            ports,
            port,
            scenario: scenario.map(|scenario| scenario.get().checked.clone()),
            place,
            subject,
            light,
            experience: None,
            sun_altitude_deg,
            light_angle_deg,
            when,
            zone,
            near_turn,
            group_rows: group_rows.unwrap_or(defaults.group_rows),
        };
        let table = py
            .detach(|| Table::new(request.spec()?))
            .map_err(of_table)?;
        match table.spec().instants {
            TableInstants::Regular {
                start_ms,
                step_ms,
                count,
            } => {
                let at = |ms: i64| py.import("numpy")?.call_method1("datetime64", (ms, "ms"));
                arguments.set_item("start", at(start_ms)?)?;
                arguments.set_item("end", at(start_ms + step_ms * count as i64)?)?;
                let step = SignedDuration::from_millis(step_ms).to_string();
                arguments.set_item("step", step)?;
            }
            TableInstants::Listed(ref list) => {
                let list = numpy::PyArray1::from_slice(py, list);
                arguments.set_item("instants", list.call_method1("view", ("datetime64[ms]",))?)?;
            }
        }
        Ok(Self {
            table: Arc::new(table),
            arguments: arguments.unbind(),
        })
    }

    #[getter]
    fn num_rows(&self) -> u64 {
        self.table.rows()
    }

    #[getter]
    fn fingerprint(&self, py: Python<'_>) -> String {
        py.detach(|| self.table.fingerprint())
    }

    #[getter]
    fn schema(&self) -> TableSchema {
        TableSchema(self.table.batches().schema())
    }

    #[getter]
    fn columns(&self, py: Python<'_>) -> PyResult<Vec<Py<PyAny>>> {
        let column = |column: &schema::Column| {
            let fields = (
                column.name,
                column.kind.describe(),
                column.unit,
                column.nullable,
                column.meaning,
            );
            Ok(tuple(py, "Column", fields)?.unbind())
        };
        schema::COLUMNS.iter().map(column).collect()
    }

    #[getter]
    fn cautions(&self) -> Vec<&'static str> {
        cautions::ALL.to_vec()
    }

    #[pyo3(signature = (rows = 1_000_000))]
    fn parts(&self, py: Python<'_>, rows: u64) -> PyResult<Vec<Py<PyAny>>> {
        let parts = self.table.parts(rows).map_err(of_table)?;
        let part = |part: &Part| {
            let fields = (
                part.instants_cut,
                part.places_cut,
                (part.instants.start, part.instants.end),
                (part.places.start, part.places.end),
            );
            Ok(tuple(py, "Part", fields)?.unbind())
        };
        parts.iter().map(part).collect()
    }

    fn part(&self, py: Python<'_>, part: Cuts) -> PyResult<PartOfTable> {
        let part = part_of(part);
        let (schema, batches) = py
            .detach(|| {
                let batches = self.table.batches_of(&part)?;
                Ok((batches.schema(), batches.collect::<Result<Vec<_>, _>>()?))
            })
            .map_err(of_table)?;
        Ok(PartOfTable { schema, batches })
    }

    #[pyo3(signature = (part, format = "parquet"))]
    fn encode_part(&self, py: Python<'_>, part: Cuts, format: &str) -> PyResult<Vec<u8>> {
        let (part, format) = (part_of(part), format_of(format)?);
        py.detach(|| encode_part(&self.table, &part, format))
            .map_err(of_table)
    }

    #[pyo3(signature = (path, part, *, restart = false))]
    fn write_part(
        &self,
        py: Python<'_>,
        path: PathBuf,
        part: Cuts,
        restart: bool,
    ) -> PyResult<u64> {
        let format = Format::of_path(&path).ok_or_else(|| {
            refused(format!(
                "path \"{}\" tells no format: end it in .parquet, .arrow, .arrows, .csv or .jsonl",
                path.display()
            ))
        })?;
        let part = part_of(part);
        py.detach(|| {
            let output = Output::File { path, restart };
            write_part(&self.table, &part, format, 1, output, &mut |_| true)
        })
        .map_err(of_table)?;
        Ok(part.rows())
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let reopen = py.import("wrackline._table")?.getattr("reopen")?;
        let arguments = (self.fingerprint(py), self.arguments.bind(py)).into_pyobject(py)?;
        Ok((reopen, arguments))
    }

    fn __eq__(&self, py: Python<'_>, other: &Self) -> bool {
        self.fingerprint(py) == other.fingerprint(py)
    }

    fn __repr__(&self, py: Python<'_>) -> String {
        let spec = self.table.spec();
        format!(
            "<VisibilityTable {}: {} places at {} instants>",
            self.fingerprint(py),
            spec.places.spots.len(),
            spec.instants.len()
        )
    }
}

/// The rows of a part, computed, for any library that takes a stream of Arrow.
#[pyclass(frozen, module = "wrackline")]
#[derive(Debug)]
pub(crate) struct PartOfTable {
    schema: SchemaRef,
    batches: Vec<RecordBatch>,
}

#[pymethods]
impl PartOfTable {
    #[getter]
    fn num_rows(&self) -> usize {
        self.batches.iter().map(RecordBatch::num_rows).sum()
    }

    #[pyo3(signature = (requested_schema = None))]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyCapsule>> {
        // The protocol lets a producer that has one schema keep to it.
        let _ = requested_schema;
        let batches = self.batches.clone().into_iter().map(Ok);
        let reader = RecordBatchIterator::new(batches, Arc::clone(&self.schema));
        let stream = FFI_ArrowArrayStream::new(Box::new(reader));
        PyCapsule::new_with_value(py, stream, c"arrow_array_stream")
    }

    fn __arrow_c_schema__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyCapsule>> {
        TableSchema(Arc::clone(&self.schema)).__arrow_c_schema__(py)
    }
}

/// The columns of a table, for any library that takes a schema of Arrow.
#[pyclass(frozen, module = "wrackline")]
#[derive(Debug)]
pub(crate) struct TableSchema(SchemaRef);

#[pymethods]
impl TableSchema {
    fn __arrow_c_schema__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyCapsule>> {
        let schema = FFI_ArrowSchema::try_from(&*self.0).map_err(refused)?;
        PyCapsule::new_with_value(py, schema, c"arrow_schema")
    }
}

fn part_of((instants_cut, places_cut, instants, places): Cuts) -> Part {
    Part {
        instants_cut,
        places_cut,
        instants: instants.0..instants.1,
        places: places.0..places.1,
    }
}

fn format_of(word: &str) -> PyResult<Format> {
    match word {
        "parquet" => Ok(Format::Parquet),
        "arrow" => Ok(Format::Arrow),
        "arrow-stream" => Ok(Format::ArrowStream),
        "csv" => Ok(Format::Csv),
        "jsonl" => Ok(Format::Jsonl),
        _ => Err(refused(format!(
            "format \"{word}\" is not known: give parquet, arrow, arrow-stream, csv or jsonl"
        ))),
    }
}

fn scenario_of(given: &Bound<'_, PyAny>) -> PyResult<Py<Scenario>> {
    if let Ok(scenario) = given.cast::<Scenario>() {
        return Ok(scenario.clone().unbind());
    }
    let scenario = given.py().get_type::<Scenario>().call1((given,))?;
    Ok(scenario.cast_into::<Scenario>()?.unbind())
}

/// An instant as the request writes it. A bare date or civil time in a text is for the request to
/// read, in its zone.
fn written(name: &str, at: &Bound<'_, PyAny>) -> PyResult<String> {
    match at.extract::<String>() {
        Ok(text) => Ok(text),
        Err(_) => Ok(instant(name, at)?.to_string()),
    }
}

/// A length of time: a text such as 10m, or a `timedelta`.
fn duration(name: &str, from: &Bound<'_, PyAny>) -> PyResult<SignedDuration> {
    let remedy = "give a text such as \"10m\" or \"30s\", or a timedelta";
    let wrong = || match from.repr() {
        Ok(shown) => refused(format!("{name} is {shown}: {remedy}")),
        Err(error) => error,
    };
    if let Ok(text) = from.extract::<String>() {
        return text.parse().map_err(|_| wrong());
    }
    let part = |part: &str| from.getattr(part).and_then(|part| part.extract::<i64>());
    match (part("days"), part("seconds"), part("microseconds")) {
        (Ok(days), Ok(seconds), Ok(microseconds)) => {
            let whole = SignedDuration::from_secs(days.saturating_mul(86_400));
            Ok(whole
                .saturating_add(SignedDuration::from_secs(seconds))
                .saturating_add(SignedDuration::from_micros(microseconds)))
        }
        _ => Err(wrong()),
    }
}

/// Instants in rising order, each on a whole millisecond.
fn listed(instants: &Instants) -> PyResult<TableInstants> {
    let mut list: Vec<i64> = Vec::with_capacity(instants.given().len());
    for (index, at) in instants.given().listed().iter().enumerate() {
        let ms = at.as_millisecond();
        let problem = if at.subsec_nanosecond() % 1_000_000 != 0 {
            "has a fraction of a millisecond: round it"
        } else if list.last().is_some_and(|last| *last >= ms) {
            "is not later than the instant before it: sort them and leave out what is there twice"
        } else {
            list.push(ms);
            continue;
        };
        return Err(refused(format!("instants[{index}] {problem}")));
    }
    if list.is_empty() {
        return Err(refused("instants holds no instant: give at least one"));
    }
    Ok(TableInstants::Listed(list))
}
