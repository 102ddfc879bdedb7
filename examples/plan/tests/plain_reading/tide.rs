//! The predicted water: a plain sum of cosines, and half cosines between the turns of a secondary
//! port.
//!
//! Convention `schureman-instant`: P. Schureman, Manual of Harmonic Analysis and Prediction of
//! Tides, US Coast and Geodetic Survey Special Publication 98 (1940, revised 1958): f and u by
//! the printed coefficients of its formulas, at the instant. Mean longitudes: J. Meeus,
//! Astronomical Algorithms (1991), chapters 24 and 45, in UTC. The printed coefficients carry
//! four digits, so a sum of 4 m may be off by half a millimetre.

use super::plan::{LONGEST_GAP_H, Port, Printed, Secondary};

/// How far this sum may be from another by the same convention, metres: four printed digits,
/// rounded up.
pub(crate) const ERROR_M: f64 = 0.002;

/// The constituents that the judge knows, with the multiples of T, s, h, p and the constant in
/// degrees (Schureman, Table 2), T being 180° at midnight, and which factors they take as powers
/// of M2, O1, K1, K2.
pub(crate) const CONSTITUENTS: [(&str, [f64; 5], [i32; 4]); 11] = [
    ("M2", [2.0, -2.0, 2.0, 0.0, 0.0], [1, 0, 0, 0]),
    ("S2", [2.0, 0.0, 0.0, 0.0, 0.0], [0, 0, 0, 0]),
    ("N2", [2.0, -3.0, 2.0, 1.0, 0.0], [1, 0, 0, 0]),
    ("K2", [2.0, 0.0, 2.0, 0.0, 0.0], [0, 0, 0, 1]),
    ("K1", [1.0, 0.0, 1.0, 0.0, -90.0], [0, 0, 1, 0]),
    ("O1", [1.0, -2.0, 1.0, 0.0, 90.0], [0, 1, 0, 0]),
    ("P1", [1.0, 0.0, -1.0, 0.0, 90.0], [0, 0, 0, 0]),
    ("M4", [4.0, -4.0, 4.0, 0.0, 0.0], [2, 0, 0, 0]),
    ("MS4", [4.0, -2.0, 2.0, 0.0, 0.0], [1, 0, 0, 0]),
    ("MN4", [4.0, -5.0, 4.0, 1.0, 0.0], [2, 0, 0, 0]),
    ("M6", [6.0, -6.0, 6.0, 0.0, 0.0], [3, 0, 0, 0]),
];

const J2000_UNIX_S: f64 = 946_728_000.0;

/// T, s, h, p, N in degrees.
fn longitudes(unix_s: f64) -> [f64; 5] {
    let t = (unix_s - J2000_UNIX_S) / (36_525.0 * 86_400.0);
    [
        180.0 + unix_s.rem_euclid(86_400.0) / 240.0,
        218.316_459_1 + t * (481_267.881_342_36 + t * (-0.001_326_8 + t / 538_841.0)),
        280.466_45 + t * (36_000.769_83 + t * 0.000_303_2),
        83.353_243_0 + t * (4_069.013_711_1 + t * (-0.010_323_8 - t / 80_053.0)),
        125.044_555_0 + t * (-1_934.136_184_9 + t * (0.002_076_2 + t / 467_410.0)),
    ]
}

/// f and u in degrees of M2, O1, K1 and K2.
fn factors(node_deg: f64) -> [[f64; 2]; 4] {
    let n = super::sun::wrap_180(node_deg).to_radians();
    // Page 156 and Table 6: the moon's orbit against the equator.
    let i = (0.913_70 - 0.035_69 * n.cos()).acos();
    let sum = (1.018_83 * (n / 2.0).tan()).atan();
    let difference = (0.644_12 * (n / 2.0).tan()).atan();
    let (nu, xi) = (sum - difference, n - sum - difference);
    let half = (i / 2.0).cos();
    let (sin_i, sin_2i) = (i.sin(), (2.0 * i).sin());
    // Formulas 78, 75, 227, 235; u from Table 2 with formulas 224 and 232 (the last two numbers
    // from memory).
    let m2 = half.powi(4) / 0.9154;
    let o1 = sin_i * half * half / 0.3800;
    let k1 = (0.8965 * sin_2i * sin_2i + 0.6001 * sin_2i * nu.cos() + 0.1006).sqrt();
    let k2 = (19.0444 * sin_i.powi(4) + 2.7702 * sin_i * sin_i * (2.0 * nu).cos() + 0.0981).sqrt();
    let nu_k1 = (sin_2i * nu.sin()).atan2(sin_2i * nu.cos() + 0.3347);
    let square = sin_i * sin_i;
    let twice_nu_k2 = (square * (2.0 * nu).sin()).atan2(square * (2.0 * nu).cos() + 0.0727);
    [
        [m2, (2.0 * (xi - nu)).to_degrees()],
        [o1, (2.0 * xi - nu).to_degrees()],
        [k1, -nu_k1.to_degrees()],
        [k2, -twice_nu_k2.to_degrees()],
    ]
}

