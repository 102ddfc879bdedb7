//! Rows at the seats of a scenario are usable exactly while they lie in its windows.

use std::collections::BTreeSet;

use arrow_array::Array;
use arrow_array::cast::AsArray;
use arrow_array::types::Int8Type;
use jiff::Timestamp;
use jiff::civil::date;
use wrackline_plan::experience::{Alarm, Experience, Rest};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::windows::{self, Almanac, Condition, Wish};
use wrackline_table::{SeatChoice, Table, schema, seats_of};

#[test]
fn usable_is_being_in_a_window() {
    let mut spec = crate::demo_spec("2026-12-01T00:00:00Z", 60);
    // Groups that cut the span, so that windows at their edges are tried as well.
    spec.group_rows = 1000;
    let table = Table::new(spec).unwrap();
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let span: [Timestamp; 2] =
        ["2026-11-25T00:00:00Z", "2027-02-05T00:00:00Z"].map(|t| t.parse().unwrap());
    let almanac = Almanac::over(&scenario, &(span[0]..span[1])).unwrap();

    let usable_at = schema::position("usable").unwrap();
    let usable: Vec<bool> = table
        .batches()
        .flat_map(|batch| {
            let batch = batch.unwrap();
            let column = batch.column(usable_at).as_boolean();
            assert_eq!(column.null_count(), 0);
            (0..column.len())
                .map(|row| column.value(row))
                .collect::<Vec<_>>()
        })
        .collect();
    let instants = &table.spec().instants;
    let mut usable_rows = 0;
    for (number, spot) in table.spec().places.spots.iter().enumerate() {
        let wish = spot.wish.unwrap();
        let wish = Wish::new(
            &scenario.seats()[wish.seat],
            &scenario.subjects()[wish.subject],
            &scenario.lights()[wish.light],
        );
        let outlook = windows::outlook(&scenario, wish, &almanac);
        let windows: Vec<_> = outlook.occasions.iter().flat_map(|o| &o.windows).collect();
        for index in 0..instants.len() {
            let at = Timestamp::from_millisecond(instants.at_ms(index)).unwrap();
            let inside =
                outlook.never.is_empty() && windows.iter().any(|w| w.stretch.contains(&at));
            let row = number * instants.len() + index;
            assert_eq!(
                usable[row], inside,
                "{} {:?} at {at}",
                spot.place, spot.seat
            );
            usable_rows += usize::from(inside);
        }
    }
    assert!(
        usable_rows > 50,
        "only {usable_rows} usable rows: the test says little"
    );
}

#[test]
fn refusals_have_their_reasons() {
    // Seat C fits no tide: its creeks fill before the birds are pushed. In the closed season that
    // says it first.
    let limits = |from: &str| {
        let table = Table::new(crate::demo_spec(from, 1)).unwrap();
        let seat = table
            .spec()
            .places
            .spots
            .iter()
            .position(|s| s.seat.as_deref() == Some("C"))
            .unwrap();
        let batch = table.batches().next().unwrap().unwrap();
        let limit = batch
            .column(schema::position("limiting_condition").unwrap())
            .as_dictionary::<Int8Type>();
        let words = limit.values().as_string::<i32>();
        let count = table.spec().instants.len();
        (seat * count..(seat + 1) * count)
            .map(|row| words.value(limit.keys().value(row) as usize).to_owned())
            .collect::<std::collections::BTreeSet<String>>()
    };
    assert_eq!(
        limits("2026-12-29T00:00:00Z")
            .into_iter()
            .collect::<Vec<_>>(),
        ["way in"]
    );
}

#[test]
fn a_subject_that_is_asked_for_leaves_only_its_seats() {
    let scenario = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    let seats = |subject: Option<&str>, place: Option<&str>| {
        let choice = SeatChoice {
            subject,
            place,
            ..SeatChoice::default()
        };
        let places = seats_of(&scenario, choice).map_err(|error| error.to_string())?;
        let seats = places.spots.into_iter().filter_map(|spot| spot.seat);
        Ok::<_, String>(seats.collect::<Vec<_>>())
    };
    assert_eq!(seats(Some("reed-owl"), None).unwrap(), ["E"]);
    assert_eq!(seats(None, None).unwrap(), ["A", "B", "C", "D", "E", "F"]);
    let refused = seats(Some("reed-owl"), Some("withy")).unwrap_err();
    assert!(
        refused.to_string().contains("found at no seat"),
        "{refused}"
    );
}

#[test]
fn what_the_log_says_holds_at_the_seats() {
    let limits = |experience: Option<Experience>| {
        let mut spec = crate::demo_spec("2026-12-29T00:00:00Z", 1);
        spec.experience = experience;
        let table = Table::new(spec).unwrap();
        let spots = &table.spec().places.spots;
        let seat = spots
            .iter()
            .position(|s| s.seat.as_deref() == Some("A"))
            .unwrap();
        let count = table.spec().instants.len();
        let batch = table.batches().next().unwrap().unwrap();
        let limit = batch
            .column(schema::position("limiting_condition").unwrap())
            .as_dictionary::<Int8Type>();
        let names = limit.values().as_string::<i32>();
        let rows = seat * count..(seat + 1) * count;
        let limited = rows.filter(|row| limit.keys().is_valid(*row));
        let words: BTreeSet<String> = limited
            .map(|row| names.value(limit.keys().value(row) as usize).to_owned())
            .collect();
        let usable = batch
            .column(schema::position("usable").unwrap())
            .as_boolean();
        let usable = (seat * count..(seat + 1) * count)
            .filter(|row| usable.value(*row))
            .count();
        (words, usable)
    };
    let (_, without) = limits(None);
    assert!(without > 0);
    // Alarmed at 80 m asks for 100 m; the seat is 85 m away.
    let mut alarmed = Experience::default();
    let key = ("tallow-ness".to_owned(), "slate-knotling".to_owned());
    let alarm = Alarm {
        distance_m: 80.0,
        id: "v1".to_owned(),
        of_seat: false,
    };
    alarmed.alarms.insert(key, alarm);
    assert_eq!(
        limits(Some(alarmed)),
        (BTreeSet::from(["stand-off".to_owned()]), 0)
    );
    let rest = Rest {
        place: "tallow-ness".to_owned(),
        since: date(2026, 12, 10),
        until: date(2027, 1, 10),
        flushes: Vec::new(),
    };
    let resting = Experience {
        rests: vec![rest],
        ..Experience::default()
    };
    let (words, usable) = limits(Some(resting));
    assert_eq!(usable, 0);
    assert!(words.contains("rest"), "{words:?}");
}

#[test]
fn the_column_knows_every_condition() {
    let schema::Kind::Word(words) =
        schema::COLUMNS[schema::position("limiting_condition").unwrap()].kind
    else {
        panic!("limiting_condition is not of words");
    };
    let known = [
        Condition::StandOff,
        Condition::Closure,
        Condition::Rest,
        Condition::Breeding,
        Condition::Presence,
        Condition::Unknown,
        Condition::Freeboard,
        Condition::WayIn,
        Condition::LongestOuting,
        Condition::PushLevel,
        Condition::OvertopLevel,
        Condition::Light,
        Condition::Duration,
        Condition::FreeHours,
    ];
    assert_eq!(words, known.map(Condition::name));
}
