//! Tables printed from constants, and the demo with such a table in place of its constants.

use std::fmt::Write;
use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_plan::scenario::{DEMO, Problems, Scenario};
use wrackline_tides::{Port, Turn, TurnKind};

pub(crate) fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// Turns as they are printed: to the minute and the centimetre, days and times in a zone.
pub(crate) fn printed(turns: &[Turn], zone: &TimeZone) -> String {
    let mut csv = "day,time,height_m,water\n".to_owned();
    for turn in turns {
        let minute = Timestamp::from_second((turn.at.as_second() + 30).div_euclid(60) * 60);
        let local = minute.unwrap().to_zoned_datetime(zone.clone());
        let water = match turn.kind {
            TurnKind::HighWater => "high",
            TurnKind::LowWater => "low",
        };
        let (height_m, when) = (turn.height_m, local.strftime("%Y-%m-%d,%H:%M%:z"));
        writeln!(csv, "{when},{height_m:.2},{water}").unwrap();
    }
    csv
}

pub(crate) fn turns_of(port: &Port, from: &str, to: &str) -> Vec<Turn> {
    port.predictor(at(from)..at(to)).unwrap().turns()
}

/// The demo's own port.
pub(crate) fn demo_port() -> Port {
    let demo = Scenario::parse("demo.toml", DEMO).unwrap();
    demo.tide().unwrap().constants().unwrap().port.clone()
}

/// The demo with another `[port]`, and a table beside it.
pub(crate) fn demo_with(port: &str, table: &str) -> Result<Scenario, Problems> {
    let start = DEMO.find("[port]").unwrap();
    let end = DEMO.find("# How far the water may differ").unwrap();
    let text = format!("{}{port}\n{}", &DEMO[..start], &DEMO[end..]);
    Scenario::parse_with(
        Path::new("coast/demo.toml"),
        &|path| match path.to_str().unwrap() {
            "coast/demo.toml" => Ok(text.clone()),
            "coast/table.csv" => Ok(table.to_owned()),
            _ => Err("no such file".to_owned()),
        },
    )
}

pub(crate) const PORT: &str = "[port]\nname = \"Oskerrow Water\"\ndatum = \"local chart datum\"\n\
                               turns = \"table.csv\"\nturns_zone = \"UTC\"\n";

/// The demo by a table printed from its constants between two instants.
pub(crate) fn demo_by_table(from: &str, to: &str, more: &str) -> Scenario {
    let turns = turns_of(&demo_port(), from, to);
    let table = printed(&turns, &TimeZone::UTC);
    demo_with(&format!("{PORT}{more}\n"), &table).unwrap()
}