/// f, u and V of one constituent, degrees.
fn argument(index: usize, longitudes: &[f64; 5], factors: &[[f64; 2]; 4]) -> [f64; 3] {
    let (_, multiples, powers) = CONSTITUENTS[index];
    let [t, s, h, p, _] = *longitudes;
    let [a, b, c, d, constant] = multiples;
    let v = a * t + b * s + c * h + d * p + constant;
    let mut f = 1.0;
    let mut u = 0.0;
    for (power, factor) in powers.iter().zip(factors) {
        f *= factor[0].powi(*power);
        u += f64::from(*power) * factor[1];
    }
    [f, u, v]
}

/// Heights at whole minutes: of the port, of its secondary port, or as a printed table has them.
pub(crate) fn heights(port: &Port, start_minute: i64, count: usize) -> Vec<f64> {
    match turns_known(port, start_minute, count) {
        None => harmonic(port, start_minute, count),
        Some(turns) => each(&turns, start_minute, count, between),
    }
}

/// The lowest and the highest that the water may stand: between the turns of a secondary port or
/// of a printed table 28 % of the range under and over it half way, by the sine towards the turns,
/// and more where the turns are further apart than 6.21 h; never lower or higher than the turns.
/// Printed heights are half a centimetre off at most.
pub(crate) fn left_open(port: &Port, start_minute: i64, count: usize) -> Vec<(f64, f64)> {
    let rounded = if port.printed.is_some() { 0.005 } else { 0.0 };
    match turns_known(port, start_minute, count) {
        None => harmonic(port, start_minute, count)
            .into_iter()
            .map(|height| (height, height))
            .collect(),
        Some(turns) => each(&turns, start_minute, count, |turns, minute| {
            let after = turns.partition_point(|turn| turn.0 <= minute);
            let (a, b) = (turns[after - 1], turns[after]);
            let (pause, range) = (b.0 - a.0, (a.1 - b.1).abs());
            let passed = std::f64::consts::PI * (minute - a.0) / pause;
            let open = 0.28 * f64::max(1.0, pause / 372.6) * range * passed.sin();
            let height = between(turns, minute);
            let lowest = (height - open).max(a.1.min(b.1)) - rounded;
            let highest = (height + open).min(a.1.max(b.1)) + rounded;
            (lowest, highest)
        }),
    }
}

/// The turns of a secondary port, or those of a printed table; none where the constants are known.
fn turns_known(port: &Port, start_minute: i64, count: usize) -> Option<Vec<Turn>> {
    if let Some(printed) = &port.printed {
        let turn = |turn: &Printed| {
            let height_m = turn.centimetres as f64 / 100.0;
            (turn.minute as f64, height_m, turn.high)
        };
        return Some(printed.iter().map(turn).collect());
    }
    let secondary = port.secondary.as_ref()?;
    // Further than any drawn time difference, and more than one turn beyond.
    const REACH: usize = 40 * 60;
    let from = start_minute - REACH as i64;
    let standard = harmonic(port, from, count + 2 * REACH);
    Some(secondary_turns(&turns(&standard, from), secondary))
}

/// The turns of a port as they are printed; none where an office would print no such table, since
/// two of them fall in one minute or are further apart than a reader takes.
pub(crate) fn printed(port: &Port, start_minute: i64, count: usize) -> Option<Vec<Printed>> {
    let turns = turns(&harmonic(port, start_minute, count), start_minute);
    let rounded = turns.iter().map(|&(minute, height_m, high)| Printed {
        minute: minute.round() as i64,
        centimetres: (height_m * 100.0).round() as i64,
        high,
    });
    let printed: Vec<Printed> = rounded.collect();
    let told = printed.windows(2).all(|pair| {
        let pause = pair[1].minute - pair[0].minute;
        pair[0].high != pair[1].high && (1..=LONGEST_GAP_H * 60).contains(&pause)
    });
    (told && printed.len() > 2).then_some(printed)
}

/// Something at whole minutes between turns.
fn each<T>(
    turns: &[Turn],
    start_minute: i64,
    count: usize,
    of: impl Fn(&[Turn], f64) -> T,
) -> Vec<T> {
    (0..count)
        .map(|at| of(turns, (start_minute + at as i64) as f64))
        .collect()
}

