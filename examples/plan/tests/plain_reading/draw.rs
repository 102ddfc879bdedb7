//! Draws scenarios: coasts of every kind of tide and inland, both hemispheres, zones with
//! daylight saving and without.
//!
//! Levels are drawn from the heights that the tide reaches, so that most of them decide something.

use jiff::Span;
use jiff::civil::{Date, date};

use super::chance::Chance;
use super::coast::{Levels, hundredths, port};
use super::plan::{Access, Bears, Closure, Free, Phase, Plan, Seat, Subject, Visits, Way};
use super::table::day_number;

/// Fields that a scenario may give. Each stands for a rule that a reader of scenarios may not
/// know yet.
pub(crate) const LONGEST_HOURS: bool = true;

/// Days asked for in one go.
pub(crate) const DAYS: u32 = 20;

/// Zones with a latitude and longitude that belong to them. Clocks change by an hour, by half an
/// hour (Lord Howe), at midnight (Santiago, the Azores), or never.
const ZONES: [(&str, f64, f64); 15] = [
    ("Europe/London", 52.0, -1.0),
    ("Europe/Berlin", 54.5, 8.5),
    ("Europe/Oslo", 69.6, 19.0),
    ("Atlantic/Azores", 38.0, -27.0),
    ("America/New_York", 41.0, -72.0),
    ("America/St_Johns", 47.5, -53.0),
    ("America/Anchorage", 60.0, -151.0),
    ("America/Santiago", -41.5, -73.0),
    ("Australia/Sydney", -34.0, 151.0),
    ("Australia/Lord_Howe", -31.5, 159.0),
    ("Pacific/Auckland", -37.0, 175.0),
    ("Pacific/Chatham", -44.0, -176.5),
    ("Asia/Tokyo", 35.0, 140.0),
    ("Asia/Kathmandu", 27.0, 86.0),
    ("UTC", -67.0, -2.0),
];

pub(crate) fn plan(seed: u64) -> Plan {
    let chance = &mut Chance::new(seed);
    let (mut zone, latitude, longitude) = chance.pick(&ZONES);
    // Who plans in another zone has midnights in the middle of the light.
    if chance.percent(30) {
        zone = "UTC";
    }
    let from = first_day(chance);
    let port = chance.percent(88).then(|| port(chance));
    let expected_m = if chance.percent(30) {
        chance.between(-0.3, 0.4)
    } else {
        0.0
    };
    let upper_allowance_m = chance.between(0.0, 0.5);
    let levels = port.as_ref().map(|port| Levels::of(port, from));

    let mut plan = Plan {
        zone,
        from,
        days: DAYS,
        phase: chance.pick(&[
            Phase::Both,
            Phase::Both,
            Phase::Both,
            Phase::Flood,
            Phase::Ebb,
        ]),
        expected_m,
        upper_allowance_m,
        settle: chance.whole(0, 60),
        factor: chance.between(1.0, 2.0),
        shortest: chance.whole(5, 40),
        longest_hours: (LONGEST_HOURS && chance.percent(20)).then(|| chance.whole(6, 24)),
        altitude_deg: [0.0, 0.0],
        angle_deg: None,
        free: Vec::new(),
        latitude_deg: latitude + chance.between(-3.0, 3.0),
        longitude_deg: longitude + chance.between(-3.0, 3.0),
        push_m: None,
        overtop_m: None,
        from_home: chance.percent(50).then(|| chance.whole(0, 90)),
        seats: Vec::new(),
        ways: Vec::new(),
        subjects: Vec::new(),
        closures: Vec::new(),
        frost: None,
        visits: Visits::default(),
        week: None,
        port,
    };
    light(chance, &mut plan);
    if let Some(levels) = &levels
        && chance.percent(65)
    {
        // Low levels make stretches with several high waters, up to stretches of days.
        let lowest = if chance.percent(15) { 0.05 } else { 0.5 };
        let push = levels.at(chance.between(lowest, 0.97)) + expected_m;
        plan.push_m = Some(hundredths(push));
        let above = chance.between(0.05, 1.0) * (levels.top() - levels.at(0.3));
        plan.overtop_m = chance.percent(40).then(|| hundredths(push + 0.02 + above));
    }
    if let Some(levels) = &levels {
        for _ in 0..2 {
            let way = way(chance, levels, &plan);
            plan.ways.push(way);
        }
    }
    subjects(chance, &mut plan);
    for id in ["a", "b"].into_iter().take(1 + chance.below(2)) {
        let seat = seat(chance, id, levels.as_ref(), &plan);
        plan.seats.push(seat);
    }
    // What is missing refuses a whole scenario in some readers: it is drawn for a seat that
    // stands alone.
    if plan.seats.len() == 1 && chance.percent(16) {
        forget(chance, &mut plan.seats[0]);
    }
    free(chance, &mut plan);
    for _ in 0..chance.pick(&[0, 0, 1, 1, 2, 3]) {
        let closure = closure(chance, &plan);
        plan.closures.push(closure);
    }
    visits(chance, &mut plan);
    // Drawn last: what was drawn before them is what it was without.
    for seat in 0..plan.seats.len() {
        if chance.percent(30) {
            plan.seats[seat].horizon = terrain(chance);
        }
    }
    frost(chance, &mut plan);
    if chance.percent(40) {
        plan.week = Some(super::week::draw(chance, &plan));
    }
    let start = (i64::from(day_number(plan.from)) - TABLE_DAYS) * 1440;
    let minutes = (i64::from(plan.days) + 2 * TABLE_DAYS) * 1440;
    if let Some(port) = &mut plan.port
        && port.secondary.is_none()
        && chance.percent(25)
    {
        port.printed = super::tide::printed(port, start, minutes as usize);
    }
    plan
}

