//! What is wrong with a table is told at its line, and what is wrong with `[port]` at its field.

use jiff::tz::TimeZone;

use crate::made::{PORT, demo_port, demo_with, printed, turns_of};

fn table() -> String {
    let turns = turns_of(&demo_port(), "2026-11-01T00:00:00Z", "2026-12-01T00:00:00Z");
    printed(&turns, &TimeZone::UTC)
}

fn told(port: &str, table: &str) -> String {
    demo_with(port, table).unwrap_err().to_string()
}

#[test]
fn the_zone_must_be_known() {
    let no_zone = PORT.replace("turns_zone = \"UTC\"\n", "");
    // The demo names UTC as its own zone, and the table is then read in it.
    assert!(demo_with(&no_zone, &table()).is_ok());
    let wrong = PORT.replace("UTC", "Mars/Crater");
    assert!(told(&wrong, &table()).contains("\"Mars/Crater\" is not a known time zone"));
}

#[test]
fn each_problem_names_file_and_line() {
    let table = table();
    let third: Vec<&str> = table.lines().collect();
    let without = table.replacen(&format!("{}\n", third[3]), "", 1);
    let found = told(PORT, &without);
    assert!(found.contains("coast/table.csv:4:1: "), "{found}");
    assert!(found.contains("a second"), "{found}");
    let missing = told(&PORT.replace("table.csv", "none.csv"), &table);
    assert!(
        missing.contains("coast/none.csv cannot be read: no such file"),
        "{missing}"
    );
    for (more, wanted) in [
        ("mean_level_m = 4.4", "stands beside `turns`"),
        ("turns_curve_share = 0.6", "turns_curve_share"),
        ("turns_longest_gap_h = 300", "turns_longest_gap_h"),
        ("turnz = 1", "is not a known field"),
    ] {
        let found = told(&format!("{PORT}{more}\n"), &table);
        assert!(found.contains(wanted), "{found}");
    }
    for odd in [
        "",
        "\u{0}",
        "day,time,height_m",
        "a,b\nc,d\n",
        "\u{feff}day,time,height_m\n,,\n",
    ] {
        assert!(demo_with(PORT, odd).is_err(), "{odd:?}");
    }
}

#[test]
fn a_datum_of_another_name_is_refused() {
    let with_datum: String = table()
        .lines()
        .enumerate()
        .map(|(at, line)| format!("{line},{}\n", if at == 0 { "datum" } else { "ordnance" }))
        .collect();
    let found = told(PORT, &with_datum);
    assert!(found.contains("are above \"ordnance\""), "{found}");
}
