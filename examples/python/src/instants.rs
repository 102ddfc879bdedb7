//! Instants on their way in and out.

use std::borrow::Cow;
use std::ops::Range;

use jiff::{SignedDuration, Timestamp};
use numpy::{PyArray1, PyReadonlyArray1};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::{PyDateTime, PyList, PyString, PyTuple, PyTzInfo};
use wrackline_plan::time::read_instant;

use crate::units::{Unfit, Unit};

/// What stands for a missing instant in NumPy.
const NOT_A_TIME: i64 = i64::MIN;

/// Instants as a caller gave them, at least none, and the shape of the array that they came in.
pub(crate) struct Instants {
    given: Given,
    shape: Py<PyTuple>,
}

/// Instants, told apart by whether they are evenly spaced: then there is no need to look at each.
pub(crate) enum Given {
    /// Two or more at equal steps above zero.
    Even {
        start: Timestamp,
        step: SignedDuration,
        count: usize,
    },
    /// Any, in any order.
    Listed(Vec<Timestamp>),
}

impl Instants {
    /// Reads instants: an array of `datetime64`, or texts and aware `datetime`s, one or many.
    pub(crate) fn read(name: &str, from: &Bound<'_, PyAny>) -> PyResult<Self> {
        let py = from.py();
        let alone = PyTuple::empty(py).unbind();
        if let Some(at) = one(name, from)? {
            let given = Given::Listed(vec![at]);
            return Ok(Self {
                given,
                shape: alone,
            });
        }
        if let Ok(list) = from.cast::<PyList>()
            && let Some(first) = list.iter().next()
            && one(&format!("{name}[0]"), &first)?.is_some()
        {
            let given = Given::Listed(each(name, list)?);
            let shape = PyTuple::new(py, [list.len()])?.unbind();
            return Ok(Self { given, shape });
        }
        let array = py.import("numpy")?.call_method1("asarray", (from,))?;
        let kind: String = array.getattr("dtype")?.getattr("kind")?.extract()?;
        let shape = array.getattr("shape")?.cast_into::<PyTuple>()?.unbind();
        let flat = array.call_method0("ravel")?;
        let given = if kind == "M" {
            counted(name, &flat)?
        } else {
            Given::Listed(each(name, flat.call_method0("tolist")?.cast::<PyList>()?)?)
        };
        Ok(Self { given, shape })
    }

    pub(crate) fn given(&self) -> &Given {
        &self.given
    }

    /// Gives an array of results the shape in which the instants came.
    pub(crate) fn shaped<'py, T: numpy::Element>(
        &self,
        py: Python<'py>,
        values: Vec<T>,
    ) -> PyResult<Bound<'py, PyAny>> {
        PyArray1::from_vec(py, values).call_method1("reshape", (self.shape.bind(py),))
    }

    /// One figure of each result, in the shape in which the instants came.
    pub(crate) fn column<'py, R: Sync>(
        &self,
        py: Python<'py>,
        results: &[R],
        figure: fn(&R) -> f64,
    ) -> PyResult<Bound<'py, PyAny>> {
        let values: Vec<f64> = py.detach(|| results.iter().map(figure).collect());
        self.shaped(py, values)
    }
}

impl Given {
    pub(crate) fn len(&self) -> usize {
        match self {
            Self::Even { count, .. } => *count,
            Self::Listed(list) => list.len(),
        }
    }

    /// From the first to the last in time and a second more, since a span leaves its end out;
    /// `None` without an instant.
    pub(crate) fn span(&self) -> Option<Range<Timestamp>> {
        let (first, last) = match self {
            Self::Even { start, count, .. } => (*start, self.at(count - 1).unwrap_or(*start)),
            Self::Listed(list) => (*list.iter().min()?, *list.iter().max()?),
        };
        let end = last.saturating_add(SignedDuration::from_secs(1));
        Some(first..end.unwrap_or(last))
    }

    fn at(&self, index: usize) -> Option<Timestamp> {
        match self {
            Self::Even { start, step, .. } => {
                let length = step.checked_mul(i32::try_from(index).ok()?)?;
                start.checked_add(length).ok()
            }
            Self::Listed(list) => list.get(index).copied(),
        }
    }

