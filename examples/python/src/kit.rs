//! Lens, converter and sensor, and a claim of reach.

use numpy::{PyArray1, PyReadonlyArray1};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use wrackline_optics::{
    Assumptions, CircleOfConfusion, Claim, ClaimSpec, Converter, Error, ExtensionTube, Focused,
    FrameShare, Lens, LensSpec, Scene, SceneSpec, Sensor, SensorSpec,
};
use wrackline_plan::reach::{KitForm, Question, Rival, SubjectForm};
use wrackline_show::reach;

use crate::errors::refused;
use crate::results::{json, tuple};

/// A lens on a sensor, with what is between them.
#[pyclass(frozen, eq, module = "wrackline")]
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Kit(wrackline_optics::Kit);

#[pymethods]
impl Kit {
    #[new]
    #[pyo3(signature = (
        focal_length_mm, f_number, *, minimum_focus_m, sensor_mm, pixels, converter = None,
        tube_mm = None, pupil_magnification = 1.0, principal_separation_mm = 0.0
    ))]
    #[allow(clippy::too_many_arguments)] // Python names them.
    fn new(
        focal_length_mm: f64,
        f_number: f64,
        minimum_focus_m: f64,
        sensor_mm: (f64, f64),
        pixels: (u32, u32),
        converter: Option<f64>,
        tube_mm: Option<f64>,
        pupil_magnification: f64,
        principal_separation_mm: f64,
    ) -> PyResult<Self> {
        let lens = Lens::new(LensSpec {
            focal_length_mm,
            f_number,
            minimum_focus_m,
            pupil_magnification,
            principal_separation_mm,
        })
        .map_err(refused)?;
        let converter = converter.map(Converter::new).transpose().map_err(refused)?;
        let tube = tube_mm.map(ExtensionTube::new).transpose();
        let kit = wrackline_optics::Kit::new(lens, converter, sensor(sensor_mm, pixels)?);
        Ok(Self(match tube.map_err(refused)? {
            Some(tube) => kit.with_tube(tube),
            None => kit,
        }))
    }

    #[getter]
    fn focal_length_mm(&self) -> f64 {
        self.0.focal_length_mm()
    }

    #[getter]
    fn effective_f_number(&self) -> f64 {
        self.0.effective_f_number()
    }

    #[getter]
    fn minimum_focus_m(&self) -> f64 {
        self.0.minimum_focus_m()
    }

    fn __getnewargs_ex__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyTuple>, Bound<'py, PyDict>)> {
        let (lens, sensor) = (self.0.lens().spec(), self.0.sensor());
        let named = PyDict::new(py);
        named.set_item("minimum_focus_m", lens.minimum_focus_m)?;
        named.set_item("sensor_mm", (sensor.width_mm(), sensor.height_mm()))?;
        named.set_item("pixels", (sensor.columns(), sensor.rows()))?;
        named.set_item("converter", self.0.converter().map(Converter::factor))?;
        named.set_item("tube_mm", self.0.tube().map(ExtensionTube::length_mm))?;
        named.set_item("pupil_magnification", lens.pupil_magnification)?;
        named.set_item("principal_separation_mm", lens.principal_separation_mm)?;
        Ok((
            PyTuple::new(py, [lens.focal_length_mm, lens.f_number])?,
            named,
        ))
    }

    fn __repr__(&self) -> String {
        format!("<Kit: {}>", self.form().name)
    }

    fn frame_share<'py>(
        &self,
        subject_m: f64,
        distance_m: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        self.at_each(distance_m, |focused| focused.frame_share(subject_m))
    }

    fn pixels_along<'py>(
        &self,
        subject_m: f64,
        distance_m: &Bound<'py, PyAny>,
    ) -> PyResult<Bound<'py, PyAny>> {
        self.at_each(distance_m, |focused| focused.pixels_along(subject_m))
    }

    fn distance_for_share(&self, subject_m: f64, share: f64) -> PyResult<f64> {
        self.0
            .distance_for_share(FrameShare { subject_m, share })
            .map_err(refused)
    }

    #[pyo3(signature = (distance_m, *, circle_mm = None, circle_pixels = None))]
    fn depth_of_field<'py>(
        &self,
        py: Python<'py>,
        distance_m: f64,
        circle_mm: Option<f64>,
        circle_pixels: Option<f64>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let circle = match (circle_mm, circle_pixels) {
            (Some(diameter_mm), None) => CircleOfConfusion::absolute_mm(diameter_mm),
            (None, Some(number)) => CircleOfConfusion::pixels(self.0.sensor(), number),
            _ => {
                return Err(refused(
                    "what passes for a point is a choice: give either circle_mm or circle_pixels",
                ));
            }
        };
        let focused = self.0.focused_at_m(distance_m).map_err(refused)?;
        let zone = focused.depth_of_field(circle.map_err(refused)?);
        let fields = (
            zone.near_m,
            zone.far.distance_m(),
            zone.in_front_m,
            zone.behind.distance_m(),
            zone.total.distance_m(),
        );
        tuple(py, "DepthOfField", fields)
    }

    /// Judges the claim that this kit reaches like another lens.
    #[pyo3(signature = (
        focal_length_mm, f_number, *, length_m, height_m, distance_m, sensor_mm = None,
        pixels = None
    ))]
    #[allow(clippy::too_many_arguments)] // Python names them.
    fn reaches_like<'py>(
        &self,
        py: Python<'py>,
        focal_length_mm: f64,
        f_number: f64,
        length_m: f64,
        height_m: f64,
        distance_m: f64,
        sensor_mm: Option<(f64, f64)>,
        pixels: Option<(u32, u32)>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let reference = match (sensor_mm, pixels) {
            (Some(sides), Some(pixels)) => sensor(sides, pixels)?,
            (None, None) => *self.0.sensor(),
            _ => {
                return Err(refused(
                    "a sensor needs both sensor_mm and pixels: give both or neither",
                ));
            }
        };
        let claim = Claim::new(ClaimSpec {
            focal_length_mm,
            f_number,
            reference,
        });
        let subject = SubjectForm { length_m, height_m };
        subject.check().map_err(refused)?;
        let question = Question {
            subject,
            scene: Scene::new(SceneSpec {
                subject_m: length_m,
                distance_m,
                ..SceneSpec::STILL
            })
            .map_err(refused)?,
            first: self.form(),
            rival: Rival::Claim(claim.map_err(refused)?),
            assumptions: Assumptions::default(),
        };
        answer(py, question)
    }
}

