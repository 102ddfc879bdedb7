//! What has been read of a scenario so far, over all its files, until every name is known.

use jiff::tz::TimeZone;

use super::closure::{self, Closure, covers_every_day};
use super::days::{self, FreeHours};
use super::habits::{self, Habits};
use super::kit::Owned;
use super::light::{self, Light};
use super::place::{self, Place};
use super::port::{self, Tide};
use super::reader::{Located, Source, Table};
use super::seat::{self, Seat};
use super::subject::{self, Subject};
use super::wanted::{self, Wanted};
use super::water::{self, Water};
use super::way_in::{self, WayIn};
use super::whole::Scenario;
use crate::words::nearest;

/// A reference by name, kept with the file it stands in until every name is known.
struct Reference {
    file: usize,
    name: Located<String>,
}

/// What has been read so far, over all files.
#[derive(Default)]
pub(super) struct Draft {
    files: usize,
    title: Option<String>,
    zone: Option<(TimeZone, String)>,
    project_subject: Option<Reference>,
    tide: Option<Tide>,
    water: Option<Water>,
    habits: Option<Habits>,
    lights: Vec<Light>,
    free_hours: Vec<FreeHours>,
    wanted: Vec<(Wanted, Vec<Reference>)>,
    places: Vec<(Place, Vec<Reference>)>,
    seats: Vec<DraftSeat>,
    ways_in: Vec<WayIn>,
    subjects: Vec<Subject>,
    closures: Vec<(Closure, Option<Reference>, Located<()>, usize)>,
    owned: Owned,
}

struct DraftSeat {
    seat: Seat,
    place: Reference,
    way_in: Option<Reference>,
    at: Located<()>,
}

impl Draft {
    fn reference(&self, name: Located<String>) -> Reference {
        Reference {
            file: self.files,
            name,
        }
    }

    pub(super) fn read(&mut self, root: &Table<'_, '_>) {
        // Read before all else, to find the files.
        let _ = root.has("include");
        if let Some(title) = root.optional_text("title") {
            self.title.get_or_insert(title);
        }
        if let Some(name) = root.optional_text("zone") {
            match TimeZone::get(&name) {
                Ok(zone) => self.zone = Some((zone, name)),
                Err(_) => root.report(
                    "zone",
                    format!("\"{name}\" is not a known time zone"),
                    "give a name of the IANA time zone database, such as \"Europe/London\" \
                     or \"UTC\"",
                ),
            }
        }
        if let Some(project) = root.table("project") {
            if let Some(subject) = project.optional_text("subject") {
                self.project_subject = Some(self.reference(project.located("subject", subject)));
            }
            for known in ["title", "visits_planned", "pictures_wanted"] {
                let _ = project.has(known);
            }
            project.finish();
        }
        self.once(root, "port", |draft, table| {
            let tide = port::read(table);
            let taken = draft.tide.is_some();
            draft.tide = draft.tide.take().or(tide);
            taken
        });
        self.once(root, "water", |draft, table| {
            draft.water.replace(water::read(table)).is_some()
        });
        self.once(root, "habits", |draft, table| {
            draft.habits.replace(habits::read(table)).is_some()
        });
        self.lights
            .extend(root.tables("light").into_iter().map(light::read));
        self.free_hours
            .extend(root.tables("free").into_iter().filter_map(days::read_free));
        for table in root.tables("wanted") {
            let lights = table.texts("light").into_iter();
            let lights = lights.map(|name| self.reference(name)).collect();
            self.wanted.push((wanted::read(table), lights));
        }
        for table in root.tables("place") {
            let subjects = table
                .texts("subjects")
                .into_iter()
                .map(|name| self.reference(name))
                .collect();
            if let Some(place) = place::read(table) {
                self.places.push((place, subjects));
            }
        }
        for table in root.tables("seat") {
            let at = table.located("id", ());
            let place = table.text("place");
            let place = self.reference(table.located("place", place));
            let way_in = table
                .optional_text("way_in")
                .map(|name| self.reference(table.located("way_in", name)));
            if let Some(seat) = seat::read(table) {
                self.seats.push(DraftSeat {
                    seat,
                    place,
                    way_in,
                    at,
                });
            }
        }
        self.ways_in
            .extend(root.tables("way_in").into_iter().map(way_in::read));
        self.subjects
            .extend(root.tables("subject").into_iter().map(subject::read));
        for table in root.tables("closure") {
            let place = table.text("place");
            let place = (place != "*").then(|| self.reference(table.located("place", place)));
            let at = table.located("from", ());
            if let Some(closure) = closure::read(table) {
                self.closures.push((closure, place, at, self.files));
            }
        }
        self.owned.read(root);
    }

    /// What is read next stands in the next file.
    pub(super) fn next_file(&mut self) {
        self.files += 1;
    }

    /// A table that may stand in one file only; `read` answers whether there was one before.
    fn once(
        &mut self,
        root: &Table<'_, '_>,
        key: &'static str,
        read: impl FnOnce(&mut Self, Table<'_, '_>) -> bool,
    ) {
        if let Some(table) = root.table(key)
            && read(self, table)
        {
            root.report(
                key,
                "stands in more than one file",
                "keep it in one of them",
            );
        }
    }

