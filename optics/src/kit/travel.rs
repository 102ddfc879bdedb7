//! The travel of the focusing mechanism: what each of its settings makes of focal length,
//! magnification and distance.
//!
//! A setting x runs from 0 (infinity) to 1 (closest). With the focal length at infinity as the unit
//! of length, β the change of the focal length over the whole travel, L the magnification that the
//! lens reaches by itself and ε the tube's length:
//!
//! * focal length f = 1 + βx;
//! * the image lies g = ε + L·x·f behind the rear focal point, so the magnification is m = g/f;
//! * from subject to image, less the principal planes' separation, D = (f + g)²/g;
//! * from subject to entrance pupil u = f²/g + f/P.
//!
//! None of m, D and u need rise or fall all the way: with a tube the subject recedes past 1:1, and
//! a focal length that grows when close lets the tube count for less. Where they turn are roots of
//! polynomials, so the travel is cut there and every piece searched by itself.

use crate::kit::marks::{Marks, crosses, crossing};
use crate::lens::Lens;

/// How a lens with a tube behind it focuses, in units of its focal length at infinity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Travel {
    growth: f64,
    largest: f64,
    tube: f64,
    least: f64,
    most: f64,
}

/// The bare lens at one setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stand {
    /// Magnification of the bare lens, tube included.
    pub(super) magnification: f64,
    /// Focal length over that at infinity.
    pub(super) focal: f64,
}

/// A wish that the travel does not reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Beyond {
    /// Too near.
    Near,
    /// Too far.
    Far,
}

/// Far above the rounding of a distance in metres, far below any focusing scale.
pub(super) const ROUNDING: f64 = 1e-9;

/// A few units of the last place, as a share of [`ROUNDING`].
const LAST_BITS: f64 = 1e-4;

impl Stand {
    /// From subject to image, less the principal planes' separation.
    pub(super) fn distance(&self) -> f64 {
        self.focal * (2.0 + self.magnification + 1.0 / self.magnification)
    }
}

impl Travel {
    pub(super) fn new(lens: &Lens, tube_mm: f64) -> Self {
        let focal_mm = lens.focal_length_mm();
        let largest = lens.largest_magnification();
        let mut travel = Self {
            growth: lens.focal_at_setting_mm(largest) / focal_mm - 1.0,
            largest,
            tube: tube_mm / focal_mm,
            least: 0.0,
            most: 0.0,
        };
        if !lens.breathes() {
            travel.growth = 0.0;
        }
        let (open, close) = (travel.stand(0.0), travel.stand(1.0));
        let turn = travel.stand(travel.magnification_turns_at());
        travel.least = open
            .magnification
            .min(close.magnification)
            .min(turn.magnification);
        travel.most = open.magnification.max(close.magnification);
        travel
    }

    /// The least and the greatest magnification of the bare lens, tube included.
    pub(super) fn magnifications(&self) -> (f64, f64) {
        (self.least, self.most)
    }

    /// The bare lens at a setting.
    pub(super) fn stand(&self, setting: f64) -> Stand {
        let focal = 1.0 + self.growth * setting;
        Stand {
            magnification: self.largest * setting + self.tube / focal,
            focal,
        }
    }

