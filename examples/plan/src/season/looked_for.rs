//! What a season looks for: which days, in what light, from which seats, which animals.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use jiff::civil::Date;

use super::at_seat::at_seat;
use super::error::Error;
use super::found::{Outing, Season, SeatReport};
use super::ranking::{keep_some_to_find_out, rank};
use super::request::{EVERY_SUBJECT, Request};
use super::span::days;
use crate::cores;
use crate::scenario::{Light, Scenario, Seat, Subject};
use crate::time::Stretch;
use crate::windows::{Almanac, PlaceTides, SeatTimes};

/// What a request looks for in a scenario.
pub(super) struct LookedFor<'s, 'r> {
    pub(super) scenario: &'s Scenario,
    pub(super) span: Stretch,
    request: Request<'r>,
    last: Date,
    light: &'s Light,
    /// In the scenario's order, none without an animal.
    seats: Vec<(&'s Seat, Vec<&'s Subject>)>,
}

/// What was found of one animal at one seat.
type Found<'s> = (SeatReport<'s>, Vec<Outing<'s>>);

impl<'s, 'r> LookedFor<'s, 'r> {
    /// # Errors
    /// A name that the scenario does not have, or dates that cannot be represented.
    pub(super) fn of(scenario: &'s Scenario, request: Request<'r>) -> Result<Self, Error> {
        let (last, span) = days(scenario, request.from, request.days)?;
        Ok(Self {
            scenario,
            span,
            request,
            last,
            light: scenario.light_asked(request.light)?,
            seats: seats(scenario, request)?,
        })
    }

    /// The season, by an almanac of its span.
    pub(super) fn season(
        &self,
        almanac: &Almanac,
        progress: &(dyn Fn(usize, usize) + Sync),
    ) -> Season<'s> {
        let mut seats = Vec::new();
        let mut outings = Vec::new();
        for (report, at_seat) in self.found(almanac, progress) {
            seats.push(report);
            outings.extend(at_seat);
        }
        rank(&mut outings);
        let mut outings = keep_some_to_find_out(outings, self.request.keep);
        for (index, outing) in outings.iter_mut().enumerate() {
            outing.rank = index + 1;
        }
        Season {
            scenario: self.scenario,
            from: self.request.from,
            last: self.last,
            light: self.light,
            windows_in_all: seats.iter().map(|report| report.tally.windows).sum(),
            outings,
            seats,
        }
    }

    /// What was found at each seat of each animal, in their order. Place by place: the tides of a
    /// place are kept no longer than it is looked at, so that memory does not grow with the places.
    fn found(
        &self,
        almanac: &Almanac,
        progress: &(dyn Fn(usize, usize) + Sync),
    ) -> impl Iterator<Item = Found<'s>> {
        let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (index, (seat, _)) in self.seats.iter().enumerate() {
            let place = self.scenario.place_of(seat);
            places.entry(&place.id).or_default().push(index);
        }
        let places: Vec<_> = places.into_values().collect();
        let all = self.seats.iter().map(|(_, subjects)| subjects.len()).sum();
        let done = AtomicUsize::new(0);
        let by_place = cores::map(&places, |at_place| {
            let place = self.scenario.place_of(self.seats[at_place[0]].0);
            let tides = PlaceTides::of(self.scenario, place, almanac);
            cores::map(at_place, |&index| {
                let (seat, subjects) = &self.seats[index];
                let times = SeatTimes::of(self.scenario, seat, self.light, almanac);
                let look = |subject: &&'s Subject| {
                    let of = (*seat, *subject, self.light);
                    let known = (tides.as_ref(), &times);
                    let found = at_seat(self.scenario, of, almanac, known, self.request);
                    progress(done.fetch_add(1, Ordering::Relaxed) + 1, all);
                    found
                };
                (index, subjects.iter().map(look).collect::<Vec<_>>())
            })
        });
        let mut found: Vec<_> = by_place.into_iter().flatten().collect();
        found.sort_by_key(|(index, _)| *index);
        found.into_iter().flat_map(|(_, at_seat)| at_seat)
    }
}

/// The seats that a request asks for, each with the animals that it asks for.
fn seats<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
) -> Result<Vec<(&'s Seat, Vec<&'s Subject>)>, Error> {
    if let Some(id) = request.place {
        scenario.place_asked(id)?;
    }
    let subject = match request.subject {
        Some(EVERY_SUBJECT) => None,
        None => scenario.project_subject(),
        Some(id) => Some(scenario.subject_asked(id)?),
    };
    let seats = scenario.seats().iter().filter(|seat| {
        let place = scenario.place_of(seat);
        request.place.is_none_or(|id| id == place.id)
    });
    let with_animals = seats.map(|seat| {
        let there = scenario.subjects_at(scenario.place_of(seat));
        let asked = there.filter(|found| subject.is_none_or(|wanted| wanted.id == found.id));
        (seat, asked.collect::<Vec<_>>())
    });
    Ok(with_animals
        .filter(|(_, asked)| !asked.is_empty())
        .collect())
}
