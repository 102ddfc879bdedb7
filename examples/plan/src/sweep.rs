//! Seats all around a place: which bearings and distances ever meet tide and light, before a hide
//! is built.
//!
//! The clock hour of a big tide is nearly fixed at one place, so whether tide and light from the
//! right side ever meet is a property of the bearing. [`sweep`] tries every bearing as a seat and
//! counts its windows.

use jiff::civil::Date;

use crate::cores;
use crate::experience::Experience;
use crate::framing::{Picture, framings};
use crate::scenario::{Light, Place, Scenario, Seat, Subject, Trial};
use crate::season;
use crate::time::minutes;
use crate::windows::{Condition, Phase, PlaceTides, SeatTimes, Wish, outlook_on};
use crate::words::Unknown;

/// What a sweep is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Ask<'a> {
    /// First civil day in the scenario's zone.
    pub from: Date,
    /// Number of days, at least 1.
    pub days: u32,
    /// The place, by its id; the first one that has the subject when left out.
    pub place: Option<&'a str>,
    /// The subject, by its id; the project's own when left out, else the first at the place.
    pub subject: Option<&'a str>,
    /// The light, by its name; the scenario's first when left out.
    pub light: Option<&'a str>,
    /// On which part of the tide.
    pub phase: Phase,
    /// Degrees from one bearing to the next; must divide 360.
    pub step_deg: u32,
    /// Distances to try, metres; the subject's stand-off distance from a hide when empty.
    pub distances_m: &'a [f64],
    /// A seat whose ground, way in, minutes and terrain hold for all; when left out, seats are dry
    /// under a free sky.
    pub like: Option<&'a str>,
    /// Seats are on foot instead of hides.
    pub on_foot: bool,
    /// What past visits tell; `None` where nobody has kept a log.
    pub experience: Option<&'a Experience>,
}

impl Ask<'_> {
    /// Every tenth degree around the first place, from a day for a number of days.
    pub fn new(from: Date, days: u32) -> Self {
        Self {
            from,
            days,
            place: None,
            subject: None,
            light: None,
            phase: Phase::Both,
            step_deg: 10,
            distances_m: &[],
            like: None,
            on_foot: false,
            experience: None,
        }
    }
}

/// Why there is no sweep.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The dates cannot be computed.
    #[error(transparent)]
    Season(#[from] season::Error),
    /// A name that the scenario does not have, or not there.
    #[error(transparent)]
    Unknown(#[from] Unknown),
    /// No place has the subject.
    #[error("no place has a subject; add `subjects` to a place, or name --place and --subject")]
    NoPlace,
    /// Bearings that do not close the circle.
    #[error("{step_deg} degrees do not divide the circle; give 1 to 90, such as 5 or 10")]
    Step {
        /// The step.
        step_deg: u32,
    },
    /// A distance at which nobody sits.
    #[error("{distance_m} m is out of range; give a distance above 0 and up to 10000 m")]
    Distance {
        /// The distance.
        distance_m: f64,
    },
}

/// All bearings and distances at one place.
#[derive(Clone, Debug)]
pub struct Sweep<'s> {
    /// The scenario.
    pub scenario: &'s Scenario,
    /// The place.
    pub place: PlaceRef<'s>,
    /// First civil day.
    pub from: Date,
    /// Last civil day.
    pub last: Date,
    /// The light.
    pub light: &'s Light,
    /// The distances that were tried, in the order asked for.
    pub distances_m: Vec<f64>,
    /// One for each bearing and distance: by distance, then by bearing.
    pub trials: Vec<Tried>,
}

/// A place and the subject looked at there.
#[derive(Clone, Copy, Debug)]
pub struct PlaceRef<'s> {
    /// The place.
    pub place: &'s Place,
    /// The subject.
    pub subject: &'s Subject,
}

/// How one bearing and distance fares.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Tried {
    /// True bearing from the seat to the animals, degrees.
    pub bearing_deg: u32,
    /// Distance to them, metres.
    pub distance_m: f64,
    /// Tides in the height band, or stretches of light where no tide plays a part.
    pub in_band: usize,
    /// Those that meet enough of the wanted light.
    pub lit: usize,
    /// Those with at least one window.
    pub open: usize,
    /// Minutes of all windows together.
    #[serde(serialize_with = "crate::rounding::to_thousandths")]
    pub minutes: f64,
    /// The day of the best window: that of the most minutes of wanted light with animals to be
    /// expected, as a season ranks its windows.
    pub best: Option<Date>,
    /// What stands against every date, if anything.
    pub never: Option<Condition>,
    /// The condition that the most tides in the band fail first.
    pub limit: Option<Condition>,
    /// The largest share of the frame's width that a kit gives.
    pub frame_share: Option<f64>,
    /// The kind of picture that this allows.
    pub picture: Option<Picture>,
}

