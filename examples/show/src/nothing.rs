//! A season without any window: what stands against most, and the likely mistake.

use std::collections::BTreeMap;

use serde::Serialize;
use wrackline_plan::season::Season;
use wrackline_plan::windows::Condition;

/// What stands against a season.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Against {
    /// The condition that the most tides, or stretches of light, fail first.
    pub condition: Condition,
    /// How many.
    pub fail: usize,
    /// Of how many.
    pub of: usize,
    /// What may have been written wrong.
    pub likely_mistake: &'static str,
}

/// What stands against most of a season that has no window; `None` where there is one, or where
/// nothing was looked at.
pub fn against(season: &Season<'_>) -> Option<Against> {
    if season.windows_in_all > 0 {
        return None;
    }
    let mut counts: BTreeMap<Condition, usize> = BTreeMap::new();
    for report in &season.seats {
        // What no date can mend stands against every tide.
        match report.never.first() {
            Some(never) => *counts.entry(never.condition).or_default() += report.tally.all,
            None => {
                for (condition, count) in &report.obstacles {
                    *counts.entry(*condition).or_default() += count;
                }
            }
        }
    }
    let of = season.seats.iter().map(|report| report.tally.all).sum();
    // Of equals the one that is judged first.
    let most = counts.into_iter().rev().max_by_key(|(_, count)| *count)?;
    Some(Against {
        condition: most.0,
        fail: most.1,
        of,
        likely_mistake: likely_mistake(most.0),
    })
}

/// What may have been written wrong where a condition stands against everything.
fn likely_mistake(condition: Condition) -> &'static str {
    match condition {
        Condition::StandOff => {
            "`distance_m` of the seat is shorter than the stand-off, or `hide` was left out"
        }
        Condition::Closure => {
            "the dates `from` and `to` of a closure cover the season, or its `place` is \"*\" \
             where one is meant"
        }
        Condition::Rest => "the place rests: ask for later days",
        Condition::Breeding => "`breeding` covers the season: ask for other days",
        Condition::Presence => {
            "`present` of the subject lies in another part of the year than the days asked for"
        }
        Condition::Unknown => {
            "a level is missing, or the days lie outside of the printed table: the seats below \
             name it"
        }
        Condition::Freeboard => {
            "`ground_m` or `freeboard_m` is not measured from the port's datum, or is in another \
             unit"
        }
        Condition::WayIn => {
            "`low_point_m`, a creek's `level_m` or `push_m` is not measured from the port's datum"
        }
        Condition::LongestOuting => {
            "`in_minutes` and `out_minutes` are long, or the way is closed for most of a tide"
        }
        Condition::PushLevel => {
            "`push_m` is not measured from the port's datum: no tide of the season comes up to it"
        }
        Condition::OvertopLevel => "`overtop_m` is too low, or not measured from the port's datum",
        Condition::Light => {
            "`bearing_deg` points from the animals to the seat instead of from the seat to them, \
             or `angle_deg` of the light is narrow"
        }
        Condition::Duration => "`shortest_minutes` is longer than the light lasts there",
        Condition::FreeHours => {
            "`[[free]]` leaves no room for the walk in, the stay, the walk out and \
             `from_home_minutes`"
        }
    }
}
