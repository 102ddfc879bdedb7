//! From TOML text to a checked [`Scenario`], or to every problem at once.

use std::ops::Range;
use std::path::{Path, PathBuf};

use jiff::civil::{Date, Time, Weekday, date};
use jiff::tz::TimeZone;
use toml::de::DeTable;
use wrackline_optics::{Converter, Kit, Lens, LensSpec, Sensor, SensorSpec};
use wrackline_solar::{Observer, Site, Skyline, SkylinePoint};
use wrackline_tides::{
    ClockDifference, Convention, Harmonic, Port, PortSpec, SecondaryPort, SecondarySpec,
    SpringNeapHeights,
};

use super::model::{
    Access, Closure, ClosureDates, ClosureRule, Creek, FreeHours, FrozenDays, Habits, Light,
    LightWeights, MoonWanted, NamedKit, Place, Scenario, Seat, Subject, Tide, Wanted, Water, WayIn,
};
use super::problem::{Problem, Problems};
use super::reader::{Bound, Located, Source, Table};
use super::season_of_year::HalfMonths;
use crate::port::{convention, convention_words};
use crate::windows::Phase;
use crate::words::nearest;

/// Metres above or below a datum that a level can have: more than any tide on Earth.
const LEVEL: Bound = Bound::Within(-30.0, 30.0);
const MINUTES: Bound = Bound::Within(0.0, 1440.0);
const LATITUDE: Bound = Bound::Within(-90.0, 90.0);
const LONGITUDE: Bound = Bound::Within(-180.0, 180.0);
const BEARING: Bound = Bound::Within(0.0, 360.0);

/// Files that one scenario may include, so that a circle of includes ends.
const MOST_FILES: usize = 64;

impl Scenario {
    /// Checks a scenario held as text, which therefore includes no other file. `name` stands for it in messages.
    ///
    /// # Errors
    /// Every problem, each with line, column, field, value and remedy.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problems> {
        let main = PathBuf::from(name);
        Self::parse_with(&main, &|path| {
            if path == main {
                Ok(text.to_owned())
            } else {
                Err("only a scenario in a file can include another".to_owned())
            }
        })
    }

    /// Checks a scenario and what it includes. `load` gives the text that a path stands for, or says why there is none:
    /// from a file system, or from wherever a page keeps its texts.
    ///
    /// # Errors
    /// Every problem of every text, each with line, column, field, value and remedy.
    pub fn parse_with(
        main: &Path,
        load: &dyn Fn(&Path) -> Result<String, String>,
    ) -> Result<Self, Problems> {
        let text = load(main).map_err(|error| {
            Problems::one(
                main,
                format!("cannot be read: {error}"),
                "give the path of a scenario file",
            )
        })?;
        let mut sources = vec![Source::new(main.to_owned(), text)];
        let mut next = 0;
        while next < sources.len() {
            let found = includes(&sources[next]);
            for (path, span) in found {
                if sources.iter().any(|source| *source.file() == path) {
                    continue;
                }
                match load(&path) {
                    Ok(text) if sources.len() < MOST_FILES => {
                        sources.push(Source::new(path, text));
                    }
                    Ok(_) => sources[next].report(
                        &span,
                        "include".to_owned(),
                        format!("more than {MOST_FILES} files"),
                        "merge some of them",
                    ),
                    Err(error) => sources[next].report(
                        &span,
                        "include".to_owned(),
                        format!("{} cannot be read: {error}", path.display()),
                        "give a path relative to the including file",
                    ),
                }
            }
            next += 1;
        }

        let mut documents = Vec::new();
        for source in &sources {
            let (document, errors) = DeTable::parse_recoverable(source.text());
            for error in errors {
                let span = error.span().unwrap_or(0..0);
                source.report(
                    &span,
                    String::new(),
                    format!("not TOML here: {}", error.message().trim()),
                    "mend the line",
                );
            }
            documents.push(document);
        }
        // A file that is not TOML would bring a swarm of follow-up problems: say only what is not TOML.
        let syntax: Vec<Problem> = sources.iter().flat_map(Source::problems).collect();
        if let Some(problems) = Problems::collect(syntax) {
            return Err(problems);
        }

        let mut draft = Draft::default();
        let roots: Vec<Table<'_, '_>> = sources
            .iter()
            .zip(&documents)
            .map(|(source, document)| Table::root(source, document))
            .collect();
        for root in &roots {
            draft.read(root);
            draft.files += 1;
        }
        let scenario = draft.finish(&sources);
        for root in roots {
            root.finish();
        }
        match Problems::collect(sources.iter().flat_map(Source::problems).collect()) {
            Some(problems) => Err(problems),
            None => scenario.ok_or_else(|| {
                Problems::one(main, "is incomplete".to_owned(), "see the demo scenario")
            }),
        }
    }
}

