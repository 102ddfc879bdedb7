//! Seats that nobody has built yet.

use wrackline_solar::{Observer, Site};

use super::place::Place;
use super::seat::{Access, Seat};
use super::whole::Scenario;

/// A seat to try out: where it would stand, seen from the animals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// True bearing from the seat to the animals, degrees.
    pub bearing_deg: f64,
    /// Distance to them, metres.
    pub distance_m: f64,
    /// Whether it would be a hide.
    pub hide: bool,
}

/// Metres of a degree of latitude on a sphere of 6371 km: enough for a few hundred metres.
const M_PER_DEG: f64 = 111_195.0;

impl Scenario {
    /// A seat at a place that looks at its animals from `trial`.
    ///
    /// Where `like` names a seat, its ground, way in, minutes and terrain are taken over; else the
    /// seat is dry, reached in no time and under a free sky, so that only light, water and season
    /// decide. `None` at a pole, where bearings mean nothing.
    pub fn trial_seat(&self, place: &Place, like: Option<&Seat>, trial: Trial) -> Option<Seat> {
        let at = self.places.iter().position(|known| known.id == place.id)?;
        let (sin, cos) = (trial.bearing_deg + 180.0).to_radians().sin_cos();
        let latitude_deg = place.latitude_deg + trial.distance_m * cos / M_PER_DEG;
        let parallel = M_PER_DEG * place.latitude_deg.to_radians().cos();
        let longitude_deg = place.longitude_deg + trial.distance_m * sin / parallel;
        let longitude_deg = (longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
        let observer = Observer::new(Site {
            latitude_deg,
            longitude_deg,
            elevation_m: 0.0,
        })
        .ok()?;
        let id = format!("{:.0}\u{b0}", trial.bearing_deg);
        let name = format!("view {id} from {:.0} m", trial.distance_m);
        let seat = match like {
            Some(like) => like.clone(),
            None => Seat {
                id: String::new(),
                name: String::new(),
                observer: place.observer,
                latitude_deg,
                longitude_deg,
                ground_m: None,
                freeboard_m: 0.0,
                bearing_deg: 0.0,
                distance_m: 0.0,
                in_minutes: 0.0,
                out_minutes: 0.0,
                hide: false,
                cover: None,
                permission: None,
                access: Some(Access::Dry),
                skyline: None,
                on_paper: true,
                place: at,
                way_in: None,
            },
        };
        Some(Seat {
            id,
            name,
            observer,
            latitude_deg,
            longitude_deg,
            bearing_deg: trial.bearing_deg.rem_euclid(360.0),
            distance_m: trial.distance_m,
            hide: trial.hide,
            place: at,
            ..seat
        })
    }
}
