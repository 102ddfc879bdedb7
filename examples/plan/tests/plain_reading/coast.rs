//! Tides of every kind, and the levels that they reach.

use jiff::civil::Date;

use super::chance::Chance;
use super::plan::{Port, Secondary};
use super::tide;

pub(crate) fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// The heights of a tide, lowest first.
pub(crate) struct Levels(Vec<f64>);

impl Levels {
    pub(crate) fn of(port: &Port, from: Date) -> Self {
        let start = i64::from(super::table::day_number(from)) * 1440;
        // Hourly over a spring and a neap: enough to draw from.
        let hours = (0..15 * 24).map(|hour| tide::heights(port, start + hour * 60, 1)[0]);
        let mut heights: Vec<f64> = hours.collect();
        heights.sort_by(f64::total_cmp);
        Self(heights)
    }

    pub(crate) fn at(&self, share: f64) -> f64 {
        self.0[((self.0.len() - 1) as f64 * share) as usize]
    }

    pub(crate) fn top(&self) -> f64 {
        self.at(1.0)
    }
}

pub(crate) fn port(chance: &mut Chance) -> Port {
    let kind = chance.below(6);
    // Amplitudes from and to, by the kind of tide.
    let rows: &[(&str, f64, f64)] = match kind {
        0 | 5 => &[
            ("M2", 1.0, 3.0),
            ("S2", 0.2, 1.0),
            ("N2", 0.1, 0.5),
            ("K1", 0.05, 0.2),
            ("K2", 0.0, 0.3),
        ],
        1 => &[
            ("M2", 0.4, 1.0),
            ("S2", 0.1, 0.3),
            ("K1", 0.4, 1.0),
            ("O1", 0.2, 0.7),
            ("P1", 0.1, 0.3),
        ],
        2 => &[
            ("K1", 0.4, 1.3),
            ("O1", 0.3, 1.1),
            ("P1", 0.0, 0.3),
            ("M2", 0.0, 0.2),
        ],
        3 => &[
            ("M2", 1.0, 1.6),
            ("S2", 0.2, 0.5),
            ("M4", 0.4, 0.9),
            ("MS4", 0.1, 0.3),
            ("MN4", 0.0, 0.1),
            ("M6", 0.1, 0.3),
        ],
        _ => &[
            ("M2", 0.05, 0.3),
            ("S2", 0.0, 0.1),
            ("K1", 0.0, 0.15),
            ("O1", 0.0, 0.1),
            ("M4", 0.0, 0.05),
        ],
    };
    let constituents: Vec<_> = rows
        .iter()
        .map(|&(name, low, high)| (name, chance.between(low, high), chance.whole(0, 359)))
        .collect();
    let mean_level_m = chance.between(0.5, 5.0);
    // The printed tables' rule is for regular tides.
    let secondary = (kind == 5).then(|| secondary(chance, &constituents, mean_level_m));
    Port {
        mean_level_m,
        constituents,
        secondary,
        printed: None,
    }
}

fn secondary(chance: &mut Chance, rows: &[(&str, f64, f64)], mean_m: f64) -> Secondary {
    let (moon, sun) = (rows[0].1, rows[1].1);
    let mut pair = |low: f64, high: f64| [chance.between(low, high), chance.between(low, high)];
    let mut difference_high = pair(-0.4, 0.4);
    let difference_low = pair(-0.2, 0.2);
    // A table that puts low water above high water is none.
    for (at, range_m) in [2.0 * (moon + sun), 2.0 * (moon - sun)]
        .into_iter()
        .enumerate()
    {
        let least = hundredths(difference_low[at] - range_m + 0.05);
        difference_high[at] = f64::max(difference_high[at], least);
    }
    let times = pair(-60.0, 60.0).map(f64::round);
    let low_times = pair(-60.0, 60.0).map(f64::round);
    let hour = chance.whole(0, 11);
    Secondary {
        standard_high: [mean_m + moon + sun, mean_m + moon - sun].map(hundredths),
        standard_low: [mean_m - moon - sun, mean_m - moon + sun].map(hundredths),
        difference_high,
        difference_low,
        high_water: [[hour, times[0]], [hour + 6.0, times[1]]],
        low_water: [[hour + 1.0, low_times[0]], [hour + 7.0, low_times[1]]],
        utc_offset_h: chance.pick(&[0.0, 0.0, 1.0, -5.0]),
    }
}