/// The files that a source includes, resolved against its own folder.
fn includes(source: &Source) -> Vec<(PathBuf, Range<usize>)> {
    let (document, _) = DeTable::parse_recoverable(source.text());
    let root = Table::root(source, &document);
    let folder = source.file().parent().unwrap_or(Path::new(""));
    root.texts("include")
        .into_iter()
        .map(|item| (folder.join(&item.value), item.span))
        .collect()
}

/// A reference by name, kept with the file it stands in until every name is known.
struct Reference {
    file: usize,
    name: Located<String>,
}

/// What has been read so far, over all files.
#[derive(Default)]
struct Draft {
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
    bodies: Vec<(String, Sensor)>,
    lenses: Vec<(String, Lens, bool)>,
    converters: Vec<(String, Converter)>,
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

    fn read(&mut self, root: &Table<'_, '_>) {
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
                    "give a name of the IANA time zone database, such as \"Europe/London\" or \"UTC\"",
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
            let tide = read_tide(table);
            let taken = draft.tide.is_some();
            draft.tide = draft.tide.take().or(tide);
            taken
        });
        self.once(root, "water", |draft, table| {
            draft.water.replace(read_water(table)).is_some()
        });
        self.once(root, "habits", |draft, table| {
            draft.habits.replace(read_habits(table)).is_some()
        });
        self.lights
            .extend(root.tables("light").into_iter().map(read_light));
        self.free_hours
            .extend(root.tables("free").into_iter().filter_map(read_free_hours));
        for table in root.tables("wanted") {
            let lights = table.texts("light").into_iter();
            let lights = lights.map(|name| self.reference(name)).collect();
            self.wanted.push((read_wanted(table), lights));
        }
        for table in root.tables("place") {
            let subjects = table
                .texts("subjects")
                .into_iter()
                .map(|name| self.reference(name))
                .collect();
            if let Some(place) = read_place(table) {
                self.places.push((place, subjects));
            }
        }
        for table in root.tables("seat") {
            if let Some(seat) = self.read_seat(table) {
                self.seats.push(seat);
            }
        }
        self.ways_in
            .extend(root.tables("way_in").into_iter().map(read_way_in));
        self.subjects
            .extend(root.tables("subject").into_iter().map(read_subject));
        for table in root.tables("closure") {
            let place = table.text("place");
            let place = (place != "*").then(|| self.reference(table.located("place", place)));
            let at = table.located("from", ());
            if let Some(closure) = read_closure(table) {
                self.closures.push((closure, place, at, self.files));
            }
        }
        self.read_kit(root);
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

    fn read_seat(&mut self, table: Table<'_, '_>) -> Option<DraftSeat> {
        let at = table.located("id", ());
        let place = table.text("place");
        let place = self.reference(table.located("place", place));
        let way_in = table
            .optional_text("way_in")
            .map(|name| self.reference(table.located("way_in", name)));
        let latitude_deg = table.number("latitude_deg", LATITUDE);
        let longitude_deg = table.number("longitude_deg", LONGITUDE);
        let access = table.choice(
            "access",
            &[
                ("dry", Access::Dry),
                ("leave before the flood", Access::LeaveBeforeTheFlood),
                ("stay the tide", Access::StayTheTide),
            ],
        );
        let access = access.unwrap_or(Access::Dry);
        let ground_m = table.optional_number("ground_m", LEVEL);
        if access == Access::StayTheTide && !table.has("ground_m") {
            table.source().report(
                &table.here(),
                table.field("ground_m"),
                "is missing, and the seat is to stay the tide",
                "add `ground_m = ...`, the height of the ground above chart datum: without it nobody can say whether the seat stays above the water",
            );
        }
        if access != Access::Dry && way_in.is_none() {
            table.source().report(
                &table.here(),
                table.field("way_in"),
                format!("is missing, and the seat is to {}", access.name()),
                "name the [[way_in]] whose levels decide when the way closes",
            );
        }
        let seat = Seat {
            id: table.text("id"),
            name: table.text("name"),
            observer: observer(latitude_deg, longitude_deg)?,
            latitude_deg,
            longitude_deg,
            ground_m,
            freeboard_m: table.number_or("freeboard_m", Bound::Within(0.0, 10.0), 0.5),
            bearing_deg: table.number("bearing_deg", BEARING) % 360.0,
            distance_m: table.number("distance_m", Bound::AboveUpTo(0.0, 10_000.0)),
            in_minutes: table.number("in_minutes", MINUTES),
            out_minutes: table.number("out_minutes", MINUTES),
            hide: table.flag_or("hide", false),
            cover: table.optional_text("cover"),
            permission: table.optional_text("permission"),
            access,
            skyline: skyline(&table),
            on_paper: false,
            place: 0,
            way_in: None,
        };
        let _ = table.has("note");
        table.finish();
        Some(DraftSeat {
            seat,
            place,
            way_in,
            at,
        })
    }

    fn read_kit(&mut self, root: &Table<'_, '_>) {
        const SIDE_MM: Bound = Bound::AboveUpTo(0.0, 200.0);
        for table in root.tables("body") {
            let id = table.text("id");
            let size = table.pair("sensor_mm", SIDE_MM);
            let pixels = table.pair("pixels", Bound::Within(1.0, 100_000.0));
            if let (Some([width_mm, height_mm]), Some([columns, rows])) = (size, pixels) {
                let spec = SensorSpec {
                    width_mm,
                    height_mm,
                    columns: columns as u32,
                    rows: rows as u32,
                };
                match Sensor::new(spec) {
                    Ok(sensor) => self.bodies.push((id, sensor)),
                    Err(error) => table.report("sensor_mm", error.to_string(), "mend the body"),
                }
            } else {
                for key in ["sensor_mm", "pixels"] {
                    if !table.has(key) {
                        table.report(key, "is missing", format!("add `{key} = [across, down]`"));
                    }
                }
            }
            table.finish();
        }
        for table in root.tables("lens") {
            let id = table.text("id");
            // A zoom gives the shortest and the longest; a stand-off distance asks for the longest.
            let focal_length_mm = longest(&table, "focal_length_mm", Bound::AboveUpTo(0.0, 5000.0));
            let f_number = longest(&table, "f_number", Bound::AboveUpTo(0.0, 128.0));
            let spec = LensSpec {
                focal_length_mm,
                f_number,
                minimum_focus_m: table.number("minimum_focus_m", Bound::AboveUpTo(0.0, 100.0)),
                pupil_magnification: table.number_or(
                    "pupil_magnification",
                    Bound::AboveUpTo(0.0, 10.0),
                    1.0,
                ),
                principal_separation_mm: table.number_or(
                    "principal_separation_mm",
                    Bound::Within(-1000.0, 1000.0),
                    0.0,
                ),
            };
            let takes_converter = table.flag_or("takes_converter", true);
            match Lens::new(spec) {
                Ok(lens) => self.lenses.push((id, lens, takes_converter)),
                // Fields that are out of range have been reported already, with the field's own place.
                Err(error) => table.report("focal_length_mm", error.to_string(), "mend the lens"),
            }
            table.finish();
        }
        for table in root.tables("converter") {
            let id = table.text("id");
            match Converter::new(table.number("factor", Bound::AboveUpTo(1.0, 4.0))) {
                Ok(converter) => self.converters.push((id, converter)),
                Err(error) => table.report("factor", error.to_string(), "mend the converter"),
            }
            table.finish();
        }
    }

    fn finish(mut self, sources: &[Source]) -> Option<Scenario> {
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

        let mut kits = Vec::new();
        for (lens_id, lens, takes_converter) in &self.lenses {
            let bare = std::iter::once(None);
            let with = self
                .converters
                .iter()
                .filter(|_| *takes_converter)
                .map(Some);
            for converter in bare.chain(with) {
                for (body_id, sensor) in &self.bodies {
                    let name = match converter {
                        Some((id, _)) => format!("{lens_id} + {id} on {body_id}"),
                        None => format!("{lens_id} on {body_id}"),
                    };
                    let converter = converter.map(|(_, converter)| *converter);
                    kits.push(NamedKit {
                        name,
                        lens: *lens,
                        converter,
                        sensor: *sensor,
                        kit: Kit::new(*lens, converter, *sensor),
                    });
                }
            }
        }

        let (zone, zone_name) = self.zone.unwrap_or((TimeZone::UTC, "UTC".to_owned()));
        if self.lights.is_empty() {
            self.lights.push(default_light());
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
            water: self.water.unwrap_or(NO_RESIDUAL_GIVEN),
            habits: self.habits.unwrap_or(OUR_HABITS),
            lights: self.lights,
            free_hours: self.free_hours,
            wanted,
            places,
            seats,
            ways_in: self.ways_in,
            subjects: self.subjects,
            closures,
            kits,
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

fn observer(latitude_deg: f64, longitude_deg: f64) -> Option<Observer> {
    // Both were read within their bounds, so this holds; a problem has been reported where they were not.
    Observer::new(Site {
        latitude_deg,
        longitude_deg,
        elevation_m: 0.0,
    })
    .ok()
}

/// Gaps in a terrain profile wider than this are taken as an open horizon, narrower ones as a straight line between their
/// ends; our default.
const OPEN_GAP_DEG: f64 = 90.0;
/// How near to the end of a profile the open horizon begins.
const STEP_DEG: f64 = 0.01;

fn skyline(table: &Table<'_, '_>) -> Option<Skyline> {
    let profile = table.pairs("horizon_deg", BEARING, Bound::Within(-10.0, 80.0));
    let mut points: Vec<SkylinePoint> = profile
        .iter()
        .map(|[azimuth, altitude_deg]| SkylinePoint {
            azimuth_deg: azimuth % 360.0,
            altitude_deg: *altitude_deg,
        })
        .collect();
    points.sort_by(|a, b| a.azimuth_deg.total_cmp(&b.azimuth_deg));
    let open = |azimuth_deg: f64| SkylinePoint {
        azimuth_deg: azimuth_deg.rem_euclid(360.0),
        altitude_deg: 0.0,
    };
    let mut ends = Vec::new();
    for (index, from) in points.iter().enumerate() {
        let to = points[(index + 1) % points.len()];
        let gap = (to.azimuth_deg - from.azimuth_deg).rem_euclid(360.0);
        if points.len() == 1 || gap > OPEN_GAP_DEG {
            ends.push(open(from.azimuth_deg + STEP_DEG));
            ends.push(open(to.azimuth_deg - STEP_DEG));
        }
    }
    points.extend(ends);
    if points.is_empty() {
        return None;
    }
    Skyline::new(&points)
        .map_err(|error| table.report("horizon_deg", error.to_string(), "mend the profile"))
        .ok()
}

fn read_tide(table: Table<'_, '_>) -> Option<Tide> {
    let name = table.text("name");
    let datum = table.text("datum");
    let mean_level_m = table.number("mean_level_m", LEVEL);
    if !table.has("convention") {
        table.report(
            "convention",
            "is missing",
            format!(
                "say by which convention the constants were made: {}",
                convention_words()
            ),
        );
    }
    let convention = table.optional_text("convention").and_then(|word| {
        let found = convention(&word);
        if found.is_none() {
            let what = format!("\"{word}\" is not known here");
            table.report("convention", what, format!("give {}", convention_words()));
        }
        found
    });
    let rows = table.tables("constituents");
    if !table.has("constituents") {
        table.report(
            "constituents",
            "is missing",
            "list the constituents, each with name, amplitude_m and phase_lag_deg",
        );
    }
    let mut harmonics: Vec<Harmonic> = Vec::new();
    for row in rows {
        // Each by itself, so that a name that is not known is reported where it stands.
        let harmonic = Harmonic {
            name: row.text("name"),
            amplitude_m: row.number("amplitude_m", Bound::Within(0.0, 20.0)),
            phase_lag_deg: row.number("phase_lag_deg", Bound::Within(-360.0, 360.0)),
        };
        let check = Port::new(PortSpec {
            mean_level_m: 0.0,
            harmonics: std::slice::from_ref(&harmonic),
            convention: Convention::SchuremanInstant,
        });
        if let Err(error) = check {
            row.report("name", error.to_string(), "mend the constituent");
        } else if harmonics.iter().any(|known| known.name == harmonic.name) {
            let twice = format!("\"{}\" stands here twice", harmonic.name);
            row.report("name", twice, "keep one of them");
        } else {
            harmonics.push(harmonic);
        }
        row.finish();
    }
    let _ = table.has("note");
    let secondary = table.table("secondary").and_then(read_secondary);
    let port = Port::new(PortSpec {
        mean_level_m,
        harmonics: &harmonics,
        convention: convention?,
    });
    let port = port
        .map_err(|error| table.report("constituents", error.to_string(), "mend the port"))
        .ok();
    table.finish();
    Some(Tide {
        name,
        datum,
        port: port?,
        secondary,
    })
}

/// The printed differences of a secondary port from the standard port whose constants are given.
fn read_secondary(table: Table<'_, '_>) -> Option<SecondaryPort> {
    let heights = |key: &'static str| {
        let heights = table.table(key);
        if heights.is_none() && !table.has(key) {
            table.report(
                key,
                "is missing",
                format!(
                    "add `{key} = {{ mhws_m = ..., mhwn_m = ..., mlwn_m = ..., mlws_m = ... }}`"
                ),
            );
        }
        let heights = heights?;
        let read = SpringNeapHeights {
            mhws_m: heights.number("mhws_m", LEVEL),
            mhwn_m: heights.number("mhwn_m", LEVEL),
            mlwn_m: heights.number("mlwn_m", LEVEL),
            mlws_m: heights.number("mlws_m", LEVEL),
        };
        heights.finish();
        Some(read)
    };
    let times = |key: &'static str| {
        let rows = table.pairs(key, Bound::Within(0.0, 24.0), Bound::Within(-360.0, 360.0));
        let rows: Vec<ClockDifference> = rows
            .iter()
            .map(|[hour, minutes]| ClockDifference {
                hour: *hour,
                minutes: *minutes,
            })
            .collect();
        let two: Result<[ClockDifference; 2], _> = rows.try_into();
        two.map_err(|_| {
            table.report(
                key,
                "does not have two rows",
                "give two pairs of clock hour and minutes, such as [[0, 10], [6, 40]]",
            );
        })
        .ok()
    };
    let standard = heights("standard");
    let differences = heights("differences");
    let high_water = times("high_water_minutes");
    let low_water = times("low_water_minutes");
    let utc_offset_h = table.number_or("utc_offset_h", Bound::Within(-14.0, 14.0), 0.0);
    let port = SecondaryPort::new(SecondarySpec {
        standard: standard?,
        differences: differences?,
        high_water: high_water?,
        low_water: low_water?,
        utc_offset_h,
    });
    let port = port
        .map_err(|error| table.report("standard", error.to_string(), "mend the differences"))
        .ok();
    table.finish();
    port
}

