//! Detail: how much contrast of a pattern survives its way from the subject into the picture.
//!
//! Each blur passes a pattern of frequency ν with a share of its contrast, its modulation transfer (MTF); the shares multiply.
//! Frequencies are line pairs per millimetre on the sensor; m times that is line pairs per millimetre at the subject.
//!
//! Sources: J. W. Goodman, *Introduction to Fourier Optics* (diffraction MTF, cut-off 1/(λN)); R. R. Shannon, *The Art and
//! Science of Optical Design* (1997) (transfer of an aberrated lens from its rms wavefront error); R. D. Fiete, *Modeling the
//! Imaging Chain* (sampling ratio Q = λN/p).

use alloc::vec::Vec;

use crate::air::Seeing;
use crate::error::{Error, Result, Valid, positive};
use crate::kit::{AtInfinity, Focused, Kit};
use crate::sensor::Sensor;

/// Green light, 0.55 µm: where the eye and the sensor see best.
pub const GREEN_UM: f64 = 0.55;

/// Light of one wavelength through a round aperture.
///
/// ```
/// use wrackline_optics::{Diffraction, DiffractionSpec};
/// let diffraction = Diffraction::new(DiffractionSpec { f_number: 8.0, wavelength_um: 0.55 })?;
/// assert!((diffraction.airy_radius_um() - 5.3665).abs() < 1e-4);
/// assert!((diffraction.cutoff_lp_per_mm() - 227.27).abs() < 1e-2);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "DiffractionSpec", into = "DiffractionSpec")
)]
pub struct Diffraction {
    spec: DiffractionSpec,
}

/// The figures of a diffracting aperture.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct DiffractionSpec {
    /// The working f-number, above zero.
    pub f_number: f64,
    /// The wavelength in micrometres, 0.1 to 20.
    pub wavelength_um: f64,
}

/// Radius of the first dark ring in units of λN: the first zero of the Bessel function J1, over π.
const FIRST_ZERO: f64 = 1.219_669_891_266_504_5;

pub(crate) const WAVELENGTH: Valid = Valid {
    quantity: "wavelength",
    lowest: 0.1,
    highest: 20.0,
    unit: "um",
};

impl Diffraction {
    /// Light through an aperture.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for an f-number that is not finite and above zero; [`Error::OutOfRange`] for a wavelength outside
    /// 0.1 to 20 µm.
    pub fn new(spec: DiffractionSpec) -> Result<Self> {
        positive("f-number", spec.f_number, "")?;
        WAVELENGTH.check(spec.wavelength_um)?;
        Ok(Self { spec })
    }

    /// Radius of the Airy disc (its first dark ring) in micrometres: 1.21967 λN.
    #[must_use]
    pub fn airy_radius_um(&self) -> f64 {
        FIRST_ZERO * self.spec.wavelength_um * self.spec.f_number
    }

    /// Where the contrast of every pattern has gone, in line pairs per millimetre: 1/(λN).
    #[must_use]
    pub fn cutoff_lp_per_mm(&self) -> f64 {
        1000.0 / (self.spec.wavelength_um * self.spec.f_number)
    }

    /// The finest pattern of two points that Rayleigh calls separate, in line pairs per millimetre: 1/(1.21967 λN). About
    /// 9 % of the contrast is left there.
    #[must_use]
    pub fn rayleigh_lp_per_mm(&self) -> f64 {
        self.cutoff_lp_per_mm() / FIRST_ZERO
    }

    /// The share of the contrast that is left at a frequency: 2/π (acos x - x√(1 - x²)) with x the frequency over the cut-off.
    #[must_use]
    pub fn mtf(&self, lp_per_mm: f64) -> f64 {
        diffraction_transfer(lp_per_mm / self.cutoff_lp_per_mm())
    }

    /// The share of a point's light that falls within a radius: 1 - J0²(v) - J1²(v), v = πr/(λN).
    #[must_use]
    pub fn encircled_energy(&self, radius_um: f64) -> f64 {
        let v = core::f64::consts::PI * radius_um.abs()
            / (self.spec.wavelength_um * self.spec.f_number);
        let (j0, j1) = (libm::j0(v), libm::j1(v));
        1.0 - j0 * j0 - j1 * j1
    }

    /// The sampling ratio Q = λN/p: at 2 the pixels take all that the aperture lets through, below it they miss some.
    #[must_use]
    pub fn sampling_ratio(&self, sensor: &Sensor) -> f64 {
        self.spec.wavelength_um * self.spec.f_number / sensor.pixel_pitch_um()
    }
}

