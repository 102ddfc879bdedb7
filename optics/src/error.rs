//! Every way in which an input can be refused.

use alloc::string::String;
use core::fmt;

/// Why a value was refused: what was given, what would be valid, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A quantity that must be positive and finite is not. (One beyond 1e-12 to 1e12 in its unit is
    /// [`OutOfRange`](Self::OutOfRange).)
    #[error("{what} {} is out of range: give a finite value above zero", Shown(*.value, .unit))]
    NotPositive {
        /// The quantity, in words.
        what: &'static str,
        /// The value that was given.
        value: f64,
        /// The unit of the value; empty for a plain number.
        unit: &'static str,
    },
    /// A quantity lies outside the range in which it has a meaning.
    #[error(
        "{what} {} is out of range: give {} to {}",
        Shown(*.value, .unit), Shown(*.lowest, ""), Shown(*.highest, .unit)
    )]
    OutOfRange {
        /// The quantity, in words.
        what: &'static str,
        /// The value that was given.
        value: f64,
        /// The least valid value.
        lowest: f64,
        /// The greatest valid value.
        highest: f64,
        /// The unit of the three values; empty for a plain number.
        unit: &'static str,
    },
    /// Figures that must rise do not.
    #[error(
        "{what} {} follows {}: give figures that rise",
        Shown(*.upper, .unit), Shown(*.lower, .unit)
    )]
    NotRising {
        /// The quantity, in words.
        what: &'static str,
        /// The figure that comes first.
        lower: f64,
        /// The one after it, which should be greater.
        upper: f64,
        /// The unit of both; empty for a plain number.
        unit: &'static str,
    },
    /// One thing was stated in two ways that do not agree.
    #[error(
        "{what} {} does not agree with the other figures, which make it {}: correct one of them \
         or leave it out",
        Shown(*.value, .unit), Shown(*.implied, .unit)
    )]
    Contradiction {
        /// The quantity, in words.
        what: &'static str,
        /// The value that was given.
        value: f64,
        /// The value that follows from the others.
        implied: f64,
        /// The unit of both; empty for a plain number.
        unit: &'static str,
    },
    /// A minimum focus that no lens of fixed focal length reaches.
    #[error(
        "minimum focus {} is nearer than four focal lengths (and the principal planes' \
         separation), {} m: tell the \
         magnification there, since such a lens shortens its focal length, or give {1} m or more",
        Shown(*.minimum_m, "m"), Up(*.nearest_m)
    )]
    MinimumFocusNeedsMagnification {
        /// The minimum focus that was stated.
        minimum_m: f64,
        /// The least distance at which optics of this focal length form an image.
        nearest_m: f64,
    },
    /// A lens that changes its focal length would pass its nearest subject before it reaches the
    /// stated magnification.
    #[error(
        "magnification {} at minimum focus {}: on the way there the subject would come nearer \
         than that and recede \
         again, so give the magnification at the nearest distance",
        Shown(*.magnification, ""), Shown(*.distance_m, "m")
    )]
    Recedes {
        /// The magnification that was stated.
        magnification: f64,
        /// The distance from the sensor plane that was stated with it.
        distance_m: f64,
    },
    /// No lens of this focal length forms a sharp image so near to its sensor.
    #[error(
        "no sharp image exists at {}: subject and sensor are never nearer than four focal \
         lengths (and the principal \
         planes' separation), so step back to {} m",
        Shown(*.distance_m, "m"), Up(*.nearest_m)
    )]
    CloserThanFourFocalLengths {
        /// The distance from the sensor plane that was asked for.
        distance_m: f64,
        /// The least distance at which the lens, or the kit with its minimum focus, forms an image.
        nearest_m: f64,
    },
    /// The subject is nearer than the focusing mechanism reaches.
    #[error(
        "{} is nearer than the minimum focus: step back to {} m{remedy}",
        Shown(*.distance_m, "m"), Up(*.minimum_m)
    )]
    NearerThanMinimumFocus {
        /// The distance from the sensor plane that was asked for.
        distance_m: f64,
        /// The nearest distance from the sensor plane that the kit focuses at.
        minimum_m: f64,
        /// What would help beside stepping back, in words that go on from there; empty where
        /// nothing does.
        remedy: &'static str,
    },
    /// An extension tube takes away the far end of the focusing range.
    #[error(
        "{} is beyond the farthest focus with this extension tube: go no farther than {} m or \
         take the tube off",
        Distance(*.distance_m), Down(*.farthest_m)
    )]
    FartherThanTubeAllows {
        /// The distance from the sensor plane that was asked for; infinite when infinity was asked
        /// for.
        distance_m: f64,
        /// The farthest distance from the sensor plane that the kit focuses at.
        farthest_m: f64,
    },
    /// At none of its distances does the kit have that depth of field.
    #[error(
        "depth of field {} is out of this kit's reach, which goes from {} to {}: change the \
         f-number or the circle of \
         confusion",
        Shown(*.depth_m, "m"), Distance(*.shallowest_m), Distance(*.deepest_m)
    )]
    DepthOutOfReach {
        /// The depth that was asked for.
        depth_m: f64,
        /// The least depth, at the nearest focus; infinite where even that reaches to infinity.
        shallowest_m: f64,
        /// The greatest depth; infinite unless a tube keeps the kit near.
        deepest_m: f64,
    },
    /// The kit cannot make the image of the subject that large (or that small, with a tube).
    #[error(
        "magnification {} is out of this kit's reach: give {} to {}",
        Shown(*.magnification, ""), Up(*.smallest), Down(*.largest)
    )]
    MagnificationOutOfReach {
        /// The magnification that was asked for.
        magnification: f64,
        /// The least magnification of the kit: zero without a tube.
        smallest: f64,
        /// The greatest magnification of the kit.
        largest: f64,
    },
    /// What goes into a batch and the room for what comes out differ in length.
    #[error("{given} are given and there is room for {room}: give as many of one as of the other")]
    Lengths {
        /// How many are given.
        given: usize,
        /// For how many there is room.
        room: usize,
    },
    /// A word that stands for nothing.
    #[error("{given:?} is no {what}: give {expected}")]
    UnknownWord {
        /// What was looked for.
        what: &'static str,
        /// The word as given, its beginning if it is long.
        given: String,
        /// What would be understood.
        expected: &'static str,
    },
    /// A list of surfaces is empty.
    #[error("the list holds no surface: give at least one")]
    NoSurface,
    /// A lens has no aperture stop, or several.
    #[error("{count} surfaces hold the aperture stop: let exactly one hold it")]
    Stops {
        /// How many surfaces hold it.
        count: usize,
    },
    /// A figure of a surface lies outside the range in which it has a meaning.
    #[error(
        "surface {number}: {what} {} is out of range: give {} to {}",
        Shown(*.value, .unit), Shown(*.lowest, ""), Shown(*.highest, .unit)
    )]
    Surface {
        /// The surface's place in the list, from 1 on.
        number: usize,
        /// The quantity, in words.
        what: &'static str,
        /// The value that was given.
        value: f64,
        /// The least valid value.
        lowest: f64,
        /// The greatest valid value.
        highest: f64,
        /// The unit of the three values; empty for a plain number.
        unit: &'static str,
    },
    /// A row of surfaces or groups focuses nowhere, or shows its stop at infinity.
    #[error(
        "surfaces with a focal length of {} focus nowhere or show their stop at infinity: change \
         a gap or a power",
        Shown(*.focal_length_mm, "mm")
    )]
    NoFocus {
        /// The focal length, infinite for a row that does not focus.
        focal_length_mm: f64,
    },
    /// A converter group leaves no real image behind itself.
    #[error(
        "a converter of focal length {} placed {} before the lens's focus forms no real image: \
         place it more than 0 mm \
         and less than {} before the focus",
        Shown(*.focal_length_mm, "mm"), Shown(*.before_focus_mm, "mm"), Shown(*.limit_mm, "mm")
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

