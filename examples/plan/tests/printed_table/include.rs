//! A port in a file of its own, whatever its form, is included as it is.

use std::path::Path;

use jiff::tz::TimeZone;
use wrackline_plan::port::{DEMO as PORT, PortFile};
use wrackline_plan::scenario::{DEMO, Problems, Scenario, holds_a_port};

use crate::made::{demo_port, printed, turns_of};

/// The demo without its port, which another file brings.
fn with_included(name: &str, port: &str) -> Result<Scenario, Problems> {
    let start = DEMO.find("[port]").unwrap();
    let end = DEMO.find("# How far the water may differ").unwrap();
    let main = format!(
        "include = [\"ports/{name}\"]\n{}{}",
        &DEMO[..start],
        &DEMO[end..]
    );
    let turns = turns_of(&demo_port(), "2026-11-01T00:00:00Z", "2026-12-01T00:00:00Z");
    let table = printed(&turns, &TimeZone::UTC);
    Scenario::parse_with(
        Path::new("coast.toml"),
        &|path| match path.to_str().unwrap() {
            "coast.toml" => Ok(main.clone()),
            "ports/table.csv" => Ok(table.clone()),
            other if other == format!("ports/{name}") => Ok(port.to_owned()),
            _ => Err("no such file".to_owned()),
        },
    )
}

#[test]
fn a_port_file_of_either_form_brings_the_same_tide() {
    let known = demo_port();
    let file = PortFile::parse("port.toml", PORT).unwrap();
    let json = serde_json::to_string(&file).unwrap();
    let table = file.as_table().unwrap();
    assert!(holds_a_port(&table));
    for (name, text) in [("p.toml", PORT), ("p.json", &json), ("q.toml", &table)] {
        let scenario = with_included(name, text).unwrap();
        let tide = scenario.tide().unwrap();
        let port = &tide.constants().unwrap().port;
        assert!(port.harmonics().eq(known.harmonics()), "{name}");
        assert_eq!(
            port.mean_level_m().to_bits(),
            known.mean_level_m().to_bits()
        );
        assert_eq!(port.convention(), known.convention());
    }
}

/// The table lies beside the file that names it, and the zone may stand in another.
#[test]
fn a_printed_table_is_found_beside_the_included_file() {
    let port = "[port]\nname = \"p\"\ndatum = \"d\"\nturns = \"table.csv\"\n";
    let scenario = with_included("p.toml", port).unwrap();
    assert_eq!(
        scenario.tide().unwrap().printed().unwrap().turns().len(),
        116
    );
}

#[test]
fn a_wrong_port_file_is_told_where_it_is_included() {
    for (name, text, wanted) in [
        (
            "p.json",
            "{}",
            "coast.toml:1:12: include: ports/p.json: missing field `name`",
        ),
        ("p.json", "[port]", "include: ports/p.json"),
        (
            "p.toml",
            "name = \"x\"\n[port]\nharmonics = 3\n",
            "include: ports/p.toml",
        ),
    ] {
        let told = with_included(name, text).unwrap_err().to_string();
        assert!(told.contains(wanted), "{told}");
    }
}
