//! Paraxial rays through a row of surfaces or thin groups.
//!
//! A ray is its height y and its reduced angle n·u. A surface of power φ = (n' - n)/R takes (y, nu)
//! to (y, nu - φy), a gap of length t in a medium n takes it to (y + t·nu/n, nu). The product of
//! these matrices, A B / C D with determinant 1, holds the focal length -1/C, the focal points and
//! the principal planes; the part before the stop places the entrance pupil, the part behind it the
//! exit pupil. Source: E. Hecht, *Optics*, 5th ed. (2017), 6.2.1 (matrix methods). Checked against
//! two independent ray tracers on published prescriptions.

use nalgebra::Matrix2;

use crate::error::{Error, Result, Valid, positive};

/// The curvature of a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
#[non_exhaustive]
pub enum Shape {
    /// Flat, as a bare stop is.
    Plane,
    /// Part of a sphere.
    Sphere {
        /// Radius in millimetres, positive when the centre lies on the sensor's side; 1e-6 to 1e9
        /// in size.
        radius_mm: f64,
    },
}

/// One surface of a lens, in the order in which the light meets them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Surface {
    /// Its curvature.
    pub shape: Shape,
    /// Distance along the axis to the next surface in millimetres, 0 to 1e9; that of the last
    /// surface plays no part.
    pub to_next_mm: f64,
    /// Refractive index behind it, 1 to 5; 1 behind the last one.
    pub index_after: f64,
    /// Whether the aperture stop stands at its vertex. Exactly one surface of a lens holds it.
    pub stop: bool,
}

/// Two thin groups with the stop at the front one: the simplest telephoto.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct TwoGroups {
    /// Focal length of the front group in millimetres, 1e-6 to 1e9 in size.
    pub front_focal_length_mm: f64,
    /// Focal length of the rear group in millimetres, 1e-6 to 1e9 in size; negative in a telephoto.
    pub rear_focal_length_mm: f64,
    /// Distance between the groups in millimetres, 0 to 1e9.
    pub separation_mm: f64,
}

/// What a telephoto of two thin groups is to be like.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Telephoto {
    /// Focal length of the whole in millimetres, above zero.
    pub focal_length_mm: f64,
    /// Distance between the groups in millimetres, above zero.
    pub separation_mm: f64,
    /// Length from the front group to the focus over the focal length, above zero; below 1 for a
    /// telephoto.
    pub telephoto_ratio: f64,
}

impl TwoGroups {
    /// The two groups of a telephoto: with f the focal length, d the separation and B = r f - d the
    /// back focus of a ratio r, the front group is d f/(f - B), the rear one d B/(d + B - f) (from
    /// 1/f = 1/a + 1/b - d/(a b) and B = f (1 - d/a); E. Hecht, *Optics*, 5th ed., 6.1).
    ///
    /// ```
    /// use wrackline_optics::ray::{Cardinals, Telephoto, TwoGroups};
    /// let wanted = Telephoto {
    ///     focal_length_mm: 900.0,
    ///     separation_mm: 100.0,
    ///     telephoto_ratio: 7.0 / 9.0,
    /// };
    /// let groups = TwoGroups::of_telephoto(wanted)?;
    /// assert!((groups.front_focal_length_mm - 300.0).abs() < 1e-9);
    /// assert!((Cardinals::of_groups(groups)?.focal_length_mm - 900.0).abs() < 1e-9);
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::NotPositive`] for a figure that is not finite and above zero, or a separation that
    /// leaves no back focus; [`Error::NoFocus`] where a group would need no power at all: a back
    /// focus of one focal length, or a ratio of 1.
    pub fn of_telephoto(wanted: Telephoto) -> Result<Self> {
        let focal = positive("focal length of the whole", wanted.focal_length_mm, "mm")?;
        let gap = positive("separation of the groups", wanted.separation_mm, "mm")?;
        let ratio = positive("telephoto ratio", wanted.telephoto_ratio, "")?;
        let back = positive("length behind the rear group", ratio * focal - gap, "mm")?;
        let groups = Self {
            front_focal_length_mm: gap * focal / (focal - back),
            rear_focal_length_mm: gap * back / (gap + back - focal),
            separation_mm: gap,
        };
        for focal_length_mm in [groups.front_focal_length_mm, groups.rear_focal_length_mm] {
            if !focal_length_mm.is_finite() {
                return Err(Error::NoFocus { focal_length_mm });
            }
        }
        Ok(groups)
    }
}

/// Where the focal points, principal planes and pupils of a lens lie; places are millimetres behind
/// the first vertex.
///
/// ```
/// use wrackline_optics::ray::{Cardinals, TwoGroups};
/// // 1/f = 1/300 - 1/300 + 100/(300 · 300) = 1/900; the back focus is 900 (1 - 100/300) = 600.
/// let lens = Cardinals::of_groups(TwoGroups {
///     front_focal_length_mm: 300.0,
///     rear_focal_length_mm: -300.0,
///     separation_mm: 100.0,
/// })?;
/// assert!((lens.focal_length_mm - 900.0).abs() < 1e-9);
/// assert!((lens.telephoto_ratio() - 700.0 / 900.0).abs() < 1e-12);
/// # Ok::<(), wrackline_optics::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Cardinals {
    /// Focal length.
    pub focal_length_mm: f64,
    /// From the last vertex to the rear focal point.
    pub back_focus_mm: f64,
    /// The front focal point.
    pub front_focus_z_mm: f64,
    /// The rear focal point.
    pub rear_focus_z_mm: f64,
    /// The front principal plane.
    pub front_principal_z_mm: f64,
    /// The rear principal plane.
    pub rear_principal_z_mm: f64,
    /// From the front to the rear principal plane, negative when they are crossed.
    pub principal_separation_mm: f64,
    /// The entrance pupil.
    pub entrance_pupil_z_mm: f64,
    /// The exit pupil.
    pub exit_pupil_z_mm: f64,
    /// Diameter of the exit pupil over that of the entrance pupil.
    pub pupil_magnification: f64,
    /// From the first to the last vertex.
    pub length_mm: f64,
}

