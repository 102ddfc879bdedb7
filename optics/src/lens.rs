//! The bare lens: what is engraved on it, where its pupils lie, and how it focuses.
//!
//! # Relations
//! With f the focal length, m = |image / subject|, P the diameter of the exit pupil over that of
//! the entrance pupil and HH the separation of the principal planes, Newton's form of the lens
//! equation puts the subject f(1 + 1/m) before the front and the sensor f(1 + m) behind the rear
//! principal plane. Hence
//!
//! * distance of the subject from the sensor plane D = f(2 + m + 1/m) + HH, never less than 4f +
//!   HH;
//! * backwards, X = (D - HH)/f ≥ 4 and m = 2 / (X - 2 + √(X(X - 4))), a form free of cancellation;
//!   the other, macro, root is 1/m;
//! * distance of the subject from the entrance pupil u = f(1/m + 1/P).
//!
//! Sources: S. F. Ray, *Applied Photographic Optics*, 3rd ed. (2002), lens conjugates and pupil
//! magnification; E. Hecht, *Optics*, 5th ed. (2017), ch. 6 (thick lens). The relations were
//! checked against ray traces of published prescriptions.

#[cfg(feature = "serde")]
mod form;
mod spec;
mod zoom;

pub use spec::{ClosePair, LensSetting, LensSpec};
pub use zoom::{Zoom, ZoomEnds};

use crate::error::{Error, Result, Valid, positive};
use crate::ray::Cardinals;

/// The two magnifications at which a lens focuses at one distance from the sensor plane.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Conjugates {
    /// The lens stands nearer to the sensor: the usual one, at most 1.
    pub magnification: f64,
    /// The lens stands nearer to the subject: its reciprocal.
    pub macro_magnification: f64,
}

/// A bare lens, focused by moving it as a whole unless [`breathing`](Self::breathing) says
/// otherwise.
///
/// ```
/// use wrackline_optics::{Lens, LensSpec};
/// let spec = LensSpec {
///     focal_length_mm: 600.0,
///     f_number: 4.0,
///     minimum_focus_m: 4.3,
///     ..LensSpec::THIN
/// };
/// let lens = Lens::new(spec)?;
/// assert_eq!(lens.entrance_pupil_mm(), 150.0);
/// assert!(
///     Lens::new(LensSpec {
///         f_number: 0.0,
///         ..spec
///     })
///     .is_err()
/// );
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "form::LensForm", into = "form::LensForm")
)]
pub struct Lens {
    spec: LensSpec,
    /// Change of the focal length for each unit of magnification, in millimetres; zero when the
    /// lens moves as a whole.
    breathing_mm: f64,
    /// The greatest magnification that the focusing mechanism reaches.
    largest_magnification: f64,
}

impl Lens {
    /// A lens from its figures.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a focal length, f-number or minimum focus that is not finite and
    /// above zero; [`Error::OutOfRange`] for a pupil magnification outside 0.05 to 20 or a
    /// separation of the principal planes beyond two focal lengths;
    /// [`Error::MinimumFocusNeedsMagnification`] for a minimum focus within four focal lengths.
    pub fn new(spec: LensSpec) -> Result<Self> {
        let lens = Self::checked(spec)?;
        let (minimum_m, nearest_m) = (spec.minimum_focus_m, lens.nearest_image_m());
        // The rounding of 4f in a caller's metres is forgiven.
        if minimum_m < nearest_m * (1.0 - 1e-9) {
            return Err(Error::MinimumFocusNeedsMagnification {
                minimum_m,
                nearest_m,
            });
        }
        Ok(Self {
            largest_magnification: lens.small_root(minimum_m * 1000.0),
            ..lens
        })
    }

    /// A lens that reaches this magnification at its stated minimum focus, which may lie within
    /// four focal lengths: what makers state of lenses that focus inside. See
    /// [`breathing`](Self::breathing) for what is taken to happen in between.
    ///
    /// ```
    /// use wrackline_optics::{Lens, LensSpec};
    /// let macro_lens = LensSpec {
    ///     focal_length_mm: 100.0,
    ///     f_number: 2.8,
    ///     minimum_focus_m: 0.3,
    ///     ..LensSpec::THIN
    /// };
    /// assert!(Lens::new(macro_lens).is_err());
    /// let lens = Lens::breathing_to(macro_lens, 1.0)?;
    /// assert_eq!(lens.largest_magnification(), 1.0);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// Those of [`new`](Self::new) but for the last, and those of [`breathing`](Self::breathing).
    pub fn breathing_to(spec: LensSpec, magnification: f64) -> Result<Self> {
        Self::checked(spec)?.breathing(ClosePair {
            distance_m: spec.minimum_focus_m,
            magnification,
        })
    }

