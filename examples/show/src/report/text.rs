//! A season as aligned text.

use std::io::{self, Write};

use super::style::{DEMO, Style};
use super::{table, told};
use crate::nothing::against;
use crate::{warnings, weather};
use wrackline_plan::cautions;
use wrackline_plan::framing::{FRAME_FILLING, Framed};
use wrackline_plan::scenario::Tide;
use wrackline_plan::season::{Season, SeatReport};
use wrackline_plan::windows::TerrainTakes;

/// Outings that are told in full below the table.
const TOLD_IN_FULL: usize = 3;
/// Kits that are named for each seat.
const KITS_NAMED: usize = 3;

pub(super) fn write(season: &Season<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    let mut text = Vec::new();
    plain(season, style, &mut text)?;
    let heading = |line: &str| {
        let told = line
            .split_once(". ")
            .is_some_and(|(rank, _)| rank.parse::<usize>().is_ok());
        told || line == "Seats" || line == "Cautions"
    };
    let text = String::from_utf8(text).map_err(io::Error::other)?;
    out.write_all(style.painted(&text, heading).as_bytes())
}

fn plain(season: &Season<'_>, style: Style, out: &mut Vec<u8>) -> io::Result<()> {
    let scenario = season.scenario;
    if style.demo {
        out.write_all(style.wrapped("", DEMO).as_bytes())?;
    }
    let title = format!(
        "{}: windows in {}, {} to {}, times in {}",
        scenario.title(),
        season.light.name,
        season.from.strftime("%a %-d %b %Y"),
        season.last.strftime("%a %-d %b %Y"),
        scenario.zone_name(),
    );
    out.write_all(style.wrapped("", &title).as_bytes())?;
    if let Some(tide) = scenario.tide() {
        let heights = format!(
            "Heights in metres above {}{}; the upper water is {:+.2} m, the lower {:+.2} m.",
            tide.datum,
            from_a_table(tide),
            scenario.water().upper_m(),
            scenario.water().lower_m(),
        );
        out.write_all(style.wrapped("", &heights).as_bytes())?;
        if let Some(beyond) = beyond_the_table(season, tide) {
            out.write_all(style.wrapped("", &beyond).as_bytes())?;
        }
    }
    for line in weather::remarks(scenario) {
        out.write_all(style.wrapped("", &capital(&format!("{line}."))).as_bytes())?;
    }
    writeln!(out)?;
    warnings::write(scenario.warnings(), out)?;
    if season.outings.is_empty() {
        nothing(season, style, out)?;
    } else {
        best(season, style, out)?;
    }
    seats(season, style, out)?;
    writeln!(out, "Cautions")?;
    for caution in cautions::ALL {
        out.write_all(style.wrapped("  ", caution).as_bytes())?;
    }
    Ok(())
}

/// That the heights are printed ones, where they are.
fn from_a_table(tide: &Tide) -> String {
    let printed = tide.printed();
    printed.map_or(String::new(), |table| format!(", {}", table.in_short()))
}

/// That days were asked for which a printed table does not cover.
fn beyond_the_table(season: &Season<'_>, tide: &Tide) -> Option<String> {
    let known = tide.printed()?.span();
    let day = |at: jiff::Timestamp| at.to_zoned_datetime(season.scenario.zone().clone()).date();
    let (first, last) = (day(known.start), day(known.end));
    let told = |date: jiff::civil::Date| date.strftime("%-d %b %Y").to_string();
    (season.from <= first || season.last >= last).then(|| {
        format!(
            "The table goes from {} to {}: of the water on other days nothing is known, and nothing \
             is proposed by it.",
            told(first),
            told(last)
        )
    })
}

/// That there is no window, what stands against most, and what may have been written wrong.
fn nothing(season: &Season<'_>, style: Style, out: &mut Vec<u8>) -> io::Result<()> {
    let told = match against(season) {
        Some(against) => format!(
            "No window. {} stands against most, {} of {} in all. If that is a surprise: {}. What \
             stood against each seat is told below.",
            capital(against.condition.name()),
            against.fail,
            against.of,
            against.likely_mistake
        ),
        None => "No window. What stood against it is told for each seat below.".to_owned(),
    };
    out.write_all(style.wrapped("", &told).as_bytes())?;
    writeln!(out)
}

fn capital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn best(season: &Season<'_>, style: Style, out: &mut Vec<u8>) -> io::Result<()> {
    writeln!(
        out,
        "{} window{}; the best {} by minutes of good light with animals expected:\n",
        season.windows_in_all,
        if season.windows_in_all == 1 { "" } else { "s" },
        season.outings.len(),
    )?;
    table::write(season, style, out)?;
    frost(season, style, out)?;
    for outing in season.outings.iter().take(TOLD_IN_FULL) {
        told::write(season, outing, style, out)?;
    }
    Ok(())
}

