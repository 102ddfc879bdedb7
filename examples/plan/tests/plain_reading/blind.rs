//! The judge is not blind: each rule, broken on purpose in a window that keeps them all, is seen.

use super::ask::{Found, ask_plan};
use super::plan::{Access, Bears, Closure, Free, Phase, Plan};
use super::rules::breaks;
use super::table::Table;
use super::week::{Said, Week};
use super::{draw, table};

type Spoil = fn(&mut Plan, &mut Found);

/// A way to break each rule.
const SPOILED: [(&str, Spoil); 40] = [
    ("walk in", |_, found| found.set_out = found.seated_by),
    ("walk out", |_, found| found.back_by = found.stand_up),
    ("settling", |plan, found| {
        plan.settle = (found.pictures[0] - found.seated_by) / 60.0 + 5.0;
    }),
    ("stand up", |_, found| {
        found.stand_up = found.pictures[1] - 300.0
    }),
    ("shortest", |plan, _| plan.shortest = 1440.0),
    ("longest outing", |plan, _| plan.longest_hours = Some(0.1)),
    ("stand-off", |plan, _| {
        plan.seats.iter_mut().for_each(|seat| seat.distance_m = 1.0)
    }),
    ("unknown", |plan, _| {
        plan.seats.iter_mut().for_each(|seat| seat.ground_m = None)
    }),
    ("light", |plan, _| plan.altitude_deg = [-18.0, -17.0]),
    ("light", |plan, _| plan.angle_deg = Some([0.0, 1.0])),
    ("closure", |plan, _| {
        plan.closures.push(every_day(Bears::Here))
    }),
    ("closure", |plan, found| {
        let id = if found.seat == "a" { "a" } else { "b" };
        plan.closures.push(every_day(Bears::Seat(id)));
    }),
    ("closure", |plan, found| {
        let id = plan.subjects.iter().find(|there| there.id != found.subject);
        let closed = id.map(|there| every_day(Bears::Subject(there.id)));
        plan.closures.extend(closed);
    }),
    ("closure", |plan, found| {
        plan.frost = Some((7, found.day));
        plan.closures.push(Closure {
            frozen_days: Some(7),
            ..every_day(Bears::Everywhere)
        });
    }),
    ("light", |plan, _| {
        plan.seats
            .iter_mut()
            .for_each(|seat| seat.horizon = vec![[0.0, 60.0], [90.0, 60.0]]);
    }),
    ("unknown", |plan, _| {
        plan.seats
            .iter_mut()
            .for_each(|seat| seat.access = Access::Unsaid)
    }),
    ("rest", |plan, found| {
        let day = table::day_number(found.day);
        plan.visits.rest = Some([day - 20, day + 20]);
    }),
    ("stand-off", |plan, found| {
        let id = plan
            .subjects
            .iter()
            .find(|subject| subject.id == found.subject);
        plan.visits
            .alarms
            .extend(id.map(|subject| (subject.id, 5000.0)));
    }),
    ("breeding", |plan, _| {
        plan.subjects
            .iter_mut()
            .for_each(|subject| subject.breeding = Some([0, 23]));
    }),
    ("presence", |plan, found| {
        let day = table::day_number(found.day) + 180;
        let half = 2 * (table::date_of(day).month() as usize - 1);
        plan.subjects
            .iter_mut()
            .for_each(|subject| subject.present = Some([half, half]));
    }),
    ("breeding of another animal", |plan, found| {
        let others = plan
            .subjects
            .iter_mut()
            .filter(|subject| subject.id != found.subject);
        others.for_each(|subject| subject.breeding = Some([0, 23]));
    }),
    ("stand-off of another animal", |plan, found| {
        for subject in plan
            .subjects
            .iter_mut()
            .filter(|subject| subject.id != found.subject)
        {
            (subject.on_foot_m, subject.from_hide_m) = (4000.0, 4000.0);
            subject.present = None;
        }
    }),
    ("free hours", |plan, _| {
        plan.free = vec![Free {
            weekdays: vec![],
            from: 300,
            until: 301,
        }];
    }),
    ("push level", |plan, _| {
        plan.push_m = plan.push_m.map(|push| push + 2.0)
    }),
    ("flood only", |plan, found| {
        plan.phase = Phase::Flood;
        found.pictures[1] += 7200.0;
    }),
    ("ebb only", |plan, found| {
        plan.phase = Phase::Ebb;
        found.pictures[0] -= 7200.0;
    }),
    ("overtop level", |plan, _| plan.overtop_m = plan.push_m),
    ("seated before the animals", |_, found| {
        found.seated_by = found.pictures[1]
    }),
    ("waits for the animals to leave", |plan, found| {
        plan.push_m = plan.push_m.map(|push| push - 1.0);
        found.stand_up = found.pictures[1];
    }),
    ("freeboard", |plan, _| {
        plan.seats
            .iter_mut()
            .for_each(|seat| seat.ground_m = seat.ground_m.map(|_| -5.0));
    }),
    ("way in", |plan, _| {
        plan.ways.iter_mut().for_each(|way| way.low_point_m = -5.0)
    }),
    ("way out", |plan, _| {
        plan.ways.iter_mut().for_each(|way| way.low_point_m = -5.0)
    }),
    ("longest stretch", |plan, _| plan.longest_hours = Some(0.1)),
    ("left before the flood", |plan, _| {
        plan.seats
            .iter_mut()
            .for_each(|seat| seat.access = Access::Leave);
        plan.ways.iter_mut().for_each(|way| way.low_point_m = -5.0);
    }),
    ("freeboard", |plan, found| storm(plan, found, 0.0, 870.0)),
    ("way in", |plan, found| storm(plan, found, 0.0, 870.0)),
    ("way out", |plan, found| storm(plan, found, 0.0, 870.0)),
    ("seated before the animals", |plan, found| {
        storm(plan, found, 0.0, 870.0);
    }),
    ("lower water", |plan, found| storm(plan, found, 0.0, 1090.0)),
    ("closure", |plan, found| {
        storm(plan, found, -1.0, 1013.0);
        plan.closures.push(Closure {
            frozen_days: Some(1),
            ..every_day(Bears::Here)
        });
    }),
];