fn harmonic(port: &Port, start_minute: i64, count: usize) -> Vec<f64> {
    let known: Vec<(usize, f64, f64)> = port
        .constituents
        .iter()
        .map(|(name, amplitude, lag)| {
            let index = CONSTITUENTS.iter().position(|row| row.0 == *name);
            (
                index.expect("a constituent that the judge knows"),
                *amplitude,
                *lag,
            )
        })
        .collect();
    let mut node = [[1.0, 0.0]; 4];
    (0..count)
        .map(|minute| {
            let longitudes = longitudes((start_minute + minute as i64) as f64 * 60.0);
            // The node moves by 0.002° an hour: f and u of the hour serve each of its minutes.
            if minute % 60 == 0 {
                node = factors(longitudes[4]);
            }
            let waves = known.iter().map(|&(index, amplitude, lag)| {
                let [f, u, v] = argument(index, &longitudes, &node);
                amplitude * f * (v + u - lag).to_radians().cos()
            });
            port.mean_level_m + waves.sum::<f64>()
        })
        .collect()
}

/// A turn: minutes since 1970, height, whether it is a high water.
type Turn = (f64, f64, bool);

/// Turns of a sampled curve, each from the parabola through three minutes.
fn turns(heights: &[f64], start_minute: i64) -> Vec<Turn> {
    let mut out = Vec::new();
    for (at, three) in heights.windows(3).enumerate() {
        let (before, after) = (three[1] - three[0], three[2] - three[1]);
        let high = before > 0.0 && after <= 0.0;
        if high || (before < 0.0 && after >= 0.0) {
            let shift = 0.5 * (before + after) / (before - after);
            let height = three[1] + 0.25 * (before + after) * shift;
            out.push(((start_minute + at as i64 + 1) as f64 + shift, height, high));
        }
    }
    out
}

/// The rule of the printed tables: differences straight with the clock in time, straight with the
/// height in height.
fn secondary_turns(standard: &[Turn], port: &Secondary) -> Vec<Turn> {
    standard
        .iter()
        .map(|&(minute, height, high)| {
            let (times, [springs, neaps], [at_springs, at_neaps]) = if high {
                (port.high_water, port.standard_high, port.difference_high)
            } else {
                (port.low_water, port.standard_low, port.difference_low)
            };
            let share = (height - neaps) / (springs - neaps);
            let clock = (minute / 60.0 + port.utc_offset_h).rem_euclid(24.0);
            let [[hour_a, minutes_a], [hour_b, minutes_b]] = times;
            let since = (clock - hour_a).rem_euclid(12.0);
            let apart = (hour_b - hour_a).rem_euclid(12.0);
            let later = if since <= apart {
                minutes_a + since / apart * (minutes_b - minutes_a)
            } else {
                minutes_b + (since - apart) / (12.0 - apart) * (minutes_a - minutes_b)
            };
            let here = height + at_neaps + share * (at_springs - at_neaps);
            (minute + later, here, high)
        })
        .collect()
}

/// Half cosines between turns.
fn between(turns: &[Turn], minute: f64) -> f64 {
    let after = turns.partition_point(|turn| turn.0 <= minute);
    let (a, b) = (turns[after - 1], turns[after]);
    let share = (minute - a.0) / (b.0 - a.0);
    (a.1 + b.1) / 2.0 + (a.1 - b.1) / 2.0 * (std::f64::consts::PI * share).cos()
}

/// The judge itself is judged: f and u of the middle of 2026 and V of its first midnight, by an
/// independent NumPy model that reproduces NOAA's predictions of 2017-2026, to the digits of its
/// table; f has four digits here.
#[test]
fn agrees_with_tabulated_arguments() {
    const ROWS: [(&str, [f64; 3]); 10] = [
        ("O1", [1.166_78, -4.0460, 54.7356]),
        ("P1", [1.0, 0.0, 349.3334]),
        ("K1", [1.103_11, 3.5943, 10.6666]),
        ("N2", [0.967_36, 0.9949, 58.7328]),
        ("M2", [0.967_36, 0.9949, 65.4022]),
        ("K2", [1.281_50, 7.5997, 201.3333]),
        ("MN4", [0.935_78, 1.9899, 124.1350]),
        ("M4", [0.935_78, 1.9899, 130.8044]),
        ("MS4", [0.967_36, 0.9949, 65.4022]),
        ("M6", [0.905_23, 2.9848, 196.2066]),
    ];
    // 2 July 2026, 12:00, and 1 January 2026, 0:00, both UTC.
    let (middle, start) = (longitudes(1_782_993_600.0), longitudes(1_767_225_600.0));
    let node = factors(middle[4]);
    for (name, [f, u, v]) in ROWS {
        let index = CONSTITUENTS.iter().position(|row| row.0 == name).unwrap();
        let [f_here, u_here, _] = argument(index, &middle, &node);
        let v_here = argument(index, &start, &node)[2];
        assert!((f_here - f).abs() < 3e-4, "f of {name}: {f_here}, not {f}");
        assert!((u_here - u).abs() < 5e-3, "u of {name}: {u_here}, not {u}");
        let off = super::sun::wrap_180(v_here - v);
        assert!(off.abs() < 1e-3, "V of {name}: {v_here}, not {v}");
    }
}
