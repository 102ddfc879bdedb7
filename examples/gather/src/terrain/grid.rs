//! A grid of heights, and the part of it that a range takes in.

use super::earth::Foot;
use super::error::Error;
use super::frame::{Frame, around};

/// The most heights that are held at once: 512 MB.
const MOST_POSTS: u64 = 128 << 20;

/// What no ground of this world reaches, metres: the Dead Sea's shore lies at some -430 and
/// Everest's top at 8849 (common knowledge, no source). What lies outside stands for a void that
/// the file did not declare.
const GROUND_M: [f64; 2] = [-600.0, 9_000.0];

/// How a raster lies in its frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Raster {
    /// The post in the first row and column, east and north.
    pub(super) first: [f64; 2],
    /// From post to post, east and north; north is below zero.
    pub(super) step: [f64; 2],
    /// Columns and rows.
    pub(super) size: [u32; 2],
    /// Whether a height stands for the area around its post: then the raster reaches half a step
    /// beyond its outermost posts.
    pub(super) area: bool,
}

/// Columns and rows, from the first to the last, counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Part {
    pub(super) columns: [u32; 2],
    pub(super) rows: [u32; 2],
}

impl Part {
    pub(super) fn width(&self) -> usize {
        (self.columns[1] - self.columns[0] + 1) as usize
    }

    pub(super) fn height(&self) -> usize {
        (self.rows[1] - self.rows[0] + 1) as usize
    }

    fn posts(&self) -> u64 {
        self.width() as u64 * self.height() as u64
    }
}

/// The circle that is asked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Circle {
    pub(super) latitude_deg: f64,
    pub(super) longitude_deg: f64,
    pub(super) range_m: f64,
}

impl Raster {
    /// A place of the frame in columns and rows.
    pub(super) fn column_and_row(&self, frame: &Frame, [x, y]: [f64; 2]) -> [f64; 2] {
        let middle = self.first[0] + self.step[0] * f64::from(self.size[0]) / 2.0;
        let x = match frame {
            // Wherever the raster counts its degrees from.
            Frame::Degrees => middle + around(x - middle),
            Frame::Metres { .. } => x,
        };
        [
            (x - self.first[0]) / self.step[0],
            (y - self.first[1]) / self.step[1],
        ]
    }

    /// The part of it that a circle takes in; `None` where they lie apart.
    pub(super) fn part_in(&self, frame: &Frame, circle: Circle) -> Option<Part> {
        let foot = Foot::new(circle.latitude_deg, circle.longitude_deg);
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for azimuth in (0..360).step_by(5) {
            let rim = foot.at_distance(f64::from(azimuth), circle.range_m);
            let place = self.column_and_row(frame, frame.place(rim)?);
            for axis in [0, 1] {
                low[axis] = low[axis].min(place[axis]);
                high[axis] = high[axis].max(place[axis]);
            }
        }
        let mut ends = [[0; 2]; 2];
        for axis in [0, 1] {
            // Between two points of the rim it bulges by a thousandth of the radius.
            let room = 2.0 + 0.01 * (high[axis] - low[axis]);
            let last = f64::from(self.size[axis]) - 1.0;
            let from = (low[axis] - room).floor().max(0.0);
            let to = (high[axis] + room).ceil().min(last);
            if from > to {
                return None;
            }
            ends[axis] = [from as u32, to as u32];
        }
        let [columns, rows] = ends;
        Some(Part { columns, rows })
    }
}

/// Heights of a part of a raster.
#[derive(Debug)]
pub(super) struct Grid {
    /// The file that they come from.
    pub(super) file: String,
    /// Which of the frames it stands in.
    pub(super) frame: usize,
    pub(super) raster: Raster,
    /// Metres from post to post.
    pub(super) spacing_m: f64,
    /// The first and last column and row that are known, in columns and rows of the raster; where
    /// heights stand for areas they end between posts.
    pub(super) bounds: [[f64; 2]; 2],
    /// The column and row that the first of the heights belongs to.
    origin: [i64; 2],
    columns: usize,
    /// Row by row; no number where the file has none.
    heights: Vec<f32>,
    /// How many are none, of the part that was read.
    pub(super) voids: u64,
    /// How many of those the file gave as heights that no ground has.
    pub(super) impossible: u64,
}

/// A place for the heights of a part, in the order of rows.
#[derive(Debug)]
pub(super) struct Filling {
    pub(super) part: Part,
    heights: Vec<f32>,
    impossible: u64,
}

impl Filling {
    /// Room for a part, unless it is more than what is held.
    pub(super) fn new(file: &str, part: Part, held: u64) -> Result<Self, Error> {
        let posts = held + part.posts();
        if posts > MOST_POSTS {
            return Err(Error::TooMany {
                file: file.to_owned(),
                posts,
                most: MOST_POSTS,
            });
        }
        Ok(Self {
            part,
            heights: vec![f32::NAN; part.posts() as usize],
            impossible: 0,
        })
    }

