//! Whether a scenario is good, and what can be chosen in it.

use serde::Serialize;
use wrackline_plan::cautions;
use wrackline_plan::scenario::{Scenario, Warning};

use crate::answer::Failure;
use crate::question::Files;
use crate::stricter::{self, Figure};
use crate::texts::Texts;

/// A scenario that is good.
#[derive(Debug, Serialize)]
pub(crate) struct Checked {
    title: String,
    zone: String,
    project_subject: Option<String>,
    places: Vec<Choice>,
    seats: Vec<Choice>,
    subjects: Vec<Choice>,
    lights: Vec<String>,
    tide: Option<String>,
    warnings: Vec<Warning>,
    /// Of the scenario as it was opened.
    figures: Vec<Figure>,
    /// Why a change was not made, where one was not.
    refused: Option<String>,
    cautions: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct Choice {
    id: String,
    name: String,
}

pub(crate) fn checked(texts: Texts, from: &Files) -> Result<Checked, Failure> {
    let own = texts.as_written()?;
    let figures = stricter::figures(&own);
    let (scenario, refused) = match stricter::changed(texts, &from.changes) {
        Ok((_, scenario)) => (scenario, None),
        Err(Failure::Trouble(why)) => (own, Some(why)),
        Err(Failure::Problems(problems)) => (own, Some(problems.to_string())),
    };
    Ok(told(&scenario, figures, refused))
}

fn told(scenario: &Scenario, figures: Vec<Figure>, refused: Option<String>) -> Checked {
    let choice = |id: &str, name: &str| Choice {
        id: id.to_owned(),
        name: name.to_owned(),
    };
    let places = scenario.places().iter();
    let seats = scenario.seats().iter();
    let subjects = scenario.subjects().iter();
    let lights = scenario.lights().iter();
    Checked {
        title: scenario.title().to_owned(),
        zone: scenario.zone_name().to_owned(),
        project_subject: scenario.project_subject().map(|subject| subject.id.clone()),
        places: places.map(|place| choice(&place.id, &place.name)).collect(),
        seats: seats.map(|seat| choice(&seat.id, &seat.name)).collect(),
        subjects: subjects
            .map(|subject| choice(&subject.id, &subject.name))
            .collect(),
        lights: lights.map(|light| light.name.clone()).collect(),
        tide: scenario.tide().map(|tide| tide.name.clone()),
        warnings: scenario.warnings().to_vec(),
        figures,
        refused,
        cautions: cautions::ALL.to_vec(),
    }
}
