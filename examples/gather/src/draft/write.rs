//! A draft as the text of a scenario: what is known as fields, what is not as commented lines.

use std::fmt::Write;

use super::facts::{Access, Animal, Levels, Water, Way};
use super::globe::in_words;
use super::names::Ids;
use super::sketch::{Place, Seat, Sketch};
use super::waypoint::Waypoint;

/// Everything that is written.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The places and seats.
    pub sketch: Sketch,
    /// Where the waypoints came from, as it is told in the first line.
    pub source: String,
    /// Zone of dates and times, a name of the IANA time zone database.
    pub zone: Option<String>,
    /// Files to include, relative to the draft.
    pub include: Vec<String>,
    /// Whether one of them holds the port, or the draft does.
    pub has_port: bool,
    /// The animal.
    pub animal: Animal,
}

/// Dates of the closure that stands at a seat about which something is missing: all that anybody
/// plans in. A closure of every year would be refused, since nothing could ever be proposed.
const CLOSED: (&str, &str) = ("2000-01-01", "2199-12-31");
/// What stands for a walk that nobody has timed, minutes; our default. The seat is closed with it.
const WALK_MINUTES: f64 = 60.0;
/// What stands for a distance that nobody knows, metres; our default. The seat is closed with it.
const DISTANCE_M: f64 = 100.0;

impl Draft {
    /// The text: a scenario that a plan reads, and in which nothing is proposed from a seat about
    /// which anything is missing.
    pub fn to_toml(&self) -> String {
        let mut text = String::new();
        // Writing into a text cannot fail.
        let _ = self.write(&mut text);
        text
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        let source = comment(&self.source);
        writeln!(
            out,
            "# A draft from {source}. Lines that end in ? are not known yet: find each"
        )?;
        writeln!(
            out,
            "# out, put it in and take the # away. A seat about which anything is missing"
        )?;
        writeln!(
            out,
            "# is closed by a table [[closure]] below it. Check with: season FILE --check"
        )?;
        for rule in &self.sketch.rules {
            writeln!(out, "# Taken so: {}.", comment(rule))?;
        }
        for left in &self.sketch.left_out {
            writeln!(
                out,
                "# Left out: {}: {}.",
                comment(&left.name),
                comment(&left.why)
            )?;
        }
        writeln!(out)?;
        self.head(out)?;
        self.animal(out)?;
        for (index, place) in self.sketch.places.iter().enumerate() {
            self.place(out, place)?;
            for seat in self.sketch.seats_at(index) {
                self.seat(out, place, seat)?;
            }
        }
        self.unused_ways(out)
    }

    fn head(&self, out: &mut String) -> std::fmt::Result {
        let title = format!("Draft: {}", self.sketch.places[0].name);
        writeln!(out, "title = {}", quoted(&title))?;
        match &self.zone {
            Some(zone) => writeln!(out, "zone = {}", quoted(zone))?,
            None => unknown(
                out,
                "zone",
                "time zone of dates and times, by its name in the IANA database; UTC until then",
            )?,
        }
        if self.include.is_empty() {
            writeln!(
                out,
                "# include = [\"kit.toml\"]  # further files, relative to this one"
            )?;
        } else {
            let files: Vec<String> = self.include.iter().map(|file| quoted(file)).collect();
            writeln!(out, "include = [{}]", files.join(", "))?;
        }
        if !self.has_port {
            writeln!(out)?;
            writeln!(
                out,
                "# The port: without one no water is known, and no seat that the tide can"
            )?;
            writeln!(
                out,
                "# reach opens. Put its file into include above, or write it here:"
            )?;
            writeln!(out, "# [port]")?;
            unknown(out, "name", "the port whose tide the places have")?;
            unknown(
                out,
                "datum",
                "what its heights are above, such as \"chart datum\"",
            )?;
            unknown(out, "mean_level_m", "mean level above that datum, metres")?;
            unknown(
                out,
                "convention",
                "by which its constants were made; see the README",
            )?;
            unknown(
                out,
                "constituents",
                "name, amplitude_m and phase_lag_deg (UTC) of each",
            )?;
        }
        writeln!(out)?;
        writeln!(
            out,
            "# How far the water may rise over the prediction decides whether you are cut"
        )?;
        writeln!(
            out,
            "# off: compare readings with the table for your coast. Until then 0.30 m."
        )?;
        writeln!(out, "# [water]")?;
        unknown(
            out,
            "upper_allowance_m",
            "metres over the prediction that you allow for",
        )?;
        writeln!(out)?;
        writeln!(out, "# Who is told before an outing and raises the alarm:")?;
        writeln!(out, "# [contact]")?;
        unknown(out, "name", "who")?;
        unknown(out, "phone", "the number")?;
        writeln!(out)
    }

