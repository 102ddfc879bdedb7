//! What the log says already about a visit that pictures show, and what they would amend.

use jiff::SignedDuration;
use jiff::tz::TimeZone;

use super::visits::FrameVisit;
use crate::{Draft, Entry, Outcome, Record, When};

/// Whose visits are looked for in the log.
#[derive(Debug, Clone, Copy)]
pub struct Whose<'w> {
    /// The id of the place.
    pub place: &'w str,
    /// The id of the subject.
    pub subject: &'w str,
    /// A longer pause than this is between two visits.
    pub pause: SignedDuration,
    /// The zone of the log's days.
    pub zone: &'w TimeZone,
}

/// What the log has of a visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Logged<'r> {
    /// Nothing.
    New,
    /// This entry: of the same place, subject and time.
    As(&'r Record),
    /// An entry that gives its day alone, on which the pictures show several visits.
    OneOfSeveral(&'r Record),
}

/// Looks the visits up. One visit is one place, one subject and one time: another subject's entry
/// is another visit, and an entry that gives its day alone is the only visit of that day.
pub fn logged<'r>(
    visits: &[FrameVisit],
    records: &'r [Record],
    whose: Whose<'_>,
) -> Vec<Logged<'r>> {
    let of_whom: Vec<&Record> = records
        .iter()
        .filter(|record| record.entry.place == whose.place && record.entry.subject == whose.subject)
        .collect();
    let by_time = |visit: &FrameVisit| {
        let near = of_whom.iter().filter_map(|record| {
            let at = record.entry.when.instant()?;
            let before = visit.began().duration_since(at);
            let after = at.duration_since(visit.ended());
            let away = before.max(after).max(SignedDuration::ZERO);
            (away <= whose.pause).then_some((away, *record))
        });
        near.min_by_key(|(away, _)| *away).map(|(_, record)| record)
    };
    let day = |visit: &FrameVisit| When::At(visit.began()).date(whose.zone);
    let by_day = |visit: &FrameVisit| {
        let mut alone = of_whom.iter().copied();
        alone.find(|record| record.entry.when == When::Day(day(visit)))
    };
    let untimed = |visit: &&FrameVisit| by_time(visit).is_none();
    visits
        .iter()
        .map(|visit| {
            if let Some(record) = by_time(visit) {
                return Logged::As(record);
            }
            let Some(record) = by_day(visit) else {
                return Logged::New;
            };
            let of_that_day = visits.iter().filter(untimed);
            if of_that_day.filter(|other| day(other) == day(visit)).count() > 1 {
                Logged::OneOfSeveral(record)
            } else {
                Logged::As(record)
            }
        })
        .collect()
}

/// An entry as the pictures of its visit would have it: their count, the selects, the rung that
/// these reach, the seat where one is given, and the time where the entry had its day alone.
///
/// # Errors
/// Fewer pictures than the entry has: those of another camera lie elsewhere, or they were deleted.
pub fn as_pictured(
    entry: &Entry,
    visit: &FrameVisit,
    seat: Option<&str>,
    select_from: i8,
) -> Result<Draft, String> {
    let pictures = visit.frames.len();
    let selects = visit.selects(select_from).count();
    if let Some(before) = entry.pictures.filter(|before| *before as usize > pictures) {
        return Err(format!(
            "has {before} pictures, here are {pictures} of them; name the folder that holds those \
             of every camera, or change it with `fieldlog amend {}`",
            entry.id
        ));
    }
    let noted_selects = entry.selects.is_some_and(|before| before > 0);
    let outcome = match entry.outcome {
        _ if selects > 0 => Outcome::Select,
        // The pictures that were kept have lost their ratings; a select that nobody counted stays.
        Outcome::Select if noted_selects => Outcome::Picture,
        reached => reached.max(Outcome::Picture),
    };
    let mut draft = entry.draft();
    let mut put = |name: &str, text: &str| draft.set(name, text).map_err(|e| e.message);
    put("pictures", &pictures.to_string())?;
    if selects > 0 || entry.selects.is_some() {
        put("selects", &selects.to_string())?;
    }
    put("outcome", outcome.word())?;
    if let Some(seat) = seat {
        put("seat", seat)?;
    }
    if entry.when.instant().is_none() {
        put("when", &visit.heart(select_from).to_string())?;
    }
    Ok(draft)
}
