//! One seat and one subject: the windows, and why the other tides have none.

use std::collections::BTreeMap;

use super::found::{Outing, Relaxation, SeatReport, Tally};
use super::ranking::rank;
use super::request::Request;
use crate::experience::Experience;
use crate::framing::framings;
use crate::scenario::{Light, Scenario, Seat, Subject, Wanted};
use crate::windows::{
    self, Almanac, Condition, Occasion, Phase, PlaceTides, SeatTimes, Window, Wish,
};

/// The windows of a subject at a seat, and the report on all that is none.
pub(super) fn at_seat<'s>(
    scenario: &'s Scenario,
    (seat, subject, light): (&'s Seat, &'s Subject, &'s Light),
    almanac: &Almanac,
    (tides, times): (Option<&PlaceTides<'_>>, &SeatTimes<'_>),
    request: Request<'_>,
) -> (SeatReport<'s>, Vec<Outing<'s>>) {
    let wish = Wish {
        phase: request.phase,
        experience: request.experience,
        ..Wish::new(seat, subject, light)
    };
    let place = scenario.place_of(seat);
    let outlook = windows::outlook_on(scenario, wish, almanac, (tides, times));
    let chance = |told: &Experience| told.chance(&place.id, &wish.subject.id);
    let chance_on = |date| {
        let told = request.experience?;
        Some(told.chance_on(&place.id, &wish.subject.id, date))
    };
    let mut tally = Tally::default();
    let mut outings = Vec::new();
    let mut refused = Vec::new();
    for mut occasion in outlook.occasions {
        tally.all += 1;
        tally.in_band += usize::from(occasion.in_band);
        tally.in_band_and_light += usize::from(occasion.lit);
        tally.open += usize::from(!occasion.windows.is_empty());
        tally.windows += occasion.windows.len();
        let windows = std::mem::take(&mut occasion.windows);
        if windows.is_empty() {
            refused.push(occasion);
            continue;
        }
        let learned = chance_on(occasion.date);
        let weight = learned.map_or(1.0, |chance| chance.mean);
        outings.extend(windows.into_iter().map(|window| Outing {
            seat,
            subject,
            brings: brings(scenario, wish, &occasion, &window),
            occasion: occasion.clone(),
            score: window.score * weight,
            window,
            learned,
            to_find_out: false,
            rank: 0,
        }));
    }
    rank(&mut outings);
    outings.truncate(request.keep);
    let other_lights = if tally.in_band_and_light == 0 {
        other_lights(scenario, wish, almanac, tides)
    } else {
        Vec::new()
    };
    let report = SeatReport {
        seat,
        subject,
        never: outlook.never,
        tally,
        terrain_takes: outlook.terrain_takes,
        obstacles: obstacles(refused.iter()),
        relaxations: relaxations(&refused),
        other_lights,
        framings: framings(scenario, wish.seat, wish.subject),
        learned: request.experience.map(chance),
        refused: if request.keep_refused {
            refused
        } else {
            Vec::new()
        },
    };
    (report, outings)
}

/// The first condition that each occasion fails, and how many fail it, most first.
pub(crate) fn obstacles<'o>(
    occasions: impl Iterator<Item = &'o Occasion>,
) -> Vec<(Condition, usize)> {
    let mut counts: BTreeMap<Condition, usize> = BTreeMap::new();
    for refusal in occasions.filter_map(|occasion| occasion.refusals.first()) {
        *counts.entry(refusal.condition).or_default() += 1;
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    counts
}

fn relaxations(refused: &[Occasion]) -> Vec<Relaxation> {
    let mut out: Vec<Relaxation> = Vec::new();
    for occasion in refused {
        let Some(first) = occasion.refusals.first() else {
            continue;
        };
        let alone = occasion
            .refusals
            .iter()
            .all(|refusal| refusal.condition == first.condition);
        if !alone || first.condition.guards() {
            continue;
        }
        match out
            .iter_mut()
            .find(|known| known.condition == first.condition)
        {
            None => out.push(Relaxation {
                condition: first.condition,
                opens: 1,
                nearest: occasion.date,
                shortfall: first.shortfall,
                reason: first.reason.clone(),
            }),
            Some(known) => {
                known.opens += 1;
                if first.shortfall < known.shortfall {
                    known.nearest = occasion.date;
                    known.shortfall = first.shortfall;
                    known.reason.clone_from(&first.reason);
                }
            }
        }
    }
    out.sort_by(|a, b| b.opens.cmp(&a.opens).then(a.condition.cmp(&b.condition)));
    out
}

/// How many tides in the band would meet each other light.
fn other_lights<'s>(
    scenario: &'s Scenario,
    wish: Wish<'_>,
    almanac: &Almanac,
    tides: Option<&PlaceTides<'_>>,
) -> Vec<(&'s str, usize)> {
    let others = scenario.lights().iter();
    others
        .filter(|light| light.name != wish.light.name)
        .map(|light| {
            let wish = Wish { light, ..wish };
            let lit = windows::lit(scenario, wish, almanac, tides);
            (light.name.as_str(), lit)
        })
        .collect()
}

/// The wanted pictures of a subject that a window may bring, by light and part of the tide.
fn brings<'s>(
    scenario: &'s Scenario,
    wish: Wish<'_>,
    occasion: &Occasion,
    window: &Window,
) -> Vec<&'s Wanted> {
    let shows = |wanted: &&Wanted| {
        let subject = scenario.subject_of(wanted);
        subject.is_none_or(|subject| subject.id == wish.subject.id)
    };
    let in_light = |wanted: &&Wanted| {
        let mut lights = wanted.lights.iter().map(|&at| &scenario.lights()[at]);
        lights.any(|light| light.name == wish.light.name)
    };
    let on_tide = |wanted: &&Wanted| match (&occasion.high_water, wanted.phase) {
        (None, _) | (_, Phase::Both) => true,
        (Some(high_water), Phase::Flood) => window.stretch.start < high_water.at,
        (Some(high_water), Phase::Ebb) => window.stretch.end > high_water.at,
    };
    let mut brings: Vec<&Wanted> = scenario
        .wanted()
        .iter()
        .filter(shows)
        .filter(in_light)
        .filter(on_tide)
        .collect();
    brings.sort_by_key(|wanted| wanted.taken);
    brings
}
