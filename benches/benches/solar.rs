//! The sun's place, ours beside peers.
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use wrackline_solar::{Instant, JulianDates, Observer, Site, Threshold};

fn place(c: &mut Criterion) {
    let observer = Observer::new(Site {
        latitude_deg: 54.0,
        longitude_deg: 3.0,
        elevation_m: 2.0,
    })
    .unwrap();
    let mut jd = 2_461_000.5;
    c.bench_function("sun at", |b| {
        b.iter(|| {
            jd += 0.37;
            if jd > 2_470_000.0 {
                jd -= 9000.0;
            }
            let i = Instant::from_julian_dates(JulianDates {
                ut1_jd: jd,
                tt_jd: jd + 69.0 / 86400.0,
            })
            .unwrap();
            black_box(observer.sun_at(i))
        })
    });
    c.bench_function("moon geo at", |b| {
        b.iter(|| {
            jd += 0.37;
            if jd > 2_470_000.0 {
                jd -= 9000.0;
            }
            let i = Instant::from_julian_dates(JulianDates {
                ut1_jd: jd,
                tt_jd: jd + 69.0 / 86400.0,
            })
            .unwrap();
            black_box(wrackline_solar::Snapshot::moon(i).place(&observer))
        })
    });
    let a: jiff::Timestamp = "2026-01-01T00:00:00Z".parse().unwrap();
    let b_: jiff::Timestamp = "2027-01-01T00:00:00Z".parse().unwrap();
    c.bench_function("sun year of rise and set", |b| {
        b.iter(|| black_box(observer.sun_crossings(Threshold::SUNRISE, a..b_)))
    });
    c.bench_function("moon year of rise and set", |b| {
        b.iter(|| black_box(observer.moon_crossings(Threshold::MOONRISE, a..b_)))
    });
}
criterion_group!(benches, place);
criterion_main!(benches);