/// A printed table goes on for so many days on either side: more than any outing asks for, and than
/// the judge looks at.
const TABLE_DAYS: i64 = 7;

/// Hills around a seat, at most 80° apart and gentle enough that the sun's error is not stretched.
fn terrain(chance: &mut Chance) -> Vec<[f64; 2]> {
    let corners = 6 + chance.below(4);
    let apart = 360.0 / corners as f64;
    (0..corners)
        .map(|corner| {
            let bearing = apart * corner as f64 + chance.whole(0, 19);
            let height = if chance.percent(40) {
                0.0
            } else {
                chance.between(-1.0, 12.0)
            };
            [(bearing * 10.0).round() / 10.0, height]
        })
        .collect()
}

/// Now and then frozen days were counted, and a closure holds only from some number of them on.
fn frost(chance: &mut Chance, plan: &mut Plan) {
    for closure in &mut plan.closures {
        closure.frozen_days = chance.percent(25).then(|| 1 + chance.below(10) as u16);
    }
    if chance.percent(40) {
        let on = day_number(plan.from) + chance.below(25) as i32 - 5;
        plan.frost = Some((chance.below(12) as u16, super::table::date_of(on)));
    }
}

/// Now and then past visits alarmed an animal, or put so many up that the place rests for a month.
fn visits(chance: &mut Chance, plan: &mut Plan) {
    for subject in &plan.subjects {
        if chance.percent(12) {
            let distance_m = chance.whole(5, 120);
            plan.visits.alarms.push((subject.id, distance_m));
        }
    }
    if chance.percent(12) {
        let since = day_number(plan.from) + chance.below(25) as i32 - 12;
        plan.visits.rest = Some([since, since + 30]);
    }
}

/// Any day of six years; often a day from which the clocks change, or the year, within the span.
fn first_day(chance: &mut Chance) -> Date {
    let year = 2024 + chance.below(6) as i16;
    let near = [
        (3, 1),
        (3, 25),
        (4, 1),
        (9, 1),
        (9, 20),
        (10, 20),
        (11, 1),
        (12, 15),
        (2, 20),
    ];
    let (month, day) = chance.pick(&near);
    let first = if chance.percent(50) {
        (month, day)
    } else {
        (1 + chance.below(12) as i8, 1 + chance.below(28) as i8)
    };
    date(year, first.0, first.1)
}

fn light(chance: &mut Chance, plan: &mut Plan) {
    let [low, high] = match chance.below(3) {
        0 => [chance.between(-18.0, 0.0), 90.0],
        1 => [chance.between(-6.0, 2.0), chance.between(20.0, 60.0)],
        _ => [chance.between(-6.0, 2.0), chance.between(5.0, 20.0)],
    };
    plan.altitude_deg = [low, high];
    if chance.percent(45) {
        let small = if chance.percent(40) {
            0.0
        } else {
            chance.between(0.0, 90.0)
        };
        let large = if chance.percent(40) {
            180.0
        } else {
            chance.between(small + 30.0, 180.0)
        };
        plan.angle_deg = Some([small, large.min(180.0)]);
    }
}

fn way(chance: &mut Chance, levels: &Levels, plan: &Plan) -> Way {
    let raised = plan.expected_m + plan.upper_allowance_m;
    let low_point_m = if chance.percent(12) {
        levels.top() + raised + chance.between(0.0, 1.0)
    } else {
        levels.at(chance.between(0.3, 1.0)) + raised
    };
    let low_point_m = hundredths(low_point_m);
    let creeks = (0..chance.pick(&[0, 0, 1, 2]))
        .map(|_| hundredths(low_point_m + chance.between(-0.4, 0.5)))
        .collect();
    Way {
        low_point_m,
        creeks,
        loaded_dark: if chance.percent(50) {
            chance.whole(0, 10)
        } else {
            chance.whole(0, 60)
        },
        margin_m: if chance.percent(25) {
            0.0
        } else {
            chance.between(0.0, 0.4)
        },
        margin_minutes: chance.whole(0, 40),
    }
}

