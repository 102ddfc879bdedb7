//! Between which levels the water starts to push the animals, and between which it drowns their
//! place.

use crate::{Outcome, Record};

/// A level seen on a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Height of the high water as seen, metres above chart datum.
    pub level_m: f64,
    /// The entry.
    pub id: String,
}

/// A threshold that lies somewhere between two levels seen.
///
/// ```
/// use wrackline_log::learning::bracket::Seen;
/// use wrackline_log::learning::{Bracket, Expected};
///
/// let seen = |level_m, id: &str| Some(Seen { level_m, id: id.to_owned() });
/// // At 6.72 m they stayed out on the flats, at 7.15 m they were there.
/// let push = Bracket { above: seen(6.72, "L05"), below: seen(7.15, "L15") };
/// let told = |level_m| Expected { level_m, standard_deviation_m: 0.0 };
/// let left_m = |level_m| push.width_after_m(told(level_m)).unwrap_or(f64::NAN);
/// assert!(left_m(6.9) < left_m(7.1)); // a tide in the middle tells more than one at the end
/// assert!((left_m(7.3) - 0.43).abs() < 1e-9); // one beyond tells nothing
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bracket {
    /// The highest level known to lie below the threshold.
    pub above: Option<Seen>,
    /// The lowest level known to lie over it.
    pub below: Option<Seen>,
}

/// What levels and outcomes say about a place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Levels {
    /// The level that pushes the animals into range.
    pub push: Bracket,
    /// The level that drowns the place and empties it.
    pub overtop: Bracket,
    /// Blank visits on which other people were about: they say nothing about the water.
    pub set_aside: Vec<String>,
    /// Blank visits between levels at which the animals came: something other than the water kept
    /// them away.
    pub unexplained: Vec<Seen>,
}

impl Levels {
    /// Learns from visits to one place for one subject; those without an observed level do not
    /// count, since a predicted level may have been decimetres off.
    pub fn learn<'a>(records: impl IntoIterator<Item = &'a Record>) -> Levels {
        let mut came = Vec::new();
        let mut blank = Vec::new();
        let mut levels = Levels::default();
        for Record { entry, .. } in records {
            let Some(level_m) = entry.observed_level_m.filter(|_| entry.outcome.visited()) else {
                continue;
            };
            let seen = Seen {
                level_m,
                id: entry.id.clone(),
            };
            if entry.outcome >= Outcome::InRange {
                came.push(seen);
            } else if entry.people.is_some_and(|people| people > 0) {
                levels.set_aside.push(seen.id);
            } else {
                blank.push(seen);
            }
        }
        let by_level = |a: &&Seen, b: &&Seen| a.level_m.total_cmp(&b.level_m);
        // Where they never came, a blank may lie below the one threshold or above the other:
        // nothing can be said.
        let (Some(lowest), Some(highest)) =
            (came.iter().min_by(by_level), came.iter().max_by(by_level))
        else {
            return levels;
        };
        levels.push = Bracket {
            above: blank
                .iter()
                .filter(|seen| seen.level_m < lowest.level_m)
                .max_by(by_level)
                .cloned(),
            below: Some(lowest.clone()),
        };
        levels.overtop = Bracket {
            above: Some(highest.clone()),
            below: blank
                .iter()
                .filter(|seen| seen.level_m > highest.level_m)
                .min_by(by_level)
                .cloned(),
        };
        let between = lowest.level_m..=highest.level_m;
        levels.unexplained = blank
            .into_iter()
            .filter(|seen| between.contains(&seen.level_m))
            .collect();
        levels
    }
}

/// What the water may do on a coming tide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Height that the high water is expected to reach, metres above chart datum.
    pub level_m: f64,
    /// Standard deviation of what it reaches about that, metres, 0 or more.
    pub standard_deviation_m: f64,
}

impl Bracket {
    /// From end to end, metres, where both ends are known.
    pub fn width_m(&self) -> Option<f64> {
        Some(self.below.as_ref()?.level_m - self.above.as_ref()?.level_m)
    }

    /// The middle, where both ends are known: the level whose outcome would tell the most.
    pub fn middle_m(&self) -> Option<f64> {
        Some(f64::midpoint(
            self.above.as_ref()?.level_m,
            self.below.as_ref()?.level_m,
        ))
    }

    /// The width that is expected to be left after a visit on a coming tide, metres, all levels in
    /// the bracket being equally likely for the threshold. A visit at a level x inside (a, b)
    /// leaves (x - a) with probability (x - a) / (b - a), else (b - x); one outside leaves the
    /// width as it is.
    pub fn width_after_m(&self, expected: Expected) -> Option<f64> {
        let (a, b) = (self.above.as_ref()?.level_m, self.below.as_ref()?.level_m);
        let left = |x: f64| {
            if x > a && x < b {
                ((x - a).powi(2) + (b - x).powi(2)) / (b - a)
            } else {
                b - a
            }
        };
        // The normal distribution as 41 equally spaced points over four standard deviations to
        // either side.
        let points = (-20..=20).map(|i| f64::from(i) / 5.0);
        let (sum, weight) = points
            .map(|z| {
                (
                    (-z * z / 2.0).exp(),
                    left(expected.level_m + z * expected.standard_deviation_m.max(0.0)),
                )
            })
            .fold((0.0, 0.0), |(sum, weight), (w, width)| {
                (sum + w * width, weight + w)
            });
        Some(sum / weight)
    }
}
