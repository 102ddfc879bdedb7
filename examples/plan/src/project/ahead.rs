//! What there is to say of a picture that the season cannot bring.

use jiff::civil::Date;

use super::{LOOK_AHEAD_DAYS, Outlook, Request, seasons, seasons_in};
use crate::scenario::{Scenario, Wanted};
use crate::season::{Error, Season};
use crate::windows::Condition;

/// What the year after the season, and the other lights, hold for pictures without a window.
pub(super) struct Ahead<'s> {
    later: Vec<(usize, Season<'s>)>,
    others: Vec<(usize, Season<'s>)>,
}

impl<'s> Ahead<'s> {
    pub(super) fn of(
        scenario: &'s Scenario,
        request: Request<'_>,
        last: Date,
        windows: &[usize],
    ) -> Result<Self, Error> {
        let mut ahead = Self {
            later: Vec::new(),
            others: Vec::new(),
        };
        if windows.iter().all(|count| *count > 0) {
            return Ok(ahead);
        }
        if let Ok(next) = last.tomorrow() {
            ahead.later = seasons(scenario, request, next, LOOK_AHEAD_DAYS)?;
        }
        let lights = 0..scenario.lights().len();
        ahead.others = seasons_in(scenario, request, lights, request.from, request.days)?;
        Ok(ahead)
    }

    pub(super) fn outlook(
        &self,
        at: usize,
        limit: Option<Condition>,
        wanted: &Wanted,
    ) -> Outlook<'s> {
        let outings = self.later.iter().flat_map(|(_, season)| &season.outings);
        let mut days: Vec<Date> = outings
            .filter(|outing| outing.brings.contains(&wanted))
            .map(|outing| outing.occasion.date)
            .collect();
        days.sort_unstable();
        if let Some(&first) = days.first() {
            return Outlook::Later {
                first,
                windows: days.len(),
                limit,
            };
        }
        let mut other: Option<(&'s str, usize)> = None;
        for (light, season) in &self.others {
            let scenario = season.scenario;
            let shows = |id: &str| {
                let subject = scenario.subject_of(&scenario.wanted()[at]);
                subject.is_none_or(|subject| subject.id == id)
            };
            let outings = season.outings.iter();
            let count = outings.filter(|outing| shows(&outing.subject.id)).count();
            if !wanted.lights.contains(light) && count > other.map_or(0, |(_, most)| most) {
                other = Some((scenario.lights()[*light].name.as_str(), count));
            }
        }
        Outlook::Never {
            limit,
            other_light: other,
        }
    }
}
