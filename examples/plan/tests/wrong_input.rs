//! What a user gets for wrong input: every problem at once, with file, line, field, value and
//! remedy.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::Path;

use wrackline_plan::scenario::{DEMO, Problem, Problems, Scenario};

/// The demo with one piece of text replaced; the piece must be there.
fn demo_with(old: &str, new: &str) -> String {
    assert!(DEMO.contains(old), "the demo no longer has: {old}");
    DEMO.replacen(old, new, 1)
}

fn problems(text: &str) -> Vec<Problem> {
    let error = Scenario::parse("test.toml", text).unwrap_err();
    error.iter().cloned().collect()
}

/// A scenario in a file, with the files it includes.
fn read(main: &Path) -> Result<Scenario, Problems> {
    Scenario::parse_with(main, &|path| {
        std::fs::read_to_string(path).map_err(|error| error.to_string())
    })
}

/// The one problem of a text, which must name the line on which `marker` stands.
fn only_problem(text: &str, marker: &str) -> Problem {
    let found = problems(text);
    assert_eq!(found.len(), 1, "{found:#?}");
    let at = text.find(marker).unwrap();
    let line = text[..at].matches('\n').count() + 1;
    assert_eq!(found[0].line, line, "{}", found[0]);
    found.into_iter().next().unwrap()
}

#[test]
fn a_latitude_of_95_degrees() {
    let text = demo_with("latitude_deg = 53.4016", "latitude_deg = 95");
    let problem = only_problem(&text, "latitude_deg = 95");
    assert_eq!(problem.field, "place \"tallow-ness\" > latitude_deg");
    assert!(problem.what.contains("95"));
    assert!(problem.remedy.contains("-90 to 90"));
}

#[test]
fn an_amplitude_that_is_not_a_number() {
    let text = demo_with("amplitude_m = 2.52", "amplitude_m = nan");
    let problem = only_problem(&text, "amplitude_m = nan");
    assert!(problem.field.contains("M2"), "{}", problem.field);
    assert!(problem.what.contains("NaN"));
}

#[test]
fn an_unknown_constituent_with_the_nearest_known_names() {
    let text = demo_with("name = \"NU2\"", "name = \"NUU2\"");
    let problem = only_problem(&text, "name = \"NUU2\"");
    assert!(problem.what.contains("NUU2"), "{problem}");
    assert!(problem.to_string().contains("NU2"), "{problem}");
}

/// An office's own spelling is what the file says that it is; a slip in it is no line less.
#[test]
fn a_name_that_an_office_spells_its_own_way() {
    let spelt = demo_with("name = \"NU2\"", "name = \"NU2_KV\"");
    let told = format!("{spelt}\n[port.rename]\nNU2_KV = \"NU2\"\n");
    let plain = Scenario::parse("test.toml", wrackline_plan::scenario::DEMO).unwrap();
    let port = |scenario: &Scenario| scenario.tide().unwrap().constants().unwrap().port.clone();
    assert_eq!(
        port(&Scenario::parse("test.toml", &told).unwrap()),
        port(&plain)
    );
    let refused = only_problem(&spelt, "name = \"NU2_KV\"");
    assert!(refused.remedy.contains("[port.rename]"), "{refused}");
    let slip = format!("{}\n[port.rename]\nNU2_KV = \"NU2\"\n", demo_with("x", "x"));
    let refused = only_problem(&slip, "[port.rename]");
    assert!(refused.what.contains("\"NU2_KV\""), "{refused}");
    let number = format!("{spelt}\n[port.rename]\nNU2_KV = 2\n");
    let found = problems(&number);
    assert!(
        found.iter().any(|it| it.field.ends_with("rename > NU2_KV")),
        "{found:?}"
    );
}

#[test]
fn an_f_number_that_no_lens_can_have() {
    for wrong in ["f_number = 0", "f_number = 0.1", "f_number = 0.49"] {
        let text = demo_with("f_number = 4.0", wrong);
        let problem = only_problem(&text, wrong);
        assert_eq!(problem.field, "lens \"tele-600\" > f_number");
        assert!(problem.remedy.contains("from 0.5 to 128"), "{problem}");
    }
}

#[test]
fn a_subject_longer_than_any_animal() {
    let text = demo_with("length_m = 0.24", "length_m = 1e9");
    let problem = only_problem(&text, "length_m = 1e9");
    assert!(problem.remedy.contains("up to 30"), "{problem}");
}

