//! Many days, many seats: the windows of a season, ranked, and what stood against the rest.

mod at_seat;
pub(crate) mod error;
mod found;
mod looked_for;
mod ranking;
mod request;
mod span;

use std::collections::BTreeMap;
use std::sync::Arc;

pub(crate) use self::at_seat::obstacles;
pub use self::error::{Error, MOST_DAYS, MOST_VISITS};
pub use self::found::{Outing, Relaxation, Season, SeatReport, Tally};
use self::looked_for::LookedFor;
pub use self::request::{EVERY_SUBJECT, Request};
pub use self::span::civil_span;
pub(crate) use self::span::{almanac, days};
use crate::cores;
use crate::scenario::Scenario;
use crate::windows::Almanac;

/// Computes a season.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season<'s>(scenario: &'s Scenario, request: Request<'_>) -> Result<Season<'s>, Error> {
    season_with_progress(scenario, request, &|_, _| ())
}

/// Computes a season and tells, after each seat and subject, how many of how many are done. Places
/// and seats are shared out over all cores with the feature `parallel`; the result does not depend
/// on how many there are.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season_with_progress<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Season<'s>, Error> {
    let looked_for = LookedFor::of(scenario, request)?;
    let almanac = almanac(scenario, request.from, &looked_for.span)?;
    Ok(looked_for.season(&almanac, progress))
}

/// The seasons of many scenarios, such as one for each port of a coast, in their order: as
/// [`season`] computes each, but under one sky, which is prepared once for all whose days begin and
/// end together. Names in the request are those of each scenario. With the feature `parallel` the
/// work is shared out over all cores.
pub fn seasons<'s>(
    scenarios: &'s [Scenario],
    request: Request<'_>,
) -> Vec<Result<Season<'s>, Error>> {
    let looked_for: Vec<_> = scenarios
        .iter()
        .map(|scenario| LookedFor::of(scenario, request))
        .collect();
    let mut skies = BTreeMap::new();
    for one in looked_for.iter().flatten() {
        let span = (one.span.start, one.span.end);
        let sky = || Almanac::sky_over(&one.span).map(Arc::new);
        skies.entry(span).or_insert_with(sky);
    }
    cores::map(&looked_for, |one| {
        let one = one.as_ref().map_err(Clone::clone)?;
        let almanac = skies[&(one.span.start, one.span.end)]
            .clone()
            .and_then(|sky| Almanac::under(one.scenario, &one.span, sky));
        let almanac = almanac.map_err(|error| Error::dates(request.from, &error))?;
        Ok(one.season(&almanac, &|_, _| ()))
    })
}
