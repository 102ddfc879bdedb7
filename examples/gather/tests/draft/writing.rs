//! Whatever the waypoints are, the draft is a scenario.

use proptest::prelude::*;
use wrackline_gather::draft::{Kind, Sketch, Spot, Waypoint, line};

use crate::support::{bare, point, read, two, with_port};

fn kind() -> impl Strategy<Value = Option<Kind>> {
    prop_oneof![
        3 => Just(None),
        2 => Just(Some(Kind::Place)),
        2 => Just(Some(Kind::Seat)),
        1 => Just(Some(Kind::Hide)),
        1 => Just(Some(Kind::WayIn)),
    ]
}

fn name() -> impl Strategy<Value = Option<String>> {
    prop_oneof![
        Just(None),
        Just(Some("Wall Seat".to_owned())),
        Just(Some("\"\"\"'''\\ # ] = \u{7f}\r\n[[seat]]".to_owned())),
        Just(Some("\u{202e}\u{0}\u{1b}[31m\u{2028}\u{feff}".to_owned())),
        any::<String>().prop_map(Some),
        proptest::collection::vec(any::<char>(), 0..300)
            .prop_map(|chars| Some(chars.into_iter().collect())),
    ]
}

/// Near one another mostly, at the same spot and on the other side of the globe now and then.
fn spot() -> impl Strategy<Value = Spot> {
    let near = (-0.05..0.05, -0.05..0.05).prop_map(|(north, east)| (53.4 + north, 1.2 + east));
    let anywhere = (-90.0..=90.0, -180.0..=180.0);
    let ends = prop_oneof![
        Just((90.0, 0.0)),
        Just((-90.0, 180.0)),
        Just((0.0, -180.0)),
        Just((0.0, 180.0)),
        Just((53.4, 1.2)),
        Just((53.4, 1.200_000_01)),
    ];
    prop_oneof![6 => near, 1 => anywhere, 2 => ends]
        .prop_map(|(latitude, longitude)| Spot::new(latitude, longitude).unwrap())
}

fn waypoint() -> impl Strategy<Value = Waypoint> {
    let heights = proptest::option::of(-1e6..1e6);
    (spot(), name(), kind(), heights, name()).prop_map(|(spot, name, kind, elevation_m, note)| {
        let mut point = Waypoint::at(spot, name.as_deref());
        point.kind = kind;
        point.elevation_m = elevation_m;
        // Notes come through the same door as names.
        point.note = note.and_then(|note| Waypoint::at(spot, Some(&note)).name);
        point
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Every draft passes a plan's reader, which takes unknown fields for problems, too; nothing
    /// that a receiver said becomes a level; every seat is closed.
    #[test]
    fn every_draft_is_a_scenario(
        waypoints in proptest::collection::vec(waypoint(), 1..12),
        port in any::<bool>(),
    ) {
        let count = waypoints.len();
        let Ok(sketch) = Sketch::of(waypoints.clone()) else {
            prop_assert!(waypoints.iter().all(|point| point.kind.is_some()));
            return Ok(());
        };
        let draft = if port { with_port(waypoints) } else { bare(waypoints) };
        let scenario = read(&draft.to_toml());
        prop_assert_eq!(scenario.places().len(), sketch.places.len());
        prop_assert_eq!(scenario.seats().len(), sketch.seats.len());
        let used = sketch.places.len() + sketch.ways_in.len() + sketch.left_out.len();
        // One seat may stand in where none was left.
        prop_assert!((count..=count + 1).contains(&(used + sketch.seats.len())));
        prop_assert_eq!(scenario.closures().len(), scenario.seats().len());
        for (seat, drafted) in scenario.seats().iter().zip(
            (0..sketch.places.len()).flat_map(|place| sketch.seats_at(place)),
        ) {
            prop_assert_eq!(seat.ground_m, None);
            prop_assert_eq!(&seat.name, &drafted.name);
            if let Some(view) = drafted.view {
                prop_assert!((seat.distance_m - view.distance_m).abs() <= 0.050_001);
                let off = (seat.bearing_deg - view.bearing_deg).rem_euclid(360.0);
                prop_assert!(off.min(360.0 - off) <= 0.050_001);
            }
        }
    }

    /// A line and the same line backwards have one length, and short ones agree with a plane.
    #[test]
    fn lines_have_one_length(a in spot(), b in spot()) {
        let (there, back) = (line(a, b), line(b, a));
        prop_assert!((there.distance_m - back.distance_m).abs() < 1e-6);
        prop_assert!((0.0..360.0).contains(&there.bearing_deg));
    }
}

#[test]
fn the_text_of_a_draft() {
    let mut points = two();
    points[1].elevation_m = Some(47.5);
    points.push(point(53.3935, 1.2105, "Sluice \"yard\"", Some(Kind::WayIn)));
    points.push(point(54.4, 1.2, "Far off", None));
    let text = bare(points).to_toml();
    for line in [
        "bearing_deg = 0  # true, to Tallow Ness, computed",
        "distance_m = 100.2  # computed along the ellipsoid",
        // The root of 5 m twice, and its angle seen from 100.2 m: 4.04 degrees, rounded up.
        "# With 5 m of error at either end they are 8 m and 5 degrees off.",
        "# The receiver noted an elevation of 47.5 m: above its ellipsoid or geoid,",
        "# Left out: Far off: 111.1 km from the nearest place, Tallow Ness.",
        "access = \"unknown\"  # \"dry\" where the tide closes no part of the way, \"leave before \
         the flood\" or \"stay the tide\"",
        "# From Sluice \"yard\" it is 981 m in a straight line.",
        "reason = \"a draft, and not known yet: in_minutes; out_minutes; whether the water reaches \
         the seat or its way (ground_m, access, way_in)\"",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    assert!(!text.contains("\nground_m"), "{text}");
    let wide = |line: &&str| line.starts_with('#') && line.chars().count() > 101;
    assert_eq!(text.lines().find(wide), None);
}

#[test]
fn rules_are_told_where_nobody_said_what_is_what() {
    let points = vec![
        point(53.4016, 1.202, "one", None),
        point(53.4007, 1.202, "two", None),
    ];
    let text = bare(points).to_toml();
    assert!(
        text.contains("so the first one is where the animals are: one."),
        "{text}"
    );
    assert!(text.contains("are taken for seats: two."), "{text}");
    let alone = bare(vec![point(53.4, 1.2, "one", None)]).to_toml();
    assert!(alone.contains("# Taken so: no seat is left"), "{alone}");
    assert!(alone.contains("bearing_deg and distance_m"), "{alone}");
    assert!(Sketch::of(Vec::new()).is_err());
    let only_seats = vec![point(53.4, 1.2, "one", Some(Kind::Seat))];
    let told = Sketch::of(only_seats).unwrap_err().to_string();
    assert!(told.contains("mark where the animals are"), "{told}");
}
