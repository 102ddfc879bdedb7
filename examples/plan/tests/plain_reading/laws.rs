//! Laws that hold between two answers of the library, whatever the truth of either.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use proptest::test_runner::TestCaseError;

use super::ask::{Found, ask_plan};
use super::chance::Chance;
use super::plan::{Access, Bears, Closure, Plan, Subject};
use super::sun::{self, wrap_180};
use super::week::{self, Week};
use super::{alike, draw, tell};

fn found(plan: &Plan) -> Vec<Found> {
    ask_plan(plan, plan.from, plan.days).unwrap().windows
}

/// A drawn scenario in which nothing vital was left out.
fn complete(seed: u64) -> Option<Plan> {
    let plan = draw::plan(seed);
    let whole = plan
        .seats
        .iter()
        .all(|seat| super::table::unknown(&plan, seat).is_none());
    whole.then_some(plan)
}

/// Each window of `fewer` lies in one of `more`, to a second.
fn within(fewer: &[Found], more: &[Found]) -> Result<(), String> {
    for a in fewer {
        let inside = |b: &&Found| {
            a.seat == b.seat
                && a.subject == b.subject
                && b.pictures[0] - 1.0 <= a.pictures[0]
                && a.pictures[1] <= b.pictures[1] + 1.0
        };
        if !more.iter().any(|b| inside(&b)) {
            return Err(tell(a));
        }
    }
    Ok(())
}

/// Each window of `fewer` is one of `more`, to a second.
fn among(fewer: &[Found], more: &[Found]) -> Result<(), String> {
    match fewer.iter().find(|a| !more.iter().any(|b| alike(a, b))) {
        Some(a) => Err(tell(a)),
        None => Ok(()),
    }
}

/// Only water and light decide: nothing that an earlier return could put right.
fn by_water_alone(plan: &mut Plan) {
    plan.free.clear();
    plan.closures.clear();
    // A rest is told in civil days, too, and so is frost.
    plan.visits.rest = None;
    plan.longest_hours = None;
    for subject in &mut plan.subjects {
        (subject.present, subject.breeding) = (None, None);
    }
    // Light that ends: a day without dusk makes outings longer than the longest, which less time
    // would put right.
    plan.latitude_deg = plan.latitude_deg.clamp(-50.0, 50.0);
    plan.altitude_deg[0] = plan.altitude_deg[0].max(-1.0);
}

/// One law for every twelve scenarios of the run.
fn config() -> ProptestConfig {
    ProptestConfig {
        cases: (super::scenarios() / 12) as u32,
        failure_persistence: None,
        // The same draws on every machine. `PLAIN_READING_LAWS=17` draws others.
        rng_seed: RngSeed::Fixed(super::number("PLAIN_READING_LAWS").unwrap_or(2027)),
        ..ProptestConfig::default()
    }
}

type Held = Result<(), TestCaseError>;

fn held(kept: Result<(), String>, plan: &Plan) -> Held {
    kept.map_err(|window| TestCaseError::fail(format!("{window}\n{}", plan.text())))
}

fn more_water(seed: u64, more: f64) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    by_water_alone(&mut plan);
    let before = found(&plan);
    plan.upper_allowance_m += more;
    let after = found(&plan);
    held(within(&after, &before), &plan)?;
    // The walks around the same pictures: who comes must come no later; who stays leaves no
    // earlier, who leaves before the flood no later.
    for a in &after {
        let twin = before
            .iter()
            .find(|b| b.seat == a.seat && b.subject == a.subject && a.pictures == b.pictures);
        let Some(b) = twin else { continue };
        let seat = plan.seats.iter().find(|seat| seat.id == a.seat);
        let leaves = seat.is_some_and(|seat| seat.access == Access::Leave);
        let sooner = (a.stand_up - b.stand_up) * if leaves { 1.0 } else { -1.0 };
        let walks = a.seated_by <= b.seated_by + 1.0 && sooner <= 1.0;
        prop_assert!(walks, "{} then, with {more} m more, {}", tell(b), tell(a));
    }
    Ok(())
}

/// With any forecast each window lies in one without.
fn any_forecast(seed: u64, which: u64) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    by_water_alone(&mut plan);
    plan.week = None;
    let before = found(&plan);
    plan.week = Some(week::draw(&mut Chance::new(which), &plan));
    held(within(&found(&plan), &before), &plan)
}

/// A worse forecast leaves less time than a better one.
fn worse_forecast(seed: u64, which: u64, less_hpa: f64) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    by_water_alone(&mut plan);
    let mut week = week::draw(&mut Chance::new(which), &plan);
    week.learned = None;
    plan.week = Some(week.clone());
    let before = found(&plan);
    for row in &mut week.rows {
        row.pressure_hpa = row.pressure_hpa.map(|pressure| pressure - less_hpa);
    }
    plan.week = Some(week);
    held(within(&found(&plan), &before), &plan)
}

