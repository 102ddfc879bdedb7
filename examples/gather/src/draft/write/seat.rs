//! A seat of a draft: what was computed, what is known of its water, and the closure that stands
//! there for as long as anything is missing.

use std::fmt::Write;

use super::Draft;
use super::toml::{comment, quoted, unknown};
use crate::draft::facts::{Access, Levels, Water, Way};
use crate::draft::globe::in_words;
use crate::draft::sketch::{Place, Seat};
use crate::draft::waypoint::Waypoint;

/// Dates of the closure that stands at a seat about which something is missing: all that anybody
/// plans in. A closure of every year would be refused, since nothing could ever be proposed.
const CLOSED: (&str, &str) = ("2000-01-01", "2199-12-31");
/// What stands for a walk that nobody has timed, minutes; our default. The seat is closed with it.
const WALK_MINUTES: f64 = 60.0;
/// What stands for a distance that nobody knows, metres; our default. The seat is closed with it.
const DISTANCE_M: f64 = 100.0;

/// How far a point of a receiver is taken to be off, metres; common practice, no source.
const OFF_M: f64 = 5.0;

impl Draft {
    pub(super) fn seat(&self, out: &mut String, place: &Place, seat: &Seat) -> std::fmt::Result {
        let mut missing = Vec::new();
        let way = seat_way(seat);
        writeln!(out, "[[seat]]")?;
        writeln!(out, "id = {}", quoted(&seat.id))?;
        writeln!(out, "name = {}", quoted(&seat.name))?;
        writeln!(out, "place = {}", quoted(&place.id))?;
        position(out, &seat.waypoint)?;
        match seat.view {
            Some(view) => {
                let bearing = (view.bearing_deg * 10.0).round() / 10.0 % 360.0;
                let distance = (view.distance_m * 10.0).round() / 10.0;
                let place = comment(&place.name);
                writeln!(out, "bearing_deg = {bearing}  # true, to {place}, computed")?;
                writeln!(
                    out,
                    "distance_m = {distance}  # computed along the ellipsoid"
                )?;
                let turn = (OFF_M * core::f64::consts::SQRT_2 / view.distance_m).atan();
                let turn = turn.to_degrees().ceil();
                writeln!(
                    out,
                    "# With {OFF_M:.0} m of error at either end they are {:.0} m and {turn} degrees \
                     off.",
                    (OFF_M * core::f64::consts::SQRT_2).ceil()
                )?;
            }
            None => {
                missing.push("bearing_deg and distance_m");
                writeln!(
                    out,
                    "bearing_deg = 0  # a stand-in: the true bearing to the animals"
                )?;
                writeln!(
                    out,
                    "distance_m = {DISTANCE_M}  # a stand-in: metres to the animals"
                )?;
            }
        }
        walk(
            out,
            "in_minutes",
            seat.facts.in_minutes,
            "from the road to sitting down",
            &mut missing,
        )?;
        walk(
            out,
            "out_minutes",
            seat.facts.out_minutes,
            "from standing up to the road",
            &mut missing,
        )?;
        if let Some((index, walk)) = &seat.way_in {
            let start = comment(&self.sketch.ways_in[*index].name);
            writeln!(
                out,
                "# From {start} it is {:.0} m in a straight line.",
                walk.distance_m
            )?;
        }
        if seat.hide {
            writeln!(out, "hide = true")?;
        } else {
            unknown(
                out,
                "hide",
                "true, where it is a hide or a vehicle used as one",
            )?;
        }
        self.water(out, seat, way.as_ref(), &mut missing)?;
        unknown(
            out,
            "horizon_deg",
            "terrain as [[azimuth, altitude], ...], ending at altitude 0; open until then",
        )?;
        unknown(out, "permission", "whose leave the seat needs")?;
        writeln!(out)?;
        if let Some((_, way_in)) = way {
            self.way_in(out, seat, way_in)?;
        }
        if missing.is_empty() {
            return Ok(());
        }
        writeln!(
            out,
            "# Take this closure out when all that it names is known and stands above."
        )?;
        writeln!(out, "[[closure]]")?;
        writeln!(out, "seat = {}", quoted(&seat.id))?;
        writeln!(out, "from = \"{}\"", CLOSED.0)?;
        writeln!(out, "to = \"{}\"", CLOSED.1)?;
        writeln!(
            out,
            "reason = \"a draft, and not known yet: {}\"",
            missing.join("; ")
        )?;
        writeln!(out, "rule = \"closed\"\n")
    }