#[test]
fn a_closure_over_the_whole_year() {
    let text = demo_with(
        "from = \"03-15\"\nto = \"08-31\"",
        "from = \"03-15\"\nto = \"03-14\"",
    );
    let problem = only_problem(&text, "from = \"03-15\"");
    assert!(problem.what.contains("whole year"));
}

#[test]
fn an_end_before_its_start() {
    let text = demo_with(
        "from = \"03-15\"\nto = \"08-31\"",
        "from = \"2027-08-31\"\nto = \"2027-03-15\"",
    );
    let problem = only_problem(&text, "to = \"2027-03-15\"");
    assert!(problem.what.contains("before the start"));
    let text = demo_with("altitude_deg = [0, 12]", "altitude_deg = [12, 0]");
    let problem = only_problem(&text, "altitude_deg = [12, 0]");
    assert!(problem.remedy.contains("smaller number first"));
}

#[test]
fn a_seat_without_a_ground_level_asked_to_stay_the_tide() {
    let text = demo_with("ground_m = 8.75\n", "");
    let found = problems(&text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].field, "seat \"B\" > ground_m");
    assert!(found[0].what.contains("stay the tide"));
    assert!(found[0].remedy.contains("ground_m"));
}

#[test]
fn a_misspelt_field_is_told_and_not_passed_over() {
    let text = demo_with("push_m = 6.8", "psuh_m = 6.8");
    let found = problems(&text);
    assert!(
        found
            .iter()
            .any(|p| p.what.contains("not a known field") && p.remedy.contains("push_m"))
    );
}

#[test]
fn a_reference_to_nothing() {
    let text = demo_with("way_in = \"hurdle-hard\"", "way_in = \"hurdle-herd\"");
    let problem = only_problem(&text, "way_in = \"hurdle-herd\"");
    assert!(problem.remedy.contains("hurdle-hard"));
}

#[test]
fn all_problems_of_a_file_at_once() {
    let text = demo_with("latitude_deg = 53.4016", "latitude_deg = 95")
        .replacen("f_number = 4.0", "f_number = 0", 1)
        .replacen("amplitude_m = 2.52", "amplitude_m = nan", 1)
        .replacen("zone = \"UTC\"", "zone = \"Nowhere/Else\"", 1);
    assert_eq!(problems(&text).len(), 4);
}

#[test]
fn text_that_is_not_toml() {
    let found = problems("title = \"a\nseat = ]");
    assert!(!found.is_empty());
    assert!(
        found
            .iter()
            .all(|problem| problem.what.contains("not TOML"))
    );
}

#[test]
fn an_empty_file() {
    assert!(
        problems("")
            .iter()
            .any(|problem| problem.what.contains("no seat"))
    );
}

#[test]
fn an_included_file_names_itself_in_its_problems() {
    let folder = tempfile::tempdir().unwrap();
    let main = folder.path().join("main.toml");
    let kit = folder.path().join("kit.toml");
    let (before, kit_text) = DEMO.split_once("[[body]]").unwrap();
    std::fs::write(&main, format!("include = [\"kit.toml\"]\n{before}")).unwrap();
    let kit_text = format!("[[body]]{kit_text}");
    std::fs::write(&kit, &kit_text).unwrap();
    let whole = read(&main).unwrap();
    assert_eq!(
        whole.kits().len(),
        Scenario::parse("d", DEMO).unwrap().kits().len()
    );
    std::fs::write(&kit, kit_text.replacen("f_number = 4.0", "f_number = 0", 1)).unwrap();
    let error = read(&main).unwrap_err();
    let problem = error.iter().next().unwrap();
    assert!(problem.file.ends_with(Path::new("kit.toml")));
    std::fs::remove_file(&kit).unwrap();
    let error = read(&main).unwrap_err();
    assert!(error.to_string().contains("include"), "{error}");
}

#[test]
fn a_former_word_for_a_convention_is_still_read() {
    let text = demo_with(
        "convention = \"schureman-instant\"",
        "convention = \"noaa-annual\"",
    );
    let scenario = Scenario::parse("test.toml", &text).unwrap();
    let convention = scenario
        .tide()
        .unwrap()
        .constants()
        .unwrap()
        .port
        .convention();
    assert_eq!(convention, wrackline_tides::Convention::SchuremanAnnual);
}

