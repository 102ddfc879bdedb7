//! Distances, lists of animals, and the days that are left for them.

use wrackline_plan::scenario::DEMO;

use super::{demo_with, once, only, warnings};

#[test]
fn distances_that_no_animal_bears() {
    let on_foot = "stand_off_on_foot_m = 10";
    let near = demo_with(&[
        (on_foot, "stand_off_on_foot_m = 4"),
        ("stand_off_from_hide_m = 8\n", "stand_off_from_hide_m = 3\n"),
        ("alert_m = 8\n", "alert_m = 3\n"),
        ("flight_m = 5\n", "flight_m = 2\n"),
    ]);
    let found = warnings(&near);
    assert_eq!(found.len(), 2, "{found:#?}");
    assert!(
        found
            .iter()
            .all(|one| one.what.contains("nearer than a wild animal"))
    );
    only(
        &demo_with(&[("stand_off_from_hide_m = 90", "stand_off_from_hide_m = 190")]),
        "stand_off_on_foot_m = 155",
        "stand_off_on_foot_m",
        "from a hide",
    );
    once(
        "flight_m = 45",
        "flight_m = 65",
        "flight_m",
        "takes flight at 65 m",
    );
    once(
        "alert_m = 70",
        "alert_m = 90",
        "alert_m",
        "heads go up at 90 m",
    );
    once(
        "alert_m = 100",
        "alert_m = 55",
        "alert_m",
        "nearer than it takes flight",
    );
}

#[test]
fn animals_and_places_that_do_not_meet() {
    let found = warnings(&demo_with(&[("subjects = [\"ash-tit\"]", "subjects = []")]));
    assert_eq!(found.len(), 2, "{found:#?}");
    assert_eq!(found[0].field, "place \"withy\" > subjects");
    assert!(found[0].what.contains("no animal is listed"));
    assert_eq!(found[1].field, "subject \"ash-tit\"");
    assert!(found[1].what.contains("no place lists it"));
}

#[test]
fn no_day_of_the_year_is_left() {
    let text = demo_with(&[(
        "subjects = [\"longbill-marshpiper\", \"slate-knotling\"]",
        "subjects = [\"shore-plovel\"]",
    )]);
    let found = warnings(&text);
    assert!(
        found
            .iter()
            .any(|one| one.field.ends_with("brindle\" > subjects")
                && one.what.contains("no day of any year")),
        "{found:#?}"
    );
    // The owl's months are those in which its fields are closed.
    let text = format!(
        "{DEMO}\n[[wanted]]\nname = \"owl\"\nsubject = \"reed-owl\"\nlight = [\"side \
         light\"]\n[[closure]]\nplace = \"overmere\"\nfrom = \"10-15\"\nto = \"04-01\"\nreason = \
         \"r\"\nrule = \"closed\"\n"
    );
    let found = warnings(&text);
    let fields: Vec<&str> = found.iter().map(|one| one.field.as_str()).collect();
    assert_eq!(
        fields,
        [
            "place \"overmere\" > subjects",
            "subject \"reed-owl\" > present"
        ]
    );
}

#[test]
fn a_closure_of_an_animal_where_it_is_not() {
    let text = format!(
        "{DEMO}\n[[closure]]\nplace = \"withy\"\nsubject = \"reed-owl\"\nfrom = \"12-01\"\nto = \
         \"12-02\"\nreason = \"r\"\nrule = \"closed\"\n"
    );
    only(
        &text,
        "subject = \"reed-owl\"",
        "subject",
        "not listed at that place",
    );
}