/// One row in the middle of a window: hardly any pressure raises the water by more than a metre.
fn storm(plan: &mut Plan, found: &mut Found, air_c: f64, pressure_hpa: f64) {
    plan.week = Some(Week {
        rows: vec![Said {
            minute: (found.pictures[0] / 60.0) as i64,
            pressure_hpa: Some(pressure_hpa),
            wind: None,
            air_c: Some(air_c),
        }],
        learned: None,
    });
}

fn every_day(bears: Bears) -> Closure {
    Closure {
        bears,
        from: (1, 1),
        to: (12, 31),
        weekdays: Vec::new(),
        closed: true,
        frozen_days: None,
    }
}

#[test]
fn each_broken_rule_is_seen() {
    let mut seen = vec![0; SPOILED.len()];
    for seed in 0..60 {
        let plan = draw::plan(seed);
        let Ok(answer) = ask_plan(&plan, plan.from, plan.days) else {
            continue;
        };
        let table = Table::of(&plan);
        let kept_week = plan.week.clone();
        for found in answer.windows.iter().take(4) {
            let kept: Vec<&str> = breaks(&plan, &table, found).iter().map(|b| b.0).collect();
            for (which, (rule, spoil)) in SPOILED.into_iter().enumerate() {
                let (mut plan, mut found) = (plan.clone(), found.clone());
                spoil(&mut plan, &mut found);
                // Free hours and the water are part of the table.
                let weather = plan.week != kept_week;
                let again = (rule == "free hours" || weather).then(|| Table::of(&plan));
                let broken = breaks(&plan, again.as_ref().unwrap_or(&table), &found);
                if !kept.contains(&rule) && broken.iter().any(|(name, _)| *name == rule) {
                    seen[which] += 1;
                }
            }
        }
    }
    for ((rule, _), times) in SPOILED.iter().zip(&seen) {
        assert!(
            *times > 0,
            "\"{rule}\" was broken and not seen; seen: {seen:?}"
        );
    }
}
