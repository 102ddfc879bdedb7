//! Horizons that are not the horizontal: the sea from a height, and a ridge, a wood or a sea wall before the sun.

use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::angle::{positive_deg, signed_deg};
use crate::body::Body;
use crate::crossing::{AltitudeBand, Limb, Threshold};
use crate::error::{Error, within};
use crate::jet::Jet;
use crate::observer::Observer;
use crate::piece::Moving;
use crate::refraction::Atmosphere;
use crate::sky::Sky;

/// By how much the sea horizon lies below the horizontal for an eye at a height above the water, in degrees, usual refraction included.
///
/// 1.76' times the square root of the height in metres: dip table of the Nautical Almanac. It varies with the air over the water by some 0.05°.
///
/// # Errors
/// If the height lies outside 0 to 100,000 metres or is not a number.
pub fn dip_deg(eye_height_m: f64) -> Result<f64, Error> {
    let height = within("height of the eye", eye_height_m, 0.0, 100_000.0, "m")?;
    Ok(1.76 / 60.0 * libm::sqrt(height))
}

impl Threshold {
    /// The sea horizon, for an eye at a height above the water.
    ///
    /// # Errors
    /// If the height lies outside 0 to 100,000 metres or is not a number.
    pub fn sea_horizon(eye_height_m: f64, air: &Atmosphere) -> Result<Self, Error> {
        // Refraction at the horizontal, as the almanacs do: the formulas do not reach below it.
        Ok(Self::apparent_altitude_deg(0.0, air)?.lowered(dip_deg(eye_height_m)?))
    }
}

/// A point of the skyline, as the eye sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct SkylinePoint {
    /// Azimuth in degrees, clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Apparent altitude in degrees, -10 to 80.
    pub altitude_deg: f64,
}

/// The skyline around a place: altitudes at given azimuths, straight lines between them.
///
/// ```
/// use wrackline_solar::{Skyline, SkylinePoint};
///
/// let skyline = Skyline::new(&[
///     SkylinePoint { azimuth_deg: 90.0, altitude_deg: 0.0 },
///     SkylinePoint { azimuth_deg: 135.0, altitude_deg: 6.0 },
///     SkylinePoint { azimuth_deg: 180.0, altitude_deg: 0.0 },
/// ])?;
/// assert_eq!(skyline.altitude_deg(112.5), 3.0);
/// # Ok::<(), wrackline_solar::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(
        try_from = "crate::record::SkylineRecord",
        into = "crate::record::SkylineRecord"
    )
)]
pub struct Skyline {
    /// In the order of azimuth, none twice.
    points: Vec<SkylinePoint>,
}

impl Skyline {
    /// A skyline through points in any order; one point makes a level skyline.
    ///
    /// # Errors
    /// If there is no point, if an azimuth or altitude lies outside its range or is not a number, or if two points share an azimuth.
    pub fn new(points: &[SkylinePoint]) -> Result<Self, Error> {
        within(
            "number of points of the skyline",
            points.len() as f64,
            1.0,
            100_000.0,
            "",
        )?;
        let mut points = points.to_vec();
        for point in &mut points {
            let azimuth = within(
                "azimuth of the skyline",
                point.azimuth_deg,
                0.0,
                360.0,
                "deg",
            )?;
            within(
                "altitude of the skyline",
                point.altitude_deg,
                -10.0,
                80.0,
                "deg",
            )?;
            point.azimuth_deg = positive_deg(azimuth);
        }
        points.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
        for pair in points.windows(2) {
            if pair[0].azimuth_deg >= pair[1].azimuth_deg {
                return Err(Error::NotRising {
                    what: "the azimuths of the skyline in degrees",
                    lower: pair[0].azimuth_deg,
                    upper: pair[1].azimuth_deg,
                });
            }
        }
        Ok(Self { points })
    }

    /// The points, in the order of azimuth.
    pub fn points(&self) -> &[SkylinePoint] {
        &self.points
    }

