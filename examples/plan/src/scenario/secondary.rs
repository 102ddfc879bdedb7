//! A secondary port: its printed differences from the standard port.

use wrackline_tides::{ClockDifference, SecondaryPort, SecondarySpec, SpringNeapHeights};

use super::bounds::{Bound, LEVEL};
use super::reader::Table;

/// The printed differences of a secondary port from the standard port whose constants are given.
pub(super) fn read(table: Table<'_, '_>) -> Option<SecondaryPort> {
    let heights = |key: &'static str| {
        let heights = table.table(key);
        if heights.is_none() && !table.has(key) {
            table.report(
                key,
                "is missing",
                format!(
                    "add `{key} = {{ mhws_m = ..., mhwn_m = ..., mlwn_m = ..., mlws_m = ... }}`"
                ),
            );
        }
        let heights = heights?;
        let read = SpringNeapHeights {
            mhws_m: heights.number("mhws_m", LEVEL),
            mhwn_m: heights.number("mhwn_m", LEVEL),
            mlwn_m: heights.number("mlwn_m", LEVEL),
            mlws_m: heights.number("mlws_m", LEVEL),
        };
        heights.finish();
        Some(read)
    };
    let times = |key: &'static str| {
        let rows = table.pairs(key, Bound::Within(0.0, 24.0), Bound::Within(-360.0, 360.0));
        let rows: Vec<ClockDifference> = rows
            .iter()
            .map(|[hour, minutes]| ClockDifference {
                hour: *hour,
                minutes: *minutes,
            })
            .collect();
        let two: Result<[ClockDifference; 2], _> = rows.try_into();
        two.map_err(|_| {
            table.report(
                key,
                "does not have two rows",
                "give two pairs of clock hour and minutes, such as [[0, 10], [6, 40]]",
            );
        })
        .ok()
    };
    let mark = table.mark();
    let standard = heights("standard");
    let differences = heights("differences");
    let high_water = times("high_water_minutes");
    let low_water = times("low_water_minutes");
    let utc_offset_h = table.number_or("utc_offset_h", Bound::Within(-14.0, 14.0), 0.0);
    let spec = || {
        Some(SecondarySpec {
            standard: standard?,
            differences: differences?,
            high_water: high_water?,
            low_water: low_water?,
            utc_offset_h,
        })
    };
    let spec = spec();
    table.finish();
    let spec = spec?;
    // Each figure by itself is checked below; that they agree shows only in the sums.
    let (at, add) = (spec.standard, spec.differences);
    for (when, high, low) in [
        ("springs", at.mhws_m + add.mhws_m, at.mlws_m + add.mlws_m),
        ("neaps", at.mhwn_m + add.mhwn_m, at.mlwn_m + add.mlwn_m),
    ] {
        if low >= high {
            mark.problem(
                "differences",
                format!(
                    "at mean {when} they put low water, {low:.2} m, above high water, {high:.2} m"
                ),
                "compare the differences and their signs with the table that they come from",
            );
            return None;
        }
    }
    SecondaryPort::new(spec)
        .map_err(|error| mark.problem("standard", error.to_string(), "mend the differences"))
        .ok()
}
