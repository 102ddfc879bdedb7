//! Chances told apart by what the weather, the light and other people did.

use super::ageing::Ageing;
use super::chance::Chance;
use crate::{Outcome, Record, Sky, Wind};

type Condition = (&'static str, fn(&Record) -> bool);

fn force(record: &Record) -> Option<u8> {
    match record.entry.wind? {
        Wind::Calm => Some(0),
        Wind::From { force, .. } => Some(force),
    }
}

fn sun(record: &Record, from: f64, to: f64) -> bool {
    let altitude = record
        .conditions
        .and_then(|conditions| conditions.sun_altitude_deg);
    altitude.is_some_and(|altitude| (from..to).contains(&altitude))
}

fn angle(record: &Record, from: f64, to: f64) -> bool {
    let overcast = matches!(record.entry.sky, Some(Sky::Overcast | Sky::Fog));
    let angle = record
        .conditions
        .and_then(|conditions| conditions.shadow_angle_deg);
    !overcast && angle.is_some_and(|angle| (from..to).contains(&angle))
}

/// What visits are told apart by. The bands of the sun and of the light are those in which outings
/// are planned.
const CONDITIONS: [Condition; 18] = [
    ("wind to force 3", |record| {
        force(record).is_some_and(|force| force <= 3)
    }),
    ("wind force 4-5", |record| {
        force(record).is_some_and(|force| (4..=5).contains(&force))
    }),
    ("wind from force 6", |record| {
        force(record).is_some_and(|force| force >= 6)
    }),
    ("nobody else about", |record| {
        record.entry.people.unwrap_or(0) == 0
    }),
    ("other people about", |record| {
        record.entry.people.unwrap_or(0) > 0
    }),
    ("frozen day", |record| {
        record.entry.frozen_days.unwrap_or(0) > 0
    }),
    ("sky overcast", |record| {
        record.entry.sky == Some(Sky::Overcast)
    }),
    ("fog", |record| record.entry.sky == Some(Sky::Fog)),
    ("dusk glow, sun -4 to 0°", |record| sun(record, -4.0, 0.0)),
    ("warm, sun 0 to 6°", |record| sun(record, 0.0, 6.0)),
    ("low, sun 6 to 12°", |record| sun(record, 6.0, 12.0)),
    ("fair, sun 12 to 20°", |record| sun(record, 12.0, 20.0)),
    ("hard, sun over 20°", |record| sun(record, 20.0, 91.0)),
    ("front light", |record| angle(record, 0.0, 30.0)),
    ("over the shoulder", |record| angle(record, 30.0, 60.0)),
    ("side light", |record| angle(record, 60.0, 120.0)),
    ("rim light", |record| angle(record, 120.0, 160.0)),
    ("into the sun", |record| angle(record, 160.0, 181.0)),
];

/// Visits under a condition below which no chance is printed for it: our choice.
const FEWEST: usize = 3;

/// The chance to come in range and the chance of a select under each condition that has enough
/// visits.
pub(super) fn by_condition(visits: &[&Record], ageing: &Ageing) -> Vec<(String, Chance, Chance)> {
    CONDITIONS
        .iter()
        .filter_map(|(name, holds)| {
            let chosen = || visits.iter().copied().filter(|record| holds(record));
            let chance = |rung| Chance::of_reaching(rung, chosen(), ageing);
            // A condition that all visits share tells nothing by itself.
            let count = chosen().count();
            (count >= FEWEST && count < visits.len()).then(|| {
                (
                    (*name).to_owned(),
                    chance(Outcome::InRange),
                    chance(Outcome::Select),
                )
            })
        })
        .collect()
}