    /// How a seat stands to the water, and what of it is missing.
    fn water(
        &self,
        out: &mut String,
        seat: &Seat,
        way: Option<&(&'static str, &Way)>,
        missing: &mut Vec<&'static str>,
    ) -> std::fmt::Result {
        match &seat.facts.water {
            Water::Never => {
                writeln!(
                    out,
                    "access = \"dry\"  # the tide never reaches it or its way, you said"
                )?;
            }
            Water::Levels(levels) => {
                // Levels mean nothing without a port, and a plan refuses a way in without one.
                let held = if self.has_port { "" } else { "# " };
                if !self.has_port {
                    missing.push("the port (access and way_in wait for it behind a #)");
                }
                writeln!(out, "ground_m = {}", levels.ground_m)?;
                if !self.has_port {
                    // Stands also where somebody takes the closure out too soon.
                    writeln!(
                        out,
                        "access = \"unknown\"  # until the port is known; from then on:"
                    )?;
                }
                let access = way.map_or("dry", |(access, _)| access);
                writeln!(out, "{held}access = \"{access}\"")?;
                if way.is_some() {
                    writeln!(out, "{held}way_in = {}", quoted(&seat.id))?;
                }
            }
            Water::Unknown => {
                missing.push(
                    "whether the water reaches the seat or its way (ground_m, access, way_in)",
                );
                unknown(
                    out,
                    "ground_m",
                    "height of the ground above chart datum, metres: level it from a water mark of \
                     known height; never the elevation of a receiver",
                )?;
                // Stands also where somebody takes the closure out too soon.
                writeln!(
                    out,
                    "access = \"unknown\"  # \"dry\" where the tide closes no part of the way, \
                     \"leave before the flood\" or \"stay the tide\""
                )?;
                unknown(
                    out,
                    "way_in",
                    "id of the [[way_in]] that the tide closes, if one does",
                )?;
            }
        }
        Ok(())
    }

    /// The way to a seat that the tide closes.
    fn way_in(&self, out: &mut String, seat: &Seat, way: &Way) -> std::fmt::Result {
        let start = seat.way_in.as_ref();
        let start = start.map(|(index, _)| &self.sketch.ways_in[*index]);
        let name = start.map_or("the road", |start| start.name.as_str());
        writeln!(out, "[[way_in]]")?;
        writeln!(out, "id = {}", quoted(&seat.id))?;
        writeln!(
            out,
            "name = {}",
            quoted(&format!("from {name} to {}", seat.name))
        )?;
        writeln!(out, "low_point_m = {}", way.low_point_m)?;
        writeln!(out, "loaded_dark_minutes = {}", way.loaded_dark_minutes)?;
        writeln!(out, "margin_m = {}", way.margin_m)?;
        writeln!(out, "margin_minutes = {}", way.margin_minutes)?;
        unknown(
            out,
            "creeks",
            "[{ name = \"...\", level_m = ... }]: they fill behind you",
        )?;
        writeln!(out)
    }
}

fn seat_way(seat: &Seat) -> Option<(&'static str, &Way)> {
    match &seat.facts.water {
        Water::Levels(Levels { access, .. }) => match access {
            Access::Dry => None,
            Access::Leave(way) => Some(("leave before the flood", way)),
            Access::Stay(way) => Some(("stay the tide", way)),
        },
        Water::Unknown | Water::Never => None,
    }
}

pub(super) fn position(out: &mut String, point: &Waypoint) -> std::fmt::Result {
    writeln!(out, "latitude_deg = {}", point.spot.latitude_deg())?;
    writeln!(out, "longitude_deg = {}", point.spot.longitude_deg())?;
    writeln!(out, "# {}", in_words(point.spot))?;
    if let Some(height) = point.elevation_m {
        writeln!(
            out,
            "# The receiver noted an elevation of {height} m: above its ellipsoid or geoid,"
        )?;
        writeln!(
            out,
            "# not above chart datum, so it says nothing about the water."
        )?;
    }
    if let Some(note) = &point.note {
        writeln!(out, "note = {}", quoted(note))?;
    }
    Ok(())
}

fn walk(
    out: &mut String,
    field: &'static str,
    minutes: Option<f64>,
    what: &str,
    missing: &mut Vec<&'static str>,
) -> std::fmt::Result {
    match minutes {
        Some(minutes) => writeln!(out, "{field} = {minutes}"),
        None => {
            missing.push(field);
            writeln!(
                out,
                "{field} = {WALK_MINUTES}  # a stand-in: minutes {what}; time a walk"
            )
        }
    }
}
