//! Many days, many seats: the windows of a season, ranked, and what stood against the rest.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

use jiff::Timestamp;
use jiff::civil::Date;

use crate::cores;
use crate::experience::explore::{self, Pick};
use crate::experience::{Chance, Experience};
use crate::framing::{Framed, framings};
use crate::scenario::{Light, Scenario, Seat, Subject, Wanted};
use crate::time::Stretch;
use crate::windows::{self, Almanac, Condition, Occasion, Phase, Refusal, Window, Wish};
use crate::words::Unknown;

/// What a season is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Request<'r> {
    /// First civil day in the scenario's zone.
    pub from: Date,
    /// Number of days, at least 1.
    pub days: u32,
    /// One place only, by its id.
    pub place: Option<&'r str>,
    /// One subject only, by its id; [`EVERY_SUBJECT`] for all, and the project's own (or all) when
    /// left out.
    pub subject: Option<&'r str>,
    /// The light, by its name; the scenario's first when left out.
    pub light: Option<&'r str>,
    /// On which part of the tide.
    pub phase: Phase,
    /// The most windows to keep, best first. Memory grows with this and the number of seats, not
    /// with the days.
    pub keep: usize,
    /// Keep every refused tide with its reasons, for [`SeatReport::refused`].
    pub keep_refused: bool,
    /// What past visits tell; `None` where nobody has kept a log.
    pub experience: Option<&'r Experience>,
}

impl Request<'_> {
    /// All of it, from a day for a number of days.
    pub fn new(from: Date, days: u32) -> Self {
        Self {
            from,
            days,
            place: None,
            subject: None,
            light: None,
            phase: Phase::Both,
            keep: usize::MAX,
            keep_refused: true,
            experience: None,
        }
    }
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
    #[error(transparent)]
    Unknown(#[from] Unknown),
    /// A number of days that makes no season.
    #[error("{days} days is out of range; give 1 to {MOST_DAYS}")]
    Days {
        /// The number of days.
        days: u32,
    },
    /// A project without a wanted picture.
    #[error("the scenario wants no picture; add [[wanted]] with a `name` and its `light`")]
    NothingWanted,
    /// More visits than are allocated.
    #[error("{visits} visits is out of range; give 0 to \
        {most}", most = crate::project::MOST_VISITS)]
    Visits {
        /// The number of visits.
        visits: u32,
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
    /// The number of windows there are, also of those not kept.
    pub windows_in_all: usize,
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
    /// Pictures wanted for the project that it may bring, the rarest first.
    pub brings: Vec<&'s Wanted>,
    /// The score that the ranking goes by: the window's own, times the learned chance where there
    /// is a log.
    pub score: f64,
    /// The learned chance that a visit in this water comes within range; `None` without a log.
    pub learned: Option<Chance>,
    /// Kept in the list to find out, in place of a better one: least is known here.
    pub to_find_out: bool,
    /// Its place among the windows that were kept, the best 1.
    pub rank: usize,
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
    /// The first condition that each tide without a window fails, and how many fail it, most first.
    pub obstacles: Vec<(Condition, usize)>,
    /// What giving way in one condition alone would open; never a condition that guards animals or
    /// people.
    pub relaxations: Vec<Relaxation>,
    /// Where no tide meets the wanted light: how many would meet each other light of the scenario.
    pub other_lights: Vec<(&'s str, usize)>,
    /// What each kit makes of the subject from there, largest share first.
    pub framings: Vec<Framed>,
    /// The learned chance, as for each of its outings.
    pub learned: Option<Chance>,
    /// Tides or stretches of light without a window, in order of time, when they were asked for.
    pub refused: Vec<Occasion>,
}

/// What giving way in one condition would open.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Relaxation {
    /// The condition.
    pub condition: Condition,
    /// Tides that fail in nothing else.
    pub opens: usize,
    /// The day of the one that misses by least.
    pub nearest: Date,
    /// By how much that one misses, in the unit of the condition.
    #[serde(serialize_with = "crate::rounding::to_thousandths")]
    pub shortfall: f64,
    /// The same in words.
    pub reason: String,
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
    /// Windows in all.
    pub windows: usize,
}

/// Computes a season.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season<'s>(scenario: &'s Scenario, request: Request<'_>) -> Result<Season<'s>, Error> {
    season_with_progress(scenario, request, &|_, _| ())
}

/// Computes a season and tells, after each seat and subject, how many of how many are done. The
/// seats are shared out over all cores with the feature `parallel`; the result does not depend on
/// how many there are.
///
/// # Errors
/// A name that the scenario does not have, or dates that cannot be represented.
pub fn season_with_progress<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Season<'s>, Error> {
    let (last, span) = days(scenario, request.from, request.days)?;
    let light = scenario.light_asked(request.light)?;
    let pairs = pairs(scenario, request)?;
    let almanac = almanac(scenario, request.from, &span)?;

    let done = AtomicUsize::new(0);
    let found = cores::map(&pairs, |&(seat, subject)| {
        let of = (seat, subject, light);
        let found = at_seat(scenario, of, &almanac, request);
        progress(done.fetch_add(1, Ordering::Relaxed) + 1, pairs.len());
        found
    });

    let mut seats = Vec::with_capacity(found.len());
    let mut outings = Vec::new();
    for (report, at_seat) in found {
        seats.push(report);
        outings.extend(at_seat);
    }
    rank(&mut outings);
    let mut outings = keep_some_to_find_out(outings, request.keep);
    for (index, outing) in outings.iter_mut().enumerate() {
        outing.rank = index + 1;
    }
    Ok(Season {
        scenario,
        from: request.from,
        last,
        light,
        windows_in_all: seats.iter().map(|report| report.tally.windows).sum(),
        outings,
        seats,
    })
}

