//! The questions, asked of a script.

use jiff::Timestamp;
use wrackline_gather::draft::{
    Access, Animal, Answer, AskError, Given, Interview, Water, Waypoint, interview,
};
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario, Tide};

use crate::support::{point, read};

fn tide(path: &str) -> Result<Tide, String> {
    if path != "port.toml" {
        return Err("there is no such file".to_owned());
    }
    let demo = Scenario::parse(DEMO_NAME, DEMO).unwrap();
    Ok(demo.tide().unwrap().clone())
}

fn points(path: &str) -> Result<Vec<Waypoint>, String> {
    if path != "points.gpx" {
        return Err(format!("{path}: cannot be read"));
    }
    Ok(vec![
        point(53.4016, 1.202, "Tallow Ness", None),
        point(53.4007, 1.202, "Wall Seat", None),
        point(53.3, 1.2, "Cafe", None),
    ])
}

fn given() -> Given<'static> {
    Given {
        waypoints: None,
        zone: None,
        port: None,
        include: Vec::new(),
        animal: Animal::Unknown,
        output: None,
        // 28 November 2026, noon.
        now: Timestamp::from_second(1_795_867_200).unwrap(),
        load_waypoints: &points,
        load_port: &tide,
        refuse_output: &|path| (path == "taken.toml").then(|| "is there already".to_owned()),
    }
}

/// What a script of answers comes to, and all that was printed and kept.
fn asked(
    given: &Given<'_>,
    kept: Vec<Answer>,
    script: &str,
) -> (Result<Interview, AskError>, String, Vec<Answer>) {
    let (mut printed, mut last) = (Vec::new(), Vec::new());
    let keep = |answers: &[Answer]| last = answers.to_vec();
    let found = interview(given, kept, &mut script.as_bytes(), &mut printed, keep);
    (found, String::from_utf8(printed).unwrap(), last)
}

const WHOLE: &str = "points.gpx
place
seat
nothing
Europe/London
port.toml
slate knotling
0.24
85
60
Sep-Apr
6.8
yes
9.1
stay the tide
5.6
32
0.3
30
35
45

";

#[test]
fn a_whole_interview() {
    let script = WHOLE.replace("45\n\n", "45\ntaken.toml\n\n");
    let (found, printed, _) = asked(&given(), Vec::new(), &script);
    assert!(printed.contains("is there already"), "{printed}");
    let Interview { draft, output } = found.unwrap();
    assert_eq!(output, "my-coast.toml");
    let facts = &draft.sketch.seats[0].facts;
    assert!(matches!(
        &facts.water,
        Water::Levels(levels) if levels.ground_m == 9.1 && matches!(levels.access, Access::Stay(_))
    ));
    assert_eq!(draft.include, ["port.toml"]);
    let text = draft.to_toml();
    let scenario = read(&text);
    assert_eq!(scenario.closures().len(), 0, "{text}");
    assert_eq!(scenario.zone_name(), "Europe/London");
    for told in [
        "53\u{b0}24'05.8\" N, 1\u{b0}12'07.2\" E: temperate, northern half",
        "from Wall Seat: 100.2 m at 0.0 degrees",
        "next sunset there, over an open horizon: Sat 28 Nov 2026 15:",
        "next high water at Oskerrow Water, predicted: ",
    ] {
        assert!(printed.contains(told), "{told}\n{printed}");
    }
}

#[test]
fn open_answers_leave_seats_closed() {
    let (found, ..) = asked(&given(), Vec::new(), "points.gpx\n.\n");
    let draft = found.unwrap().draft;
    assert_eq!(draft.sketch.seats.len(), 1, "the cafe is too far off");
    assert_eq!(draft.animal, Animal::Unknown);
    let scenario = read(&draft.to_toml());
    assert_eq!(scenario.closures().len(), 1);
}

#[test]
fn a_typed_position_is_enough() {
    let script = "\nTallow \"Ness\"\n120, 53\n53.4016 1.202\n53.4007; 1.202\nnowhere\nUTC\n.\n";
    let (found, printed, _) = asked(&given(), Vec::new(), script);
    let draft = found.unwrap().draft;
    assert!(
        printed.contains("are latitude and longitude exchanged?"),
        "{printed}"
    );
    assert!(
        printed.contains("\"nowhere\" is not a known time zone"),
        "{printed}"
    );
    assert_eq!(draft.sketch.places[0].name, "Tallow \"Ness\"");
    let scenario = read(&draft.to_toml());
    assert!((scenario.seats()[0].distance_m - 100.2).abs() < 1e-9);
}

#[test]
fn there_is_a_way_back() {
    let script = WHOLE.replacen("Sep-Apr\n", "All year round\nSep-Mar\n<\nSep-Apr\n", 1);
    let (found, printed, _) = asked(&given(), Vec::new(), &format!("<\n{script}"));
    assert!(printed.contains("this is the first question"));
    let Animal::Known(animal) = found.unwrap().draft.animal else {
        panic!("the animal is known\n{printed}");
    };
    assert_eq!(animal.present, "Sep-Apr");
}

#[test]
fn what_was_broken_off_anywhere_can_be_gone_on_with() {
    let (whole, ..) = asked(&given(), Vec::new(), WHOLE);
    let whole = whole.unwrap();
    let lines: Vec<&str> = WHOLE.lines().collect();
    for cut in 0..lines.len() {
        let begun = lines[..cut].join("\n") + "\n";
        let begun = if cut == 0 { "" } else { &begun };
        let (stopped, _, kept) = asked(&given(), Vec::new(), begun);
        assert!(matches!(stopped, Err(AskError::Ended(_))), "after {cut}");
        assert_eq!(kept.len(), cut);
        let rest = lines[cut..].join("\n") + "\n";
        let (found, ..) = asked(&given(), kept, &rest);
        assert_eq!(found.unwrap(), whole, "after {cut}");
    }
}

#[test]
fn waypoints_that_no_answer_can_mend_end_the_questions() {
    let mut seat = point(53.4, 1.2, "Wall Seat", None);
    seat.kind = Some(wrackline_gather::draft::Kind::Seat);
    let given = Given {
        waypoints: Some(("points.gpx".to_owned(), vec![seat])),
        ..given()
    };
    let (found, ..) = asked(&given, Vec::new(), "UTC\n");
    let told = found.unwrap_err().to_string();
    assert!(told.contains("mark where the animals are"), "{told}");
}
