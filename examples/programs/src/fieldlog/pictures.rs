//! Pictures as a source of visits.

use std::io::{self, Write};

use jiff::Timestamp;
use wrackline_log::photos::{self, ClockError, FrameVisit};
use wrackline_log::{self as log, Draft, Log, join};
use wrackline_plan::scenario::Seat;
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
            (None, Some(id)) => Some(join::place(self.scenario, id).ok_or_else(|| {
                Failure::input(format!("--place: there is no place '{id}' in the scenario"))
            })?),
            (None, None) => None,
        };
        let clock = self.clock(options)?;
        let cannot =
            |error: io::Error| Failure::input(format!("{}: {error}", options.folder.display()));
        let pictures = photos::pictures_under(&options.folder).map_err(cannot)?;
        let mut gathered = photos::gather(&pictures, clock, zone, self.gate.now);
        if let Some(place) = place {
            let instants: Vec<Timestamp> = gathered.frames.iter().map(|frame| frame.at).collect();
            let conditions = join::surroundings(self.scenario, place, seat).at_all(&instants);
            for (frame, conditions) in gathered.frames.iter_mut().zip(conditions) {
                frame.conditions = Some(conditions);
            }
        }
        if let Some(clock) = clock {
            writeln!(
                out,
                "Camera ahead of the true time by {:#}; taken out.",
                clock.0
            )?;
        }
        let visits = photos::into_visits(gathered.frames, options.pause);
        write!(
            out,
            "{}",
            report(&visits, &gathered.set_aside, options.select_from, zone)
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
        let known: Vec<&str> = self
            .scenario
            .seats()
            .iter()
            .map(|seat| seat.id.as_str())
            .collect();
        let seat = join::seat(self.scenario, id).ok_or_else(|| {
            Failure::input(format!(
                "--seat: there is no seat '{id}' in the scenario{}",
                log::closest(id, &known)
            ))
        })?;
        Ok(Some(seat))
    }

    /// How far the clock was ahead, as given or from a reference picture.
    fn clock(&self, options: &PhotoOptions) -> Result<Option<ClockError>, Failure> {
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
        let clock = ClockError::from_reference(&head, truly, zone);
        clock
            .map(Some)
            .ok_or_else(|| named("has a capture time outside the calendar".to_owned()))
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
        let mut log = Log::open_or_create(self.path).map_err(Failure::input)?;
        let records = log.records().map_err(Failure::input)?;
        let mut joined = Vec::new();
        for visit in visits
            .iter()
            .filter(|visit| !photos::is_logged(visit, &records, place, options.pause))
        {
            let selects = visit.selects(options.select_from).count();
            let mut draft = Draft::default();
            let fields = [
                ("when", visit.heart(options.select_from).to_string()),
                ("place", place.to_owned()),
                ("seat", seat.unwrap_or_default().to_owned()),
                ("subject", options.subject.clone().unwrap_or_default()),
                (
                    "outcome",
                    if selects > 0 { "select" } else { "picture" }.to_owned(),
                ),
                ("pictures", visit.frames.len().to_string()),
                ("selects", selects.to_string()),
                ("notes", "from the pictures' capture times".to_owned()),
            ];
            for (name, text) in fields {
                draft.set(name, &text).map_err(Failure::input)?;
            }
            let entry = self
                .gate
                .accept(&draft)
                .map_err(|problems| as_options(&problems))?;
            joined.push(self.joined(entry));
        }
        let added = log.add(&joined, &self.gate.zone).map_err(Failure::input)?;
        match added.new.len() {
            0 => writeln!(out, "No entry added: the log has all these visits.")?,
            _ => writeln!(out, "Added: {}.", added.new.join(", "))?,
        }
        Ok(())
    }
}
