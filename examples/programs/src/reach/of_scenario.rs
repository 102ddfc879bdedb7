//! A question of reach put to a scenario: its kits, its animals and how near they let anybody.

use wrackline_plan::reach::{KitForm, Question, Rival, SubjectForm};
use wrackline_plan::scenario::{NamedKit, Scenario, Subject};
use wrackline_plan::words::Unknown;

use super::flags::{DISTANCE_M, Flags, missing, question, size};
use crate::cli::Failure;

/// A question from a scenario, with the flags on top.
///
/// # Errors
/// What the scenario does not hold, with what it does; what a flag says wrong.
pub(crate) fn of_scenario(scenario: &Scenario, flags: &Flags) -> Result<Question, Failure> {
    let kits = scenario.kits();
    let first = match (flags.first()?, flags.kit.as_deref()) {
        (Some(by_flags), _) => by_flags,
        (None, Some(name)) => form(asked(kits, name)?),
        (None, None) => {
            let longest = kits.iter().max_by(|a, b| pixels(a).total_cmp(&pixels(b)));
            form(longest.ok_or_else(|| {
                Failure::input(
                    "the scenario has no kit: add a [[body]] and a [[lens]], or give --first, such \
                     as --first 600/4",
                )
            })?)
        }
    };
    let rival = match (flags.rival()?, flags.against.as_deref()) {
        (Some(by_flags), _) => by_flags,
        (None, Some(name)) => Rival::Kit(form(asked(kits, name)?)),
        (None, None) => return Err(missing("--claim, --second or --against", "1260/4")),
    };
    question(flags, seen(scenario, flags)?, first, rival)
}

/// The kit of a name.
fn asked<'k>(kits: &'k [NamedKit], name: &str) -> Result<&'k NamedKit, Failure> {
    let known = || kits.iter().map(|kit| kit.name.as_str());
    let found = kits.iter().find(|kit| kit.name == name);
    found.ok_or_else(|| Failure::input(Unknown::new("kit", name, "in the scenario", known())))
}

/// Pixels that a kit lays on a subject far away, but for what is the same for all.
fn pixels(kit: &NamedKit) -> f64 {
    let factor = kit.converter.map_or(1.0, |converter| converter.factor());
    kit.lens.spec().focal_length_mm * factor / kit.sensor.pixel_pitch_um()
}

fn form(kit: &NamedKit) -> KitForm {
    KitForm {
        name: kit.name.clone(),
        lens: kit.lens,
        tube_mm: None,
        converter: kit.converter,
        sensor: kit.sensor,
        measured: None,
    }
}

/// The subject and its distance: never nearer than an animal of the scenario lets anybody, as the
/// figures would be of a picture that must not be taken.
fn seen(scenario: &Scenario, flags: &Flags) -> Result<(SubjectForm, f64), Failure> {
    let animal = match flags.subject.as_deref() {
        Some(text)
            if text.starts_with(|first: char| first.is_ascii_digit() || first == '-')
                && scenario.subject(text).is_none() =>
        {
            return Ok((size(text)?, flags.distance.unwrap_or(DISTANCE_M)));
        }
        Some(id) => scenario.subject_asked(id).map_err(Failure::input)?,
        None => {
            let subject = scenario.project_subject().or(scenario.subjects().first());
            subject.ok_or_else(|| {
                Failure::input(
                    "the scenario has no animal: add a [[subject]], or give its size, such as \
                     --subject 0.55x0.4",
                )
            })?
        }
    };
    let distance_m = flags.distance.unwrap_or(animal.stand_off_on_foot_m);
    let nearest_m = animal.stand_off_on_foot_m.min(animal.stand_off_from_hide_m);
    if distance_m < nearest_m {
        return Err(too_near(animal, distance_m));
    }
    // As long as it is high: a scenario does not say how high it stands.
    let size = SubjectForm {
        length_m: animal.length_m,
        height_m: animal.length_m,
    };
    Ok((size, distance_m))
}

fn too_near(animal: &Subject, distance_m: f64) -> Failure {
    Failure::input(format!(
        "--distance {distance_m} is nearer than the stand-off distance of {}: give {} m or more \
         on foot, {} m or more from a hide",
        animal.id, animal.stand_off_on_foot_m, animal.stand_off_from_hide_m
    ))
}