/// Frost alone opens nothing, whatever else stands in the calendar.
fn forecast_of_frost(seed: u64, which: u64) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    plan.week = None;
    let before = found(&plan);
    let Week { mut rows, .. } = week::draw(&mut Chance::new(which), &plan);
    rows.iter_mut()
        .for_each(|row| (row.pressure_hpa, row.wind) = (None, None));
    plan.week = Some(Week {
        rows,
        learned: None,
    });
    held(among(&found(&plan), &before), &plan)
}

fn larger_stand_off(seed: u64, which: usize, more: f64) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    let before = found(&plan);
    let which = which % plan.subjects.len();
    plan.subjects[which].on_foot_m += more;
    plan.subjects[which].from_hide_m += more;
    held(among(&found(&plan), &before), &plan)
}

fn further_closure(seed: u64, first: i32, length: i32) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    let before = found(&plan);
    let day = |more: i32| {
        let day = super::table::date_of(super::table::day_number(plan.from) + more);
        (day.month(), day.day())
    };
    plan.closures.push(Closure {
        bears: Bears::Here,
        from: day(first),
        to: day(first + length),
        weekdays: Vec::new(),
        closed: true,
        frozen_days: None,
    });
    held(among(&found(&plan), &before), &plan)
}

fn further_animal(seed: u64, away_m: f64, half: usize) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    let before = found(&plan);
    plan.subjects.push(Subject {
        id: "v",
        on_foot_m: away_m,
        from_hide_m: away_m,
        present: Some([half, (half + 7) % 24]),
        breeding: None,
    });
    let mut after = found(&plan);
    after.retain(|window| window.subject != "v");
    held(among(&after, &before), &plan)
}

fn further_breeding(seed: u64, half: usize) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    // A season that is moved may open what the old one closed: only a further one is meant.
    plan.subjects[0].breeding = None;
    let before = found(&plan);
    plan.subjects[0].breeding = Some([half, (half + 5) % 24]);
    held(among(&found(&plan), &before), &plan)
}

fn change_of_zone(seed: u64, zone: &'static str) -> Held {
    let Some(mut plan) = complete(seed) else {
        return Ok(());
    };
    by_water_alone(&mut plan);
    let before = found(&plan);
    let start = f64::from(super::table::day_number(plan.from)) * 86_400.0;
    let inner = start + 2.0 * 86_400.0..start + f64::from(plan.days - 2) * 86_400.0;
    plan.zone = zone;
    let after = found(&plan);
    let inside = |all: &[Found]| -> Vec<Found> {
        let inside = |window: &&Found| inner.contains(&window.pictures[0]);
        all.iter().filter(inside).cloned().collect()
    };
    held(among(&inside(&before), &after), &plan)?;
    held(among(&inside(&after), &before), &plan)
}

/// A seat inland, the light and the day.
#[derive(Clone, Copy, Debug)]
struct View {
    latitude_deg: f64,
    bearing_deg: i32,
    day: i32,
    highest_deg: f64,
    angle_deg: [f64; 2],
}

/// Hour angles at which a view's windows begin and end, and how long they last in minutes.
fn lit(view: View) -> Vec<([f64; 2], f64)> {
    let mut plan = draw::plan(0);
    by_water_alone(&mut plan);
    (plan.port, plan.push_m, plan.overtop_m) = (None, None, None);
    plan.ways.clear();
    plan.seats.truncate(1);
    plan.subjects.truncate(1);
    let seat = &mut plan.seats[0];
    seat.horizon.clear();
    (seat.way, seat.ground_m, seat.access) = (None, None, Access::Dry);
    (seat.distance_m, seat.bearing_deg) = (400.0, f64::from(view.bearing_deg));
    (plan.zone, plan.days, plan.longitude_deg) = ("UTC", 1, 0.0);
    (plan.settle, plan.shortest, plan.latitude_deg) = (0.0, 5.0, view.latitude_deg);
    (plan.altitude_deg, plan.angle_deg) = ([0.0, view.highest_deg], Some(view.angle_deg));
    plan.from = super::table::date_of(view.day);
    let hour_angle = |at: f64| sun::sun(at, view.latitude_deg, 0.0).hour_angle_deg;
    let windows = found(&plan);
    let each = windows.iter().map(|window| {
        let [start, end] = window.pictures;
        (window.pictures.map(hour_angle), (end - start) / 60.0)
    });
    each.collect()
}

