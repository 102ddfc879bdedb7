//! The chain of blurs, and the finest pattern that comes through it.

use crate::air::Seeing;
use crate::detail::diffraction::{Diffraction, DiffractionSpec, diffraction_transfer};
use crate::detail::quality::{LensQuality, Mosaic, Wavefront};
use crate::detail::sampling::box_transfer;
use crate::detail::transfers::{Limit, Transfers};
use crate::error::{Result, Valid, positive};
use crate::kit::{Focused, Kit};
use crate::wave::FREQUENCY;

/// The figures that every chain has.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ChainSpec {
    /// The working f-number, converter included, above zero.
    pub f_number: f64,
    /// The wavelength in micrometres, 0.1 to 20.
    pub wavelength_um: f64,
    /// The pitch of the pixels in micrometres, above zero.
    pub pixel_pitch_um: f64,
}

/// The chain of blurs between the subject and the picture: at first a perfect lens on pixels
/// without a mosaic.
///
/// ```
/// use wrackline_optics::{Chain, ChainSpec};
/// let chain = Chain::new(ChainSpec { f_number: 4.0, wavelength_um: 0.55, pixel_pitch_um: 3.76 })?;
/// let half = chain.frequency_at_contrast(0.5)?;
/// assert!((half - 113.049).abs() < 1e-3);
/// assert!((chain.transfers(half)?.product() - 0.5).abs() < 1e-9);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    cutoff_lp_per_mm: f64,
    pitch_mm: f64,
    converter_factor: f64,
    lens: LensQuality,
    converter: Wavefront,
    mosaic: Mosaic,
    motion_mm: f64,
    hand_mm: f64,
    /// The frequency at which the air leaves 1/e of the contrast.
    air_lp_per_mm: Option<f64>,
}

impl Chain {
    /// A perfect lens on pixels.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for an f-number or pitch that is not
    /// finite and above zero; [`Error::OutOfRange`](crate::Error::OutOfRange) for a wavelength
    /// outside 0.1 to 20 µm.
    pub fn new(spec: ChainSpec) -> Result<Self> {
        let ChainSpec {
            f_number,
            wavelength_um,
            pixel_pitch_um,
        } = spec;
        let diffraction = Diffraction::new(DiffractionSpec {
            f_number,
            wavelength_um,
        })?;
        Ok(Self {
            cutoff_lp_per_mm: diffraction.cutoff_lp_per_mm(),
            pitch_mm: positive("pixel pitch", pixel_pitch_um, "um")? / 1000.0,
            converter_factor: 1.0,
            lens: LensQuality::Wavefront(Wavefront::PERFECT),
            converter: Wavefront::PERFECT,
            mosaic: Mosaic::None,
            motion_mm: 0.0,
            hand_mm: 0.0,
            air_lp_per_mm: None,
        })
    }

    /// The perfect chain of a focused kit, with its working f-number and its pixels.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a wavelength outside 0.1 to 20 µm.
    pub fn of(kit: &Kit, focused: &Focused, wavelength_um: f64) -> Result<Self> {
        let spec = ChainSpec {
            f_number: focused.working_f_number(),
            wavelength_um,
            pixel_pitch_um: focused.sensor().pixel_pitch_um(),
        };
        Ok(Self {
            converter_factor: kit.factor(),
            ..Self::new(spec)?
        })
    }

    /// The same chain with a lens of this quality.
    #[must_use]
    pub fn with_lens(self, lens: LensQuality) -> Self {
        Self { lens, ..self }
    }

    /// The same chain with a converter of this quality.
    #[must_use]
    pub fn with_converter(self, converter: Wavefront) -> Self {
        Self { converter, ..self }
    }

    /// The same chain with a colour mosaic.
    #[must_use]
    pub fn with_mosaic(self, mosaic: Mosaic) -> Self {
        Self { mosaic, ..self }
    }

    /// The same chain with a blur of this many pixels from the subject's motion.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a blur that is negative or not finite.
    pub fn with_motion_px(self, pixels: f64) -> Result<Self> {
        Ok(Self {
            motion_mm: BLUR.check(pixels)? * self.pitch_mm,
            ..self
        })
    }

    /// The same chain with a blur of this many pixels from the hand.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a blur that is negative or not finite.
    pub fn with_hand_px(self, pixels: f64) -> Result<Self> {
        Ok(Self {
            hand_mm: BLUR.check(pixels)? * self.pitch_mm,
            ..self
        })
    }

    /// The same chain seen through air.
    #[must_use]
    pub fn with_air(self, focused: &Focused, seeing: &Seeing) -> Self {
        let cycles_per_rad = seeing.e_folding_cycles_per_rad();
        Self {
            air_lp_per_mm: Some(cycles_per_rad / focused.millimetres_per_radian()),
            ..self
        }
    }

    /// The finest pattern that the pixels carry without aliasing, in line pairs per millimetre on
    /// the sensor.
    #[must_use]
    pub fn nyquist_lp_per_mm(&self) -> f64 {
        0.5 / self.pitch_mm
    }

    /// Where diffraction ends every pattern, in line pairs per millimetre on the sensor.
    #[must_use]
    pub fn cutoff_lp_per_mm(&self) -> f64 {
        self.cutoff_lp_per_mm
    }

    /// What each blur leaves of the contrast at a frequency on the sensor.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a frequency outside 0 to 1e12.
    pub fn transfers(&self, lp_per_mm: f64) -> Result<Transfers> {
        Ok(self.left_of(Self::checked_frequency(lp_per_mm)?))
    }

