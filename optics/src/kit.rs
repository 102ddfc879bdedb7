//! The kit: a lens, perhaps a tube, perhaps a converter, and a sensor; and the kit focused on
//! something.

mod focusing;
mod marks;
mod travel;

pub use focusing::{AtInfinity, Focus, Focused};

use crate::converter::{Converter, ExtensionTube};
use crate::error::Result;
use crate::far_limit::FarLimit;
use crate::kit::travel::{Stand, Travel};
use crate::lens::Lens;
use crate::sensor::Sensor;

/// A lens, perhaps with an extension tube and a converter behind it, on a sensor.
///
/// ```
/// use wrackline_optics::{Converter, Kit, Lens, LensSpec, Sensor, SensorSpec};
/// let lens = Lens::new(LensSpec {
///     focal_length_mm: 600.0,
///     f_number: 4.0,
///     minimum_focus_m: 4.3,
///     ..LensSpec::THIN
/// })?;
/// let sensor = Sensor::new(SensorSpec {
///     width_mm: 36.0,
///     height_mm: 24.0,
///     columns: 8000,
///     rows: 5333,
/// })?;
/// let kit = Kit::new(lens, Some(Converter::new(1.4)?), sensor);
/// assert!((kit.focal_length_mm() - 840.0).abs() < 1e-9);
/// assert!((kit.effective_f_number() - 5.6).abs() < 1e-12);
///
/// let focused = kit.focused_at_m(85.0)?;
/// assert!((focused.pixels_along(0.24)? - 535.0).abs() < 1.0);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(from = "Parts", into = "Parts"))]
pub struct Kit {
    lens: Lens,
    tube: Option<ExtensionTube>,
    converter: Option<Converter>,
    sensor: Sensor,
    travel: Travel,
}

/// What a kit is put together from, and how it is written down.
#[derive(Clone, Copy)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
struct Parts {
    lens: Lens,
    #[cfg_attr(feature = "serde", serde(default))]
    tube_mm: Option<ExtensionTube>,
    #[cfg_attr(feature = "serde", serde(default))]
    converter: Option<Converter>,
    sensor: Sensor,
}

impl From<Parts> for Kit {
    fn from(parts: Parts) -> Self {
        let Parts {
            lens,
            tube_mm: tube,
            converter,
            sensor,
        } = parts;
        let travel = Travel::new(&lens, tube.map_or(0.0, |tube| tube.length_mm()));
        Self {
            lens,
            tube,
            converter,
            sensor,
            travel,
        }
    }
}

impl From<Kit> for Parts {
    fn from(kit: Kit) -> Self {
        Self {
            lens: kit.lens,
            tube_mm: kit.tube,
            converter: kit.converter,
            sensor: kit.sensor,
        }
    }
}

impl Kit {
    /// A kit without a tube.
    #[must_use]
    pub fn new(lens: Lens, converter: Option<Converter>, sensor: Sensor) -> Self {
        Parts {
            lens,
            tube_mm: None,
            converter,
            sensor,
        }
        .into()
    }

    /// The same kit with an extension tube directly behind the lens (before the converter, if there
    /// is one).
    #[must_use]
    pub fn with_tube(self, tube: ExtensionTube) -> Self {
        Parts {
            tube_mm: Some(tube),
            ..self.into()
        }
        .into()
    }

    /// The same kit on another sensor, such as [`Sensor::cropped`] makes.
    #[must_use]
    pub fn on_sensor(self, sensor: Sensor) -> Self {
        Parts {
            sensor,
            ..self.into()
        }
        .into()
    }

    /// The same kit with the converter taken off.
    #[must_use]
    pub fn without_converter(self) -> Self {
        Parts {
            converter: None,
            ..self.into()
        }
        .into()
    }

    /// The same kit with the lens set to another f-number.
    ///
    /// # Errors
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the f-number is finite and above
    /// zero.
    pub fn stopped_to(self, f_number: f64) -> Result<Self> {
        Ok(Parts {
            lens: self.lens.stopped_to(f_number)?,
            ..self.into()
        }
        .into())
    }

    /// The bare lens.
    #[must_use]
    pub fn lens(&self) -> &Lens {
        &self.lens
    }

    /// The converter, if any.
    #[must_use]
    pub fn converter(&self) -> Option<&Converter> {
        self.converter.as_ref()
    }

    /// The extension tube, if any.
    #[must_use]
    pub fn tube(&self) -> Option<&ExtensionTube> {
        self.tube.as_ref()
    }

    /// The sensor.
    #[must_use]
    pub fn sensor(&self) -> &Sensor {
        &self.sensor
    }

    /// Focal length of lens and converter with the focus at infinity, in millimetres.
    #[must_use]
    pub fn focal_length_mm(&self) -> f64 {
        self.factor() * self.lens.focal_length_mm()
    }

    /// The f-number of lens and converter with the focus at infinity; the converter's glass loss is
    /// not in it.
    #[must_use]
    pub fn effective_f_number(&self) -> f64 {
        self.factor() * self.lens.f_number()
    }

    /// Exposure that the converter costs, in stops; 0 without one.
    #[must_use]
    pub fn stops_lost(&self) -> f64 {
        self.converter
            .map_or(0.0, |converter| converter.stops_lost())
    }

    /// The nearest distance from the sensor plane that the kit focuses at, in metres.
    #[must_use]
    pub fn minimum_focus_m(&self) -> f64 {
        self.sensor_distance_m(self.travel.distances().0)
    }

    /// The farthest distance from the sensor plane that the kit focuses at, which only a tube makes
    /// finite.
    #[must_use]
    pub fn farthest_focus(&self) -> FarLimit {
        match self.tube {
            Some(_) => FarLimit::At {
                distance_m: self.sensor_distance_m(self.travel.distances().1),
            },
            None => FarLimit::Infinity,
        }
    }

    /// The greatest magnification of the kit, converter and tube included.
    #[must_use]
    pub fn largest_magnification(&self) -> f64 {
        self.factor() * self.travel.magnifications().1
    }

    /// The least magnification of the kit: zero unless a tube takes infinity away.
    #[must_use]
    pub fn smallest_magnification(&self) -> f64 {
        self.factor() * self.travel.magnifications().0
    }

    /// The converter's factor; 1 without one.
    pub(crate) fn factor(&self) -> f64 {
        self.converter.map_or(1.0, |converter| converter.factor())
    }

    /// The distance from the sensor plane in metres, from one between subject and principal planes
    /// in focal lengths.
    fn sensor_distance_m(&self, distance: f64) -> f64 {
        let spec = self.lens.spec();
        (distance * spec.focal_length_mm + spec.principal_separation_mm + self.shift_mm()) / 1000.0
    }

    /// The distance from the sensor plane at a magnification that the mechanism need not reach:
    /// with the focal length at the end of the travel that comes nearest.
    pub(crate) fn imagined_distance_m(&self, magnification: f64) -> f64 {
        let bare = magnification / self.factor();
        let end = if bare < self.travel.magnifications().0 {
            0.0
        } else {
            1.0
        };
        let stand = Stand {
            magnification: bare,
            ..self.travel.stand(end)
        };
        self.sensor_distance_m(stand.distance())
    }

    /// How much farther back the sensor stands for the converter.
    pub(crate) fn shift_mm(&self) -> f64 {
        self.converter
            .map_or(0.0, |converter| converter.spec().image_shift_mm)
    }

    /// The share of the light that the converter's glass lets through; 1 without one.
    pub(crate) fn transmittance(&self) -> f64 {
        self.converter
            .map_or(1.0, |converter| converter.spec().transmittance)
    }
}
