//! What moves while the shutter is open.

use crate::error::{Result, Valid, positive};
use crate::kit::{AtInfinity, Focused};

/// A subject that crosses the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Motion {
    /// Its speed across the line of sight in metres a second, zero or more.
    pub speed_m_per_s: f64,
    /// The exposure time in seconds, above zero.
    pub time_s: f64,
}

/// A blur that a moving subject may not exceed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct BlurLimit {
    /// The subject's speed across the line of sight in metres a second, above zero.
    pub speed_m_per_s: f64,
    /// The longest blur allowed, in pixels, above zero.
    pub pixels: f64,
}

/// A camera that turns while the shutter is open.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Shake {
    /// How fast it turns, in radians a second, zero or more.
    pub drift_rad_per_s: f64,
    /// The exposure time in seconds, above zero.
    pub time_s: f64,
}

/// The rule of thumb that a hand holds for one over the focal length in seconds: a convention about
/// a small print from a 36 mm frame (common practice, no source), not about pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ReciprocalRule {
    /// Focal length in millimetres, above zero.
    pub focal_length_mm: f64,
    /// How many times wider a 36 mm frame is, above zero.
    pub crop_factor: f64,
    /// Stops that a stabiliser is trusted with, 0 to 20.
    pub stabiliser_stops: f64,
}

impl ReciprocalRule {
    /// The longest time in seconds: 2^stops / (f · crop).
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) and
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a figure outside the range that its
    /// field states.
    pub fn longest_time_s(&self) -> Result<f64> {
        let focal = positive("focal length", self.focal_length_mm, "mm")?;
        let crop = positive("crop factor", self.crop_factor, "")?;
        let stops = Valid {
            what: "stops of the stabiliser",
            lowest: 0.0,
            highest: 20.0,
            unit: "",
        }
        .check(self.stabiliser_stops)?;
        Ok(libm::exp2(stops) / (focal * crop))
    }

    /// How fast a hand turns the camera if the rule keeps the blur within `circle_mm` on the
    /// sensor, in radians a second: for 0.030 mm on a 36 mm frame without a stabiliser it is 0.030
    /// rad/s at any focal length.
    ///
    /// # Errors
    /// Those of [`longest_time_s`](Self::longest_time_s);
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the circle is finite and above
    /// zero.
    pub fn drift_rad_per_s(&self, circle_mm: f64) -> Result<f64> {
        let circle_mm = positive("circle of confusion", circle_mm, "mm")?;
        Ok(circle_mm / self.focal_length_mm / self.longest_time_s()?)
    }
}

const SPEED: Valid = Valid {
    what: "speed of the subject",
    lowest: 0.0,
    highest: 1e6,
    unit: "m/s",
};
const DRIFT: Valid = Valid {
    what: "drift of the camera",
    lowest: 0.0,
    highest: 1e3,
    unit: "rad/s",
};

impl Focused {
    /// Length of the blur that a moving subject leaves, in pixels: v·t·m/p.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a speed that is negative or not finite;
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the time is finite and above zero.
    pub fn motion_blur_px(&self, motion: Motion) -> Result<f64> {
        let speed = SPEED.check(motion.speed_m_per_s)?;
        let way_m = speed * positive("exposure time", motion.time_s, "s")?;
        Ok(self.image_mm(way_m) / self.sensor.pitch_mm())
    }

    /// The longest exposure in seconds that keeps a moving subject's blur within a limit:
    /// b·p/(v·m).
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) for a speed or limit that is not finite
    /// and above zero.
    pub fn longest_time_s(&self, limit: BlurLimit) -> Result<f64> {
        let speed = positive("speed of the subject", limit.speed_m_per_s, "m/s")?;
        let blur_mm = positive("longest blur", limit.pixels, "px")? * self.sensor.pitch_mm();
        Ok(blur_mm / self.image_mm(speed))
    }

    /// Length of the blur that a turning camera leaves, in pixels.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a drift that is negative or not finite;
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the time is finite and above zero.
    pub fn shake_blur_px(&self, shake: Shake) -> Result<f64> {
        Ok(shake.angle_rad()? * self.millimetres_per_radian() / self.sensor.pitch_mm())
    }
}

impl AtInfinity {
    /// Length of the blur that a turning camera leaves, in pixels.
    ///
    /// ```
    /// # use wrackline_optics::{Kit, Lens, LensSpec, Sensor, SensorSpec};
    /// use wrackline_optics::Shake;
    /// # let lens = LensSpec {
    /// #     focal_length_mm: 600.0, f_number: 4.0, minimum_focus_m: 4.3, ..LensSpec::THIN
    /// # };
    /// # let sensor = SensorSpec { width_mm: 36.0, height_mm: 24.0, columns: 8000, rows: 5333 };
    /// # let kit = Kit::new(Lens::new(lens)?, None, Sensor::new(sensor)?);
    /// // Ten milliradians a second through 1/500 s, 600 mm and pixels of 4.5 µm.
    /// let shake = Shake { drift_rad_per_s: 0.01, time_s: 0.002 };
    /// let pixels = kit.at_infinity()?.shake_blur_px(shake)?;
    /// assert!((pixels - 600.0 * 0.01 * 0.002 / 0.0045).abs() < 1e-9);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// Those of [`Focused::shake_blur_px`].
    pub fn shake_blur_px(&self, shake: Shake) -> Result<f64> {
        Ok(shake.angle_rad()? * self.focal_length_mm / self.sensor.pitch_mm())
    }
}

impl Shake {
    /// By how much the camera turns while the shutter is open.
    fn angle_rad(&self) -> Result<f64> {
        let time_s = positive("exposure time", self.time_s, "s")?;
        Ok(DRIFT.check(self.drift_rad_per_s)? * time_s)
    }
}
