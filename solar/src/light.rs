//! What the light does at the subject.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::{positive_deg, signed_deg};
use crate::body::Body;
use crate::crossing::AltitudeBand;
use crate::error::{Error, within};
use crate::observer::{Observer, Place};
use crate::refraction::Atmosphere;
use crate::sky::Sky;
use crate::span::common;

/// A view and the body that lights it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct View {
    /// Azimuth of the sun or the moon in degrees, clockwise from true north.
    pub light_azimuth_deg: f64,
    /// Bearing from the camera to the subject in degrees, clockwise from true north.
    pub bearing_deg: f64,
}

/// The angle between the shadow line (away from the sun) and the view, in degrees: 0 with the sun
/// behind the camera, 180 when the camera points into the sun.
///
/// ```
/// use wrackline_solar::{View, shadow_line_angle_deg};
///
/// // Evening sun in the west, camera to the east.
/// assert_eq!(shadow_line_angle_deg(View { light_azimuth_deg: 270.0, bearing_deg: 90.0 })?, 0.0);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
///
/// # Errors
/// If azimuth or bearing lie outside -360 to 720 degrees or are not numbers.
pub fn shadow_line_angle_deg(view: View) -> Result<f64, Error> {
    let azimuth = within(
        "azimuth of the light",
        view.light_azimuth_deg,
        -360.0,
        720.0,
        "deg",
    )?;
    let bearing = within(
        "bearing of the view",
        view.bearing_deg,
        -360.0,
        720.0,
        "deg",
    )?;
    Ok(signed_deg(bearing - azimuth - 180.0).abs())
}

/// From which side the light falls on the subject, as the camera sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
pub enum LightSide {
    /// From behind the camera.
    Front,
    /// Over the photographer's shoulder.
    Shoulder,
    /// From the side.
    Side,
    /// From behind the subject, lighting its rim.
    Rim,
    /// The camera points into the sun.
    IntoTheSun,
}

impl LightSide {
    /// All of them, from front to back.
    pub const ALL: [Self; 5] = [
        Self::Front,
        Self::Shoulder,
        Self::Side,
        Self::Rim,
        Self::IntoTheSun,
    ];
}

/// The upper limits of the sides, as angles between the shadow line and the view in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SideLimitsSpec {
    /// Up to here front light.
    pub front_deg: f64,
    /// Up to here light over the shoulder.
    pub shoulder_deg: f64,
    /// Up to here side light.
    pub side_deg: f64,
    /// Up to here rim light; beyond, into the sun.
    pub rim_deg: f64,
}

/// Limits that divide the angle between shadow line and view into sides of light.
///
/// ```
/// use wrackline_solar::{LightSide, SideLimits};
///
/// assert_eq!(SideLimits::default().side(45.0), LightSide::Shoulder);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "SideLimitsSpec", into = "SideLimitsSpec")
)]
pub struct SideLimits {
    spec: SideLimitsSpec,
}

impl Default for SideLimits {
    /// 30, 60, 120 and 160 degrees (our choice, no source).
    fn default() -> Self {
        Self {
            spec: SideLimitsSpec {
                front_deg: 30.0,
                shoulder_deg: 60.0,
                side_deg: 120.0,
                rim_deg: 160.0,
            },
        }
    }
}

impl SideLimits {
    /// Limits of one's own.
    ///
    /// # Errors
    /// If a limit lies outside 0 to 180 degrees or is not a number, or if the limits do not rise.
    pub fn new(spec: SideLimitsSpec) -> Result<Self, Error> {
        let limits = Self { spec }.angles_deg();
        for limit in limits {
            within("limit of a side of light", limit, 0.0, 180.0, "deg")?;
        }
        for pair in limits.windows(2) {
            if pair[0] >= pair[1] {
                return Err(Error::NotRising {
                    what: "limit of the sides of light",
                    lower: pair[0],
                    upper: pair[1],
                    unit: "deg",
                });
            }
        }
        Ok(Self { spec })
    }

    /// The limits themselves.
    #[must_use]
    pub fn spec(&self) -> SideLimitsSpec {
        self.spec
    }

    /// The limits alone, from the lowest.
    pub(crate) fn angles_deg(&self) -> [f64; 4] {
        let spec = self.spec;
        [
            spec.front_deg,
            spec.shoulder_deg,
            spec.side_deg,
            spec.rim_deg,
        ]
    }

    /// The side on which an angle between shadow line and view lies; a limit belongs to the side
    /// that it closes.
    #[must_use]
    pub fn side(&self, shadow_line_angle_deg: f64) -> LightSide {
        match shadow_line_angle_deg {
            a if a <= self.spec.front_deg => LightSide::Front,
            a if a <= self.spec.shoulder_deg => LightSide::Shoulder,
            a if a <= self.spec.side_deg => LightSide::Side,
            a if a <= self.spec.rim_deg => LightSide::Rim,
            _ => LightSide::IntoTheSun,
        }
    }
}