    pub(super) fn finish(mut self, sources: &[Source]) -> Option<Scenario> {
        let main = sources.first()?;
        if self.seats.is_empty() && main.problems().is_empty() {
            main.report(
                &(0..0),
                "seat".to_owned(),
                "no seat is given",
                "add at least one [[place]] and one [[seat]]",
            );
        }

        for (what, ids) in [
            ("place", ids(self.places.iter().map(|(place, _)| &place.id))),
            ("seat", ids(self.seats.iter().map(|draft| &draft.seat.id))),
            ("way_in", ids(self.ways_in.iter().map(|way| &way.id))),
            (
                "subject",
                ids(self.subjects.iter().map(|subject| &subject.id)),
            ),
        ] {
            if let Some(twice) = repeated(&ids) {
                main.report(
                    &(0..0),
                    what.to_owned(),
                    format!("the id \"{twice}\" is given to two of them"),
                    "rename one",
                );
            }
        }

        let subject_ids = ids(self.subjects.iter().map(|subject| &subject.id));
        let place_ids = ids(self.places.iter().map(|(place, _)| &place.id));
        let way_ids = ids(self.ways_in.iter().map(|way| &way.id));

        let project_subject = self
            .project_subject
            .take()
            .and_then(|reference| resolve(sources, &reference, "subject", &subject_ids));
        let mut places = Vec::new();
        for (mut place, subjects) in self.places.drain(..) {
            place.subjects = subjects
                .iter()
                .filter_map(|reference| resolve(sources, reference, "subject", &subject_ids))
                .collect();
            places.push(place);
        }
        let mut seats = Vec::new();
        for draft in self.seats.drain(..) {
            let mut seat = draft.seat;
            let file = draft.place.file;
            let Some(place) = resolve(sources, &draft.place, "place", &place_ids) else {
                continue;
            };
            seat.place = place;
            seat.way_in = draft
                .way_in
                .as_ref()
                .and_then(|reference| resolve(sources, reference, "way_in", &way_ids));
            let tidal = places[place].push_m.is_some() || seat.way_in.is_some();
            if tidal && self.tide.is_none() {
                sources[file].report(
                    &draft.at.span,
                    draft.at.field.clone(),
                    "depends on water levels, but the scenario has no [port]",
                    "add the port's harmonic constants, or take the levels out",
                );
            }
            seats.push(seat);
        }
        let mut closures = Vec::new();
        for (mut closure, place, at, file) in self.closures.drain(..) {
            if let Some(reference) = &place {
                closure.place = resolve(sources, reference, "place", &place_ids);
                if closure.place.is_none() {
                    continue;
                }
            }
            if covers_every_day(&closure) {
                sources[file].report(
                    &at.span,
                    at.field.clone(),
                    "the closure covers the whole year, so nothing could ever be proposed here",
                    "shorten it, or take the place out of the scenario",
                );
            }
            closures.push(closure);
        }

        let (zone, zone_name) = self.zone.unwrap_or((TimeZone::UTC, "UTC".to_owned()));
        if self.lights.is_empty() {
            self.lights.push(light::default_light());
        }
        let light_ids = ids(self.lights.iter().map(|light| &light.name));
        let mut wanted = Vec::new();
        for (mut picture, lights) in self.wanted.drain(..) {
            picture.lights = lights
                .iter()
                .filter_map(|reference| resolve(sources, reference, "light", &light_ids))
                .collect();
            wanted.push(picture);
        }
        Some(Scenario {
            title: self
                .title
                .unwrap_or_else(|| main.file().display().to_string()),
            zone,
            zone_name,
            project_subject,
            tide: self.tide,
            water: self.water.unwrap_or(water::NO_RESIDUAL_GIVEN),
            habits: self.habits.unwrap_or(habits::OUR_HABITS),
            lights: self.lights,
            free_hours: self.free_hours,
            wanted,
            places,
            seats,
            ways_in: self.ways_in,
            subjects: self.subjects,
            closures,
            kits: self.owned.kits(),
        })
    }
}

fn ids<'a>(ids: impl Iterator<Item = &'a String>) -> Vec<String> {
    ids.cloned().collect()
}

fn repeated(ids: &[String]) -> Option<&String> {
    ids.iter()
        .enumerate()
        .find(|(at, id)| !id.is_empty() && ids[..*at].contains(id))
        .map(|(_, id)| id)
}

fn resolve(
    sources: &[Source],
    reference: &Reference,
    what: &str,
    known: &[String],
) -> Option<usize> {
    let name = &reference.name.value;
    let found = known.iter().position(|id| id == name);
    if found.is_none() && !name.is_empty() {
        let remedy = match nearest(name, known.iter().map(String::as_str)) {
            Some(word) => format!("did you mean \"{word}\"?"),
            None if known.is_empty() => format!("add a [[{what}]] with that id"),
            None => format!("known here: {}", known.join(", ")),
        };
        sources[reference.file].report(
            &reference.name.span,
            reference.name.field.clone(),
            format!("there is no {what} \"{name}\""),
            remedy,
        );
    }
    found
}
