//! What has been read of a scenario so far, over all its files, until every name is known.

use jiff::tz::TimeZone;

use super::closure::{self, Closure, covers_every_day};
use super::contact::{self, Contact};
use super::days::{self, FreeHours};
use super::habits::{self, Habits};
use super::kit::Owned;
use super::light::{self, Light};
use super::place::{self, Place};
use super::port::{self, DraftTide};
use super::reader::Table;
use super::seat::{self, Seat};
use super::source::{Located, Mark, Source};
use super::subject::{self, Subject};
use super::text::visible;
use super::wanted::{self, Wanted};
use super::water::{self, Water};
use super::way_in::{self, WayIn};
use super::whole::Scenario;
use crate::words::remedy;

/// What has been read so far, over all files: each thing with the names it uses, and where it
/// stands.
#[derive(Default)]
pub(super) struct Draft<'s> {
    title: Option<String>,
    zone: Option<(TimeZone, String)>,
    project_subject: Option<Located<'s>>,
    tide: Option<DraftTide<'s>>,
    water: Option<Water>,
    habits: Option<Habits>,
    contact: Option<Contact>,
    lights: Vec<Light>,
    free_hours: Vec<FreeHours>,
    wanted: Vec<DraftWanted<'s>>,
    places: Vec<(Place, Vec<Located<'s>>)>,
    seats: Vec<DraftSeat<'s>>,
    ways_in: Vec<WayIn>,
    subjects: Vec<Subject>,
    closures: Vec<DraftClosure<'s>>,
    owned: Owned,
    visits: Option<u32>,
    marks: Marks<'s>,
}

/// Where each table stands; the lists are parallel to those of the scenario.
#[derive(Default)]
pub(super) struct Marks<'s> {
    pub(super) top: Option<Mark<'s>>,
    pub(super) port: Option<Mark<'s>>,
    pub(super) water: Option<Mark<'s>>,
    pub(super) lights: Vec<Mark<'s>>,
    pub(super) places: Vec<Mark<'s>>,
    pub(super) seats: Vec<Mark<'s>>,
    pub(super) ways_in: Vec<Mark<'s>>,
    pub(super) subjects: Vec<Mark<'s>>,
    pub(super) closures: Vec<Mark<'s>>,
}

struct DraftSeat<'s> {
    seat: Seat,
    place: Located<'s>,
    way_in: Option<Located<'s>>,
}

struct DraftClosure<'s> {
    closure: Closure,
    place: Option<Located<'s>>,
    seat: Option<Located<'s>>,
    subject: Option<Located<'s>>,
}

struct DraftWanted<'s> {
    wanted: Wanted,
    lights: Vec<Located<'s>>,
    subject: Option<Located<'s>>,
}

