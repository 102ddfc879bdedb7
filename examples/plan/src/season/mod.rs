//! Many days, many seats: the windows of a season, ranked, and what stood against the rest.

mod at_seat;
pub(crate) mod error;
mod found;
mod ranking;
mod request;
mod span;

use std::sync::atomic::{AtomicUsize, Ordering};

use self::at_seat::at_seat;
pub(crate) use self::at_seat::obstacles;
pub use self::error::{Error, MOST_DAYS, MOST_VISITS};
pub use self::found::{Outing, Relaxation, Season, SeatReport, Tally};
use self::ranking::{keep_some_to_find_out, rank};
pub use self::request::{EVERY_SUBJECT, Request};
pub use self::span::civil_span;
pub(crate) use self::span::{almanac, days};
use crate::cores;
use crate::scenario::{Scenario, Seat, Subject};

/// Computes a season.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season<'s>(scenario: &'s Scenario, request: Request<'_>) -> Result<Season<'s>, Error> {
    season_with_progress(scenario, request, &|_, _| ())
}

/// Computes a season and tells, after each seat and subject, how many of how many are done. The
/// seats are shared out over all cores with the feature `parallel`; the result does not depend on
/// how many there are.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season_with_progress<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Season<'s>, Error> {
    let (last, span) = days(scenario, request.from, request.days)?;
    let light = scenario.light_asked(request.light)?;
    let pairs = pairs(scenario, request)?;
    let almanac = almanac(scenario, request.from, &span)?;

    let done = AtomicUsize::new(0);
    let found = cores::map(&pairs, |&(seat, subject)| {
        let of = (seat, subject, light);
        let found = at_seat(scenario, of, &almanac, request);
        progress(done.fetch_add(1, Ordering::Relaxed) + 1, pairs.len());
        found
    });

    let mut seats = Vec::with_capacity(found.len());
    let mut outings = Vec::new();
    for (report, at_seat) in found {
        seats.push(report);
        outings.extend(at_seat);
    }
    rank(&mut outings);
    let mut outings = keep_some_to_find_out(outings, request.keep);
    for (index, outing) in outings.iter_mut().enumerate() {
        outing.rank = index + 1;
    }
    Ok(Season {
        scenario,
        from: request.from,
        last,
        light,
        windows_in_all: seats.iter().map(|report| report.tally.windows).sum(),
        outings,
        seats,
    })
}

/// The seats and subjects that a request asks for.
fn pairs<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
) -> Result<Vec<(&'s Seat, &'s Subject)>, Error> {
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
    Ok(seats
        .flat_map(|seat| {
            let there = scenario.subjects_at(scenario.place_of(seat));
            there
                .filter(|found| subject.is_none_or(|wanted| wanted.id == found.id))
                .map(move |found| (seat, found))
        })
        .collect())
}
