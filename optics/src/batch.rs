//! Many distances, or many frequencies, at once: what a table or a curve is drawn from.
//!
//! A batch fills slices that the caller owns and allocates nothing. Each figure is to the bit what
//! the single function gives. Where one of the inputs is refused, nothing is filled.

use crate::detail::chain::Chain;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, positive, same_length};
use crate::far_limit::FarLimit;
use crate::focus::CircleOfConfusion;
use crate::kit::{Focused, Kit};

impl Kit {
    /// The share of the frame's width that a subject takes at each distance from the sensor plane:
    /// [`Focused::frame_share`] for a whole slice.
    ///
    /// ```
    /// # use wrackline_optics::{Kit, Lens, LensSpec, Sensor, SensorSpec};
    /// # let lens = LensSpec {
    /// #     focal_length_mm: 600.0, f_number: 4.0, minimum_focus_m: 4.3, ..LensSpec::THIN
    /// # };
    /// # let sensor = SensorSpec { width_mm: 36.0, height_mm: 24.0, columns: 8000, rows: 5333 };
    /// # let kit = Kit::new(Lens::new(lens)?, None, Sensor::new(sensor)?);
    /// let mut shares = [0.0; 3];
    /// kit.fill_frame_shares(0.24, &[8.0, 16.0, 85.0], &mut shares)?;
    /// assert!(shares[0] > 0.5 && (shares[2] - 0.047).abs() < 0.001);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::Lengths`] if the slices differ in length; else those of
    /// [`focused_at_m`](Self::focused_at_m) and [`Focused::frame_share`]. Nothing is filled then.
    pub fn fill_frame_shares(
        &self,
        subject_m: f64,
        distances_m: &[f64],
        shares: &mut [f64],
    ) -> Result<()> {
        let subject_m = positive("length of the subject", subject_m, "m")?;
        self.fill(distances_m, shares, |focused| {
            focused.frame_share(subject_m)
        })
    }

    /// The pixels along a subject that lies across the frame at each distance from the sensor
    /// plane: [`Focused::pixels_along`] for a whole slice.
    ///
    /// # Errors
    /// As [`fill_frame_shares`](Self::fill_frame_shares).
    pub fn fill_pixels_along(
        &self,
        subject_m: f64,
        distances_m: &[f64],
        pixels: &mut [f64],
    ) -> Result<()> {
        let subject_m = positive("length of the subject", subject_m, "m")?;
        self.fill(distances_m, pixels, |focused| {
            focused.pixels_along(subject_m)
        })
    }

    /// The near and the far limit of the sharp zone, from the sensor plane, with the kit focused at
    /// each distance: [`Focused::depth_of_field`] for a whole slice.
    ///
    /// # Errors
    /// [`Error::Lengths`] if the slices differ in length; else those of
    /// [`focused_at_m`](Self::focused_at_m). Nothing is filled then.
    pub fn fill_sharp_zones(
        &self,
        circle: CircleOfConfusion,
        distances_m: &[f64],
        near_m: &mut [f64],
        far: &mut [FarLimit],
    ) -> Result<()> {
        same_length(distances_m.len(), far.len())?;
        self.fill(distances_m, near_m, |focused| {
            Ok(focused.depth_of_field(circle).near_m)
        })?;
        self.fill(distances_m, far, |focused| {
            Ok(focused.depth_of_field(circle).far)
        })
    }

    fn fill<T>(
        &self,
        distances_m: &[f64],
        values: &mut [T],
        value_of: impl Fn(&Focused) -> Result<T>,
    ) -> Result<()> {
        same_length(distances_m.len(), values.len())?;
        self.reaches_all(distances_m)?;
        for (value, distance_m) in values.iter_mut().zip(distances_m) {
            *value = value_of(&self.focused_at_m(*distance_m)?)?;
        }
        Ok(())
    }

    /// Whether the kit focuses at every distance: it does if it does at the nearest and the
    /// farthest, since what a mechanism runs through has no gap.
    fn reaches_all(&self, distances_m: &[f64]) -> Result<()> {
        let (mut nearest, mut farthest) = (f64::INFINITY, 0.0_f64);
        for distance_m in distances_m {
            let distance_m = positive("distance", *distance_m, "m")?;
            nearest = nearest.min(distance_m);
            farthest = farthest.max(distance_m);
        }
        if !distances_m.is_empty() {
            self.focused_at_m(nearest)?;
            self.focused_at_m(farthest)?;
        }
        Ok(())
    }
}

impl Chain {
    /// What is left of the contrast at each frequency on the sensor, in line pairs per millimetre:
    /// the product of [`transfers`](Self::transfers), the curve that a chart of the whole chain
    /// shows.
    ///
    /// # Errors
    /// [`Error::Lengths`] if the slices differ in length; [`Error::OutOfRange`] for a frequency
    /// outside 0 to 1e12. Nothing is filled then.
    pub fn fill_contrasts(&self, lp_per_mm: &[f64], contrasts: &mut [f64]) -> Result<()> {
        same_length(lp_per_mm.len(), contrasts.len())?;
        for frequency in lp_per_mm {
            Self::checked_frequency(*frequency)?;
        }
        for (contrast, frequency) in contrasts.iter_mut().zip(lp_per_mm) {
            *contrast = self.transfers(*frequency)?.product();
        }
        Ok(())
    }
}
