//! The card: one page that holds all of an outing, for paper and for a phone without signal.
//!
//! [`card`] chooses the outing and gathers what belongs on it; [`page`] writes it as one HTML file
//! that needs neither a network nor a script.

mod frame_figure;
mod hints;
mod page;
mod plan_figure;
mod steps;
mod tide_figure;
mod water;

use jiff::civil::Date;

pub use hints::{CUT_OFF, Shutter, flies, light_hint, shutter, unease};
#[cfg(feature = "page")]
pub(crate) use page::content;
pub use page::{Paper, page};
pub use steps::Step;
pub use water::{Level, Levels};

use crate::clock::Clock;
use wrackline_plan::experience::Experience;
use wrackline_plan::framing::Framed;
use wrackline_plan::scenario::{Light, Scenario};
use wrackline_plan::season::{self, Outing, Request, Season, season};
use wrackline_plan::windows::{Departure, Phase};
use wrackline_plan::words::Unknown;

/// Days on either side of an outing among which its plan B is looked for; our default.
const NEIGHBOURING_DAYS: i64 = 3;
/// Days ahead in which the next outing is looked for when no date is given.
const DAYS_AHEAD: u32 = 90;
/// Plans B on a card.
const PLANS_B: usize = 2;
/// Reasons that are told when there is nothing to put on a card.
const REASONS_TOLD: usize = 8;

/// Which outing a card is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// Its civil day in the scenario's zone; the best of the 90 days from `today` when left out.
    pub date: Option<Date>,
    /// The civil day from which to look when there is no date.
    pub today: Date,
    /// One seat only, by its id; the best one when left out.
    pub seat: Option<&'a str>,
    /// One subject only, by its id, or [`season::EVERY_SUBJECT`]; the project's own when left out.
    pub subject: Option<&'a str>,
    /// The light, by its name; the scenario's first when left out.
    pub light: Option<&'a str>,
    /// On which part of the tide.
    pub phase: Phase,
    /// What past visits tell; `None` where nobody has kept a log.
    pub experience: Option<&'a Experience>,
}

/// Why there is no card.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The season around the date cannot be computed.
    #[error(transparent)]
    Season(#[from] season::Error),
    /// A seat that the scenario does not have.
    #[error(transparent)]
    Seat(#[from] Unknown),
    /// Nothing to put on a card.
    #[error("no window {when} in {light}{reasons}{nearest}")]
    NoWindow {
        /// The date, or the stretch of dates.
        when: String,
        /// The light that was asked for.
        light: String,
        /// What stood against it, one line each.
        reasons: String,
        /// The outings nearest in time, if any.
        nearest: String,
    },
    /// The tide cannot be predicted over the outing.
    #[error("the water cannot be predicted for this outing: {reason}; choose another date")]
    Water {
        /// Why.
        reason: String,
    },
}

/// All that a card tells.
#[derive(Clone, Debug)]
pub struct Card<'s> {
    /// Whether it is of the invented demo, because no scenario was given.
    pub demo: bool,
    /// The scenario it is made from.
    pub scenario: &'s Scenario,
    /// The light it is for.
    pub light: &'s Light,
    /// The outing.
    pub outing: Outing<'s>,
    /// The times of the outing, in order.
    pub steps: Vec<Step>,
    /// What the water says about leaving.
    pub departure: Departure,
    /// The water from setting out to the overdue contact; `None` where it plays no part.
    pub levels: Option<Levels>,
    /// What each kit makes of the subject, largest share first.
    pub framings: Vec<Framed>,
    /// The next best outings of the same or neighbouring days.
    pub plan_b: Vec<Outing<'s>>,
    /// How times are printed.
    pub clock: Clock,
}

/// Makes the card of an outing.
///
/// # Errors
/// Names that the scenario does not have; a date without a window, with what stood against it; a
/// tide that cannot be predicted.
pub fn card<'s>(scenario: &'s Scenario, ask: Ask<'_>) -> Result<Card<'s>, Error> {
    if let Some(id) = ask.seat {
        scenario.seat_asked(id)?;
    }
    let around = |from: Date, days: u32| {
        let request = Request {
            subject: ask.subject,
            light: ask.light,
            phase: ask.phase,
            experience: ask.experience,
            ..Request::new(from, days)
        };
        season(scenario, request)
    };
    let fits = |outing: &Outing<'_>, date: Option<Date>| {
        date.is_none_or(|date| outing.occasion.date == date)
            && ask.seat.is_none_or(|id| outing.seat.id == id)
    };
    let date = match ask.date {
        Some(date) => date,
        None => {
            let ahead = around(ask.today, DAYS_AHEAD)?;
            let best = ahead.outings.iter().find(|outing| fits(outing, None));
            best.map(|outing| outing.occasion.date)
                .ok_or_else(|| nothing(&ahead, &ask, None))?
        }
    };
    let first = date.saturating_sub(jiff::Span::new().days(NEIGHBOURING_DAYS));
    let days = 2 * NEIGHBOURING_DAYS as u32 + 1;
    let mut neighbours = around(first, days)?;
    let Some(chosen) = neighbours.outings.iter().position(|o| fits(o, Some(date))) else {
        return Err(nothing(&neighbours, &ask, Some(date)));
    };
    let outing = neighbours.outings.remove(chosen);
    neighbours.outings.truncate(PLANS_B);
    let plan_b = std::mem::take(&mut neighbours.outings);
    assemble(&neighbours, outing, plan_b)
}

