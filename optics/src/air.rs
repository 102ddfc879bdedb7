//! Air: what the shimmer over warm ground leaves of the detail, however good the lens.
//!
//! Turbulence of strength Cn² along the way wrinkles the wavefront. Fried's r0 is the aperture that
//! it makes worthless to exceed; for light that spreads from the subject, r0 = (0.423 k² ∫ Cn²
//! (z/L)^(5/3) dz)^(-3/5), z from the subject, so that air right before the lens counts most and
//! air at the subject not at all. Along an even path that is 3.02 (k² Cn² L)^(-3/5). A long
//! exposure keeps exp(-3.44 (λq/r0)^(5/3)) of a pattern of q cycles a radian.
//!
//! Sources: D. L. Fried, *J. Opt. Soc. Am.* 56 (1966) 1372; M. C. Roggemann and B. Welsh, *Imaging
//! through Turbulence* (1996); R. J. Flenniken, *Weighting for the Modulation Transfer Function*,
//! Naval Postgraduate School (1983) (the weight (z/L)^(5/3), confirmed); F. Roddier, *Progress in
//! Optics* 19 (1981) (width 0.98 λ/r0); J. C. Wyngaard, Y. Izumi and S. A. Collins, *J. Opt. Soc.
//! Am.* 61 (1971) 1646 (Cn² falls with height^(-4/3) over heated ground).

use crate::error::{Result, Valid, positive};
use crate::wave::{FREQUENCY, WAVELENGTH};

/// Air along the line of sight.
///
/// ```
/// use wrackline_optics::{Air, GREEN_UM};
/// let warm = Air::even(1e-13)?;
/// let seeing = warm.over(100.0, GREEN_UM)?;
/// // A pupil of 150 mm is 3.7 times what this air leaves useful.
/// assert!((150.0 / seeing.r0_mm() - 3.679).abs() < 1e-3);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "AirSpec", into = "AirSpec"))]
pub struct Air {
    spec: AirSpec,
    /// The even Cn² that would blur as much: 8/3 ∫ Cn²(s) s^(5/3) ds over the relative path s from
    /// the subject.
    spreading: f64,
    /// The mean Cn², for light that comes from far beyond.
    plane: f64,
}

/// How the strength of the turbulence runs along the line of sight.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
#[non_exhaustive]
pub enum AirSpec {
    /// The same all along.
    Even {
        /// Cn² in m^(-2/3), 1e-20 to 1e-8. Common practice, no source: 1e-14 and less is calm,
        /// 1e-12 shimmers.
        cn2: f64,
    },
    /// Over level ground heated by the sun: Cn² falls with the power -4/3 of the height of the line
    /// of sight.
    HeatedGround(HeatedGround),
}

/// A line of sight over level ground heated by the sun.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct HeatedGround {
    /// Cn² one metre above the ground in m^(-2/3), 1e-20 to 1e-8.
    pub cn2_at_1_m: f64,
    /// Height of the lens above the ground in metres, 0.01 to 1000.
    pub lens_height_m: f64,
    /// Height of the subject above the ground in metres, 0.01 to 1000.
    pub subject_height_m: f64,
}

impl HeatedGround {
    /// Cn² at a height over its value at one metre.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a height outside 0.01 to 1000 m.
    pub fn relative_cn2(height_m: f64) -> Result<f64> {
        Ok(libm::pow(HEIGHT.check(height_m)?, -4.0 / 3.0))
    }
}

const CN2: Valid = Valid {
    what: "strength of the turbulence Cn2",
    lowest: 1e-20,
    highest: 1e-8,
    unit: "m^(-2/3)",
};
const HEIGHT: Valid = Valid {
    what: "height above the ground",
    lowest: 0.01,
    highest: 1000.0,
    unit: "m",
};

impl Air {
    /// Air of the same strength all along the line of sight.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a Cn² outside 1e-20 to 1e-8.
    pub fn even(cn2: f64) -> Result<Self> {
        Self::new(AirSpec::Even { cn2 })
    }

    /// Even air of a strength that is known to be valid.
    pub(crate) const fn of_even(cn2: f64) -> Self {
        Self {
            spec: AirSpec::Even { cn2 },
            spreading: cn2,
            plane: cn2,
        }
    }

