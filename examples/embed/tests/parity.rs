//! The parity file: figures of the libraries to the last bit, which every other language must
//! reproduce. Python's tests read it, and so does `examples/c/tests/agree.c`; `.ci/web` has a page compute it.
//!
//! Each row of `parity.csv` is a quantity of a subject at `x`, as the 16 hexadecimal digits of a
//! double and, to read, in decimals. Rows whose quantity begins with `given.` are the inputs, so
//! that every reader builds its subjects from the file. `x` is an instant in milliseconds since
//! 1970, a distance in metres, a share, a name, or a number in a row.
//!
//! After a change that is meant to change a last bit:
//! `WRACKLINE_PARITY=write cargo test -p wrackline-embed --test parity`.
#![allow(clippy::unwrap_used)] // A test that cannot go on fails.

use std::fmt::Write as _;
use std::ops::Range;

use jiff::{SignedDuration, Timestamp};
use wrackline_optics::{
    CircleOfConfusion, Converter, FrameShare, Kit, Lens, LensSpec, Sensor, SensorSpec,
};
use wrackline_solar::{
    Body, Grid, Horizontal, LitMoon, Observer, Path, Site, SunAndMoon, Threshold,
};
use wrackline_tides::{Convention, Harmonic, Port, PortSpec, TurnKind};

#[cfg(test)]
const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/parity.csv");

struct Table(String);

impl Table {
    fn row(&mut self, quantity: &str, subject: &str, x: impl std::fmt::Display, value: f64) {
        let bits = value.to_bits();
        writeln!(self.0, "{quantity},{subject},{x},{bits:016x},{value}").unwrap();
    }
}

fn at(text: &str) -> Timestamp {
    text.parse().unwrap()
}

fn given_span(table: &mut Table, name: &str, span: &Range<Timestamp>) {
    for (quantity, at) in [
        ("given.span_start_ms", span.start),
        ("given.span_end_ms", span.end),
    ] {
        table.row(quantity, name, "", at.as_millisecond() as f64);
    }
}

/// Scattered instants of two days over the end of a leap year, in rising order, on milliseconds.
fn scattered() -> Vec<Timestamp> {
    let start = at("2028-12-31T00:00:00Z");
    (0..60i64)
        .map(|n| {
            let ms = n * 2_880_000 + (n * n * 7_919_333) % 2_000_000;
            start + SignedDuration::from_millis(ms)
        })
        .collect()
}

fn sky(table: &mut Table) {
    let sites = [
        ("spit_end", 53.4, 1.2, 3.0),
        ("high_north", 70.1, 25.5, 0.0),
        ("far_south", -64.8, -64.1, 12.5),
    ];
    for (name, latitude_deg, longitude_deg, elevation_m) in sites {
        table.row("given.latitude_deg", name, "", latitude_deg);
        table.row("given.longitude_deg", name, "", longitude_deg);
        table.row("given.elevation_m", name, "", elevation_m);
        let site = Site {
            latitude_deg,
            longitude_deg,
            elevation_m,
        };
        let observer = Observer::new(site).unwrap();
        for year in [1905, 1972, 2026, 2099] {
            let at = at(&format!("{year}-07-03T09:33:20.125Z"));
            let (sun, moon) = (observer.sun(at), observer.moon(at));
            let x = at.as_millisecond();
            table.row("sun.azimuth_deg", name, x, sun.azimuth_deg);
            table.row("sun.altitude_deg", name, x, sun.altitude_deg);
            table.row("moon.azimuth_deg", name, x, moon.azimuth_deg);
            table.row("moon.altitude_deg", name, x, moon.altitude_deg);
            table.row("moon.distance_km", name, x, moon.distance_km);
            table.row("moon.lit_fraction", name, x, moon.lit_fraction);
        }
        // Batches from a path over the instants and a second more.
        let list = scattered();
        let span = list[0]..*list.last().unwrap() + SignedDuration::from_secs(1);
        let mut suns = vec![Horizontal::default(); list.len()];
        let mut moons = vec![LitMoon::default(); list.len()];
        let path = Path::new(Body::Sun, span.clone()).unwrap();
        let both = SunAndMoon::new(span).unwrap();
        path.fill_places_at(&observer, &list, &mut suns).unwrap();
        both.fill_moons_at(&observer, &list, &mut moons).unwrap();
        for ((at, sun), moon) in list.iter().zip(&suns).zip(&moons) {
            let x = at.as_millisecond();
            table.row("sun_scattered.altitude_deg", name, x, sun.altitude_deg);
            table.row("moon_scattered.altitude_deg", name, x, moon.altitude_deg);
        }
        let (start, step) = (at("2026-12-29T00:00:00Z"), SignedDuration::from_mins(15));
        let last = start + SignedDuration::from_mins(15 * 95);
        let span = start..last + SignedDuration::from_secs(1);
        let mut suns = vec![Horizontal::default(); 96];
        let mut moons = vec![LitMoon::default(); 96];
        let grid = Grid::new(start, step, 96).unwrap();
        let path = Path::new(Body::Sun, span.clone()).unwrap();
        let both = SunAndMoon::new(span).unwrap();
        path.fill_places(&observer, &grid, &mut suns).unwrap();
        both.fill_moons(&observer, &grid, &mut moons).unwrap();
        for (n, (sun, moon)) in suns.iter().zip(&moons).enumerate() {
            let x = (start + SignedDuration::from_mins(15 * n as i64)).as_millisecond();
            table.row("sun_even.altitude_deg", name, x, sun.altitude_deg);
            table.row("sun_even.azimuth_deg", name, x, sun.azimuth_deg);
            table.row("moon_even.altitude_deg", name, x, moon.altitude_deg);
        }
        let span = at("2026-03-01T00:00:00Z")..at("2026-03-08T00:00:00Z");
        given_span(table, name, &span);
        let found = observer
            .sun_crossings(Threshold::SUNRISE, span.clone())
            .unwrap();
        for (n, crossing) in found.events.iter().enumerate() {
            let us = crossing.at.as_microsecond() as f64;
            table.row("sunrise.at_us", name, n, us);
            table.row("sunrise.azimuth_deg", name, n, crossing.azimuth_deg);
        }
        for (n, transit) in observer.moon_transits(span).unwrap().iter().enumerate() {
            let us = transit.at.as_microsecond() as f64;
            table.row("moon_transit.at_us", name, n, us);
            table.row("moon_transit.altitude_deg", name, n, transit.altitude_deg);
            let is_upper = f64::from(transit.culmination == wrackline_solar::Culmination::Upper);
            table.row("moon_transit.is_upper", name, n, is_upper);
        }
    }
}

