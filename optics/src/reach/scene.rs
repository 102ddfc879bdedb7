//! What is looked at, what is assumed, and what is claimed.

use crate::air::Air;
use crate::detail::{Mosaic, Wavefront};
use crate::error::{Error, Result, Valid, positive};
use crate::reach::verdict::{AirGrade, OpticsGrade};
use crate::sensor::Sensor;
use crate::wave::{GREEN_UM, WAVELENGTH};

/// The figures of a scene.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SceneSpec {
    /// Length of the subject in metres, above zero.
    pub subject_m: f64,
    /// Distance of the subject from the sensor plane in metres, above zero.
    pub distance_m: f64,
    /// How far behind the subject the background lies, in metres, above zero.
    pub background_m: f64,
    /// The exposure time in seconds, the same for both kits, above zero.
    pub time_s: f64,
    /// The subject's speed across the line of sight in metres a second, zero or more.
    pub speed_m_per_s: f64,
    /// How fast the camera turns in radians a second, zero (a firm support) or more.
    pub drift_rad_per_s: f64,
    /// The wavelength in micrometres, 0.1 to 20.
    pub wavelength_um: f64,
}

impl SceneSpec {
    /// A subject that stands still before a background ten metres behind it, in green light, with a
    /// firm support and 1/1000 s, to be filled in: length and distance of the subject are zero
    /// here, which [`Scene::new`] refuses, so that neither can be forgotten in silence.
    pub const STILL: Self = Self {
        subject_m: 0.0,
        distance_m: 0.0,
        background_m: 10.0,
        time_s: 0.001,
        speed_m_per_s: 0.0,
        drift_rad_per_s: 0.0,
        wavelength_um: GREEN_UM,
    };
}

/// What both kits look at.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "SceneSpec", into = "SceneSpec"))]
pub struct Scene {
    spec: SceneSpec,
}

impl Scene {
    /// A scene from its figures.
    ///
    /// # Errors
    /// [`Error::NotPositive`] and [`Error::OutOfRange`] for a figure outside the range that its
    /// field states.
    pub fn new(spec: SceneSpec) -> Result<Self> {
        positive("length of the subject", spec.subject_m, "m")?;
        positive("distance", spec.distance_m, "m")?;
        positive("distance behind the subject", spec.background_m, "m")?;
        positive("exposure time", spec.time_s, "s")?;
        Valid {
            what: "speed of the subject",
            lowest: 0.0,
            highest: 1e4,
            unit: "m/s",
        }
        .check(spec.speed_m_per_s)?;
        Valid {
            what: "drift of the camera",
            lowest: 0.0,
            highest: 1e3,
            unit: "rad/s",
        }
        .check(spec.drift_rad_per_s)?;
        WAVELENGTH.check(spec.wavelength_um)?;
        Ok(Self { spec })
    }

    /// The figures of this scene.
    #[must_use]
    pub fn spec(&self) -> SceneSpec {
        self.spec
    }

    /// The same scene at another distance.
    pub(crate) fn at_m(&self, distance_m: f64) -> Self {
        Self {
            spec: SceneSpec {
                distance_m,
                ..self.spec
            },
        }
    }
}

impl TryFrom<SceneSpec> for Scene {
    type Error = Error;

