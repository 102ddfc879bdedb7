//! Places and crossings of sun and moon, ours beside peers that do the same work.
//!
//! Before anything is timed each implementation is held to the ephemeris DE440 by the rows of the
//! library's own truth table, within the error that it states for itself.
#![allow(
    clippy::unwrap_used,
    reason = "a benchmark that cannot set up its case must fail"
)]

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use jiff::{SignedDuration, Timestamp};
use solar_positioning::events::SolarEvents;
use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, SolarPositions};
use wrackline_solar::{
    Aim, Atmosphere, Body, Grid, Horizontal, Instant, JulianDates, LitMoon, Luminaries, Observer,
    Path, Site, SkyCondition, Snapshot, SunAndMoon, Threshold, moon_at,
};

const TRUTH: &str = include_str!("../../solar/tests/data/sun_moon_places.csv");

/// The place of all benchmarks.
const SITE: Site = Site {
    latitude_deg: 54.0,
    longitude_deg: 3.0,
    elevation_m: 0.0,
};
const LOCATION: Location = Location {
    latitude: SITE.latitude_deg,
    longitude: SITE.longitude_deg,
};
const DELTA_T_S: f64 = 69.2;

fn observer() -> Observer {
    Observer::new(SITE).unwrap()
}

fn year() -> (Timestamp, Timestamp) {
    (
        "2026-01-01T00:00:00Z".parse().unwrap(),
        "2027-01-01T00:00:00Z".parse().unwrap(),
    )
}

/// Instants of one year without order.
fn instants() -> Vec<Timestamp> {
    let (start, _) = year();
    (0..4096_i64)
        .map(|i| start + SignedDuration::from_secs(i * 7_919_317 % 31_000_000))
        .collect()
}

fn julian(at: Timestamp) -> f64 {
    at.as_millisecond() as f64 / 86_400_000.0 + 2_440_587.5
}

/// The columns of the truth table that matter here.
struct Row {
    ut1_jd: f64,
    tt_jd: f64,
    site: Site,
    sun: (f64, f64),
    moon: (f64, f64),
}

fn truth() -> Vec<Row> {
    let mut lines = TRUTH.lines().filter(|line| !line.starts_with('#'));
    let columns: Vec<_> = lines.next().unwrap().split(',').collect();
    let index = |name: &str| columns.iter().position(|c| *c == name).unwrap();
    lines
        .map(|line| {
            let fields: Vec<_> = line.split(',').collect();
            let n = |name: &str| fields[index(name)].parse::<f64>().unwrap();
            Row {
                ut1_jd: n("jd_ut1"),
                tt_jd: n("jd_tt"),
                site: Site {
                    latitude_deg: n("lat"),
                    longitude_deg: n("lon"),
                    elevation_m: n("h_m"),
                },
                sun: (n("sun_az"), n("sun_alt")),
                moon: (n("moon_ra_geo"), n("moon_dec_geo")),
            }
        })
        .collect()
}

fn apart_arcsec(a: (f64, f64), b: (f64, f64)) -> f64 {
    let v = |(lon, lat): (f64, f64)| {
        let (sl, cl) = lon.to_radians().sin_cos();
        let (sb, cb) = lat.to_radians().sin_cos();
        [cb * cl, cb * sl, sb]
    };
    let (a, b) = (v(a), v(b));
    let square: f64 = a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum();
    square.sqrt().to_degrees() * 3600.0
}

fn largest(name: &str, limit_arcsec: f64, off: impl Iterator<Item = f64>) {
    let off = off.fold(0.0, f64::max);
    println!("{name}: {off:.3}\" at most from DE440");
    assert!(off < limit_arcsec, "{name} is {off}\" off");
}

