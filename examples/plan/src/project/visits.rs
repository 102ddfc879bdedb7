//! The visits that a season offers to the pictures of a project.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;

use crate::scenario::{Light, Scenario, Seat};
use crate::season::Outing;

/// A visit that could be made: one seat, one sitting, whatever the light brings in it.
#[derive(Clone, Debug)]
pub struct Visit<'s> {
    /// The civil day of its tide or first light.
    pub date: Date,
    /// From where.
    pub seat: &'s Seat,
    /// Its best window. The others have the same times of the outing.
    pub outing: Outing<'s>,
    /// The kinds of light that it has, each once.
    pub lights: Vec<&'s str>,
    /// Who must be asked first, and why.
    pub ask_first: Vec<String>,
    /// The wanted pictures that it can bring, as positions in the scenario's, each with the subject
    /// that it would show.
    pub brings: BTreeMap<usize, &'s str>,
    /// What the ranking of the season says of its windows together.
    score: f64,
}

impl<'s> Visit<'s> {
    fn of(outing: Outing<'s>) -> Self {
        Self {
            date: outing.occasion.date,
            seat: outing.seat,
            outing,
            lights: Vec::new(),
            ask_first: Vec::new(),
            brings: BTreeMap::new(),
            score: 0.0,
        }
    }

    /// Takes in one of its windows.
    fn take_in(&mut self, scenario: &'s Scenario, light: &'s Light, outing: Outing<'s>) {
        if !self.lights.contains(&light.name.as_str()) {
            self.lights.push(&light.name);
        }
        for asked in &outing.window.ask_first {
            if !self.ask_first.contains(asked) {
                self.ask_first.push(asked.clone());
            }
        }
        for (position, wanted) in scenario.wanted().iter().enumerate() {
            if outing.brings.iter().any(|one| std::ptr::eq(*one, wanted)) {
                self.brings.entry(position).or_insert(&outing.subject.id);
            }
        }
        self.score += outing.score;
        if outing.score > self.outing.score {
            self.outing = outing;
        }
    }
}

/// Joins windows into sittings and leaves out what another one betters: at the same place on the
/// same day, a visit that brings no more.
pub(super) fn visits<'s>(
    scenario: &'s Scenario,
    outings: impl IntoIterator<Item = (&'s Light, Outing<'s>)>,
) -> Vec<Visit<'s>> {
    // Windows of one seat with one time to be seated and one to get up are one sitting: each has
    // been judged, and together they ask for nothing else.
    let mut sittings: BTreeMap<(Date, &str, Timestamp, Timestamp), Visit<'s>> = BTreeMap::new();
    for (light, outing) in outings {
        let times = &outing.window.timetable;
        let seat = outing.seat.id.as_str();
        let key = (outing.occasion.date, seat, times.seated_by, times.stand_up);
        let visit = sittings
            .entry(key)
            .or_insert_with(|| Visit::of(outing.clone()));
        visit.take_in(scenario, light, outing);
    }
    let mut visits: Vec<Visit<'s>> = sittings
        .into_values()
        .filter(|visit| !visit.brings.is_empty())
        .collect();
    // The better one first: of what brings the same, the first is taken.
    visits.sort_by(|a, b| {
        (a.date, b.brings.len())
            .cmp(&(b.date, a.brings.len()))
            .then(b.score.total_cmp(&a.score))
    });
    let mut kept: Vec<Visit<'s>> = Vec::new();
    for visit in visits {
        let here = scenario.place_of(visit.seat);
        let same_day = kept.iter().rev().take_while(|kept| kept.date == visit.date);
        let same_place = |kept: &&Visit<'_>| std::ptr::eq(scenario.place_of(kept.seat), here);
        let bettered = same_day.filter(same_place).any(|kept| {
            let mut brings = visit.brings.iter();
            brings.all(|(picture, subject)| kept.brings.get(picture) == Some(subject))
        });
        if !bettered {
            kept.push(visit);
        }
    }
    kept
}
