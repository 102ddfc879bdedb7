//! The way back from a wanted depth of field: to the f-number, to the focus, or to both.
//!
//! With u the subject's distance from the entrance pupil and k = c/(m d), the depth is T = 2uk/(1 -
//! k²), hence k = T/(u + √(u² + T²)); limits at u_n and u_f belong to u = 2 u_n u_f/(u_n + u_f) and
//! k = (u_f - u_n)/(u_f + u_n), and k = 1 where the far one is infinity. These are the relations of
//! `focus` solved for k and u.

use crate::error::{Error, Result, positive};
use crate::far_limit::FarLimit;
use crate::focus::CircleOfConfusion;
use crate::kit::{Focused, Kit};

/// A wish: the zone in which points pass for points is to be this deep from limit to limit.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct DepthWish {
    /// Depth from limit to limit in metres, above zero.
    pub depth_m: f64,
    /// The largest disc that passes for a point.
    pub circle: CircleOfConfusion,
}

/// A wish: everything from a near to a far limit is to pass for sharp.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SharpBetween {
    /// The near limit in metres from the sensor plane, above zero.
    pub near_m: f64,
    /// The far limit from the sensor plane, beyond the near one.
    pub far: FarLimit,
    /// The largest disc that passes for a point.
    pub circle: CircleOfConfusion,
}

/// Where to focus, and which f-number to set.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct SharpSetting {
    /// The distance to focus at, in metres from the sensor plane.
    pub distance_m: f64,
    /// The magnification there, which past life size tells two focuses at one distance apart.
    pub magnification: f64,
    /// The f-number to set on the bare lens.
    pub f_number: f64,
}

impl Kit {
    /// The f-number to set on the bare lens for a wanted depth of field with the focus at a
    /// distance from the sensor plane: the exact inverse of [`Focused::depth_of_field`].
    ///
    /// It is the geometry's answer, whether or not the lens opens so far; closed far down,
    /// diffraction blurs more than the circle allows, which [`CircleOfConfusion::below_airy`]
    /// tells.
    ///
    /// ```
    /// use wrackline_optics::{
    ///     CircleOfConfusion, DepthWish, Kit, Lens, LensSpec, Sensor, SensorSpec,
    /// };
    /// let lens = LensSpec {
    ///     focal_length_mm: 600.0,
    ///     f_number: 4.0,
    ///     minimum_focus_m: 4.3,
    ///     ..LensSpec::THIN
    /// };
    /// let sensor = Sensor::new(SensorSpec {
    ///     width_mm: 36.0,
    ///     height_mm: 24.0,
    ///     columns: 8000,
    ///     rows: 5333,
    /// })?;
    /// let kit = Kit::new(Lens::new(lens)?, None, sensor);
    /// // A wader of 0.24 m that is to be sharp from bill to tail at 16 m.
    /// let wish = DepthWish {
    ///     depth_m: 0.24,
    ///     circle: CircleOfConfusion::absolute_mm(0.03)?,
    /// };
    /// let f_number = kit.f_number_for_depth(16.0, wish)?;
    /// let depth = kit
    ///     .stopped_to(f_number)?
    ///     .focused_at_m(16.0)?
    ///     .depth_of_field(wish.circle)
    ///     .total;
    /// assert!((depth.distance_m().unwrap_or(0.0) - 0.24).abs() < 1e-9);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// Those of [`focused_at_m`](Self::focused_at_m); [`Error::NotPositive`] for a depth that is
    /// not finite and above zero; [`Error::OutOfRange`] where it would need an f-number beyond
    /// 1e-12 to 1e12.
    pub fn f_number_for_depth(&self, distance_m: f64, wish: DepthWish) -> Result<f64> {
        let depth_m = positive("depth of field", wish.depth_m, "m")?;
        let focused = self.focused_at_m(distance_m)?;
        let u_m = focused.entrance_pupil_distance_m();
        self.f_number_of(
            &focused,
            depth_m / (u_m + libm::hypot(u_m, depth_m)),
            wish.circle,
        )
    }

    /// The kit focused where its depth of field, with the f-number that is set, is as wanted:
    /// nearer it is shallower, farther it is deeper.
    ///
    /// ```
    /// # use wrackline_optics::{Kit, Lens, LensSpec, Sensor, SensorSpec};
    /// use wrackline_optics::{CircleOfConfusion, DepthWish};
    /// # let lens = LensSpec {
    /// #     focal_length_mm: 600.0, f_number: 4.0, minimum_focus_m: 4.3, ..LensSpec::THIN
    /// # };
    /// # let sensor = SensorSpec { width_mm: 36.0, height_mm: 24.0, columns: 8000, rows: 5333 };
    /// # let kit = Kit::new(Lens::new(lens)?, None, Sensor::new(sensor)?);
    /// // A flock two metres deep, sharp from front to back: from how far off?
    /// let circle = CircleOfConfusion::absolute_mm(0.03)?;
    /// let focused = kit.focused_for_depth(DepthWish { depth_m: 2.0, circle })?;
    /// let depth = focused.depth_of_field(circle).total;
    /// assert!((depth.distance_m().unwrap_or(0.0) - 2.0).abs() < 1e-9);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a depth that is not finite and above zero;
    /// [`Error::DepthOutOfReach`] for one that the kit has at none of its distances.
    pub fn focused_for_depth(&self, wish: DepthWish) -> Result<Focused> {
        let depth_m = positive("depth of field", wish.depth_m, "m")?;
        let depth_of = |focused: &Focused| {
            let k = focused.relative_circle(wish.circle);
            if k < 1.0 {
                2.0 * focused.entrance_pupil_distance_m() * k / ((1.0 - k) * (1.0 + k))
            } else {
                f64::INFINITY
            }
        };
        self.focused_where(|focused| depth_of(focused) - depth_m)
            .ok_or_else(|| {
                let [far, near] = self.ends().map(|end| depth_of(&end));
                Error::DepthOutOfReach {
                    depth_m,
                    shallowest_m: near.min(far),
                    deepest_m: far.max(near),
                }
            })
    }

