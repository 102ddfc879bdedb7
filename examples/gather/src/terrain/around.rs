//! The skyline around a seat: for each direction the highest ground that the eye sees, and how far
//! anything is known of it.

use super::earth::{Foot, altitude_deg};
use super::elevation::Elevation;
use super::error::{Error, within};
use super::march::{Met, NEAREST_M, Piece, Sight};

/// Lines of sight are this far apart, degrees: a tenth of the sun's disc, 26 m at 30 km.
pub const BETWEEN_RAYS_DEG: f64 = 1.0 / RAYS_PER_DEGREE as f64;
/// Lines of sight in a degree.
pub const RAYS_PER_DEGREE: usize = 20;

/// Share of the Earth's curvature that the bending of a line of sight makes up for, in usual air:
/// C. F. Gauss found 0.13 in the survey of Hanover (Geodesy textbooks, such as Torge, Geodesy,
/// 4th ed., 2012, section 5.1.1.2).
pub const USUAL_REFRACTION: f64 = 0.13;
/// Height of the eye of somebody who sits, metres; our default.
pub const SITTING_EYE_M: f64 = 1.2;

/// A straight piece of a line of sight is this long, metres: on a map it bends by 7 mm there at 53
/// degrees of latitude and by 6 cm at 85.
const PIECE_M: f64 = 500.0;

/// How somebody looks around.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// Height of the eye over the ground, metres, 0 to 200.
    pub over_ground_m: f64,
    /// Height of the ground in the heights of the data, metres; theirs when left out.
    pub ground_m: Option<f64>,
    /// Share of the Earth's curvature that refraction makes up for, -1 to 0.9.
    pub refraction: f64,
}

impl Default for Eye {
    fn default() -> Self {
        Self {
            over_ground_m: SITTING_EYE_M,
            ground_m: None,
            refraction: USUAL_REFRACTION,
        }
    }
}

/// A view from a seat, prepared for any direction.
#[derive(Debug)]
pub struct View<'e> {
    elevation: &'e Elevation,
    foot: Foot,
    ground_m: f64,
    eye_m: f64,
    refraction: f64,
}

/// The ground that makes the skyline in a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Obstacle {
    /// Azimuth in degrees.
    pub azimuth_deg: f64,
    /// Apparent altitude in degrees.
    pub altitude_deg: f64,
    /// How far away, metres; of several alike the nearest.
    pub distance_m: f64,
    /// Its height in the data, metres.
    pub height_m: f64,
    /// Which of the sources knows it.
    pub source: usize,
}

/// Why nothing is known beyond a distance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// All of the range is known.
    Range,
    /// A void in the data.
    Void,
    /// The edge of the data.
    Edge,
}

impl End {
    /// In a word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Range => "range",
            Self::Void => "void",
            Self::Edge => "edge of the data",
        }
    }
}

/// What is seen in a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// Azimuth in degrees.
    pub azimuth_deg: f64,
    /// The skyline as far as the ground is known; `None` where nothing is.
    pub obstacle: Option<Obstacle>,
    /// The ground is known without a gap so far, metres.
    pub known_to_m: f64,
    /// Why no farther.
    pub end: End,
}

impl<'e> View<'e> {
    /// Prepares a view.
    ///
    /// # Errors
    /// A figure out of range, or that the height of the seat is not known.
    pub fn new(elevation: &'e Elevation, eye: Eye) -> Result<Self, Error> {
        within("height of the eye", eye.over_ground_m, [0.0, 200.0], "m")?;
        within(
            "refraction",
            eye.refraction,
            [-1.0, 0.9],
            "of the curvature",
        )?;
        let ground_m = match eye.ground_m {
            Some(ground) => within("height of the ground", ground, [-500.0, 9_000.0], "m")?,
            None => elevation.ground_m()?,
        };
        let wanted = elevation.wanted();
        Ok(Self {
            elevation,
            foot: Foot::new(wanted.latitude_deg, wanted.longitude_deg),
            ground_m,
            eye_m: ground_m + eye.over_ground_m,
            refraction: eye.refraction,
        })
    }