fn position(c: &mut Criterion) {
    let rows = truth();
    let instant = |row: &Row| {
        Instant::from_julian_dates(JulianDates {
            ut1_jd: row.ut1_jd,
            tt_jd: row.tt_jd,
        })
        .unwrap()
    };
    largest(
        "sun, full theory",
        0.1,
        rows.iter().map(|row| {
            let place = Observer::new(row.site).unwrap().sun_at(instant(row));
            apart_arcsec((place.azimuth_deg, place.altitude_deg), row.sun)
        }),
    );
    let peer = |positions: SolarPositions, row: &Row, height: f64| {
        let time = JulianDate::new(row.ut1_jd, (row.tt_jd - row.ut1_jd) * 86_400.0).unwrap();
        let location = Location {
            latitude: row.site.latitude_deg,
            longitude: row.site.longitude_deg,
        };
        let place = positions
            .at_from_julian(time, location, height, None)
            .unwrap();
        apart_arcsec((place.azimuth(), 90.0 - place.zenith_angle()), row.sun)
    };
    // Stated: 0.0003°.
    largest(
        "solar-positioning, SPA",
        2.0,
        rows.iter()
            .map(|row| peer(SolarPositions::new(), row, row.site.elevation_m)),
    );
    // Stated: 0.01°, 2010 to 2110.
    let recent = || rows.iter().filter(|row| row.ut1_jd > 2_455_197.5);
    largest(
        "solar-positioning, Grena3",
        60.0,
        recent().map(|row| peer(SolarPositions::grena3(), row, 0.0)),
    );

    let observer = observer();
    let instants = instants();
    let days: Vec<f64> = instants.iter().map(|at| julian(*at)).collect();
    let (start, end) = year();
    let path = Path::new(Body::Sun, start..end).unwrap();
    let mut next = 0;
    let mut index = move || {
        next = (next + 1) & 4095;
        next
    };
    let mut group = c.benchmark_group("sun at a random instant");
    group.bench_function("full theory", |b| {
        b.iter(|| observer.sun(black_box(instants[index()])));
    });
    group.bench_function("prepared path, place", |b| {
        b.iter(|| path.place(&observer, black_box(instants[index()])));
    });
    group.bench_function("prepared path, azimuth and altitude", |b| {
        b.iter(|| path.horizontal(&observer, black_box(instants[index()])));
    });
    for (name, positions) in [
        ("solar-positioning SPA", SolarPositions::new()),
        ("solar-positioning Grena3", SolarPositions::grena3()),
    ] {
        group.bench_function(name, |b| {
            b.iter(|| {
                let time = JulianDate::new(black_box(days[index()]), DELTA_T_S).unwrap();
                positions.at_from_julian(time, LOCATION, 0.0, None)
            });
        });
    }
    group.finish();

    let mut group = c.benchmark_group("a further place at one instant");
    let snapshot = Snapshot::sun(Instant::from_timestamp(start));
    group.bench_function("snapshot", |b| {
        b.iter(|| snapshot.place(black_box(&observer)))
    });
    let prepared = SolarPositions::new()
        .for_time_from_julian(JulianDate::new(julian(start), DELTA_T_S).unwrap())
        .unwrap();
    group.bench_function("solar-positioning SPA", |b| {
        b.iter(|| prepared.at(black_box(LOCATION), 0.0, None));
    });
    group.finish();

    let mut group = c.benchmark_group("sun in batches of 4096");
    let mut places = vec![Horizontal::default(); instants.len()];
    group.throughput(Throughput::Elements(places.len() as u64));
    let grid = Grid::new(start, SignedDuration::from_secs(60), places.len()).unwrap();
    group.bench_function("grid of minutes", |b| {
        b.iter(|| path.fill_places(&observer, &grid, &mut places));
    });
    group.bench_function("random instants", |b| {
        b.iter(|| path.fill_places_at(&observer, &instants, &mut places));
    });
    group.bench_function("solar-positioning SPA, one by one", |b| {
        let positions = SolarPositions::new();
        b.iter(|| {
            for (day, place) in days.iter().zip(&mut places) {
                let time = JulianDate::new(*day, DELTA_T_S).unwrap();
                let sun = positions.at_from_julian(time, LOCATION, 0.0, None).unwrap();
                *place = Horizontal {
                    azimuth_deg: sun.azimuth(),
                    altitude_deg: 90.0 - sun.zenith_angle(),
                };
            }
        });
    });
    group.finish();
}

fn crossings(c: &mut Criterion) {
    let observer = observer();
    let (start, end) = year();
    let events = SolarEvents::new();
    let peer_year = || {
        (0..365)
            .map(|day| {
                let from = julian(start) + f64::from(day);
                events
                    .for_interval_from_julian(
                        from,
                        from + 1.0,
                        LOCATION,
                        DELTA_T_S,
                        Horizon::SunriseSunset,
                    )
                    .unwrap()
            })
            .collect::<Vec<_>>()
    };
    // The same events in both: the peer leaves out UT1-UTC (0.02 s that year) and states 0.0003°,
    // some 0.1 s.
    let ours = observer
        .sun_crossings(Threshold::SUNRISE, start..end)
        .unwrap()
        .events;
    let mut theirs: Vec<f64> = peer_year()
        .into_iter()
        .flat_map(|day| day.rises.into_iter().chain(day.sets))
        .collect();
    theirs.sort_by(f64::total_cmp);
    assert_eq!(ours.len(), theirs.len());
    let off = ours
        .iter()
        .zip(&theirs)
        .map(|(ours, theirs)| (julian(ours.at) - theirs).abs() * 86_400.0)
        .fold(0.0, f64::max);
    println!("rise and set, ours against solar-positioning: {off:.2} s at most");
    assert!(off < 1.0);

    let path = Path::new(Body::Sun, start..end).unwrap();
    let moon = Path::new(Body::Moon, start..end).unwrap();
    let mut group = c.benchmark_group("a year of rises and settings");
    group.sample_size(20);
    group.bench_function("sun", |b| {
        b.iter(|| observer.sun_crossings(Threshold::SUNRISE, black_box(start..end)));
    });
    group.bench_function("sun, path prepared before", |b| {
        b.iter(|| path.crossings(&observer, Threshold::SUNRISE, black_box(start..end)));
    });
    group.bench_function("solar-positioning SPA", |b| b.iter(peer_year));
    group.bench_function("moon", |b| {
        b.iter(|| observer.moon_crossings(Threshold::MOONRISE, black_box(start..end)));
    });
    group.bench_function("moon, path prepared before", |b| {
        b.iter(|| moon.crossings(&observer, Threshold::MOONRISE, black_box(start..end)));
    });
    group.bench_function("sun path, preparing", |b| {
        b.iter(|| Path::new(Body::Sun, black_box(start..end)));
    });
    group.bench_function("sun and moon, preparing", |b| {
        b.iter(|| SunAndMoon::new(black_box(start..end)));
    });
    let both = SunAndMoon::new(start..end).unwrap();
    group.bench_function("moon lit at least by half, path prepared before", |b| {
        b.iter(|| both.moon_lit_above(0.5, black_box(start..end)));
    });
    let aim = Aim {
        bearing_deg: 200.0,
        elevation_deg: 0.0,
        half_diagonal_deg: 2.0,
    };
    group.bench_function("sun near a view, path prepared before", |b| {
        b.iter(|| {
            path.near_view(
                &observer,
                aim,
                10.0,
                &Atmosphere::STANDARD,
                black_box(start..end),
            )
        });
    });
    group.finish();
}

