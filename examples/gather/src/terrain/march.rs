//! One line of sight over one grid, cell by cell.
//!
//! Between four posts the ground is taken straight along rows and along columns. Along a straight
//! line over such a cell its height is a parabola, and so is what the Earth's curvature takes from
//! it; so the highest point that the eye sees in a cell has a formula, and no step is chosen.

use super::grid::{Grid, between};

/// Where a stretch of a line of sight lies over a grid: from one place to another, in columns and
/// rows, and the distances from the eye to both.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) places: [[f64; 2]; 2],
    pub(super) distances_m: [f64; 2],
}

/// The eye, and how the line of sight bends away from the ground.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sight {
    /// Height of the eye, metres.
    pub(super) eye_m: f64,
    /// What the ground sinks by at a distance, over the square of the distance.
    pub(super) sinks: f64,
}

/// The highest that has been seen along a line of sight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Top {
    /// Tangent of its altitude, but for terms that make 0.0001 degrees over 150 km.
    pub(super) slope: f64,
    pub(super) distance_m: f64,
    pub(super) height_m: f64,
    pub(super) grid: usize,
}

/// A stretch of a line of sight, from one distance to another, in metres.
pub(super) type Reach = [f64; 2];

/// What a line of sight has met so far.
#[derive(Debug, Default)]
pub(super) struct Met {
    pub(super) top: Option<Top>,
    /// Where the ground is known: in order, none touching the next.
    pub(super) known: Vec<Reach>,
    /// Where data have a void, in any order.
    pub(super) voids: Vec<Reach>,
    /// What the grid that is looked at adds.
    fresh: Vec<Reach>,
}

/// Two stretches nearer than this touch: corners of neighbouring files are rounded differently.
const TOUCH_M: f64 = 1.0;

impl Met {
    pub(super) fn clear(&mut self) {
        self.top = None;
        self.known.clear();
        self.voids.clear();
    }

    /// Looks along pieces of a line of sight, the nearest first, over a grid; where the ground is
    /// known already it stays as it is.
    pub(super) fn look(
        &mut self,
        (index, grid): (usize, &Grid),
        sight: &Sight,
        pieces: impl Iterator<Item = Piece>,
    ) {
        self.fresh.clear();
        let mut passed = 0;
        for piece in pieces {
            let Some(ends) = inside(grid, &piece) else {
                continue;
            };
            self.cross((index, grid), sight, (&piece, ends), &mut passed);
        }
        self.join();
    }

    /// Walks the cells of a piece between two shares of its length.
    fn cross(
        &mut self,
        (index, grid): (usize, &Grid),
        sight: &Sight,
        (piece, [from, to]): (&Piece, [f64; 2]),
        passed: &mut usize,
    ) {
        let [a, b] = piece.places;
        let run = [b[0] - a[0], b[1] - a[1]];
        let [near_m, far_m] = piece.distances_m;
        let length_m = far_m - near_m;
        let at = |share: f64| [a[0] + run[0] * share, a[1] + run[1] * share];
        // A place on a line between cells belongs to the one that is entered.
        let inward = from + 1e-9 * (to - from);
        let mut cell = grid.cell(at(inward));
        let mut share = from;
        let mut left = None;
        while share < to {
            // The share at which the cell is left, along columns or rows.
            let leaves = [0, 1].map(|axis| {
                let line = cell[axis] + i64::from(run[axis] > 0.0);
                if run[axis] == 0.0 {
                    f64::INFINITY
                } else {
                    (line as f64 - a[axis]) / run[axis]
                }
            });
            let across = usize::from(leaves[1] < leaves[0]);
            let out = leaves[across].clamp(share, to);
            let reach = [near_m + length_m * share, near_m + length_m * out];
            if out > share && !self.is_known(reach, passed) {
                let corners = grid.corners(cell);
                let inside = |share: f64| {
                    let place = at(share);
                    [0, 1].map(|axis| (place[axis] - cell[axis] as f64).clamp(0.0, 1.0))
                };
                let enters: f64 = match left {
                    Some((there, height)) if there == share => height,
                    _ => between(corners, inside(share)),
                };
                let goes = between(corners, inside(out));
                if enters.is_nan() || goes.is_nan() || corners.iter().any(|h| h.is_nan()) {
                    add(&mut self.voids, reach);
                    left = None;
                } else {
                    add(&mut self.fresh, reach);
                    let twist = corners[0] - corners[1] - corners[2] + corners[3];
                    let bend = twist * run[0] * run[1] / (length_m * length_m);
                    let profile = Profile {
                        reach,
                        ends: [enters, goes],
                        bend,
                    };
                    profile.raise(index, sight, &mut self.top);
                    left = Some((out, goes));
                }
            }
            share = out;
            cell[across] += if run[across] > 0.0 { 1 } else { -1 };
            // Beyond the last cell of a row or column the piece ends, whatever rounding says.
            if grid.cell(cell.map(|c| c as f64 + 0.5)) != cell {
                break;
            }
        }
    }