impl<'s> Draft<'s> {
    pub(super) fn read(&mut self, root: &Table<'s, '_>) {
        // Read before all else, to find the files.
        let _ = root.has("include");
        // Where a zone is named, or would be: in the first file.
        if self.marks.top.is_none() || root.has("zone") {
            self.marks.top = Some(root.mark());
        }
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
            self.project_subject = project
                .optional_reference("subject")
                .or(self.project_subject.take());
            for known in ["title", "pictures_wanted"] {
                let _ = project.optional_text(known);
            }
            let visits = project.integer("visits_planned", 1..=100_000);
            self.visits = visits.map(|visits| visits as u32).or(self.visits);
            project.finish();
        }
        if root.has("port") {
            self.once(root, "port", |draft, table| {
                let taken = draft.marks.port.replace(table.mark()).is_some();
                draft.tide = draft.tide.take().or(port::read(table));
                taken
            });
            // A port that cannot be read is one problem, and none of every seat that needs it.
            self.marks.port.get_or_insert_with(|| root.mark());
        }
        self.once(root, "water", |draft, table| {
            draft.marks.water = Some(table.mark());
            draft.water.replace(water::read(table)).is_some()
        });
        self.once(root, "habits", |draft, table| {
            draft.habits.replace(habits::read(table)).is_some()
        });
        self.once(root, "contact", |draft, table| {
            draft.contact.replace(contact::read(table)).is_some()
        });
        for table in root.tables("light") {
            self.marks.lights.push(table.mark());
            self.lights.push(light::read(table));
        }
        self.free_hours
            .extend(root.tables("free").into_iter().filter_map(days::read_free));
        for table in root.tables("wanted") {
            let lights = table.texts("light");
            let subject = table.optional_reference("subject");
            self.wanted.push(DraftWanted {
                wanted: wanted::read(table),
                lights,
                subject,
            });
        }
        for table in root.tables("place") {
            let (mark, subjects) = (table.mark(), table.texts("subjects"));
            if let Some(place) = place::read(table) {
                self.marks.places.push(mark);
                self.places.push((place, subjects));
            }
        }
        for table in root.tables("seat") {
            let mark = table.mark();
            let place = table.reference("place");
            let way_in = table.optional_reference("way_in");
            if let Some(seat) = seat::read(table) {
                self.marks.seats.push(mark);
                self.seats.push(DraftSeat {
                    seat,
                    place,
                    way_in,
                });
            }
        }
        for table in root.tables("way_in") {
            self.marks.ways_in.push(table.mark());
            self.ways_in.push(way_in::read(table));
        }
        for table in root.tables("subject") {
            self.marks.subjects.push(table.mark());
            self.subjects.push(subject::read(table));
        }
        for table in root.tables("closure") {
            let mark = table.mark();
            let place = table
                .optional_reference("place")
                .filter(|place| place.value != "*");
            let seat = table.optional_reference("seat");
            let subject = table.optional_reference("subject");
            if let Some(closure) = closure::read(table) {
                self.marks.closures.push(mark);
                self.closures.push(DraftClosure {
                    closure,
                    place,
                    seat,
                    subject,
                });
            }
        }
        self.owned.read(root);
    }

    /// A table that may stand in one file only; `read` answers whether there was one before.
    fn once(
        &mut self,
        root: &Table<'s, '_>,
        key: &'static str,
        read: impl FnOnce(&mut Self, Table<'s, '_>) -> bool,
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

    /// Looks up every name. What comes of it is good only where no source has a problem.
    pub(super) fn finish(mut self, sources: &'s [Source]) -> Option<(Scenario, Marks<'s>)> {
        let main = sources.first()?;
        let tide = self.tide.take();
        let tide = tide.and_then(|tide| tide.settle(self.zone.as_ref()));
        let clean = || sources.iter().all(|source| source.problems().is_empty());
        if tide.is_none()
            && clean()
            && let Some(port) = &self.marks.port
        {
            port.problem("port", "cannot be read", "compare it with the demo's");
        }
        if self.seats.is_empty() && clean() {
            main.report(
                &(0..0),
                "seat".to_owned(),
                "no seat is given",
                "add at least one [[place]] and one [[seat]]",
            );
        }

        let light_names = ids(self.lights.iter().map(|light| &light.name));
        let place_ids = ids(self.places.iter().map(|(place, _)| &place.id));
        let seat_ids = ids(self.seats.iter().map(|draft| &draft.seat.id));
        let way_ids = ids(self.ways_in.iter().map(|way| &way.id));
        let subject_ids = ids(self.subjects.iter().map(|subject| &subject.id));
        refuse_repeated("name", &light_names, &self.marks.lights);
        refuse_repeated("id", &place_ids, &self.marks.places);
        refuse_repeated("id", &seat_ids, &self.marks.seats);
        refuse_repeated("id", &way_ids, &self.marks.ways_in);
        refuse_repeated("id", &subject_ids, &self.marks.subjects);

        let project_subject = self
            .project_subject
            .take()
            .and_then(|name| resolve(&name, "subject", &subject_ids));
        let mut places = Vec::new();
        for (mut place, subjects) in self.places.drain(..) {
            place.subjects = subjects
                .iter()
                .filter_map(|name| resolve(name, "subject", &subject_ids))
                .collect();
            places.push(place);
        }
        let mut seats = Vec::new();
        for (draft, mark) in self.seats.drain(..).zip(&self.marks.seats) {
            let mut seat = draft.seat;
            let way_in = draft.way_in.as_ref();
            seat.way_in = way_in.and_then(|name| resolve(name, "way_in", &way_ids));
            // A place that is not known is a problem, and then this scenario never comes to be.
            seat.place = resolve(&draft.place, "place", &place_ids).unwrap_or(0);
            let pushed = |place: &Place| place.push_m.is_some();
            let tidal = places.get(seat.place).is_some_and(pushed) || way_in.is_some();
            if tidal && self.marks.port.is_none() {
                mark.problem(
                    "id",
                    "depends on water levels, but the scenario has no [port]",
                    "add the port's harmonic constants, or take the levels out",
                );
            }
            seats.push(seat);
        }
        let mut closures = Vec::new();
        for (draft, mark) in self.closures.drain(..).zip(&self.marks.closures) {
            let mut closure = draft.closure;
            closure.place = draft
                .place
                .and_then(|name| resolve(&name, "place", &place_ids));
            closure.seat = draft
                .seat
                .and_then(|name| resolve(&name, "seat", &seat_ids));
            closure.subject = draft
                .subject
                .and_then(|name| resolve(&name, "subject", &subject_ids));
            if let (Some(place), Some(seat)) = (closure.place, closure.seat)
                && seats
                    .get(seat)
                    .is_some_and(|seat: &Seat| seat.place != place)
            {
                mark.problem(
                    "seat",
                    format!("\"{}\" stands at another place than this", seat_ids[seat]),
                    "leave the place out, or name a seat that stands there",
                );
            }
            if covers_every_day(&closure) {
                mark.problem(
                    "from",
                    "the closure covers the whole year, so nothing could ever be proposed here",
                    "shorten it, or take what it closes out of the scenario",
                );
            }
            closures.push(closure);
        }
        let mut wanted = Vec::new();
        if self.lights.is_empty() {
            self.lights.push(light::default_light());
        }
        let light_names = ids(self.lights.iter().map(|light| &light.name));
        for draft in self.wanted.drain(..) {
            let mut picture = draft.wanted;
            picture.lights = draft
                .lights
                .iter()
                .filter_map(|name| resolve(name, "light", &light_names))
                .collect();
            picture.subject = draft
                .subject
                .and_then(|name| resolve(&name, "subject", &subject_ids));
            wanted.push(picture);
        }

        let (zone, zone_name) = self.zone.unwrap_or((TimeZone::UTC, "UTC".to_owned()));
        let scenario = Scenario {
            title: self
                .title
                .unwrap_or_else(|| visible(&main.file().display().to_string()).into_owned()),
            zone,
            zone_name,
            project_subject,
            tide,
            water: self.water.unwrap_or(water::NO_RESIDUAL_GIVEN),
            habits: self.habits.unwrap_or(habits::OUR_HABITS),
            contact: self.contact,
            lights: self.lights,
            free_hours: self.free_hours,
            wanted,
            places,
            seats,
            ways_in: self.ways_in,
            subjects: self.subjects,
            closures,
            kits: self.owned.kits(),
            visits: self.visits,
            warnings: Vec::new(),
            weather: None,
        };
        Some((scenario, self.marks))
    }
}

fn ids<'a>(ids: impl Iterator<Item = &'a String>) -> Vec<String> {
    ids.cloned().collect()
}

/// Two of the same name are told at both, each with where the other stands.
fn refuse_repeated(key: &str, ids: &[String], marks: &[Mark<'_>]) {
    for (at, id) in ids.iter().enumerate() {
        let others = ids.iter().enumerate();
        let other = others
            .filter(|(other, same)| *other != at && *same == id && !id.is_empty())
            .map(|(other, _)| other)
            .next();
        if let Some(other) = other {
            let line = marks[other].line_seen_from(&marks[at], key);
            marks[at].problem(
                key,
                format!("\"{id}\" is used twice, here and in {line}"),
                "rename one of them",
            );
        }
    }
}

fn resolve(name: &Located<'_>, what: &str, known: &[String]) -> Option<usize> {
    let found = known.iter().position(|id| *id == name.value);
    if found.is_none() && !name.value.is_empty() {
        let remedy = remedy(&name.value, known.iter().map(String::as_str))
            .unwrap_or_else(|| format!("add a [[{what}]] with that id"));
        name.report(format!("there is no {what} \"{}\"", name.value), remedy);
    }
    found
}
