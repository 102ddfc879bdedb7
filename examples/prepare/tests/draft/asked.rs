//! Drafts by questions: answered, broken off and gone on with.

use crate::helpers::{demo, done, open, refused, room, run, written};

/// The answers for the six waypoints of the demo, which say what they are.
const ANSWERS: &str = "UTC
port.toml
slate knotling
0.24
85
60
Sep-Apr
6.8

yes
9.1
dry
35
45
yes
8.75
stay
5.6
32
0.3
30
55
65
never
30
40
";

#[test]
fn answers_become_a_scenario() {
    let folder = room();
    let arguments = [&demo(), "--ask", "--output", "draft.toml"];
    let (printed, said) = done(&run(folder.path(), &arguments, ANSWERS));
    assert!(said.contains("next high water at Oskerrow Water"), "{said}");
    assert!(said.contains("next sunset there"), "{said}");
    assert!(printed.contains("2 places, 3 seats, 0 closed"), "{printed}");
    let scenario = open(folder.path(), "draft.toml");
    assert_eq!(scenario.seats()[0].ground_m, Some(9.1));
    assert!(scenario.way_in_of(&scenario.seats()[1]).is_some());
    assert_eq!(written(folder.path()), ["draft.toml"]);
}

#[test]
fn what_is_broken_off_is_kept_and_nothing_is_written() {
    let folder = room();
    let arguments = [&demo(), "--ask", "--output", "draft.toml"];
    let cut = ANSWERS.find("0.24").unwrap();
    let said = refused(&run(folder.path(), &arguments, &ANSWERS[..cut]));
    assert!(said.contains("kept in draft.toml.draft"), "{said}");
    assert_eq!(written(folder.path()), ["draft.toml.draft"]);
    let rest = format!("yes\n{}", &ANSWERS[cut..]);
    let (printed, said) = done(&run(folder.path(), &arguments, &rest));
    assert!(
        said.contains("A draft was not finished, of 3 answers"),
        "{said}"
    );
    assert!(printed.contains("0 closed"), "{printed}");
    assert_eq!(written(folder.path()), ["draft.toml"]);
}

#[test]
fn without_a_file_everything_is_asked_and_a_file_that_is_there_is_not_taken() {
    let folder = room();
    std::fs::write(folder.path().join("my-coast.toml"), "mine").unwrap();
    let answers = "nowhere.gpx\n\nTallow Ness\n53.4016, 1.202\n53.4007, 1.202\nUTC\n\n\n\n\n\n\n\
                   coast.toml\n";
    let (_, said) = done(&run(folder.path(), &["--ask"], answers));
    assert!(said.contains("nowhere.gpx: cannot be read"), "{said}");
    assert!(
        said.contains("my-coast.toml: is there already; give another name"),
        "{said}"
    );
    let scenario = open(folder.path(), "coast.toml");
    assert_eq!(scenario.closures().len(), 1);
    let mine = std::fs::read_to_string(folder.path().join("my-coast.toml")).unwrap();
    assert_eq!(mine, "mine");
}