#[test]
fn a_port_that_is_wrong_is_one_problem_and_not_one_for_each_seat() {
    for (old, new, marker) in [
        ("[port]\n", "[[port]]\n", "[[port]]"),
        ("\"schureman-instant\"", "\"other\"", "convention ="),
        ("mean_level_m = 4.4", "mean_level_m = 44", "mean_level_m ="),
        ("{ name = \"SA\", ", "{ ", "{ amplitude_m = 0.07"),
    ] {
        only_problem(&demo_with(old, new), marker);
    }
    let start = DEMO.find("constituents = [").unwrap();
    let end = start + DEMO[start..].find("\n]\n").unwrap() + 2;
    for list in [
        "[]",
        "[{ name = \"NONE2\", amplitude_m = 1, phase_lag_deg = 1 }]",
        "3",
    ] {
        let text = format!("{}constituents = {list}{}", &DEMO[..start], &DEMO[end..]);
        only_problem(&text, "constituents =");
    }
}

#[test]
fn a_table_in_single_brackets_among_others_in_double_ones_is_the_problem() {
    let text = DEMO.replacen("[[seat]]", "[seat]", 1);
    let problem = only_problem(&text, "[seat]");
    assert!(problem.what.contains("single brackets"), "{problem}");
    assert!(problem.remedy.contains("[[seat]]"), "{problem}");
}

#[test]
fn one_of_several_tables_in_single_brackets_is_one_problem_that_says_so() {
    // The only one of its kind, so that it is still TOML.
    let (before, after) = DEMO.split_once("[[way_in]]\nid = \"rail-path\"").unwrap();
    let rest = after.split_once("[[subject]]").unwrap().1;
    let text = format!("{before}[[subject]]{rest}")
        .replacen("[[way_in]]", "[way_in]", 1)
        .replacen(
            "way_in = \"rail-path\"\naccess = \"leave before the flood\"\n",
            "",
            1,
        );
    let problem = only_problem(&text, "[way_in]");
    assert!(problem.what.contains("single brackets"), "{problem}");
    assert!(problem.remedy.contains("[[way_in]]"), "{problem}");
    // Several of them: TOML itself refuses the second, and says less.
    let found = problems(&DEMO.replace("[[seat]]", "[seat]"));
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].remedy.contains("[[seat]]"), "{}", found[0]);
}

#[test]
fn a_name_that_is_used_twice_points_at_both_lines() {
    let line_of = |text: &str, marker: &str, nth: usize| {
        let at = text.match_indices(marker).nth(nth).unwrap().0;
        text[..at].matches('\n').count() + 1
    };
    for (old, new) in [
        ("id = \"C\"", "id = \"A\""),
        ("id = \"ash-tit\"", "id = \"reed-owl\""),
        ("name = \"side light\"", "name = \"low front light\""),
    ] {
        let text = demo_with(old, new);
        let lines = [line_of(&text, new, 0), line_of(&text, new, 1)];
        let found: Vec<Problem> = problems(&text)
            .into_iter()
            .filter(|problem| problem.what.contains("used twice"))
            .collect();
        assert_eq!(found.len(), 2, "{found:#?}");
        for (problem, at) in found.iter().zip([0, 1]) {
            assert_eq!(problem.line, lines[at], "{problem}");
            assert!(
                problem.what.ends_with(&format!("line {}", lines[1 - at])),
                "{problem}"
            );
        }
    }
}