    fn animal(&self, out: &mut String) -> std::fmt::Result {
        if let Some(id) = self.animal_id() {
            writeln!(out, "[project]")?;
            writeln!(out, "subject = {}\n", quoted(&id))?;
        }
        match &self.animal {
            Animal::Included(_) => Ok(()),
            Animal::Known(known) => {
                writeln!(out, "[[subject]]")?;
                writeln!(out, "id = {}", quoted(&animal_id(&known.name)))?;
                writeln!(out, "name = {}", quoted(&known.name))?;
                writeln!(out, "length_m = {}", known.length_m)?;
                writeln!(out, "stand_off_on_foot_m = {}", known.stand_off_on_foot_m)?;
                writeln!(
                    out,
                    "stand_off_from_hide_m = {}",
                    known.stand_off_from_hide_m
                )?;
                writeln!(out, "present = {}", quoted(&known.present))?;
                unknown(
                    out,
                    "breeding",
                    "when it breeds, such as \"Apr-Jul\": closed to you then",
                )?;
                writeln!(out)
            }
            Animal::Unknown => subject_to_fill(out, None),
            Animal::Named(name) => subject_to_fill(out, Some(name)),
        }
    }

    /// The id under which the draft can speak of the animal.
    fn animal_id(&self) -> Option<String> {
        match &self.animal {
            Animal::Unknown | Animal::Named(_) => None,
            Animal::Included(id) => Some(id.clone()),
            Animal::Known(known) => Some(animal_id(&known.name)),
        }
    }

    fn place(&self, out: &mut String, place: &Place) -> std::fmt::Result {
        writeln!(out, "[[place]]")?;
        writeln!(out, "id = {}", quoted(&place.id))?;
        writeln!(out, "name = {}", quoted(&place.name))?;
        position(out, &place.waypoint)?;
        match self.animal_id() {
            Some(id) => writeln!(out, "subjects = [{}]", quoted(&id))?,
            None => unknown(
                out,
                "subjects",
                "ids of ALL animals here, not only of the one wanted: each must be kept away from",
            )?,
        }
        match place.push_m {
            Some(level) => writeln!(out, "push_m = {level}")?,
            None => unknown(
                out,
                "push_m",
                "water at which the animals come up, metres above chart datum: watch some tides; \
                 leave it out where the tide plays no part for them",
            )?,
        }
        unknown(
            out,
            "overtop_m",
            "water at which the place drowns and empties, metres above chart datum",
        )?;
        unknown(
            out,
            "sensitive",
            "true, where its animals would suffer if many knew of it",
        )?;
        writeln!(out)?;
        writeln!(
            out,
            "# When {} may not be used: ask its owner, warden and authority.",
            comment(&place.name)
        )?;
        writeln!(out, "# [[closure]]")?;
        writeln!(out, "# place = {}", comment(&quoted(&place.id)))?;
        unknown(out, "from", "first day, such as \"03-15\" of every year")?;
        unknown(out, "to", "last day")?;
        unknown(out, "reason", "why")?;
        unknown(out, "rule", "\"closed\" or \"ask first\"")?;
        writeln!(out)
    }

