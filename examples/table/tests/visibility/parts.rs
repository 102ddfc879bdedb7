//! Parts joined are the table, whatever it was cut into.

use arrow_array::RecordBatch;
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_table::{Format, Instants, LightWish, Part, Table, TableSpec, Text, encode_part};

use crate::laws::texts;

/// Rows by place and instant, each as the text of its cells: to the last digit that a cell holds.
fn rows_of<'b>(batches: impl IntoIterator<Item = &'b RecordBatch>) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for batch in batches {
        let columns: Vec<Vec<String>> = batch.columns().iter().map(texts).collect();
        for row in 0..batch.num_rows() {
            rows.push(columns.iter().map(|column| column[row].clone()).collect());
        }
    }
    rows.sort();
    rows
}

fn whole(table: &Table) -> Vec<Vec<String>> {
    let batches: Result<Vec<RecordBatch>, _> = table.batches().collect();
    rows_of(&batches.unwrap())
}

fn joined(table: &Table, parts: &[Part]) -> Vec<Vec<String>> {
    let mut batches = Vec::new();
    for part in parts {
        let found: Result<Vec<RecordBatch>, _> = table.batches_of(part).unwrap().collect();
        let found = found.unwrap();
        assert_eq!(
            found.iter().map(RecordBatch::num_rows).sum::<usize>() as u64,
            part.rows()
        );
        batches.extend(found);
    }
    rows_of(&batches)
}

/// Invented places with tides of their own, some of them shared.
fn spec(places: usize, instants: Instants) -> TableSpec {
    let mut csv = "place,latitude_deg,longitude_deg,bearing_deg,push_m,overtop_m,port\n".to_owned();
    let mut constants = "port,convention,constituent,amplitude_m,phase_lag_deg\n".to_owned();
    for n in 0..places {
        let (latitude, longitude) = (50.0 + 0.37 * n as f64, -3.0 + 1.1 * n as f64);
        let port = n / 2;
        csv += &format!(
            "p{n},{latitude},{longitude},{},2.9,4.1,h{port}\n",
            40 * n % 360
        );
        if n % 2 == 0 {
            let kind = ["iho-instant", "schureman-annual"][port % 2];
            constants += &format!("h{port},{kind},Z0,2.8,\nh{port},{kind},M2,1.{port},{n}\n");
            constants += &format!("h{port},{kind},S2,0.6,{n}\nh{port},{kind},O1,0.2,300\n");
        }
    }
    let text = |name: &str, text: String| Text {
        name: name.into(),
        text,
    };
    let ports = wrackline_table::ports_of(text("ports.csv", constants)).unwrap();
    let places = wrackline_table::places_of(text("p.csv", csv), ports, None, "Europe/London");
    let mut spec = TableSpec::new(places.unwrap(), instants);
    spec.light = Some(LightWish {
        altitude_deg: [0.0, 12.0],
        angle_deg: [0.0, 60.0],
    });
    spec
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn parts_joined_are_the_table(
        places in 1usize..6,
        count in 1usize..120,
        step_ms in 1i64..7_200_000,
        listed in any::<bool>(),
        group_rows in 1usize..90,
        rows in 1u64..200,
        pieces in 1usize..9,
    ) {
        // Over the change of the clocks of October 2026 and the New Year, where annual factors
        // step.
        let start_ms = "2026-10-24T22:00:00Z".parse::<Timestamp>().unwrap().as_millisecond();
        let instants = if listed {
            Instants::Listed((0..count as i64).map(|n| start_ms + n * step_ms + n * n).collect())
        } else {
            Instants::Regular { start_ms, step_ms, count }
        };
        let mut spec = spec(places, instants);
        spec.group_rows = group_rows;
        let table = Table::new(spec).unwrap();
        let expected = whole(&table);
        prop_assert_eq!(expected.len() as u64, table.rows());
        prop_assert_eq!(&joined(&table, &table.parts(rows).unwrap()), &expected);
        if let Ok(parts) = table.split(pieces) {
            prop_assert_eq!(parts.len(), pieces);
            prop_assert_eq!(&joined(&table, &parts), &expected);
        }
    }
}

