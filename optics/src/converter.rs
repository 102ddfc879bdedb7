//! What goes between lens and body: converters and extension tubes.
//!
//! A converter is a relay of fixed conjugates: it takes the image that the bare lens forms and
//! shows it `factor` times larger, a little farther back. The bare lens does not know of it. So the
//! magnification is t·m_b, the working f-number t·N(1 + m_b/P_b), and the entrance pupil stays
//! where and as large as it was. A converter is **not** one lens of t times the focal length: at 40
//! m from a 600 mm lens that picture is 1.3 % wrong in size already.
//!
//! Source: paraxial imaging by two groups in turn (E. Hecht, *Optics*, 5th ed., 6.1); confirmed by
//! tracing a published telephoto with a negative group behind it.

use crate::error::{Error, Result, Valid, positive};
use crate::ray::{Surface, relay};

/// The figures that describe a converter.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ConverterSpec {
    /// How many times larger the image becomes, 1 to 10.
    pub factor: f64,
    /// The share of the light that its glass lets through, above 0 up to 1; 1 if unknown.
    #[cfg_attr(feature = "serde", serde(default = "whole"))]
    pub transmittance: f64,
    /// How much farther behind the lens the sensor comes to stand, in millimetres; 0 if unknown. 0
    /// to 500.
    #[cfg_attr(feature = "serde", serde(default))]
    pub image_shift_mm: f64,
}

#[cfg(feature = "serde")]
fn whole() -> f64 {
    1.0
}

/// A converter as one thin negative group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NegativeGroup {
    /// Focal length in millimetres, below zero.
    pub focal_length_mm: f64,
    /// How far in front of the bare lens's focus the group stands, in millimetres, above zero and
    /// less than the focal length's size.
    pub before_focus_mm: f64,
}

impl NegativeGroup {
    /// The thin group that gives a factor from `before_focus_mm` in front of the bare lens's focus:
    /// f = -t·a/(t - 1).
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a distance that is not finite and above zero;
    /// [`Error::OutOfRange`] for a factor that is not above 1 and at most 10.
    pub fn of_factor(factor: f64, before_focus_mm: f64) -> Result<Self> {
        let before_focus_mm = positive("distance before the focus", before_focus_mm, "mm")?;
        let valid = Valid {
            what: "converter factor",
            lowest: 1.0 + f64::EPSILON,
            highest: 10.0,
            unit: "",
        };
        let factor = valid.check(factor)?;
        Ok(Self {
            focal_length_mm: -factor * before_focus_mm / (factor - 1.0),
            before_focus_mm,
        })
    }
}

/// A converter with a tube behind it, between converter and body, as what a [`Kit`](crate::Kit) is
/// put together from.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TubeBehind {
    /// What the converter has become: with the sensor farther back it enlarges more.
    pub converter: Converter,
    /// A tube before the converter that moves the bare lens's image as far.
    pub tube: ExtensionTube,
}

