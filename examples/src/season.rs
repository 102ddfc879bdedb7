//! Many days, many seats: the windows of a season, ranked, and what stood against the rest.

use jiff::Timestamp;
use jiff::civil::Date;

use crate::framing::{Framed, framings};
use crate::scenario::{Light, Scenario, Seat, Subject};
use crate::stretches::Stretch;
use crate::windows::{self, Condition, MARGIN_HOURS, Occasion, Refusal, Window, Wish};

/// What a season is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Request<'r> {
    /// First civil day in the scenario's zone.
    pub from: Date,
    /// Number of days, at least 1.
    pub days: u32,
    /// One place only, by its id.
    pub place: Option<&'r str>,
    /// One subject only, by its id; [`EVERY_SUBJECT`] for all, and the project's own (or all) when left out.
    pub subject: Option<&'r str>,
    /// The light, by its name; the scenario's first when left out.
    pub light: Option<&'r str>,
}

/// Asks for all subjects, not only the project's.
pub const EVERY_SUBJECT: &str = "all";
/// The longest season, in days: ten years.
pub const MOST_DAYS: u32 = 3660;

/// Why a season cannot be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A name that the scenario does not have.
    #[error("there is no {what} \"{name}\" in the scenario; known: {known}")]
    Unknown {
        /// The kind of thing that was named.
        what: &'static str,
        /// The name.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A number of days that makes no season.
    #[error("{days} days is out of range; give 1 to {MOST_DAYS}")]
    Days {
        /// The number of days.
        days: u32,
    },
    /// Dates outside of what the calendar or the tide can represent.
    #[error("the season from {from} cannot be computed: {reason}; choose other dates")]
    Dates {
        /// First day.
        from: Date,
        /// Why.
        reason: String,
    },
}

/// The windows of a season.
#[derive(Clone, Debug)]
pub struct Season<'s> {
    /// The scenario it was computed for.
    pub scenario: &'s Scenario,
    /// First civil day.
    pub from: Date,
    /// Last civil day.
    pub last: Date,
    /// The light that was asked for.
    pub light: &'s Light,
    /// The windows, best first.
    pub outings: Vec<Outing<'s>>,
    /// One report for each seat and subject that was looked at.
    pub seats: Vec<SeatReport<'s>>,
}

/// One window at one seat.
#[derive(Clone, Debug)]
pub struct Outing<'s> {
    /// Where.
    pub seat: &'s Seat,
    /// Of what.
    pub subject: &'s Subject,
    /// The tide or the light it belongs to, without its windows.
    pub occasion: Occasion,
    /// The window.
    pub window: Window,
}

/// How one seat fares for one subject.
#[derive(Clone, Debug)]
pub struct SeatReport<'s> {
    /// Where.
    pub seat: &'s Seat,
    /// Of what.
    pub subject: &'s Subject,
    /// What no date can mend.
    pub never: Vec<Refusal>,
    /// How many tides (or stretches of light) passed which conditions.
    pub tally: Tally,
    /// What each kit makes of the subject from there, largest share first.
    pub framings: Vec<Framed>,
    /// Tides or stretches of light without a window, in order of time.
    pub refused: Vec<Occasion>,
}

/// Counts of tides, or of stretches of light where no tide plays a part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct Tally {
    /// All in the span.
    pub all: usize,
    /// With the water in the place's height band.
    pub in_band: usize,
    /// In band, and with enough of the wanted light while the animals are expected.
    pub in_band_and_light: usize,
    /// With at least one window.
    pub open: usize,
}

impl SeatReport<'_> {
    /// The conditions that kept tides in the band and in the light from becoming windows, and how many each, most first.
    pub fn obstacles(&self) -> Vec<(Condition, usize)> {
        let mut counts: Vec<(Condition, usize)> = Vec::new();
        for occasion in &self.refused {
            if let Some(refusal) = occasion.refusals.first() {
                match counts
                    .iter_mut()
                    .find(|(known, _)| *known == refusal.condition)
                {
                    Some((_, count)) => *count += 1,
                    None => counts.push((refusal.condition, 1)),
                }
            }
        }
        counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        counts
    }
}