    /// Height of the ground at the seat, metres.
    pub fn ground_m(&self) -> f64 {
        self.ground_m
    }

    /// Radius of the circle that a line of sight bends like the straight one over, metres.
    fn radius_m(&self, azimuth_deg: f64) -> f64 {
        self.foot.radius_m(azimuth_deg) / (1.0 - self.refraction)
    }

    /// What is seen in one direction.
    pub fn ray(&self, azimuth_deg: f64) -> Ray {
        self.ray_with(azimuth_deg, &mut Room::default())
    }

    fn ray_with(&self, azimuth_deg: f64, room: &mut Room) -> Ray {
        let range_m = self.elevation.wanted().range_m;
        let radius_m = self.radius_m(azimuth_deg);
        let sight = Sight {
            eye_m: self.eye_m,
            sinks: 0.5 / radius_m,
        };
        let Room {
            places,
            in_frames,
            met,
        } = room;
        // Where the pieces begin and end, on the Earth and in each frame.
        let pieces = (range_m / PIECE_M).ceil().max(1.0) as usize;
        let distance = |index: usize| NEAREST_M.max(range_m * index as f64 / pieces as f64);
        places.clear();
        places.extend((0..=pieces).map(|i| self.foot.at_distance(azimuth_deg, distance(i))));
        in_frames.resize_with(self.elevation.frames.len(), Vec::new);
        for (frame, there) in self.elevation.frames.iter().zip(in_frames.iter_mut()) {
            there.clear();
            there.extend(places.iter().map(|place| frame.place(*place)));
        }
        met.clear();
        for (index, grid) in self.elevation.grids.iter().enumerate() {
            let frame = &self.elevation.frames[grid.frame];
            let there = &in_frames[grid.frame];
            let pieces = there.windows(2).enumerate().filter_map(|(at, ends)| {
                let [Some(from), Some(to)] = [ends[0], ends[1]] else {
                    return None;
                };
                let places = [from, to].map(|p| grid.raster.column_and_row(frame, p));
                Some(Piece {
                    places,
                    distances_m: [distance(at), distance(at + 1)],
                })
            });
            met.look((index, grid), &sight, pieces);
        }
        let known_to_m = met.known_to_m().min(range_m);
        let end = if known_to_m >= range_m - 1.0 {
            End::Range
        } else if met.is_void_at(known_to_m.max(NEAREST_M)) {
            End::Void
        } else {
            End::Edge
        };
        Ray {
            azimuth_deg,
            obstacle: met.top.map(|top| Obstacle {
                azimuth_deg,
                altitude_deg: altitude_deg(radius_m, self.eye_m, top.height_m, top.distance_m),
                distance_m: top.distance_m,
                height_m: top.height_m,
                source: top.grid,
            }),
            known_to_m: if end == End::Range {
                range_m
            } else {
                known_to_m
            },
            end,
        }
    }

    /// What is seen all around, [`RAYS_PER_DEGREE`] lines of sight a degree, from north clockwise.
    /// Tells how many of how many degrees are done.
    pub fn around(&self, mut progress: impl FnMut(usize, usize)) -> Around {
        let mut room = Room::default();
        let mut rays = Vec::with_capacity(360 * RAYS_PER_DEGREE);
        for degree in 0..360 {
            for part in 0..RAYS_PER_DEGREE {
                let azimuth = degree as f64 + part as f64 / RAYS_PER_DEGREE as f64;
                rays.push(self.ray_with(azimuth, &mut room));
            }
            progress(degree + 1, 360);
        }
        Around { rays }
    }

    /// Latitude and longitude of what stands at a distance, degrees north and east.
    pub fn place(&self, azimuth_deg: f64, distance_m: f64) -> [f64; 2] {
        self.foot.at_distance(azimuth_deg, distance_m)
    }