/// The seats and subjects that a request asks for.
fn pairs<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
) -> Result<Vec<(&'s Seat, &'s Subject)>, Error> {
    if let Some(id) = request.place {
        scenario.place_asked(id)?;
    }
    let subject = match request.subject {
        Some(EVERY_SUBJECT) => None,
        None => scenario.project_subject(),
        Some(id) => Some(scenario.subject_asked(id)?),
    };
    let seats = scenario.seats().iter().filter(|seat| {
        let place = scenario.place_of(seat);
        request.place.is_none_or(|id| id == place.id)
    });
    Ok(seats
        .flat_map(|seat| {
            let there = scenario.subjects_at(scenario.place_of(seat));
            there
                .filter(|found| subject.is_none_or(|wanted| wanted.id == found.id))
                .map(move |found| (seat, found))
        })
        .collect())
}

/// The water and the sky for a span that begins on a civil day.
///
/// # Errors
/// Dates that cannot be represented.
pub(crate) fn almanac(scenario: &Scenario, from: Date, span: &Stretch) -> Result<Almanac, Error> {
    Almanac::over(scenario, span).map_err(|error| dates(from, &error))
}

fn at_seat<'s>(
    scenario: &'s Scenario,
    (seat, subject, light): (&'s Seat, &'s Subject, &'s Light),
    almanac: &Almanac,
    request: Request<'_>,
) -> (SeatReport<'s>, Vec<Outing<'s>>) {
    let wish = Wish {
        phase: request.phase,
        experience: request.experience,
        ..Wish::new(seat, subject, light)
    };
    let outlook = windows::outlook(scenario, wish, almanac);
    let place = scenario.place_of(wish.seat);
    let chance = |told: &Experience| told.chance(&place.id, &wish.subject.id);
    let learned = request.experience.map(chance);
    let weight = learned.map_or(1.0, |chance| chance.mean);
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
        other_lights(scenario, wish, almanac)
    } else {
        Vec::new()
    };
    let report = SeatReport {
        seat,
        subject,
        never: outlook.never,
        tally,
        obstacles: obstacles(refused.iter()),
        relaxations: relaxations(&refused),
        other_lights,
        framings: framings(scenario, wish.seat, wish.subject),
        learned,
        refused: if request.keep_refused {
            refused
        } else {
            Vec::new()
        },
    };
    (report, outings)
}

/// The best, with a share of them given to those about which least is known: who only ever goes
/// where it worked before never learns where else it would. Without a log there is nothing to find
/// out.
fn keep_some_to_find_out(outings: Vec<Outing<'_>>, keep: usize) -> Vec<Outing<'_>> {
    let width = |outing: &Outing<'_>| outing.learned.map(|chance| chance.interval.width());
    let widths: Vec<f64> = outings.iter().filter_map(width).collect();
    if widths.len() < outings.len() || outings.len() <= keep {
        return outings.into_iter().take(keep).collect();
    }
    let picks = explore::pick(&widths, keep, explore::SHARE);
    let mut outings: Vec<Option<Outing<'_>>> = outings.into_iter().map(Some).collect();
    let picked = picks.into_iter().filter_map(|(index, pick)| {
        let mut outing = outings.get_mut(index)?.take()?;
        // Where all are known alike there is nothing to find out.
        outing.to_find_out = pick == Pick::Explore && widths[index] > widths[0];
        Some(outing)
    });
    picked.collect()
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
) -> Vec<(&'s str, usize)> {
    let others = scenario.lights().iter();
    others
        .filter(|light| light.name != wish.light.name)
        .map(|light| {
            let outlook = windows::outlook(scenario, Wish { light, ..wish }, almanac);
            let lit = outlook.occasions.iter().filter(|occasion| occasion.lit);
            (light.name.as_str(), lit.count())
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

/// The rarest wanted picture first, then the most minutes of good light with animals expected; of
/// equals the earlier, then by seat and subject, so that the same input always gives the same
/// order.
fn rank(outings: &mut [Outing<'_>]) {
    let rarest = |outing: &Outing<'_>| {
        outing
            .brings
            .first()
            .map_or(u32::MAX, |wanted| wanted.taken)
    };
    outings.sort_by(|a, b| {
        rarest(a)
            .cmp(&rarest(b))
            .then_with(|| b.score.total_cmp(&a.score))
            .then_with(|| a.window.stretch.start.cmp(&b.window.stretch.start))
            .then_with(|| a.seat.id.cmp(&b.seat.id))
            .then_with(|| a.subject.id.cmp(&b.subject.id))
    });
}

/// The last of a number of civil days, and the span of them all.
pub(crate) fn days(scenario: &Scenario, from: Date, days: u32) -> Result<(Date, Stretch), Error> {
    if !(1..=MOST_DAYS).contains(&days) {
        return Err(Error::Days { days });
    }
    let more = jiff::Span::new().days(i64::from(days) - 1);
    let last = from
        .checked_add(more)
        .map_err(|error| dates(from, &error))?;
    Ok((last, civil_span(scenario, from, last)?))
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
