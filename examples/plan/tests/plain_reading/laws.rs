//! Laws that hold between two answers of the library, whatever the truth of either.

use jiff::Span;
use proptest::prelude::*;

use super::ask::{Found, ask};
use super::plan::{Access, Bears, Closure, Plan, Subject};
use super::sun::{self, wrap_180};
use super::{alike, draw, tell};

fn found(plan: &Plan) -> Vec<Found> {
    ask(&plan.text(), plan.from, plan.days).unwrap().windows
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
    plan.longest_hours = None;
    for subject in &mut plan.subjects {
        (subject.present, subject.breeding) = (None, None);
    }
    // Light that ends: a day without dusk makes outings longer than the longest, which less time would put right.
    plan.latitude_deg = plan.latitude_deg.clamp(-50.0, 50.0);
    plan.altitude_deg[0] = plan.altitude_deg[0].max(-1.0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// More water never opens a way longer and never adds a minute to a window.
    #[test]
    fn more_water_never_gives_more_time(seed: u64, more in 0.01..0.6f64) {
        let Some(mut plan) = complete(seed) else { return Ok(()) };
        by_water_alone(&mut plan);
        let before = found(&plan);
        plan.upper_allowance_m += more;
        let after = found(&plan);
        let kept = within(&after, &before);
        prop_assert!(kept.is_ok(), "{more} m more water gives {}\n{}", kept.unwrap_err(), plan.text());
        // The walks: who comes must come no later, who stays leaves no earlier, who leaves leaves no later.
        for a in &after {
            let leaves = plan.seats.iter().any(|s| s.id == a.seat && s.access == Access::Leave);
            let twin = before.iter().find(|b| {
                b.seat == a.seat && b.subject == a.subject && a.pictures == b.pictures
            });
            if let Some(b) = twin {
                prop_assert!(a.seated_by <= b.seated_by + 1.0, "{} then {}", tell(b), tell(a));
                let out = if leaves { a.stand_up <= b.stand_up + 1.0 } else { a.stand_up >= b.stand_up - 1.0 };
                prop_assert!(out, "{} then {}", tell(b), tell(a));
            }
        }
    }

    /// A larger stand-off, of any animal that is there, opens nothing.
    #[test]
    fn a_larger_stand_off_opens_nothing(seed: u64, which in 0..3usize, more in 1.0..80.0f64) {
        let Some(mut plan) = complete(seed) else { return Ok(()) };
        let before = found(&plan);
        let which = which % plan.subjects.len();
        plan.subjects[which].on_foot_m += more;
        plan.subjects[which].from_hide_m += more;
        let kept = among(&found(&plan), &before);
        prop_assert!(kept.is_ok(), "{}\n{}", kept.unwrap_err(), plan.text());
    }

    /// A further closure opens nothing.
    #[test]
    fn a_further_closure_opens_nothing(seed: u64, first in -5..20i32, length in 0..10i32) {
        let Some(mut plan) = complete(seed) else { return Ok(()) };
        let before = found(&plan);
        let day = |more: i32| {
            let day = plan.from.checked_add(Span::new().days(more)).unwrap();
            (day.month(), day.day())
        };
        let (from, to) = (day(first), day(first + length));
        plan.closures.push(Closure { bears: Bears::Here, from, to, weekdays: vec![], closed: true });
        let after = found(&plan);
        let kept = among(&after, &before);
        prop_assert!(kept.is_ok(), "{}\n{}", kept.unwrap_err(), plan.text());
    }

    /// A further animal, or a breeding season of one that is there, opens nothing for the others.
    #[test]
    fn a_further_animal_opens_nothing(seed: u64, breeding: bool, away in 10.0..200.0f64, half in 0..24usize) {
        let Some(mut plan) = complete(seed) else { return Ok(()) };
        let before = found(&plan);
        if breeding {
            plan.subjects[0].breeding = Some([half, (half + 5) % 24]);
        } else {
            plan.subjects.push(Subject {
                id: "v", on_foot_m: away, from_hide_m: away, present: Some([half, (half + 7) % 24]), breeding: None,
            });
        }
        let mut after = found(&plan);
        after.retain(|window| window.subject != "v");
        // A season that was moved may open what the old one closed: only a further one is meant.
        if !breeding || draw::plan(seed).subjects[0].breeding.is_none() {
            let kept = among(&after, &before);
            prop_assert!(kept.is_ok(), "{}\n{}", kept.unwrap_err(), plan.text());
        }
    }

    /// A change of zone alone moves no instant. Days at the edge of the span belong to another span in another zone, and light of more
    /// than a day is cut at the zone's own midnights.
    #[test]
    fn a_change_of_zone_moves_no_instant(seed: u64, zone in prop::sample::select(vec!["UTC", "Asia/Tokyo", "America/Anchorage", "Europe/Berlin"])) {
        let Some(mut plan) = complete(seed) else { return Ok(()) };
        by_water_alone(&mut plan);
        let before = found(&plan);
        let start = super::table::day_number(plan.from) as f64 * 86_400.0;
        let inner = start + 2.0 * 86_400.0..start + f64::from(plan.days - 2) * 86_400.0;
        plan.zone = zone;
        let after = found(&plan);
        let inside = |all: &[Found]| -> Vec<Found> {
            all.iter().filter(|window| inner.contains(&window.pictures[0])).cloned().collect()
        };
        for (some, others) in [(inside(&before), &after), (inside(&after), &before)] {
            let kept = among(&some, others);
            prop_assert!(kept.is_ok(), "{}\n{}", kept.unwrap_err(), plan.text());
        }
    }

    /// The globe mirrored keeps the light's side: at the other latitude, half a year on, with the view mirrored north for south, the sun
    /// that stood so far west of the meridian has the same height and falls from the same side.
    ///
    /// The day is that whose declination at noon is nearest to the opposite one: at an equinox up to 0.2° off, which at the heights and
    /// latitudes drawn moves a crossing by less than 2.5° of hour angle (ten minutes).
    #[test]
    fn a_mirrored_globe_keeps_the_side_of_the_light(
        latitude in 5.0..50.0f64, bearing in 0..360i32, day in 0..365i32,
        high in 15.0..45.0f64, small in 0.0..60.0f64, wide in 40.0..120.0f64,
    ) {
        let mut plan = draw::plan(0);
        by_water_alone(&mut plan);
        (plan.port, plan.push_m, plan.overtop_m) = (None, None, None);
        plan.ways.clear();
        plan.seats.truncate(1);
        plan.subjects.truncate(1);
        let seat = &mut plan.seats[0];
        (seat.way, seat.ground_m, seat.access) = (None, None, Access::Dry);
        (seat.distance_m, seat.bearing_deg) = (400.0, f64::from(bearing));
        (plan.zone, plan.days, plan.longitude_deg) = ("UTC", 1, 0.0);
        (plan.settle, plan.shortest, plan.latitude_deg) = (0.0, 5.0, latitude);
        plan.altitude_deg = [0.0, high];
        plan.angle_deg = Some([small, (small + wide).min(180.0)]);
        plan.from = super::table::date_of(20_454 + day);
        let here = found(&plan);

        let noon = |day: i32| sun::sun(f64::from(day) * 86_400.0 + 43_200.0, 0.0, 0.0).declination_deg;
        let first = super::table::day_number(plan.from);
        let opposite = (first + 150..first + 216)
            .min_by(|a, b| (noon(*a) + noon(first)).abs().total_cmp(&(noon(*b) + noon(first)).abs()))
            .unwrap();
        plan.from = super::table::date_of(opposite);
        plan.latitude_deg = -latitude;
        plan.seats[0].bearing_deg = f64::from((180 - bearing).rem_euclid(360));
        let there = found(&plan);

        let hours = |window: &Found, latitude: f64| {
            window.pictures.map(|at| sun::sun(at, latitude, 0.0).hour_angle_deg)
        };
        for (some, others, at, other) in [(&here, &there, latitude, -latitude), (&there, &here, -latitude, latitude)] {
            // Short windows graze a limit and may vanish.
            for a in some.iter().filter(|a| a.pictures[1] - a.pictures[0] > 3600.0) {
                let met = others.iter().any(|b| {
                    let (x, y) = (hours(a, at), hours(b, other));
                    (0..2).all(|end| wrap_180(x[end] - y[end]).abs() < 2.5)
                });
                prop_assert!(met, "{} has no twin among {:?}", tell(a), others);
            }
        }
    }
}
