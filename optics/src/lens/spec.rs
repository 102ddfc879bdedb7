//! What is told of a bare lens.

/// The figures that describe a bare lens.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LensSpec {
    /// Focal length with the focus at infinity, in millimetres, above zero.
    pub focal_length_mm: f64,
    /// The f-number set, with the focus at infinity, above zero.
    pub f_number: f64,
    /// The nearest subject in focus, in metres **from the sensor plane**, as makers state it; above
    /// zero.
    ///
    /// Within four focal lengths (and the separation of the principal planes) a lens focuses only
    /// if it shortens its focal length on the way:
    /// [`Lens::breathing_to`](super::Lens::breathing_to) takes such a lens, with the magnification
    /// that it reaches there.
    pub minimum_focus_m: f64,
    /// Diameter of the exit pupil over that of the entrance pupil, 0.05 to 20; 1 if unknown.
    #[cfg_attr(feature = "serde", serde(default = "one"))]
    pub pupil_magnification: f64,
    /// Signed separation of the principal planes in millimetres, front to rear, positive when the
    /// front one comes first; 0 if unknown. At most two focal lengths either way.
    #[cfg_attr(feature = "serde", serde(default))]
    pub principal_separation_mm: f64,
}

#[cfg(feature = "serde")]
pub(super) fn one() -> f64 {
    1.0
}

impl LensSpec {
    /// A thin lens to be filled in: pupils of equal size, principal planes in one place. The three
    /// figures that every lens has are zero here, which [`Lens::new`](super::Lens::new) refuses, so
    /// that none of them can be forgotten in silence.
    ///
    /// ```
    /// use wrackline_optics::{Lens, LensSpec};
    /// let lens = Lens::new(LensSpec {
    ///     focal_length_mm: 600.0,
    ///     f_number: 4.0,
    ///     minimum_focus_m: 4.3,
    ///     ..LensSpec::THIN
    /// })?;
    /// assert_eq!(lens.entrance_pupil_mm(), 150.0);
    /// assert!(
    ///     Lens::new(LensSpec {
    ///         focal_length_mm: 600.0,
    ///         f_number: 4.0,
    ///         ..LensSpec::THIN
    ///     })
    ///     .is_err()
    /// );
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    pub const THIN: Self = Self {
        focal_length_mm: 0.0,
        f_number: 0.0,
        minimum_focus_m: 0.0,
        pupil_magnification: 1.0,
        principal_separation_mm: 0.0,
    };

    /// The same figures with the nearest minimum focus of a lens that is moved as a whole: that of
    /// life size.
    #[must_use]
    pub fn to_life_size(self) -> Self {
        Self {
            minimum_focus_m: (4.0 * self.focal_length_mm + self.principal_separation_mm) / 1000.0,
            ..self
        }
    }
}

/// A pair from a lens's data sheet: the magnification at a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ClosePair {
    /// Distance from the sensor plane in metres, above zero.
    pub distance_m: f64,
    /// Image size over subject size at that distance, above zero.
    pub magnification: f64,
}

/// How a lens that is known by its surfaces is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LensSetting {
    /// The f-number with the focus at infinity, above zero.
    pub f_number: f64,
    /// The nearest subject in focus, in metres from the sensor plane, above zero.
    pub minimum_focus_m: f64,
}