    fn seat(&self, out: &mut String, place: &Place, seat: &Seat) -> std::fmt::Result {
        let mut missing = Vec::new();
        let way = seat_way(seat);
        writeln!(out, "[[seat]]")?;
        writeln!(out, "id = {}", quoted(&seat.id))?;
        writeln!(out, "name = {}", quoted(&seat.name))?;
        writeln!(out, "place = {}", quoted(&place.id))?;
        position(out, &seat.waypoint)?;
        match seat.view {
            Some(view) => {
                let bearing = (view.bearing_deg * 10.0).round() / 10.0 % 360.0;
                let distance = (view.distance_m * 10.0).round() / 10.0;
                writeln!(
                    out,
                    "bearing_deg = {bearing}  # to {}, computed",
                    comment(&place.name)
                )?;
                writeln!(
                    out,
                    "distance_m = {distance}  # computed; a receiver is some metres off"
                )?;
            }
            None => {
                missing.push("bearing_deg and distance_m");
                writeln!(
                    out,
                    "bearing_deg = 0  # a stand-in: the true bearing to the animals"
                )?;
                writeln!(
                    out,
                    "distance_m = {DISTANCE_M}  # a stand-in: metres to the animals"
                )?;
            }
        }
        walk(
            out,
            "in_minutes",
            seat.facts.in_minutes,
            "from the road to sitting down",
            &mut missing,
        )?;
        walk(
            out,
            "out_minutes",
            seat.facts.out_minutes,
            "from standing up to the road",
            &mut missing,
        )?;
        if let Some((index, walk)) = &seat.way_in {
            let start = comment(&self.sketch.ways_in[*index].name);
            writeln!(
                out,
                "# From {start} it is {:.0} m in a straight line.",
                walk.distance_m
            )?;
        }
        if seat.hide {
            writeln!(out, "hide = true")?;
        } else {
            unknown(
                out,
                "hide",
                "true, where it is a hide or a vehicle used as one",
            )?;
        }
        self.water(out, seat, way.as_ref(), &mut missing)?;
        unknown(
            out,
            "horizon_deg",
            "terrain as [[azimuth, altitude], ...], ending at altitude 0; open until then",
        )?;
        unknown(out, "permission", "whose leave the seat needs")?;
        writeln!(out)?;
        if let Some((_, way_in)) = way {
            self.way_in(out, seat, way_in)?;
        }
        if missing.is_empty() {
            return Ok(());
        }
        writeln!(
            out,
            "# Take this closure out when all that it names is known and stands above."
        )?;
        writeln!(out, "[[closure]]")?;
        writeln!(out, "seat = {}", quoted(&seat.id))?;
        writeln!(out, "from = \"{}\"", CLOSED.0)?;
        writeln!(out, "to = \"{}\"", CLOSED.1)?;
        writeln!(
            out,
            "reason = \"a draft, and not known yet: {}\"",
            missing.join("; ")
        )?;
        writeln!(out, "rule = \"closed\"\n")
    }