    fn try_from(spec: SceneSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Scene> for SceneSpec {
    fn from(scene: Scene) -> Self {
        scene.spec
    }
}

/// One grade of lens and converter.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct OpticsCase {
    /// The rms wavefront error of the bare lens.
    pub lens: Wavefront,
    /// The rms wavefront error that the converter adds.
    pub converter: Wavefront,
}

/// Everything that a verdict assumes and nobody has measured; part of every result.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Assumptions {
    /// Optics without aberrations: the bound that physics sets.
    pub perfect: OpticsCase,
    /// Good optics: by default 0.10 waves for the lens, which leaves an f/4 a contrast of 0.80 at
    /// 40 lp/mm, and 0.07 for the converter. Common practice, no source.
    pub good: OpticsCase,
    /// Soft optics: by default 0.15 and 0.10 waves. Common practice, no source.
    pub soft: OpticsCase,
    /// Calm air: by default Cn² = 1e-14. Common practice, no source.
    pub calm: Air,
    /// Warm air: by default Cn² = 5e-13, which is 1e-13 at one metre seen from 0.3 m above heated
    /// ground (Wyngaard, Izumi and Collins 1971 for the height; the strength is common practice, no
    /// source).
    pub warm: Air,
    /// How colour is sampled: by default in a chequerboard, linearly filled in.
    pub mosaic: Mosaic,
    /// The contrast that must be left for detail to count as resolved, 0.001 to 0.999: by default
    /// one half (MTF50).
    pub contrast: f64,
    /// The divisor of the frame's diagonal that makes the circle of confusion, the same for both
    /// kits: by default 1500.
    pub circle_divisor: f64,
    /// By how much two kits may differ and still count as the same, 0 to 0.5: by default 0.03,
    /// since factors such as 1.4 and 1.5 are rounded by as much themselves.
    pub tolerance: f64,
    /// By how much the detail of two kits may differ and still count as the same, 0 to 0.5: by
    /// default 0.08, about what two prints side by side show. Common practice, no source.
    pub detail_tolerance: f64,
}

impl Default for Assumptions {
    fn default() -> Self {
        let case = |lens, converter| OpticsCase {
            lens: Wavefront::of_waves(lens),
            converter: Wavefront::of_waves(converter),
        };
        Self {
            perfect: case(0.0, 0.0),
            good: case(0.10, 0.07),
            soft: case(0.15, 0.10),
            calm: Air::of_even(1e-14),
            warm: Air::of_even(5e-13),
            mosaic: Mosaic::GreenChequerboard,
            contrast: 0.5,
            circle_divisor: 1500.0,
            tolerance: 0.03,
            detail_tolerance: 0.08,
        }
    }
}

impl Assumptions {
    /// Refuses figures that no verdict can be based on.
    pub(crate) fn check(&self) -> Result<()> {
        Valid {
            what: "contrast",
            lowest: 0.001,
            highest: 0.999,
            unit: "",
        }
        .check(self.contrast)?;
        positive("divisor of the diagonal", self.circle_divisor, "")?;
        for (what, value) in [
            ("tolerance", self.tolerance),
            ("tolerance of detail", self.detail_tolerance),
        ] {
            Valid {
                what,
                lowest: 0.0,
                highest: 0.5,
                unit: "",
            }
            .check(value)?;
        }
        Ok(())
    }

    /// The optics of a grade.
    #[must_use]
    pub fn optics(&self, grade: OpticsGrade) -> OpticsCase {
        match grade {
            OpticsGrade::Perfect => self.perfect,
            OpticsGrade::Good => self.good,
            OpticsGrade::Soft => self.soft,
        }
    }

    /// The air of a grade.
    #[must_use]
    pub fn air(&self, grade: AirGrade) -> Air {
        match grade {
            AirGrade::Calm => self.calm,
            AirGrade::Warm => self.warm,
        }
    }
}

/// The figures of a claim.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ClaimSpec {
    /// The focal length in millimetres that the kit is said to reach like, above zero.
    pub focal_length_mm: f64,
    /// The f-number that the claim lends to that lens, above zero.
    pub f_number: f64,
    /// The sensor behind that lens.
    pub reference: Sensor,
}

/// "It reaches like this lens on that sensor."
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "ClaimSpec", into = "ClaimSpec"))]
pub struct Claim {
    spec: ClaimSpec,
}

impl Claim {
    /// A claim from its figures.
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a focal length or f-number that is not finite and above zero.
    pub fn new(spec: ClaimSpec) -> Result<Self> {
        positive("focal length", spec.focal_length_mm, "mm")?;
        positive("f-number", spec.f_number, "")?;
        Ok(Self { spec })
    }

    /// The figures of this claim.
    #[must_use]
    pub fn spec(&self) -> ClaimSpec {
        self.spec
    }
}

impl TryFrom<ClaimSpec> for Claim {
    type Error = Error;

    fn try_from(spec: ClaimSpec) -> Result<Self> {
        Self::new(spec)
    }
}

impl From<Claim> for ClaimSpec {
    fn from(claim: Claim) -> Self {
        claim.spec
    }
}
