//! What the values of a record mean: its days, its certainty, whether the animal was there, and what
//! keeps it from counting by itself.

use jiff::civil::Date;
use wrackline_plan::scenario::{Problem, half_month_of};

use super::left_out::LeftOut;
use super::table::harmless;
use super::terms::{Term, Values};
use super::visits::hash;
use super::when::Days;

/// A name as it is compared: in small letters, single blanks between words.
pub(super) fn plain(name: &str) -> String {
    let words = name.split_whitespace().map(str::to_lowercase);
    words.collect::<Vec<_>>().join(" ")
}

/// What stands for a kind of animal: genus and species, so that a subspecies or an authority makes
/// no other kind.
pub(super) fn kind(name: &str) -> u64 {
    let words: Vec<String> = name
        .split_whitespace()
        .take(2)
        .map(str::to_lowercase)
        .collect();
    hash(words)
}

/// A text as one line of a length that fits a comment.
pub(super) fn one_line(text: &str) -> String {
    harmless(text).chars().take(200).collect()
}

pub(super) fn observer(values: &Values<'_>) -> Option<u64> {
    values.get(Term::RecordedBy).map(|name| hash(plain(name)))
}

pub(super) fn states_effort(values: &Values<'_>) -> bool {
    values
        .either(Term::SamplingEffort, Term::SamplingProtocol)
        .is_some()
}

/// The days of a record; `None` where it has none.
pub(super) fn days(values: &Values<'_>) -> Result<Option<Days>, Problem> {
    let remedy = "give a date of ISO 8601, such as 2026-03-14 or 2026-03-14/2026-03-15";
    if let Some(text) = values.get(Term::EventDate) {
        let read = text.parse().map(Some);
        return read.map_err(|()| values.problem(Term::EventDate, "is no date", remedy));
    }
    let Some(year) = values.get(Term::Year) else {
        return Ok(None);
    };
    let (month, day) = (values.get(Term::Month), values.get(Term::Day));
    let read = Days::of_parts(year, month, day);
    read.map(Some)
        .ok_or_else(|| values.problem(Term::Year, "and its month make no date", remedy))
}

/// The first day, where all lie in one half-month.
pub(super) fn in_one_half_month(days: Days) -> Option<Date> {
    let Days { first, last } = days;
    let same = first.year() == last.year() && half_month_of(first) == half_month_of(last);
    same.then_some(first)
}

/// How uncertain a position is, metres; `None` where that is not said. Zero is no valid value of
/// the term and says nothing.
pub(super) fn uncertainty(values: &Values<'_>) -> Result<Option<f64>, Problem> {
    let Some(text) = values.get(Term::Uncertainty) else {
        return Ok(None);
    };
    let read = text
        .parse()
        .ok()
        .filter(|m: &f64| *m >= 0.0 && m.is_finite());
    let metres: f64 = read.ok_or_else(|| {
        values.problem(
            Term::Uncertainty,
            "is no uncertainty",
            "give metres, from 1",
        )
    })?;
    Ok((metres > 0.0).then_some(metres))
}

/// Whether the animal was there, or why the record cannot say so.
pub(super) fn presence(values: &Values<'_>) -> Result<Result<bool, LeftOut>, Problem> {
    let count: Option<f64> = values
        .get(Term::IndividualCount)
        .and_then(|text| text.parse().ok());
    let none = count == Some(0.0);
    let some = count.is_some_and(|count| count > 0.0);
    let Some(text) = values.get(Term::OccurrenceStatus) else {
        return Ok(Ok(!none));
    };
    Ok(match text.to_lowercase().as_str() {
        // The older words are of the vocabulary of 2009 for check lists.
        "present" | "common" | "irregular" | "rare" if none => Err(LeftOut::Contradictory),
        "absent" if some => Err(LeftOut::Contradictory),
        "present" | "common" | "irregular" | "rare" => Ok(true),
        "absent" => Ok(false),
        "doubtful" | "excluded" => Err(LeftOut::Doubtful),
        _ => {
            let remedy = "give \"present\" or \"absent\"";
            return Err(values.problem(Term::OccurrenceStatus, "is no status", remedy));
        }
    })
}

/// Why a record is none of a wild animal that somebody watched and knew.
pub(super) fn not_to_be_counted(values: &Values<'_>) -> Option<LeftOut> {
    let word = |term| {
        let text = values.get(term).unwrap_or_default().to_lowercase();
        text.rsplit(['/', ':'])
            .next()
            .unwrap_or_default()
            .replace([' ', '_', '-'], "")
    };
    match word(Term::BasisOfRecord).as_str() {
        "preservedspecimen" | "fossilspecimen" | "materialsample" | "materialcitation"
        | "materialentity" => return Some(LeftOut::NotWatched),
        "livingspecimen" => return Some(LeftOut::Captive),
        _ => {}
    }
    // Biodiversity Information Standards (TDWG) 2025, Degree of Establishment Controlled
    // Vocabulary, categories B1 to B3; "managed" and the like are of its forerunner.
    let kept = [
        "captive",
        "cultivated",
        "released",
        "managed",
        "domesticated",
    ];
    let is_kept = |term| kept.contains(&word(term).as_str());
    if is_kept(Term::DegreeOfEstablishment) || is_kept(Term::EstablishmentMeans) {
        return Some(LeftOut::Captive);
    }
    // The status is free text; these words mean disbelief in the schemes that we know (common
    // practice, no source). What nobody has looked at yet is no doubt.
    let status = values
        .get(Term::VerificationStatus)
        .unwrap_or_default()
        .to_lowercase();
    let disbelieved = [
        "reject",
        "incorrect",
        "not accepted",
        "unable to verify",
        "doubtful",
        "uncertain",
    ];
    let qualifier = values
        .get(Term::IdentificationQualifier)
        .unwrap_or_default()
        .to_lowercase();
    let unsure = qualifier.contains('?')
        || qualifier
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| ["cf", "aff", "vel", "uncertain", "possible", "probable"].contains(&word));
    let doubted = disbelieved.iter().any(|word| status.contains(word)) || unsure;
    doubted.then_some(LeftOut::Doubtful)
}

/// The way over the sphere of the Earth's mean radius, 6371.0088 km (Moritz 2000, Geodetic
/// Reference System 1980, Journal of Geodesy 74), which is up to half a per cent off the ellipsoid.
pub(super) fn distance_km(from_deg: [f64; 2], to_deg: [f64; 2]) -> f64 {
    let [(lat1, lon1), (lat2, lon2)] =
        [from_deg, to_deg].map(|[lat, lon]| (lat.to_radians(), lon.to_radians()));
    let half = ((lat2 - lat1) / 2.0).sin().powi(2)
        + lat1.cos() * lat2.cos() * ((lon2 - lon1) / 2.0).sin().powi(2);
    2.0 * 6_371.008_8 * half.sqrt().min(1.0).asin()
}
