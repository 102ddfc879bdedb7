//! Where the log meets the scenario: names to accept, and conditions for entries and frames.

use jiff::Timestamp;

use super::accept::{Gate, Named, NamedSeat, Names};
use super::conditions::Conditions;
use super::darwin_core::{Gazetteer, Point};
use super::entry::Entry;
use super::surroundings::Surroundings;
use wrackline_plan::scenario::{Place, Scenario, Seat};

/// The gate through which entries about this scenario come in.
pub fn gate(scenario: &Scenario, now: Timestamp) -> Gate {
    let named = |id: &str, name: &str| Named {
        id: id.to_owned(),
        name: name.to_owned(),
    };
    let places = scenario
        .places()
        .iter()
        .map(|place| named(&place.id, &place.name));
    let seats = scenario.seats().iter().map(|seat| NamedSeat {
        seat: named(&seat.id, &seat.name),
        place: scenario.place_of(seat).id.clone(),
    });
    let subjects = scenario
        .subjects()
        .iter()
        .map(|subject| named(&subject.id, &subject.name));
    Gate {
        names: Names {
            places: places.collect(),
            seats: seats.collect(),
            subjects: subjects.collect(),
        },
        zone: scenario.zone().clone(),
        now,
    }
}

/// What an export needs to know about places and subjects.
pub fn gazetteer(scenario: &Scenario) -> Gazetteer {
    let point = |place: &Place| Point {
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
    };
    let places = scenario
        .places()
        .iter()
        .map(|place| (place.id.clone(), (place.name.clone(), point(place))));
    let names = scenario
        .subjects()
        .iter()
        .map(|subject| (subject.id.clone(), subject.name.clone()));
    Gazetteer {
        places: places.collect(),
        vernacular_names: names.collect(),
        ..Gazetteer::default()
    }
}

/// What a place, and a seat where one is known, bring to the conditions. The tide counts where the
/// place has a level that pushes the animals.
pub fn surroundings<'s>(
    scenario: &'s Scenario,
    place: &'s Place,
    seat: Option<&'s Seat>,
) -> Surroundings<'s> {
    Surroundings {
        observer: seat.map_or(&place.observer, |seat| &seat.observer),
        bearing_deg: seat.map(|seat| seat.bearing_deg),
        tide: scenario.tide().filter(|_| place.push_m.is_some()),
        push_m: place.push_m,
    }
}

/// The conditions of an entry; `None` where only its day is known, or where the scenario no longer
/// has its place.
pub fn conditions(scenario: &Scenario, entry: &Entry) -> Option<Conditions> {
    let at = entry.when.instant()?;
    let place = scenario.place(&entry.place)?;
    let seat = entry.seat.as_deref().and_then(|id| scenario.seat(id));
    Some(surroundings(scenario, place, seat).at(at))
}
