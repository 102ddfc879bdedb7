//! What a table is made for, as files say it: places, ports and instants.
//!
//! Every problem of a file is reported at once, each with file, line and field.

mod geojson;
mod instants;
mod places;
mod ports;
mod record;
mod scenario;

use std::path::Path;

use super::error::Error;
use super::instants::Instants;
use super::spot::{NamedPort, Places};
use record::Reader;
pub use record::Text;
use wrackline_plan::scenario::Scenario;

pub use scenario::SeatChoice;

/// The places of a CSV file or, by its name ending in `json`, a GeoJSON file.
///
/// `port` stands for the tide of a place that names none, and `zone` for its time zone.
///
/// # Errors
/// Every problem of the file.
pub fn read_places(
    path: &Path,
    ports: Vec<NamedPort>,
    default_port: Option<&str>,
    zone: &str,
) -> Result<Places, Error> {
    let text = Text::read(path, "give the path of a CSV or GeoJSON file of places")?;
    places_of(text, ports, default_port, zone)
}

/// The places of a text, as [`read_places`] has them.
///
/// # Errors
/// Every problem of the text.
pub fn places_of(
    text: Text,
    ports: Vec<NamedPort>,
    default_port: Option<&str>,
    zone: &str,
) -> Result<Places, Error> {
    let is_json = text
        .name
        .extension()
        .is_some_and(|ending| ending.to_string_lossy().to_lowercase().ends_with("json"));
    let mut reader = Reader::new(text);
    let records = if is_json {
        geojson::records(&mut reader)
    } else {
        reader.csv_records(&places::COLUMNS)
    };
    let places = places::gather(&mut reader, &records, ports, default_port, zone);
    reader.finish()?;
    Ok(places)
}

/// The ports of a CSV file of harmonic constants.
///
/// # Errors
/// Every problem of the file.
pub fn read_ports(path: &Path) -> Result<Vec<NamedPort>, Error> {
    ports_of(Text::read(
        path,
        "give the path of a CSV file of harmonic constants",
    )?)
}

/// The ports of a text, as [`read_ports`] has them.
///
/// # Errors
/// Every problem of the text.
pub fn ports_of(text: Text) -> Result<Vec<NamedPort>, Error> {
    let mut reader = Reader::new(text);
    let records = reader.csv_records(&ports::COLUMNS);
    let ports = ports::gather(&mut reader, &records);
    reader.finish()?;
    Ok(ports)
}

/// The instants of a file with one a line, in rising order.
///
/// # Errors
/// Every problem of the file.
pub fn read_instants(path: &Path, zone: &jiff::tz::TimeZone) -> Result<Instants, Error> {
    instants_of(
        Text::read(path, "give the path of a file with one instant a line")?,
        zone,
    )
}

/// The instants of a text, as [`read_instants`] has them.
///
/// # Errors
/// Every problem of the text.
pub fn instants_of(text: Text, zone: &jiff::tz::TimeZone) -> Result<Instants, Error> {
    let mut reader = Reader::new(text);
    let list = instants::gather(&mut reader, zone);
    reader.finish()?;
    Ok(Instants::Listed(list))
}

/// The seats of a scenario as places.
///
/// # Errors
/// A light or a subject that the scenario does not have, or a tide by differences from another
/// port.
pub fn seats_of(scenario: &Scenario, choice: SeatChoice<'_>) -> Result<Places, Error> {
    scenario::gather(scenario, choice)
}
