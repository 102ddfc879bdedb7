//! Choosing what a scenario holds by the name that it has there.

use super::light::Light;
use super::place::Place;
use super::seat::Seat;
use super::subject::Subject;
use super::whole::Scenario;
use crate::words::Unknown;

/// Where these names are looked for.
const HERE: &str = "in the scenario";

impl Scenario {
    /// The place with this id.
    pub fn place(&self, id: &str) -> Option<&Place> {
        self.places.iter().find(|place| place.id == id)
    }

    /// The seat with this id.
    pub fn seat(&self, id: &str) -> Option<&Seat> {
        self.seats.iter().find(|seat| seat.id == id)
    }

    /// The subject with this id.
    pub fn subject(&self, id: &str) -> Option<&Subject> {
        self.subjects.iter().find(|subject| subject.id == id)
    }

    /// The place that was asked for by its id.
    ///
    /// # Errors
    /// That there is none, with what could be meant.
    pub fn place_asked(&self, id: &str) -> Result<&Place, Unknown> {
        let known = self.places.iter().map(|place| place.id.as_str());
        self.place(id)
            .ok_or_else(|| Unknown::new("place", id, HERE, known))
    }

    /// The seat that was asked for by its id.
    ///
    /// # Errors
    /// That there is none, with what could be meant.
    pub fn seat_asked(&self, id: &str) -> Result<&Seat, Unknown> {
        let known = self.seats.iter().map(|seat| seat.id.as_str());
        self.seat(id)
            .ok_or_else(|| Unknown::new("seat", id, HERE, known))
    }

    /// The subject that was asked for by its id.
    ///
    /// # Errors
    /// That there is none, with what could be meant.
    pub fn subject_asked(&self, id: &str) -> Result<&Subject, Unknown> {
        let known = self.subjects.iter().map(|subject| subject.id.as_str());
        self.subject(id)
            .ok_or_else(|| Unknown::new("subject", id, HERE, known))
    }

    /// The light that was asked for by its name, or the first.
    ///
    /// # Errors
    /// That there is none, with what could be meant.
    pub fn light_asked(&self, name: Option<&str>) -> Result<&Light, Unknown> {
        let known = self.lights.iter().map(|light| light.name.as_str());
        let mut lights = self.lights.iter();
        let found = lights.find(|light| name.is_none_or(|name| light.name == name));
        found.ok_or_else(|| Unknown::new("light", name.unwrap_or_default(), HERE, known))
    }
}