    /// The focus and the f-number that just make everything between two limits pass for sharp; with
    /// a far limit of infinity, the hyperfocal focus for a near limit. Where the kit cannot focus
    /// there, its nearest or farthest focus is given, and an f-number that reaches both limits from
    /// it.
    ///
    /// ```
    /// # use wrackline_optics::{Kit, Lens, LensSpec, Sensor, SensorSpec};
    /// use wrackline_optics::{CircleOfConfusion, FarLimit, SharpBetween};
    /// # let lens = LensSpec {
    /// #     focal_length_mm: 600.0, f_number: 4.0, minimum_focus_m: 4.3, ..LensSpec::THIN
    /// # };
    /// # let sensor = SensorSpec { width_mm: 36.0, height_mm: 24.0, columns: 8000, rows: 5333 };
    /// # let kit = Kit::new(Lens::new(lens)?, None, Sensor::new(sensor)?);
    /// let circle = CircleOfConfusion::absolute_mm(0.03)?;
    /// let far = FarLimit::At { distance_m: 22.0 };
    /// let set = kit.sharp_between(SharpBetween { near_m: 20.0, far, circle })?;
    /// let focused = kit.stopped_to(set.f_number)?.focused_at_m(set.distance_m)?;
    /// let zone = focused.depth_of_field(circle);
    /// assert!((zone.near_m - 20.0).abs() < 1e-6);
    /// assert!((zone.far.distance_m().unwrap_or(0.0) - 22.0).abs() < 1e-6);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a limit that is not finite and above zero; [`Error::NotRising`]
    /// for a far limit that is not beyond the near one; [`Error::OutOfRange`] for a near limit
    /// within the lens.
    pub fn sharp_between(&self, wish: SharpBetween) -> Result<SharpSetting> {
        let near_m = positive("near limit", wish.near_m, "m")?;
        let far_m = match wish.far {
            FarLimit::At { distance_m } => positive("far limit", distance_m, "m")?,
            FarLimit::Infinity => f64::INFINITY,
        };
        if far_m <= near_m {
            return Err(Error::NotRising {
                what: "far limit",
                lower: near_m,
                upper: far_m,
                unit: "m",
            });
        }
        // Both limits as the entrance pupil sees them, which moves with the focus.
        let limits = |focused: &Focused| {
            let to_pupil_m = focused.sensor_to_pupil_mm / 1000.0;
            (near_m - to_pupil_m, far_m - to_pupil_m)
        };
        let too_far = |focused: &Focused| {
            let (near, far) = limits(focused);
            // 2 n f/(n + f), which is 2 n for a far limit at infinity; a near limit behind the
            // pupil asks for no distance.
            let wanted = 2.0 * near.max(0.0) / (1.0 + near.max(0.0) / far);
            focused.entrance_pupil_distance_m() - wanted
        };
        // From 0.7 to 1 times life size two neighbouring focuses may have the same zone: the
        // farther one is given. By how much the circle must spread for both limits to be within:
        // infinite with the mechanism at infinity.
        let k_of = |focused: &Focused| {
            let (near, far) = limits(focused);
            let u_m = focused.entrance_pupil_distance_m();
            if near > 0.0 && u_m.is_finite() {
                (u_m / near - 1.0).max(1.0 - u_m / far)
            } else {
                f64::INFINITY
            }
        };
        let [far_end, near_end] = self.ends();
        let focused = self
            .focused_where(too_far)
            // The f-number goes with m k.
            .unwrap_or(
                if far_end.magnification * k_of(&far_end) < near_end.magnification * k_of(&near_end)
                {
                    far_end
                } else {
                    near_end
                },
            );
        let k = k_of(&focused);
        if k == f64::INFINITY {
            return Err(Error::OutOfRange {
                what: "near limit",
                value: near_m,
                lowest: focused.sensor_to_pupil_mm / 1000.0,
                highest: far_m.min(1e12),
                unit: "m",
            });
        }
        Ok(SharpSetting {
            distance_m: focused.sensor_distance_m(),
            magnification: focused.magnification(),
            f_number: self.f_number_of(&focused, k, wish.circle)?,
        })
    }

    /// The f-number of the bare lens at which k = c/(m d) takes a value.
    fn f_number_of(&self, focused: &Focused, k: f64, circle: CircleOfConfusion) -> Result<f64> {
        let pupil_mm = circle.diameter_mm() / (focused.magnification * k);
        positive("f-number", self.lens().focal_length_mm() / pupil_mm, "")
    }
}
