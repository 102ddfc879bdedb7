//! Places, seats and ways as maps: GeoJSON (RFC 7946) and GPX 1.1.
//!
//! Places marked as sensitive are coarsened unless exact positions are asked for: so are their
//! seats, which lie in sight of them, and the lines of the ways there are left out.

use geojson::{Feature, FeatureCollection, Geometry, JsonObject, JsonValue};
use gpx::{Gpx, GpxVersion, Metadata, Route, Waypoint};

use wrackline_plan::cautions;
use wrackline_plan::coarse::Grid;
use wrackline_plan::scenario::{Access, Place, Scenario, Seat, WayIn};
use wrackline_plan::season::Season;

use crate::rows::outings;
use crate::told::in_a_line;

/// How exact the positions of sensitive places are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Positions {
    /// The middle of a cell of [`Grid::TENTHS`].
    #[default]
    Coarse,
    /// As they stand in the scenario. Think of who will read the file.
    Exact,
}

/// A position as it is given away.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Position {
    /// Latitude, degrees north.
    pub latitude_deg: f64,
    /// Longitude, degrees east.
    pub longitude_deg: f64,
    /// How far the true one may be from it, metres; `None` where it is the true one.
    pub uncertainty_m: Option<f64>,
}

/// A position as it may be given away: moved to the middle of its cell where it is sensitive.
pub fn position(latitude_deg: f64, longitude_deg: f64, coarse: bool) -> Position {
    if !coarse {
        return Position {
            latitude_deg,
            longitude_deg,
            uncertainty_m: None,
        };
    }
    let coarse = Grid::TENTHS.coarsen(latitude_deg, longitude_deg);
    Position {
        latitude_deg: coarse.latitude_deg,
        longitude_deg: coarse.longitude_deg,
        uncertainty_m: Some(coarse.uncertainty_m),
    }
}

/// What a map shows of a season: the places that were looked at, with their seats.
struct Shown<'s> {
    place: &'s Place,
    coarse: bool,
    seats: Vec<&'s Seat>,
    ways: Vec<&'s WayIn>,
}

fn shown<'s>(season: &Season<'s>, positions: Positions) -> Vec<Shown<'s>> {
    let scenario: &'s Scenario = season.scenario;
    let mut out: Vec<Shown<'s>> = Vec::new();
    for report in &season.seats {
        let seat = report.seat;
        let place = scenario.place_of(seat);
        let at = match out.iter().position(|shown| shown.place.id == place.id) {
            Some(at) => at,
            None => {
                out.push(Shown {
                    place,
                    coarse: place.sensitive && positions == Positions::Coarse,
                    seats: Vec::new(),
                    ways: Vec::new(),
                });
                out.len() - 1
            }
        };
        let shown = &mut out[at];
        if !shown.seats.iter().any(|known| known.id == seat.id) {
            shown.seats.push(seat);
        }
        if let Some(way) = scenario.way_in_of(seat)
            && !way.path_deg.is_empty()
            && !shown.ways.iter().any(|known| known.id == way.id)
        {
            shown.ways.push(way);
        }
    }
    out
}

/// Places and seats as points, ways as lines from the road inwards, as one GeoJSON object.
///
/// # Errors
/// What the serialiser refuses.
pub fn geojson(season: &Season<'_>, positions: Positions) -> serde_json::Result<String> {
    let rows = outings(season);
    let mut features = Vec::new();
    for shown in shown(season, positions) {
        let place = shown.place;
        let at = position(place.latitude_deg, place.longitude_deg, shown.coarse);
        let mut about = about("place", &place.id, &place.name, at);
        put(&mut about, "kind", place.kind.as_deref());
        put(&mut about, "push_m", place.push_m);
        put(&mut about, "overtop_m", place.overtop_m);
        let subjects = season.scenario.subjects_at(place);
        let subjects: Vec<_> = subjects.map(|subject| subject.name.as_str()).collect();
        put(&mut about, "subjects", Some(subjects));
        features.push(point(at, about));
        for seat in shown.seats {
            let at = position(seat.latitude_deg, seat.longitude_deg, shown.coarse);
            let mut about = self::about("seat", &seat.id, &seat.name, at);
            put(&mut about, "place", Some(place.id.as_str()));
            put(&mut about, "bearing_deg", Some(seat.bearing_deg));
            put(&mut about, "distance_m", Some(seat.distance_m));
            put(&mut about, "ground_m", seat.ground_m);
            put(&mut about, "access", seat.access.map(Access::name));
            // The rows of every other output, so that a map says nothing else.
            let rows: Vec<_> = rows.iter().filter(|row| row.seat == seat.id).collect();
            put(&mut about, "windows_listed", Some(rows.len()));
            put(&mut about, "windows", Some(serde_json::to_value(rows)?));
            features.push(point(at, about));
        }
        for way in shown.ways.iter().filter(|_| !shown.coarse) {
            let mut about = JsonObject::new();
            put(&mut about, "what", Some("way in and out"));
            put(&mut about, "id", Some(way.id.as_str()));
            put(&mut about, "name", Some(way.name.as_str()));
            put(&mut about, "low_point_m", Some(way.low_point_m));
            put(&mut about, "cut_off_m", Some(way.cut_off_m()));
            let line = way
                .path_deg
                .iter()
                .map(|[latitude, longitude]| [*longitude, *latitude]);
            features.push(feature(Geometry::new_line_string(line), about));
        }
    }
    let mut members = JsonObject::new();
    put(&mut members, "title", Some(season.scenario.title()));
    put(&mut members, "cautions", Some(cautions::ALL));
    let collection = FeatureCollection {
        bbox: None,
        features,
        foreign_members: Some(members),
    };
    serde_json::to_string_pretty(&collection)
}

