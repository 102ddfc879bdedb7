//! What the program `reach` prints, draws and refuses.
#![allow(clippy::unwrap_used)]

mod support;

use serde_json::Value;
use support::Program;

const REACH: Program = Program(env!("CARGO_BIN_EXE_reach"));

fn question(text: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("question.toml");
    std::fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (folder, path)
}

const DEMO: &str = include_str!("../../demo/reach.toml");

#[test]
fn the_demo_as_text() {
    insta::assert_snapshot!(REACH.printed(&[]));
}

#[test]
fn two_kits_by_flags_as_text() {
    insta::assert_snapshot!(REACH.printed(&[
        "--first",
        "600/6.3",
        "--first-converter",
        "2",
        "--first-sensor",
        "23.5x15.7@3.2",
        "--second",
        "600/4",
        "--second-sensor",
        "36x24@4.5",
        "--subject",
        "0.24x0.2",
        "--distance",
        "25",
        "--speed",
        "0.5",
        "--drift",
        "0.01",
    ]));
}

/// The demo's figures by hand: 840 · 36/23.5 = 1286.8 mm; 0.0154676 · 1.4 · 550/0.00376 = 3167.6
/// px.
#[test]
fn the_demo_as_json() {
    let value: Value = serde_json::from_str(&REACH.printed(&["--format", "json"])).unwrap();
    let claim = &value["verdicts"]["claim"];
    assert!((claim["equivalent_focal_length_mm"].as_f64().unwrap() - 1286.81).abs() < 0.005);
    assert_eq!(claim["lens"]["verdict"], "false");
    let pixels = &claim["comparison"]["findings"][1];
    assert_eq!(pixels["meaning"], "pixels");
    assert!((pixels["first"]["lowest"].as_f64().unwrap() - 3167.6).abs() < 0.05);
    // Assumptions and cautions are part of the answer.
    assert!(value["question"]["assumptions"]["good"]["lens"].is_number());
    assert!(
        value["cautions"][0]
            .as_str()
            .unwrap()
            .contains("never a reason to go nearer")
    );
}

/// The flags ask the same question as the demo's file.
#[test]
fn file_and_flags_agree() {
    let by_flags = REACH.printed(&[
        "--first",
        "600/4",
        "--first-converter",
        "1.4",
        "--first-sensor",
        "23.5x15.7@3.76",
        "--first-focus",
        "4.5",
        "--claim",
        "1260/4",
        "--second-sensor",
        "36x24@3.76",
        "--format",
        "json",
    ]);
    let by_file = REACH.printed(&["--format", "json"]);
    let verdicts = |text: &str| serde_json::from_str::<Value>(text).unwrap()["verdicts"].clone();
    assert_eq!(verdicts(&by_flags), verdicts(&by_file));
}

#[test]
fn the_drawing_holds_both_frames_at_one_scale() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("frames.svg");
    REACH.printed(&["--svg", path.to_str().unwrap()]);
    let svg = std::fs::read_to_string(&path).unwrap();
    assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
    assert_eq!(svg.matches("<polyline").count(), 4);
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    // Widths of the page, two marks of the legend, the subject and the two frames.
    let widths: Vec<f64> = svg
        .match_indices("<rect ")
        .map(|(at, _)| {
            let after = &svg[at..];
            let value = after[after.find("width=\"").unwrap() + 7..]
                .split('"')
                .next()
                .unwrap();
            value.parse().unwrap()
        })
        .collect();
    let [.., subject, first, second] = widths[..] else {
        panic!("{widths:?}")
    };
    let value: Value = serde_json::from_str(&REACH.printed(&["--format", "json"])).unwrap();
    let field = |which: &str| {
        value["verdicts"]["claim"]["comparison"][which]["field_across_m"]
            .as_f64()
            .unwrap()
    };
    assert!((subject / first - 0.55 / field("first")).abs() < 1e-3);
    assert!((second / first - field("second") / field("first")).abs() < 1e-3);
}

#[test]
fn a_name_cannot_break_the_drawing() {
    let (folder, path) =
        question(&DEMO.replace("600 mm f/4 with 1.4x on the small frame", "a <b> & c"));
    let svg = folder.path().join("frames.svg");
    REACH.printed(&[&path, "--svg", svg.to_str().unwrap()]);
    assert!(
        std::fs::read_to_string(svg)
            .unwrap()
            .contains("a &lt;b&gt; &amp; c")
    );
}

