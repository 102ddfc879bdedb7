//! A draft as the text of a scenario: what is known as fields, what is not as commented lines.

mod seat;
mod toml;

use std::fmt::Write;

use super::facts::{Animal, Table};
use super::names::Ids;
use super::sketch::{Place, Sketch};
use seat::position;
use toml::{comment, quoted, unknown};

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
    /// A printed tide table as the port.
    pub table: Option<Table>,
    /// Whether one of them holds the port, or the draft does.
    pub has_port: bool,
    /// The animal.
    pub animal: Animal,
}

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
        writeln!(out, "# A draft from {source}.")?;
        writeln!(
            out,
            "# A line with \"= ?\" is not known yet: find it out, put it in and take the # away. A \
             seat about\n# which anything is missing is closed by a table [[closure]] below it. \
             Check it with:\n# season FILE --check"
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
        if let Some(table) = &self.table {
            writeln!(out)?;
            out.push_str(&table.to_toml());
        } else if !self.has_port {
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
            Some(id) => writeln!(
                out,
                "subjects = [{}]  # add ALL other animals here: each must be kept away from",
                quoted(&id)
            )?,
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

impl Table {
    /// The port of a scenario that reads its water from this table.
    pub fn to_toml(&self) -> String {
        let mut text = format!(
            "[port]\nname = {}\ndatum = {}\nturns = {}  # a printed table: its last day ends the \
             plan\n",
            quoted(&self.name),
            quoted(&self.datum),
            quoted(&self.file)
        );
        if let Some(zone) = &self.zone {
            // Writing into a text cannot fail.
            let _ = writeln!(text, "turns_zone = {}", quoted(zone));
        }
        text
    }
}

fn animal_id(name: &str) -> String {
    Ids::default().of(name, "animal")
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