    pub(crate) fn checked_frequency(lp_per_mm: f64) -> Result<f64> {
        FREQUENCY.check(lp_per_mm)
    }

    fn left_of(&self, lp_per_mm: f64) -> Transfers {
        let relative = lp_per_mm / self.cutoff_lp_per_mm;
        let (diffraction, lens) = match &self.lens {
            LensQuality::Wavefront(wavefront) => {
                (diffraction_transfer(relative), wavefront.left_of(relative))
            }
            LensQuality::Measured(measured) => {
                let t = self.converter_factor;
                (
                    1.0,
                    measured.transfer(lp_per_mm * t, self.cutoff_lp_per_mm * t),
                )
            }
        };
        let periods = lp_per_mm * self.pitch_mm;
        Transfers {
            diffraction,
            lens,
            converter: self.converter.left_of(relative),
            pixel: box_transfer(periods),
            mosaic: self.mosaic.transfer(periods),
            motion: box_transfer(lp_per_mm * self.motion_mm),
            hand: box_transfer(lp_per_mm * self.hand_mm),
            air: self.air_lp_per_mm.map_or(1.0, |scale| {
                libm::exp(-libm::pow(lp_per_mm / scale, 5.0 / 3.0))
            }),
        }
    }

    /// The lowest frequency, in line pairs per millimetre on the sensor, at which no more than
    /// `contrast` is left: 0.5 gives the MTF50, 0.1 the MTF10. It may lie beyond what the pixels
    /// carry.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a contrast outside 0.001 to 0.999.
    pub fn frequency_at_contrast(&self, contrast: f64) -> Result<f64> {
        let contrast = Valid {
            what: "contrast",
            lowest: 0.001,
            highest: 0.999,
            unit: "",
        }
        .check(contrast)?;
        let left = |lp_per_mm: f64| self.left_of(lp_per_mm).product() - contrast;
        // Diffraction ends at the cut-off and each box has its first zero at one period: no later
        // than there is the crossing. The air scales with its 1/e frequency; beyond 4.2 of them
        // less than 0.001 is left.
        let boxes = self.pitch_mm.max(self.motion_mm).max(self.hand_mm);
        let air = self
            .air_lp_per_mm
            .map_or(f64::INFINITY, |scale| 4.2 * scale);
        let end = self.cutoff_lp_per_mm.min(1.0 / boxes).min(air);
        // Walk up, so that the first crossing is found even where an aberration lets contrast rise
        // again.
        let step = end / f64::from(STEPS);
        let mut low = 0.0;
        let mut high = end;
        for number in 1..=STEPS {
            let here = f64::from(number) * step;
            if left(here) <= 0.0 {
                high = here;
                break;
            }
            low = here;
        }
        Ok(falling_root(left, low, high))
    }

    /// The finest pattern at the subject of which a share of the contrast is left, bounded by the
    /// pixels.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a contrast outside 0.001 to 0.999.
    pub fn resolved(&self, focused: &Focused, contrast: f64) -> Result<Resolved> {
        let blurred = self.frequency_at_contrast(contrast)?;
        let nyquist = self.nyquist_lp_per_mm();
        let (lp_per_mm, limit) = if blurred > nyquist {
            (nyquist, Limit::Sampling)
        } else {
            (blurred, self.left_of(blurred).strongest())
        };
        Ok(Resolved {
            on_sensor_lp_per_mm: lp_per_mm,
            at_subject_lp_per_mm: lp_per_mm * focused.magnification(),
            limit,
        })
    }
}

const BLUR: Valid = Valid {
    what: "length of a blur",
    lowest: 0.0,
    highest: 1e18,
    unit: "px",
};

/// Steps in the walk to the first crossing. The only factors that can rise are an aberration's
/// (over a whole cut-off) and a box's beyond its first zero, which the walk never passes, so that a
/// rise is many steps wide.
const STEPS: u32 = 24;

/// The root of a falling function between a point where it is positive (or the origin) and one
/// where it is not.
fn falling_root(excess: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (mut low, mut high) = (low, high);
    let (mut above, mut below) = (excess(low), excess(high));
    // The Illinois form of the rule of false position: as safe as halving, and much quicker.
    let mut kept_low = false;
    let mut kept_high = false;
    for _ in 0..100 {
        let middle = (low * below - high * above) / (below - above);
        if !(middle > low && middle < high) || high - low <= 1e-13 * high {
            break;
        }
        let here = excess(middle);
        if here == 0.0 {
            return middle;
        }
        if here > 0.0 {
            (low, above) = (middle, here);
            if kept_high {
                below *= 0.5;
            }
            (kept_high, kept_low) = (true, false);
        } else {
            (high, below) = (middle, here);
            if kept_low {
                above *= 0.5;
            }
            (kept_low, kept_high) = (true, false);
        }
    }
    // The end that is nearer to the root.
    if above.abs() < below.abs() { low } else { high }
}

/// The finest pattern of which a chosen share of the contrast is left.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Resolved {
    /// In line pairs per millimetre on the sensor.
    pub on_sensor_lp_per_mm: f64,
    /// In line pairs per millimetre at the subject.
    pub at_subject_lp_per_mm: f64,
    /// What stands in the way of finer ones.
    pub limit: Limit,
}

impl Resolved {
    /// Lines (dark ones) per centimetre of subject.
    #[must_use]
    pub fn lines_per_cm(&self) -> f64 {
        10.0 * self.at_subject_lp_per_mm
    }
}