#[test]
fn wrong_flags() {
    for (arguments, words) in [
        (
            &["--first", "600", "--claim", "1260/4"][..],
            &["--first", "600", "such as 600/4"][..],
        ),
        (
            &["--first", "600/0", "--claim", "1260/4"],
            &["--first", "f-number 0", "above zero"],
        ),
        (
            &["--first", "nan/4", "--claim", "1260/4"],
            &["focal length NaN", "above zero"],
        ),
        (&["--first", "600/4"], &["--second or --claim is missing"]),
        (&["--claim", "1260/4"], &["--first is missing"]),
        (
            &[
                "--first",
                "600/4",
                "--claim",
                "1260/4",
                "--first-converter",
                "0.5",
            ],
            &["--first-converter", "0.5", "1 to 10"],
        ),
        (
            &[
                "--first",
                "600/4",
                "--claim",
                "1260/4",
                "--first-sensor",
                "36x24",
            ],
            &["--first-sensor", "36x24", "36x24@4.5"],
        ),
        (
            &["--first", "600/4", "--claim", "1260/4", "--distance", "2"],
            &["2 m", "step back"],
        ),
        (
            &["--first", "600/4", "--claim", "1260/4", "--distance", "3"],
            &["nearer than the minimum focus", "4.8"],
        ),
        (
            &["--first", "600/4", "--claim", "1260/4", "--subject", "0x1"],
            &["length of the subject 0"],
        ),
        (
            &[
                "--first",
                "600/4",
                "--claim",
                "1260/4",
                "--subject",
                "0.5x-1",
            ],
            &["--subject", "height", "-1"],
        ),
        (
            &["--first", "600/4", "--claim", "1260/4", "--time", "1/0"],
            &["exposure time"],
        ),
        (
            &[
                "--first", "600/4", "--claim", "1260/4", "--second", "800/5.6",
            ],
            &["cannot be used with"],
        ),
        (
            &["no-such-file.toml"],
            &["no-such-file.toml", "cannot be read"],
        ),
        (
            &["--first", "600/0.1", "--claim", "1260/4"],
            &["--first: f-number 0.1", "give 0.5 or more"],
        ),
        (
            &["--first", "600/4", "--claim", "1260/0.1"],
            &["--claim: f-number 0.1", "give 0.5 or more"],
        ),
        (
            &["--first", "600/4", "--second", "800/0.1"],
            &["--second: f-number 0.1", "give 0.5 or more"],
        ),
        (
            &["--first", "600/4", "--claim", "1260/4", "--subject", "1e9"],
            &["--subject: length of the subject is", "up to 100"],
        ),
    ] {
        let message = REACH.refused(arguments);
        for word in words {
            assert!(message.contains(word), "{arguments:?} said: {message}");
        }
    }
}

#[test]
fn wrong_files() {
    for (old, new, words) in [
        (
            "f_number = 4.0, minimum",
            "f_number = 0, minimum",
            &["question.toml", "line ", "f-number 0", "above zero"][..],
        ),
        (
            "focal_length_mm = 600",
            "focal_lenght_mm = 600",
            &["line ", "unknown field", "focal_lenght_mm"],
        ),
        (
            "distance_m = 40.0",
            "distance_m = -1",
            &["distance -1", "above zero"],
        ),
        (
            "distance_m = 40.0",
            "distance_m = 1.0",
            &["600 mm f/4 with 1.4x on the small frame", "step back to"],
        ),
        (
            "factor = 1.4",
            "factor = 0.7",
            &["converter factor 0.7", "1 to 10"],
        ),
        ("[claim]", "[rival]", &["unknown field", "rival"]),
        (
            "height_m = 0.40",
            "height_m = nan",
            &["height of the subject is NaN"],
        ),
        (
            "height_m = 0.40",
            "height_m = 1e9",
            &["subject: height of the subject is", "up to 100"],
        ),
        (
            "f_number = 4.0, minimum",
            "f_number = 0.1, minimum",
            &["first: f-number 0.1", "give 0.5 or more"],
        ),
    ] {
        assert!(DEMO.contains(old), "{old}");
        let (_folder, path) = question(&DEMO.replacen(old, new, 1));
        let message = REACH.refused(&[&path]);
        for word in words {
            assert!(message.contains(word), "{new} said: {message}");
        }
    }
    let neither = &DEMO[..DEMO.find("[claim]").unwrap()];
    let (_folder, path) = question(neither);
    assert!(
        REACH
            .refused(&[&path])
            .contains("neither [second] nor [claim]")
    );
    let (_folder, path) = question(DEMO);
    assert!(
        REACH
            .refused(&[&path, "--first", "600/4"])
            .contains("keep one of them")
    );
}

