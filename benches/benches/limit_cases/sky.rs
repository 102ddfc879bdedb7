//! Sun and moon over one place from polynomials, which C makes from nodes of the full theory.

use std::cell::RefCell;
use std::f64::consts::PI;
use std::fmt::Write;
use std::hint::black_box;

use jiff::{SignedDuration, Timestamp};
use wrackline_solar::{
    Grid, Horizontal, Instant, LitMoon, Observer, Site, SunAndMoon, moon_at, sun_at,
};

use super::Case;

const COUNT: usize = 4096;
const ORDER: usize = 8;
const SITE: Site = Site {
    latitude_deg: 54.0,
    longitude_deg: 3.0,
    elevation_m: 0.0,
};
/// Seconds of POSIX time at J2000.
const J2000_S: i64 = 946_728_000;

fn utc_days(at: Timestamp) -> f64 {
    (at.as_second() - J2000_S) as f64 / 86_400.0 + f64::from(at.subsec_nanosecond()) / 86_400e9
}

fn at_days(utc_days: f64) -> Timestamp {
    let nanoseconds = (utc_days * 86_400e9) as i128;
    Timestamp::from_nanosecond(nanoseconds + i128::from(J2000_S) * 1_000_000_000).unwrap()
}

/// UT1-UTC in days.
fn excess_days(at: Timestamp) -> f64 {
    Instant::from_timestamp(at).julian_dates().ut1_jd - 2_451_545.0 - utc_days(at)
}

/// Geocentric vectors of sun and moon in the frame that the Earth Rotation Angle turns, km, and the
/// cosine of the moon's phase angle.
fn vectors(at: Timestamp, sky: &SunAndMoon) -> [[f64; 4]; 2] {
    let instant = Instant::from_timestamp(at);
    let (sun, moon) = (sun_at(instant), moon_at(instant));
    let ut1 = utc_days(at) + excess_days(at);
    let rotation_turns = 0.779_057_273_264 + 0.002_737_811_911_354_48 * ut1 + ut1;
    // The sun's hour angle at Greenwich, by true solar time there.
    let greenwich = Observer::new(Site {
        longitude_deg: 0.0,
        ..SITE
    })
    .unwrap();
    let hour_deg = (greenwich.true_solar_time_h(at) - 12.0) * 15.0;
    let origins_deg = rotation_turns.fract() * 360.0 - hour_deg - sun.right_ascension_deg;
    let vector = |right_ascension_deg: f64, declination_deg: f64, distance_km: f64, other: f64| {
        let (sine, cosine) = (right_ascension_deg + origins_deg).to_radians().sin_cos();
        let (up, level) = declination_deg.to_radians().sin_cos();
        let [x, y, z] = [level * cosine, level * sine, up].map(|part| part * distance_km);
        [x, y, z, other]
    };
    let phase = 2.0 * sky.lit_fraction(at).unwrap() - 1.0;
    [
        vector(
            sun.right_ascension_deg,
            sun.declination_deg,
            sun.distance_km(),
            0.0,
        ),
        vector(
            moon.right_ascension_deg,
            moon.declination_deg,
            moon.distance_km(),
            phase,
        ),
    ]
}

/// The pieces of one body: first day, days of a piece, how many, and each.
fn path(input: &mut String, body: usize, days: f64, sky: &SunAndMoon) {
    let span = sky.span();
    // All of what is prepared but for a piece at either end, which the span need not hold whole.
    let first = (utc_days(span.start) / days).ceil() * days;
    let count = ((utc_days(span.end) - first) / days).floor() - 1.0;
    writeln!(input, "{first:e} {days:e} {count}").unwrap();
    for piece in 0..count as usize {
        let from = first + days * piece as f64;
        let [begin, end] = [from, from + days].map(|day| excess_days(at_days(day)));
        writeln!(input, "{begin:e} {end:e}").unwrap();
        for node in 0..ORDER {
            let u = (PI * (2 * node + 1) as f64 / (2 * ORDER) as f64).cos();
            let ut1 = from + 0.5 * days * (1.0 + u);
            let at = at_days(ut1 - excess_days(at_days(ut1)));
            let [x, y, z, other] = vectors(at, sky)[body];
            writeln!(input, "{x:e} {y:e} {z:e} {other:e}").unwrap();
        }
    }
}

