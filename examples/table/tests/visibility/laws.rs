//! A row of a table is what the functions for one instant give, rounded.

use arrow_array::cast::AsArray;
use arrow_array::types::{Float32Type, Int8Type, Int32Type, TimestampMillisecondType};
use arrow_array::{Array, ArrayRef, RecordBatch};
use arrow_schema::DataType;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use wrackline_plan::windows::side_name;
use wrackline_solar::{Observer, Site};
use wrackline_table::{
    Instants, Levels, LightWish, NamedPort, Places, Row, Spot, Table, TableSpec, Verdict, schema,
};
use wrackline_tides::{Convention, Harmonic, Port, PortSpec};

/// The cells of a column as text, empty where missing; instants as milliseconds.
pub(crate) fn texts(array: &ArrayRef) -> Vec<String> {
    let words = |keys: Vec<Option<usize>>, values: &ArrayRef| -> Vec<Option<String>> {
        let values = values.as_string::<i32>();
        keys.iter()
            .map(|key| key.map(|key| values.value(key).to_owned()))
            .collect()
    };
    let cells: Vec<Option<String>> = match array.data_type() {
        DataType::Dictionary(key, _) if **key == DataType::Int8 => {
            let array = array.as_dictionary::<Int8Type>();
            words(
                array
                    .keys()
                    .iter()
                    .map(|key| key.map(|key| key as usize))
                    .collect(),
                array.values(),
            )
        }
        DataType::Dictionary(..) => {
            let array = array.as_dictionary::<Int32Type>();
            words(
                array
                    .keys()
                    .iter()
                    .map(|key| key.map(|key| key as usize))
                    .collect(),
                array.values(),
            )
        }
        DataType::Float32 => array
            .as_primitive::<Float32Type>()
            .iter()
            .map(|x| x.map(|x| x.to_string()))
            .collect(),
        DataType::Int32 => array
            .as_primitive::<Int32Type>()
            .iter()
            .map(|x| x.map(|x| x.to_string()))
            .collect(),
        DataType::Timestamp(..) => {
            let array = array.as_primitive::<TimestampMillisecondType>();
            array.iter().map(|x| x.map(|x| x.to_string())).collect()
        }
        _ => array
            .as_boolean()
            .iter()
            .map(|x| x.map(|x| x.to_string()))
            .collect(),
    };
    cells.into_iter().map(Option::unwrap_or_default).collect()
}

fn column<'b>(batch: &'b RecordBatch, name: &str) -> &'b ArrayRef {
    batch.column(schema::position(name).unwrap())
}

fn number(batch: &RecordBatch, name: &str, row: usize) -> Option<f64> {
    let array = column(batch, name).as_primitive::<Float32Type>();
    array.is_valid(row).then(|| f64::from(array.value(row)))
}

/// Half the last digit, the batch's own error, and what single precision adds at this size.
fn near(
    found: Option<f64>,
    expected: Option<f64>,
    half_digit: f64,
    error: f64,
) -> Result<(), String> {
    match (found, expected) {
        (None, None) => Ok(()),
        (Some(found), Some(expected)) => {
            let tolerance = half_digit + error + expected.abs() * f64::from(f32::EPSILON);
            if (found - expected).abs() <= tolerance {
                Ok(())
            } else {
                Err(format!("{found} is not {expected} within {tolerance}"))
            }
        }
        _ => Err(format!("{found:?} is not {expected:?}")),
    }
}