fn tide(table: &mut Table) {
    let lines = [
        ("M2", 2.52, 171.0),
        ("S2", 0.86, 219.0),
        ("N2", 0.49, 150.5),
        ("K1", 0.14, 290.0),
        ("O1", 0.16, 108.0),
        ("M4", 0.21, 243.0),
        ("SA", 0.07, 220.0),
    ];
    let conventions = [
        ("haven_annual", Convention::SchuremanAnnual),
        ("haven_instant", Convention::IhoInstant),
    ];
    for (name, convention) in conventions {
        table.row("given.mean_level_m", name, "", 4.4);
        let mut harmonics = Vec::new();
        for (line, amplitude_m, phase_lag_deg) in lines {
            table.row("given.amplitude_m", name, line, amplitude_m);
            table.row("given.phase_lag_deg", name, line, phase_lag_deg);
            harmonics.push(Harmonic {
                name: line.to_owned(),
                amplitude_m,
                phase_lag_deg,
            });
        }
        let spec = PortSpec {
            mean_level_m: 4.4,
            harmonics: &harmonics,
            convention,
        };
        let port = Port::new(spec).unwrap();
        for year in [1931, 2026, 2080] {
            let at = at(&format!("{year}-07-03T09:33:20.125Z"));
            table.row(
                "height_m",
                name,
                at.as_millisecond(),
                port.height_m(at).unwrap(),
            );
        }
        let list = scattered();
        let span = list[0]..*list.last().unwrap() + SignedDuration::from_secs(1);
        let mut heights = vec![0.0; list.len()];
        let predictor = port.predictor(span).unwrap();
        let mut rates = vec![0.0; list.len()];
        predictor.fill_heights_at(&list, &mut heights).unwrap();
        for (at, height_m) in list.iter().zip(&heights) {
            let x = at.as_millisecond();
            table.row("height_scattered_m", name, x, *height_m);
        }
        predictor
            .fill_heights_and_rates_at(&list, &mut heights, &mut rates)
            .unwrap();
        for (at, rate_m_per_h) in list.iter().zip(&rates) {
            let x = at.as_millisecond();
            table.row("rate_m_per_h", name, x, *rate_m_per_h);
        }
        let (start, step) = (at("2026-12-29T00:00:00Z"), SignedDuration::from_mins(15));
        let last = start + SignedDuration::from_mins(15 * 95);
        let predictor = port.predictor(start..last + SignedDuration::from_secs(1));
        let mut heights = vec![0.0; 96];
        let grid = wrackline_tides::Grid::new(start, step, 96).unwrap();
        predictor
            .unwrap()
            .fill_heights(&grid, &mut heights)
            .unwrap();
        for (n, height_m) in heights.iter().enumerate() {
            let x = (start + SignedDuration::from_mins(15 * n as i64)).as_millisecond();
            table.row("height_even_m", name, x, *height_m);
        }
        let span = at("2026-12-28T00:00:00Z")..at("2027-01-04T00:00:00Z");
        given_span(table, name, &span);
        let predictor = port.predictor(span).unwrap();
        for (n, turn) in predictor.turns().iter().enumerate() {
            let is_high = f64::from(turn.kind == TurnKind::HighWater);
            table.row("turn.at_us", name, n, turn.at.as_microsecond() as f64);
            table.row("turn.height_m", name, n, turn.height_m);
            table.row("turn.is_high", name, n, is_high);
        }
        table.row("given.level_m", name, "", 6.5);
        for (n, above) in predictor.above(6.5).unwrap().iter().enumerate() {
            let (start, end) = (above.start.as_microsecond(), above.end.as_microsecond());
            table.row("above.start_us", name, n, start as f64);
            table.row("above.end_us", name, n, end as f64);
        }
    }
}