    /// Air along a line of sight.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a Cn² or height outside the range that
    /// its field states.
    pub fn new(spec: AirSpec) -> Result<Self> {
        match spec {
            AirSpec::Even { cn2 } => {
                let cn2 = CN2.check(cn2)?;
                Ok(Self {
                    spec,
                    spreading: cn2,
                    plane: cn2,
                })
            }
            AirSpec::HeatedGround(ground) => {
                let cn2 = CN2.check(ground.cn2_at_1_m)?;
                let lens_m = HEIGHT.check(ground.lens_height_m)?;
                let subject_m = HEIGHT.check(ground.subject_height_m)?;
                let weight = |s: f64| libm::pow(subject_m + (lens_m - subject_m) * s, -4.0 / 3.0);
                Ok(Self {
                    spec,
                    // s = x³ makes s^(5/3) ds a polynomial.
                    spreading: cn2 * 8.0 / 3.0
                        * integral(|x| 3.0 * libm::pow(x, 7.0) * weight(x * x * x)),
                    plane: cn2 * mean_minus_four_thirds(subject_m, lens_m),
                })
            }
        }
    }

    /// How the strength of the turbulence runs.
    #[must_use]
    pub fn spec(&self) -> AirSpec {
        self.spec
    }

    /// Seeing along a path of this length to a subject at its end.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a length that is not finite and above
    /// zero; [`Error::OutOfRange`](crate::Error::OutOfRange) for a wavelength outside 0.1 to 20 µm.
    pub fn over(&self, path_m: f64, wavelength_um: f64) -> Result<Seeing> {
        Seeing::new(path_m, wavelength_um, self.spreading * SPREADING)
    }

    /// Seeing along a path of this length to a light far beyond its end, as a star's: every part of
    /// the path counts the same.
    ///
    /// # Errors
    /// Those of [`over`](Self::over).
    pub fn over_from_afar(&self, path_m: f64, wavelength_um: f64) -> Result<Seeing> {
        Seeing::new(path_m, wavelength_um, self.plane)
    }

    /// The length of path in metres at which the blur's width 0.98 λ/r0 has grown to an angle:
    /// beyond it, finer pixels see no more. The angle of two pixels is a natural choice, see
    /// [`AtInfinity::two_pixel_rad`](crate::AtInfinity::two_pixel_rad).
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for an angle that is not finite and above
    /// zero; [`Error::OutOfRange`](crate::Error::OutOfRange) for a wavelength outside 0.1 to 20 µm.
    pub fn path_for_blur_m(&self, angle_rad: f64, wavelength_um: f64) -> Result<f64> {
        let angle_rad = positive("angle of the blur", angle_rad, "rad")?;
        let wavelength_m = WAVELENGTH.check(wavelength_um)? * 1e-6;
        let r0_m = WIDTH * wavelength_m / angle_rad;
        let wave_number = core::f64::consts::TAU / wavelength_m;
        Ok(libm::pow(r0_m, -5.0 / 3.0)
            / (FRIED * wave_number * wave_number * self.spreading * SPREADING))
    }
}

/// The constant of r0.
const FRIED: f64 = 0.423;
/// The integral of s^(5/3) over an even path.
const SPREADING: f64 = 3.0 / 8.0;
/// Full width at half height of a long exposure's blur, in λ/r0.
const WIDTH: f64 = 0.98;
/// The constant of the long-exposure MTF.
const LONG_EXPOSURE: f64 = 3.44;

/// The mean of h^(-4/3) along a straight line between two heights, in closed form.
fn mean_minus_four_thirds(from_m: f64, to_m: f64) -> f64 {
    let (a, b) = (libm::cbrt(from_m), libm::cbrt(to_m));
    // 3 (1/a - 1/b)/(b³ - a³) without the difference of near equals.
    3.0 / (a * b * (a * a + a * b + b * b))
}

/// An integral from 0 to 1 by Gauss and Legendre's five points in each of many pieces; the
/// integrands here are smooth, and the pieces thin out towards both ends, where a line of sight may
/// graze the ground.
fn integral(of: impl Fn(f64) -> f64) -> f64 {
    const NODES: [f64; 5] = [
        -0.906_179_845_938_664,
        -0.538_469_310_105_683_1,
        0.0,
        0.538_469_310_105_683_1,
        0.906_179_845_938_664,
    ];
    const WEIGHTS: [f64; 5] = [
        0.236_926_885_056_189_1,
        0.478_628_670_499_366_5,
        0.568_888_888_888_888_9,
        0.478_628_670_499_366_5,
        0.236_926_885_056_189_1,
    ];
    const PIECES: u32 = 64;
    let edge = |number: u32| {
        let part = f64::from(number) / f64::from(PIECES);
        part * part * (3.0 - 2.0 * part)
    };
    (0..PIECES).fold(0.0, |sum, piece| {
        let (low, high) = (edge(piece), edge(piece + 1));
        let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
        let part = NODES.iter().zip(WEIGHTS).fold(0.0, |part, (node, weight)| {
            part + weight * of(middle + half * node)
        });
        sum + half * part
    })
}