/// Without a [water] table: our default allowances, 0.30 m either way around the prediction.
const NO_RESIDUAL_GIVEN: Water = Water {
    expected_m: 0.0,
    standard_deviation_m: 0.15,
    upper_allowance_m: 0.30,
    lower_allowance_m: 0.30,
};

fn read_water(table: Table<'_, '_>) -> Water {
    let small = Bound::Within(-5.0, 5.0);
    let allowance = Bound::Within(0.0, 5.0);
    let reference = table.number_or(
        "reference_pressure_hpa",
        Bound::Within(870.0, 1090.0),
        1013.0,
    );
    let per_hpa = table.number_or(
        "inverse_barometer_m_per_hpa",
        Bound::Within(-0.05, 0.0),
        -0.01,
    );
    let pressure = table
        .optional_number("pressure_hpa", Bound::Within(870.0, 1090.0))
        .map_or(0.0, |pressure| (pressure - reference) * per_hpa);
    let default = NO_RESIDUAL_GIVEN;
    let water = Water {
        expected_m: table.number_or("bias_m", small, 0.0)
            + table.number_or("surge_m", small, 0.0)
            + pressure,
        standard_deviation_m: table.number_or(
            "standard_deviation_m",
            allowance,
            default.standard_deviation_m,
        ),
        upper_allowance_m: table.number_or(
            "upper_allowance_m",
            allowance,
            default.upper_allowance_m,
        ),
        lower_allowance_m: table.number_or(
            "lower_allowance_m",
            allowance,
            default.lower_allowance_m,
        ),
    };
    let _ = table.has("note");
    table.finish();
    water
}

