//! What is read of tables and archives, what is left out and for what, and what is refused.

use std::io::{Cursor, Write};

use wrackline_gather::presence::{
    Count, Error, LeftOut, Presence, Question, Source, State, presence,
};
use zip::write::SimpleFileOptions;

const HEAD: &str = "occurrenceID,eventDate,recordedBy,scientificName,decimalLatitude,\
    decimalLongitude,coordinateUncertaintyInMeters,occurrenceStatus,individualCount,basisOfRecord,\
    degreeOfEstablishment,identificationVerificationStatus,datasetName,license\n";

fn question() -> Question {
    Question::new(10.0, 20.0, vec!["Avis ficta".to_owned()])
}

fn ask(question: &Question, name: &str, bytes: impl Into<Vec<u8>>) -> Result<Presence, Error> {
    presence(question, [Ok(Source::of_bytes(name, bytes))])
}

/// One of the rows of a table: an observer's day with its animal, and what else is different.
fn row(id: &str, day: &str, observer: &str, name: &str, rest: &str) -> String {
    format!("{id},{day},{observer},{name},10.01,20.01,{rest}\n")
}

/// Two whole visits, one with the animal.
fn two_visits() -> String {
    let plain = "50,present,,,,,set,CC0";
    [
        HEAD.to_owned(),
        row("1", "2024-03-02", "Ann", "Avis ficta (Nobody 1900)", plain),
        row("2", "2024-03-02", "Ann", "Avis altera", plain),
        row("3", "2024-03-09", "Bob", "Avis altera", plain),
        row("4", "2024-03-09", "Bob", "Avis tertia", plain),
    ]
    .concat()
}

#[test]
fn visits_are_the_days_of_observers() {
    let told = ask(&question(), "t.csv", two_visits()).unwrap();
    assert_eq!(told.effort.half_months[4], Count { visits: 2, with: 1 });
    assert_eq!(
        (told.counted, told.of_animal, told.effort.observers),
        (4, 1, 2)
    );
    assert_eq!(told.sets[0].license, "CC0");
    // Two visits say nothing of a half-month, and the other half-months have none: unknown, never
    // absent.
    assert!(
        told.year
            .half_months
            .iter()
            .all(|half| half.state == State::Unknown)
    );
    assert_eq!(told.year.wide().to_string(), "all year");
    assert_eq!(told.year.narrow().to_string(), "never");
}

#[test]
fn tabs_and_semicolons_are_read_as_commas_are() {
    let expected = ask(&question(), "t.csv", two_visits()).unwrap();
    for (name, delimiter) in [("t.tsv", "\t"), ("t.csv", ";")] {
        let told = ask(&question(), name, two_visits().replace(',', delimiter)).unwrap();
        assert_eq!(told, expected);
    }
    let told = ask(&question(), "t.csv", format!("\u{feff}{}", two_visits())).unwrap();
    assert_eq!(told, expected);
    let iri = two_visits().replace("eventDate", "http://rs.tdwg.org/dwc/terms/eventDate");
    assert_eq!(ask(&question(), "t.csv", iri).unwrap(), expected);
}