    /// The apparent altitude of the skyline at an azimuth in degrees.
    pub fn altitude_deg(&self, azimuth_deg: f64) -> f64 {
        let azimuth = positive_deg(azimuth_deg);
        let after = self.points.partition_point(|p| p.azimuth_deg <= azimuth);
        let count = self.points.len();
        let [a, b] = [(after + count - 1) % count, after % count].map(|i| self.points[i]);
        let gap = gap_deg(a, b);
        let share = positive_deg(azimuth - a.azimuth_deg) / gap;
        a.altitude_deg + share * (b.altitude_deg - a.altitude_deg)
    }

    /// The edges of the skyline in the airless sky.
    fn edges(&self, air: &Atmosphere) -> Vec<Edge> {
        let mut edges = Vec::new();
        let count = self.points.len();
        for (i, a) in self.points.iter().enumerate() {
            let b = self.points[(i + 1) % count];
            let gap = gap_deg(*a, b);
            // A straight edge in the sky is a great circle, which bulges above a line of even slope: cut so that it does by less than 0.002°.
            let steepest = [a.altitude_deg, b.altitude_deg]
                .map(|apparent| air.airless_altitude_deg(apparent).abs())
                .into_iter()
                .fold(0.5, f64::max)
                .to_radians();
            let (sine, cosine) = libm::sincos(steepest);
            let step = libm::sqrt(8.0 * 3.5e-5 / (sine * cosine))
                .to_degrees()
                .min(10.0);
            let parts = libm::ceil(gap / step).max(1.0);
            let point = |part: f64| SkylinePoint {
                azimuth_deg: a.azimuth_deg + gap * part / parts,
                altitude_deg: a.altitude_deg + (b.altitude_deg - a.altitude_deg) * part / parts,
            };
            for part in 0..parts as usize {
                edges.push(Edge::new(point(part as f64), point(part as f64 + 1.0), air));
            }
        }
        edges
    }
}

/// Azimuth from one point clockwise to the next; a full turn from a point to itself.
fn gap_deg(a: SkylinePoint, b: SkylinePoint) -> f64 {
    let gap = positive_deg(b.azimuth_deg - a.azimuth_deg);
    if gap > 0.0 { gap } else { 360.0 }
}

/// A piece of a great circle in the airless sky.
#[derive(Debug, Clone, Copy)]
struct Edge {
    from_deg: f64,
    width_deg: f64,
    /// Unit vector east, north, up across the circle, on its upper side.
    normal: [f64; 3],
}

impl Edge {
    fn new(a: SkylinePoint, b: SkylinePoint, air: &Atmosphere) -> Self {
        let direction = |p: SkylinePoint| {
            let (se, ce) = libm::sincos(air.airless_altitude_deg(p.altitude_deg).to_radians());
            let (sa, ca) = libm::sincos(p.azimuth_deg.to_radians());
            [ce * sa, ce * ca, se]
        };
        let (p, q) = (direction(a), direction(b));
        // Azimuth runs clockwise, so the later point comes first in the product that points upwards.
        let n = [
            q[1] * p[2] - q[2] * p[1],
            q[2] * p[0] - q[0] * p[2],
            q[0] * p[1] - q[1] * p[0],
        ];
        let length = libm::sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
        Self {
            from_deg: a.azimuth_deg,
            width_deg: b.azimuth_deg - a.azimuth_deg,
            normal: n.map(|x| x / length),
        }
    }

    /// Sine of the angle by which the point of the disc that looks across the edge stands above it.
    fn height(&self, limb: Limb, m: &Moving) -> Jet {
        let [e, n, u] = self.normal;
        let centre = m.east.times(e) + m.north.times(n) + m.up.times(u);
        match limb {
            Limb::Centre => centre,
            Limb::Upper => centre + m.radius,
            Limb::Lower => centre - m.radius,
        }
    }

    fn holds(&self, azimuth_deg: f64) -> bool {
        positive_deg(azimuth_deg - self.from_deg) <= self.width_deg
    }
}