impl TryFrom<DiffractionSpec> for Diffraction {
    type Error = Error;

    fn try_from(spec: DiffractionSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Diffraction> for DiffractionSpec {
    fn from(diffraction: Diffraction) -> Self {
        diffraction.spec
    }
}

fn diffraction_transfer(x: f64) -> f64 {
    let x = x.abs();
    if x < 1.0 {
        core::f64::consts::FRAC_2_PI * (libm::acos(x) - x * libm::sqrt(1.0 - x * x))
    } else {
        0.0
    }
}

/// The share of the contrast that a box of a given width leaves: |sin(πx)/(πx)| with x the width in periods.
fn box_transfer(x: f64) -> f64 {
    let angle = core::f64::consts::PI * x;
    if angle.abs() < 1e-8 {
        1.0
    } else {
        (libm::sin(angle) / angle).abs()
    }
}

/// How far a lens falls short of a perfect one: the rms error of its wavefront, in waves.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "f64", into = "f64"))]
pub struct Wavefront {
    rms_waves: f64,
}

impl Wavefront {
    /// A lens without aberrations.
    pub const PERFECT: Self = Self { rms_waves: 0.0 };

    /// A lens with an rms wavefront error, 0 to 0.18 waves: beyond that the formula has no meaning.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 0 to 0.18 waves.
    pub fn new(rms_waves: f64) -> Result<Self> {
        let valid = Valid {
            quantity: "rms wavefront error",
            lowest: 0.0,
            highest: LARGEST_ERROR,
            unit: "waves",
        };
        Ok(Self {
            rms_waves: valid.check(rms_waves)?,
        })
    }

    /// A wavefront that is known to be valid.
    pub(crate) const fn of_waves(rms_waves: f64) -> Self {
        Self { rms_waves }
    }

    /// The rms error in waves.
    #[must_use]
    pub fn rms_waves(&self) -> f64 {
        self.rms_waves
    }

    /// What the aberrations leave of the contrast that diffraction has left, at a frequency over the cut-off:
    /// 1 - (W/0.18)² (1 - 4(x - 1/2)²).
    #[must_use]
    pub fn transfer(&self, relative_frequency: f64) -> f64 {
        let share = self.rms_waves / LARGEST_ERROR;
        let x = relative_frequency.abs().min(1.0) - 0.5;
        1.0 - share * share * (1.0 - 4.0 * x * x)
    }
}

/// The constant of Shannon's formula.
const LARGEST_ERROR: f64 = 0.18;

impl TryFrom<f64> for Wavefront {
    type Error = Error;

    fn try_from(rms_waves: f64) -> Result<Self> {
        Self::new(rms_waves)
    }
}

impl From<Wavefront> for f64 {
    fn from(wavefront: Wavefront) -> Self {
        wavefront.rms_waves
    }
}

/// A point of a measured MTF.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct MtfPoint {
    /// Frequency in line pairs per millimetre at the bare lens's image, above zero.
    pub lp_per_mm: f64,
    /// The share of the contrast, 0 to 1.
    pub contrast: f64,
}

/// The measured MTF of a bare lens, diffraction included: straight lines between the points, from 1 at zero frequency, and
/// from the last point down to nothing at the diffraction cut-off, where every lens ends.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "Vec<MtfPoint>", into = "Vec<MtfPoint>")
)]
pub struct MeasuredMtf {
    points: Vec<MtfPoint>,
}

impl MeasuredMtf {
    /// A measured MTF from its points, frequencies rising.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for an empty table or a frequency that is not finite and above zero; [`Error::OutOfRange`] for a
    /// contrast outside 0 to 1, or a frequency that does not rise above the one before.
    pub fn new(points: Vec<MtfPoint>) -> Result<Self> {
        if points.is_empty() {
            return Err(Error::NotPositive {
                quantity: "number of points of the measured MTF",
                value: 0.0,
                unit: "",
            });
        }
        let mut before = 0.0;
        for point in &points {
            positive("frequency of the measured MTF", point.lp_per_mm, "lp/mm")?;
            Valid {
                quantity: "contrast of the measured MTF",
                lowest: 0.0,
                highest: 1.0,
                unit: "",
            }
            .check(point.contrast)?;
            if point.lp_per_mm <= before {
                return Err(Error::OutOfRange {
                    quantity: "rising frequency of the measured MTF",
                    value: point.lp_per_mm,
                    lowest: before,
                    highest: f64::MAX,
                    unit: "lp/mm",
                });
            }
            before = point.lp_per_mm;
        }
        Ok(Self { points })
    }

