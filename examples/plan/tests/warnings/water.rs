//! Ports, levels and margins.

use wrackline_plan::scenario::DEMO;

use super::{demo_with, once, only, warnings};

#[test]
fn what_is_missing_of_a_port() {
    let s2 = "  { name = \"S2\", amplitude_m = 0.86, phase_lag_deg = 219 },\n";
    let o1 = "  { name = \"O1\", amplitude_m = 0.17, phase_lag_deg = 298 },\n";
    let list = "constituents = [";
    only(
        &demo_with(&[(s2, "")]),
        list,
        "constituents",
        "M2 without S2",
    );
    only(
        &demo_with(&[(o1, "")]),
        list,
        "constituents",
        "K1 without O1",
    );
    only(
        &demo_with(&[(
            "amplitude_m = 0.04, phase_lag_deg = 80",
            "amplitude_m = 10.4, phase_lag_deg = 80",
        )]),
        list,
        "constituents",
        "amplitude of 10.4 m",
    );
    let start = DEMO.find("  { name = \"NU2\"").unwrap();
    let end = DEMO.find("  { name = \"K1\"").unwrap();
    let rest = DEMO.find("  { name = \"P1\"").unwrap();
    let close = rest + DEMO[rest..].find("]\n").unwrap();
    let six = format!("{}{}{}", &DEMO[..start], &DEMO[end..rest], &DEMO[close..]);
    only(&six, list, "constituents", "are 6");
}

#[test]
fn levels_that_no_water_of_the_port_comes_to() {
    // The highest water of the demo is 8.8 m, the lowest -0.1 m, both here to the nearest tenth.
    only(
        &demo_with(&[("push_m = 8.0", "push_m = 9.3")]),
        "push_m = 9.3",
        "push_m",
        "above the highest water, about 8.8 m: no tide brings",
    );
    assert_eq!(
        warnings(&demo_with(&[("push_m = 8.0", "push_m = 8.7")])),
        []
    );
    once("push_m = 6.8", "push_m = -0.6", "push_m", "always pushed");
    let drowned = demo_with(&[
        ("push_m = 6.8", "push_m = -2.6"),
        ("overtop_m = 8.1", "overtop_m = -0.6"),
    ]);
    let found = warnings(&drowned);
    assert_eq!(found.len(), 2, "{found:#?}");
    assert!(found[1].what.contains("always drowned"));
    // A way is judged by the upper water, 0.30 m over the prediction.
    let high = demo_with(&[
        ("low_point_m = 5.6", "low_point_m = 9.3"),
        ("ground_m = 8.75", "ground_m = 9.75"),
    ]);
    only(&high, "low_point_m = 9.3", "low_point_m", "never closes");
    once(
        "low_point_m = 5.6",
        "low_point_m = -0.2",
        "low_point_m",
        "never open",
    );
    once(
        "ground_m = 9.1",
        "ground_m = 19.1",
        "ground_m",
        "above the highest water",
    );
    once(
        "ground_m = 9.1",
        "ground_m = -1.1",
        "ground_m",
        "always under water",
    );
    let below = once(
        "ground_m = 8.75",
        "ground_m = 5.1",
        "ground_m",
        "below the low point",
    );
    assert!(below.what.contains("Hurdle Hard"), "{below}");
}

#[test]
fn a_secondary_port_has_levels_of_its_own() {
    let secondary = "[port.secondary]\n\
        standard = { mhws_m = 7.8, mhwn_m = 6.1, mlwn_m = 2.7, mlws_m = 1.0 }\n\
        differences = { mhws_m = -1.5, mhwn_m = -1.2, mlwn_m = 0, mlws_m = 0 }\n\
        high_water_minutes = [[0, 0], [6, 0]]\n\
        low_water_minutes = [[0, 0], [6, 0]]\n";
    let found = warnings(&format!("{DEMO}\n{secondary}"));
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].field.contains("gorsey"), "{}", found[0]);
    assert!(found[0].what.contains("about 7.1 m"), "{}", found[0]);
    // Small tides lie beyond mean neaps, where the differences of these two have run into one
    // another.
    let crooked = secondary.replace("mhwn_m = -1.2, mlwn_m = 0", "mhwn_m = -2.6, mlwn_m = 0.6");
    let found = warnings(&format!("{DEMO}\n{crooked}"));
    let tangled = found
        .iter()
        .find(|one| one.field.ends_with("secondary"))
        .unwrap();
    assert!(
        tangled.what.contains("a low water above the high water"),
        "{tangled}"
    );
}

#[test]
fn a_datum_of_mean_sea_level() {
    let (mean, datum) = ("mean_level_m = 4.4", "datum = \"local chart datum\"");
    for named in ["mean sea level", "MSL", "NN", "NAP"] {
        let new = format!("datum = \"{named}\"");
        let text = demo_with(&[(datum, &new)]);
        only(
            &text,
            mean,
            "mean_level_m",
            "a mean level of the sea itself",
        );
    }
    assert_eq!(
        warnings(&demo_with(&[(datum, "datum = \"Innisnap low water\"")])),
        []
    );
    // Heights over the mean level beside levels over chart datum: every level looks too high, and
    // the remedy says why.
    let text = demo_with(&[(mean, "mean_level_m = 0.1"), (datum, "datum = \"NAP\"")]);
    let found = warnings(&text);
    assert!(found.len() > 3, "{found:#?}");
    for field in ["push_m", "low_point_m"] {
        let told = found.iter().find(|one| one.field.ends_with(field)).unwrap();
        assert!(
            told.remedy.contains("looks like one above chart datum"),
            "{told}"
        );
    }
    let text = demo_with(&[(mean, "mean_level_m = 0.1")]);
    let found = warnings(&text);
    assert!(
        found
            .iter()
            .any(|one| one.what.contains("half of all tides")),
        "{found:#?}"
    );
}

#[test]
fn margins_of_nothing() {
    once("margin_m = 0.3", "margin_m = 0", "margin_m", "no margin");
    once(
        "margin_minutes = 30",
        "margin_minutes = 0",
        "margin_minutes",
        "no margin",
    );
    once(
        "upper_allowance_m = 0.30",
        "upper_allowance_m = 0",
        "upper_allowance_m",
        "no margin",
    );
    once(
        "freeboard_m = 0.5",
        "freeboard_m = 0",
        "freeboard_m",
        "no margin",
    );
    let text = demo_with(&[("[water]", "[water]\nsurge_m = -0.5")]);
    only(
        &text,
        "upper_allowance_m =",
        "upper_allowance_m",
        "0.20 m below the prediction",
    );
}