    /// All of them one by one.
    pub(crate) fn listed(&self) -> Cow<'_, [Timestamp]> {
        match self {
            Self::Even { count, .. } => (0..*count).filter_map(|index| self.at(index)).collect(),
            Self::Listed(list) => list.into(),
        }
    }

    /// Whether a curve over their span is dearer to prepare than so many instants are to work out
    /// singly, where a day of it costs as much as `instants_a_day` of them.
    pub(crate) fn are_sparse(&self, instants_a_day: f64) -> bool {
        let days = self.span().map_or(0.0, |span| {
            span.end.duration_since(span.start).as_secs_f64() / 86_400.0
        });
        days * instants_a_day > self.len() as f64 || self.len() < 2
    }
}

/// One instant: the start of a span, say.
pub(crate) fn instant(name: &str, from: &Bound<'_, PyAny>) -> PyResult<Timestamp> {
    let read = Instants::read(name, from)?;
    if read.given.len() != 1 {
        return Err(PyValueError::new_err(format!(
            "{name} holds {} instants: give one",
            read.given.len()
        )));
    }
    read.given
        .at(0)
        .ok_or_else(|| PyValueError::new_err(format!("{name} holds no instant: give one")))
}

/// A span from its two ends.
pub(crate) fn span(start: &Bound<'_, PyAny>, end: &Bound<'_, PyAny>) -> PyResult<Range<Timestamp>> {
    Ok(instant("start", start)?..instant("end", end)?)
}

/// Instants as `datetime64[us]`; what is finer falls away.
pub(crate) fn give(
    py: Python<'_>,
    instants: impl Iterator<Item = Timestamp>,
) -> PyResult<Bound<'_, PyAny>> {
    let counts: Vec<i64> = instants
        .map(|at| at.as_nanosecond().div_euclid(1000) as i64)
        .collect();
    PyArray1::from_vec(py, counts).call_method1("view", ("datetime64[us]",))
}

fn wrong(name: &str, what: impl std::fmt::Display, remedy: &str) -> PyErr {
    PyValueError::new_err(format!("{name} {what}: {remedy}"))
}

/// A text or a `datetime`, or neither.
fn one(name: &str, from: &Bound<'_, PyAny>) -> PyResult<Option<Timestamp>> {
    if let Ok(text) = from.cast::<PyString>() {
        let at = read_instant(text.to_cow()?.as_ref(), None);
        return at.map(Some).map_err(|error| {
            let remedy = error.remedy().replace(", or give --zone", "");
            PyValueError::new_err(format!("{name}: {}: {remedy}", error.what()))
        });
    }
    let Ok(at) = from.cast::<PyDateTime>() else {
        return Ok(None);
    };
    let py = from.py();
    if at.ne(at)? {
        return Err(wrong(name, "is NaT", "give an instant"));
    }
    if at.call_method0("utcoffset")?.is_none() {
        let what = format!("is {at}, a datetime without a zone");
        return Err(wrong(
            name,
            what,
            "give one that is aware, such as with tzinfo=timezone.utc",
        ));
    }
    let epoch = PyDateTime::new(py, 1970, 1, 1, 0, 0, 0, 0, Some(&*PyTzInfo::utc(py)?))?;
    let since = at.sub(epoch)?;
    let part = |name: &str| since.getattr(name)?.extract::<i128>();
    let seconds = part("days")? * 86_400 + part("seconds")?;
    let mut nanoseconds = seconds * 1_000_000_000 + part("microseconds")? * 1000;
    // Data frames have datetimes that go on below the microsecond.
    if let Some(more) = at.getattr_opt("nanosecond")? {
        nanoseconds += more.extract::<i128>()?;
    }
    checked(name, nanoseconds).map(Some)
}