#[test]
fn each_reason_to_leave_a_record_out_is_counted() {
    let cases = [
        (
            "9,2024-03-02,Cy,Avis ficta,11.0,20.0,50,present,,,,,set,CC0",
            LeftOut::Elsewhere,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,,20.0,50,present,,,,,set,CC0",
            LeftOut::NoPosition,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,10,20,10001,present,,,,,set,CC0",
            LeftOut::CoarsePosition,
        ),
        (
            "9,2024-03-02,Cy,,10,20,50,present,,,,,set,CC0",
            LeftOut::NoName,
        ),
        (
            "9,,Cy,Avis ficta,10,20,50,present,,,,,set,CC0",
            LeftOut::NoDate,
        ),
        (
            "9,2024-06,Cy,Avis ficta,10,20,50,present,,,,,set,CC0",
            LeftOut::CoarseDate,
        ),
        (
            "9,2019-03-02,Cy,Avis ficta,10,20,50,present,,,,,set,CC0",
            LeftOut::TooOld,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,10,20,50,,,PreservedSpecimen,,,set,CC0",
            LeftOut::NotWatched,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,10,20,50,,,LivingSpecimen,,,set,CC0",
            LeftOut::Captive,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,10,20,50,,,,released,,set,CC0",
            LeftOut::Captive,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,10,20,50,,,,,Rejected,set,CC0",
            LeftOut::Doubtful,
        ),
        (
            "9,2024-03-02,Cy,Avis ficta,10,20,50,present,0,,,,set,CC0",
            LeftOut::Contradictory,
        ),
        (
            "1,2024-03-02,Cy,Avis ficta,10,20,50,,,,,,set,CC0",
            LeftOut::Duplicate,
        ),
        // The same sighting in another set, under another identifier.
        (
            "9,2024-03-02,Ann,Avis ficta,10.01,20.01,50,,,,,,other,CC0",
            LeftOut::Duplicate,
        ),
    ];
    let question = Question {
        since: "2020-01-01".parse().ok(),
        ..question()
    };
    let without = ask(&question, "t.csv", two_visits()).unwrap();
    for (line, why) in cases {
        let told = ask(&question, "t.csv", format!("{}{line}\n", two_visits())).unwrap();
        let reasons: Vec<_> = told
            .left_out
            .iter()
            .map(|(why, number)| (*why, number.records))
            .collect();
        assert_eq!(reasons, [(why, 1)], "{line}");
        assert_eq!(told.effort, without.effort, "{line}");
    }
}

/// Who asks for an animal that is to be guarded must not lose it to a record that is only coarse.
#[test]
fn a_coarse_sighting_keeps_a_half_month_from_being_absent() {
    let mut table = HEAD.to_owned();
    let mut number = 0;
    for half in 0..24 {
        for visit in 0..60 {
            let day = format!(
                "20{:02}-{:02}-{:02}",
                10 + visit % 15,
                1 + half / 2,
                if half % 2 == 0 { 3 } else { 20 }
            );
            let observer = format!("O{visit}");
            for name in ["Avis altera", "Avis tertia", "Avis ficta"] {
                if name == "Avis ficta" && half >= 6 {
                    continue;
                }
                number += 1;
                table.push_str(&row(
                    &number.to_string(),
                    &day,
                    &observer,
                    name,
                    "50,,,,,,s,l",
                ));
            }
        }
    }
    let told = ask(&question(), "t.csv", table.clone()).unwrap();
    assert_eq!(told.year.half_months[13].state, State::Absent);
    assert_eq!(told.year.narrow().to_string(), "Jan - Mar");
    assert!(!told.year.wide_by_half_month()[13]);
    for (day, rest) in [
        ("2024-07", "50,,,,,,s,l"),
        ("2024-07-20", "20000,,,,,,s,l"),
        // Alone on its day: no list, and yet a sighting.
        ("2024-07-20", "50,,,,,,s,l"),
    ] {
        let table = format!("{table}{}", row("x", day, "Cy", "Avis ficta", rest));
        let told = ask(&question(), "t.csv", table).unwrap();
        assert_eq!(told.year.half_months[13].state, State::Absent);
        assert!(told.year.half_months[13].seen_otherwise && told.year.wide_by_half_month()[13]);
    }
    // Nobody believed these.
    for rest in ["50,,,,captive,,s,l", "50,,,,,rejected,s,l"] {
        let table = format!(
            "{table}{}",
            row("x", "2024-07-20", "Cy", "Avis ficta", rest)
        );
        assert!(
            !ask(&question(), "t.csv", table)
                .unwrap()
                .year
                .wide_by_half_month()[13]
        );
    }
}

