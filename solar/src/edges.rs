//! A skyline as edges in the airless sky, and when a disc stands above them.

use alloc::vec::Vec;

use crate::angle::positive_deg;
use crate::crossing::{AltitudeBand, Limb};
use crate::jet::Jet;
use crate::moving::Moving;
use crate::refraction::Atmosphere;
use crate::sky::Sky;
use crate::skyline::{Skyline, SkylinePoint, gap_deg};

/// By how much an edge may lie off the line between two points of the skyline, degrees.
const STRAIGHT_DEG: f64 = 0.001;
/// The widest edge, degrees.
const WIDEST_DEG: f64 = 10.0;
/// How often an edge between two points is halved at most: 30° of cliff in a hair's breadth take 9.
const HALVINGS: u32 = 14;

/// All edges of a skyline, clockwise from its first point.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Edges {
    edges: Vec<Edge>,
    /// Beyond these airless altitudes of the centre the skyline cannot matter.
    band: AltitudeBand,
}

impl Edges {
    /// The edges of a skyline in the airless sky.
    pub(crate) fn new(skyline: &Skyline, air: &Atmosphere) -> Self {
        let points = skyline.points();
        let mut edges = Vec::new();
        for (i, a) in points.iter().enumerate() {
            let b = points[(i + 1) % points.len()];
            let gap = gap_deg(*a, b);
            let parts = libm::ceil(gap / WIDEST_DEG).max(1.0);
            let point = |share: f64| SkylinePoint {
                azimuth_deg: a.azimuth_deg + gap * share,
                altitude_deg: a.altitude_deg + (b.altitude_deg - a.altitude_deg) * share,
            };
            for part in 0..parts as usize {
                let [from, to] = [part, part + 1].map(|part| part as f64 / parts);
                straight(&point, (from, to), air, HALVINGS, &mut edges);
            }
        }
        // A semi-diameter above and below, and room for what an edge may lie off.
        const ROOM_DEG: f64 = 0.4;
        let altitudes = || points.iter().map(|p| p.altitude_deg);
        let lowest = altitudes().fold(f64::INFINITY, f64::min);
        let highest = altitudes().fold(f64::NEG_INFINITY, f64::max);
        Self {
            edges,
            band: AltitudeBand {
                lowest_deg: (air.airless_deg(lowest) - ROOM_DEG).max(-90.0),
                highest_deg: (air.airless_deg(highest) + ROOM_DEG).min(90.0),
            },
        }
    }

    /// Which edge an azimuth lies in; also the last, since rounding may leave an azimuth between
    /// two.
    fn index(&self, azimuth_deg: f64) -> usize {
        let first = self.edges[0].from_deg;
        let azimuth = first + positive_deg(azimuth_deg - first);
        let after = self.edges.partition_point(|edge| edge.from_deg <= azimuth);
        after.saturating_sub(1)
    }

    fn at(&self, m: &Moving) -> &Edge {
        &self.edges[self.index(m.azimuth_deg())]
    }

    /// The azimuths at which an edge begins, within so many degrees of an azimuth.
    fn joints(&self, azimuth_deg: f64, reach_deg: f64) -> impl Iterator<Item = f64> {
        let count = self.edges.len();
        let start = azimuth_deg - reach_deg.min(180.0);
        let first = self.index(start);
        (1..=count)
            .map(move |i| self.edges[(first + i) % count].from_deg)
            // A joint that rounding puts before the start must not end the walk.
            .take_while(move |joint| positive_deg(joint - start + 1e-9) <= 2.0 * reach_deg + 1e-9)
    }
}

/// Makes edges of the line between two shares of the way from point to point: halved until each
/// lies as near to the line as wanted.
///
/// A straight edge in the sky is a great circle, which bulges above a line of even slope; and the
/// air bends it, most of all where it is steep.
fn straight(
    point: &impl Fn(f64) -> SkylinePoint,
    (from, to): (f64, f64),
    air: &Atmosphere,
    halvings: u32,
    edges: &mut Vec<Edge>,
) {
    let edge = Edge::new(point(from), point(to), air);
    let off = |share: f64| {
        let p = point(from + share * (to - from));
        edge.altitude_deg(p.azimuth_deg) - air.airless_deg(p.altitude_deg)
    };
    // Written so that an edge too narrow for the digits of an azimuth counts as straight.
    let bent = [0.25, 0.5, 0.75]
        .map(off)
        .iter()
        .any(|off| off.abs() > STRAIGHT_DEG);
    if bent && halvings > 0 && edge.width_deg > NARROWEST_DEG {
        let middle = 0.5 * (from + to);
        straight(point, (from, middle), air, halvings - 1, edges);
        straight(point, (middle, to), air, halvings - 1, edges);
    } else {
        edges.push(edge);
    }
}