/// Computes a season.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season<'s>(scenario: &'s Scenario, request: Request<'_>) -> Result<Season<'s>, Error> {
    if !(1..=MOST_DAYS).contains(&request.days) {
        return Err(Error::Days { days: request.days });
    }
    let light = match request.light {
        None => scenario.lights().first(),
        Some(name) => scenario.lights().iter().find(|light| light.name == name),
    }
    .ok_or_else(|| {
        unknown(
            "light",
            request.light,
            scenario.lights().iter().map(|l| l.name.as_str()),
        )
    })?;
    if let Some(id) = request.place
        && !scenario.places().iter().any(|place| place.id == id)
    {
        return Err(unknown(
            "place",
            Some(id),
            scenario.places().iter().map(|p| p.id.as_str()),
        ));
    }
    let subject = match request.subject {
        Some(EVERY_SUBJECT) => None,
        Some(id) => Some(
            scenario
                .subjects()
                .iter()
                .find(|subject| subject.id == id)
                .ok_or_else(|| {
                    unknown(
                        "subject",
                        Some(id),
                        scenario.subjects().iter().map(|s| s.id.as_str()),
                    )
                })?,
        ),
        None => scenario.project_subject(),
    };
    let last = request
        .from
        .checked_add(jiff::Span::new().days(i64::from(request.days) - 1))
        .map_err(|error| dates(request.from, &error))?;
    let span = civil_span(scenario, request.from, last)?;

    let predictor = match scenario.tide() {
        None => None,
        Some(tide) => {
            let margin = jiff::SignedDuration::from_hours(2 * MARGIN_HOURS);
            let wide = span
                .start
                .saturating_sub(margin)
                .map_err(|error| dates(request.from, &error))?
                ..span
                    .end
                    .saturating_add(margin)
                    .map_err(|error| dates(request.from, &error))?;
            Some(
                tide.port
                    .predictor(wide)
                    .map_err(|error| dates(request.from, &error))?,
            )
        }
    };

    let mut outings = Vec::new();
    let mut seats = Vec::new();
    for seat in scenario.seats() {
        let place = scenario.place_of(seat);
        if request.place.is_some_and(|id| id != place.id) {
            continue;
        }
        for found in scenario.subjects_at(place) {
            if subject.is_some_and(|wanted| wanted.id != found.id) {
                continue;
            }
            let wish = Wish {
                seat,
                subject: found,
                light,
            };
            let outlook = windows::outlook(scenario, wish, &span, predictor.as_ref());
            let mut report = SeatReport {
                seat,
                subject: found,
                never: outlook.never,
                tally: Tally::default(),
                framings: framings(scenario, seat, found),
                refused: Vec::new(),
            };
            for mut occasion in outlook.occasions {
                report.tally.all += 1;
                report.tally.in_band += usize::from(occasion.in_band);
                report.tally.in_band_and_light += usize::from(occasion.lit);
                report.tally.open += usize::from(!occasion.windows.is_empty());
                let windows = std::mem::take(&mut occasion.windows);
                if windows.is_empty() {
                    report.refused.push(occasion);
                    continue;
                }
                outings.extend(windows.into_iter().map(|window| Outing {
                    seat,
                    subject: found,
                    occasion: occasion.clone(),
                    window,
                }));
            }
            seats.push(report);
        }
    }
    rank(&mut outings);
    Ok(Season {
        scenario,
        from: request.from,
        last,
        light,
        outings,
        seats,
    })
}

/// Best first; of equals the earlier, then by seat and subject, so that the same input always gives the same order.
fn rank(outings: &mut [Outing<'_>]) {
    outings.sort_by(|a, b| {
        b.window
            .score
            .total_cmp(&a.window.score)
            .then_with(|| a.window.stretch.start.cmp(&b.window.stretch.start))
            .then_with(|| a.seat.id.cmp(&b.seat.id))
            .then_with(|| a.subject.id.cmp(&b.subject.id))
    });
}

/// The instants from the start of one civil day to the end of another in the scenario's zone.
pub fn civil_span(scenario: &Scenario, from: Date, last: Date) -> Result<Stretch, Error> {
    let start = |day: Date| -> Result<Timestamp, jiff::Error> {
        Ok(day.to_zoned_datetime(scenario.zone().clone())?.timestamp())
    };
    let end = last.tomorrow().and_then(start);
    Ok(start(from).map_err(|error| dates(from, &error))?
        ..end.map_err(|error| dates(from, &error))?)
}

fn dates(from: Date, error: &dyn std::fmt::Display) -> Error {
    Error::Dates {
        from,
        reason: error.to_string(),
    }
}

fn unknown<'a>(
    what: &'static str,
    name: Option<&str>,
    known: impl Iterator<Item = &'a str>,
) -> Error {
    Error::Unknown {
        what,
        name: name.unwrap_or_default().to_owned(),
        known: known.collect::<Vec<_>>().join(", "),
    }
}