/// Without a [habits] table.
const OUR_HABITS: Habits = Habits {
    settle_minutes: 45.0,
    withdrawal_factor: 1.25,
    shortest_minutes: 20.0,
    longest_minutes: 24.0 * 60.0,
    frozen_days: None,
    light_weights: LightWeights::OURS,
};

fn read_habits(table: Table<'_, '_>) -> Habits {
    let days = table.integer("frozen_days", 0..=365);
    let on = table.optional_text("frozen_days_on");
    let on = on.and_then(|text| {
        text.parse::<Date>()
            .map_err(|_| {
                table.report(
                    "frozen_days_on",
                    format!("\"{text}\" is not a date"),
                    "give a date such as \"2026-12-31\"",
                )
            })
            .ok()
    });
    if days.is_some() && !table.has("frozen_days_on") {
        table.report(
            "frozen_days_on",
            "is missing",
            "say up to which day the frozen days were counted",
        );
    }
    let habits = Habits {
        settle_minutes: table.number_or("settle_minutes", MINUTES, OUR_HABITS.settle_minutes),
        withdrawal_factor: table.number_or(
            "withdrawal_factor",
            Bound::Within(1.0, 10.0),
            OUR_HABITS.withdrawal_factor,
        ),
        shortest_minutes: table.number_or("shortest_minutes", MINUTES, OUR_HABITS.shortest_minutes),
        longest_minutes: 60.0
            * table.number_or(
                "longest_hours",
                Bound::Within(1.0, 24.0),
                OUR_HABITS.longest_minutes / 60.0,
            ),
        frozen_days: days.zip(on).map(|(days, on)| FrozenDays {
            days: days as u16,
            on,
        }),
        light_weights: table
            .table("light_weights")
            .map_or(LightWeights::OURS, read_weights),
    };
    table.finish();
    habits
}

