//! What a calendar shows: a column for each seat and subject, with its water, its closures and the
//! windows of every light.

use wrackline_solar::SunAndMoon;

use super::Error;
use super::days::{Day, Days, is_weekend};
use super::sky::{MoonOfDay, Sky};
use super::words;
use wrackline_plan::experience::{Experience, larger_stand_off};
use wrackline_plan::scenario::{Scenario, Seat, Subject};
use wrackline_plan::season::{Outing, Season, civil_span};
use wrackline_plan::time::{Stretches, widened};
use wrackline_plan::windows::{Condition, Wish, calendar_refusals};

/// Whether the calendar lets anybody go on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kept {
    /// Nothing stands against it.
    Open,
    /// The animals are not expected.
    Away,
    /// Closed, breeding, resting, or another animal is too near.
    Closed,
}

/// One window in the calendar.
#[derive(Debug)]
pub(super) struct Bar<'p> {
    /// Its number in the page, in order of time.
    pub(super) number: usize,
    /// Which of the seasons it belongs to: one for each light.
    pub(super) light: usize,
    /// Its rank in that light, from 1.
    pub(super) rank: usize,
    pub(super) outing: &'p Outing<'p>,
    /// 2 for at least two thirds of the best score of its light, 1 for at least one third, else 0.
    pub(super) tier: usize,
    pub(super) weekend: bool,
    /// What it is called where it cannot be seen.
    pub(super) name: String,
}

impl Bar<'_> {
    /// Whether any part of the outing may lie in these days.
    pub(super) fn touches(&self, first: &Day, last: &Day) -> bool {
        let times = &self.outing.window.timetable;
        times.back_by > first.stretch.start && times.set_out < last.stretch.end
    }
}

/// One seat and subject.
#[derive(Debug)]
pub(super) struct Column<'p> {
    pub(super) seat: &'p Seat,
    pub(super) subject: &'p Subject,
    /// Position of its sky among those of the calendar.
    pub(super) sky: usize,
    /// The stand-off distance that holds: the scenario's own, or the larger one that past visits
    /// ask for, metres.
    pub(super) stand_off_m: f64,
    /// The expected water over the push level, from every tide that was judged.
    pub(super) water: Stretches,
    /// One for each day.
    pub(super) kept: Vec<Kept>,
    pub(super) bars: Vec<Bar<'p>>,
}

/// Everything that is drawn.
#[derive(Debug)]
pub(super) struct Calendar<'p> {
    pub(super) scenario: &'p Scenario,
    pub(super) days: Days,
    pub(super) moons: Vec<MoonOfDay>,
    pub(super) skies: Vec<Sky>,
    pub(super) columns: Vec<Column<'p>>,
}

impl<'p> Calendar<'p> {
    /// Of seasons that differ in nothing but their light.
    pub(super) fn of(
        seasons: &'p [Season<'p>],
        experience: Option<&Experience>,
    ) -> Result<Self, Error> {
        let first = seasons.first().ok_or(Error::NoSeason)?;
        let scenario = first.scenario;
        let days = Days::of(scenario, first.from, first.last)?;
        let span = civil_span(scenario, first.from, first.last)?;
        let paths = SunAndMoon::new(widened(&span, 24))?;
        let moons = days.all.iter().map(|day| MoonOfDay::on(&paths, day));
        let moons = moons.collect::<Result<_, _>>()?;

        let mut skies = Vec::new();
        let mut places: Vec<&str> = Vec::new();
        let mut columns = Vec::new();
        for report in &first.seats {
            let place = scenario.place_of(report.seat);
            let sky = match places.iter().position(|id| *id == place.id) {
                Some(at) => at,
                None => {
                    places.push(&place.id);
                    skies.push(Sky::over(&paths, &place.observer, &span)?);
                    skies.len() - 1
                }
            };
            let wish = Wish {
                experience,
                ..Wish::new(report.seat, report.subject, first.light)
            };
            columns.push(Column {
                seat: report.seat,
                subject: report.subject,
                sky,
                stand_off_m: stand_off_m(experience, &place.id, report.seat, report.subject),
                water: water(first, report.seat, report.subject),
                kept: days
                    .all
                    .iter()
                    .map(|day| kept(scenario, wish, day))
                    .collect(),
                bars: Vec::new(),
            });
        }
        place_bars(seasons, &mut columns);
        Ok(Self {
            scenario,
            days,
            moons,
            skies,
            columns,
        })
    }

    /// All bars in order of their numbers, each with the position of its column.
    pub(super) fn bars(&self) -> Vec<(usize, &Bar<'p>)> {
        let mut bars: Vec<_> = self
            .columns
            .iter()
            .enumerate()
            .flat_map(|(at, column)| column.bars.iter().map(move |bar| (at, bar)))
            .collect();
        bars.sort_by_key(|(_, bar)| bar.number);
        bars
    }
}

/// Whether an outing is one of a seat and subject.
pub(super) fn is_of(outing: &Outing<'_>, seat: &Seat, subject: &Subject) -> bool {
    outing.seat.id == seat.id && outing.subject.id == subject.id
}

fn stand_off_m(
    experience: Option<&Experience>,
    place: &str,
    seat: &Seat,
    subject: &Subject,
) -> f64 {
    let own = subject.stand_off_m(seat);
    experience
        .and_then(|told| told.alarm(place, &subject.id))
        .and_then(|alarm| larger_stand_off(alarm.clone(), own))
        .map_or(own, |larger| larger.stand_off_m)
}

fn water(season: &Season<'_>, seat: &Seat, subject: &Subject) -> Stretches {
    let open = season.outings.iter();
    let open = open.filter(|outing| is_of(outing, seat, subject));
    let open = open.map(|outing| &outing.occasion);
    let refused = season.seats.iter();
    let refused = refused
        .filter(|report| report.seat.id == seat.id && report.subject.id == subject.id)
        .flat_map(|report| &report.refused);
    open.chain(refused)
        .filter_map(|occasion| occasion.high_water.as_ref())
        .map(|high_water| high_water.roosting.clone())
        .collect()
}

fn kept(scenario: &Scenario, wish: Wish<'_>, day: &Day) -> Kept {
    let refusals = calendar_refusals(scenario, wish, day.date..=day.date);
    match refusals.as_slice() {
        [] => Kept::Open,
        some if some.iter().all(|one| one.condition == Condition::Presence) => Kept::Away,
        _ => Kept::Closed,
    }
}

fn place_bars<'p>(seasons: &'p [Season<'p>], columns: &mut [Column<'p>]) {
    let mut all = Vec::new();
    for (light, season) in seasons.iter().enumerate() {
        let scores = season.outings.iter().map(|outing| outing.score);
        let best = scores.fold(0.0, f64::max);
        for (index, outing) in season.outings.iter().enumerate() {
            let share = if best > 0.0 { outing.score / best } else { 0.0 };
            let tier = usize::from(share >= 1.0 / 3.0) + usize::from(share >= 2.0 / 3.0);
            all.push(Bar {
                number: 0,
                light,
                rank: index + 1,
                outing,
                tier,
                weekend: is_weekend(outing.occasion.date),
                name: words::name(season, outing),
            });
        }
    }
    all.sort_by(|a, b| {
        let key = |bar: &Bar<'_>| (bar.outing.window.stretch.start, bar.light, bar.rank);
        key(a).cmp(&key(b))
    });
    for (number, mut bar) in all.into_iter().enumerate() {
        bar.number = number + 1;
        let column = columns
            .iter_mut()
            .find(|column| is_of(bar.outing, column.seat, column.subject));
        if let Some(column) = column {
            column.bars.push(bar);
        }
    }
}