/// A list of texts and `datetime`s.
fn each(name: &str, list: &Bound<'_, PyList>) -> PyResult<Vec<Timestamp>> {
    let mut instants = Vec::with_capacity(list.len());
    for (index, item) in list.iter().enumerate() {
        let name = format!("{name}[{index}]");
        let Some(at) = one(&name, &item)? else {
            // A datetime64 among other things.
            let dtype = item.getattr_opt("dtype")?;
            let is_instant = match dtype {
                Some(dtype) => dtype.getattr("kind")?.extract::<String>()? == "M",
                None => false,
            };
            if is_instant {
                let flat = item.call_method1("reshape", (1,))?;
                instants.extend_from_slice(&counted(&name, &flat)?.listed());
                continue;
            }
            let what = format!("is {} of type {}", item.repr()?, item.get_type().name()?);
            return Err(wrong(
                &name,
                what,
                "give datetime64, text or an aware datetime",
            ));
        };
        instants.push(at);
    }
    Ok(instants)
}

fn checked(name: &str, nanoseconds: i128) -> PyResult<Timestamp> {
    Timestamp::from_nanosecond(nanoseconds).map_err(|_| beyond(name, nanoseconds))
}

fn beyond(name: &str, nanoseconds: i128) -> PyErr {
    let what = format!("lies {nanoseconds} ns from 1970");
    wrong(name, what, "give an instant of the years -9999 to 9999")
}

/// Years or months beyond which no instant can lie, for units that become days first.
const MOST_YEARS: i64 = 20_000;

/// The counts of a flat array of `datetime64`.
fn counted(name: &str, flat: &Bound<'_, PyAny>) -> PyResult<Given> {
    let py = flat.py();
    let numpy = py.import("numpy")?;
    let unit = |array: &Bound<'_, PyAny>| -> PyResult<(String, i128)> {
        let dtype = array.getattr("dtype")?;
        numpy.call_method1("datetime_data", (dtype,))?.extract()
    };
    let raw = |array: &Bound<'_, PyAny>| -> PyResult<Vec<i64>> {
        let counts = array.call_method1("astype", ("int64",))?;
        let counts: PyReadonlyArray1<'_, i64> = counts.extract()?;
        Ok(counts.as_array().to_vec())
    };
    let at = |index: usize| format!("{name}[{index}]");
    let (mut word, mut many) = unit(flat)?;
    let mut counts = raw(flat)?;
    if let Some(index) = counts.iter().position(|count| *count == NOT_A_TIME) {
        return Err(wrong(&at(index), "is NaT", "give an instant"));
    }
    if word == "Y" || word == "M" {
        let most = MOST_YEARS * if word == "M" { 12 } else { 1 };
        let far = |count: &i64| i128::from(*count).abs() * many > i128::from(most);
        if let Some(index) = counts.iter().position(far) {
            let what = format!("lies {} {word} from 1970", i128::from(counts[index]) * many);
            let remedy = "give an instant of the years -9999 to 9999";
            return Err(wrong(&at(index), what, remedy));
        }
        let days = flat.call_method1("astype", ("datetime64[D]",))?;
        counts = raw(&days)?;
        (word, many) = ("D".to_owned(), 1);
    }
    if counts.is_empty() {
        return Ok(Given::Listed(Vec::new()));
    }
    let Some(unit) = Unit::named(&word, many) else {
        let what = format!("has the unit \"{word}\"");
        return Err(wrong(name, what, "give datetime64 with a unit of time"));
    };
    let of = |index: usize, count: i64| {
        let unfit = |unfit| match unfit {
            Unfit::Finer => wrong(&at(index), "is finer than a nanosecond", "round it"),
            Unfit::Beyond(nanoseconds) => beyond(&at(index), nanoseconds),
        };
        unit.instant(count).map_err(unfit)
    };
    if let [first, second, .., last] = counts[..]
        && let Some(step) = second.checked_sub(first).filter(|step| *step > 0)
        && counts
            .windows(2)
            .all(|pair| pair[1].wrapping_sub(pair[0]) == step)
    {
        let start = of(0, first)?;
        of(1, second)?;
        let end = of(counts.len() - 1, last)?;
        let length = end.duration_since(start).as_nanos();
        let step = SignedDuration::from_nanos_i128(length / (counts.len() as i128 - 1));
        return Ok(Given::Even {
            start,
            step,
            count: counts.len(),
        });
    }
    let each = counts.iter().enumerate();
    let list: PyResult<Vec<_>> =
        py.detach(|| each.map(|(index, count)| of(index, *count)).collect());
    list.map(Given::Listed)
}