fn read_weights(table: Table<'_, '_>) -> LightWeights {
    let weight = |key, default| table.number_or(key, Bound::Within(0.0, 1.0), default);
    let ours = LightWeights::OURS;
    let weights = LightWeights {
        glow: weight("glow", ours.glow),
        warm: weight("warm", ours.warm),
        low: weight("low", ours.low),
        fair: weight("fair", ours.fair),
        hard: weight("hard", ours.hard),
    };
    table.finish();
    weights
}

fn read_free_hours(table: Table<'_, '_>) -> Option<FreeHours> {
    let time = |key: &'static str| {
        let text = table.text(key);
        let parsed = text.parse::<Time>().ok();
        if parsed.is_none() && !text.is_empty() {
            table.report(
                key,
                format!("\"{text}\" is not a time of day"),
                "give a time such as \"06:30\"",
            );
        }
        parsed
    };
    let (from, until) = (time("from"), time("until"));
    let weekdays = weekdays(&table);
    table.finish();
    Some(FreeHours {
        weekdays,
        from: from?,
        until: until?,
    })
}

fn read_wanted(table: Table<'_, '_>) -> Wanted {
    let phase = table.choice(
        "tide",
        &[
            ("flood", Phase::Flood),
            ("ebb", Phase::Ebb),
            ("both", Phase::Both),
        ],
    );
    let wanted = Wanted {
        picture: table.text("name"),
        lights: Vec::new(),
        phase: phase.unwrap_or_default(),
        taken: table.integer("taken", 0..=1_000_000).unwrap_or(0) as u32,
    };
    if !table.has("light") {
        table.report(
            "light",
            "is missing",
            "list the kinds of light that the picture is wanted in",
        );
    }
    table.finish();
    wanted
}