/// The shadow of something upright on level ground.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Shadow {
    /// Where it points, degrees clockwise from true north.
    pub bearing_deg: f64,
    /// Its length over the height of what casts it.
    pub length_per_height: f64,
}

impl Shadow {
    /// The shadow that the sun casts, or `None` while its centre, as the air shows it, is not above
    /// the horizontal.
    ///
    /// ```
    /// use wrackline_solar::{Atmosphere, Observer, Shadow, Site};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let sun = observer.sun("2026-12-29T11:50:00Z".parse()?);
    /// let shadow = Shadow::of(&sun, &Atmosphere::STANDARD)?;
    /// assert!(shadow.is_some_and(|s| s.length_per_height > 4.0));
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If the place of the sun, as somebody may have set it, is none.
    pub fn of(sun: &Place, air: &Atmosphere) -> Result<Option<Self>, Error> {
        let azimuth_deg = within("azimuth of the sun", sun.azimuth_deg, -360.0, 720.0, "deg")?;
        let length_per_height = 1.0 / libm::tan(sun.refracted(air)?.to_radians());
        // At the horizontal itself the shadow has no end.
        let casts = length_per_height > 0.0 && length_per_height.is_finite();
        Ok(casts.then(|| Self {
            bearing_deg: positive_deg(azimuth_deg + 180.0),
            length_per_height,
        }))
    }
}

/// What the light of sun or moon must be like for a view.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct LightBounds {
    /// Airless altitudes of the centre, -90 to 90.
    pub altitude: AltitudeBand,
    /// Bearing from the camera to the subject in degrees.
    pub bearing_deg: f64,
    /// The least angle between shadow line and view in degrees, 0 to 180.
    pub least_side_deg: f64,
    /// The greatest, 0 to 180.
    pub greatest_side_deg: f64,
}

impl Observer {
    /// The stretches of a span in which both the sun's altitude and the side of its light lie in
    /// bounds, to the microsecond.
    ///
    /// ```
    /// use wrackline_solar::{AltitudeBand, LightBounds, Observer, Site};
    ///
    /// let site = Site { latitude_deg: 54.0, longitude_deg: 3.0, elevation_m: 2.0 };
    /// let observer = Observer::new(site)?;
    /// let low_front = LightBounds {
    ///     altitude: AltitudeBand { lowest_deg: 0.0, highest_deg: 12.0 },
    ///     bearing_deg: 330.0,
    ///     least_side_deg: 0.0,
    ///     greatest_side_deg: 30.0,
    /// };
    /// let day = "2026-12-29T00:00:00Z".parse()?.."2026-12-30T00:00:00Z".parse()?;
    /// assert_eq!(observer.sun_light_within(low_front, day)?.len(), 1);
    /// # Ok::<(), Box<dyn core::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// If a bound lies outside its range or is not a number, if the bounds do not rise, or if the
    /// span holds no time.
    pub fn sun_light_within(
        &self,
        bounds: LightBounds,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Sun, span, |sky| sky.light_within(bounds))
    }

    /// The stretches of a span in which both the moon's altitude and the side of its light lie in
    /// bounds, to the microsecond.
    ///
    /// Whether the moon is full enough to give light is
    /// [`moon_lit_above`](crate::moon_lit_above)'s.
    ///
    /// # Errors
    /// As [`Observer::sun_light_within`].
    pub fn moon_light_within(
        &self,
        bounds: LightBounds,
        span: Range<Timestamp>,
    ) -> Result<Vec<Range<Timestamp>>, Error> {
        Sky::searched(self, Body::Moon, span, |sky| sky.light_within(bounds))
    }
}

impl Sky<'_> {
    pub(crate) fn light_within(&self, bounds: LightBounds) -> Result<Vec<(f64, f64)>, Error> {
        let high_enough = self.between(bounds.altitude)?;
        within(
            "bearing of the view",
            bounds.bearing_deg,
            -360.0,
            720.0,
            "deg",
        )?;
        let least = within("least side", bounds.least_side_deg, 0.0, 180.0, "deg")?;
        let greatest = within(
            "greatest side",
            bounds.greatest_side_deg,
            least,
            180.0,
            "deg",
        )?;
        // Front light comes from behind the camera.
        let behind = bounds.bearing_deg + 180.0;
        let mut cuts = Vec::new();
        // From full front light and from light right ahead the angle goes on as it came.
        for angle in [least, greatest]
            .into_iter()
            .filter(|angle| *angle > 0.0 && *angle < 180.0)
        {
            for side in [angle, -angle] {
                self.azimuth_passages(behind + side, |ut1, _| cuts.push(ut1));
            }
        }
        let side = self.stretches(cuts, |m| {
            let angle = signed_deg(m.azimuth_deg() - behind).abs();
            (least..=greatest).contains(&angle)
        });
        Ok(common(&side, &high_enough))
    }
}
