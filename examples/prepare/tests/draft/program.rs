//! Drafts by flags.

use wrackline_plan::season::{Request, season};

use crate::helpers::{demo, done, open, room, run, written};

#[test]
fn the_demo_as_text() {
    let folder = room();
    let output = run(folder.path(), &[&demo(), "--zone", "UTC"], "");
    let (text, said) = done(&output);
    // The path of this machine is none of the snapshot's business.
    insta::assert_snapshot!(text.replace(&demo(), "waypoints.gpx"));
    assert!(said.contains("warning: draft:"), "{said}");
    assert!(written(folder.path()).is_empty());
}

#[test]
fn a_draft_in_a_folder_of_its_own_finds_what_it_includes() {
    let folder = room();
    std::fs::create_dir(folder.path().join("coast")).unwrap();
    let arguments = [
        &demo(),
        "--port",
        "port.toml",
        "--include",
        "animals.toml",
        "--subject",
        "slate-knotling",
        "--zone",
        "Europe/London",
        "--output",
        "coast/draft.toml",
    ];
    let (printed, _) = done(&run(folder.path(), &arguments, ""));
    assert_eq!(
        printed,
        "Wrote coast/draft.toml: 2 places, 3 seats, 3 closed until what the lines with \"= ?\" ask \
         for is known.\n"
    );
    let scenario = open(folder.path(), "coast/draft.toml");
    assert_eq!(scenario.tide().unwrap().name, "Oskerrow Water");
    assert_eq!(scenario.zone_name(), "Europe/London");
    assert_eq!(scenario.project_subject().unwrap().id, "slate-knotling");
    let request = Request::new(jiff::civil::date(2026, 12, 1), 120);
    let season = season(&scenario, request).unwrap();
    assert_eq!(season.windows_in_all, 0, "no water is known");
    let never = &season.seats[0].never;
    assert!(
        never.iter().any(|why| why.reason.contains("`access`")),
        "{never:?}"
    );
}

#[test]
fn inland_is_what_somebody_said() {
    let folder = room();
    let (text, _) = done(&run(folder.path(), &[&demo(), "--inland"], ""));
    let said = "access = \"dry\"  # the tide never reaches it or its way, you said";
    assert_eq!(text.matches(said).count(), 3, "{text}");
    // The walks are still to be timed.
    assert_eq!(
        text.matches("not known yet: in_minutes; out_minutes\"")
            .count(),
        3
    );
}

#[test]
fn a_named_animal_waits_to_be_described() {
    let folder = room();
    let arguments = [
        &demo(),
        "--subject",
        "reed \"owl\"",
        "--include",
        "animals.toml",
    ];
    let (text, _) = done(&run(folder.path(), &arguments, ""));
    assert!(text.contains("# name = \"reed \\\"owl\\\"\""), "{text}");
    assert!(text.contains("# subjects = ?"), "{text}");
}

#[test]
fn a_file_that_is_there_is_replaced_only_when_asked() {
    let folder = room();
    let path = folder.path().join("draft.toml");
    std::fs::write(&path, "mine").unwrap();
    let mut arguments = vec![demo(), "--output".to_owned(), "draft.toml".to_owned()];
    let plain: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let said = crate::helpers::refused(&run(folder.path(), &plain, ""));
    assert!(said.contains("draft.toml: is there already; give another name, or --replace"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");
    arguments.push("--replace".to_owned());
    let plain: Vec<&str> = arguments.iter().map(String::as_str).collect();
    done(&run(folder.path(), &plain, ""));
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .starts_with("# A draft from ")
    );
}

#[cfg(unix)]
#[test]
fn a_device_takes_a_draft() {
    let folder = room();
    done(&run(folder.path(), &[&demo(), "--output", "/dev/null"], ""));
}

/// Two invented days of a table: the port of a draft, without constants.
#[test]
fn a_printed_table_is_a_port() {
    let folder = room();
    let table = "day,time,height_m,water\n2026-12-01,01:10,1.2,low\n2026-12-01,07:20,7.1,high\n\
                 2026-12-01,13:30,1.4,low\n2026-12-01,19:50,6.9,high\n";
    std::fs::write(folder.path().join("table.csv"), table).unwrap();
    std::fs::create_dir(folder.path().join("coast")).unwrap();
    let demo = demo();
    let mut arguments = vec![demo.as_str(), "--turns", "table.csv"];
    let said = crate::helpers::refused(&run(folder.path(), &arguments, ""));
    assert!(said.contains("--datum"), "{said}");
    arguments.extend(["--datum", "chart datum", "--output", "coast/draft.toml"]);
    let said = crate::helpers::refused(&run(folder.path(), &arguments, ""));
    assert!(said.contains("turns_zone"), "{said}");
    assert!(written(&folder.path().join("coast")).is_empty());
    arguments.extend(["--turns-zone", "UTC", "--port-name", "Tallow \"Quay\""]);
    done(&run(folder.path(), &arguments, ""));
    let scenario = open(folder.path(), "coast/draft.toml");
    assert_eq!(scenario.tide().unwrap().name, "Tallow \"Quay\"");
    let text = std::fs::read_to_string(folder.path().join("coast/draft.toml")).unwrap();
    assert!(text.contains("turns = \"../table.csv\""), "{text}");
}
