//! Light as a wave, and the patterns that it carries: which wavelengths and frequencies have a
//! meaning here.

use crate::error::Valid;

/// Green light, 0.55 µm: where the eye and the sensor see best.
pub const GREEN_UM: f64 = 0.55;

pub(crate) const WAVELENGTH: Valid = Valid {
    what: "wavelength",
    lowest: 0.1,
    highest: 20.0,
    unit: "um",
};

/// Zero is an even surface, of which everything leaves all the contrast.
pub(crate) const FREQUENCY: Valid = Valid {
    what: "frequency of the pattern",
    lowest: 0.0,
    highest: 1e12,
    unit: "lp/mm",
};