fn default_light() -> Light {
    Light {
        name: "low front light".to_owned(),
        lowest_deg: 0.0,
        highest_deg: 12.0,
        narrowest_deg: 0.0,
        widest_deg: 45.0,
        overcast: false,
        moon: None,
    }
}

fn read_light(table: Table<'_, '_>) -> Light {
    let name = table.text("name");
    let [lowest_deg, highest_deg] =
        ordered(&table, "altitude_deg", Bound::Within(-18.0, 90.0)).unwrap_or([0.0, 12.0]);
    let [narrowest_deg, widest_deg] =
        ordered(&table, "angle_deg", Bound::Within(0.0, 180.0)).unwrap_or([0.0, 180.0]);
    let overcast = table.flag_or("overcast", false);
    let moon = table.table("moon").map(|moon| {
        let wanted = MoonWanted {
            lowest_deg: moon.number_or("lowest_deg", Bound::Within(-1.0, 90.0), 0.0),
            lit_fraction: moon.number_or("lit_fraction", Bound::Within(0.0, 1.0), 0.0),
        };
        moon.finish();
        wanted
    });
    if !table.has("altitude_deg") {
        table.report(
            "altitude_deg",
            "is missing",
            "add `altitude_deg = [lowest, highest]`",
        );
    }
    if !table.has("angle_deg") && !overcast && moon.is_none() {
        table.report(
            "angle_deg",
            "is missing",
            "add `angle_deg = [smallest, largest]` between the shadow line and the view, or `overcast = true`, or a `moon`",
        );
    }
    table.finish();
    Light {
        name,
        lowest_deg,
        highest_deg,
        narrowest_deg,
        widest_deg,
        overcast,
        moon,
    }
}

