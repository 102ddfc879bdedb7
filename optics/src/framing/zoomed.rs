//! Where to set a zoom for a wanted frame.

use crate::converter::Converter;
use crate::error::{Error, Result, positive};
use crate::framing::MeasureShare;
use crate::kit::Kit;
use crate::lens::Zoom;
use crate::sensor::Sensor;

/// A wish: from here, a measure of a subject is to take this share of the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZoomWish {
    /// The subject, its measure and the share.
    pub measure: MeasureShare,
    /// Its distance from the sensor plane in metres, above zero.
    pub distance_m: f64,
    /// The converter behind the zoom, if any.
    pub converter: Option<Converter>,
    /// The sensor.
    pub sensor: Sensor,
}

impl Zoom {
    /// The kit with this zoom set so that a wish comes true.
    ///
    /// ```
    /// use wrackline_optics::{
    ///     Lens, LensSpec, Measure, MeasureShare, Sensor, SensorSpec, Subject, SubjectSpec, Zoom,
    ///     ZoomEnds, ZoomWish,
    /// };
    /// let end = |focal_length_mm| {
    ///     Lens::new(LensSpec {
    ///         focal_length_mm, f_number: 6.3, minimum_focus_m: 2.6, ..LensSpec::THIN
    ///     })
    /// };
    /// let zoom = Zoom::new(ZoomEnds { shortest: end(200.0)?, longest: end(600.0)? })?;
    /// let subject = Subject::new(SubjectSpec { length_m: 0.24, height_m: 0.12, span_m: 0.4 })?;
    /// let kit = zoom.kit_for_measure(&ZoomWish {
    ///     measure: MeasureShare { subject, measure: Measure::Length, share: 0.1 },
    ///     distance_m: 20.0,
    ///     converter: None,
    ///     sensor: Sensor::new(SensorSpec {
    ///         width_mm: 36.0, height_mm: 24.0, columns: 8000, rows: 5333,
    ///     })?,
    /// })?;
    /// // 0.24 m at 20 m on a tenth of 36 mm: some 300 mm.
    /// assert!((kit.focal_length_mm() - 295.0).abs() < 10.0);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance or share that is not finite and above zero; those of
    /// [`Kit::focused_at_m`] where the zoom does not focus at the distance over its whole range;
    /// [`Error::OutOfRange`], with the shares that the two ends give, for a share that lies beyond
    /// them.
    pub fn kit_for_measure(&self, wish: &ZoomWish) -> Result<Kit> {
        let share = positive("share of the frame", wish.measure.share, "")?;
        let shown = |focal_length_mm: f64| -> Result<(Kit, f64)> {
            let kit = Kit::new(self.at_mm(focal_length_mm)?, wish.converter, wish.sensor);
            let focused = kit.focused_at_m(wish.distance_m)?;
            Ok((
                kit,
                focused.share_of(&wish.measure.subject, wish.measure.measure),
            ))
        };
        let range = self.focal_lengths_mm();
        let (mut low, mut high) = (*range.start(), *range.end());
        let ((short_kit, lowest), (long_kit, highest)) = (shown(low)?, shown(high)?);
        // The rounding of a caller's share does not decide at the ends.
        let ends = 1.0 - 1e-12..1.0 + 1e-12;
        if ends.contains(&(share / lowest)) {
            return Ok(short_kit);
        }
        if ends.contains(&(share / highest)) {
            return Ok(long_kit);
        }
        if !(lowest..highest).contains(&share) {
            return Err(Error::OutOfRange {
                what: "share of the frame",
                value: share,
                lowest,
                highest,
                unit: "",
            });
        }
        // Each step halves the range; after these it is below the spacing of floating-point
        // numbers.
        for _ in 0..64 {
            let middle = 0.5 * (low + high);
            if shown(middle)?.1 < share {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(shown(high)?.0)
    }
}
