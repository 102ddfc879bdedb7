//! What is asked for a draft, in order of need.

mod answers;
mod seat;

use std::io::{BufRead, Write};

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use wrackline_plan::scenario::Tide;
use wrackline_tides::TurnKind;

use super::ask::{self, Answer, AskError, Run, Stop};
use super::facts::{Animal, Known};
use super::globe::{Spot, in_words, next_sunset};
use super::sketch::{Place, Sketch};
use super::waypoint::{Kind, Waypoint};
use super::write::Draft;
use answers::{level, number, one_line, position};
use seat::facts;

/// Reads the waypoints of a file that was named in an answer.
pub type LoadWaypoints<'a> = dyn Fn(&str) -> Result<Vec<Waypoint>, String> + 'a;
/// Reads the port of a file that was named in an answer.
pub type LoadPort<'a> = dyn Fn(&str) -> Result<Tide, String> + 'a;
/// Says why a file that was named in an answer cannot be written to.
pub type RefuseOutput<'a> = dyn Fn(&str) -> Option<String> + 'a;

/// What is known before the first question, and how to read what the answers name.
pub struct Given<'a> {
    /// Waypoints, with the name of their file.
    pub waypoints: Option<(String, Vec<Waypoint>)>,
    /// Zone of dates and times.
    pub zone: Option<String>,
    /// The port, with the name of its file.
    pub port: Option<(String, Tide)>,
    /// Further files that the draft includes.
    pub include: Vec<String>,
    /// The animal.
    pub animal: Animal,
    /// Where the draft goes.
    pub output: Option<String>,
    /// Now.
    pub now: Timestamp,
    /// Reads waypoints.
    pub load_waypoints: &'a LoadWaypoints<'a>,
    /// Reads a port.
    pub load_port: &'a LoadPort<'a>,
    /// Says why nothing can be written to a file that was named in an answer.
    pub refuse_output: &'a RefuseOutput<'a>,
}

impl std::fmt::Debug for Given<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Given")
            .field("waypoints", &self.waypoints)
            .field("zone", &self.zone)
            .field("animal", &self.animal)
            .finish_non_exhaustive()
    }
}

/// The file that is written where none is named.
pub const OUTPUT: &str = "my-coast.toml";

/// What the questions came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Interview {
    /// The draft; files that it includes are named as they were answered.
    pub draft: Draft,
    /// The file to write it to.
    pub output: String,
}

/// Asks for a draft. `kept` are the answers of a run that was broken off.
///
/// # Errors
/// Answers that end too early.
pub fn interview(
    given: &Given<'_>,
    kept: Vec<Answer>,
    input: &mut impl BufRead,
    output: &mut impl Write,
    keep: impl FnMut(&[Answer]),
) -> Result<Interview, AskError> {
    ask::ask(kept, input, output, keep, |run| questions(run, given))
}

fn questions(run: &mut Run<'_>, given: &Given<'_>) -> Result<Interview, Stop> {
    let (source, mut points) = positions(run, given)?;
    kinds(run, &mut points)?;
    let mut sketch = Sketch::of(points).map_err(|error| run.refuse(error.to_string()))?;
    understood(run, &sketch);
    let zone = zone(run, given, sketch.places[0].waypoint.spot)?;
    let port = port(run, given, &zone)?;
    let animal = match &given.animal {
        Animal::Unknown => animal(run, None)?,
        Animal::Named(name) => animal(run, Some(name))?,
        known => known.clone(),
    };
    if port.is_some() {
        for place in &mut sketch.places {
            place.push_m = push(run, place)?;
        }
    }
    let names: Vec<String> = sketch.seats.iter().map(|seat| seat.id.clone()).collect();
    for (seat, id) in sketch.seats.iter_mut().zip(names) {
        seat.facts = facts(run, seat, &id)?;
    }
    let output = match &given.output {
        Some(path) => path.clone(),
        None => {
            let path = run.with_default("output", "File to write", OUTPUT)?;
            if let Some(why) = (given.refuse_output)(&path) {
                return Err(run.refuse(why));
            }
            path
        }
    };
    let mut include = given.include.clone();
    let has_port = port.is_some();
    include.extend(port);
    Ok(Interview {
        draft: Draft {
            sketch,
            source,
            zone: Some(zone),
            include,
            table: None,
            has_port,
            animal,
        },
        output,
    })
}

/// Waypoints from a file, or typed.
fn positions(run: &mut Run<'_>, given: &Given<'_>) -> Result<(String, Vec<Waypoint>), Stop> {
    if let Some((source, points)) = &given.waypoints {
        return Ok((source.clone(), points.clone()));
    }
    let load = |path: &str| Ok((path.to_owned(), (given.load_waypoints)(path)?));
    let from_file = run.optional(
        "waypoints",
        "File with waypoints, GPX or GeoJSON (empty: type a position)",
        load,
    )?;
    if let Some(found) = from_file {
        return Ok(found);
    }
    let name = run.required("place", "Name of the place where the animals are", one_line)?;
    let spot = run.required(
        "place position",
        "Its latitude and longitude in degrees, such as 53.4016, 1.202 (south and west negative)",
        position,
    )?;
    run.tell(in_words(spot));
    let mut place = Waypoint::at(spot, Some(&name));
    place.kind = Some(Kind::Place);
    let seat = run.optional(
        "seat position",
        "Latitude and longitude of the seat, from where you see them",
        position,
    )?;
    let seat = seat.map(|spot| {
        let mut seat = Waypoint::at(spot, Some(&format!("Seat at {name}")));
        seat.kind = Some(Kind::Seat);
        seat
    });
    let points = std::iter::once(place).chain(seat).collect();
    Ok(("positions that were typed".to_owned(), points))
}