impl NegativeGroup {
    /// This converter with a tube of length e behind it. The sensor stands e farther behind the
    /// group, so the group's factor grows from t to t + e/|f| (for a thin group t = 1 - v/f with v
    /// the image's distance behind it), and the image that it takes over must lie farther back, as
    /// a tube before the converter puts it. How much depends on where the group stands, which a
    /// converter's factor alone does not say.
    ///
    /// ```
    /// use wrackline_optics::{
    ///     ExtensionTube, Kit, Lens, LensSpec, NegativeGroup, Sensor, SensorSpec,
    /// };
    /// let group = NegativeGroup::of_factor(1.4, 40.0)?;
    /// let behind = group.with_tube_behind(ExtensionTube::new(25.0)?)?;
    /// assert!((behind.converter.factor() - (1.4 + 25.0 / 140.0)).abs() < 1e-12);
    /// let lens = LensSpec {
    ///     focal_length_mm: 300.0,
    ///     f_number: 4.0,
    ///     minimum_focus_m: 1.5,
    ///     ..LensSpec::THIN
    /// };
    /// let sensor = Sensor::new(SensorSpec {
    ///     width_mm: 36.0,
    ///     height_mm: 24.0,
    ///     columns: 8000,
    ///     rows: 5333,
    /// })?;
    /// let kit = Kit::new(Lens::new(lens)?, Some(behind.converter), sensor).with_tube(behind.tube);
    /// assert!(kit.at_infinity().is_err());
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// Those of [`Converter::from_group`], for the group by itself and with the tube.
    pub fn with_tube_behind(self, tube: ExtensionTube) -> Result<TubeBehind> {
        let plain = Converter::from_group(self)?;
        let image_mm = plain.factor() * self.before_focus_mm + tube.length_mm();
        let factor = plain.factor() - tube.length_mm() / self.focal_length_mm;
        // The image that the group takes over, behind the group.
        let object_mm = image_mm / factor;
        Ok(TubeBehind {
            converter: Converter::from_spec(ConverterSpec {
                factor,
                image_shift_mm: image_mm - object_mm,
                ..plain.spec()
            })?,
            tube: ExtensionTube::new(object_mm - self.before_focus_mm)?,
        })
    }
}

/// A teleconverter.
///
/// ```
/// use wrackline_optics::{Converter, NegativeGroup};
/// let by_factor = Converter::new(1.4)?;
/// let by_group = Converter::from_group(NegativeGroup {
///     focal_length_mm: -140.0,
///     before_focus_mm: 40.0,
/// })?;
/// assert!((by_factor.factor() - by_group.factor()).abs() < 1e-12);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "ConverterSpec", into = "ConverterSpec")
)]
pub struct Converter {
    spec: ConverterSpec,
}

impl Converter {
    /// A converter of perfect glass known by its factor alone.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a factor outside 1 to 10 (1 is a converter that does nothing).
    pub fn new(factor: f64) -> Result<Self> {
        Self::from_spec(ConverterSpec {
            factor,
            transmittance: 1.0,
            image_shift_mm: 0.0,
        })
    }

    /// A converter from all its figures.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a figure outside the range that its field states.
    pub fn from_spec(spec: ConverterSpec) -> Result<Self> {
        FACTOR.check(spec.factor)?;
        Valid {
            what: "converter transmittance",
            lowest: f64::MIN_POSITIVE,
            highest: 1.0,
            unit: "",
        }
        .check(spec.transmittance)?;
        Valid {
            what: "shift of the image by the converter",
            lowest: 0.0,
            highest: 500.0,
            unit: "mm",
        }
        .check(spec.image_shift_mm)?;
        Ok(Self { spec })
    }

    /// A converter of perfect glass from one thin negative group: with f the group's focal length
    /// and a the distance before the focus, the factor is t = f/(f + a) and the image moves back by
    /// (t - 1)a.
    ///
    /// # Errors
    /// [`Error::NoBackFocus`] for a group that is not negative, stands behind the focus, or stands
    /// so far before it that no real image is left; [`Error::OutOfRange`] for a factor or shift
    /// beyond what [`Converter::from_spec`] takes.
    pub fn from_group(group: NegativeGroup) -> Result<Self> {
        let NegativeGroup {
            focal_length_mm,
            before_focus_mm,
        } = group;
        let real =
            focal_length_mm < 0.0 && before_focus_mm > 0.0 && before_focus_mm < -focal_length_mm;
        if !real || !focal_length_mm.is_finite() {
            return Err(Error::NoBackFocus {
                focal_length_mm,
                before_focus_mm,
                limit_mm: focal_length_mm.abs(),
            });
        }
        let factor = focal_length_mm / (focal_length_mm + before_focus_mm);
        Self::from_spec(ConverterSpec {
            factor,
            transmittance: 1.0,
            image_shift_mm: (factor - 1.0) * before_focus_mm,
        })
    }

