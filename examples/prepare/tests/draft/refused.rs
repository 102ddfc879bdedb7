//! Wrong input: what is said, and that nothing is written.

use crate::helpers::{demo, refused, room, run, written};

#[test]
fn what_is_no_waypoints_is_refused_and_nothing_is_written() {
    let folder = room();
    let write = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    write("empty.gpx", "");
    write("table.csv", "name,lat,lon\nx,1,2\n");
    let broken = "<gpx version=\"1.1\" creator=\"x\">\n<wpt lat=\"1\" lon=\"x\"></wpt></gpx>";
    write("broken.gpx", broken);
    let exchanged = "{\"type\": \"Feature\", \"properties\": {},\n\"geometry\": {\"type\": \
                     \"Point\", \"coordinates\": [53.4, 120.0]}}";
    write("exchanged.geojson", exchanged);
    let seat = "{\"type\": \"Feature\", \"properties\": {\"kind\": \"seat\"},\n\"geometry\": \
                {\"type\": \"Point\", \"coordinates\": [1.2, 53.4]}}";
    write("seat.geojson", seat);
    std::fs::write(folder.path().join("binary.gpx"), [0xff, 0x00, 0x80]).unwrap();
    let before = written(folder.path());
    for (arguments, says) in [
        (vec!["empty.gpx"], "empty.gpx:1:1: is empty"),
        (vec!["table.csv"], "neither GPX nor GeoJSON"),
        (vec!["broken.gpx"], "broken.gpx:2:1: cannot be read as GPX"),
        (
            vec!["exchanged.geojson"],
            "exchanged?; give longitude first",
        ),
        (
            vec!["seat.geojson"],
            "seat.geojson: none of the 1 waypoints is a place",
        ),
        (vec!["binary.gpx"], "no text in UTF-8"),
        (vec!["nowhere.gpx"], "nowhere.gpx: cannot be read"),
        (vec!["."], ".: cannot be read"),
        (vec![], "give a file with waypoints"),
        (vec!["--zone", "Nowhere/At_all"], "not a known time zone"),
        (
            vec!["seat.geojson", "--port", "animals.toml"],
            "none of the 1 waypoints",
        ),
    ] {
        let with_output = [arguments.clone(), vec!["--output", "out.toml"]].concat();
        for arguments in [arguments, with_output] {
            let said = refused(&run(folder.path(), &arguments, ""));
            assert!(said.contains(says), "{arguments:?} {says}\n{said}");
        }
    }
    let demo = demo();
    for (arguments, says) in [
        (vec!["--port", "animals.toml"], "has no [port]"),
        (vec!["--port", "nowhere.toml"], "cannot be read"),
        (vec!["--include", "broken.gpx"], "not TOML here"),
        (vec!["--output", "."], ".: is a folder"),
        (
            vec!["--port", "port.toml", "--include", "port.toml"],
            "port.toml",
        ),
        (
            vec!["--subject", "\u{7}"],
            "--subject: give a name that can be read",
        ),
    ] {
        let arguments = [vec![demo.as_str()], arguments].concat();
        let output = run(folder.path(), &arguments, "");
        if arguments.contains(&"--include") && arguments.contains(&"--port") {
            // One file, named twice, is included once.
            assert!(output.status.success());
            continue;
        }
        let said = refused(&output);
        assert!(said.contains(says), "{arguments:?} {says}\n{said}");
    }
    assert_eq!(written(folder.path()), before);
}

#[test]
fn a_place_that_cannot_be_written_is_the_outputs_fault() {
    let folder = room();
    let arguments = [&demo(), "--output", "no/such/folder/draft.toml"];
    let output = run(folder.path(), &arguments, "");
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
}
