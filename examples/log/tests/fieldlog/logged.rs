//! A visit that pictures show, and the log's entry of the same one.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use wrackline_log::photos::{Frame, FrameVisit, Logged, Whose, as_pictured, into_visits, logged};
use wrackline_log::{Outcome, Record, When};

use crate::helpers::{entry, gate};

const PAUSE: SignedDuration = SignedDuration::from_hours(3);

fn frames(instants: &[(&str, i8)]) -> Vec<FrameVisit> {
    let frame = |(at, rating): &(&str, i8)| Frame {
        path: at.into(),
        at: at.parse::<Timestamp>().unwrap(),
        focal_length_mm: None,
        rating: Some(*rating),
        conditions: None,
    };
    into_visits(instants.iter().map(frame).collect(), PAUSE)
}

fn record(texts: &[(&str, &str)]) -> Record {
    Record {
        entry: entry(texts),
        revision: 1,
        recorded: Timestamp::UNIX_EPOCH,
        why: None,
        conditions: None,
    }
}

fn found<'r>(visits: &[FrameVisit], records: &'r [Record]) -> Vec<Logged<'r>> {
    let whose = Whose {
        place: "tallow-ness",
        subject: "slate-knotling",
        pause: PAUSE,
        zone: &TimeZone::UTC,
    };
    logged(visits, records, whose)
}

#[test]
fn one_visit_is_one_place_one_subject_and_one_time() {
    let visits = frames(&[("2026-01-24T08:30:00Z", 0), ("2026-01-24T09:10:00Z", 4)]);
    let same = record(&[("id", "a"), ("when", "2026-01-24T08:52Z")]);
    let nearer = record(&[("id", "b"), ("when", "2026-01-24T06:52Z")]);
    let records = [nearer, same];
    assert_eq!(found(&visits, &records), [Logged::As(&records[1])]);
    // Another subject's, another place's and another tide's visit are no such thing.
    let mut other = record(&[("when", "2026-01-24T08:52Z")]);
    other.entry.subject = "shore-plovel".to_owned();
    let records = [
        other,
        record(&[("when", "2026-01-24T08:52Z"), ("place", "brindle")]),
        record(&[("when", "2026-01-24T21:10Z")]),
    ];
    assert_eq!(found(&visits, &records), [Logged::New]);
}

#[test]
fn an_entry_of_the_day_alone_is_that_day_s_visit_and_of_two_it_is_asked_which() {
    let records = [record(&[("id", "day"), ("when", "2026-01-24")])];
    let one = frames(&[("2026-01-24T08:30:00Z", 0)]);
    assert_eq!(found(&one, &records), [Logged::As(&records[0])]);
    let two = frames(&[("2026-01-24T08:30:00Z", 0), ("2026-01-24T20:30:00Z", 0)]);
    let asked = Logged::OneOfSeveral(&records[0]);
    assert_eq!(found(&two, &records), [asked, asked]);
    // Where the other of the two has an entry of its own, the day's is the one that is left.
    let timed = record(&[("id", "evening"), ("when", "2026-01-24T20:30Z")]);
    let records = [records[0].clone(), timed];
    let told = [Logged::As(&records[0]), Logged::As(&records[1])];
    assert_eq!(found(&two, &records), told);
}

fn pictured(before: &Record, visit: &FrameVisit) -> Result<wrackline_log::Entry, String> {
    let draft = as_pictured(&before.entry, visit, None, 4)?;
    Ok(gate().accept(&draft).unwrap())
}

#[test]
fn a_second_camera_and_later_ratings_amend() {
    let visits = frames(&[
        ("2026-01-24T08:30:00Z", 5),
        ("2026-01-24T08:40:00Z", 4),
        ("2026-01-24T08:50:00Z", 1),
    ]);
    let before = record(&[("pictures", "2"), ("selects", "0"), ("notes", "kept")]);
    let after = pictured(&before, &visits[0]).unwrap();
    assert_eq!((after.pictures, after.selects), (Some(3), Some(2)));
    assert_eq!(after.outcome, Outcome::Select);
    assert_eq!(after.notes.as_deref(), Some("kept"));
    assert_eq!(after.when, before.entry.when);
    // What agrees already stays as it is.
    let same = record(&[("pictures", "3"), ("selects", "2"), ("outcome", "select")]);
    assert_eq!(pictured(&same, &visits[0]).unwrap(), same.entry);
    // A day becomes a time.
    let day = record(&[("when", "2026-01-24")]);
    let at = pictured(&day, &visits[0]).unwrap().when;
    assert_eq!(at, When::At("2026-01-24T08:40:00Z".parse().unwrap()));
}

#[test]
fn what_the_log_has_more_of_is_not_taken_away() {
    let visits = frames(&[("2026-01-24T08:30:00Z", 0)]);
    let refused = pictured(&record(&[("pictures", "2")]), &visits[0]).unwrap_err();
    assert!(refused.contains("has 2 pictures, here are 1"), "{refused}");
    // A select that nobody counted stays; one that was counted and lost its rating goes.
    let uncounted = record(&[("outcome", "select")]);
    let outcome = |before: &Record| pictured(before, &visits[0]).unwrap().outcome;
    assert_eq!(outcome(&uncounted), Outcome::Select);
    let counted = record(&[("outcome", "select"), ("pictures", "1"), ("selects", "1")]);
    assert_eq!(outcome(&counted), Outcome::Picture);
}