/// Asks what each waypoint is that does not say so.
fn kinds(run: &mut Run<'_>, points: &mut Vec<Waypoint>) -> Result<(), Stop> {
    let mut taken = Vec::new();
    let mut has_place = points.iter().any(|point| point.kind == Some(Kind::Place));
    for (index, mut point) in points.drain(..).enumerate() {
        let name = point.called(index + 1);
        // The name that its number gave it must outlive a waypoint before it that becomes nothing.
        point.name = Some(name.clone());
        if point.kind.is_some() {
            taken.push(point);
            continue;
        }
        run.tell(in_words(point.spot));
        let default = if has_place { "seat" } else { "place" };
        let about = format!("waypoint {}", index + 1);
        let question = format!("What is \"{name}\"? (place, seat, hide, way in, nothing)");
        let word = run.with_default(&about, &question, default)?;
        if word == "nothing" {
            continue;
        }
        let kind = Kind::of(&word)
            .ok_or_else(|| run.refuse("give place, seat, hide, way in or nothing".to_owned()))?;
        has_place |= kind == Kind::Place;
        point.kind = Some(kind);
        taken.push(point);
    }
    *points = taken;
    Ok(())
}

/// Tells what the waypoints came to.
fn understood(run: &mut Run<'_>, sketch: &Sketch) {
    for (index, place) in sketch.places.iter().enumerate() {
        run.tell(format!("{}: {}", place.name, in_words(place.waypoint.spot)));
        for seat in sketch.seats_at(index) {
            run.tell(match seat.view {
                Some(view) => format!(
                    "from {}: {:.1} m at {:.1} degrees",
                    seat.name, view.distance_m, view.bearing_deg
                ),
                None => format!("from {}: bearing and distance are not known", seat.name),
            });
        }
    }
    for left in &sketch.left_out {
        run.tell(format!("left out: {}, {}", left.name, left.why));
    }
}

fn zone(run: &mut Run<'_>, given: &Given<'_>, spot: Spot) -> Result<String, Stop> {
    let name = match &given.zone {
        Some(name) => name.clone(),
        None => run.with_default(
            "zone",
            "Time zone, a name of the IANA database such as Europe/London",
            "UTC",
        )?,
    };
    let zone = TimeZone::get(&name)
        .map_err(|_| run.refuse(format!("\"{name}\" is not a known time zone")))?;
    run.tell(match next_sunset(spot, given.now) {
        Some(at) => format!(
            "next sunset there, over an open horizon: {}",
            local(at, &zone)
        ),
        None => "the sun does not set there within two days".to_owned(),
    });
    Ok(name)
}

fn local(at: Timestamp, zone: &TimeZone) -> String {
    let at = at.to_zoned_datetime(zone.clone());
    at.strftime("%a %-d %b %Y %H:%M %Z").to_string()
}

/// The file of the port, once it can be read.
fn port(run: &mut Run<'_>, given: &Given<'_>, zone: &str) -> Result<Option<String>, Stop> {
    let found = match &given.port {
        Some(port) => Some(port.clone()),
        None => run.optional(
            "port",
            "File with the port's [port] (empty: not known, and no seat by the water opens)",
            |path| Ok((path.to_owned(), (given.load_port)(path)?)),
        )?,
    };
    let Some((path, tide)) = found else {
        return Ok(None);
    };
    let zone = TimeZone::get(zone).unwrap_or(TimeZone::UTC);
    let until = given.now.checked_add(SignedDuration::from_hours(36));
    let curve = until
        .ok()
        .and_then(|until| tide.curve(given.now..until).ok());
    let turns = curve.as_ref().map_or(&[][..], |curve| curve.turns());
    let high = turns.iter().find(|turn| turn.kind == TurnKind::HighWater);
    run.tell(match high {
        Some(turn) => format!(
            "next high water at {}, predicted: {:.2} m above {}, {}",
            tide.name,
            turn.height_m,
            tide.datum,
            local(turn.at, &zone)
        ),
        None => format!("no high water is known at {} within 36 h", tide.name),
    });
    Ok(Some(path))
}

/// The animal, with all that a plan needs or with its name alone.
fn animal(run: &mut Run<'_>, name: Option<&str>) -> Result<Animal, Stop> {
    let name = match name {
        Some(name) => Some(name.to_owned()),
        None => run.optional("animal", "The animal, by its name", one_line)?,
    };
    let Some(name) = name else {
        return Ok(Animal::Unknown);
    };
    let length = |text: &str| number(text, 0.01, 30.0);
    let far = |text: &str| number(text, 1.0, 5000.0);
    let length_m = run.optional("length_m", "Length of its body, metres", length)?;
    let on_foot = run.optional(
        "stand_off_on_foot_m",
        "Nearest that you go on foot, metres (ask who watches over them)",
        far,
    )?;
    let from_hide = run.optional(
        "stand_off_from_hide_m",
        "Nearest that you sit in a hide, metres",
        far,
    )?;
    let present = run.optional("present", "When it is there, such as Sep-Apr", |text| {
        let read: Result<wrackline_plan::scenario::HalfMonths, String> = text.parse();
        read.map(|_| text.to_owned())
    })?;
    Ok(match (length_m, on_foot, from_hide, present) {
        (Some(length_m), Some(stand_off_on_foot_m), Some(stand_off_from_hide_m), Some(present)) => {
            Animal::Known(Known {
                name,
                length_m,
                stand_off_on_foot_m,
                stand_off_from_hide_m,
                present,
            })
        }
        _ => Animal::Named(name),
    })
}

fn push(run: &mut Run<'_>, place: &Place) -> Result<Option<f64>, Stop> {
    run.optional(
        &format!("push_m of {}", place.id),
        &format!(
            "Water at which the animals come to {}, metres above the port's datum",
            place.name
        ),
        level,
    )
}