    /// How a seat stands to the water, and what of it is missing.
    fn water(
        &self,
        out: &mut String,
        seat: &Seat,
        way: Option<&(&'static str, &Way)>,
        missing: &mut Vec<&'static str>,
    ) -> std::fmt::Result {
        match &seat.facts.water {
            Water::Never => {
                writeln!(
                    out,
                    "access = \"dry\"  # the tide never reaches it or its way, you said"
                )?;
            }
            Water::Levels(levels) => {
                // Levels mean nothing without a port, and a plan refuses a way in without one.
                let held = if self.has_port { "" } else { "# " };
                if !self.has_port {
                    missing.push("the port (access and way_in wait for it behind a #)");
                }
                writeln!(out, "ground_m = {}", levels.ground_m)?;
                let access = way.map_or("dry", |(access, _)| access);
                writeln!(out, "{held}access = \"{access}\"")?;
                if way.is_some() {
                    writeln!(out, "{held}way_in = {}", quoted(&seat.id))?;
                }
            }
            Water::Unknown => {
                missing.push(
                    "whether the water reaches the seat or its way (ground_m, access, way_in)",
                );
                unknown(
                    out,
                    "ground_m",
                    "height of the ground above chart datum, metres: level it from a water mark of \
                     known height; never the elevation of a receiver",
                )?;
                unknown(
                    out,
                    "access",
                    "\"dry\" where the way never closes, \"leave before the flood\" or \"stay the \
                     tide\"",
                )?;
                unknown(
                    out,
                    "way_in",
                    "id of the [[way_in]] that the tide closes, if one does",
                )?;
            }
        }
        Ok(())
    }

    /// The way to a seat that the tide closes.
    fn way_in(&self, out: &mut String, seat: &Seat, way: &Way) -> std::fmt::Result {
        let start = seat.way_in.as_ref();
        let start = start.map(|(index, _)| &self.sketch.ways_in[*index]);
        let name = start.map_or("the road", |start| start.name.as_str());
        writeln!(out, "[[way_in]]")?;
        writeln!(out, "id = {}", quoted(&seat.id))?;
        writeln!(
            out,
            "name = {}",
            quoted(&format!("from {name} to {}", seat.name))
        )?;
        writeln!(out, "low_point_m = {}", way.low_point_m)?;
        writeln!(out, "loaded_dark_minutes = {}", way.loaded_dark_minutes)?;
        writeln!(out, "margin_m = {}", way.margin_m)?;
        writeln!(out, "margin_minutes = {}", way.margin_minutes)?;
        unknown(
            out,
            "creeks",
            "[{ name = \"...\", level_m = ... }]: they fill behind you",
        )?;
        writeln!(out)
    }

    /// Beginnings of ways as tables to be filled in, for seats whose water is not known.
    fn unused_ways(&self, out: &mut String) -> std::fmt::Result {
        for way in &self.sketch.ways_in {
            writeln!(
                out,
                "# Noted as the beginning of a way in: {}.",
                comment(&way.name)
            )?;
            writeln!(out, "# [[way_in]]")?;
            writeln!(out, "# id = {}", comment(&quoted(&way.id)))?;
            writeln!(out, "# name = {}", comment(&quoted(&way.name)))?;
            unknown(
                out,
                "low_point_m",
                "its lowest point, metres above chart datum",
            )?;
            unknown(
                out,
                "loaded_dark_minutes",
                "to cross it loaded and in the dark",
            )?;
            unknown(
                out,
                "margin_m",
                "metres below the lowest point that count as closed",
            )?;
            unknown(
                out,
                "margin_minutes",
                "minutes before and after that count as closed",
            )?;
            let (spot, no_line) = (way.waypoint.spot, "its line, if it is to be checked");
            let (north, east) = (spot.latitude_deg(), spot.longitude_deg());
            unknown(
                out,
                "path_deg",
                &format!("{no_line}: begins with [{north}, {east}]"),
            )?;
            writeln!(out)?;
        }
        Ok(())
    }
}

fn animal_id(name: &str) -> String {
    Ids::default().of(name, "animal")
}

fn seat_way(seat: &Seat) -> Option<(&'static str, &Way)> {
    match &seat.facts.water {
        Water::Levels(Levels { access, .. }) => match access {
            Access::Dry => None,
            Access::Leave(way) => Some(("leave before the flood", way)),
            Access::Stay(way) => Some(("stay the tide", way)),
        },
        Water::Unknown | Water::Never => None,
    }
}

fn position(out: &mut String, point: &Waypoint) -> std::fmt::Result {
    writeln!(out, "latitude_deg = {}", point.spot.latitude_deg())?;
    writeln!(out, "longitude_deg = {}", point.spot.longitude_deg())?;
    writeln!(out, "# {}", in_words(point.spot))?;
    if let Some(height) = point.elevation_m {
        writeln!(
            out,
            "# The receiver noted an elevation of {height} m: above its ellipsoid or geoid,"
        )?;
        writeln!(
            out,
            "# not above chart datum, so it says nothing about the water."
        )?;
    }
    if let Some(note) = &point.note {
        writeln!(out, "note = {}", quoted(note))?;
    }
    Ok(())
}

fn walk(
    out: &mut String,
    field: &'static str,
    minutes: Option<f64>,
    what: &str,
    missing: &mut Vec<&'static str>,
) -> std::fmt::Result {
    match minutes {
        Some(minutes) => writeln!(out, "{field} = {minutes}"),
        None => {
            missing.push(field);
            writeln!(
                out,
                "{field} = {WALK_MINUTES}  # a stand-in: minutes {what}; time a walk"
            )
        }
    }
}

fn subject_to_fill(out: &mut String, name: Option<&str>) -> std::fmt::Result {
    writeln!(
        out,
        "# The animal; without one listed at a place nothing is proposed there."
    )?;
    writeln!(out, "# [[subject]]")?;
    match name {
        Some(name) => {
            writeln!(out, "# id = {}", comment(&quoted(&animal_id(name))))?;
            writeln!(out, "# name = {}", comment(&quoted(name)))?;
        }
        None => {
            unknown(out, "id", "a short name for references")?;
            unknown(out, "name", "its name")?;
        }
    }
    unknown(out, "length_m", "length of its body, metres")?;
    unknown(
        out,
        "stand_off_on_foot_m",
        "nearest that you go on foot, metres: ask who watches over them; never below what alarms",
    )?;
    unknown(
        out,
        "stand_off_from_hide_m",
        "nearest that you sit in a hide, metres",
    )?;
    unknown(out, "present", "when it is there, such as \"Sep-Apr\"")?;
    unknown(
        out,
        "breeding",
        "when it breeds, such as \"Apr-Jul\": closed to you then",
    )?;
    writeln!(out)
}

/// A line to be filled in. It is no TOML until it is, so that nobody takes a stand-in for a fact.
fn unknown(out: &mut String, field: &str, meaning: &str) -> std::fmt::Result {
    writeln!(out, "# {field} = ?  # {meaning}")
}

/// A text in quotes, as TOML takes it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

/// A text within a comment, which ends with its line and holds no control characters.
fn comment(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