/// Compares one row of a batch with the scalar functions. Batches of the sky agree with them to
/// 0.003" by their documentation, which is 8.3e-7 degrees; heights to 0.01 mm.
pub(crate) fn compare(
    table: &Table,
    batch: &RecordBatch,
    index: usize,
    place: usize,
) -> Result<(), String> {
    const SKY_DEG: f64 = 8.4e-7;
    let at = column(batch, "instant_utc")
        .as_primitive::<TimestampMillisecondType>()
        .value(index);
    let row: Row = table
        .row(place, Timestamp::from_millisecond(at).unwrap())
        .unwrap();
    let spot = &table.spec().places.spots[place];
    let num = |name: &str| number(batch, name, index);
    let named = |name: &str, result: Result<(), String>| {
        result.map_err(|e| format!("{name} at {}: {e}", row.at))
    };
    let check = |name: &str, expected: Option<f64>, half: f64, error: f64| {
        named(name, near(num(name), expected, half, error))
    };

    check(
        "sun_altitude_deg",
        Some(row.sun_altitude_deg),
        5e-5,
        SKY_DEG,
    )?;
    // An azimuth has the error of the direction over the cosine of the altitude, and 360 is 0.
    let level = row.sun_altitude_deg.to_radians().cos().max(1e-9);
    let mut azimuth = num("sun_azimuth_deg").unwrap();
    if azimuth - row.sun_azimuth_deg < -180.0 {
        azimuth += 360.0;
    }
    named(
        "sun_azimuth_deg",
        near(
            Some(azimuth),
            Some(row.sun_azimuth_deg),
            5e-5,
            SKY_DEG / level,
        ),
    )?;
    check(
        "light_angle_deg",
        row.light_angle_deg,
        5e-4,
        SKY_DEG / level,
    )?;
    check(
        "moon_altitude_deg",
        Some(row.moon_altitude_deg),
        5e-5,
        SKY_DEG,
    )?;
    check("moon_lit_fraction", Some(row.moon_lit_fraction), 5e-5, 1e-7)?;
    // Three digits are half a percent at worst; light falls by ten times in half a degree at most
    // (the moon below the horizon), so that the error of the direction is of no account.
    check(
        "illuminance_lx",
        Some(row.illuminance_lx),
        0.0,
        0.00501 * row.illuminance_lx,
    )?;
    check("tide_height_m", row.tide_height_m, 5e-5, 1.1e-5)?;
    check("tide_rate_m_per_h", row.tide_rate_m_per_h, 5e-5, 1e-5)?;

    let word = |name: &str| texts(&column(batch, name).slice(index, 1)).remove(0);
    if word("utc_offset_s") != row.utc_offset_s.to_string() {
        return Err(format!("offset {}", word("utc_offset_s")));
    }
    // On the very edge of a class batch and scalar may differ: within the errors above.
    let on_edge = |value: Option<f64>, edges: &[f64], error: f64| {
        value.is_some_and(|value| edges.iter().any(|edge| (value - edge).abs() <= error))
    };
    let angle_on_edge = on_edge(
        row.light_angle_deg,
        &[30.0, 60.0, 120.0, 160.0],
        2.0 * SKY_DEG / level,
    );
    let dark_edge = on_edge(Some(row.sun_altitude_deg), &[-6.0], 2.0 * SKY_DEG);
    if !angle_on_edge && !dark_edge {
        let side = row.light_side.map_or("", side_name);
        if word("light_side") != side {
            return Err(format!("light_side {} is not {side}", word("light_side")));
        }
    }
    let levels: Vec<f64> = [spot.levels.push_m, spot.levels.overtop_m]
        .into_iter()
        .flatten()
        .map(|level| level - spot.levels.expected_m)
        .collect();
    let level_edge = on_edge(row.tide_height_m, &levels, 2e-5);
    if !level_edge && word("level_exceeded") != row.level_exceeded.unwrap_or_default() {
        return Err(format!("level_exceeded {}", word("level_exceeded")));
    }
    if word("tide_state") != row.tide_state.map_or("", |state| state.name()) {
        return Err(format!(
            "tide_state {} is not {:?}",
            word("tide_state"),
            row.tide_state
        ));
    }
    let light_edge = table.spec().light.is_some_and(|light| {
        on_edge(
            Some(row.sun_altitude_deg),
            &light.altitude_deg,
            2.0 * SKY_DEG,
        ) || on_edge(row.light_angle_deg, &light.angle_deg, 2.0 * SKY_DEG / level)
    });
    if !level_edge && !light_edge {
        let (usable, limit) = match row.verdict {
            Verdict::Unjudged => ("", ""),
            Verdict::Usable => ("true", ""),
            Verdict::Limited(condition) => ("false", condition.name()),
        };
        if (word("usable").as_str(), word("limiting_condition").as_str()) != (usable, limit) {
            return Err(format!(
                "usable {} {} is not {:?}",
                word("usable"),
                word("limiting_condition"),
                row.verdict
            ));
        }
    }
    Ok(())
}

/// Constituents of all kinds, with a shallow-water one and the seasons.
const NAMES: [&str; 8] = ["M2", "S2", "N2", "K1", "O1", "M4", "SA", "MF"];

