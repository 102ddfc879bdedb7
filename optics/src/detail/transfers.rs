//! What each blur leaves of a pattern, and which of them takes most.

use core::fmt;

/// A blur in the way from subject to picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Limit {
    /// The spacing of the pixels: finer patterns alias.
    Sampling,
    /// The size of the pupil.
    Diffraction,
    /// The lens's aberrations (or, where it was measured, the whole of it).
    Lens,
    /// The converter's aberrations.
    Converter,
    /// The size of the pixels.
    Pixel,
    /// The colour mosaic.
    Mosaic,
    /// The subject's motion.
    Motion,
    /// The hand.
    Hand,
    /// The air.
    Air,
}

/// "pixel spacing", "diffraction" and so on: what to name as the cause.
impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Sampling => "pixel spacing",
            Self::Diffraction => "diffraction",
            Self::Lens => "lens",
            Self::Converter => "converter",
            Self::Pixel => "pixel size",
            Self::Mosaic => "mosaic",
            Self::Motion => "motion",
            Self::Hand => "hand",
            Self::Air => "air",
        })
    }
}

/// What each blur leaves of the contrast at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Transfers {
    /// Of diffraction; 1 where the lens was measured, since the measurement holds it.
    pub diffraction: f64,
    /// Of the lens's aberrations, or of the measured lens.
    pub lens: f64,
    /// Of the converter's aberrations.
    pub converter: f64,
    /// Of the pixels.
    pub pixel: f64,
    /// Of the colour mosaic.
    pub mosaic: f64,
    /// Of the subject's motion.
    pub motion: f64,
    /// Of the hand.
    pub hand: f64,
    /// Of the air.
    pub air: f64,
}

impl Transfers {
    /// The contrast that is left of all.
    #[must_use]
    pub fn product(&self) -> f64 {
        self.diffraction
            * self.lens
            * self.converter
            * self.pixel
            * self.mosaic
            * self.motion
            * self.hand
            * self.air
    }

    /// The blur that takes most.
    #[must_use]
    pub fn strongest(&self) -> Limit {
        let each = [
            (Limit::Lens, self.lens),
            (Limit::Converter, self.converter),
            (Limit::Pixel, self.pixel),
            (Limit::Mosaic, self.mosaic),
            (Limit::Motion, self.motion),
            (Limit::Hand, self.hand),
            (Limit::Air, self.air),
        ];
        let diffraction = (Limit::Diffraction, self.diffraction);
        each.into_iter()
            .fold(
                diffraction,
                |least, one| if one.1 < least.1 { one } else { least },
            )
            .0
    }
}