/// A pair whose first must be below its second.
fn ordered(table: &Table<'_, '_>, key: &'static str, bound: Bound) -> Option<[f64; 2]> {
    let [low, high] = table.pair(key, bound)?;
    if low >= high {
        table.report(
            key,
            format!("ends at {high}, before it starts at {low}"),
            "give the smaller number first",
        );
        return None;
    }
    Some([low, high])
}

fn read_place(table: Table<'_, '_>) -> Option<Place> {
    let latitude_deg = table.number("latitude_deg", LATITUDE);
    let longitude_deg = table.number("longitude_deg", LONGITUDE);
    let push_m = table.optional_number("push_m", LEVEL);
    let overtop_m = table.optional_number("overtop_m", LEVEL);
    match (push_m, overtop_m) {
        (Some(push), Some(overtop)) if overtop <= push => table.report(
            "overtop_m",
            format!("{overtop} is not above the push level {push}"),
            "the place must fill before it drowns: check both levels and their datum",
        ),
        (None, Some(_)) => table.report(
            "overtop_m",
            "stands without a push level",
            "add `push_m = ...`, the level at which the animals come up",
        ),
        _ => {}
    }
    let place = Place {
        id: table.text("id"),
        name: table.text("name"),
        kind: table.optional_text("kind"),
        observer: observer(latitude_deg, longitude_deg)?,
        latitude_deg,
        longitude_deg,
        push_m,
        overtop_m,
        from_home_minutes: table.optional_number("from_home_minutes", MINUTES),
        sensitive: table.flag_or("sensitive", false),
        note: table.optional_text("note"),
        subjects: Vec::new(),
    };
    table.finish();
    Some(place)
}

fn read_way_in(table: Table<'_, '_>) -> WayIn {
    let mut creeks = Vec::new();
    for creek in table.tables("creeks") {
        creeks.push(Creek {
            name: creek.text("name"),
            level_m: creek.number("level_m", LEVEL),
        });
        creek.finish();
    }
    let way = WayIn {
        id: table.text("id"),
        name: table.text("name"),
        low_point_m: table.number("low_point_m", LEVEL),
        creeks,
        path_deg: table.pairs("path_deg", LATITUDE, LONGITUDE),
        loaded_dark_minutes: table.number("loaded_dark_minutes", MINUTES),
        margin_m: table.number("margin_m", Bound::Within(0.0, 5.0)),
        margin_minutes: table.number("margin_minutes", MINUTES),
    };
    for known in ["kind", "length_m", "walk_minutes", "note"] {
        let _ = table.has(known);
    }
    table.finish();
    way
}

fn read_subject(table: Table<'_, '_>) -> Subject {
    let size = Bound::AboveUpTo(0.0, 30.0);
    let distance = Bound::AboveUpTo(0.0, 5000.0);
    let halves = |key: &'static str, default: HalfMonths| {
        table.optional_text(key).map_or(default, |text| {
            text.parse().unwrap_or_else(|error: String| {
                table.report(
                    key,
                    error,
                    "write it like \"Sep-Apr\", \"late Sep - early Apr\" or \"all year\"",
                );
                default
            })
        })
    };
    let present = halves("present", HalfMonths::ALL);
    let breeding = halves("breeding", HalfMonths::NONE);
    if !table.has("present") {
        table.report(
            "present",
            "is missing",
            "say when the animal is there, such as \"Sep-Apr\"",
        );
    }
    let subject = Subject {
        id: table.text("id"),
        name: table.text("name"),
        length_m: table.number("length_m", size),
        span_m: table.optional_number("span_m", size),
        stand_off_on_foot_m: table.number("stand_off_on_foot_m", distance),
        stand_off_from_hide_m: table.number("stand_off_from_hide_m", distance),
        present,
        breeding,
        note: table.optional_text("note"),
    };
    for known in ["alert_m", "flight_m", "flight_speed_m_per_s", "wingbeat_hz"] {
        let _ = table.optional_number(known, Bound::Within(0.0, 5000.0));
    }
    table.finish();
    subject
}

