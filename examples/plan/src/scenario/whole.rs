//! The scenario as a whole.
//!
//! A [`Scenario`] exists only when every check of `parse` has passed: references resolve, numbers
//! are finite and in range, and each seat can be worked in the way it says. So what reads one has
//! nothing left to refuse.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::closure::Closure;
use super::contact::Contact;
use super::days::FreeHours;
use super::habits::Habits;
use super::kit::NamedKit;
use super::light::Light;
use super::place::Place;
use super::port::Tide;
use super::problem::Warning;
use super::seat::Seat;
use super::subject::Subject;
use super::wanted::Wanted;
use super::water::Water;
use super::way_in::WayIn;
use crate::weather::{Forecast, Taught, Weather};

/// One photographer's places, seats, subjects and kit, checked as a whole.
#[derive(Clone, Debug)]
pub struct Scenario {
    pub(super) title: String,
    pub(super) zone: TimeZone,
    pub(super) zone_name: String,
    pub(super) project_subject: Option<usize>,
    pub(super) tide: Option<Tide>,
    pub(super) water: Water,
    pub(super) habits: Habits,
    pub(super) contact: Option<Contact>,
    pub(super) lights: Vec<Light>,
    pub(super) free_hours: Vec<FreeHours>,
    pub(super) wanted: Vec<Wanted>,
    pub(super) places: Vec<Place>,
    pub(super) seats: Vec<Seat>,
    pub(super) ways_in: Vec<WayIn>,
    pub(super) subjects: Vec<Subject>,
    pub(super) closures: Vec<Closure>,
    pub(super) kits: Vec<NamedKit>,
    pub(super) visits: Option<u32>,
    pub(super) warnings: Vec<Warning>,
    pub(super) weather: Option<Box<Weather>>,
}

impl Scenario {
    /// What the scenario is called.
    pub fn title(&self) -> &str {
        &self.title
    }
    /// The zone in which dates are meant and times are shown.
    pub fn zone(&self) -> &TimeZone {
        &self.zone
    }
    /// The name of that zone as it was written.
    pub fn zone_name(&self) -> &str {
        &self.zone_name
    }
    /// The same scenario with its dates and times in another zone.
    #[must_use]
    pub fn in_zone(mut self, zone: TimeZone, name: &str) -> Self {
        self.zone = zone;
        self.zone_name = name.to_owned();
        // Frozen days are civil days.
        if let Some(weather) = self.weather.take() {
            self.weather = Some(Box::new(weather.again(&self)));
        }
        self
    }
    /// The same scenario in the weather of a forecast, with what a log has taught about the water's
    /// answer to it. Whatever is planned for it is at least as careful as without. `now` is the
    /// instant from which the forecast's age is told; it decides nothing.
    #[must_use]
    pub fn in_weather(
        mut self,
        forecast: Forecast,
        taught: Option<Taught>,
        now: Timestamp,
    ) -> Self {
        let weather = Weather::new(&self, forecast, taught, now);
        self.weather = Some(Box::new(weather));
        self
    }
    /// The weather that is forecast, where a forecast was brought.
    pub fn weather(&self) -> Option<&Weather> {
        self.weather.as_deref()
    }
    /// The subject that the project is about, if one is named.
    pub fn project_subject(&self) -> Option<&Subject> {
        self.project_subject.map(|at| &self.subjects[at])
    }
    /// Visits that the project is planned to take.
    pub fn project_visits(&self) -> Option<u32> {
        self.visits
    }
    /// What is implausible in it, in the order in which it stands in the files. The scenario is
    /// good all the same.
    pub fn warnings(&self) -> &[Warning] {
        &self.warnings
    }
    /// The tide, or `None` inland.
    pub fn tide(&self) -> Option<&Tide> {
        self.tide.as_ref()
    }
    /// How far the water may differ from its prediction.
    pub fn water(&self) -> &Water {
        &self.water
    }
    /// How the photographer works.
    pub fn habits(&self) -> &Habits {
        &self.habits
    }
    /// Who is told before an outing, and raises the alarm.
    pub fn contact(&self) -> Option<&Contact> {
        self.contact.as_ref()
    }
    /// Kinds of light in which pictures are wanted, at least one, the preferred first.
    pub fn lights(&self) -> &[Light] {
        &self.lights
    }
    /// When the photographer is free; empty for always.
    pub fn free_hours(&self) -> &[FreeHours] {
        &self.free_hours
    }
    /// Pictures wanted for the project.
    pub fn wanted(&self) -> &[Wanted] {
        &self.wanted
    }
    /// The animal that a wanted picture shows: its own, or the project's.
    pub fn subject_of(&self, wanted: &Wanted) -> Option<&Subject> {
        let own = wanted.subject.map(|at| &self.subjects[at]);
        own.or(self.project_subject())
    }
    /// The known places.
    pub fn places(&self) -> &[Place] {
        &self.places
    }
    /// The seats at all places.
    pub fn seats(&self) -> &[Seat] {
        &self.seats
    }
    /// The animals.
    pub fn subjects(&self) -> &[Subject] {
        &self.subjects
    }
    /// When places may not be used.
    pub fn closures(&self) -> &[Closure] {
        &self.closures
    }
    /// Every combination of the lenses, converters and bodies owned.
    pub fn kits(&self) -> &[NamedKit] {
        &self.kits
    }
    /// The place at which a seat stands.
    pub fn place_of(&self, seat: &Seat) -> &Place {
        &self.places[seat.place]
    }
    /// The way in that a seat depends on, if the tide can close it.
    pub fn way_in_of(&self, seat: &Seat) -> Option<&WayIn> {
        seat.way_in.map(|at| &self.ways_in[at])
    }
    /// The subjects found at a place.
    pub fn subjects_at(&self, place: &Place) -> impl Iterator<Item = &Subject> {
        place.subjects.iter().map(|&at| &self.subjects[at])
    }
    /// Closures that bear on a place as a whole, whatever the seat and subject.
    pub fn closures_of<'s>(&'s self, place: &'s Place) -> impl Iterator<Item = &'s Closure> {
        self.closures.iter().filter(|closure| {
            closure.seat.is_none()
                && closure.subject.is_none()
                && closure
                    .place
                    .is_none_or(|at| self.places[at].id == place.id)
        })
    }
    /// Closures that bear on a seat when an animal is looked for from it. A closure for an animal
    /// bears on every seat at a place where that animal is listed: it guards the animal, not the
    /// wish.
    pub fn closures_for<'s>(
        &'s self,
        seat: &'s Seat,
        wanted: &'s Subject,
    ) -> impl Iterator<Item = &'s Closure> {
        let place = self.place_of(seat);
        let guarded =
            move |at: usize| place.subjects.contains(&at) || self.subjects[at].id == wanted.id;
        self.closures.iter().filter(move |closure| {
            closure.place.is_none_or(|at| at == seat.place)
                && closure.seat.is_none_or(|at| self.seats[at].id == seat.id)
                && closure.subject.is_none_or(guarded)
        })
    }
}