/// An archive of files in memory.
fn archive(files: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in files {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

const EVENT_META: &str = r#"<archive xmlns="http://rs.tdwg.org/dwc/text/">
<core fieldsTerminatedBy="\t" fieldsEnclosedBy="" ignoreHeaderLines="1"
  rowType="http://rs.tdwg.org/dwc/terms/Event">
<files><location>event.txt</location></files><id index="0"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/parentEventID"/>
<field index="2" term="http://rs.tdwg.org/dwc/terms/eventDate"/>
<field index="3" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/>
<field index="4" term="http://rs.tdwg.org/dwc/terms/decimalLongitude"/>
<field term="http://rs.tdwg.org/dwc/terms/samplingProtocol" default="point count"/>
</core>
<extension rowType="http://rs.tdwg.org/dwc/terms/Occurrence">
<files><location>occurrence.csv</location></files><coreid index="0"/>
<field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/>
<field term="http://rs.tdwg.org/dwc/terms/occurrenceStatus" default="present"/>
</extension></archive>"#;

const EVENTS: &str = "id\tparent\tday\tlat\tlon\n\
    site\t\t2024-05-02/2024-05-09\t10\t20\n\
    a\tsite\t2024-05-02\t10\t20\nb\tsite\t2024-05-03\t10\t20\n\
    c\tsite\t2024-05-04\t10\t20\nfar\t\t2024-05-04\t40\t20\n";

#[test]
fn events_without_an_occurrence_are_visits_that_found_nothing() {
    let occurrences = "a,Avis ficta\nb,Avis altera\nfar,Avis ficta\n";
    let files = [
        ("meta.xml", EVENT_META),
        ("event.txt", EVENTS),
        ("occurrence.csv", occurrences),
    ];
    let told = ask(&question(), "events.zip", archive(&files)).unwrap();
    // a with it, b with another, c with nothing; the roof over them and the far one are none.
    assert_eq!(told.effort.half_months[8], Count { visits: 3, with: 1 });
    assert_eq!((told.effort.by_event, told.effort.with_effort), (3, 3));
    assert_eq!((told.records, told.counted), (3, 2));
    assert_eq!(told.left_out[0].0, LeftOut::Elsewhere);
}

#[test]
fn an_archive_of_occurrences_without_headings() {
    let mut meta = String::from(
        "<archive><core rowType=\"http://rs.tdwg.org/dwc/terms/Occurrence\">\
         <files><location>o.csv</location></files><id index=\"0\"/>",
    );
    for (index, term) in HEAD.trim().split(',').enumerate() {
        meta.push_str(&format!("<field index=\"{index}\" term=\"{term}\"/>"));
    }
    meta.push_str("</core></archive>");
    let table = two_visits();
    let (_, rows) = table.split_once('\n').unwrap();
    let told = ask(
        &question(),
        "o.zip",
        archive(&[("meta.xml", &meta), ("o.csv", rows)]),
    )
    .unwrap();
    assert_eq!(told, ask(&question(), "t.csv", table.clone()).unwrap());
    let headed = meta.replace("<core ", "<core ignoreHeaderLines=\"1\" ");
    let files = [("meta.xml", headed.as_str()), ("o.csv", &table)];
    assert_eq!(ask(&question(), "o.zip", archive(&files)).unwrap(), told);
}

#[track_caller]
fn refused(bytes: impl Into<Vec<u8>>) -> String {
    ask(&question(), "t", bytes).unwrap_err().to_string()
}

#[test]
fn what_is_wrong_is_told_with_its_place() {
    let with = |line: &str| refused(format!("{}{line}\n", two_visits()));
    let latitude = with("9,2024-03-02,Cy,Avis ficta,95,20,50,,,,,,s,l");
    assert!(
        latitude.starts_with("t:6:28: decimalLatitude: \"95\" is no position; give decimal"),
        "{latitude}"
    );
    let date = with("9,02/03/2024,Cy,Avis ficta,10,20,50,,,,,,s,l");
    assert!(
        date.starts_with("t:6:3: eventDate: \"02/03/2024\" is no date; give a date of ISO"),
        "{date}"
    );
    assert!(
        with("9,2024-03-02,Cy,Avis ficta,10,20,50,perhaps,,,,,s,l").contains("occurrenceStatus")
    );
    assert!(with("9,2024-03-02,Cy,Avis ficta,10,20,-1,,,,,,s,l").contains("is no uncertainty"));
    let escape = with("9,20\u{1b}[31m,Cy,Avis ficta,10,20,50,,,,,,s,l");
    assert!(escape.contains("\"20 [31m\" is no date"), "{escape}");
    assert!(with("9,2024").contains("t:6:1: has 2 fields, the headings 14; mend the line"));
    assert!(refused("").contains("is empty"));
    assert!(refused("a,b\n1,2\n").contains("decimalLatitude: is not among the headings"));
    let twice = two_visits().replace("license\n", "eventDate\n");
    assert!(refused(twice).contains("eventDate: stands twice"));
}

#[test]
fn unreadable_records_are_left_out_where_that_is_asked_for() {
    let question = Question {
        skip_unreadable: true,
        ..question()
    };
    let table = format!(
        "{}9,2024\n9,someday,Cy,Avis ficta,10,20,50,,,,,,s,l\n",
        two_visits()
    );
    let told = ask(&question, "t.csv", table).unwrap();
    assert_eq!(told.left_out.len(), 1);
    assert_eq!(
        (told.left_out[0].0, told.left_out[0].1.records),
        (LeftOut::Unreadable, 2)
    );
}

#[test]
fn archives_that_are_broken_or_grow_without_end_are_refused() {
    let whole = archive(&[("meta.xml", EVENT_META), ("event.txt", EVENTS)]);
    assert!(refused(&whole[..whole.len() - 30]).contains("is no whole archive"));
    assert!(refused(whole.clone()).contains("t/occurrence.csv:1:1: cannot be read"));
    assert!(refused(archive(&[("x", "y")])).contains("t/meta.xml:1:1: cannot be read"));
    let without = EVENT_META.replace("terms/Occurrence", "terms/MeasurementOrFact");
    let files = [("meta.xml", without.as_str()), ("event.txt", EVENTS)];
    assert!(refused(archive(&files)).contains("events without their occurrences"));
    // A few kilobytes that become as many megabytes.
    let bomb = "0".repeat(16 << 20);
    let bombed = archive(&[
        ("meta.xml", EVENT_META),
        ("event.txt", EVENTS),
        ("occurrence.csv", &bomb),
    ]);
    assert!(bombed.len() < 1 << 20);
    assert!(refused(bombed).contains("does not end within 1024 kB"));
    assert!(refused(archive(&[("meta.xml", &bomb)])).contains("holds more than 1 MB"));
}

#[test]
fn nothing_is_said_of_what_nobody_could_have_noted() {
    let only = |name: &str| Question {
        names: vec![name.to_owned()],
        ..question()
    };
    let unheard = ask(&only("Avis fictta"), "t", two_visits())
        .unwrap_err()
        .to_string();
    assert!(
        unheard.contains("there is no animal \"Avis fictta\""),
        "{unheard}"
    );
    let far = Question {
        latitude_deg: -10.0,
        ..question()
    };
    assert!(matches!(
        ask(&far, "t", two_visits()),
        Err(Error::Elsewhere { records: 4, .. })
    ));
    // The animal alone: every visit has it, and nobody looked in vain.
    let alone = two_visits()
        .replace("Avis altera", "Avis ficta")
        .replace("Avis tertia", "Avis ficta");
    let one = Question {
        shortest_list: 1,
        ..question()
    };
    assert_eq!(ask(&one, "t", alone.clone()).unwrap_err(), Error::NoEffort);
    let short = ask(&question(), "t", alone).unwrap_err().to_string();
    assert!(short.contains("2 visits with too few kinds"), "{short}");
    let senseless = Question {
        radius_km: f64::NAN,
        ..question()
    };
    assert!(
        ask(&senseless, "t", two_visits())
            .unwrap_err()
            .to_string()
            .contains("the radius")
    );
    assert_eq!(
        ask(&only(" "), "t", two_visits()).unwrap_err(),
        Error::Nameless
    );
}

#[test]
fn a_folder_is_no_table() {
    let folder = tempfile::tempdir().unwrap();
    let told = Source::open(folder.path()).unwrap_err().to_string();
    assert!(told.contains("it is a folder"), "{told}");
    assert!(Source::open(&folder.path().join("none.csv")).is_err());
}

proptest::proptest! {
    /// Whatever stands in a table: what was seen or a message, and what is said keeps its bounds.
    #[test]
    fn any_rows_are_read_or_refused(
        rows in proptest::collection::vec("[-0-9a-z,\"\t\n./TZ ]{0,80}", 0..12),
        skip_unreadable: bool,
    ) {
        let table = format!("{}{}", two_visits(), rows.join("\n"));
        let question = Question { skip_unreadable, ..question() };
        if let Ok(told) = ask(&question, "t", table) {
            let year = &told.year;
            for (wide, half) in year.wide_by_half_month().iter().zip(&year.half_months) {
                let share = half.share;
                let (low, high) = (share.interval.low, share.interval.high);
                assert!(0.0 <= low && low <= share.mean && share.mean <= high && high <= 1.0);
                assert!(*wide || half.state == State::Absent);
            }
        }
    }
}