const WEEKDAYS: [(&str, Weekday); 7] = [
    ("Mon", Weekday::Monday),
    ("Tue", Weekday::Tuesday),
    ("Wed", Weekday::Wednesday),
    ("Thu", Weekday::Thursday),
    ("Fri", Weekday::Friday),
    ("Sat", Weekday::Saturday),
    ("Sun", Weekday::Sunday),
];

fn weekdays(table: &Table<'_, '_>) -> Vec<Weekday> {
    let mut weekdays = Vec::new();
    for name in table.texts("weekdays") {
        match WEEKDAYS.iter().find(|(word, _)| *word == name.value) {
            Some((_, weekday)) => weekdays.push(*weekday),
            None => table.source().report(
                &name.span,
                name.field,
                format!("\"{}\" is not a day of the week", name.value),
                "give Mon, Tue, Wed, Thu, Fri, Sat or Sun",
            ),
        }
    }
    weekdays
}

fn read_closure(table: Table<'_, '_>) -> Option<Closure> {
    let from = day(&table, "from");
    let to = day(&table, "to");
    let weekdays = weekdays(&table);
    let frozen_days = table.integer("frozen_days", 1..=60).map(|days| days as u16);
    let reason = table.text("reason");
    let authority = table.optional_text("authority");
    if !table.has("rule") {
        table.report("rule", "is missing", "give \"closed\" or \"ask first\"");
    }
    let rule = table.choice(
        "rule",
        &[
            ("closed", ClosureRule::Closed),
            ("ask first", ClosureRule::AskFirst),
        ],
    );
    let dates = match (from, to) {
        (Some(Day::Yearly(from)), Some(Day::Yearly(to))) => {
            Some(ClosureDates::EveryYear { from, to })
        }
        (Some(Day::Dated(from)), Some(Day::Dated(to))) => {
            if to < from {
                table.report(
                    "to",
                    format!("{to} is before the start, {from}"),
                    "give an end on or after the start",
                );
            }
            Some(ClosureDates::Once { from, to })
        }
        (Some(_), Some(_)) => {
            table.report(
                "to",
                "mixes a date in one year with a date in every year",
                "write both as \"MM-DD\" or both as \"YYYY-MM-DD\"",
            );
            None
        }
        _ => None,
    };
    table.finish();
    Some(Closure {
        dates: dates?,
        weekdays,
        frozen_days,
        reason,
        authority,
        rule: rule?,
        place: None,
        seat: None,
        subject: None,
    })
}

#[derive(Clone, Copy)]
enum Day {
    Yearly((i8, i8)),
    Dated(Date),
}

fn day(table: &Table<'_, '_>, key: &'static str) -> Option<Day> {
    let remedy = "give a day such as \"03-15\" for every year or \"2027-03-15\" for one";
    if !table.has(key) {
        table.report(key, "is missing", remedy);
        return None;
    }
    let text = table.optional_text(key)?;
    // 2028 is a leap year, so that the 29th of February can be named.
    let yearly = || format!("2028-{text}").parse::<Date>().ok();
    if let Ok(date) = text.parse::<Date>() {
        Some(Day::Dated(date))
    } else if let Some(day) = yearly() {
        Some(Day::Yearly((day.month(), day.day())))
    } else {
        table.report(
            key,
            format!("\"{text}\" is not a day of the calendar"),
            remedy,
        );
        None
    }
}

fn covers_every_day(closure: &Closure) -> bool {
    let always = closure.rule == ClosureRule::Closed
        && closure.weekdays.is_empty()
        && closure.frozen_days.is_none();
    always
        && matches!(closure.dates, ClosureDates::EveryYear { .. })
        && date(2028, 1, 1)
            .series(jiff::Span::new().days(1))
            .take(366)
            .all(|day| closure.dates.contains(day))
}

fn longest(table: &Table<'_, '_>, key: &'static str, bound: Bound) -> f64 {
    if table.is_list(key) {
        ordered(table, key, bound).map_or(1.0, |[_, long]| long)
    } else {
        table.number(key, bound)
    }
}