fn about(what: &str, id: &str, name: &str, at: Position) -> JsonObject {
    let mut about = JsonObject::new();
    put(&mut about, "what", Some(what));
    put(&mut about, "id", Some(id));
    put(&mut about, "name", Some(name));
    if let Some(uncertainty_m) = at.uncertainty_m {
        put(&mut about, "coordinate_uncertainty_m", Some(uncertainty_m));
        put(&mut about, "generalized", Some(generalized()));
    }
    about
}

fn generalized() -> String {
    let side_deg = Grid::TENTHS.side_deg();
    format!("position moved to the middle of a cell of {side_deg} degrees: sensitive")
}

fn put(about: &mut JsonObject, name: &str, value: Option<impl Into<JsonValue>>) {
    if let Some(value) = value {
        about.insert(name.to_owned(), value.into());
    }
}

fn point(at: Position, about: JsonObject) -> Feature {
    feature(
        Geometry::new_point([at.longitude_deg, at.latitude_deg]),
        about,
    )
}

fn feature(geometry: Geometry, about: JsonObject) -> Feature {
    Feature {
        bbox: None,
        geometry: Some(geometry),
        id: None,
        properties: Some(about),
        foreign_members: None,
    }
}

/// Places and seats as waypoints, each way as a route in and a route out, as a GPX 1.1 document.
///
/// # Errors
/// What the writer refuses.
pub fn gpx(season: &Season<'_>, positions: Positions) -> Result<String, gpx::errors::GpxError> {
    let mut document = Gpx {
        version: GpxVersion::Gpx11,
        creator: Some("wrackline".to_owned()),
        metadata: Some(Metadata {
            name: Some(season.scenario.title().to_owned()),
            description: Some(cautions::ALL.join(" ")),
            ..Metadata::default()
        }),
        ..Gpx::default()
    };
    for shown in shown(season, positions) {
        let place = shown.place;
        let at = position(place.latitude_deg, place.longitude_deg, shown.coarse);
        document
            .waypoints
            .push(waypoint(at, &place.name, "place", place.kind.as_deref()));
        for seat in shown.seats {
            let at = position(seat.latitude_deg, seat.longitude_deg, shown.coarse);
            let name = format!("{} {}", seat.id, seat.name);
            let mut about = vec![format!(
                "view {:.0} degrees true, {:.0} m",
                seat.bearing_deg, seat.distance_m
            )];
            let here = season.outings.iter().filter(|o| o.seat.id == seat.id);
            for outing in here {
                about.push(in_a_line(season.scenario, outing));
                about.extend(outing.window.frost.iter().cloned());
            }
            let view = about.join("; ");
            document
                .waypoints
                .push(waypoint(at, &name, "seat", Some(&view)));
        }
        for way in shown.ways.iter().filter(|_| !shown.coarse) {
            document.routes.push(route(way, "in", way.path_deg.iter()));
            document
                .routes
                .push(route(way, "out", way.path_deg.iter().rev()));
        }
    }
    let mut bytes = Vec::new();
    gpx::write(&document, &mut bytes)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn waypoint(at: Position, name: &str, what: &str, description: Option<&str>) -> Waypoint {
    let mut waypoint = Waypoint::new(geo_point(at.latitude_deg, at.longitude_deg));
    waypoint.name = Some(name.to_owned());
    waypoint.type_ = Some(what.to_owned());
    let mut told: Vec<_> = description.map(str::to_owned).into_iter().collect();
    told.extend(at.uncertainty_m.map(|_| generalized()));
    waypoint.description = (!told.is_empty()).then(|| told.join("; "));
    waypoint
}

fn route<'p>(way: &WayIn, direction: &str, points: impl Iterator<Item = &'p [f64; 2]>) -> Route {
    Route {
        name: Some(format!("{} {direction}", way.name)),
        description: Some(format!("lost at {:.2} m above the datum", way.cut_off_m())),
        type_: Some(format!("way {direction}")),
        points: points
            .map(|[latitude, longitude]| Waypoint::new(geo_point(*latitude, *longitude)))
            .collect(),
        ..Route::default()
    }
}

fn geo_point(latitude_deg: f64, longitude_deg: f64) -> geo_types::Point<f64> {
    geo_types::Point::new(longitude_deg, latitude_deg)
}