    /// A lens whose figures are valid each by itself, and that reaches life size.
    fn checked(spec: LensSpec) -> Result<Self> {
        let focal_mm = positive("focal length", spec.focal_length_mm, "mm")?;
        positive("f-number", spec.f_number, "")?;
        positive("minimum focus", spec.minimum_focus_m, "m")?;
        PUPILS.check(spec.pupil_magnification)?;
        Valid {
            what: "separation of the principal planes",
            lowest: -2.0 * focal_mm,
            highest: 2.0 * focal_mm,
            unit: "mm",
        }
        .check(spec.principal_separation_mm)?;
        Ok(Self {
            spec,
            breathing_mm: 0.0,
            largest_magnification: 1.0,
        })
    }

    /// A thick lens traced from its surfaces or groups; `setting` gives what a prescription does
    /// not hold.
    ///
    /// # Errors
    /// Those of [`Lens::new`].
    pub fn of_cardinals(cardinals: &Cardinals, setting: LensSetting) -> Result<Self> {
        crate::ray::forming(cardinals)?;
        Self::new(LensSpec {
            focal_length_mm: cardinals.focal_length_mm,
            f_number: setting.f_number,
            minimum_focus_m: setting.minimum_focus_m,
            pupil_magnification: cardinals.pupil_magnification,
            principal_separation_mm: cardinals.principal_separation_mm,
        })
    }

    /// The same lens with a focal length that changes in proportion to the magnification, so that
    /// it reaches `closest` at its minimum focus (which `closest` replaces).
    ///
    /// Makers state minimum focus and greatest magnification but not the focal length in between;
    /// the straight line is a common-practice assumption without a source. The entrance pupil is
    /// taken to keep its diameter, as front groups do that stay in place. The separation of the
    /// principal planes is taken to stay.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance or magnification that is not finite and above zero, or
    /// a distance within the separation of the principal planes; [`Error::OutOfRange`] when the
    /// focal length would have to leave a tenth to twice its value at infinity; [`Error::Recedes`]
    /// when the subject would have to recede again on the way.
    pub fn breathing(&self, closest: ClosePair) -> Result<Self> {
        let magnification = positive("magnification at minimum focus", closest.magnification, "")?;
        let close_mm = self.focal_length_at_mm(closest)?;
        let focal_mm = self.spec.focal_length_mm;
        Valid {
            what: "focal length at minimum focus",
            lowest: 0.1 * focal_mm,
            highest: 2.0 * focal_mm,
            unit: "mm",
        }
        .check(close_mm)?;
        let breathing_mm = (close_mm - focal_mm) / magnification;
        // D'(m) = (1 + m)(f (m - 1)/m² + 2b) must stay below zero; (m - 1)/m² rises up to m = 2.
        let steepest = magnification.min(2.0);
        let recede = focal_mm * (steepest - 1.0) / (steepest * steepest) + 2.0 * breathing_mm;
        if recede > 0.0 {
            return Err(Error::Recedes {
                magnification,
                distance_m: closest.distance_m,
            });
        }
        Ok(Self {
            spec: LensSpec {
                minimum_focus_m: closest.distance_m,
                ..self.spec
            },
            breathing_mm,
            largest_magnification: magnification,
        })
    }

    /// The same lens, moved as a whole, with a focusing mechanism that reaches the given
    /// magnification. It takes the place of the minimum focus, which becomes the distance of that
    /// magnification, or of 1:1 where the subject recedes past it.
    ///
    /// For macro lenses that pass 1:1, whose minimum distance says nothing about their greatest
    /// magnification.
    ///
    /// # Errors
    /// [`Error::NotPositive`] unless `magnification` is finite and above zero.
    pub fn reaching(&self, magnification: f64) -> Result<Self> {
        let largest = positive("greatest magnification", magnification, "")?;
        let mut lens = Self {
            breathing_mm: 0.0,
            largest_magnification: largest,
            ..*self
        };
        lens.spec.minimum_focus_m = lens.distance_mm(largest.min(1.0), 0.0) / 1000.0;
        Ok(lens)
    }

