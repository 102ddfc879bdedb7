//! How often the interval of nine in ten holds the true share, in simulated records whose truth is
//! known: from the text of the records to the interval.

use wrackline_gather::presence::{Question, Source, State, presence};

use crate::simulate::{ANIMAL, AT, World, passage, rarity, resident, summer_guest, winter_guest};

/// A kind of year: the logit of the chance by the part of the year.
type Kind = (&'static str, fn(f64) -> f64);

const YEARS: [Kind; 5] = [
    ("winter guest", winter_guest),
    ("summer guest", summer_guest),
    ("passage", passage),
    ("resident", resident),
    ("rarity", rarity),
];

/// Simulated sets of records for each kind of year.
const SETS: u64 = 30;

const INDEPENDENT: World = World {
    year: resident,
    visits: 25.0,
    observers: 40,
    skill: 0.0,
    years_differ: 0.0,
    flawed: 0.05,
    as_events: false,
};

/// Intervals that held the truth, and all.
#[derive(Clone, Copy, Default, Debug)]
struct Held {
    held: u32,
    all: u32,
}

impl Held {
    fn add(&mut self, held: bool) {
        self.held += u32::from(held);
        self.all += 1;
    }

    fn share(self) -> f64 {
        f64::from(self.held) / f64::from(self.all)
    }
}

/// For each kind of year; and half-months said to be without the animal that had it on more than
/// the threshold of visits, of all that were said to be without it.
fn coverage(world: World, seed: u64) -> (Vec<(&'static str, Held)>, Held) {
    let mut falsely_absent = Held::default();
    let held = YEARS.map(|(name, year)| {
        let world = World { year, ..world };
        let mut held = Held::default();
        for set in 0..SETS {
            let records = world.records(seed * 1_000 + set);
            let question = Question::new(AT[0], AT[1], vec![ANIMAL.0.to_owned()]);
            let source = Source::of_bytes("simulated.csv", records);
            let told = presence(&question, [Ok(source)]).unwrap();
            for (half, said) in told.year.half_months.iter().enumerate() {
                let truth = world.truth(half);
                let interval = said.share.interval;
                held.add(interval.low <= truth && truth <= interval.high);
                if said.state == State::Absent {
                    falsely_absent.add(truth >= told.year.threshold.unwrap());
                }
            }
        }
        (name, held)
    });
    (held.to_vec(), falsely_absent)
}

/// From 85 to 95 %. Of 3,600 intervals, 90 % hold within 0.5 % (one standard error) were they
/// independent; those of one set of records are not, so that about 1.5 % is chance, and the seeds
/// are fixed. The bound is of all kinds of years together, since the interval promises nine in ten
/// on average: a flat year is held more often than a fortnight's arrival. No kind by itself may
/// fall below 80 %.
#[track_caller]
fn holds_nine_in_ten(world: World, seed: u64) {
    let (kinds, falsely_absent) = coverage(world, seed);
    let mut all = Held::default();
    for (name, held) in &kinds {
        println!("{name}: {:.3} of {}", held.share(), held.all);
        all.held += held.held;
        all.all += held.all;
        assert!(held.share() > 0.80, "{name}: {held:?}");
    }
    println!("all: {:.3}; falsely absent {falsely_absent:?}", all.share());
    assert!((0.85..=0.95).contains(&all.share()), "{all:?}");
    // One tail of the interval is a twentieth.
    assert!(falsely_absent.share() < 0.05, "{falsely_absent:?}");
}

#[test]
fn of_independent_visits() {
    holds_nine_in_ten(INDEPENDENT, 1);
}

#[test]
fn of_few_visits() {
    holds_nine_in_ten(
        World {
            visits: 8.0,
            ..INDEPENDENT
        },
        2,
    );
}

#[test]
fn of_many_visits_that_are_events() {
    holds_nine_in_ten(
        World {
            visits: 80.0,
            as_events: true,
            ..INDEPENDENT
        },
        3,
    );
}

/// Observers who see half and twice as well as the middle one, and years that differ.
#[test]
fn of_visits_that_are_alike() {
    holds_nine_in_ten(
        World {
            visits: 40.0,
            observers: 25,
            skill: 0.6,
            years_differ: 0.25,
            ..INDEPENDENT
        },
        4,
    );
}
