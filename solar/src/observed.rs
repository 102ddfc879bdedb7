//! The rotation of the Earth as it was observed: UT1 beside UTC and TAI.

#![allow(
    clippy::needless_range_loop,
    reason = "lanes of several arrays run side by side"
)]

use crate::tables::earth_rotation::{LEAP_SECONDS, UT1_MINUS_TAI};

/// POSIX seconds at 2000-01-01 12:00 UTC.
pub(crate) const J2000_POSIX_S: i64 = 946_728_000;
/// Seconds in a day.
pub(crate) const DAY_S: f64 = 86_400.0;
/// TT-TAI in seconds, exact by definition (IAU 1991).
pub(crate) const TT_MINUS_TAI_S: f64 = 32.184;
/// 1972-01-01, when UTC began to run at the rate of atomic time, in days of POSIX time from J2000.
pub(crate) const UTC_BEGINS_DAYS: f64 = (63_072_000 - J2000_POSIX_S) as f64 / DAY_S;
/// Modified Julian date of the first value of the table of UT1, as days from J2000.
pub(crate) const TABLE_START_DAYS: f64 = 37_665.0 - 51_544.5;
/// Days between two values of that table.
pub(crate) const TABLE_STEP_DAYS: f64 = 10.0;
/// Its last day, from J2000.
pub(crate) const TABLE_END_DAYS: f64 =
    TABLE_START_DAYS + (UT1_MINUS_TAI.len() - 1) as f64 * TABLE_STEP_DAYS;
/// Unit of that table in seconds.
pub(crate) const TABLE_UNIT_S: f64 = 1e-4;

/// UT1-TAI from the table of observed values, or `None` outside it.
#[inline(always)]
pub(crate) fn ut1_minus_tai_s(days: f64) -> Option<f64> {
    let (four, u) = nearest_four(days)?;
    Some(cubic_s(four, u))
}

/// The four values of the table around a day, in its unit, and how far after the second of them the
/// day lies.
#[inline(always)]
fn nearest_four(days: f64) -> Option<([f64; 4], f64)> {
    let position = (days - TABLE_START_DAYS) * (1.0 / TABLE_STEP_DAYS);
    let last = (UT1_MINUS_TAI.len() - 1) as f64;
    if !(0.0..=last).contains(&position) {
        return None;
    }
    // By way of 32 bits, which are fewer steps.
    let start = (position as u32 as usize).clamp(1, UT1_MINUS_TAI.len() - 3) - 1;
    let four = [0, 1, 2, 3].map(|i| f64::from(UT1_MINUS_TAI[start + i]));
    Some((four, position - (start + 1) as f64))
}

/// Lagrange's cubic through four values.
#[inline(always)]
fn cubic_s([a, b, c, d]: [f64; 4], u: f64) -> f64 {
    let outer = (d * (u + 1.0) - a * (u - 2.0)) * u * (u - 1.0) * (1.0 / 6.0);
    let inner = (b * (u - 1.0) - c * u) * (u + 1.0) * (u - 2.0) * 0.5;
    (outer + inner) * TABLE_UNIT_S
}

/// UT1-UTC and ΔT in seconds at a number of days of POSIX time from J2000, where both were
/// observed.
pub(crate) fn observed(utc_days: f64) -> Option<(f64, f64)> {
    if utc_days < UTC_BEGINS_DAYS {
        return None;
    }
    let ut1_minus_tai = ut1_minus_tai_s(utc_days)?;
    Some((
        ut1_minus_tai + leap_s(utc_days),
        TT_MINUS_TAI_S - ut1_minus_tai,
    ))
}

/// TAI-UTC in seconds, from 1972 on.
#[inline(always)]
fn leap_s(utc_days: f64) -> f64 {
    let posix_s = utc_days * DAY_S + J2000_POSIX_S as f64;
    let newest = LEAP_SECONDS.last().copied().unwrap_or_default();
    if posix_s >= newest.0 as f64 {
        f64::from(newest.1)
    } else {
        earlier_leap_s(posix_s)
    }
}

/// The same before the newest leap second.
#[cold]
#[inline(never)]
fn earlier_leap_s(posix_s: f64) -> f64 {
    LEAP_SECONDS
        .iter()
        .rev()
        .find(|(start, _)| *start as f64 <= posix_s)
        .map_or(0.0, |(_, seconds)| f64::from(*seconds))
}

/// UT1-UTC in seconds at a number of days of POSIX time from J2000.
#[inline(always)]
pub(crate) fn ut1_minus_utc_s(utc_days: f64) -> f64 {
    if utc_days < UTC_BEGINS_DAYS {
        return 0.0;
    }
    ut1_minus_tai_s(utc_days.min(TABLE_END_DAYS)).map_or(0.0, |s| s + leap_s(utc_days))
}

/// The same at a number of days of UT1.
///
/// UT1-TAI changes by 5e-8 s within the second that UTC may lie away; only the leap seconds need
/// UTC itself. A leap second repeats in POSIX time.
#[inline(always)]
pub(crate) fn ut1_minus_utc_at_ut1_s(ut1_days: f64) -> f64 {
    if ut1_days < UTC_BEGINS_DAYS {
        return 0.0;
    }
    ut1_minus_tai_s(ut1_days.min(TABLE_END_DAYS)).map_or(0.0, |s| {
        let utc_days = ut1_days - (s + leap_s(ut1_days)) * (1.0 / DAY_S);
        s + leap_s(utc_days)
    })
}

/// UT1-UTC in seconds on many days of UTC. Those since the latest leap second, which are most that
/// anybody asks for, go through together.
#[inline(always)]
pub(crate) fn ut1_minus_utc_abreast_s<const N: usize>(utc_days: &[f64; N]) -> [f64; N] {
    let newest = LEAP_SECONDS.last().copied().unwrap_or_default();
    let recent = |days: f64| days * DAY_S + J2000_POSIX_S as f64 >= newest.0 as f64;
    let mut fours = [[0.0; N]; 4];
    let mut u = [0.0; N];
    let mut all_recent = true;
    for i in 0..N {
        let near = nearest_four(utc_days[i].min(TABLE_END_DAYS));
        all_recent &= near.is_some() && recent(utc_days[i]);
        let (four, after) = near.unwrap_or_default();
        for (values, value) in fours.iter_mut().zip(four) {
            values[i] = value;
        }
        u[i] = after;
    }
    let mut excess_s = [0.0; N];
    if all_recent {
        for i in 0..N {
            let [a, b, c, d] = [0, 1, 2, 3].map(|k| fours[k][i]);
            excess_s[i] = cubic_s([a, b, c, d], u[i]) + f64::from(newest.1);
        }
    } else {
        for i in 0..N {
            excess_s[i] = ut1_minus_utc_s(utc_days[i]);
        }
    }
    excess_s
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_days_have_the_bits_of_each() {
        // Before UTC, on and beside leap seconds, in the newest stretch, at and after the end of
        // the table; in batches of one kind and of several.
        let newest = LEAP_SECONDS[LEAP_SECONDS.len() - 1].0;
        let leap = (newest - J2000_POSIX_S) as f64 / DAY_S;
        let days = [
            -20_000.0,
            UTC_BEGINS_DAYS,
            0.0,
            leap - 1e-5,
            leap,
            TABLE_END_DAYS,
            1e5,
        ];
        for first in days {
            for second in days {
                let batch = [first, second, second + 0.37, second + 17.1];
                let together = ut1_minus_utc_abreast_s(&batch).map(f64::to_bits);
                assert_eq!(together, batch.map(|day| ut1_minus_utc_s(day).to_bits()));
            }
        }
    }
}
