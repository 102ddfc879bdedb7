//! The parts of a scenario: what a photographer knows about the places, and returns to.
//!
//! A [`Scenario`] exists only when every check of `parse` has passed: references resolve, numbers are finite and in
//! range, and each seat can be worked in the way it says. So what reads one has nothing left to refuse.

use jiff::civil::{Date, Time, Weekday};
use jiff::tz::TimeZone;
use wrackline_optics::{Converter, Kit, Lens, Sensor};
use wrackline_solar::{Observer, Skyline};
use wrackline_tides::{Port, SecondaryPort};

use super::season_of_year::HalfMonths;
use crate::port::TideCurve;
use crate::time::Stretch;
use crate::windows::Phase;

/// One photographer's places, seats, subjects and kit, checked as a whole.
#[derive(Clone, Debug)]
pub struct Scenario {
    pub(super) title: String,
    pub(super) zone: TimeZone,
    pub(super) zone_name: String,
    pub(super) project_subject: Option<usize>,
    pub(super) tide: Option<Tide>,
    pub(super) water: Water,
    pub(super) habits: Habits,
    pub(super) lights: Vec<Light>,
    pub(super) free_hours: Vec<FreeHours>,
    pub(super) wanted: Vec<Wanted>,
    pub(super) places: Vec<Place>,
    pub(super) seats: Vec<Seat>,
    pub(super) ways_in: Vec<WayIn>,
    pub(super) subjects: Vec<Subject>,
    pub(super) closures: Vec<Closure>,
    pub(super) kits: Vec<NamedKit>,
}

impl Scenario {
    /// What the scenario is called.
    pub fn title(&self) -> &str {
        &self.title
    }
    /// The zone in which dates are meant and times are shown.
    pub fn zone(&self) -> &TimeZone {
        &self.zone
    }
    /// The name of that zone as it was written.
    pub fn zone_name(&self) -> &str {
        &self.zone_name
    }
    /// The same scenario with its dates and times in another zone.
    #[must_use]
    pub fn in_zone(mut self, zone: TimeZone, name: &str) -> Self {
        self.zone = zone;
        self.zone_name = name.to_owned();
        self
    }
    /// The subject that the project is about, if one is named.
    pub fn project_subject(&self) -> Option<&Subject> {
        self.project_subject.map(|at| &self.subjects[at])
    }
    /// The tide, or `None` inland.
    pub fn tide(&self) -> Option<&Tide> {
        self.tide.as_ref()
    }
    /// How far the water may differ from its prediction.
    pub fn water(&self) -> &Water {
        &self.water
    }
    /// How the photographer works.
    pub fn habits(&self) -> &Habits {
        &self.habits
    }
    /// Kinds of light in which pictures are wanted, at least one, the preferred first.
    pub fn lights(&self) -> &[Light] {
        &self.lights
    }
    /// When the photographer is free; empty for always.
    pub fn free_hours(&self) -> &[FreeHours] {
        &self.free_hours
    }
    /// Pictures wanted for the project.
    pub fn wanted(&self) -> &[Wanted] {
        &self.wanted
    }
    /// The known places.
    pub fn places(&self) -> &[Place] {
        &self.places
    }
    /// The seats at all places.
    pub fn seats(&self) -> &[Seat] {
        &self.seats
    }
    /// The animals.
    pub fn subjects(&self) -> &[Subject] {
        &self.subjects
    }
    /// When places may not be used.
    pub fn closures(&self) -> &[Closure] {
        &self.closures
    }
    /// Every combination of the lenses, converters and bodies owned.
    pub fn kits(&self) -> &[NamedKit] {
        &self.kits
    }
    /// The place at which a seat stands.
    pub fn place_of(&self, seat: &Seat) -> &Place {
        &self.places[seat.place]
    }
    /// The way in that a seat depends on, if the tide can close it.
    pub fn way_in_of(&self, seat: &Seat) -> Option<&WayIn> {
        seat.way_in.map(|at| &self.ways_in[at])
    }
    /// The subjects found at a place.
    pub fn subjects_at(&self, place: &Place) -> impl Iterator<Item = &Subject> {
        place.subjects.iter().map(|&at| &self.subjects[at])
    }
    /// Closures that bear on a place as a whole, whatever the seat and subject.
    pub fn closures_of<'s>(&'s self, place: &'s Place) -> impl Iterator<Item = &'s Closure> {
        self.closures.iter().filter(|closure| {
            closure.seat.is_none()
                && closure.subject.is_none()
                && closure
                    .place
                    .is_none_or(|at| self.places[at].id == place.id)
        })
    }
    /// Closures that bear on a seat when an animal is looked for from it. A closure for an animal bears on every seat at a
    /// place where that animal is listed: it guards the animal, not the wish.
    pub fn closures_for<'s>(
        &'s self,
        seat: &'s Seat,
        wanted: &'s Subject,
    ) -> impl Iterator<Item = &'s Closure> {
        let place = self.place_of(seat);
        let guarded =
            move |at: usize| place.subjects.contains(&at) || self.subjects[at].id == wanted.id;
        self.closures.iter().filter(move |closure| {
            closure.place.is_none_or(|at| at == seat.place)
                && closure.seat.is_none_or(|at| self.seats[at].id == seat.id)
                && closure.subject.is_none_or(guarded)
        })
    }
}

