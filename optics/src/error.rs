//! Every way in which an input can be refused.

/// Why a value was refused: what was given, what would be valid, and what to do.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A quantity that must be positive and finite is not. (One beyond 1e-12 to 1e12 in its unit is
    /// [`OutOfRange`](Self::OutOfRange).)
    #[error("{quantity} is {value} {unit}: give a finite value above zero")]
    NotPositive {
        /// The quantity, in words.
        quantity: &'static str,
        /// The value that was given.
        value: f64,
        /// The unit of the value; empty for a plain number.
        unit: &'static str,
    },
    /// A quantity lies outside the range in which it has a meaning.
    #[error("{quantity} is {value} {unit}: give a value from {lowest} to {highest}")]
    OutOfRange {
        /// The quantity, in words.
        quantity: &'static str,
        /// The value that was given.
        value: f64,
        /// The least valid value.
        lowest: f64,
        /// The greatest valid value.
        highest: f64,
        /// The unit of the three values; empty for a plain number.
        unit: &'static str,
    },
    /// No lens of this focal length forms a sharp image so near to its sensor.
    #[error(
        "no sharp image exists at {distance_m} m: subject and sensor are never nearer than four \
         focal lengths (and the principal planes' separation), so step back to {nearest_m} m"
    )]
    CloserThanFourFocalLengths {
        /// The distance from the sensor plane that was asked for.
        distance_m: f64,
        /// The least distance at which the optics form an image.
        nearest_m: f64,
    },
    /// The subject is nearer than the focusing mechanism reaches.
    #[error(
        "{distance_m} m is nearer than the minimum focus: step back to {minimum_m} m or add an extension tube"
    )]
    NearerThanMinimumFocus {
        /// The distance from the sensor plane that was asked for.
        distance_m: f64,
        /// The nearest distance from the sensor plane that the kit focuses at.
        minimum_m: f64,
    },
    /// An extension tube takes away the far end of the focusing range.
    #[error(
        "{distance_m} m is beyond the farthest focus with this extension tube: go no farther than {farthest_m} m or take the tube off"
    )]
    FartherThanTubeAllows {
        /// The distance from the sensor plane that was asked for; infinite when infinity was asked for.
        distance_m: f64,
        /// The farthest distance from the sensor plane that the kit focuses at.
        farthest_m: f64,
    },
    /// The kit cannot make the image of the subject that large (or that small, with a tube).
    #[error(
        "magnification {magnification} is outside what the kit reaches: give a value from {smallest} to {largest}"
    )]
    MagnificationOutOfReach {
        /// The magnification that was asked for.
        magnification: f64,
        /// The least magnification of the kit: zero without a tube.
        smallest: f64,
        /// The greatest magnification of the kit.
        largest: f64,
    },
    /// A list of surfaces is not a lens.
    #[error("surface {number}: {problem}")]
    Surface {
        /// The surface's place in the list, from 1 on; where the whole list is at fault, the number that was counted.
        number: usize,
        /// What must hold.
        problem: &'static str,
    },
    /// A row of surfaces or groups focuses nowhere, or shows its stop at infinity.
    #[error(
        "surfaces with a focal length of {focal_length_mm} mm focus nowhere or show their stop at infinity: change a gap or a power"
    )]
    NoFocus {
        /// The focal length, infinite for a row that does not focus.
        focal_length_mm: f64,
    },
    /// A converter group leaves no real image behind itself.
    #[error(
        "a converter of focal length {focal_length_mm} mm placed {before_focus_mm} mm before the lens's focus \
         forms no real image: place it more than 0 mm and less than {limit_mm} mm before the focus"
    )]
    NoBackFocus {
        /// The focal length of the converter group.
        focal_length_mm: f64,
        /// How far in front of the bare lens's focus the group stands.
        before_focus_mm: f64,
        /// The distance at which the image moves to infinity.
        limit_mm: f64,
    },
}

/// Shorthand for the results of this crate.
pub(crate) type Result<T> = core::result::Result<T, Error>;

/// `value` if it is above zero and of a size that a photograph can have to do with: 1e-12 to 1e12 in its unit, so that no
/// product of valid values overflows.
pub(crate) fn positive(quantity: &'static str, value: f64, unit: &'static str) -> Result<f64> {
    if value.is_finite() && value > 0.0 {
        Valid {
            quantity,
            lowest: 1e-12,
            highest: 1e12,
            unit,
        }
        .check(value)
    } else {
        Err(Error::NotPositive {
            quantity,
            value,
            unit,
        })
    }
}

/// A closed range of valid values, with the words to refuse what lies outside it.
pub(crate) struct Valid {
    pub(crate) quantity: &'static str,
    pub(crate) lowest: f64,
    pub(crate) highest: f64,
    pub(crate) unit: &'static str,
}

impl Valid {
    /// `value` if it lies in the range; NaN never does.
    pub(crate) fn check(&self, value: f64) -> Result<f64> {
        if value >= self.lowest && value <= self.highest {
            Ok(value)
        } else {
            Err(Error::OutOfRange {
                quantity: self.quantity,
                value,
                lowest: self.lowest,
                highest: self.highest,
                unit: self.unit,
            })
        }
    }
}
