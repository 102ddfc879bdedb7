//! The seats of a scenario as places of a table.

use crate::error::Error;
use crate::spot::{Levels, NamedPort, Places, SeatWish, Spot};
use wrackline_plan::scenario::Scenario;

/// For which seats, subject and light of a scenario a table is made.
#[derive(Clone, Copy, Debug, Default)]
pub struct SeatChoice<'c> {
    /// The seats of one place only, by its id.
    pub place: Option<&'c str>,
    /// The seats where this subject is found only, by its id. When left out, every seat is judged
    /// for the project's own subject, or for the first of its place where that one is not found.
    pub subject: Option<&'c str>,
    /// The light, by its name; the scenario's first when left out.
    pub light: Option<&'c str>,
}

pub(super) fn gather(scenario: &Scenario, choice: SeatChoice<'_>) -> Result<Places, Error> {
    let named = |option| move |unknown| Error::Name { option, unknown };
    let light = scenario
        .light_asked(choice.light)
        .map_err(named("--light"))?;
    let light = scenario
        .lights()
        .iter()
        .position(|known| known.name == light.name);
    let subject = choice.subject.map(|id| scenario.subject_asked(id));
    let subject = subject.transpose().map_err(named("--subject"))?;
    let place = choice.place.map(|id| scenario.place_asked(id));
    let place = place.transpose().map_err(named("--place"))?;
    let asked = subject.is_some();
    let subject = subject.or(scenario.project_subject());
    let mut places = Places::default();
    let mut port = None;
    if let Some(tide) = scenario.tide() {
        let own = tide.constants().filter(|known| known.secondary.is_none());
        let Some(constants) = own else {
            return Err(Error::option(
                "--scenario",
                "its water is known at high and low water only, by a printed table or as a \
                 secondary port's, and there is no rate between the turns",
                "give the port's own harmonic constants",
            ));
        };
        places.ports.push(NamedPort {
            name: tide.name.clone(),
            port: constants.port.clone(),
        });
        port = Some(0);
    }
    let zone = places.add_zone(scenario.zone_name(), scenario.zone().clone());
    for (index, seat) in scenario.seats().iter().enumerate() {
        let at = scenario.place_of(seat);
        if place.is_some_and(|wanted| wanted.id != at.id) {
            continue;
        }
        let wanted =
            subject.filter(|wanted| scenario.subjects_at(at).any(|found| found.id == wanted.id));
        if asked && wanted.is_none() {
            continue;
        }
        let found = wanted.or_else(|| scenario.subjects_at(at).next());
        let subject = found.and_then(|found| {
            scenario
                .subjects()
                .iter()
                .position(|known| known.id == found.id)
        });
        places.spots.push(Spot {
            place: at.id.clone(),
            seat: Some(seat.id.clone()),
            observer: seat.observer,
            bearing_deg: Some(seat.bearing_deg),
            levels: Levels {
                push_m: at.push_m,
                overtop_m: at.overtop_m,
                expected_m: scenario.water().expected_m,
            },
            // Inland the tide of the coast means nothing.
            port: port.filter(|_| at.push_m.is_some()),
            zone,
            wish: subject.map(|subject| SeatWish {
                seat: index,
                subject,
                light: light.unwrap_or(0),
            }),
        });
    }
    if places.spots.is_empty() && asked {
        return Err(Error::option(
            "--subject",
            "it is found at no seat of the table",
            "give another, or leave --place out",
        ));
    }
    if places.spots.is_empty() {
        return Err(Error::option(
            "--scenario",
            "there is no seat for the table",
            "add a [[seat]], or give --places",
        ));
    }
    Ok(places)
}