    /// Where the magnification turns: m' = L - εβ/f². An end where it does not.
    fn magnification_turns_at(&self) -> f64 {
        let square = self.tube * self.growth / self.largest;
        if square > 1.0 {
            ((libm::sqrt(square) - 1.0) / self.growth).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }

    fn is_rigid(&self) -> bool {
        self.growth == 0.0
    }

    /// Whether a magnification is within the travel, the rounding of a caller's metres forgiven.
    fn reaches(&self, magnification: f64) -> bool {
        magnification >= self.least * (1.0 - ROUNDING)
            && magnification <= self.most * (1.0 + ROUNDING)
    }

    /// The setting nearest to infinity that shows a magnification.
    pub(super) fn at_magnification(&self, magnification: f64) -> Option<Stand> {
        if !self.reaches(magnification) {
            return None;
        }
        if self.is_rigid() {
            return Some(Stand {
                magnification,
                focal: 1.0,
            });
        }
        // g = m f is a quadratic in x, solved without cancellation.
        let square = self.largest * self.growth;
        let linear = self.largest - magnification * self.growth;
        let constant = self.tube - magnification;
        let root = libm::sqrt((linear * linear - 4.0 * square * constant).max(0.0));
        let sum = -0.5 * (linear + root.copysign(linear));
        let error = |setting: f64| (self.stand(setting).magnification - magnification).abs();
        let turn = self.magnification_turns_at();
        // At the ends of the range rounding may put the root outside the travel: the end is as
        // good.
        let setting = [constant / sum, sum / square]
            .into_iter()
            .filter(|setting| (0.0..=1.0).contains(setting))
            .reduce(f64::min)
            .unwrap_or_else(|| {
                [0.0, turn, 1.0].into_iter().fold(0.0, |best, end| {
                    if error(end) < error(best) { end } else { best }
                })
            });
        Some(Stand {
            magnification,
            focal: self.stand(setting).focal,
        })
    }

    /// The nearest and the farthest subject: infinite without a tube.
    pub(super) fn distances(&self) -> (f64, f64) {
        if self.is_rigid() {
            let at = |magnification: f64| {
                Stand {
                    magnification,
                    focal: 1.0,
                }
                .distance()
            };
            let nearest = at(1.0_f64.clamp(self.least, self.most));
            return (nearest, at(self.least).max(at(self.most)));
        }
        let marks = self.distance_marks();
        let each = || marks.all().iter().map(|&x| self.stand(x).distance());
        (
            each().fold(f64::INFINITY, f64::min),
            each().fold(0.0, f64::max),
        )
    }

    /// The stand with the smallest magnification that is in focus at a distance; `slack` is
    /// forgiven at the ends.
    pub(super) fn at_distance(&self, distance: f64, slack: f64) -> Result<Stand, Beyond> {
        if !self.is_rigid() {
            return self.search(&self.distance_marks(), distance, slack, |stand| {
                stand.distance()
            });
        }
        let (nearest, farthest) = self.distances();
        if distance < nearest - slack {
            return Err(Beyond::Near);
        }
        if distance > farthest + slack {
            return Err(Beyond::Far);
        }
        // The root at most 1 of m + 1/m = D - 2, in a form free of cancellation.
        let root = libm::sqrt((distance * (distance - 4.0)).max(0.0));
        let small = 2.0 / (distance - 2.0 + root).max(2.0);
        let roots = [small, 1.0 / small];
        let rigid = |magnification: f64| Stand {
            magnification,
            focal: 1.0,
        };
        if let Some(&root) = roots.iter().find(|&&root| self.reaches(root)) {
            return Ok(rigid(root));
        }
        // Near 1:1 the distance is stationary, so that its last bit shows in half of the
        // magnification's: there the distance decides what is within reach, and the end of the
        // range is where it is.
        let [one, other] = roots.map(|root| rigid(root.clamp(self.least, self.most)));
        let error = |stand: Stand| (stand.distance() - distance).abs();
        Ok(if error(one) <= error(other) {
            one
        } else {
            other
        })
    }

    /// The nearest and the farthest subject as seen from the entrance pupil; infinite without a
    /// tube.
    pub(super) fn pupil_distances(&self, pupils: f64) -> (f64, f64) {
        let marks = self.pupil_marks(pupils);
        let each = || {
            marks
                .all()
                .iter()
                .map(|&x| from_pupil(self.stand(x), pupils))
        };
        (
            each().fold(f64::INFINITY, f64::min),
            each().fold(0.0, f64::max),
        )
    }

    /// The stand with the smallest magnification that is in focus at a distance from the entrance
    /// pupil.
    pub(super) fn at_pupil_distance(
        &self,
        distance: f64,
        pupils: f64,
        slack: f64,
    ) -> Result<Stand, Beyond> {
        if self.is_rigid() {
            let inverse = distance - 1.0 / pupils;
            let magnification = 1.0 / inverse;
            return if inverse > 0.0 && self.reaches(magnification) {
                Ok(Stand {
                    magnification,
                    focal: 1.0,
                })
            } else if inverse > 0.0 && magnification < self.least {
                Err(Beyond::Far)
            } else {
                Err(Beyond::Near)
            };
        }
        self.search(&self.pupil_marks(pupils), distance, slack, |stand| {
            from_pupil(stand, pupils)
        })
    }

    /// The stand nearest to infinity at which a figure passes zero. It is looked for in steps: what
    /// comes back to zero within a sixtieth of the travel is passed over.
    pub(super) fn first_crossing(&self, excess: impl Fn(Stand) -> f64) -> Option<Stand> {
        const STEPS: u32 = 64;
        let at = |setting: f64| excess(self.stand(setting));
        let edge = |step: u32| f64::from(step) / f64::from(STEPS);
        (0..STEPS)
            .map(|step| (edge(step), edge(step + 1)))
            .find(|&(low, high)| crosses(at(low), at(high)))
            .map(|(low, high)| self.stand(crossing(at, low, high)))
    }

    /// The piece of the travel, and in it the place, where a figure takes a value.
    fn search(
        &self,
        marks: &Marks,
        wanted: f64,
        slack: f64,
        figure: impl Fn(Stand) -> f64,
    ) -> Result<Stand, Beyond> {
        let at = |setting: f64| figure(self.stand(setting)) - wanted;
        let inside = marks
            .all()
            .windows(2)
            .filter(|piece| crosses(at(piece[0]), at(piece[1])))
            .map(|piece| crossing(at, piece[0], piece[1]));
        // A wish for an end of a piece may have slipped past it by its last bits.
        let ends = marks
            .all()
            .iter()
            .copied()
            .filter(|&end| at(end).abs() <= LAST_BITS * slack);
        let found = inside
            .chain(ends)
            .map(|setting| self.stand(setting))
            .reduce(|one, other| {
                if other.magnification < one.magnification {
                    other
                } else {
                    one
                }
            });
        if let Some(stand) = found {
            return Ok(stand);
        }
        // Nothing crosses, so the whole travel lies on one side: the end that comes nearest
        // decides.
        let closest = marks
            .all()
            .iter()
            .copied()
            .reduce(|one, other| {
                if at(other).abs() < at(one).abs() {
                    other
                } else {
                    one
                }
            })
            .unwrap_or(0.0);
        let missed = at(closest);
        if missed.abs() <= slack {
            Ok(self.stand(closest))
        } else if missed > 0.0 {
            Err(Beyond::Near)
        } else {
            Err(Beyond::Far)
        }
    }

    /// The ends of the travel and the places where the distance turns: 2f'g + g'(g - f) = 0,
    /// divided by L.
    fn distance_marks(&self) -> Marks {
        let (b, l, e) = (self.growth, self.largest, self.tube);
        if e == 0.0 && b != 0.0 {
            // A lens that breathes is refused where its subject would recede without a tube.
            return Marks::ENDS;
        }
        Marks::of([
            2.0 * b * e / l + e - 1.0,
            l - b + 2.0 * b * e,
            3.0 * l * b,
            2.0 * l * b * b,
            0.0,
        ])
    }

    /// The ends of the travel and the places where the distance from the pupil turns: 2ff'g - f²g'
    /// + f'g²/P = 0, divided by L.
    fn pupil_marks(&self, pupils: f64) -> Marks {
        let (b, l, e) = (self.growth, self.largest, self.tube);
        let p = b / pupils;
        Marks::of([
            2.0 * b * e / l - 1.0 + p * e * e / l,
            2.0 * b * b * e / l - 2.0 * b + 2.0 * p * e,
            p * (l + 2.0 * e * b) - b * b,
            2.0 * p * l * b,
            p * l * b * b,
        ])
    }
}

fn from_pupil(stand: Stand, pupils: f64) -> f64 {
    stand.focal * (1.0 / stand.magnification + 1.0 / pupils)
}
