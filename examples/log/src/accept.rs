//! The one door by which an entry comes in, whether typed, asked for or imported.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::draft::Draft;
use super::entry::Entry;
use super::problem::Problem;
use super::when::When;
use wrackline_plan::words::Unknown;

/// Something that an entry can name: by its id, or by the name that a person uses for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// The id that the log keeps.
    pub id: String,
    /// The name in words.
    pub name: String,
}

/// A seat with the place it belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedSeat {
    /// The seat.
    pub seat: Named,
    /// The id of its place.
    pub place: String,
}

/// Everything that entries may refer to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Names {
    /// Places.
    pub places: Vec<Named>,
    /// Seats.
    pub seats: Vec<NamedSeat>,
    /// Subjects.
    pub subjects: Vec<Named>,
}

/// How far a clock may run ahead before an instant counts as lying in the future.
const CLOCK_TOLERANCE: SignedDuration = SignedDuration::from_mins(5);

/// What an input is held against.
#[derive(Debug, Clone)]
pub struct Gate {
    /// Places, seats and subjects that exist.
    pub names: Names,
    /// The zone of times written without an offset.
    pub zone: TimeZone,
    /// The present.
    pub now: Timestamp,
}

impl Gate {
    /// Turns texts into an entry that the log may take: names resolved to ids, nothing in the
    /// future.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn accept(&self, draft: &Draft) -> Result<Entry, Vec<Problem>> {
        let mut draft = draft.clone();
        let seat_problem = self.fill_place(&mut draft);
        let mut entry = match (draft.entry(&self.zone), seat_problem) {
            (Ok(entry), _) => entry,
            (Err(problems), None) => return Err(problems),
            // The place is missing because the seat is unknown: one cause, one problem.
            (Err(mut problems), Some(seat_problem)) => {
                problems.retain(|problem| problem.field != "place");
                problems.push(seat_problem);
                return Err(problems);
            }
        };
        let mut problems = Vec::new();
        self.resolve(&mut entry, &mut problems);
        self.check_date(&entry, &mut problems);
        if problems.is_empty() {
            Ok(entry)
        } else {
            Err(problems)
        }
    }

    /// A seat says where it is. Returns the problem of one that should, and is not known.
    fn fill_place(&self, draft: &mut Draft) -> Option<Problem> {
        if draft.get("place").is_some() {
            return None;
        }
        let seat = draft.get("seat")?.to_owned();
        let Some(known) = self
            .names
            .seats
            .iter()
            .find(|known| matches(&known.seat, &seat))
        else {
            return Some(unknown(
                "seat",
                &seat,
                self.names.seats.iter().map(|known| &known.seat),
            ));
        };
        // The field name is a known one.
        let _ = draft.set("place", &known.place);
        None
    }

    fn resolve(&self, entry: &mut Entry, problems: &mut Vec<Problem>) {
        let placed = resolve("place", &mut entry.place, &self.names.places, problems);
        resolve(
            "subject",
            &mut entry.subject,
            &self.names.subjects,
            problems,
        );
        let Some(seat) = &mut entry.seat else { return };
        let seats: Vec<Named> = self
            .names
            .seats
            .iter()
            .map(|known| known.seat.clone())
            .collect();
        if resolve("seat", seat, &seats, problems)
            && let Some(known) = self.names.seats.iter().find(|known| known.seat.id == *seat)
            && placed
            && known.place != entry.place
        {
            let message = format!(
                "seat '{seat}' is at '{}', not at '{}'",
                known.place, entry.place
            );
            problems.push(Problem::new("seat", message));
        }
    }

    fn check_date(&self, entry: &Entry, problems: &mut Vec<Problem>) {
        let today = self.now.to_zoned_datetime(self.zone.clone()).date();
        let future = match entry.when {
            When::Day(date) => date > today,
            When::At(at) => at.duration_since(self.now) > CLOCK_TOLERANCE,
        };
        if future {
            let message = format!(
                "{} lies in the future (it is {} now); check the year and the clock",
                entry.when, self.now
            );
            problems.push(Problem::new("when", message));
        }
        if entry.when.date(&self.zone).year() < 1900 {
            problems.push(Problem::new(
                "when",
                format!("{} is before 1900; check the year", entry.when),
            ));
        }
    }
}

/// Case does not matter in a name.
fn matches(named: &Named, text: &str) -> bool {
    named.id.to_lowercase() == text.to_lowercase()
        || named.name.to_lowercase() == text.to_lowercase()
}

fn resolve(
    field: &'static str,
    text: &mut String,
    known: &[Named],
    problems: &mut Vec<Problem>,
) -> bool {
    if let Some(named) = known.iter().find(|named| matches(named, text)) {
        text.clone_from(&named.id);
        return true;
    }
    problems.push(unknown(field, text, known.iter()));
    false
}

fn unknown<'n>(field: &'static str, text: &str, known: impl Iterator<Item = &'n Named>) -> Problem {
    let ids = known.map(|named| named.id.as_str());
    let unknown = Unknown::new(field, text, "in the scenario", ids);
    Problem::new(field, unknown.to_string())
}
