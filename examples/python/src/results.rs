//! Results as the named tuples of the package, which Python code can unpack, compare and pickle.

use pyo3::prelude::*;
use pyo3::sync::PyOnceLock;
use pyo3::types::{PyModule, PyTuple};

/// Where the named tuples are defined.
const MODULE: &str = "wrackline._results";

static RESULTS: PyOnceLock<Py<PyModule>> = PyOnceLock::new();

/// Makes a named tuple from its fields in order.
pub(crate) fn tuple<'py, F>(py: Python<'py>, name: &str, fields: F) -> PyResult<Bound<'py, PyAny>>
where
    F: IntoPyObject<'py, Target = PyTuple, Output = Bound<'py, PyTuple>>,
    PyErr: From<F::Error>,
{
    let module = RESULTS.get_or_try_init(py, || py.import(MODULE).map(Bound::unbind))?;
    module
        .bind(py)
        .getattr(name)?
        .call1(fields.into_pyobject(py)?)
}

/// A document of JSON as the objects of Python.
pub(crate) fn json<'py>(py: Python<'py>, text: &str) -> PyResult<Bound<'py, PyAny>> {
    py.import("json")?.call_method1("loads", (text,))
}