/// The port whose tide the places have.
#[derive(Clone, Debug)]
pub struct Tide {
    /// Name of the port.
    pub name: String,
    /// What its heights are measured from.
    pub datum: String,
    /// Its harmonic constants, or those of the standard port.
    pub port: Port,
    /// The differences from the standard port, where the port is a secondary one.
    pub secondary: Option<SecondaryPort>,
}

impl Tide {
    /// The predicted water over a span.
    ///
    /// # Errors
    /// A span that the calendar cannot hold.
    pub fn curve(&self, span: Stretch) -> Result<TideCurve, wrackline_tides::Error> {
        TideCurve::new(&self.port, self.secondary.as_ref(), span)
    }
}

/// How far the water may stand from its prediction, in metres. The two allowances serve different questions and are
/// never merged: the upper one asks whether you can be cut off, the lower one whether the animals are pushed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    /// Expected difference, observed minus predicted, from bias, pressure and the user's own surge figure.
    pub expected_m: f64,
    /// Standard deviation around that.
    pub standard_deviation_m: f64,
    /// Added to the expected level where being cut off is in question.
    pub upper_allowance_m: f64,
    /// Taken from the expected level where a picture is in question.
    pub lower_allowance_m: f64,
}

impl Water {
    /// What to add to a prediction for the upper water.
    pub fn upper_m(&self) -> f64 {
        self.expected_m + self.upper_allowance_m
    }
    /// What to add to a prediction for the lower water.
    pub fn lower_m(&self) -> f64 {
        self.expected_m - self.lower_allowance_m
    }
}

/// How the photographer works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Minutes to sit still before the animals are due; 30 to 60 is common practice, no source.
    pub settle_minutes: f64,
    /// Slow withdrawal as a multiple of the time taken on the way in; our default is 1.25.
    pub withdrawal_factor: f64,
    /// Shortest window worth an outing, in minutes; our default is 20.
    pub shortest_minutes: f64,
    /// Longest outing from setting out to being back, in minutes; our default is a day. Whoever may sit through a tide that
    /// comes once a day needs most of it.
    pub longest_minutes: f64,
    /// Frozen days in a row so far, if the user counts them.
    pub frozen_days: Option<FrozenDays>,
    /// What a minute of light is worth to the ranking.
    pub light_weights: LightWeights,
}

/// What a minute of light is worth to the ranking, by the height of the sun's centre. The values are our defaults: low sun
/// models an animal and warms it, the glow below the horizon is fine but dim, high sun is hard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightWeights {
    /// Below the horizon.
    pub glow: f64,
    /// 0 to 6 degrees.
    pub warm: f64,
    /// 6 to 12 degrees.
    pub low: f64,
    /// 12 to 20 degrees.
    pub fair: f64,
    /// Higher.
    pub hard: f64,
}

impl LightWeights {
    /// Our defaults.
    pub const OURS: Self = Self {
        glow: 0.7,
        warm: 1.0,
        low: 0.9,
        fair: 0.6,
        hard: 0.3,
    };

    /// The weight at an altitude of the sun.
    pub fn at_altitude(&self, altitude_deg: f64) -> f64 {
        match altitude_deg {
            a if a < 0.0 => self.glow,
            a if a < 6.0 => self.warm,
            a if a < 12.0 => self.low,
            a if a < 20.0 => self.fair,
            _ => self.hard,
        }
    }
}

/// Hours in which the photographer is free, in the scenario's zone. `until` at or before `from` means the next day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FreeHours {
    /// On these days of the week; empty for every day.
    pub weekdays: Vec<Weekday>,
    /// From this time of day.
    pub from: Time,
    /// Until this time of day.
    pub until: Time,
}

impl FreeHours {
    /// Whether they begin on a day.
    pub fn on(&self, day: Date) -> bool {
        self.weekdays.is_empty() || self.weekdays.contains(&day.weekday())
    }
}

/// A picture wanted for the project.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// What it shows.
    pub picture: String,
    /// The kinds of light it is wanted in, as positions in the scenario's lights.
    pub lights: Vec<usize>,
    /// The part of the tide it belongs to.
    pub phase: Phase,
    /// How many are there already.
    pub taken: u32,
}

