//! Which waypoint is a place, which a seat and where each seat belongs.

use super::facts::SeatFacts;
use super::globe::{Line, Spot, line};
use super::names::Ids;
use super::waypoint::{Kind, Waypoint};

/// Why waypoints make no sketch.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SketchError {
    /// There are none.
    #[error("there is no waypoint; give at least one, where the animals are")]
    Empty,
    /// Every waypoint says that it is something else.
    #[error(
        "none of the {0} waypoints is a place; mark where the animals are as `place`, in its type \
         or symbol (GPX) or its `kind` (GeoJSON)"
    )]
    NoPlace(usize),
}

/// Farther than this nobody sees an animal, and a scenario takes no larger distance, metres.
const FARTHEST_M: f64 = 10_000.0;
/// Farther than this a way in is no way to a seat, metres in a straight line; our default.
const LONGEST_WALK_M: f64 = 3_000.0;
/// Nearer than this two points of a receiver are one, metres: the smallest figure written.
const NEAREST_M: f64 = 0.05;

/// Where the animals are.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Short name.
    pub id: String,
    /// Name.
    pub name: String,
    /// What was noted.
    pub waypoint: Waypoint,
    /// Height of the water at which the animals come up, metres above chart datum, once known.
    pub push_m: Option<f64>,
}

/// Where the photographer sits.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Short name.
    pub id: String,
    /// Name.
    pub name: String,
    /// What was noted.
    pub waypoint: Waypoint,
    /// Its place, by its number in the sketch.
    pub place: usize,
    /// From the seat to the place; `None` where they are one point, so that nobody knows.
    pub view: Option<Line>,
    /// Whether it is a hide.
    pub hide: bool,
    /// The nearest beginning of a way in, by its number in the sketch, and the line from there.
    pub way_in: Option<(usize, Line)>,
    /// What else is known.
    pub facts: SeatFacts,
}

/// Where a way to seats begins.
#[derive(Clone, Debug, PartialEq)]
pub struct WayIn {
    /// Short name.
    pub id: String,
    /// Name.
    pub name: String,
    /// What was noted.
    pub waypoint: Waypoint,
}

/// A waypoint that became nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Its name.
    pub name: String,
    /// Why.
    pub why: String,
}

/// Waypoints with a meaning each.
#[derive(Clone, Debug, PartialEq)]
pub struct Sketch {
    /// At least one.
    pub places: Vec<Place>,
    /// At least one.
    pub seats: Vec<Seat>,
    /// Where ways in begin.
    pub ways_in: Vec<WayIn>,
    /// What became nothing.
    pub left_out: Vec<LeftOut>,
    /// The rules by which what nobody said was taken, to be told.
    pub rules: Vec<String>,
}

impl Sketch {
    /// Gives each waypoint its meaning: what it says it is. Where none says that it is a place, the
    /// first that says nothing is one; all others that say nothing are seats. A seat belongs to the
    /// nearest place. A place that is the only waypoint gets a seat in the same spot, whose view is
    /// not known.
    ///
    /// # Errors
    /// Waypoints of which none can be a place.
    pub fn of(waypoints: Vec<Waypoint>) -> Result<Self, SketchError> {
        let count = waypoints.len();
        if count == 0 {
            return Err(SketchError::Empty);
        }
        let says = |kind: Kind| move |point: &Waypoint| point.kind == Some(kind);
        let mut rules = Vec::new();
        let first = if waypoints.iter().any(says(Kind::Place)) {
            None
        } else {
            let silent = waypoints.iter().position(|point| point.kind.is_none());
            let first = silent.ok_or(SketchError::NoPlace(count))?;
            rules.push(format!(
                "no waypoint says that it is a place, so the first one is where the animals are: \
                 {}",
                waypoints[first].called(first + 1)
            ));
            Some(first)
        };
        let mut sketch = Self {
            places: Vec::new(),
            seats: Vec::new(),
            ways_in: Vec::new(),
            left_out: Vec::new(),
            rules,
        };
        let mut ids: [Ids; 3] = Default::default();
        let (mut silent, mut sitting) = (Vec::new(), Vec::new());
        for (index, waypoint) in waypoints.into_iter().enumerate() {
            let name = waypoint.called(index + 1);
            match waypoint.kind {
                _ if first == Some(index) => sketch.add_place(&mut ids[0], name, waypoint),
                Some(Kind::Place) => sketch.add_place(&mut ids[0], name, waypoint),
                Some(Kind::WayIn) => sketch.ways_in.push(WayIn {
                    id: ids[2].of(&name, "way"),
                    name,
                    waypoint,
                }),
                Some(Kind::Seat | Kind::Hide) => sitting.push((name, waypoint)),
                None => {
                    silent.push(name.clone());
                    sitting.push((name, waypoint));
                }
            }
        }
        if !silent.is_empty() {
            sketch.rules.push(format!(
                "these say nothing of what they are and are taken for seats: {}",
                silent.join(", ")
            ));
        }
        for (name, waypoint) in sitting {
            sketch.add_seat(&mut ids[1], name, waypoint);
        }
        if sketch.seats.is_empty() {
            let place = sketch.places[0].clone();
            sketch.rules.push(format!(
                "no seat is left, so one stands in the same spot as {} until you move it",
                place.name
            ));
            let at = Waypoint::at(place.waypoint.spot, None);
            sketch.add_seat(&mut ids[1], format!("Seat at {}", place.name), at);
        }
        Ok(sketch)
    }

    fn add_place(&mut self, ids: &mut Ids, name: String, waypoint: Waypoint) {
        self.places.push(Place {
            id: ids.of(&name, "place"),
            name,
            waypoint,
            push_m: None,
        });
    }

    /// A seat at the nearest place, or a waypoint left out where no place is near.
    fn add_seat(&mut self, ids: &mut Ids, name: String, waypoint: Waypoint) {
        let at = waypoint.spot;
        let spots = self.places.iter().map(|place| place.waypoint.spot);
        let Some((place, view)) = nearest(at, spots) else {
            return;
        };
        if view.distance_m > FARTHEST_M {
            self.left_out.push(LeftOut {
                why: format!(
                    "{:.1} km from the nearest place, {}",
                    view.distance_m / 1000.0,
                    self.places[place].name
                ),
                name,
            });
            return;
        }
        let starts = self.ways_in.iter().map(|way| way.waypoint.spot);
        // The walk is told from its beginning to the seat.
        let way_in = nearest(at, starts)
            .map(|(way, _)| (way, line(self.ways_in[way].waypoint.spot, at)))
            .filter(|(_, walk)| walk.distance_m <= LONGEST_WALK_M);
        self.seats.push(Seat {
            id: ids.of(&name, "seat"),
            name,
            place,
            view: (view.distance_m >= NEAREST_M).then_some(view),
            hide: waypoint.kind == Some(Kind::Hide),
            way_in,
            waypoint,
            facts: SeatFacts::default(),
        });
    }

    /// The seats at a place, with their numbers in the sketch.
    pub fn seats_at(&self, place: usize) -> impl Iterator<Item = &Seat> {
        self.seats.iter().filter(move |seat| seat.place == place)
    }
}

/// The nearest of some points, by its number, and the line to it.
fn nearest(from: Spot, to: impl Iterator<Item = Spot>) -> Option<(usize, Line)> {
    to.map(|spot| line(from, spot))
        .enumerate()
        .min_by(|(_, a), (_, b)| a.distance_m.total_cmp(&b.distance_m))
}