#[test]
fn a_text_that_does_not_travel_is_refused_by_name_and_line() {
    // Every kind of text of a scenario: what is printed, and what is only looked up.
    let texts = [
        ("title = \"Oskerrow Water\"", "title"),
        ("title = \"The High Water\"", "title"),
        ("name = \"Oskerrow Water\"", "name"),
        ("datum = \"local chart datum\"", "datum"),
        (
            "note = \"north to north-east wind raises the water here\"",
            "note",
        ),
        ("name = \"low front light\"", "name"),
        ("name = \"lift-off\"", "name"),
        ("kind = \"shell-ridge roost\"", "kind"),
        ("name = \"Tallow Ness\"", "name"),
        ("note = \"main flock roost\"", "note"),
        ("cover = \"bank, sit low\"", "cover"),
        ("permission = \"warden, weekly list\"", "permission"),
        ("name = \"Hurdle Hard\"", "name"),
        ("kind = \"causeway\"", "kind"),
        ("name = \"two creeks behind the seat\"", "name"),
        ("name = \"slate knotling\"", "name"),
        ("reason = \"ground-nesting birds\"", "reason"),
        ("id = \"body-large\"", "id"),
        ("id = \"tele-600\"", "id"),
    ];
    for (old, field) in texts {
        let (key, value) = old.split_once(" = \"").unwrap();
        let value = value.trim_end_matches('"');
        // A note is given by its beginning.
        let old = format!("{key} = \"{value}");
        for (bad, told) in [
            ("\\n", "a line end, U+000A"),
            ("\\r", "a line end, U+000D"),
            ("\\u001b[2J", "an escape sequence, U+001B"),
            ("\\u0007", "a control character, U+0007"),
            ("\\u009b2J", "an escape sequence, U+009B"),
            ("\\u2028", "a line end, U+2028"),
            ("\\uFFFE", "no character, U+FFFE"),
            ("\\uFFFF", "no character, U+FFFF"),
            ("\\u202E", "turns the order"),
        ] {
            let marker = format!("{key} = \"{value}{bad}");
            let text = demo_with(&old, &marker);
            let line = text[..text.find(&marker).unwrap()].matches('\n').count() + 1;
            let found = problems(&text);
            let refused = found.iter().find(|problem| problem.what.contains(told));
            let refused = refused.unwrap_or_else(|| panic!("{marker}: {found:#?}"));
            assert_eq!(refused.line, line, "{refused}");
            assert!(refused.field.ends_with(field), "{refused}");
            // Nor do the messages carry it to the terminal.
            for problem in &found {
                let text = problem.to_string();
                assert!(!text.chars().any(char::is_control), "{text:?}");
            }
        }
    }
    let several = demo_with("\"shore-plovel\"]", "\"shore\\u001b[2J\"]");
    assert!(problems(&several)[0].what.contains("U+001B"));
    let included = format!("include = [\"a\\nb\"]\n{DEMO}");
    assert!(problems(&included)[0].what.contains("a line end"));
    let unknown = format!("{DEMO}\n[\"\\u001b[2J\"]\n");
    assert!(!problems(&unknown)[0].to_string().contains('\u{1b}'));
}

#[test]
fn texts_in_every_script_travel() {
    for name in [
        "Måkeøya – «Ytterskjul»",
        "Ḥōfiya חופיה",
        "鳥の島・北",
        "Tern’s Isle \u{200e}(east)",
    ] {
        let text = demo_with("name = \"Tallow Ness\"", &format!("name = \"{name}\""));
        assert_eq!(Scenario::parse("t", &text).unwrap().places()[0].name, name);
    }
}

#[test]
fn a_point_of_terrain_that_stands_alone() {
    let old = "horizon_deg = [[129, 0], [130, 9], [180, 12], [230, 8], [231, 0]]";
    for (new, told) in [
        ("horizon_deg = [[180, 12]]", 1),
        ("horizon_deg = [[0, 5], [180, 12]]", 2),
        ("horizon_deg = [[10, 5], [50, 5], [180, 12]]", 1),
    ] {
        let found = problems(&demo_with(old, new));
        assert_eq!(found.len(), told, "{found:#?}");
        for problem in found {
            assert_eq!(problem.field, "seat \"F\" > horizon_deg");
            assert!(problem.what.contains("stands alone"), "{problem}");
            assert!(problem.remedy.contains("either side"), "{problem}");
        }
    }
    // A ring of points a right angle apart is a terrain all around.
    let ring = "horizon_deg = [[0, 5], [90, 5], [180, 12], [270, 3]]";
    assert!(Scenario::parse("t", &demo_with(old, ring)).is_ok());
}

#[test]
fn differences_that_put_low_water_above_high_water() {
    let secondary = "[port.secondary]\n\
        standard = { mhws_m = 7.8, mhwn_m = 6.1, mlwn_m = 2.7, mlws_m = 1.0 }\n\
        differences = { mhws_m = -0.5, mhwn_m = -2.0, mlwn_m = 1.5, mlws_m = 0 }\n\
        high_water_minutes = [[0, 0], [6, 0]]\n\
        low_water_minutes = [[0, 0], [6, 0]]\n";
    let text = format!("{DEMO}\n{secondary}");
    let problem = only_problem(&text, "differences = ");
    assert!(problem.what.contains("at mean neaps"), "{problem}");
    assert!(
        problem.what.contains("4.20 m, above high water, 4.10 m"),
        "{problem}"
    );
    let text = text.replace("mhwn_m = -2.0, mlwn_m = 1.5", "mhwn_m = -0.5, mlwn_m = 0.2");
    assert!(Scenario::parse("t", &text).is_ok());
    let text = text.replace("mhws_m = -0.5", "mhws_m = -7");
    assert!(
        only_problem(&text, "differences = ")
            .what
            .contains("at mean springs")
    );
}