/// Tries every bearing and distance, on all cores with the feature `parallel`; the result does not
/// depend on how many there are.
///
/// # Errors
/// Names that the scenario does not have; dates, steps and distances out of range.
pub fn sweep<'s>(scenario: &'s Scenario, ask: Ask<'_>) -> Result<Sweep<'s>, Error> {
    if !(1..=90).contains(&ask.step_deg) || 360 % ask.step_deg != 0 {
        return Err(Error::Step {
            step_deg: ask.step_deg,
        });
    }
    let (last, span) = season::days(scenario, ask.from, ask.days)?;
    let at = place_and_subject(scenario, ask)?;
    let light = scenario.light_asked(ask.light)?;
    let like = like(scenario, at.place, ask.like)?;
    let distances_m = match ask.distances_m {
        [] if ask.on_foot => vec![at.subject.stand_off_on_foot_m],
        [] => vec![at.subject.stand_off_from_hide_m],
        given => given.to_vec(),
    };
    let out_of_range = |d: &&f64| !(**d > 0.0 && **d <= 10_000.0);
    if let Some(&distance_m) = distances_m.iter().find(out_of_range) {
        return Err(Error::Distance { distance_m });
    }
    let almanac = season::almanac(scenario, ask.from, &span)?;
    // The tides are the place's; only light and way in are the seat's.
    let tides = PlaceTides::of(scenario, at.place, &almanac);

    let bearings = (0..360).step_by(ask.step_deg as usize);
    let all: Vec<(f64, u32)> = distances_m
        .iter()
        .flat_map(|&distance| bearings.clone().map(move |bearing| (distance, bearing)))
        .collect();
    let seat_of = |&(distance_m, bearing_deg): &(f64, u32)| {
        let trial = Trial {
            bearing_deg: f64::from(bearing_deg),
            distance_m,
            hide: !ask.on_foot,
        };
        scenario.trial_seat(at.place, like, trial)
    };
    // Ground and way in are one for all.
    let first = all.first().and_then(seat_of);
    let first = first
        .as_ref()
        .map(|seat| SeatTimes::of(scenario, seat, light, &almanac));
    let trials = cores::map(&all, |view| {
        let seat = seat_of(view)?;
        let wish = Wish {
            phase: ask.phase,
            experience: ask.experience,
            ..Wish::new(&seat, at.subject, light)
        };
        let times = first.as_ref()?.on_same_ground(&seat, light, &almanac);
        let outlook = outlook_on(scenario, wish, &almanac, (tides.as_ref(), &times));
        Some(tried(scenario, wish, view.1, &outlook))
    });
    let trials = trials.into_iter().flatten().collect();
    Ok(Sweep {
        scenario,
        place: at,
        from: ask.from,
        last,
        light,
        distances_m,
        trials,
    })
}

fn tried(
    scenario: &Scenario,
    wish: Wish<'_>,
    bearing_deg: u32,
    outlook: &crate::windows::Outlook,
) -> Tried {
    let limits = season::obstacles(outlook.occasions.iter().filter(|o| o.in_band));
    let windows = || {
        let occasions = outlook.occasions.iter();
        occasions.flat_map(|o| o.windows.iter().map(move |window| (o.date, window)))
    };
    let framed = framings(scenario, wish.seat, wish.subject);
    let best_framing = framed.first();
    Tried {
        bearing_deg,
        distance_m: wish.seat.distance_m,
        in_band: outlook.occasions.iter().filter(|o| o.in_band).count(),
        lit: outlook.occasions.iter().filter(|o| o.lit).count(),
        open: outlook
            .occasions
            .iter()
            .filter(|o| !o.windows.is_empty())
            .count(),
        // An empty sum is minus zero.
        minutes: windows().map(|(_, w)| minutes(&w.stretch)).sum::<f64>() + 0.0,
        // The first of equals: later ones replace it only when better. What the log has learned
        // weighs all alike.
        best: windows()
            .reduce(|best, next| {
                if next.1.score > best.1.score {
                    next
                } else {
                    best
                }
            })
            .map(|(date, _)| date),
        never: outlook.never.first().map(|refusal| refusal.condition),
        limit: limits.first().map(|(condition, _)| *condition),
        frame_share: best_framing.map(|framed| framed.share),
        picture: best_framing.map(|framed| framed.picture),
    }
}

fn place_and_subject<'s>(scenario: &'s Scenario, ask: Ask<'_>) -> Result<PlaceRef<'s>, Error> {
    let place = ask.place.map(|id| scenario.place_asked(id)).transpose()?;
    let wanted = ask.subject.or_else(|| {
        scenario
            .project_subject()
            .map(|subject| subject.id.as_str())
    });
    let there = |place: &'s Place| {
        scenario
            .subjects_at(place)
            .find(|subject| wanted.is_none_or(|id| subject.id == id))
    };
    if let Some(place) = place {
        // The project's subject may live elsewhere: then the first of the place will do, unless one
        // was named.
        let any = || match ask.subject {
            Some(_) => None,
            None => scenario.subjects_at(place).next(),
        };
        return match there(place).or_else(any) {
            Some(subject) => Ok(PlaceRef { place, subject }),
            None => Err(Error::Unknown(Unknown::new(
                "subject",
                wanted.unwrap_or_default(),
                format!("at {}", place.name),
                scenario
                    .subjects_at(place)
                    .map(|subject| subject.id.as_str()),
            ))),
        };
    }
    if let Some(id) = ask.subject {
        scenario.subject_asked(id)?;
    }
    scenario
        .places()
        .iter()
        .find_map(|place| there(place).map(|subject| PlaceRef { place, subject }))
        .ok_or(Error::NoPlace)
}

fn like<'s>(
    scenario: &'s Scenario,
    place: &Place,
    id: Option<&str>,
) -> Result<Option<&'s Seat>, Error> {
    let Some(id) = id else {
        return Ok(None);
    };
    let there = || {
        let seats = scenario.seats().iter();
        seats.filter(|seat| scenario.place_of(seat).id == place.id)
    };
    let found = there().find(|seat| seat.id == id);
    found.map(Some).ok_or_else(|| {
        let ids = there().map(|seat| seat.id.as_str());
        Unknown::new("seat", id, format!("at {}", place.name), ids).into()
    })
}