    /// Whether another grid has told the ground there. Stretches come in order, so what has been
    /// passed is never looked at again.
    fn is_known(&self, [from, to]: Reach, passed: &mut usize) -> bool {
        while self
            .known
            .get(*passed)
            .is_some_and(|known| known[1] <= from)
        {
            *passed += 1;
        }
        let known = self.known.get(*passed);
        known.is_some_and(|known| known[0] <= from + TOUCH_M && to <= known[1] + TOUCH_M)
    }

    /// Adds what is new to what is known.
    fn join(&mut self) {
        if self.fresh.is_empty() {
            return;
        }
        self.known.append(&mut self.fresh);
        self.known.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let all = std::mem::take(&mut self.known);
        for reach in all {
            add(&mut self.known, reach);
        }
    }

    /// How far the ground is known without a gap, metres.
    pub(super) fn known_to_m(&self) -> f64 {
        match self.known.first() {
            Some(&[from, to]) if from <= NEAREST_M + TOUCH_M => to,
            _ => 0.0,
        }
    }

    /// Whether it is a void where the known ground ends.
    pub(super) fn is_void_at(&self, distance_m: f64) -> bool {
        let mut voids = self.voids.iter();
        voids.any(|[from, to]| (from - TOUCH_M..=to + TOUCH_M).contains(&distance_m))
    }
}

/// Ground nearer to the eye than this is not looked at, metres: it is under the feet.
pub(super) const NEAREST_M: f64 = 1.0;

/// Adds a stretch to those before it.
fn add(reaches: &mut Vec<Reach>, [from, to]: Reach) {
    match reaches.last_mut() {
        Some(last) if from <= last[1] + TOUCH_M => last[1] = last[1].max(to),
        _ => reaches.push([from, to]),
    }
}

/// The shares of its length between which a piece lies over a grid.
fn inside(grid: &Grid, piece: &Piece) -> Option<[f64; 2]> {
    let [a, b] = piece.places;
    let mut shares = [0.0_f64, 1.0];
    for axis in [0, 1] {
        let [low, high] = grid.bounds[axis];
        let run = b[axis] - a[axis];
        if run == 0.0 {
            if a[axis] < low || a[axis] > high {
                return None;
            }
            continue;
        }
        let (one, other) = ((low - a[axis]) / run, (high - a[axis]) / run);
        shares = [shares[0].max(one.min(other)), shares[1].min(one.max(other))];
    }
    (shares[0] < shares[1]).then_some(shares)
}

/// The ground along a line of sight through one cell.
struct Profile {
    reach: Reach,
    /// Heights where the cell is entered and left, metres.
    ends: [f64; 2],
    /// How the height bends, over the square of the distance.
    bend: f64,
}

impl Profile {
    /// Raises what is highest so far to what is seen here.
    fn raise(&self, grid: usize, sight: &Sight, top: &mut Option<Top>) {
        let [from, to] = self.reach;
        let length = to - from;
        let slope =
            |height: f64, distance: f64| (height - sight.eye_m) / distance - sight.sinks * distance;
        let mut seen = |height_m: f64, distance_m: f64| {
            let slope = slope(height_m, distance_m);
            if top.is_none_or(|top| slope > top.slope) {
                *top = Some(Top {
                    slope,
                    distance_m,
                    height_m,
                    grid,
                });
            }
        };
        let [enters, goes] = self.ends;
        seen(enters, from);
        // h(d) = base + tilt d + bend d^2; then (h - eye) / d - sinks d is highest where the
        // square of d is (base - eye) / (bend - sinks), if both are below zero.
        let tilt = (goes - enters) / length - self.bend * (to + from);
        let base = enters - tilt * from - self.bend * from * from;
        let (falls, curves) = (base - sight.eye_m, self.bend - sight.sinks);
        if falls < 0.0 && curves < 0.0 {
            let distance = (falls / curves).sqrt();
            if distance > from && distance < to {
                seen(base + (tilt + self.bend * distance) * distance, distance);
            }
        }
        seen(goes, to);
    }
}