impl Observer {
    /// The stretches of a span in which a point of the sun's disc stands above the skyline: with [`Limb::Upper`] some direct light reaches the
    /// place, with [`Limb::Lower`] the whole disc does.
    ///
    /// Ask it with the subject's place and skyline for the light on the subject, and with the seat's for the light on the seat. Below an apparent
    /// altitude of zero refraction is not known to better than 0.2°; the skyline's own error is the larger one for most.
    pub fn sun_above_skyline(
        &self,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Vec<Range<Timestamp>> {
        Sky::new(self, Body::Sun, span)
            .for_many_walks()
            .above_skyline(skyline, limb, air)
    }

    /// The stretches of a span in which a point of the moon's disc stands above the skyline.
    pub fn moon_above_skyline(
        &self,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
        span: Range<Timestamp>,
    ) -> Vec<Range<Timestamp>> {
        Sky::new(self, Body::Moon, span)
            .for_many_walks()
            .above_skyline(skyline, limb, air)
    }
}

impl Sky<'_> {
    pub(crate) fn above_skyline(
        &self,
        skyline: &Skyline,
        limb: Limb,
        air: &Atmosphere,
    ) -> Vec<Range<Timestamp>> {
        let edges = skyline.edges(air);
        let altitudes = || skyline.points().iter().map(|p| p.altitude_deg);
        // Beyond these airless altitudes of the centre the skyline cannot matter: a semi-diameter, and room for the bulge of the edges.
        let room = 0.4;
        let lowest = altitudes().fold(f64::INFINITY, f64::min);
        let highest = altitudes().fold(f64::NEG_INFINITY, f64::max);
        let band = AltitudeBand {
            lowest_deg: (air.airless_altitude_deg(lowest) - room).max(-90.0),
            highest_deg: (air.airless_altitude_deg(highest) + room).min(90.0),
        };
        let mut cuts = Vec::new();
        for near in self.between_days(band) {
            let parts = libm::ceil((near.1 - near.0) / PART_DAYS).max(1.0);
            let length = (near.1 - near.0) / parts;
            for i in 0..parts as usize {
                let start = near.0 + i as f64 * length;
                self.part((start, start + length))
                    .skyline_cuts(&edges, limb, length, &mut cuts);
            }
        }
        self.stretches(cuts, |m| {
            let altitude = m.altitude_deg();
            if altitude <= band.lowest_deg || altitude >= band.highest_deg {
                return altitude >= band.highest_deg;
            }
            edge_at(&edges, m).is_some_and(|edge| edge.height(limb, m).value >= 0.0)
        })
    }
}

/// Into parts of this length a stretch near the skyline is cut, days (10 minutes), so that few edges come into question in each.
const PART_DAYS: f64 = 10.0 / 1440.0;

impl Sky<'_> {
    /// The instants of a short part at which the centre passes from edge to edge, or the point of the disc crosses one.
    fn skyline_cuts(&self, edges: &[Edge], limb: Limb, length: f64, cuts: &mut Vec<f64>) {
        let middle = self.at_middle();
        let azimuth = middle.azimuth_deg();
        // No body turns by more than 6.5 radians a day over the sky (parallax included), and so the azimuth by no more than that over the
        // cosine of the altitude, which itself changes by no more than the same turn.
        let turn = 6.5 * 0.5 * length;
        let level = middle.level() - turn;
        let reach_deg = if level > 0.0 {
            (turn / level).to_degrees()
        } else {
            360.0
        };
        let mut ends = Vec::new();
        ends.extend([self.start(), self.end()]);
        for edge in edges {
            if signed_deg(edge.from_deg - azimuth).abs() <= reach_deg {
                self.azimuth_passages(edge.from_deg, |ut1, _| ends.push(ut1));
            }
        }
        ends.sort_by(f64::total_cmp);
        for pair in ends.windows(2) {
            let part = self.part((pair[0], pair[1]));
            if let Some(edge) = edge_at(edges, &part.at_middle()) {
                part.roots(&|m| edge.height(limb, m), 1.0, |ut1, _, _| cuts.push(ut1));
            }
        }
        cuts.extend(ends);
    }
}

fn edge_at<'a>(edges: &'a [Edge], m: &Moving) -> Option<&'a Edge> {
    let azimuth = m.azimuth_deg();
    // Rounding may leave an azimuth between two edges: the nearest start serves.
    edges.iter().find(|edge| edge.holds(azimuth)).or_else(|| {
        edges.iter().min_by(|a, b| {
            let off = |edge: &Edge| signed_deg(azimuth - edge.from_deg).abs();
            off(a).total_cmp(&off(b))
        })
    })
}
