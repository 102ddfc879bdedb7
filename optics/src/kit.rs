//! The kit: a lens, perhaps a tube, perhaps a converter, and a sensor; and the kit focused on something.

mod focusing;

pub use focusing::{AtInfinity, Focus, Focused};

use crate::converter::{Converter, ExtensionTube};
use crate::error::Result;
use crate::focus::FarLimit;
use crate::lens::Lens;
use crate::sensor::Sensor;

/// A lens, perhaps with an extension tube and a converter behind it, on a sensor.
///
/// ```
/// use wrackline_optics::{Converter, Kit, Lens, LensSpec, Sensor, SensorSpec};
/// let lens = Lens::new(LensSpec::thin(600.0, 4.0, 4.3))?;
/// let sensor = Sensor::new(SensorSpec { width_mm: 36.0, height_mm: 24.0, columns: 8000, rows: 5333 })?;
/// let kit = Kit::new(lens, Some(Converter::new(1.4)?), sensor);
/// assert!((kit.focal_length_mm() - 840.0).abs() < 1e-9);
/// assert!((kit.effective_f_number() - 5.6).abs() < 1e-12);
///
/// let focused = kit.focused_at_m(85.0)?;
/// assert!((focused.pixels_along(0.24) - 535.0).abs() < 1.0);
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
    /// The bare lens's magnification (tube included) with its mechanism at infinity and at its nearest.
    bare_range: (f64, f64),
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
        let tube_mm = tube.map_or(0.0, |tube| tube.length_mm());
        let bare = |setting: f64| setting + tube_mm / lens.focal_at_setting_mm(setting);
        Self {
            lens,
            tube,
            converter,
            sensor,
            bare_range: (bare(0.0), bare(lens.largest_magnification())),
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

    /// The same kit with an extension tube directly behind the lens (before the converter, if there is one).
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
    /// [`Error::NotPositive`](crate::Error::NotPositive) unless the f-number is finite and above zero.
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

    /// The f-number of lens and converter with the focus at infinity; the converter's glass loss is not in it.
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
        let setting = self.lens.largest_magnification();
        let bare = self.bare_of_setting(setting);
        // Past 1:1 the subject recedes again.
        let distance_mm = if bare > 1.0 && self.bare_range.0 <= 1.0 && !self.lens.breathes() {
            self.lens.distance_mm(1.0, 0.0)
        } else if bare > 1.0 && !self.lens.breathes() {
            self.lens.distance_mm(self.bare_range.0, 0.0)
        } else {
            self.lens.distance_mm(bare, setting)
        };
        (distance_mm + self.shift_mm()) / 1000.0
    }

    /// The farthest distance from the sensor plane that the kit focuses at, which only a tube makes finite.
    #[must_use]
    pub fn farthest_focus(&self) -> FarLimit {
        match self.tube {
            Some(_) => FarLimit::At {
                distance_m: self.imagined_distance_m(self.smallest_magnification()),
            },
            None => FarLimit::Infinity,
        }
    }

    /// The greatest magnification of the kit, converter and tube included.
    #[must_use]
    pub fn largest_magnification(&self) -> f64 {
        self.factor() * self.bare_range.1
    }

    /// The least magnification of the kit: zero unless a tube takes infinity away.
    #[must_use]
    pub fn smallest_magnification(&self) -> f64 {
        self.factor() * self.bare_range.0
    }

    /// The converter's factor; 1 without one.
    pub(crate) fn factor(&self) -> f64 {
        self.converter.map_or(1.0, |converter| converter.factor())
    }

    /// The distance from the sensor plane at a magnification that the mechanism may not reach.
    pub(crate) fn imagined_distance_m(&self, magnification: f64) -> f64 {
        let bare = magnification / self.factor();
        let setting = self
            .setting_of_bare(bare)
            .clamp(0.0, self.lens.largest_magnification());
        (self.lens.distance_mm(bare, setting) + self.shift_mm()) / 1000.0
    }

    /// How much farther back the sensor stands for the converter.
    pub(crate) fn shift_mm(&self) -> f64 {
        self.converter
            .map_or(0.0, |converter| converter.spec().image_shift_mm)
    }

    fn tube_mm(&self) -> f64 {
        self.tube.map_or(0.0, |tube| tube.length_mm())
    }

    /// The bare lens's magnification with its mechanism set to `setting`: the tube adds its length over the focal length.
    fn bare_of_setting(&self, setting: f64) -> f64 {
        setting + self.tube_mm() / self.lens.focal_at_setting_mm(setting)
    }

    /// The setting of the mechanism at which the bare lens (with the tube) shows magnification `bare`.
    fn setting_of_bare(&self, bare: f64) -> f64 {
        let tube = self.tube_mm();
        if tube == 0.0 {
            return bare;
        }
        let focal = self.lens.focal_length_mm();
        let slope = self.lens.focal_at_setting_mm(1.0) - focal;
        // setting + e/(f + b setting) = bare, solved for setting without cancellation.
        let linear = focal - slope * bare;
        let constant = tube - bare * focal;
        let root = libm::sqrt((linear * linear - 4.0 * slope * constant).max(0.0));
        -2.0 * constant / (linear + root)
    }

    /// The share of the light that the converter's glass lets through; 1 without one.
    pub(crate) fn transmittance(&self) -> f64 {
        self.converter
            .map_or(1.0, |converter| converter.spec().transmittance)
    }
}
