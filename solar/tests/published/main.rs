//! Checks against published and independently computed values, one file a source.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot read its table must fail"
)]

mod almanac;
mod delta_t;
mod illuminance;
mod meeus_1998;
mod moon_phases_seasons;
mod moon_rise_set;
mod refraction;
mod spa_nrel_2004;
mod sun_crossings;
mod sun_moon_places;

/// Rows of a table whose header lines begin with `#`, as maps from column to field.
pub(crate) fn rows(csv: &str) -> Vec<std::collections::HashMap<String, String>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(csv.as_bytes());
    reader.deserialize().map(|row| row.unwrap()).collect()
}

/// The number in a column.
pub(crate) fn number(row: &std::collections::HashMap<String, String>, column: &str) -> f64 {
    row[column].parse().unwrap()
}

/// A time in UTC from POSIX seconds.
pub(crate) fn utc(posix_s: f64) -> jiff::Timestamp {
    jiff::Timestamp::from_microsecond((posix_s * 1e6).round() as i64).unwrap()
}

/// How a set of departures is distributed.
#[derive(Debug)]
#[allow(dead_code, reason = "the fields are there to be printed")]
pub(crate) struct Spread {
    pub(crate) count: usize,
    pub(crate) max: f64,
    pub(crate) p99: f64,
    pub(crate) rms: f64,
}

impl Spread {
    pub(crate) fn of(mut departures: Vec<f64>) -> Self {
        departures.iter_mut().for_each(|d| *d = d.abs());
        departures.sort_by(f64::total_cmp);
        let count = departures.len();
        Self {
            count,
            max: departures[count - 1],
            p99: departures[count * 99 / 100],
            rms: (departures.iter().map(|d| d * d).sum::<f64>() / count as f64).sqrt(),
        }
    }
}
