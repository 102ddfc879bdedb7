//! Published coefficients and observed values, with their sources; no code.

#[allow(clippy::approx_constant, reason = "the phases are as published")]
pub(crate) mod earth;
pub(crate) mod earth_rotation;
#[allow(clippy::approx_constant, reason = "the phases are as published")]
pub(crate) mod moon;
pub(crate) mod nutation;