fn mirrored(view: View) -> Held {
    let noon = |day: i32| sun::sun(f64::from(day) * 86_400.0 + 43_200.0, 0.0, 0.0).declination_deg;
    let off = |day: &i32| (noon(*day) + noon(view.day)).abs();
    let days = view.day + 150..view.day + 216;
    let opposite = days
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .unwrap_or(view.day);
    let twin = View {
        latitude_deg: -view.latitude_deg,
        bearing_deg: (180 - view.bearing_deg).rem_euclid(360),
        day: opposite,
        ..view
    };
    // Near its culmination the sun grazes a limit: a tenth of a degree in declination decides
    // whether it is passed at all, and no hour angle answers to another.
    let culmination_deg = 90.0 - (view.latitude_deg - noon(view.day)).abs();
    prop_assume!((culmination_deg - view.highest_deg).abs() > 1.0);
    let (here, there) = (lit(view), lit(twin));
    for (some, others) in [(&here, &there), (&there, &here)] {
        // Short windows graze a limit and may vanish.
        for (ends, minutes) in some.iter().filter(|window| window.1 > 60.0) {
            let met = others
                .iter()
                .any(|(other, _)| (0..2).all(|end| wrap_180(ends[end] - other[end]).abs() < 2.5));
            prop_assert!(
                met,
                "{ends:?} of {minutes} min has no twin: {here:?}, {there:?}"
            );
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(config())]

    /// More water never opens a way longer and never adds a minute to a window.
    #[test]
    fn more_water_never_gives_more_time(seed: u64, more in 0.01..0.6f64) {
        more_water(seed, more)?;
    }

    /// No forecast opens a way longer or adds a minute to a window.
    #[test]
    fn a_forecast_opens_nothing(seed: u64, which: u64) {
        any_forecast(seed, which)?;
    }

    /// Less pressure never gives more time.
    #[test]
    fn a_worse_forecast_opens_nothing(seed: u64, which: u64, less_hpa in 0.5..30.0f64) {
        worse_forecast(seed, which, less_hpa)?;
    }

    /// A forecast of frost closes, and never lifts a closure.
    #[test]
    fn a_forecast_of_frost_opens_nothing(seed: u64, which: u64) {
        forecast_of_frost(seed, which)?;
    }

    /// A larger stand-off, of any animal that is there, opens nothing.
    #[test]
    fn a_larger_stand_off_opens_nothing(seed: u64, which in 0..3usize, more in 1.0..80.0f64) {
        larger_stand_off(seed, which, more)?;
    }

    /// A further closure opens nothing.
    #[test]
    fn a_further_closure_opens_nothing(seed: u64, first in -5..20i32, length in 0..10i32) {
        further_closure(seed, first, length)?;
    }

    /// A further animal opens nothing for the others.
    #[test]
    fn a_further_animal_opens_nothing(seed: u64, away_m in 10.0..200.0f64, half in 0..24usize) {
        further_animal(seed, away_m, half)?;
    }

    /// A breeding season where there was none opens nothing, for any animal of the place.
    #[test]
    fn a_further_breeding_season_opens_nothing(seed: u64, half in 0..24usize) {
        further_breeding(seed, half)?;
    }

    /// A change of zone alone moves no instant. Days at the edge of the span belong to another
    /// span in another zone, and light of more than a day, which is cut at the zone's own
    /// midnights, is left out.
    #[test]
    fn a_change_of_zone_moves_no_instant(
        seed: u64,
        zone in prop::sample::select(vec!["UTC", "Asia/Tokyo", "America/Anchorage"]),
    ) {
        change_of_zone(seed, zone)?;
    }

    /// The globe mirrored keeps the light's side: at the other latitude, half a year on, with the
    /// view mirrored north for south, the sun that stood so far west of the meridian has the same
    /// height and falls from the same side.
    ///
    /// The day is that whose declination at noon is nearest to the opposite one: at an equinox up
    /// to 0.2° off, which at the heights and latitudes drawn moves a crossing by less than 2.5° in
    /// hour angle (ten minutes).
    #[test]
    fn a_mirrored_globe_keeps_the_side_of_the_light(
        latitude_deg in 5.0..50.0f64,
        bearing_deg in 0..360i32,
        day in 20_454..20_819i32,
        highest_deg in 15.0..45.0f64,
        small in 0.0..60.0f64,
        wide in 40.0..120.0f64,
    ) {
        let angle_deg = [small, small + wide];
        mirrored(View { latitude_deg, bearing_deg, day, highest_deg, angle_deg })?;
    }
}

/// Drawn once: less water opened the way early, whoever came at once stayed longer than the longest
/// outing, and nobody thought of coming later.
#[test]
fn who_would_stay_too_long_comes_later() {
    more_water(4_771_393_580_397_539_166, 0.251_884_343_604_353_7).unwrap();
}

/// Drawn once: what a forecast adds was rounded by itself, and fell where the allowance grew.
#[test]
fn a_larger_allowance_is_no_less_for_being_rounded() {
    more_water(6_493_821_790_802_337_585, 0.555_545_085_779_116_2).unwrap();
}
