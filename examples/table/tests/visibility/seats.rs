//! Rows at the seats of a scenario are usable exactly while they lie in its windows.

use arrow_array::Array;
use arrow_array::cast::AsArray;
use arrow_array::types::Int8Type;
use jiff::Timestamp;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::windows::{self, Almanac, Condition, Wish};
use wrackline_table::{Table, schema};

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
    // Seat C fits no tide: its creeks fill before the birds are pushed. In the closed season that says it first.
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