    /// The contrast at a frequency of the bare lens's image, for a lens whose diffraction ends at `cutoff_lp_per_mm`.
    fn transfer(&self, lp_per_mm: f64, cutoff_lp_per_mm: f64) -> f64 {
        if lp_per_mm >= cutoff_lp_per_mm {
            return 0.0;
        }
        let start = MtfPoint {
            lp_per_mm: 0.0,
            contrast: 1.0,
        };
        let after = self
            .points
            .partition_point(|point| point.lp_per_mm < lp_per_mm);
        let low = if after == 0 {
            start
        } else {
            self.points[after - 1]
        };
        let end = MtfPoint {
            lp_per_mm: cutoff_lp_per_mm,
            contrast: 0.0,
        };
        let high = self
            .points
            .get(after)
            .copied()
            .filter(|point| point.lp_per_mm < cutoff_lp_per_mm)
            .unwrap_or(end);
        let part = (lp_per_mm - low.lp_per_mm) / (high.lp_per_mm - low.lp_per_mm);
        low.contrast + part * (high.contrast - low.contrast)
    }
}

impl TryFrom<Vec<MtfPoint>> for MeasuredMtf {
    type Error = Error;

    fn try_from(points: Vec<MtfPoint>) -> Result<Self> {
        Self::new(points)
    }
}

impl From<MeasuredMtf> for Vec<MtfPoint> {
    fn from(measured: MeasuredMtf) -> Self {
        measured.points
    }
}

/// What is known of the bare lens's sharpness.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum LensQuality {
    /// An rms wavefront error on top of diffraction.
    Wavefront(Wavefront),
    /// A measurement, diffraction included.
    Measured(MeasuredMtf),
}

/// How colour is sampled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Mosaic {
    /// Every pixel sees every colour.
    None,
    /// Half of the pixels see green, in a chequerboard, and the other half take the mean of their four neighbours: along a row
    /// this passes 3/4 + cos(2πνp)/4 of the contrast. Cleverer reconstruction does better, so this is the cautious end.
    GreenChequerboard,
}

impl Mosaic {
    fn transfer(self, periods_a_pixel: f64) -> f64 {
        match self {
            Self::None => 1.0,
            Self::GreenChequerboard => {
                0.75 + 0.25 * libm::cos(core::f64::consts::TAU * periods_a_pixel)
            }
        }
    }
}

impl Sensor {
    /// The share of the contrast that pixels of full size leave: sin(πνp)/(πνp), across the width.
    #[must_use]
    pub fn pixel_mtf(&self, lp_per_mm: f64) -> f64 {
        box_transfer(lp_per_mm * self.pitch_mm())
    }

    /// The f-number at which diffraction takes over from the pixels: where both alone leave half of the contrast at the same
    /// frequency (the diffraction MTF is 1/2 at 0.40397 of the cut-off, the pixel's at 0.60335/p), so N = 0.66954 p/λ.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a wavelength outside 0.1 to 20 µm.
    pub fn diffraction_takes_over_at(&self, wavelength_um: f64) -> Result<f64> {
        // The roots of 2/π (acos x - x√(1-x²)) = 1/2 and of sin(πy)/(πy) = 1/2.
        const DIFFRACTION_HALF: f64 = 0.403_972_753_299_517_4;
        const PIXEL_HALF: f64 = 0.603_354_564_401_614_2;
        Ok(DIFFRACTION_HALF / PIXEL_HALF * self.pixel_pitch_um()
            / WAVELENGTH.check(wavelength_um)?)
    }

    /// The f-number from which on the pixels carry every pattern that the aperture lets through: Q = λN/p = 2. From there on a
    /// converter brings in no new pattern, however good it is; it can still lessen the pixels' own blur. Where that stops
    /// paying is [`ConverterGain`](crate::ConverterGain).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a wavelength outside 0.1 to 20 µm.
    pub fn fully_sampled_from(&self, wavelength_um: f64) -> Result<f64> {
        Ok(2.0 * self.pixel_pitch_um() / WAVELENGTH.check(wavelength_um)?)
    }
}

impl AtInfinity {
    /// The angle of two pixels in radians: the finest pattern that they carry.
    #[must_use]
    pub fn two_pixel_rad(&self) -> f64 {
        2.0 * self.sensor.pitch_mm() / self.focal_length_mm
    }
}

/// A blur in the way from subject to picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
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