impl Cardinals {
    /// Traces a lens given by its surfaces.
    ///
    /// # Errors
    /// [`Error::NoSurface`] for an empty list; [`Error::Surface`] for a radius, gap or index
    /// outside the range that its field states; [`Error::Stops`] for no stop or several;
    /// [`Error::NoFocus`] for a row that does not focus, or whose stop is imaged at infinity.
    pub fn of_surfaces(surfaces: &[Surface]) -> Result<Self> {
        let row = checked(surfaces)?;
        match surfaces.iter().filter(|surface| surface.stop).count() {
            1 => trace(row),
            count => Err(Error::Stops { count }),
        }
    }

    /// Traces two thin groups.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a figure outside the range that its field states;
    /// [`Error::NoFocus`] for groups that together do not focus.
    pub fn of_groups(groups: TwoGroups) -> Result<Self> {
        let focal = |what, value: f64| {
            let valid = Valid {
                what,
                lowest: 1e-6,
                highest: 1e9,
                unit: "mm",
            };
            valid.check(value.abs()).map(|_| 1.0 / value)
        };
        let front = focal(
            "size of the front group's focal length",
            groups.front_focal_length_mm,
        )?;
        let rear = focal(
            "size of the rear group's focal length",
            groups.rear_focal_length_mm,
        )?;
        let gap = Valid {
            what: "separation of the groups",
            lowest: 0.0,
            highest: 1e9,
            unit: "mm",
        }
        .check(groups.separation_mm)?;
        trace(
            [
                Element {
                    power: front,
                    to_next_mm: gap,
                    index_after: 1.0,
                    stop: true,
                },
                Element {
                    power: rear,
                    to_next_mm: 0.0,
                    index_after: 1.0,
                    stop: false,
                },
            ]
            .into_iter(),
        )
    }

    /// Length from the first vertex to the rear focal point over the focal length: below 1 for a
    /// telephoto.
    #[must_use]
    pub fn telephoto_ratio(&self) -> f64 {
        self.rear_focus_z_mm / self.focal_length_mm
    }
}

/// What a group of surfaces does to the image that the lens before it forms.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Relay {
    /// How many times larger the image becomes.
    pub(crate) factor: f64,
    /// How much farther back it forms.
    pub(crate) shift_mm: f64,
    /// From the last vertex to the image; not positive when there is no real image.
    pub(crate) back_focus_mm: f64,
    /// The group's own focal length.
    pub(crate) focal_length_mm: f64,
    /// How far before the focus the image moves to infinity.
    pub(crate) limit_mm: f64,
}

/// Traces a group whose first vertex stands `before_focus_mm` in front of the image that it takes
/// over.
pub(crate) fn relay(surfaces: &[Surface], before_focus_mm: f64) -> Result<Relay> {
    let row = checked(surfaces)?;
    let (matrix, length_mm) = product(row);
    let (a, b, c, d) = parts(&matrix);
    let to_image_mm = (a * before_focus_mm - b) / (d - c * before_focus_mm);
    Ok(Relay {
        factor: 1.0 / (d - c * before_focus_mm),
        shift_mm: length_mm + to_image_mm - before_focus_mm,
        back_focus_mm: to_image_mm,
        focal_length_mm: -1.0 / c,
        limit_mm: d / c,
    })
}

/// A surface or thin group reduced to what a paraxial ray sees.
#[derive(Debug, Clone, Copy)]
struct Element {
    power: f64,
    to_next_mm: f64,
    index_after: f64,
    stop: bool,
}

impl Element {
    fn refraction(&self) -> Matrix2<f64> {
        Matrix2::new(1.0, 0.0, -self.power, 1.0)
    }

