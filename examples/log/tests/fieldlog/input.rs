//! Input that is wrong: every problem is named with its line, and nothing is taken.

use wrackline_log::{Error, Problem, from_csv, from_json_lines};

use crate::helpers::gate;

fn problems(result: Result<Vec<wrackline_log::Entry>, Error>) -> Vec<Problem> {
    match result {
        Err(Error::Input { problems, .. }) => problems,
        other => panic!("{other:?}"),
    }
}

fn csv_problems(text: &[u8]) -> Vec<String> {
    problems(from_csv("log.csv", text, &gate()))
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[track_caller]
fn one_csv_problem(text: &str, wanted: &[&str]) {
    let problems = csv_problems(text.as_bytes());
    assert_eq!(problems.len(), 1, "{problems:?}");
    for part in wanted {
        assert!(
            problems[0].contains(part),
            "'{}' does not say '{part}'",
            problems[0]
        );
    }
}

#[test]
fn rows_in_any_order_of_columns_with_names_or_ids() {
    let text = "\u{feff}outcome,subject,seat,when,notes\r\n\
                Select,Slate Knotling,b,2026-01-24 09:52,\"said \"\"hello\"\",\nand left\"\r\n\
                \r\n\
                called off,slate-knotling,,2026-01-25,\r\n";
    let error = csv_problems(text.as_bytes());
    assert_eq!(error, ["line 5, place: is missing; every entry needs it"]);
    let entries = from_csv(
        "log.csv",
        text.replace("knotling,,", "knotling,C,").as_bytes(),
        &gate(),
    )
    .unwrap();
    assert_eq!(entries.len(), 2);
    assert_eq!(entries[0].place, "tallow-ness");
    // The gate's zone is one hour ahead in winter.
    assert_eq!(entries[0].when.to_string(), "2026-01-24T08:52:00Z");
    assert_eq!(
        entries[0].notes.as_deref(),
        Some("said \"hello\",\nand left")
    );
    assert_eq!(entries[1].place, "brindle");
}

const HEAD: &str = "id,when,place,seat,subject,outcome,count,wind,pressure_hpa,notes\n";
const ROW: &str = "a,2026-01-24T08:52Z,tallow-ness,A,slate-knotling,picture,12,W3,1013,\n";

#[test]
fn each_wrong_field_is_named_with_its_line_and_what_to_do() {
    for (wrong, right, wanted) in [
        (
            "picture",
            "pitcure",
            &["line 3", "outcome", "did you mean picture"][..],
        ),
        (
            "tallow-ness",
            "talow-ness",
            &["place", "\"talow-ness\"", "did you mean tallow-ness"],
        ),
        (
            "tallow-ness",
            "Elsewhere",
            &["place", "known: tallow-ness, brindle"],
        ),
        (",A,", ",C,", &["seat", "'brindle'"]),
        (
            "2026-01-24T08:52Z",
            "2036-01-24T08:52Z",
            &["when", "future"],
        ),
        ("2026-01-24T08:52Z", "2026-11-26", &["when", "future"]),
        ("2026-01-24T08:52Z", "0026-01-24", &["when", "before 1900"]),
        (
            "2026-01-24T08:52Z",
            "24.1.2026",
            &["when", "neither a date nor a time"],
        ),
        ("2026-01-24T08:52Z", "2026-02-30", &["when"]),
        // The clocks of the gate's zone go forward at 02:00 on 29 March and back at 03:00 on 25
        // October 2026.
        (
            "2026-01-24T08:52Z",
            "2026-03-29 02:30",
            &["when", "went forward", "offset"],
        ),
        (
            "2026-01-24T08:52Z",
            "2026-10-25 02:30",
            &["when", "twice", "+02", "+01"],
        ),
        (",12,", ",-1,", &["count", "whole number"]),
        (",12,", ",12.5,", &["count", "whole number"]),
        (",12,", ",0,", &["count", "they were there"]),
        (",W3,", ",W13,", &["wind", "W13"]),
        (",1013,", ",103,", &["pressure_hpa", "850 to 1100"]),
        (",1013,", ",NaN,", &["pressure_hpa", "850 to 1100"]),
        (",1013,", ",inf,", &["pressure_hpa", "850 to 1100"]),
        (",1013,", ",,", &["row", "11 columns"]),
        ("picture,12", "picture", &["row", "9 columns"]),
        (",1013,", ",\"1013,", &["line 3", "quote", "never closed"]),
        (",1013,\n", ",1013,5\" lens\n", &["quote inside"]),
    ] {
        let row = ROW.replacen(wrong, right, 1).replacen("a,", "b,", 1);
        let row = if right == ",," {
            row.replacen(",,", ",,,", 1)
        } else {
            row
        };
        one_csv_problem(&format!("{HEAD}{ROW}{row}"), wanted);
    }
}

#[test]
fn all_problems_come_at_once() {
    let text = format!(
        "{HEAD}{}{}{ROW}{ROW}",
        ROW.replace("picture", "x").replace("W3", "y"),
        ROW.replace("A,", "Z,")
    );
    let problems = csv_problems(text.as_bytes());
    assert_eq!(problems.len(), 4, "{problems:?}");
    assert!(
        problems[3].contains("line 5") && problems[3].contains("line 4 already"),
        "{problems:?}"
    );
}

#[test]
fn wrong_heads() {
    one_csv_problem("", &["empty"]);
    one_csv_problem(HEAD, &["no entry"]);
    let problems = csv_problems(
        b"when,place,sbject,outcome,when\n2026-01-24,tallow-ness,x,picture,2026-01-24\n",
    );
    assert!(
        problems
            .iter()
            .any(|p| p.contains("'sbject'") && p.contains("did you mean subject")),
        "{problems:?}"
    );
    assert!(
        problems.iter().any(|p| p.contains("'when' stands twice")),
        "{problems:?}"
    );
    assert!(
        problems.iter().any(|p| p.contains("'subject' is missing")),
        "{problems:?}"
    );
}

#[test]
fn bytes_that_are_no_text() {
    let mut text = format!("{HEAD}{ROW}").into_bytes();
    let at = text.len() - 1;
    text.insert(at, 0xe9);
    assert!(csv_problems(&text)[0].contains("UTF-8"));
}

#[test]
fn json_lines() {
    let good = concat!(
        r#"{"id":"a","when":"2026-01-24T08:52Z","seat":"A","subject":"slate-knotling","#,
        r#""outcome":"picture","count":12,"pressure_hpa":1013.5,"air_c":null}"#
    );
    let entries = from_json_lines("log.jsonl", good.as_bytes(), &gate()).unwrap();
    assert_eq!(
        (entries[0].count, entries[0].pressure_hpa),
        (Some(12), Some(1013.5))
    );
    let wrong = format!(
        "{good}\n\n[1]\n{{\"id\":\n{}\n{}",
        good.replace("count", "cuont"),
        good.replace("12", "true")
    );
    let said: Vec<String> = problems(from_json_lines("log.jsonl", wrong.as_bytes(), &gate()))
        .iter()
        .map(ToString::to_string)
        .collect();
    assert!(
        said[0].starts_with("line 3") && said[1].starts_with("line 4"),
        "{said:?}"
    );
    assert!(
        said.iter()
            .any(|p| p.starts_with("line 5, cuont") && p.contains("did you mean count")),
        "{said:?}"
    );
    assert!(
        said.iter().any(|p| p.starts_with("line 6, count")),
        "{said:?}"
    );
}
