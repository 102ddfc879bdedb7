//! Laws: what is exported comes back, and no bytes whatever bring a reader down.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use proptest::prelude::*;
use wrackline_log::photos::read;
use wrackline_log::{
    Columns, Draft, Entry, FIELDS, Outcome, Record, Wind, from_csv, from_json_lines, to_csv,
    to_json_lines,
};

use crate::helpers::{entry, gate, room};

fn some(text: &str) -> impl Strategy<Value = Option<String>> + use<> {
    proptest::option::of(Just(text.to_owned()))
}

prop_compose! {
    /// An entry that the gate accepts, with anything at all in its notes.
    fn any_entry()(
        second in 0_i64..1_700_000_000,
        seat in prop_oneof![Just(None), Just(Some("A")), Just(Some("B"))],
        rung in 2_usize..5,
        count in proptest::option::of(1_u32..100_000),
        level in proptest::option::of(-20.0..30.0_f64),
        pressure in proptest::option::of(850.0..1100.0_f64),
        wind in proptest::option::of((0_u8..16, 1_u8..=12)),
        unease in proptest::option::of(0_u8..=4),
        sky in some("overcast"),
        notes in proptest::option::of(prop_oneof!["(?s).{1,60}", "'{0,2}[=+@-].{0,5}"]),
    ) -> Entry {
        let mut draft = Draft::default();
        let mut set = |name: &str, text: Option<String>| {
            draft.set(name, &text.unwrap_or_default()).unwrap();
        };
        set("id", Some("e".to_owned()));
        set("when", Some(Timestamp::from_second(second).unwrap().to_string()));
        set("place", Some("tallow-ness".to_owned()));
        set("seat", seat.map(str::to_owned));
        set("subject", Some("slate-knotling".to_owned()));
        set("outcome", Some(Outcome::ALL[rung].word().to_owned()));
        set("count", count.map(|n| n.to_string()));
        set("observed_level_m", level.map(|x| x.to_string()));
        set("pressure_hpa", pressure.map(|x| x.to_string()));
        set("wind", wind.map(|(point, force)| Wind::From { point, force }.to_string()));
        set("unease", unease.map(|n| n.to_string()));
        set("sky", sky);
        set("notes", notes);
        gate().accept(&draft).unwrap()
    }
}

fn record(entry: &Entry) -> Record {
    Record {
        entry: entry.clone(),
        revision: 1,
        recorded: Timestamp::UNIX_EPOCH,
        why: None,
        conditions: None,
    }
}

proptest! {
    #[test]
    fn what_is_exported_comes_back(entry in any_entry()) {
        let records = [record(&entry)];
        let mut csv = Vec::new();
        to_csv(&records, Columns::WithConditions, &mut csv).unwrap();
        prop_assert_eq!(from_csv("x", &csv, &gate()).unwrap(), vec![entry.clone()]);
        let mut lines = Vec::new();
        to_json_lines(&records, Columns::WithConditions, &mut lines).unwrap();
        prop_assert_eq!(from_json_lines("x", &lines, &gate()).unwrap(), vec![entry]);
    }

    /// No text cell of an export begins like a formula.
    #[test]
    fn an_export_holds_no_formula(notes in "'{0,2}[=+@-].{0,5}") {
        let mut entry = entry(&[]);
        entry.notes = Some(notes.clone());
        let mut csv = Vec::new();
        to_csv(&[record(&entry)], Columns::Noted, &mut csv).unwrap();
        let mut reader = csv::Reader::from_reader(&csv[..]);
        let row = reader.records().next().unwrap().unwrap();
        let cell = row.iter().next_back().unwrap();
        prop_assert!(cell.starts_with('\''), "{}", cell);
        prop_assert_eq!(&cell[1..], notes.as_str());
    }

    #[test]
    fn an_entry_is_its_draft(entry in any_entry()) {
        prop_assert_eq!(entry.draft().entry(&TimeZone::UTC).unwrap(), entry);
    }

    /// Any bytes, and bytes that begin like a log, get an answer.
    #[test]
    fn no_bytes_bring_an_import_down(
        bytes in proptest::collection::vec(any::<u8>(), 0..400),
        cut in 0_usize..400,
    ) {
        let header = FIELDS.map(|field| field.name).join(",");
        let row = "when,seat,subject,outcome\n2026-01-01,A,slate-knotling,picture\n";
        for start in ["", header.as_str(), row] {
            let mut input = start.as_bytes().to_vec();
            input.extend(&bytes[..cut.min(bytes.len())]);
            let _ = from_csv("x", &input, &gate());
            let _ = from_json_lines("x", &input, &gate());
        }
    }

    /// The same for texts made of what CSV is made of, where the corner cases are.
    #[test]
    fn no_quotes_bring_an_import_down(text in "[a,\"\r\n ]{0,60}") {
        let _ = from_csv("x", text.as_bytes(), &gate());
        let input = format!("when,seat,subject,outcome,notes\n{text}");
        if let Err(error) = from_csv("x", input.as_bytes(), &gate()) {
            // Two counts of the rows must never differ: one would be lost.
            prop_assert!(!error.to_string().contains("were counted"), "{}", error);
        }
    }

    #[test]
    fn no_bytes_bring_the_reader_of_pictures_down(
        bytes in proptest::collection::vec(any::<u8>(), 0..300),
    ) {
        let (_folder, path) = room("x.jpg");
        let exif = b"\xff\xd8\xff\xe1\x01\x00Exif\0\0II*\0\x08\0\0\0";
        let xmp = b"\xff\xd8\xff\xe1\x00\x40http://ns.adobe.com/xap/1.0/\0";
        for start in [&b""[..], exif, xmp] {
            std::fs::write(&path, [start, &bytes].concat()).unwrap();
            let _ = read(&path);
        }
    }
}
