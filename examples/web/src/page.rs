//! What the page shows: the season, and cards.

use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, Season, season};
use wrackline_show::card::{self, Ask};
use wrackline_show::season_page::{self, Contents};

use crate::answer::Failure;
use crate::question::{Asked, Wanted};

/// Asks for every light of the scenario.
const EVERY_LIGHT: &str = "all";

pub(crate) fn page(
    scenario: &Scenario,
    wanted: &Wanted,
    cards: usize,
    demo: bool,
) -> Result<String, Failure> {
    let request = wanted.request();
    let seasons = if request.light == Some(EVERY_LIGHT) {
        let lights = scenario.lights().iter();
        let names = lights.map(|light| Some(light.name.as_str()));
        names
            .map(|light| season(scenario, Request { light, ..request }))
            .collect::<Result<Vec<_>, _>>()
    } else {
        season(scenario, request).map(|one| vec![one])
    };
    let seasons: Vec<Season<'_>> = seasons.map_err(Failure::trouble)?;
    let contents = Contents {
        cards,
        demo,
        ..Contents::of(&seasons)
    };
    season_page::fragment(&contents).map_err(Failure::trouble)
}

pub(crate) fn card(
    scenario: &Scenario,
    wanted: &Wanted,
    rank: usize,
    number: usize,
) -> Result<String, Failure> {
    if rank == 0 {
        return Err(Failure::trouble("windows are counted from 1"));
    }
    let season = season(scenario, wanted.request()).map_err(Failure::trouble)?;
    season_page::card(&season, rank, number).map_err(Failure::trouble)
}

pub(crate) fn card_alone(
    scenario: &Scenario,
    wanted: &Asked,
    demo: bool,
) -> Result<String, Failure> {
    let ask = Ask {
        experience: None,
        date: wanted.date,
        today: wanted.today,
        seat: wanted.seat.as_deref(),
        subject: wanted.subject.as_deref(),
        light: wanted.light.as_deref(),
        phase: wanted.tide.into(),
    };
    let mut card = card::card(scenario, ask).map_err(Failure::trouble)?;
    card.demo = demo;
    Ok(card::page(&card, wanted.paper.into()))
}
