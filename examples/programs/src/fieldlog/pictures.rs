//! Pictures as a source of visits.

use std::io::{self, Write};

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_log::photos::{self, ClockError, FrameVisit, Logged, Whose};
use wrackline_log::{self as log, Cell, Draft, Entry, FIELDS, join};
use wrackline_plan::scenario::Seat;
use wrackline_plan::words::Unknown;
use wrackline_show::photos::report;

use super::desk::{Desk, as_options};
use super::options::PhotoOptions;
use crate::cli::Failure;

impl Desk<'_> {
    pub(crate) fn photos(&self, options: &PhotoOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        let zone = &self.gate.zone;
        let seat = self.named_seat(options)?;
        let place = match (&seat, &options.place) {
            (Some(seat), _) => Some(self.scenario.place_of(seat)),
            (None, Some(id)) => Some(
                self.scenario
                    .place_asked(id)
                    .map_err(|unknown| Failure::input(format!("--place: {unknown}")))?,
            ),
            (None, None) => None,
        };
        let camera_zone = self.camera_zone(options)?;
        let clock = self.clock(options, &camera_zone)?;
        let cannot =
            |error: io::Error| Failure::input(format!("{}: {error}", options.folder.display()));
        let found = photos::pictures_under(&options.folder).map_err(cannot)?;
        let pictures = found.pictures;
        let mut gathered = photos::gather(&pictures, clock, &camera_zone, self.gate.now);
        if let Some(place) = place {
            let instants: Vec<Timestamp> = gathered.frames.iter().map(|frame| frame.at).collect();
            let conditions = join::surroundings(self.scenario, place, seat).at_all(&instants);
            for (frame, conditions) in gathered.frames.iter_mut().zip(conditions) {
                frame.conditions = Some(conditions);
            }
        }
        if let Some(clock) = clock {
            let ran = clock.0.abs();
            match clock.0.signum() {
                0 => writeln!(out, "The camera's clock showed the true time.")?,
                side => writeln!(
                    out,
                    "Camera {} the true time by {ran:#}; taken out.",
                    if side < 0 { "behind" } else { "ahead of" },
                )?,
            }
        }
        let visits = photos::into_visits(gathered.frames, options.pause);
        write!(
            out,
            "{}",
            report(
                &visits,
                &gathered.set_aside,
                &found.skipped,
                options.select_from,
                zone
            )
        )?;
        if place.is_none() && !visits.is_empty() {
            writeln!(
                out,
                "Give --seat or --place to learn what tide and light they had."
            )?;
        }
        if options.add {
            self.add_visits(
                options,
                &visits,
                place.map(|place| place.id.as_str()),
                seat.map(|seat| seat.id.as_str()),
                out,
            )?;
        }
        Ok(())
    }

    fn named_seat(&self, options: &PhotoOptions) -> Result<Option<&Seat>, Failure> {
        let Some(id) = &options.seat else {
            return Ok(None);
        };
        let seat = self.scenario.seat_asked(id);
        seat.map(Some)
            .map_err(|unknown| Failure::input(format!("--seat: {unknown}")))
    }

    /// The zone of capture times without an offset: the camera's own, or the place's.
    fn camera_zone(&self, options: &PhotoOptions) -> Result<TimeZone, Failure> {
        let Some(text) = &options.camera_offset else {
            return Ok(self.gate.zone.clone());
        };
        let at = format!("2000-01-01T00:00{text}");
        let pieces = jiff::fmt::temporal::Pieces::parse(&at).ok();
        pieces
            .and_then(|pieces| pieces.to_numeric_offset())
            .map(TimeZone::fixed)
            .ok_or_else(|| {
                let shown: String = text.chars().take(20).collect();
                Failure::input(format!(
                    "--camera-offset: '{shown}' is not an offset; write it like +01:00 or -03:30"
                ))
            })
    }

    /// How far the clock was ahead, as given or from a reference picture.
    fn clock(
        &self,
        options: &PhotoOptions,
        camera_zone: &TimeZone,
    ) -> Result<Option<ClockError>, Failure> {
        if let Some(ahead) = options.camera_ahead {
            return Ok(Some(ClockError(ahead)));
        }
        let (Some(reference), Some(taken_at)) = (&options.reference, &options.taken_at) else {
            return Ok(None);
        };
        let zone = &self.gate.zone;
        let when = log::When::parse(taken_at, zone)
            .map_err(|error| Failure::input(format!("--taken-at: {error}")))?;
        let Some(truly) = when.instant() else {
            return Err(Failure::input(
                "--taken-at: a day is not enough, give the time to the second",
            ));
        };
        let named = |reason: String| {
            Failure::input(format!("--reference: {} {reason}", reference.display()))
        };
        let head = photos::read(reference).map_err(|error| named(error.to_string()))?;
        let clock = ClockError::from_reference(&head, truly, camera_zone);
        clock
            .map(Some)
            .ok_or_else(|| named(head.no_instant(camera_zone)))
    }

    fn add_visits(
        &self,
        options: &PhotoOptions,
        visits: &[FrameVisit],
        place: Option<&str>,
        seat: Option<&str>,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        let Some(place) = place else {
            return Err(Failure::input(
                "--add needs --seat or --place\nnothing was written",
            ));
        };
        let mut log = self.log_to_write()?;
        let records = log.records()?;
        let subject = self.named_subject(options)?;
        let whose = Whose {
            place,
            subject,
            pause: options.pause,
            zone: &self.gate.zone,
        };
        let (mut new, mut amendments) = (Vec::new(), Vec::new());
        for (visit, logged) in visits.iter().zip(photos::logged(visits, &records, whose)) {
            match logged {
                Logged::New => {
                    let draft = drafted(visit, options, [place, seat.unwrap_or(""), subject])?;
                    let entry = self
                        .gate
                        .accept(&draft)
                        .map_err(|problems| as_options(&problems))?;
                    new.push(self.joined(entry));
                }
                Logged::As(record) => {
                    let id = &record.entry.id;
                    match photos::as_pictured(&record.entry, visit, seat, options.select_from) {
                        Err(reason) => writeln!(out, "{id} {reason}.")?,
                        Ok(draft) => {
                            let entry = self
                                .gate
                                .accept(&draft)
                                .map_err(|problems| as_options(&problems))?;
                            let changed = changes(&record.entry, &entry);
                            if !changed.is_empty() {
                                writeln!(out, "{id} differs: {}.", changed.join(", "))?;
                                amendments.push(entry);
                            }
                        }
                    }
                }
                Logged::OneOfSeveral(record) => writeln!(
                    out,
                    "{} gives its day alone, and here are several visits of that day: nothing was \
                     done about them; give its time with `fieldlog amend {} --when TIME`.",
                    record.entry.id, record.entry.id
                )?,
            }
        }
        let added = log.add(&new, &self.gate.zone)?;
        match added.new.len() {
            0 if visits.is_empty() => {}
            0 => writeln!(out, "No entry added.")?,
            _ => writeln!(out, "Added: {}.", added.new.join(", "))?,
        }
        if !options.amend {
            if !amendments.is_empty() {
                writeln!(
                    out,
                    "Give --amend as well to write what differs into the log."
                )?;
            }
            return Ok(());
        }
        for entry in amendments {
            let id = entry.id.clone();
            let why = Some("from the pictures' capture times and ratings");
            log.amend(&id, why, |_| Ok(self.joined(entry)))?;
            writeln!(out, "Amended {id}.")?;
        }
        Ok(())
    }

    fn named_subject<'o>(&'o self, options: &'o PhotoOptions) -> Result<&'o str, Failure> {
        let given = options.subject.as_deref().unwrap_or_default();
        let matching = |known: &&log::Named| {
            [&known.id, &known.name]
                .iter()
                .any(|text| text.to_lowercase() == given.to_lowercase())
        };
        let subjects = &self.gate.names.subjects;
        let named = subjects
            .iter()
            .find(matching)
            .map(|known| known.id.as_str());
        named.ok_or_else(|| {
            let known = subjects.iter().map(|known| known.id.as_str());
            let unknown = Unknown::new("subject", given, "in the scenario", known);
            Failure::input(format!("--subject: {unknown}\nnothing was written"))
        })
    }
}