impl Kit {
    fn form(&self) -> KitForm {
        KitForm {
            name: String::new(),
            lens: *self.0.lens(),
            tube_mm: self.0.tube().copied(),
            converter: self.0.converter().copied(),
            sensor: *self.0.sensor(),
            measured: None,
        }
        .named()
    }

    /// A figure at one distance as a number, or at many as an array of the same shape.
    fn at_each<'py>(
        &self,
        distance_m: &Bound<'py, PyAny>,
        figure: impl Fn(&Focused) -> Result<f64, Error> + Send + Sync,
    ) -> PyResult<Bound<'py, PyAny>> {
        let py = distance_m.py();
        let one = |distance_m: f64| figure(&self.0.focused_at_m(distance_m)?);
        if let Ok(distance_m) = distance_m.extract::<f64>() {
            let value = one(distance_m).map_err(refused)?;
            return Ok(value.into_pyobject(py)?.into_any());
        }
        let array = py
            .import("numpy")?
            .call_method1("asarray", (distance_m, "float64"))?;
        let flat: PyReadonlyArray1<'_, f64> = array.call_method0("ravel")?.extract()?;
        let distances = flat.as_array().to_vec();
        let values: Result<Vec<f64>, String> = py.detach(|| {
            let each = distances.iter().enumerate();
            each.map(|(index, distance_m)| {
                one(*distance_m).map_err(|error| format!("distance_m[{index}]: {error}"))
            })
            .collect()
        });
        let values = PyArray1::from_vec(py, values.map_err(refused)?);
        values.call_method1("reshape", (array.getattr("shape")?,))
    }
}

fn sensor((width_mm, height_mm): (f64, f64), (columns, rows): (u32, u32)) -> PyResult<Sensor> {
    let spec = SensorSpec {
        width_mm,
        height_mm,
        columns,
        rows,
    };
    Sensor::new(spec).map_err(refused)
}

/// Judges a question of reach, as a file for the program `reach` asks it.
#[pyfunction]
#[pyo3(signature = (question, name = "question"))]
pub(crate) fn judge_reach<'py>(
    py: Python<'py>,
    question: &str,
    name: &str,
) -> PyResult<Bound<'py, PyAny>> {
    answer(py, Question::parse(name, question).map_err(refused)?)
}

fn answer(py: Python<'_>, question: Question) -> PyResult<Bound<'_, PyAny>> {
    let answer = py.detach(|| question.answer()).map_err(refused)?;
    json(py, &reach::json(&answer).map_err(refused)?)
}