/// A refusal leaves no drawing, and a drawing that cannot be written leaves nothing printed.
#[test]
fn no_partial_output() {
    let folder = tempfile::tempdir().unwrap();
    let svg = folder.path().join("frames.svg");
    REACH.refused(&[
        "--first",
        "600/4",
        "--claim",
        "1260/4",
        "--distance",
        "2",
        "--svg",
        svg.to_str().unwrap(),
    ]);
    assert!(!svg.exists());
    let nowhere = folder.path().join("missing").join("frames.svg");
    let output = REACH.run(&["--svg", nowhere.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
}

const SCENARIO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/oskerrow.toml");

/// By hand: of the demo's kits 600 mm with 2x on the small body, whose pixels are 23.5/6000 mm,
/// lay most pixels on an animal; the project's is seen from its stand-off distance on foot.
#[test]
fn a_scenario_gives_its_kit_and_its_animal() {
    let asked = [SCENARIO, "--claim", "1260/4", "--format", "json"];
    let value: Value = serde_json::from_str(&REACH.printed(&asked)).unwrap();
    let question = &value["question"];
    assert_eq!(question["first"]["name"], "tele-600 + x2 on body-small");
    assert_eq!(question["subject"]["length_m"], 0.24);
    assert_eq!(question["scene"]["distance_m"], 85.0);
    let chosen = [
        "--kit",
        "tele-400 on body-large",
        "--against",
        "tele-600 on body-large",
        "--subject",
        "longbill-marshpiper",
        "--distance",
        "90",
        "--format",
        "json",
    ];
    let chosen = REACH.printed(&[&[SCENARIO][..], &chosen].concat());
    let value: Value = serde_json::from_str(&chosen).unwrap();
    let question = &value["question"];
    assert_eq!(question["first"]["name"], "tele-400 on body-large");
    assert_eq!(question["rival"]["kit"]["name"], "tele-600 on body-large");
    assert_eq!(question["subject"]["length_m"], 0.55);
    assert_eq!(question["scene"]["distance_m"], 90.0);
}

/// Its figures are those of the same kit by flags.
#[test]
fn a_kit_of_a_scenario_is_the_same_by_flags() {
    let verdicts = |arguments: &[&str]| {
        let common = ["--claim", "1260/4", "--format", "json"];
        let text = REACH.printed(&[arguments, &common].concat());
        let value: Value = serde_json::from_str(&text).unwrap();
        value["verdicts"]["claim"]["comparison"]["findings"].clone()
    };
    let by_scenario = [SCENARIO, "--kit", "tele-600 + x1.4 on body-large"];
    let by_flags = ["--first", "600/4", "--first-converter", "1.4"];
    let more = ["--first-sensor", "36x24@4.5", "--first-focus", "4.3"];
    let seen = ["--subject", "0.24", "--distance", "85"];
    let by_flags = [&by_flags[..], &more, &seen].concat();
    // 8000 by 5333 pixels are 4.5 µm wide and 4.50028 µm high.
    let (ours, theirs) = (verdicts(&by_scenario), verdicts(&by_flags));
    assert_eq!(
        ours.as_array().unwrap().len(),
        theirs.as_array().unwrap().len()
    );
    for (ours, theirs) in ours
        .as_array()
        .unwrap()
        .iter()
        .zip(theirs.as_array().unwrap())
    {
        let lowest = |finding: &Value| finding["first"]["lowest"].as_f64();
        if let (Some(ours), Some(theirs)) = (lowest(ours), lowest(theirs)) {
            assert!(
                (ours - theirs).abs() <= 1e-4 * theirs.abs(),
                "{ours} {theirs}"
            );
        }
    }
}

#[test]
fn what_a_scenario_does_not_hold_is_refused() {
    for (arguments, words) in [
        (
            &["--claim", "1260/4", "--distance", "40"][..],
            &["nearer than", "85 m", "60 m"][..],
        ),
        (
            &["--claim", "1260/4", "--kit", "tele-601 on body-large"],
            &["kit", "did you mean"],
        ),
        (&["--against", "none"], &["no kit \"none\""]),
        (
            &["--claim", "1260/4", "--subject", "gull"],
            &["no subject \"gull\""],
        ),
        (&[], &["--claim, --second or --against is missing"]),
        (
            &["--claim", "1260/4", "--against", "x"],
            &["cannot be used with"],
        ),
    ] {
        let message = REACH.refused(&[&[SCENARIO], arguments].concat());
        for word in words {
            assert!(message.contains(word), "{arguments:?} said: {message}");
        }
    }
    let message = REACH.refused(&["--kit", "tele-600 on body-large", "--claim", "1260/4"]);
    assert!(message.contains("required"), "{message}");
    let (_folder, path) = question(DEMO);
    assert!(
        REACH
            .refused(&[&path, "--distance", "30"])
            .contains("keep one of them")
    );
}
