//! What is asked about a seat: the water first, then the walk.

use super::answers::{level, number};
use crate::draft::ask::{Run, Stop};
use crate::draft::facts::{Access, Levels, SeatFacts, Water, Way};
use crate::draft::sketch::Seat;

/// The water and the walk of a seat.
pub(super) fn facts(run: &mut Run<'_>, seat: &Seat, id: &str) -> Result<SeatFacts, Stop> {
    let name = &seat.name;
    let water = water(run, name, id)?;
    let minutes = |text: &str| number(text, 0.0, 1440.0);
    let in_minutes = run.optional(
        &format!("in_minutes of {id}"),
        &format!("Minutes from the road to sitting at {name}, as walked"),
        minutes,
    )?;
    let out_minutes = run.optional(
        &format!("out_minutes of {id}"),
        &format!("Minutes from {name} back to the road"),
        minutes,
    )?;
    Ok(SeatFacts {
        water,
        in_minutes,
        out_minutes,
    })
}

fn water(run: &mut Run<'_>, name: &str, id: &str) -> Result<Water, Stop> {
    let reached = run.optional(
        &format!("water at {id}"),
        &format!("Can the tide ever reach {name} or the way to it? (yes, never)"),
        |text| match text.to_lowercase().as_str() {
            "yes" | "y" => Ok(true),
            "never" => Ok(false),
            _ => Err("give yes or never, or nothing where you do not know".to_owned()),
        },
    )?;
    match reached {
        None => return Ok(Water::Unknown),
        Some(false) => return Ok(Water::Never),
        Some(true) => {}
    }
    let ground = run.optional(
        &format!("ground_m of {id}"),
        &format!("Height of the ground of {name} above the port's datum, metres (no receiver's)"),
        level,
    )?;
    let Some(ground_m) = ground else {
        return Ok(Water::Unknown);
    };
    let access = run.optional(
        &format!("access of {id}"),
        "The way there: dry, leave before the flood, stay the tide",
        |text| match text.to_lowercase().as_str() {
            "dry" => Ok(0),
            "leave before the flood" | "leave" => Ok(1),
            "stay the tide" | "stay" => Ok(2),
            _ => Err("give dry, leave before the flood or stay the tide".to_owned()),
        },
    )?;
    let access = match access {
        None => None,
        Some(0) => Some(Access::Dry),
        Some(1) => way(run, id)?.map(Access::Leave),
        Some(_) => way(run, id)?.map(Access::Stay),
    };
    Ok(access.map_or(Water::Unknown, |access| {
        Water::Levels(Levels { ground_m, access })
    }))
}

/// The way that the tide closes; `None` where anything of it is not known.
fn way(run: &mut Run<'_>, id: &str) -> Result<Option<Way>, Stop> {
    let minutes = |text: &str| number(text, 0.0, 1440.0);
    let low_point_m = run.optional(
        &format!("low_point_m of {id}"),
        "Height of the lowest point or creek of that way, metres above the port's datum",
        level,
    )?;
    let loaded_dark_minutes = run.optional(
        &format!("loaded_dark_minutes of {id}"),
        "Minutes to cross it loaded and in the dark",
        minutes,
    )?;
    let margin_m = run.optional(
        &format!("margin_m of {id}"),
        "Metres of water below that point at which it counts as closed",
        |text| number(text, 0.0, 5.0),
    )?;
    let margin_minutes = run.optional(
        &format!("margin_minutes of {id}"),
        "Minutes before and after for which it counts as closed",
        minutes,
    )?;
    let way = || {
        Some(Way {
            low_point_m: low_point_m?,
            loaded_dark_minutes: loaded_dark_minutes?,
            margin_m: margin_m?,
            margin_minutes: margin_minutes?,
        })
    };
    Ok(way())
}