/// A count of frozen days in a row, and the day on which it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FrozenDays {
    /// Days in a row.
    pub days: u16,
    /// Counted up to and including this day.
    pub on: Date,
}

/// A kind of light in which pictures are wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Light {
    /// Its name in the scenario.
    pub name: String,
    /// Lowest airless altitude of the sun's centre, degrees.
    pub lowest_deg: f64,
    /// Highest airless altitude of the sun's centre, degrees.
    pub highest_deg: f64,
    /// Smallest angle between the shadow line and the view, degrees from 0 (front light) to 180 (into the sun).
    pub narrowest_deg: f64,
    /// Largest such angle.
    pub widest_deg: f64,
    /// Under cloud the side of the light does not matter.
    pub overcast: bool,
    /// The moon that it needs, if any.
    pub moon: Option<MoonWanted>,
}

impl Light {
    /// Whether some sides of the light are not wanted.
    pub fn sided(&self) -> bool {
        self.narrowest_deg > 0.0 || self.widest_deg < 180.0
    }
}

/// What a picture by moonlight asks of the moon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonWanted {
    /// Lowest airless altitude of its centre, degrees.
    pub lowest_deg: f64,
    /// Least lit fraction of its disc, 0 to 1.
    pub lit_fraction: f64,
}

/// A place that is returned to.
#[derive(Clone, Debug)]
pub struct Place {
    /// Short name used in references.
    pub id: String,
    /// Full name.
    pub name: String,
    /// What it is: a roost, a marsh, farmland.
    pub kind: Option<String>,
    /// Where it is.
    pub observer: Observer,
    /// Latitude, degrees north.
    pub latitude_deg: f64,
    /// Longitude, degrees east.
    pub longitude_deg: f64,
    /// Water level at which the animals come up, metres above chart datum; `None` where the tide plays no part.
    pub push_m: Option<f64>,
    /// Water level at which the place drowns and empties.
    pub overtop_m: Option<f64>,
    /// Minutes from home to the road at which an outing sets out; `None` when it is left to the photographer.
    pub from_home_minutes: Option<f64>,
    /// Its animals would suffer if many knew of it: its position is coarsened in every export unless asked for.
    pub sensitive: bool,
    /// Remark.
    pub note: Option<String>,
    pub(super) subjects: Vec<usize>,
}

/// How a seat stands to the tide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// The way in never floods.
    Dry,
    /// Out again before the water closes the way.
    LeaveBeforeTheFlood,
    /// In before the water closes the way, out when it clears; the seat itself must stay above the water.
    StayTheTide,
}

impl Access {
    /// The trade's name for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::LeaveBeforeTheFlood => "leave before the flood",
            Self::StayTheTide => "stay the tide",
        }
    }
}

/// Where the photographer sits.
#[derive(Clone, Debug)]
pub struct Seat {
    /// Short name.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Where it is.
    pub observer: Observer,
    /// Latitude, degrees north.
    pub latitude_deg: f64,
    /// Longitude, degrees east.
    pub longitude_deg: f64,
    /// Height of the ground above chart datum, metres.
    pub ground_m: Option<f64>,
    /// Smallest height of that ground over the upper water, metres; our default is 0.5.
    pub freeboard_m: f64,
    /// True bearing from the seat to the subject, degrees.
    pub bearing_deg: f64,
    /// Distance from the seat to the subject, metres.
    pub distance_m: f64,
    /// Minutes from leaving the road to sitting down.
    pub in_minutes: f64,
    /// Minutes from standing up to the road.
    pub out_minutes: f64,
    /// Whether it is a hide, or a vehicle used as one.
    pub hide: bool,
    /// What hides the photographer.
    pub cover: Option<String>,
    /// Whose leave it needs.
    pub permission: Option<String>,
    /// How it stands to the tide.
    pub access: Access,
    /// The terrain around it, as far as it is known.
    pub skyline: Option<Skyline>,
    /// Tried out on paper only: whether the water lets anybody sit there is not judged.
    pub on_paper: bool,
    pub(super) place: usize,
    pub(super) way_in: Option<usize>,
}

impl Seat {
    /// Minutes for a slow withdrawal: at least the time in, times the factor, and never less than the seat's own figure.
    pub fn withdrawal_minutes(&self, habits: &Habits) -> f64 {
        self.out_minutes
            .max(self.in_minutes * habits.withdrawal_factor)
    }
}