    fn gap(&self) -> Matrix2<f64> {
        Matrix2::new(1.0, self.to_next_mm / self.index_after, 0.0, 1.0)
    }
}

/// The elements of a list of surfaces once each of them is found valid.
fn checked(surfaces: &[Surface]) -> Result<impl Iterator<Item = Element> + Clone + '_> {
    if surfaces.is_empty() {
        return Err(Error::NoSurface);
    }
    for (place, surface) in surfaces.iter().enumerate() {
        let number = place + 1;
        let last = number == surfaces.len();
        let within = |what, value: f64, lowest: f64, highest: f64, unit| {
            if (lowest..=highest).contains(&value) {
                Ok(())
            } else {
                Err(Error::Surface {
                    number,
                    what,
                    value,
                    lowest,
                    highest,
                    unit,
                })
            }
        };
        // From a nanometre to a thousand kilometres: beyond that the products of a row leave the
        // range of numbers.
        if let Shape::Sphere { radius_mm } = surface.shape {
            within("size of the radius", radius_mm.abs(), 1e-6, 1e9, "mm")?;
        }
        if last {
            within(
                "index behind the last surface",
                surface.index_after,
                1.0,
                1.0,
                "",
            )?;
        } else {
            within(
                "gap to the next surface",
                surface.to_next_mm,
                0.0,
                1e9,
                "mm",
            )?;
            within("refractive index", surface.index_after, 1.0, 5.0, "")?;
        }
    }
    let before = core::iter::once(1.0).chain(surfaces.iter().map(|surface| surface.index_after));
    let count = surfaces.len();
    Ok(surfaces
        .iter()
        .zip(before)
        .enumerate()
        .map(move |(place, (surface, index_before))| Element {
            power: match surface.shape {
                Shape::Plane => 0.0,
                Shape::Sphere { radius_mm } => (surface.index_after - index_before) / radius_mm,
            },
            to_next_mm: if place + 1 == count {
                0.0
            } else {
                surface.to_next_mm
            },
            index_after: surface.index_after,
            stop: surface.stop,
        }))
}

/// The matrix from the first to the last vertex, and the length between them.
fn product(row: impl Iterator<Item = Element>) -> (Matrix2<f64>, f64) {
    row.fold(
        (Matrix2::identity(), 0.0),
        |(matrix, length_mm), element| {
            (
                element.gap() * element.refraction() * matrix,
                length_mm + element.to_next_mm,
            )
        },
    )
}

fn parts(matrix: &Matrix2<f64>) -> (f64, f64, f64, f64) {
    (matrix.m11, matrix.m12, matrix.m21, matrix.m22)
}

fn trace(row: impl Iterator<Item = Element> + Clone) -> Result<Cardinals> {
    let (whole, length_mm) = product(row.clone());
    let (a, _, c, d) = parts(&whole);
    // A stop at a refracting vertex is imaged onto itself, so it does not matter on which side of
    // it the row is cut.
    let (front, _) = product(row.clone().take_while(|element| !element.stop));
    let rear = row
        .skip_while(|element| !element.stop)
        .fold(Matrix2::identity(), |matrix, element| {
            element.gap() * element.refraction() * matrix
        });
    let (front_a, front_b, ..) = parts(&front);
    let (_, rear_b, _, rear_d) = parts(&rear);
    let cardinals = Cardinals {
        focal_length_mm: -1.0 / c,
        back_focus_mm: -a / c,
        front_focus_z_mm: d / c,
        rear_focus_z_mm: length_mm - a / c,
        front_principal_z_mm: (d - 1.0) / c,
        rear_principal_z_mm: length_mm + (1.0 - a) / c,
        principal_separation_mm: length_mm + (2.0 - a - d) / c,
        entrance_pupil_z_mm: front_b / front_a,
        exit_pupil_z_mm: length_mm - rear_b / rear_d,
        pupil_magnification: (front_a / rear_d).abs(),
        length_mm,
    };
    let places = [
        cardinals.focal_length_mm,
        cardinals.back_focus_mm,
        cardinals.front_focus_z_mm,
        cardinals.rear_focus_z_mm,
        cardinals.front_principal_z_mm,
        cardinals.rear_principal_z_mm,
        cardinals.principal_separation_mm,
        cardinals.entrance_pupil_z_mm,
        cardinals.exit_pupil_z_mm,
        cardinals.pupil_magnification,
        cardinals.length_mm,
    ];
    if places.iter().all(|place| place.is_finite()) {
        Ok(cardinals)
    } else {
        Err(Error::NoFocus {
            focal_length_mm: cardinals.focal_length_mm,
        })
    }
}

/// A focal length that a lens for pictures must have.
pub(crate) fn forming(cardinals: &Cardinals) -> Result<()> {
    positive("focal length of the whole", cardinals.focal_length_mm, "mm").map(|_| ())
}