fn ports() -> impl Strategy<Value = Port> {
    let line = (0.0..2.0, -360.0..360.0);
    (prop::collection::vec(line, NAMES.len()), 0..3usize).prop_map(|(lines, convention)| {
        let harmonics: Vec<Harmonic> = NAMES
            .iter()
            .zip(lines)
            .map(|(name, (amplitude_m, phase_lag_deg))| Harmonic {
                name: (*name).into(),
                amplitude_m,
                phase_lag_deg,
            })
            .collect();
        let conventions = [
            Convention::SchuremanAnnual,
            Convention::SchuremanInstant,
            Convention::IhoInstant,
        ];
        Port::new(PortSpec {
            mean_level_m: 3.0,
            harmonics: &harmonics,
            convention: conventions[convention],
        })
        .unwrap()
    })
}

fn spots() -> impl Strategy<Value = Spot> {
    let level = prop::option::of(1.0..4.0);
    let site = (-89.0..89.0, -180.0..180.0, -50.0..3000.0);
    let parts = (
        site,
        prop::option::of(0.0..360.0),
        level,
        prop::bool::ANY,
        0..2usize,
    );
    parts.prop_map(|(site, bearing_deg, push_m, has_port, zone)| Spot {
        place: "p".to_owned(),
        seat: None,
        observer: Observer::new(Site {
            latitude_deg: site.0,
            longitude_deg: site.1,
            elevation_m: site.2,
        })
        .unwrap(),
        bearing_deg,
        levels: Levels {
            push_m: push_m.filter(|_| has_port),
            overtop_m: push_m.filter(|_| has_port).map(|push| push + 1.0),
            expected_m: 0.1,
        },
        port: has_port.then_some(0),
        zone,
        wish: None,
    })
}

fn instants() -> impl Strategy<Value = Instants> {
    // From 1950 to 2100, with new years, leap seconds and changes of clocks among them.
    let start = -631_152_000_000i64..4_102_444_800_000;
    let regular =
        (start.clone(), 1i64..20_000_000, 1usize..40).prop_map(|(start_ms, step_ms, count)| {
            Instants::Regular {
                start_ms,
                step_ms,
                count,
            }
        });
    let listed =
        (start, prop::collection::vec(1i64..90_000_000, 1..40)).prop_map(|(start, steps)| {
            let mut at = start;
            Instants::Listed(
                steps
                    .into_iter()
                    .map(|step| {
                        at += step;
                        at
                    })
                    .collect(),
            )
        });
    prop_oneof![regular, listed]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn a_batch_is_its_rows(
        spots in prop::collection::vec(spots(), 1..4),
        port in ports(),
        instants in instants(),
        group_rows in 1usize..100,
        light in prop::option::of((-10.0..5.0, 0.0..30.0, 20.0..150.0)),
    ) {
        let places = Places {
            spots,
            ports: vec![NamedPort { name: "port".to_owned(), port }],
            zones: ["UTC", "Europe/London"]
                .map(|name| (name.to_owned(), TimeZone::get(name).unwrap()))
                .to_vec(),
        };
        let mut spec = TableSpec::new(places, instants);
        spec.group_rows = group_rows;
        spec.near_turn = SignedDuration::from_mins(10);
        spec.light = light.map(|(lowest, height, widest)| LightWish {
            altitude_deg: [lowest, lowest + height],
            angle_deg: [0.0, widest],
        });
        let table = Table::new(spec).unwrap();
        let (mut row, count) = (0, table.spec().instants.len());
        for batch in table.batches() {
            let batch = batch.unwrap();
            for index in 0..batch.num_rows() {
                if let Err(message) = compare(&table, &batch, index, row / count) {
                    return Err(TestCaseError::fail(message));
                }
                row += 1;
            }
        }
        prop_assert_eq!(row as u64, table.rows());
    }
}

#[test]
fn seats_of_the_demo_are_their_rows() {
    let mut spec = crate::demo_spec("2026-12-28T00:00:00Z", 2);
    spec.instants = Instants::regular(
        "2026-12-28T00:00:00Z".parse().unwrap().."2026-12-30T00:00:00Z".parse().unwrap(),
        SignedDuration::from_mins(53),
    )
    .unwrap();
    let table = Table::new(spec).unwrap();
    let count = table.spec().instants.len();
    let mut row = 0;
    for batch in table.batches() {
        let batch = batch.unwrap();
        for index in 0..batch.num_rows() {
            compare(&table, &batch, index, row / count).unwrap();
            row += 1;
        }
    }
}