    /// Sets a height, in metres; `None` is a void.
    pub(super) fn set(&mut self, [column, row]: [u32; 2], height_m: Option<f64>) {
        let Some(height_m) = height_m else { return };
        if !(GROUND_M[0]..=GROUND_M[1]).contains(&height_m) {
            self.impossible += 1;
            return;
        }
        let at = (row - self.part.rows[0]) as usize * self.part.width()
            + (column - self.part.columns[0]) as usize;
        self.heights[at] = height_m as f32;
    }
}

impl Grid {
    /// The grid of what was filled in. Voids become a height where they stand for one.
    pub(super) fn new(
        (file, frame, raster): (String, usize, Raster),
        spacing_m: f64,
        filling: Filling,
        voids_m: Option<f64>,
    ) -> Self {
        let Filling {
            part,
            mut heights,
            impossible,
        } = filling;
        let voids = heights.iter().filter(|height| height.is_nan()).count() as u64;
        if let Some(stands_for) = voids_m {
            for height in heights.iter_mut().filter(|height| height.is_nan()) {
                *height = stands_for as f32;
            }
        }
        let mut grid = Self {
            file,
            frame,
            raster,
            spacing_m,
            bounds: [part.columns, part.rows].map(|ends| ends.map(f64::from)),
            origin: [part.columns[0], part.rows[0]].map(i64::from),
            columns: part.width(),
            heights,
            voids,
            impossible,
        };
        if raster.area {
            grid.reach_beyond(part);
        }
        grid
    }

    /// Repeats the outermost posts of the raster: a height that stands for an area holds to its
    /// rim.
    fn reach_beyond(&mut self, part: Part) {
        let [columns, rows] = self.raster.size;
        let before = |first: u32| usize::from(first == 0);
        let after = |last: u32, size: u32| usize::from(last + 1 == size);
        let [left, right] = [before(part.columns[0]), after(part.columns[1], columns)];
        let [top, bottom] = [before(part.rows[0]), after(part.rows[1], rows)];
        let (width, height) = (part.width(), part.height());
        let mut heights = Vec::with_capacity((width + left + right) * (height + top + bottom));
        for row in 0..height + top + bottom {
            let row = row.saturating_sub(top).min(height - 1);
            let known = &self.heights[row * width..(row + 1) * width];
            heights.extend(std::iter::repeat_n(known[0], left));
            heights.extend_from_slice(known);
            heights.extend(std::iter::repeat_n(known[width - 1], right));
        }
        self.heights = heights;
        self.columns = width + left + right;
        self.origin = [self.origin[0] - left as i64, self.origin[1] - top as i64];
        for (axis, [less, more]) in [[left, right], [top, bottom]].into_iter().enumerate() {
            self.bounds[axis][0] -= 0.5 * less as f64;
            self.bounds[axis][1] += 0.5 * more as f64;
        }
    }

    /// How many heights it holds.
    pub(super) fn posts(&self) -> u64 {
        self.heights.len() as u64
    }

    /// The heights at the corners of a cell, named by its upper left post: upper left, upper right,
    /// lower left, lower right. Only cells within the bounds have any.
    pub(super) fn corners(&self, [column, row]: [i64; 2]) -> [f64; 4] {
        let at =
            (row - self.origin[1]) as usize * self.columns + (column - self.origin[0]) as usize;
        [at, at + 1, at + self.columns, at + self.columns + 1]
            .map(|at| self.heights.get(at).map_or(f64::NAN, |h| f64::from(*h)))
    }

    /// The cell that a place within the bounds lies in; at the far rim the last one.
    pub(super) fn cell(&self, place: [f64; 2]) -> [i64; 2] {
        [0, 1].map(|axis| {
            let last = self.bounds[axis][1].ceil() as i64 - 1;
            let first = self.bounds[axis][0].floor() as i64;
            (place[axis].floor() as i64).clamp(first, last.max(first))
        })
    }

    /// The height at a place, in columns and rows, straight between posts; no number in a void, and
    /// `None` outside.
    pub(super) fn height_at(&self, place: [f64; 2]) -> Option<f64> {
        let inside =
            [0, 1].map(|axis| (self.bounds[axis][0]..=self.bounds[axis][1]).contains(&place[axis]));
        (inside == [true, true]).then(|| {
            let cell = self.cell(place);
            let share = [0, 1].map(|axis| place[axis] - cell[axis] as f64);
            between(self.corners(cell), share)
        })
    }
}

/// The height in a cell, at a share of its width and of its height: straight along both.
pub(super) fn between([a, b, c, d]: [f64; 4], [x, y]: [f64; 2]) -> f64 {
    let upper = a + (b - a) * x;
    let lower = c + (d - c) * x;
    upper + (lower - upper) * y
}