/// What frost would change, once for all rows that it bears on.
fn frost(season: &Season<'_>, style: Style, out: &mut Vec<u8>) -> io::Result<()> {
    let mut told: Vec<(&str, Vec<String>)> = Vec::new();
    for outing in &season.outings {
        for rule in &outing.window.frost {
            let rank = outing.rank.to_string();
            match told.iter_mut().find(|(known, _)| known == rule) {
                Some((_, ranks)) => ranks.push(rank),
                None => told.push((rule, vec![rank])),
            }
        }
    }
    for (rule, ranks) in &told {
        let which = if ranks.len() == season.outings.len() {
            "all of these".to_owned()
        } else {
            ranks.join(", ")
        };
        let line = format!("{which}: {rule}.");
        out.write_all(style.wrapped("Frost rule, ", &line).as_bytes())?;
    }
    if !told.is_empty() {
        writeln!(out)?;
    }
    Ok(())
}

/// What a kit makes of the subject.
pub(super) fn framing_line(framed: &Framed) -> String {
    format!(
        "{} at {:.0} m: {:.1} % of the width, {:.0} px, f/{:.1}: {}{}",
        framed.kit,
        framed.distance_m,
        framed.share * 100.0,
        framed.pixels,
        framed.f_number,
        framed.picture.name(),
        framed
            .print
            .map_or(String::new(), |print| format!(", frame good for {print}")),
    )
}

/// A line about a seat.
fn put(style: Style, out: &mut Vec<u8>, text: String) -> io::Result<()> {
    out.write_all(style.wrapped("     ", &text).as_bytes())
}

fn seats(season: &Season<'_>, style: Style, out: &mut Vec<u8>) -> io::Result<()> {
    writeln!(out, "Seats")?;
    for report in &season.seats {
        let place = season.scenario.place_of(report.seat);
        let tidal = place.push_m.is_some() && season.scenario.tide().is_some();
        writeln!(
            out,
            "  {} {}, {}, for the {}",
            report.seat.id, report.seat.name, place.name, report.subject.name
        )?;
        let tally = report.tally;
        if tidal {
            put(
                style,
                out,
                format!(
                    "{} tides, {} in the height band, {} of those in {}, {} with a window",
                    tally.all,
                    tally.in_band,
                    tally.in_band_and_light,
                    season.light.name,
                    tally.open
                ),
            )?;
        } else {
            put(
                style,
                out,
                format!(
                    "{} stretches of {}, {} with a window",
                    tally.all, season.light.name, tally.open
                ),
            )?;
        }
        let any_light = |takes: &TerrainTakes| takes.open_minutes > 0.0;
        if let Some(takes) = report.terrain_takes.filter(any_light) {
            put(
                style,
                out,
                format!(
                    "the terrain takes {:.0} of {:.0} min of {}",
                    takes.taken_minutes, takes.open_minutes, season.light.name
                ),
            )?;
        }
        for refusal in &report.never {
            put(style, out, format!("never: {refusal}"))?;
        }
        if !report.obstacles.is_empty() {
            let counts: Vec<_> = report
                .obstacles
                .iter()
                .map(|(condition, count)| format!("{condition} {count}"))
                .collect();
            put(
                style,
                out,
                format!("limiting condition of the others: {}", counts.join(", ")),
            )?;
        }
        for relaxation in &report.relaxations {
            put(
                style,
                out,
                format!(
                    "{} alone stands against {}; nearest {}: {}",
                    relaxation.condition,
                    relaxation.opens,
                    relaxation.nearest.strftime("%-d %b %Y"),
                    relaxation.reason,
                ),
            )?;
        }
        if !report.other_lights.is_empty() {
            let others: Vec<_> = report
                .other_lights
                .iter()
                .map(|(light, count)| format!("{light} {count}"))
                .collect();
            put(style, out, format!("in other light: {}", others.join(", ")))?;
        }
        frames(report, style, out)?;
    }
    writeln!(out)
}

fn frames(report: &SeatReport<'_>, style: Style, out: &mut Vec<u8>) -> io::Result<()> {
    for framed in report.framings.iter().take(KITS_NAMED) {
        put(style, out, framing_line(framed))?;
    }
    let Some(best) = report.framings.first() else {
        return Ok(());
    };
    if best.share < FRAME_FILLING {
        let near = match best.frame_filling_at_m {
            Some(distance) => format!(", which would need {distance:.1} m"),
            None => String::new(),
        };
        put(
            style,
            out,
            format!("a frame-filling picture is not to be had at the stand-off distance{near}"),
        )?;
    }
    Ok(())
}
