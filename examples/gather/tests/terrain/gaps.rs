//! What is not known is told, and never taken for open.

use wrackline_gather::terrain::{End, Error, Eye, View, profile};

use crate::support::{AREAS, Tiff, Value, elevation, seat};

const SEAT: [f64; 2] = [53.4, 1.2];
const STEP: f64 = 1.0 / 3_600.0;

fn level(half: [usize; 2]) -> Tiff {
    let first = [
        SEAT[1] - half[0] as f64 * STEP,
        SEAT[0] + half[1] as f64 * STEP,
    ];
    Tiff::of([2 * half[0] + 1, 2 * half[1] + 1], first, STEP, |_| 3.0)
}

#[test]
fn the_edge_of_the_data_ends_what_is_known() {
    // 100 posts to the north and south end after 3.09 km.
    let tiff = level([300, 100]);
    let elevation = elevation(seat(SEAT, 5_000.0), &[("a.tif", tiff.bytes())]).unwrap();
    let view = View::new(&elevation, Eye::default()).unwrap();
    let north = view.ray(0.0);
    assert_eq!(north.end, End::Edge);
    assert!((north.known_to_m - 3_091.6).abs() < 1.0, "{north:?}");
    let east = view.ray(90.0);
    assert_eq!((east.end, east.known_to_m), (End::Range, 5_000.0));
    // Ground beyond would have to stand higher than the level that is known.
    let shows = view.would_show_m(&north).unwrap();
    assert!(shows > 3.0 && shows < 8.0, "{shows}");
    let gaps = view.around(|_, _| ()).gaps();
    assert_eq!(gaps.len(), 3, "{gaps:?}");
    assert!(gaps.iter().all(|gap| gap.least.end == End::Edge));
    assert_eq!(gaps[0].from_deg, 0.0);
    assert!((gaps[1].from_deg + gaps[1].to_deg - 360.0).abs() <= 1.0);
}

#[test]
fn a_void_ends_what_is_known_and_what_lies_behind_still_counts() {
    let mut tiff = level([200, 200]);
    let width = tiff.size[0];
    for row in 140..150 {
        for column in 180..221 {
            tiff.heights[row * width + column] = -9999.0;
        }
    }
    // A ridge behind the void.
    for column in 0..width {
        tiff.heights[120 * width + column] = 200.0;
    }
    tiff.more = vec![(42_113, Value::Text("-9999".to_owned()))];
    let bytes = tiff.bytes();
    let wanted = seat(SEAT, 3_000.0);
    let known = elevation(wanted, &[("a.tif", bytes.clone())]).unwrap();
    let view = View::new(&known, Eye::default()).unwrap();
    let ray = view.ray(0.0);
    assert_eq!(ray.end, End::Void);
    assert!((ray.known_to_m - 50.0 * 30.916).abs() < 2.0, "{ray:?}");
    assert!(ray.obstacle.unwrap().altitude_deg > 4.0);
    let sources = known.sources();
    assert_eq!((sources[0].voids, sources[0].impossible), (410, 0));

    // The same values without a word of what they mean are heights that no ground has.
    tiff.more.clear();
    let found = elevation(wanted, &[("a.tif", tiff.bytes())]).unwrap();
    assert_eq!(found.sources()[0].impossible, 410);
    assert_eq!(View::new(&found, Eye::default()).unwrap().ray(0.0), ray);

    // Whoever says what voids stand for has a whole view.
    let mut filled = wanted;
    filled.voids_m = Some(0.0);
    let found = elevation(filled, &[("a.tif", bytes.clone())]).unwrap();
    let whole = View::new(&found, Eye::default()).unwrap().ray(0.0);
    assert_eq!((whole.end, whole.known_to_m), (End::Range, 3_000.0));
    assert_eq!(whole.obstacle, ray.obstacle);

    // So has whoever brings coarser data that know it; where both know, the finer hold.
    let coarse = Tiff::of([81, 81], [SEAT[1] - 0.05, SEAT[0] + 0.05], 0.00125, |_| 7.0);
    let both = [("coarse.tif", coarse.bytes()), ("a.tif", bytes)];
    let found = elevation(wanted, &both).unwrap();
    assert_eq!(found.sources()[0].file, "a.tif");
    let view = View::new(&found, Eye::default()).unwrap();
    assert_eq!(view.ground_m(), 3.0);
    let whole = view.ray(0.0);
    assert_eq!((whole.end, whole.obstacle), (End::Range, ray.obstacle));
    assert!(view.ray(180.0).obstacle.unwrap().altitude_deg < 0.0);
}

#[test]
fn a_seat_in_a_void_or_outside_is_refused_with_what_to_do() {
    let mut tiff = level([50, 50]);
    let middle = tiff.heights.len() / 2;
    tiff.heights[middle] = f64::NAN;
    let wanted = seat(SEAT, 1_000.0);
    let found = elevation(wanted, &[("a.tif", tiff.bytes())]).unwrap();
    let refused = View::new(&found, Eye::default()).unwrap_err();
    assert!(matches!(refused, Error::SeatInVoid { .. }), "{refused}");
    // With a height of its own it has a view, but nothing is known around it.
    let own = Eye {
        ground_m: Some(4.0),
        ..Eye::default()
    };
    let view = View::new(&found, own).unwrap();
    assert_eq!(
        (view.ray(10.0).known_to_m, view.ray(10.0).end),
        (0.0, End::Void)
    );
    let refused = profile(&view.around(|_, _| ())).unwrap_err();
    assert!(matches!(refused, Error::Blind { .. }), "{refused}");

    let elsewhere = elevation(seat([53.4, 1.4], 1_000.0), &[("a.tif", tiff.bytes())]).unwrap();
    let refused = elsewhere.ground_m().unwrap_err().to_string();
    assert!(
        refused.contains("none of the 1 elevation files covers"),
        "{refused}"
    );
}

#[test]
fn files_side_by_side_leave_no_gap() {
    // Heights for areas: the outermost posts of two neighbours stand a whole step apart.
    let half = |first: [f64; 2]| {
        let mut tiff = Tiff::of([200, 400], first, STEP, |[_, east]| {
            10.0 + 100.0 * (east - 1.2)
        });
        tiff.keys = AREAS.to_vec();
        tiff.bytes()
    };
    let top = SEAT[0] + 200.0 * STEP;
    let west = half([SEAT[1] - 200.3 * STEP, top]);
    let east = half([SEAT[1] - 0.3 * STEP, top]);
    let files = [("west.tif", west), ("east.tif", east)];
    let found = elevation(seat(SEAT, 3_000.0), &files).unwrap();
    assert_eq!(found.sources().len(), 2);
    let view = View::new(&found, Eye::default()).unwrap();
    let around = view.around(|_, _| ());
    assert!(around.gaps().is_empty(), "{:?}", around.gaps());
    // Alone, one of them ends close by.
    let alone = elevation(seat(SEAT, 3_000.0), &files[1..]).unwrap();
    let ray = View::new(&alone, Eye::default()).unwrap().ray(270.0);
    assert!(
        (ray.known_to_m - 0.3 * STEP * 66_500.0).abs() < 0.2,
        "{ray:?}"
    );
}