/// Makes the card of one outing of a season that is at hand, by its position there. Its plan B is
/// looked for in that season.
///
/// # Errors
/// A position that the season does not have; a tide that cannot be predicted.
#[cfg(feature = "page")]
pub(crate) fn of_outing<'s>(season: &Season<'s>, position: usize) -> Result<Card<'s>, Error> {
    let Some(outing) = season.outings.get(position) else {
        return Err(Error::NoWindow {
            when: format!("number {}", position + 1),
            light: season.light.name.clone(),
            reasons: String::new(),
            nearest: String::new(),
        });
    };
    let near = |other: &Outing<'_>| {
        let days = other.occasion.date.since(outing.occasion.date);
        days.is_ok_and(|span| i64::from(span.get_days()).abs() <= NEIGHBOURING_DAYS)
    };
    let others = season.outings.iter().enumerate();
    let plan_b = others
        .filter(|(at, other)| *at != position && near(other))
        .map(|(_, other)| other.clone())
        .take(PLANS_B)
        .collect();
    assemble(season, outing.clone(), plan_b)
}

/// Puts together what is told of an outing.
fn assemble<'s>(
    season: &Season<'s>,
    outing: Outing<'s>,
    plan_b: Vec<Outing<'s>>,
) -> Result<Card<'s>, Error> {
    let scenario = season.scenario;
    let framings = season
        .seats
        .iter()
        .find(|report| report.seat.id == outing.seat.id && report.subject.id == outing.subject.id)
        .map(|report| report.framings.clone())
        .unwrap_or_default();

    let times = &outing.window.timetable;
    let home = scenario.place_of(outing.seat).from_home_minutes;
    let leave_home = home.map(|m| wrackline_plan::time::shifted(times.set_out, -m));
    let clock = Clock::of(scenario, &outing);
    let levels = match scenario.tide() {
        Some(tide) if steps::water_matters(scenario, &outing) => Some(Levels::over(
            scenario,
            tide,
            &(times.set_out..times.overdue),
        )?),
        _ => None,
    };
    Ok(Card {
        demo: false,
        steps: steps::steps(scenario, &outing, leave_home, &clock),
        departure: times.departure(),
        scenario,
        light: season.light,
        levels,
        framings,
        plan_b,
        clock,
        outing,
    })
}

/// Says what stood against an outing, and which days near it would do.
fn nothing(season: &Season<'_>, ask: &Ask<'_>, date: Option<Date>) -> Error {
    let day = |date: Date| date.strftime("%a %-d %b %Y").to_string();
    let mut reasons = Vec::new();
    for report in &season.seats {
        if ask.seat.is_some_and(|id| report.seat.id != id) {
            continue;
        }
        let who = format!(
            "{} {}, {}",
            report.seat.id, report.seat.name, report.subject.name
        );
        let never = report
            .never
            .iter()
            .map(|refusal| format!("{who}: {refusal}"));
        reasons.extend(never);
        if !report.never.is_empty() {
            continue;
        }
        let that_day = report
            .refused
            .iter()
            .filter(|occasion| date.is_some_and(|date| occasion.date == date));
        for occasion in that_day {
            let tide = occasion.high_water.as_ref().map_or(String::new(), |hw| {
                let at = hw.at.to_zoned_datetime(season.scenario.zone().clone());
                format!(", high water {}", at.strftime("%H:%M"))
            });
            let told: Vec<_> = occasion.refusals.iter().map(ToString::to_string).collect();
            reasons.push(format!("{who}{tide}: {}", told.join("; ")));
        }
    }
    let untold = reasons.len().saturating_sub(REASONS_TOLD);
    reasons.truncate(REASONS_TOLD);
    if untold > 0 {
        reasons.push(format!("and {untold} more"));
    }
    let mut near: Vec<_> = season
        .outings
        .iter()
        .filter(|outing| ask.seat.is_none_or(|id| outing.seat.id == id))
        .map(|outing| (outing.occasion.date, outing.seat.id.as_str()))
        .collect();
    near.sort();
    near.dedup();
    let near: Vec<_> = near
        .into_iter()
        .map(|(date, seat)| format!("{date} at seat {seat}"))
        .collect();
    Error::NoWindow {
        when: match date {
            Some(date) => format!("on {}", day(date)),
            None => format!("from {} to {}", day(season.from), day(season.last)),
        },
        light: season.light.name.clone(),
        reasons: reasons
            .iter()
            .map(|reason| format!("\n  {reason}"))
            .collect(),
        nearest: if near.is_empty() {
            "\n  no window in the days around it either; `season` shows the whole season".to_owned()
        } else {
            format!("\n  near it: {}", near.join(", "))
        },
    }
}