/// With the stretches of 4096 instants that tables have in earnest, and the judgement of seats.
#[test]
fn parts_of_a_quarter_of_the_demo_are_the_table() {
    let table = Table::new(crate::demo_spec("2026-10-01T00:00:00Z", 92)).unwrap();
    let parts = table.parts(10_000).unwrap();
    assert!(parts.len() > 4, "{}", parts.len());
    assert!(
        parts
            .iter()
            .any(|part| part.instants_cut > 0 && part.places_cut > 0)
    );
    assert_eq!(joined(&table, &parts), whole(&table));
}

#[test]
fn the_same_part_gives_the_same_bytes() {
    let table = Table::new(crate::demo_spec("2026-12-01T00:00:00Z", 40)).unwrap();
    let again = Table::new(crate::demo_spec("2026-12-01T00:00:00Z", 40)).unwrap();
    for format in [Format::Csv, Format::Parquet, Format::Arrow] {
        for part in table.parts(9_000).unwrap() {
            let bytes = encode_part(&table, &part, format).unwrap();
            assert_eq!(bytes, encode_part(&again, &part, format).unwrap());
        }
    }
}

/// One part is the table itself, to the byte.
#[test]
fn a_table_in_one_part_is_the_table() {
    let table = Table::new(crate::demo_spec("2026-12-28T00:00:00Z", 3)).unwrap();
    let parts = table.parts(u64::MAX).unwrap();
    assert_eq!(parts, [table.whole()]);
    assert_eq!(table.split(1).unwrap(), parts);
    for format in [Format::Csv, Format::Parquet, Format::ArrowStream] {
        let bytes = encode_part(&table, &parts[0], format).unwrap();
        assert_eq!(bytes, crate::bytes_of(&table, format, 2));
    }
}

#[test]
fn instants_are_cut_first() {
    let instants = Instants::Regular {
        start_ms: 0,
        step_ms: 600_000,
        count: 10_000,
    };
    let table = Table::new(spec(6, instants)).unwrap();
    let names: Vec<String> = table
        .parts(8_192)
        .unwrap()
        .iter()
        .map(Part::to_string)
        .collect();
    assert_eq!(
        names[..3],
        [
            "part-t00000-p00000",
            "part-t00000-p00001",
            "part-t00000-p00002"
        ]
    );
    assert_eq!(names[3], "part-t00001-p00000");
    // The last stretch is a short one, and has the blocks of places that the others have.
    assert_eq!(names.len(), 3 * 3);
    // Three stretches at six places.
    assert_eq!(table.split(3).unwrap()[0].places, 0..6);
    assert_eq!(table.split(18).unwrap().len(), 18);
    let refused = table.split(7).unwrap_err().to_string();
    assert!(refused.contains("give 6"), "{refused}");
    assert!(table.split(0).is_err() && table.split(19).is_err() && table.parts(0).is_err());
}

#[test]
fn the_fingerprint_tells_requests_apart() {
    let of = |spec: TableSpec| Table::new(spec).unwrap().fingerprint();
    let demo = || crate::demo_spec("2026-12-28T00:00:00Z", 3);
    let mine = of(demo());
    assert_eq!(mine, of(demo()));
    let changed: [fn(&mut TableSpec); 4] = [
        |spec| spec.near_turn = SignedDuration::from_mins(9),
        |spec| spec.places.spots[0].levels.expected_m += 1e-12,
        |spec| spec.group_rows += 1,
        |spec| spec.scenario = None,
    ];
    for change in changed {
        let mut spec = demo();
        change(&mut spec);
        assert_ne!(mine, of(spec));
    }
}

#[test]
fn a_part_of_another_table_is_refused() {
    let table = Table::new(crate::demo_spec("2026-12-28T00:00:00Z", 3)).unwrap();
    let whole = table.whole();
    let parts = [
        Part {
            places: 0..10_000,
            ..whole.clone()
        },
        Part {
            places: 1..1,
            ..whole.clone()
        },
        Part {
            instants: 5..whole.instants.end,
            ..whole.clone()
        },
        Part {
            instants: 0..whole.instants.end + 1,
            ..whole
        },
    ];
    for part in parts {
        let refused = encode_part(&table, &part, Format::Csv)
            .unwrap_err()
            .to_string();
        assert!(refused.contains("no part of this table"), "{refused}");
    }
}