fn framing(table: &mut Table) {
    let name = "long_kit";
    let (sides, pixels) = ((36.0, 24.0), (8000, 5333));
    for (quantity, value) in [
        ("given.focal_length_mm", 600.0),
        ("given.f_number", 4.0),
        ("given.minimum_focus_m", 4.5),
        ("given.converter", 1.4),
        ("given.sensor_width_mm", sides.0),
        ("given.sensor_height_mm", sides.1),
        ("given.columns", f64::from(pixels.0)),
        ("given.rows", f64::from(pixels.1)),
        ("given.subject_m", 0.24),
        ("given.circle_pixels", 1.0),
    ] {
        table.row(quantity, name, "", value);
    }
    let lens = Lens::new(LensSpec {
        focal_length_mm: 600.0,
        f_number: 4.0,
        minimum_focus_m: 4.5,
        ..LensSpec::THIN
    })
    .unwrap();
    let sensor = Sensor::new(SensorSpec {
        width_mm: sides.0,
        height_mm: sides.1,
        columns: pixels.0,
        rows: pixels.1,
    })
    .unwrap();
    let kit = Kit::new(lens, Some(Converter::new(1.4).unwrap()), sensor);
    table.row("kit.focal_length_mm", name, "", kit.focal_length_mm());
    table.row("kit.effective_f_number", name, "", kit.effective_f_number());
    table.row("kit.minimum_focus_m", name, "", kit.minimum_focus_m());
    let circle = CircleOfConfusion::pixels(&sensor, 1.0).unwrap();
    // The last lies beyond the hyperfocal distance: its depth of field has no end.
    for distance_m in [4.75, 16.0, 85.0, 1234.5, 98765.0] {
        let focused = kit.focused_at_m(distance_m).unwrap();
        let zone = focused.depth_of_field(circle);
        let share = focused.frame_share(0.24).unwrap();
        let pixels = focused.pixels_along(0.24).unwrap();
        table.row("frame_share", name, distance_m, share);
        table.row("pixels_along", name, distance_m, pixels);
        table.row("near_m", name, distance_m, zone.near_m);
        if let Some(far_m) = zone.far.distance_m() {
            table.row("far_m", name, distance_m, far_m);
        }
    }
    for share in [0.05, 0.25, 0.5] {
        let wish = FrameShare {
            subject_m: 0.24,
            share,
        };
        let distance_m = kit.distance_for_share(wish).unwrap();
        table.row("distance_for_share", name, share, distance_m);
    }
}

/// The file, computed anew. What is made for a page computes it there, too.
pub(crate) fn computed() -> String {
    let mut table = Table("quantity,subject,x,bits,value\n".to_owned());
    sky(&mut table);
    tide(&mut table);
    framing(&mut table);
    table.0
}

#[test]
fn the_parity_file_is_what_the_libraries_give() {
    let table = computed();
    if std::env::var_os("WRACKLINE_PARITY").is_some_and(|word| word == "write") {
        std::fs::write(FILE, &table).unwrap();
    }
    let known = std::fs::read_to_string(FILE).unwrap();
    for (line, (known, found)) in known.lines().zip(table.lines()).enumerate() {
        assert_eq!(known, found, "line {} of {FILE}", line + 1);
    }
    assert_eq!(known.lines().count(), table.lines().count());
}