/// A way to seats that the tide can close.
#[derive(Clone, Debug, PartialEq)]
pub struct WayIn {
    /// Short name used in references.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Its lowest point, metres above chart datum.
    pub low_point_m: f64,
    /// Creeks that fill and cut the way off earlier, by name and level.
    pub creeks: Vec<Creek>,
    /// Minutes to cross the low part, loaded and in the dark.
    pub loaded_dark_minutes: f64,
    /// Its line from the road to the seats, as latitude and longitude in degrees; empty when it is not given.
    pub path_deg: Vec<[f64; 2]>,
    /// Height kept between the upper water and the low point, metres.
    pub margin_m: f64,
    /// Minutes kept before the way closes and after it clears.
    pub margin_minutes: f64,
}

impl WayIn {
    /// The level at which the way out is lost: its low point, or the lowest creek behind the seat.
    pub fn cut_off_m(&self) -> f64 {
        self.creeks
            .iter()
            .map(|creek| creek.level_m)
            .fold(self.low_point_m, f64::min)
    }
}

/// A creek that fills behind a seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Creek {
    /// Which creek.
    pub name: String,
    /// Water level at which it can no longer be crossed, metres above chart datum.
    pub level_m: f64,
}

/// An animal.
#[derive(Clone, Debug, PartialEq)]
pub struct Subject {
    /// Short name used in references.
    pub id: String,
    /// Full name.
    pub name: String,
    /// Body length, metres.
    pub length_m: f64,
    /// Wing span, metres, for flight.
    pub span_m: Option<f64>,
    /// Stand-off distance for a person on foot, metres.
    pub stand_off_on_foot_m: f64,
    /// Stand-off distance from a hide, metres.
    pub stand_off_from_hide_m: f64,
    /// When it is there.
    pub present: HalfMonths,
    /// When it breeds; no outing is proposed for it then.
    pub breeding: HalfMonths,
    /// Remark.
    pub note: Option<String>,
}

impl Subject {
    /// The stand-off distance that holds at a seat, metres.
    pub fn stand_off_m(&self, seat: &Seat) -> f64 {
        if seat.hide {
            self.stand_off_from_hide_m
        } else {
            self.stand_off_on_foot_m
        }
    }
}

/// The dates of a closure, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClosureDates {
    /// The same dates every year, as month and day; they may run over the new year.
    EveryYear {
        /// First month and day.
        from: (i8, i8),
        /// Last month and day.
        to: (i8, i8),
    },
    /// One stretch of dates.
    Once {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
}

impl ClosureDates {
    /// Whether `date` is among them.
    pub fn contains(&self, date: Date) -> bool {
        match *self {
            Self::Once { from, to } => (from..=to).contains(&date),
            Self::EveryYear { from, to } => {
                let day = (date.month(), date.day());
                if from <= to {
                    (from..=to).contains(&day)
                } else {
                    day >= from || day <= to
                }
            }
        }
    }
}

/// How binding a closure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClosureRule {
    /// Never proposed.
    Closed,
    /// Proposed with the note that somebody must be asked first.
    AskFirst,
}

/// When a place may not be used, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closure {
    /// The dates it covers.
    pub dates: ClosureDates,
    /// On these days of the week only; empty for every day.
    pub weekdays: Vec<Weekday>,
    /// Only from this many frozen days in a row.
    pub frozen_days: Option<u16>,
    /// Why.
    pub reason: String,
    /// Who decided it.
    pub authority: Option<String>,
    /// How binding it is.
    pub rule: ClosureRule,
    pub(super) place: Option<usize>,
    pub(super) seat: Option<usize>,
    pub(super) subject: Option<usize>,
}

/// Days after the last count within which a spell of frost is taken to go on: three days of thaw end it (JNCC severe
/// weather scheme), so a count older than that says nothing about today.
const FROST_LASTS_DAYS: i32 = 3;

impl Closure {
    /// Whether it bears on `date`, as far as the dates, the days of the week and the user's own count of frozen days tell.
    pub fn applies_on(&self, date: Date, frost: Option<FrozenDays>) -> bool {
        self.dates.contains(date)
            && (self.weekdays.is_empty() || self.weekdays.contains(&date.weekday()))
            && self.frozen_days.is_none_or(|limit| {
                frost.is_some_and(|frost| {
                    let since = date
                        .since(frost.on)
                        .map_or(i32::MAX, |span| span.get_days());
                    frost.days >= limit && (0..=FROST_LASTS_DAYS).contains(&since)
                })
            })
    }
}

/// A lens, with or without a converter, on a body.
#[derive(Clone, Debug)]
pub struct NamedKit {
    /// Lens, converter and body by their names.
    pub name: String,
    /// The lens by itself.
    pub lens: Lens,
    /// The converter, if any.
    pub converter: Option<Converter>,
    /// The sensor.
    pub sensor: Sensor,
    /// The chain of the three.
    pub kit: Kit,
}