/// A new entry for a visit.
fn drafted(
    visit: &FrameVisit,
    options: &PhotoOptions,
    [place, seat, subject]: [&str; 3],
) -> Result<Draft, Failure> {
    let selects = visit.selects(options.select_from).count();
    let outcome = if selects > 0 { "select" } else { "picture" };
    let mut draft = Draft::default();
    let fields = [
        ("when", visit.heart(options.select_from).to_string()),
        ("place", place.to_owned()),
        ("seat", seat.to_owned()),
        ("subject", subject.to_owned()),
        ("outcome", outcome.to_owned()),
        ("pictures", visit.frames.len().to_string()),
        ("selects", selects.to_string()),
        ("notes", "from the pictures' capture times".to_owned()),
    ];
    for (name, text) in fields {
        draft.set(name, &text).map_err(Failure::input)?;
    }
    Ok(draft)
}

/// What would become what.
fn changes(before: &Entry, after: &Entry) -> Vec<String> {
    let (was, is) = (before.cells(), after.cells());
    let changed = FIELDS.iter().zip(was.iter().zip(&is));
    changed
        .filter(|(_, (was, is))| was != is)
        .map(|(field, (was, is))| {
            let was = match was {
                Cell::Missing => "nothing".to_owned(),
                cell => format!("'{cell}'"),
            };
            format!("{}: {was} would become '{is}'", field.name)
        })
        .collect()
}