/// Hands the program's input and our cases on.
pub(crate) fn sky(measure: impl FnOnce(&str, &mut [Case<'_>])) {
    let start: Timestamp = "2026-01-01T00:00:00Z".parse().unwrap();
    let margin = SignedDuration::from_hours(24 * 30);
    let end: Timestamp = "2027-01-01T00:00:00Z".parse().unwrap();
    let sky = SunAndMoon::new(start - margin..end + margin).unwrap();
    let observer = Observer::new(SITE).unwrap();
    let instants: Vec<Timestamp> = (0..COUNT as i64)
        .map(|i| start + SignedDuration::from_secs(i * 7_919_317 % 31_000_000))
        .collect();
    let grid = Grid::new(start, SignedDuration::from_mins(1), COUNT).unwrap();

    let mut input = String::new();
    // The ellipsoid WGS 84.
    let (sine, cosine) = SITE.latitude_deg.to_radians().sin_cos();
    let polar = (1.0 - 1.0 / 298.257_223_563_f64).powi(2);
    let prime_vertical_km = 6378.137 / (cosine * cosine + polar * sine * sine).sqrt();
    let (from_axis, from_equator) = (prime_vertical_km * cosine, prime_vertical_km * polar * sine);
    let aberration = 7.292_115e-5 * from_axis / 299_792.458;
    let turns = SITE.longitude_deg / 360.0;
    writeln!(
        input,
        "{sine:e} {cosine:e} {turns:e} {from_axis:e} {from_equator:e} {aberration:e}"
    )
    .unwrap();
    path(&mut input, 0, 12.0, &sky);
    path(&mut input, 1, 2.0, &sky);
    writeln!(input, "{COUNT}").unwrap();
    for at in &instants {
        writeln!(input, "{:e}", utc_days(*at)).unwrap();
    }
    writeln!(input, "{:e} {:e} {COUNT}", utc_days(start), 1.0 / 1440.0).unwrap();

    let suns = RefCell::new(vec![Horizontal::default(); COUNT]);
    let moons = RefCell::new(vec![LitMoon::default(); COUNT]);
    let sun_grid = || {
        let suns = &mut suns.borrow_mut();
        let grid = black_box(&grid);
        sky.sun().fill_places(&observer, grid, suns).unwrap();
    };
    let sun_random = || {
        let suns = &mut suns.borrow_mut();
        let instants = black_box(&instants);
        sky.sun().fill_places_at(&observer, instants, suns).unwrap();
    };
    let moon_grid = || {
        let moons = &mut moons.borrow_mut();
        sky.fill_moons(&observer, black_box(&grid), moons).unwrap();
    };
    let moon_random = || {
        let moons = &mut moons.borrow_mut();
        sky.fill_moons_at(&observer, black_box(&instants), moons)
            .unwrap();
    };
    let mean = |sum: f64| sum / COUNT as f64;
    let of_suns = || {
        let suns = suns.borrow();
        mean(
            suns.iter()
                .map(|sun| sun.azimuth_deg + sun.altitude_deg)
                .sum(),
        )
    };
    let of_moons = || {
        let moons = moons.borrow();
        let of = |moon: &LitMoon| {
            let light = moon.lit_fraction + moon.phase_angle_deg;
            moon.azimuth_deg + moon.altitude_deg + moon.distance_km * 1e-3 + light
        };
        mean(moons.iter().map(of).sum())
    };
    let sums = [
        (sun_grid(), of_suns()).1,
        (sun_random(), of_suns()).1,
        (moon_grid(), of_moons()).1,
        (moon_random(), of_moons()).1,
    ];
    type Work<'a> = (&'static str, Box<dyn FnMut() + 'a>, f64);
    fn case((name, work, tolerance): Work<'_>, checksum: f64) -> Case<'_> {
        Case {
            name,
            work,
            rounds: 300,
            elements: COUNT as f64,
            checksum,
            tolerance,
        }
    }
    // A tenth of a second of arc for the sun, a second for the moon: far below what a slip makes.
    let mut cases = [
        case(("sun grid", Box::new(sun_grid), 3e-5), sums[0]),
        case(("sun random", Box::new(sun_random), 3e-5), sums[1]),
        case(("moon grid", Box::new(moon_grid), 3e-4), sums[2]),
        case(("moon random", Box::new(moon_random), 3e-4), sums[3]),
    ];
    measure(&input, &mut cases);
}