/// An edge narrower than this stands upright, degrees: the sun takes 0.25 ms to pass it.
const NARROWEST_DEG: f64 = 1e-6;

/// A piece of a great circle in the airless sky.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Edge {
    from_deg: f64,
    width_deg: f64,
    /// Unit vector east, north, up across the circle, on its upper side.
    normal: [f64; 3],
}

impl Edge {
    fn new(a: SkylinePoint, b: SkylinePoint, air: &Atmosphere) -> Self {
        let direction = |p: SkylinePoint| {
            let (se, ce) = libm::sincos(air.airless_deg(p.altitude_deg).to_radians());
            let (sa, ca) = libm::sincos(p.azimuth_deg.to_radians());
            [ce * sa, ce * ca, se]
        };
        let (p, q) = (direction(a), direction(b));
        // Azimuth runs clockwise, so the later point comes first in the product that points
        // upwards.
        let n = [
            q[1] * p[2] - q[2] * p[1],
            q[2] * p[0] - q[0] * p[2],
            q[0] * p[1] - q[1] * p[0],
        ];
        let length = libm::sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
        let normal = if length > 1e-12 {
            n.map(|x| x / length)
        } else {
            // Two points that are one: level through it.
            let level = libm::sqrt(p[0] * p[0] + p[1] * p[1]);
            [-p[2] * p[0] / level, -p[2] * p[1] / level, level]
        };
        Self {
            from_deg: a.azimuth_deg,
            width_deg: b.azimuth_deg - a.azimuth_deg,
            normal,
        }
    }

    /// The airless altitude of the great circle at an azimuth.
    fn altitude_deg(&self, azimuth_deg: f64) -> f64 {
        let (sine, cosine) = libm::sincos(azimuth_deg.to_radians());
        let [east, north, up] = self.normal;
        libm::atan2(-(east * sine + north * cosine), up).to_degrees()
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
}

/// Into parts of this length a stretch near the skyline is cut, days (10 minutes), so that few
/// edges come into question in each.
const PART_DAYS: f64 = 10.0 / 1440.0;

impl Sky<'_> {
    /// The stretches in which a point of the disc stands above the edges, as days of UT1.
    pub(crate) fn above_skyline(&self, edges: &Edges, limb: Limb) -> Vec<(f64, f64)> {
        let band = edges.band;
        let mut cuts = Vec::new();
        for near in self.between_limits(band) {
            let parts = libm::ceil((near.1 - near.0) / PART_DAYS).max(1.0);
            let length = (near.1 - near.0) / parts;
            for i in 0..parts as usize {
                let start = near.0 + i as f64 * length;
                self.part((start, start + length))
                    .skyline_cuts(edges, limb, length, &mut cuts);
            }
        }
        self.stretches(cuts, |m| {
            let altitude = m.altitude_deg();
            if altitude <= band.lowest_deg || altitude >= band.highest_deg {
                return altitude >= band.highest_deg;
            }
            edges.at(m).height(limb, m).value >= 0.0
        })
    }

    /// The instants of a short part at which the centre passes from edge to edge, or the point of
    /// the disc crosses one.
    fn skyline_cuts(&self, edges: &Edges, limb: Limb, length: f64, cuts: &mut Vec<f64>) {
        let middle = self.at_middle();
        // No body turns by more than 6.5 radians a day over the sky (parallax included), and so the
        // azimuth by no more than that over the cosine of the altitude, which itself changes by no
        // more than the same turn.
        let turn = 6.5 * 0.5 * length;
        let level = middle.level() - turn;
        let reach_deg = if level > 0.0 {
            (turn / level).to_degrees()
        } else {
            360.0
        };
        let mut ends = Vec::new();
        ends.extend([self.start(), self.end()]);
        for joint in edges.joints(middle.azimuth_deg(), reach_deg) {
            self.azimuth_passages(joint, |ut1, _| ends.push(ut1));
        }
        ends.sort_by(f64::total_cmp);
        for pair in ends.windows(2) {
            let part = self.part((pair[0], pair[1]));
            let edge = edges.at(&part.at_middle());
            part.roots(&|m| edge.height(limb, m), 1.0, |ut1, _, _| cuts.push(ut1));
        }
        cuts.extend(ends);
    }
}