fn moon(c: &mut Criterion) {
    let rows = truth();
    largest(
        "moon, full theory",
        10.0,
        rows.iter().map(|row| {
            let moon = moon_at(
                Instant::from_julian_dates(JulianDates {
                    ut1_jd: row.ut1_jd,
                    tt_jd: row.tt_jd,
                })
                .unwrap(),
            );
            apart_arcsec((moon.right_ascension_deg, moon.declination_deg), row.moon)
        }),
    );
    let days: Vec<f64> = instants().iter().map(|at| julian(*at)).collect();
    let instant = |tt_jd: f64| {
        Instant::from_julian_dates(JulianDates {
            ut1_jd: tt_jd,
            tt_jd,
        })
        .unwrap()
    };
    // The peer's series (Meeus, chapter 47) gives the mean ecliptic of date: nutation in longitude,
    // up to 17", is left out; stated are 10" and 4".
    largest(
        "astro, moon in ecliptic latitude",
        10.0,
        days.iter().take(500).map(|day| {
            let (peer, _) = astro::lunar::geocent_ecl_pos(*day);
            let ours = moon_at(instant(*day)).ecliptic_latitude_deg;
            (peer.lat.to_degrees() - ours).abs() * 3600.0
        }),
    );
    let observer = observer();
    let mut next = 0;
    let mut index = move || {
        next = (next + 1) & 4095;
        next
    };
    let mut group = c.benchmark_group("moon at a random instant");
    group.bench_function("full theory, for the observer", |b| {
        b.iter(|| Snapshot::moon(instant(black_box(days[index()]))).place(&observer));
    });
    group.bench_function("full theory with the moon's light", |b| {
        b.iter(|| observer.moon_at(instant(black_box(days[index()]))));
    });
    group.bench_function("astro, geocentric, mean ecliptic only", |b| {
        b.iter(|| astro::lunar::geocent_ecl_pos(black_box(days[index()])));
    });
    let (start, end) = year();
    let both = SunAndMoon::new(start..end).unwrap();
    let instants = instants();
    group.bench_function("prepared, with its light", |b| {
        b.iter(|| both.moon_place(&observer, black_box(instants[index()])));
    });
    group.finish();

    let mut group = c.benchmark_group("moon in batches of 4096");
    let mut moons = vec![LitMoon::default(); instants.len()];
    let mut suns = vec![Horizontal::default(); instants.len()];
    group.throughput(Throughput::Elements(moons.len() as u64));
    let grid = Grid::new(start, SignedDuration::from_secs(60), moons.len()).unwrap();
    group.bench_function("grid of minutes", |b| {
        b.iter(|| both.fill_moons(&observer, &grid, &mut moons));
    });
    group.bench_function("random instants", |b| {
        b.iter(|| both.fill_moons_at(&observer, &instants, &mut moons));
    });
    both.sun()
        .fill_places_at(&observer, &instants, &mut suns)
        .unwrap();
    let mut lux = vec![0.0; moons.len()];
    group.bench_function("light on level ground of both", |b| {
        b.iter(|| {
            for ((sun, moon), lux) in suns.iter().zip(&moons).zip(&mut lux) {
                let light = Luminaries::of_batches(sun, moon).unwrap();
                *lux = light.horizontal(SkyCondition::Clear).likely_lx;
            }
        });
    });
    group.finish();
}

criterion_group!(benches, position, crossings, moon);
criterion_main!(benches);