    /// The same lens set to another f-number.
    ///
    /// # Errors
    /// [`Error::NotPositive`] unless the f-number is finite and above zero.
    pub fn stopped_to(self, f_number: f64) -> Result<Self> {
        let f_number = positive("f-number", f_number, "")?;
        Ok(Self {
            spec: LensSpec {
                f_number,
                ..self.spec
            },
            ..self
        })
    }

    /// The figures of this lens.
    #[must_use]
    pub fn spec(&self) -> LensSpec {
        self.spec
    }

    /// Focal length with the focus at infinity, in millimetres.
    #[must_use]
    pub fn focal_length_mm(&self) -> f64 {
        self.spec.focal_length_mm
    }

    /// The f-number with the focus at infinity.
    #[must_use]
    pub fn f_number(&self) -> f64 {
        self.spec.f_number
    }

    /// Diameter of the entrance pupil in millimetres: what gathers the light and what limits the
    /// detail.
    #[must_use]
    pub fn entrance_pupil_mm(&self) -> f64 {
        self.spec.focal_length_mm / self.spec.f_number
    }

    /// The greatest magnification that the focusing mechanism reaches, without accessories.
    #[must_use]
    pub fn largest_magnification(&self) -> f64 {
        self.largest_magnification
    }

    /// The nearest distance from the sensor plane at which optics of this focal length form an
    /// image: 4f + HH, in metres.
    #[must_use]
    pub fn nearest_image_m(&self) -> f64 {
        self.spec.to_life_size().minimum_focus_m
    }

    /// The magnifications at which a lens that keeps its focal length focuses at `distance_m` from
    /// the sensor plane.
    ///
    /// It asks the optics alone; the minimum focus plays no part.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance that is not finite and above zero;
    /// [`Error::CloserThanFourFocalLengths`] where no image exists.
    pub fn conjugates_at_m(&self, distance_m: f64) -> Result<Conjugates> {
        let distance_m = positive("distance", distance_m, "m")?;
        let ratio =
            (distance_m * 1000.0 - self.spec.principal_separation_mm) / self.spec.focal_length_mm;
        // At four focal lengths the rounding of the caller's metres must not decide.
        if ratio < 4.0 - 1e-12 {
            return Err(Error::CloserThanFourFocalLengths {
                distance_m,
                nearest_m: self.nearest_image_m(),
            });
        }
        let magnification = self.small_root(distance_m * 1000.0);
        Ok(Conjugates {
            magnification,
            macro_magnification: 1.0 / magnification,
        })
    }

    /// The focal length, in millimetres, that a lens must have to show a subject at
    /// `pair.distance_m` at `pair.magnification`: what a data sheet reveals of its breathing. Uses
    /// this lens's separation of the principal planes.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance or magnification that is not finite and above zero, or
    /// a distance within the separation of the principal planes.
    pub fn focal_length_at_mm(&self, pair: ClosePair) -> Result<f64> {
        let distance_mm = positive("distance", pair.distance_m, "m")? * 1000.0;
        let m = positive("magnification", pair.magnification, "")?;
        let between = positive(
            "distance less the separation of the principal planes",
            distance_mm - self.spec.principal_separation_mm,
            "mm",
        )?;
        Ok(between / (2.0 + m + 1.0 / m))
    }

    /// The focal length with the focusing mechanism set to magnification `setting`.
    pub(crate) fn focal_at_setting_mm(&self, setting: f64) -> f64 {
        self.spec.focal_length_mm + self.breathing_mm * setting
    }

    /// Whether the focal length changes with the focus.
    pub(crate) fn breathes(&self) -> bool {
        self.breathing_mm != 0.0
    }

    /// D of a magnification, in millimetres, for a lens whose mechanism is set to `setting`.
    pub(crate) fn distance_mm(&self, magnification: f64, setting: f64) -> f64 {
        self.focal_at_setting_mm(setting) * (2.0 + magnification + 1.0 / magnification)
            + self.spec.principal_separation_mm
    }

    /// The root at most 1 of m + 1/m = X - 2 for a focal length that stays; 1 where X is 4 or less.
    pub(crate) fn small_root(&self, distance_mm: f64) -> f64 {
        let x = (distance_mm - self.spec.principal_separation_mm) / self.spec.focal_length_mm;
        2.0 / (x - 2.0 + libm::sqrt((x * (x - 4.0)).max(0.0)))
    }
}

const PUPILS: Valid = Valid {
    what: "pupil magnification",
    lowest: 0.05,
    highest: 20.0,
    unit: "",
};
