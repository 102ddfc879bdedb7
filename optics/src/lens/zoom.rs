//! Zooms: a range of focal lengths, known by its two ends.

use core::ops::RangeInclusive;

use crate::error::{Error, Result, Valid};
use crate::lens::{Lens, LensSpec};

/// The two ends of a zoom.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ZoomEnds {
    /// The lens at its shortest focal length.
    pub shortest: Lens,
    /// The lens at its longest focal length.
    pub longest: Lens,
}

/// A lens with a range of focal lengths.
///
/// Makers state the two ends. In between f-number, minimum focus, greatest magnification, pupils
/// and principal planes are taken to run in a straight line over the focal length: our default,
/// without a source.
///
/// ```
/// use wrackline_optics::{Lens, LensSpec, Zoom, ZoomEnds};
/// let end = |focal_length_mm, f_number| {
///     Lens::new(LensSpec { focal_length_mm, f_number, minimum_focus_m: 2.6, ..LensSpec::THIN })
/// };
/// let zoom = Zoom::new(ZoomEnds { shortest: end(200.0, 5.6)?, longest: end(600.0, 6.4)? })?;
/// assert!((zoom.at_mm(400.0)?.f_number() - 6.0).abs() < 1e-12);
/// assert!(zoom.at_mm(700.0).is_err());
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "ZoomEnds", into = "ZoomEnds"))]
pub struct Zoom {
    ends: ZoomEnds,
}

impl Zoom {
    /// A zoom from its two ends.
    ///
    /// # Errors
    /// [`Error::NotRising`] unless the longest focal length is longer than the shortest.
    pub fn new(ends: ZoomEnds) -> Result<Self> {
        let (lower, upper) = (
            ends.shortest.focal_length_mm(),
            ends.longest.focal_length_mm(),
        );
        if upper > lower {
            Ok(Self { ends })
        } else {
            Err(Error::NotRising {
                what: "longest focal length",
                lower,
                upper,
                unit: "mm",
            })
        }
    }

    /// The two ends.
    #[must_use]
    pub fn ends(&self) -> ZoomEnds {
        self.ends
    }

    /// The focal lengths in millimetres, from the shortest to the longest.
    #[must_use]
    pub fn focal_lengths_mm(&self) -> RangeInclusive<f64> {
        self.ends.shortest.focal_length_mm()..=self.ends.longest.focal_length_mm()
    }

    /// The lens at one of its focal lengths.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a focal length outside the range; those of [`Lens::breathing_to`]
    /// where the ends focus inside in so different ways that there is no lens between them.
    pub fn at_mm(&self, focal_length_mm: f64) -> Result<Lens> {
        let ZoomEnds { shortest, longest } = self.ends;
        let range = self.focal_lengths_mm();
        let focal_length_mm = Valid {
            what: "focal length of the zoom",
            lowest: *range.start(),
            highest: *range.end(),
            unit: "mm",
        }
        .check(focal_length_mm)?;
        for end in [shortest, longest] {
            if focal_length_mm == end.focal_length_mm() {
                return Ok(end);
            }
        }
        let part = (focal_length_mm - range.start()) / (range.end() - range.start());
        let between = |of: &dyn Fn(&Lens) -> f64| {
            let (one, other) = (of(&shortest), of(&longest));
            one + (other - one) * part
        };
        let spec = LensSpec {
            focal_length_mm,
            f_number: between(&Lens::f_number),
            minimum_focus_m: between(&|lens| lens.spec().minimum_focus_m),
            pupil_magnification: between(&|lens| lens.spec().pupil_magnification),
            principal_separation_mm: between(&|lens| lens.spec().principal_separation_mm),
        };
        let largest = between(&Lens::largest_magnification);
        if shortest.breathes() || longest.breathes() {
            Lens::breathing_to(spec, largest)
        } else if largest >= 1.0 {
            Lens::new(spec.to_life_size())?.reaching(largest)
        } else {
            Lens::new(spec)
        }
    }
}

impl TryFrom<ZoomEnds> for Zoom {
    type Error = Error;

    fn try_from(ends: ZoomEnds) -> Result<Self> {
        Self::new(ends)
    }
}

impl From<Zoom> for ZoomEnds {
    fn from(zoom: Zoom) -> Self {
        zoom.ends
    }
}