    /// A converter of perfect glass from its surfaces, the first of which stands `before_focus_mm`
    /// in front of the bare lens's focus. No surface needs to hold a stop.
    ///
    /// # Errors
    /// [`Error::NoSurface`] and [`Error::Surface`] for a list that is not a group of lenses;
    /// [`Error::NoBackFocus`] when it leaves no real image behind itself; [`Error::OutOfRange`] for
    /// a factor or shift beyond what [`Converter::from_spec`] takes.
    pub fn from_surfaces(surfaces: &[Surface], before_focus_mm: f64) -> Result<Self> {
        let relay = relay(surfaces, before_focus_mm)?;
        let real = relay.back_focus_mm > 0.0 && relay.factor > 0.0 && before_focus_mm > 0.0;
        if !real || !relay.factor.is_finite() {
            return Err(Error::NoBackFocus {
                focal_length_mm: relay.focal_length_mm,
                before_focus_mm,
                limit_mm: relay.limit_mm,
            });
        }
        Self::from_spec(ConverterSpec {
            factor: relay.factor,
            transmittance: 1.0,
            image_shift_mm: relay.shift_mm,
        })
    }

    /// This converter with another one behind it, as one: the second takes the image of the first,
    /// so factors and glass multiply and the shifts add up.
    ///
    /// ```
    /// use wrackline_optics::Converter;
    /// let both = Converter::new(1.4)?.with_behind(Converter::new(2.0)?)?;
    /// assert!((both.factor() - 2.8).abs() < 1e-12);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] where factor or shift of both together lie beyond what
    /// [`from_spec`](Self::from_spec) takes.
    pub fn with_behind(self, behind: Self) -> Result<Self> {
        Self::from_spec(ConverterSpec {
            factor: self.spec.factor * behind.spec.factor,
            transmittance: self.spec.transmittance * behind.spec.transmittance,
            image_shift_mm: self.spec.image_shift_mm + behind.spec.image_shift_mm,
        })
    }

    /// The figures of this converter.
    #[must_use]
    pub fn spec(&self) -> ConverterSpec {
        self.spec
    }

    /// How many times larger the image becomes.
    #[must_use]
    pub fn factor(&self) -> f64 {
        self.spec.factor
    }

    /// Exposure lost, in stops: 2 log2(t) for spreading the light, and -log2 of the transmittance
    /// for the glass.
    #[must_use]
    pub fn stops_lost(&self) -> f64 {
        2.0 * libm::log2(self.spec.factor) - libm::log2(self.spec.transmittance)
    }
}

const FACTOR: Valid = Valid {
    what: "converter factor",
    lowest: 1.0,
    highest: 10.0,
    unit: "",
};

impl TryFrom<ConverterSpec> for Converter {
    type Error = Error;

    fn try_from(spec: ConverterSpec) -> Result<Self> {
        Self::from_spec(spec)
    }
}

impl From<Converter> for ConverterSpec {
    fn from(converter: Converter) -> Self {
        converter.spec
    }
}

/// A hollow tube between the lens and what follows it (a converter or the body).
///
/// It moves the lens's focusing range nearer and takes infinity away: with f the focal length and e
/// its length, the magnification at the infinity setting is e/f (S. F. Ray, *Applied Photographic
/// Optics*, 3rd ed.).
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "f64", into = "f64"))]
pub struct ExtensionTube {
    length_mm: f64,
}

impl ExtensionTube {
    /// A tube of the given length.
    ///
    /// # Errors
    /// [`Error::NotPositive`] unless the length is finite and above zero.
    pub fn new(length_mm: f64) -> Result<Self> {
        Ok(Self {
            length_mm: positive("length of the extension tube", length_mm, "mm")?,
        })
    }

    /// Its length in millimetres.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        self.length_mm
    }
}

impl TryFrom<f64> for ExtensionTube {
    type Error = Error;

    fn try_from(length_mm: f64) -> Result<Self> {
        Self::new(length_mm)
    }
}

impl From<ExtensionTube> for f64 {
    fn from(tube: ExtensionTube) -> Self {
        tube.length_mm
    }
}