impl TryFrom<AirSpec> for Air {
    type Error = crate::Error;

    fn try_from(spec: AirSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Air> for AirSpec {
    fn from(air: Air) -> Self {
        air.spec
    }
}

/// What air along a path leaves of the detail in a long exposure (long against the shimmer: about
/// 10 ms and more; shorter pictures are sharper here and there and bent everywhere).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seeing {
    path_m: f64,
    wavelength_m: f64,
    r0_m: f64,
}

impl Seeing {
    fn new(path_m: f64, wavelength_um: f64, weighted_cn2: f64) -> Result<Self> {
        let path_m = positive("length of the path", path_m, "m")?;
        let wavelength_m = WAVELENGTH.check(wavelength_um)? * 1e-6;
        let wave_number = core::f64::consts::TAU / wavelength_m;
        let r0_m = libm::pow(
            FRIED * wave_number * wave_number * weighted_cn2 * path_m,
            -0.6,
        );
        Ok(Self {
            path_m,
            wavelength_m,
            r0_m,
        })
    }

    /// Fried's parameter in millimetres: the aperture that this air makes worthless to exceed.
    #[must_use]
    pub fn r0_mm(&self) -> f64 {
        self.r0_m * 1000.0
    }

    /// The pupil over r0: above 1 the air rules.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a pupil that is not finite and above
    /// zero.
    pub fn pupil_over_r0(&self, pupil_mm: f64) -> Result<f64> {
        Ok(positive("diameter of the pupil", pupil_mm, "mm")? / self.r0_mm())
    }

    /// The blur's full width at half height, as an angle in radians: 0.98 λ/r0.
    #[must_use]
    pub fn blur_rad(&self) -> f64 {
        WIDTH * self.wavelength_m / self.r0_m
    }

    /// The blur's full width at half height at the subject, in millimetres.
    #[must_use]
    pub fn blur_at_subject_mm(&self) -> f64 {
        self.blur_rad() * self.path_m * 1000.0
    }

    /// The share of the contrast that is left of a pattern, in cycles per radian: exp(-3.44
    /// (λq/r0)^(5/3)).
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a pattern outside 0 to 1e18 cycles a
    /// radian.
    pub fn mtf(&self, cycles_per_rad: f64) -> Result<f64> {
        let valid = Valid {
            what: "frequency of the pattern",
            lowest: 0.0,
            highest: 1e18,
            unit: "cycles/rad",
        };
        Ok(self.left_of(valid.check(cycles_per_rad)?))
    }

    fn left_of(&self, cycles_per_rad: f64) -> f64 {
        let x = cycles_per_rad * self.wavelength_m / self.r0_m;
        libm::exp(-LONG_EXPOSURE * libm::pow(x, 5.0 / 3.0))
    }

    /// The share of the contrast that is left of a pattern, in line pairs per millimetre at the
    /// subject.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a frequency outside 0 to 1e12.
    pub fn mtf_at_subject(&self, lp_per_mm: f64) -> Result<f64> {
        Ok(self.left_of(FREQUENCY.check(lp_per_mm)? * 1000.0 * self.path_m))
    }

    /// The pattern at the subject of which a share of the contrast is left, in line pairs per
    /// millimetre.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a contrast outside 0.001 to 0.999.
    pub fn at_subject_lp_per_mm(&self, contrast: f64) -> Result<f64> {
        let contrast = Valid {
            what: "contrast",
            lowest: 0.001,
            highest: 0.999,
            unit: "",
        }
        .check(contrast)?;
        let exponent = libm::pow(-libm::log(contrast), 0.6);
        Ok(exponent * self.e_folding_cycles_per_rad() / (1000.0 * self.path_m))
    }

    /// The pattern in cycles per radian of which 1/e of the contrast is left.
    pub(crate) fn e_folding_cycles_per_rad(&self) -> f64 {
        libm::pow(1.0 / LONG_EXPOSURE, 0.6) * self.r0_m / self.wavelength_m
    }

    /// How far, at the subject, the picture dances to one side, as the rms in millimetres: the
    /// angle's variance is 0.364 (d/r0)^(5/3) (λ/d)² for a pupil d. Seen as shapes that wobble from
    /// picture to picture.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a pupil that is not finite and above
    /// zero.
    pub fn wander_at_subject_mm(&self, pupil_mm: f64) -> Result<f64> {
        let pupil_m = positive("diameter of the pupil", pupil_mm, "mm")? / 1000.0;
        let ratio = self.wavelength_m / pupil_m;
        let variance = 0.364 * libm::pow(pupil_m / self.r0_m, 5.0 / 3.0) * ratio * ratio;
        Ok(libm::sqrt(variance) * self.path_m * 1000.0)
    }
}