/// A number as it was given, with its unit if it has one: in full, but never as a row of hundreds
/// of digits.
struct Shown<'a>(f64, &'a str);

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(value, unit) = *self;
        let size = value.abs();
        if size == 0.0 || (1e-6..1e10).contains(&size) || !size.is_finite() {
            write!(f, "{value}")?;
        } else {
            write!(f, "{value:e}")?;
        }
        if unit.is_empty() {
            Ok(())
        } else {
            write!(f, " {unit}")
        }
    }
}

/// A distance that may be infinite.
struct Distance(f64);

impl fmt::Display for Distance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 == f64::INFINITY {
            f.write_str("infinity")
        } else {
            Shown(self.0, "m").fmt(f)
        }
    }
}

/// A computed limit from below, in six digits: rounded up, so that who follows the advice is not
/// refused again.
struct Up(f64);

impl fmt::Display for Up {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Shown(six_digits(self.0, libm::ceil), "").fmt(f)
    }
}

/// A computed limit from above, in six digits, rounded down.
struct Down(f64);

impl fmt::Display for Down {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Shown(six_digits(self.0, libm::floor), "").fmt(f)
    }
}

/// A positive value to six significant digits.
fn six_digits(value: f64, round: fn(f64) -> f64) -> f64 {
    if !(value.is_finite() && value > 0.0) {
        return value;
    }
    let digits = 5 - libm::floor(libm::log10(value)) as i32;
    // Powers with positive exponents are exact up to 22, their inverses are not: divide where the
    // digits stand after the point.
    let power = libm::pow(10.0, f64::from(digits.abs()));
    // What is a whole number but for rounding stays that number.
    let whole = |scaled: f64| {
        let nearest = libm::round(scaled);
        if (scaled - nearest).abs() < 1e-6 {
            nearest
        } else {
            round(scaled)
        }
    };
    let rounded = if digits >= 0 {
        whole(value * power) / power
    } else {
        whole(value / power) * power
    };
    if rounded.is_finite() { rounded } else { value }
}

/// Refuses a batch whose two sides differ in length.
pub(crate) fn same_length(given: usize, room: usize) -> Result<()> {
    if given == room {
        Ok(())
    } else {
        Err(Error::Lengths { given, room })
    }
}

/// `value` if it is above zero and of a size that a photograph can have to do with: 1e-12 to 1e12
/// in its unit, so that no product of valid values overflows.
pub(crate) fn positive(what: &'static str, value: f64, unit: &'static str) -> Result<f64> {
    if value.is_finite() && value > 0.0 {
        Valid {
            what,
            lowest: 1e-12,
            highest: 1e12,
            unit,
        }
        .check(value)
    } else {
        Err(Error::NotPositive { what, value, unit })
    }
}

/// A closed range of valid values, with the words to refuse what lies outside it.
pub(crate) struct Valid {
    pub(crate) what: &'static str,
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
                what: self.what,
                value,
                lowest: self.lowest,
                highest: self.highest,
                unit: self.unit,
            })
        }
    }
}