/// What each blur leaves of the contrast at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
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

/// The chain of blurs between the subject and the picture: at first a perfect lens on pixels without a mosaic.
///
/// ```
/// use wrackline_optics::{Chain, ChainSpec};
/// let chain = Chain::new(ChainSpec { f_number: 4.0, wavelength_um: 0.55, pixel_pitch_um: 3.76 })?;
/// let half = chain.frequency_at_contrast(0.5)?;
/// assert!((half - 113.049).abs() < 1e-3);
/// assert!((chain.transfers(half).product() - 0.5).abs() < 1e-9);
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
    /// [`Error::NotPositive`] for an f-number or pitch that is not finite and above zero; [`Error::OutOfRange`] for a wavelength
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
    /// [`Error::OutOfRange`] for a wavelength outside 0.1 to 20 µm.
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
    /// [`Error::OutOfRange`] for a blur that is negative or not finite.
    pub fn with_motion_px(self, pixels: f64) -> Result<Self> {
        Ok(Self {
            motion_mm: BLUR.check(pixels)? * self.pitch_mm,
            ..self
        })
    }

    /// The same chain with a blur of this many pixels from the hand.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a blur that is negative or not finite.
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

    /// The finest pattern that the pixels carry without aliasing, in line pairs per millimetre on the sensor.
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
    #[must_use]
    pub fn transfers(&self, lp_per_mm: f64) -> Transfers {
        let relative = lp_per_mm / self.cutoff_lp_per_mm;
        let (diffraction, lens) = match &self.lens {
            LensQuality::Wavefront(wavefront) => {
                (diffraction_transfer(relative), wavefront.transfer(relative))
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
            converter: self.converter.transfer(relative),
            pixel: box_transfer(periods),
            mosaic: self.mosaic.transfer(periods),
            motion: box_transfer(lp_per_mm * self.motion_mm),
            hand: box_transfer(lp_per_mm * self.hand_mm),
            air: self.air_lp_per_mm.map_or(1.0, |scale| {
                libm::exp(-libm::pow(lp_per_mm / scale, 5.0 / 3.0))
            }),
        }
    }

    /// The lowest frequency, in line pairs per millimetre on the sensor, at which no more than `contrast` is left: 0.5 gives
    /// the MTF50, 0.1 the MTF10. It may lie beyond what the pixels carry.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a contrast outside 0.001 to 0.999.
    pub fn frequency_at_contrast(&self, contrast: f64) -> Result<f64> {
        let contrast = Valid {
            quantity: "contrast",
            lowest: 0.001,
            highest: 0.999,
            unit: "",
        }
        .check(contrast)?;
        let left = |lp_per_mm: f64| self.transfers(lp_per_mm).product() - contrast;
        // Diffraction ends at the cut-off and each box has its first zero at one period: no later than there is the crossing.
        // The air scales with its 1/e frequency; beyond 4.2 of them less than 0.001 is left.
        let boxes = self.pitch_mm.max(self.motion_mm).max(self.hand_mm);
        let air = self
            .air_lp_per_mm
            .map_or(f64::INFINITY, |scale| 4.2 * scale);
        let end = self.cutoff_lp_per_mm.min(1.0 / boxes).min(air);
        // Walk up, so that the first crossing is found even where an aberration lets contrast rise again.
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

    /// The finest pattern at the subject of which a share of the contrast is left, bounded by the pixels.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a contrast outside 0.001 to 0.999.
    pub fn resolved(&self, focused: &Focused, contrast: f64) -> Result<Resolved> {
        let blurred = self.frequency_at_contrast(contrast)?;
        let nyquist = self.nyquist_lp_per_mm();
        let (lp_per_mm, limit) = if blurred > nyquist {
            (nyquist, Limit::Sampling)
        } else {
            (blurred, self.transfers(blurred).strongest())
        };
        Ok(Resolved {
            on_sensor_lp_per_mm: lp_per_mm,
            at_subject_lp_per_mm: lp_per_mm * focused.magnification(),
            limit,
        })
    }
}

const BLUR: Valid = Valid {
    quantity: "length of a blur",
    lowest: 0.0,
    highest: 1e18,
    unit: "px",
};

/// Steps in the walk to the first crossing. The only factors that can rise are an aberration's (over a whole cut-off) and a
/// box's beyond its first zero, which the walk never passes, so that a rise is many steps wide.
const STEPS: u32 = 24;

/// The root of a falling function between a point where it is positive (or the origin) and one where it is not.
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
