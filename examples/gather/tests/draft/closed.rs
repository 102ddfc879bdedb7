//! A drafted seat proposes nothing while its water is not known, with a port and without.

use jiff::civil::date;
use wrackline_gather::draft::{Access, Draft, Levels, SeatFacts, Water, Way};
use wrackline_plan::season::{Request, season};

use crate::support::{bare, read, two, with_port};

/// Windows of a year.
fn windows(text: &str) -> usize {
    let scenario = read(text);
    let request = Request::new(date(2026, 12, 1), 365);
    season(&scenario, request).unwrap().windows_in_all
}

/// The draft without its closures: what would be proposed if nothing held it back.
fn unguarded(text: &str) -> String {
    let mut kept = String::new();
    let mut skip = false;
    for line in text.lines() {
        if line.starts_with('[') {
            skip = line == "[[closure]]";
        }
        if !skip {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    kept
}

/// A draft with the animal, with the port or without.
fn drafted(port: bool, facts: SeatFacts) -> Draft {
    let mut draft = with_port(two());
    if !port {
        draft.include = vec!["animals.toml".to_owned()];
        draft.has_port = false;
    }
    draft.sketch.seats[0].facts = facts;
    draft
}

fn walked(water: Water) -> SeatFacts {
    SeatFacts {
        water,
        in_minutes: Some(20.0),
        out_minutes: Some(25.0),
    }
}

fn way() -> Way {
    Way {
        low_point_m: 5.6,
        loaded_dark_minutes: 20.0,
        margin_m: 0.3,
        margin_minutes: 30.0,
    }
}

#[test]
fn unknown_water_is_not_dry() {
    for port in [false, true] {
        let text = drafted(port, walked(Water::Unknown)).to_toml();
        assert_eq!(windows(&text), 0, "{text}");
        // Whoever takes the closure out too soon is still refused; what guards then is the access,
        // and it guards something.
        let unguarded = unguarded(&text);
        assert_eq!(windows(&unguarded), 0, "{text}");
        let inland = unguarded.replacen("access = \"unknown\"", "access = \"dry\"", 1);
        assert!(windows(&inland) > 100, "{inland}");
    }
}

#[test]
fn a_walk_that_nobody_timed_is_not_an_hour() {
    let facts = SeatFacts {
        out_minutes: None,
        ..walked(Water::Never)
    };
    let text = drafted(true, facts).to_toml();
    assert_eq!(windows(&text), 0, "{text}");
    assert!(text.contains("not known yet: out_minutes\""), "{text}");
}

#[test]
fn levels_without_a_port_open_nothing() {
    for access in [Access::Dry, Access::Leave(way()), Access::Stay(way())] {
        let water = Water::Levels(Levels {
            ground_m: 9.0,
            access,
        });
        let mut draft = drafted(false, walked(water));
        let text = draft.to_toml();
        assert!(text.contains("and not known yet: the port"), "{text}");
        assert_eq!(windows(&text), 0, "{text}");
        // Nor does whoever takes the closure out and gives no port get an inland seat.
        assert_eq!(windows(&unguarded(&text)), 0, "{text}");
        draft.has_port = true;
        draft.include.push("port.toml".to_owned());
        let text = draft.to_toml();
        assert!(!text.contains("and not known yet"), "{text}");
        read(&text);
    }
}

#[test]
fn what_is_known_opens_and_the_water_decides() {
    let never = drafted(true, walked(Water::Never)).to_toml();
    assert!(windows(&never) > 100, "{never}");
    let at = |ground_m: f64, access: Access| {
        let levels = Levels { ground_m, access };
        let draft = drafted(true, walked(Water::Levels(levels)));
        windows(&draft.to_toml())
    };
    let high = at(9.5, Access::Stay(way()));
    assert!(high > 50, "{high}");
    // Under water at every tide: mean level is 4.4 m.
    assert_eq!(at(1.0, Access::Dry), 0);
    assert!(at(6.0, Access::Leave(way())) < high);
}

#[test]
fn never_beside_an_animal_that_the_tide_pushes_still_asks_for_the_ground() {
    let mut draft = drafted(true, walked(Water::Never));
    draft.sketch.places[0].push_m = Some(6.8);
    // A plan wants to know the ground wherever a tide plays a part.
    assert_eq!(windows(&draft.to_toml()), 0);
    assert!(bare(two()).to_toml().contains("# push_m = ?"));
}