fn seat(chance: &mut Chance, id: &'static str, levels: Option<&Levels>, plan: &Plan) -> Seat {
    let hide = chance.percent(50);
    let nearest = plan
        .subjects
        .iter()
        .map(|subject| {
            if hide {
                subject.from_hide_m
            } else {
                subject.on_foot_m
            }
        })
        .fold(0.0, f64::max);
    let freeboard_m = if chance.percent(20) {
        0.0
    } else {
        chance.between(0.0, 0.6)
    };
    let raised = plan.expected_m + plan.upper_allowance_m + freeboard_m;
    let access = chance.pick(&[Access::Dry, Access::Leave, Access::Leave, Access::Stay]);
    let wet = levels.filter(|_| plan.push_m.is_some() || chance.percent(80));
    let way =
        wet.and_then(|_| (access != Access::Dry || chance.percent(50)).then(|| chance.below(2)));
    let access = if wet.is_some() {
        access
    } else if levels.is_some() {
        Access::Dry
    } else {
        // Without a tide nobody need speak of it.
        chance.pick(&[Access::Unsaid, Access::Dry])
    };
    let ground_m = wet.map(|levels| {
        let ground = if chance.percent(65) {
            levels.top() + chance.between(0.05, 0.8)
        } else {
            levels.at(chance.between(0.5, 1.0))
        };
        hundredths(ground + raised)
    });
    // Short walks find more stretches of an open way.
    let longest = if chance.percent(50) { 15 } else { 80 };
    Seat {
        id,
        bearing_deg: chance.whole(0, 359),
        distance_m: (nearest * chance.between(0.85, 2.0)).round(),
        ins: chance.whole(2, longest),
        out: chance.whole(2, longest),
        hide,
        access,
        ground_m,
        freeboard_m,
        way,
        horizon: Vec::new(),
    }
}

/// Leaves something out that decides about life.
fn forget(chance: &mut Chance, seat: &mut Seat) {
    match chance.below(4) {
        0 => seat.ground_m = None,
        1 => seat.access = Access::Unsaid,
        2 => seat.access = Access::Unknown,
        _ => seat.way = None,
    }
}

fn subjects(chance: &mut Chance, plan: &mut Plan) {
    for id in ["s", "t", "u"].into_iter().take(chance.pick(&[1, 1, 2, 3])) {
        let present = chance.percent(35).then(|| halves(chance, plan.from, 12));
        let breeding = chance.percent(25).then(|| {
            let first = chance.below(24);
            [first, (first + chance.below(8)) % 24]
        });
        let on_foot_m = chance.whole(20, 150);
        let from_hide_m = (on_foot_m * chance.between(0.4, 1.0)).round();
        plan.subjects.push(Subject {
            id,
            on_foot_m,
            from_hide_m,
            present,
            breeding,
        });
    }
}

/// A stretch of half-months that often begins or ends within the span.
fn halves(chance: &mut Chance, from: Date, most: usize) -> [usize; 2] {
    let now = 2 * (from.month() as usize - 1) + usize::from(from.day() > 15);
    let first = (now + 24 - chance.below(most)) % 24;
    [first, (first + 2 + chance.below(most)) % 24]
}

fn free(chance: &mut Chance, plan: &mut Plan) {
    if !chance.percent(25) {
        return;
    }
    for _ in 0..1 + chance.below(2) {
        let weekdays = (0..7_i8).filter(|_| chance.percent(45)).collect();
        // Ends stay clear of the hours in which clocks change, where a time of day may mean two
        // instants.
        let from = 60 * chance.whole(4, 14) as i32 + 15 * chance.below(4) as i32;
        let until = 60 * chance.whole(5, 21) as i32 + 15 * chance.below(4) as i32;
        plan.free.push(Free {
            weekdays,
            from,
            until,
        });
    }
}

fn closure(chance: &mut Chance, plan: &Plan) -> Closure {
    let away = chance.below(40) as i32 - 15;
    let first = plan
        .from
        .checked_add(Span::new().days(away))
        .expect("a drawn day");
    let length = if chance.percent(15) {
        150
    } else {
        chance.below(12) as i32
    };
    let last = first
        .checked_add(Span::new().days(length))
        .expect("a drawn day");
    let bears = match chance.below(6) {
        0 => Bears::Everywhere,
        1 | 2 => Bears::Here,
        3 => Bears::Elsewhere,
        4 => Bears::Seat(chance.pick(&["a", plan.seats[plan.seats.len() - 1].id])),
        _ => Bears::Subject(plan.subjects[chance.below(plan.subjects.len())].id),
    };
    Closure {
        bears,
        from: (first.month(), first.day()),
        to: (last.month(), last.day()),
        weekdays: if chance.percent(20) {
            vec![5, 6]
        } else {
            Vec::new()
        },
        closed: chance.percent(85),
        frozen_days: None,
    }
}