    /// The height from which ground that nobody knows would stand above a skyline, metres in the
    /// heights of the data: where it begins, which is where it must be lowest.
    pub fn would_show_m(&self, ray: &Ray) -> Option<f64> {
        let obstacle = ray.obstacle?;
        let radius = self.radius_m(ray.azimuth_deg);
        let angle = ray.known_to_m / radius;
        let slope = obstacle.altitude_deg.to_radians().tan();
        Some(self.eye_m + ray.known_to_m * slope + 0.5 * ray.known_to_m * angle)
    }
}

/// Room for the work on one line of sight after the other.
#[derive(Debug, Default)]
struct Room {
    places: Vec<[f64; 2]>,
    in_frames: Vec<Vec<Option<[f64; 2]>>>,
    met: Met,
}

/// What is seen all around.
#[derive(Clone, Debug, PartialEq)]
pub struct Around {
    rays: Vec<Ray>,
}

/// What is seen around one bearing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sector {
    /// The bearing in its middle, degrees.
    pub bearing_deg: f64,
    /// The highest in the sector; `None` where nothing is known.
    pub obstacle: Option<Obstacle>,
    /// The line of sight in it that is known least far.
    pub least_known: Ray,
}

impl Around {
    /// All lines of sight, from north clockwise, [`BETWEEN_RAYS_DEG`] apart.
    pub fn rays(&self) -> &[Ray] {
        &self.rays
    }

    /// The highest around each bearing, so many whole degrees from one to the next: half of that
    /// to either side, so that nothing between two bearings is left out. 360 must be a multiple of
    /// the step, else the last sector overlaps the first.
    pub fn sectors(&self, step_deg: usize) -> impl Iterator<Item = Sector> {
        let step_deg = step_deg.clamp(1, 360);
        (0..360).step_by(step_deg).map(move |bearing| {
            let half = step_deg * RAYS_PER_DEGREE / 2;
            let count = self.rays.len();
            let middle = bearing * RAYS_PER_DEGREE + count;
            let own = &self.rays[middle % count];
            let mut sector = Sector {
                bearing_deg: bearing as f64,
                obstacle: own.obstacle,
                least_known: *own,
            };
            for at in middle - half..=middle + half {
                let ray = &self.rays[at % count];
                let height = |o: Option<Obstacle>| o.map_or(f64::NEG_INFINITY, |o| o.altitude_deg);
                if height(ray.obstacle) > height(sector.obstacle) {
                    sector.obstacle = ray.obstacle;
                }
                if ray.known_to_m < sector.least_known.known_to_m {
                    sector.least_known = *ray;
                }
            }
            sector
        })
    }

    /// Bearings, in whole degrees, at which the skyline is the very end of the range: what lies
    /// beyond may stand higher.
    pub fn rising(&self) -> Vec<f64> {
        let rises = |sector: &Sector| {
            let at_the_end = |o: Obstacle| o.distance_m >= sector.least_known.known_to_m * 0.99;
            sector.least_known.end == End::Range && sector.obstacle.is_some_and(at_the_end)
        };
        let sectors = self.sectors(1).filter(rises);
        sectors.map(|sector| sector.bearing_deg).collect()
    }

    /// Stretches of neighbouring bearings, in whole degrees, that are known only so far.
    pub fn gaps(&self) -> Vec<Gap> {
        let mut gaps: Vec<Gap> = Vec::new();
        for sector in self.sectors(1) {
            let ray = sector.least_known;
            if ray.end == End::Range {
                continue;
            }
            match gaps.last_mut() {
                Some(gap) if gap.to_deg + 1.0 == sector.bearing_deg && gap.least.end == ray.end => {
                    gap.to_deg = sector.bearing_deg;
                    if ray.known_to_m < gap.least.known_to_m {
                        gap.least = ray;
                    }
                }
                _ => gaps.push(Gap {
                    from_deg: sector.bearing_deg,
                    to_deg: sector.bearing_deg,
                    least: ray,
                }),
            }
        }
        gaps
    }
}

/// Bearings beside one another of which not all is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The first, whole degrees.
    pub from_deg: f64,
    /// The last.
    pub to_deg: f64,
    /// The line of sight among them that is known least far.
    pub least: Ray,
}
