//! A season as aligned text.

use std::io::{self, Write};

use jiff::Timestamp;

use super::rows::{best_framing, side_name};
use crate::columns::Columns;
use crate::warnings;
use wrackline_plan::cautions;
use wrackline_plan::framing::{FRAME_FILLING, Framed};
use wrackline_plan::season::{Outing, Season, SeatReport};
use wrackline_plan::time::{Stretches, minutes};
use wrackline_plan::windows::Otherwise;

/// Outings that are told in full below the table.
const TOLD_IN_FULL: usize = 3;
/// Kits that are named for each seat.
const KITS_NAMED: usize = 3;
const WIDTH: usize = 110;

pub(super) fn write(season: &Season<'_>, count: usize, out: &mut dyn Write) -> io::Result<()> {
    let scenario = season.scenario;
    writeln!(
        out,
        "{}: windows in {}, {} to {}, times in {}",
        scenario.title(),
        season.light.name,
        season.from.strftime("%-d %b %Y"),
        season.last.strftime("%-d %b %Y"),
        scenario.zone_name(),
    )?;
    if let Some(tide) = scenario.tide() {
        writeln!(
            out,
            "Heights in metres above {}; the upper water is {:+.2} m, the lower {:+.2} m.",
            tide.datum,
            scenario.water().upper_m(),
            scenario.water().lower_m(),
        )?;
    }
    writeln!(out)?;
    warnings::write(scenario.warnings(), out)?;
    if season.outings.is_empty() {
        writeln!(
            out,
            "No window. What stood against it is told for each seat below.\n"
        )?;
    } else {
        best(season, count, out)?;
    }
    seats(season, out)?;
    writeln!(out, "Cautions")?;
    for caution in cautions::ALL {
        for line in textwrap::wrap(caution, WIDTH - 4) {
            writeln!(out, "  {line}")?;
        }
    }
    Ok(())
}

fn best(season: &Season<'_>, count: usize, out: &mut dyn Write) -> io::Result<()> {
    let shown = season.outings.len().min(count);
    writeln!(
        out,
        "{} window{}; the best {shown} by minutes of good light with animals expected:\n",
        season.windows_in_all,
        if season.windows_in_all == 1 { "" } else { "s" },
    )?;
    let mut table = Columns::headed([
        "",
        "day",
        "seat",
        "subject",
        "pictures",
        "min",
        "sun",
        "light",
        "high water",
        "chance",
        "set out",
        "back by",
        "note",
    ])
    .right(0)
    .right(5)
    .right(9);
    for (index, outing) in season.outings.iter().take(count).enumerate() {
        let window = &outing.window;
        let times = &window.timetable;
        let mut notes = Vec::new();
        if times.in_by_dark {
            notes.push("in by dark");
        }
        if times.out_by_dark {
            notes.push("out by dark");
        }
        if !window.sun_near_view.near.is_empty() {
            notes.push("SUN NEAR THE VIEW");
        }
        if outing.to_find_out {
            notes.push("to find out");
        }
        if !outing.window.ask_first.is_empty() {
            notes.push("ask first");
        }
        table.push([
            format!("{}", index + 1),
            outing.occasion.date.strftime("%a %-d %b %Y").to_string(),
            format!("{} {}", outing.seat.id, outing.seat.name),
            outing.subject.name.clone(),
            format!(
                "{}-{}",
                clock(season, window.stretch.start),
                clock(season, window.stretch.end)
            ),
            format!("{:.0}", minutes(&window.stretch)),
            format!(
                "{} to {}°",
                whole(window.sun[0].altitude_deg),
                whole(window.sun[2].altitude_deg)
            ),
            side_name(window).to_owned(),
            outing
                .occasion
                .high_water
                .as_ref()
                .map_or(String::from("-"), |hw| {
                    format!("{} {:.2} m", clock(season, hw.at), hw.height_m)
                }),
            if outing.occasion.high_water.is_some() {
                percent(window.chance_of_water)
            } else {
                String::from("-")
            },
            clock(season, times.set_out),
            clock(season, times.back_by),
            notes.join(", "),
        ]);
    }
    writeln!(out, "{table}")?;
    for (index, outing) in season
        .outings
        .iter()
        .take(count.min(TOLD_IN_FULL))
        .enumerate()
    {
        in_full(season, index + 1, outing, out)?;
    }
    Ok(())
}

fn in_full(
    season: &Season<'_>,
    rank: usize,
    outing: &Outing<'_>,
    out: &mut dyn Write,
) -> io::Result<()> {
    let scenario = season.scenario;
    let window = &outing.window;
    let times = &window.timetable;
    let at = |instant: Timestamp| clock(season, instant);
    writeln!(
        out,
        "{rank}. {}, {}, seat {} ({}), {}",
        outing.occasion.date.strftime("%a %-d %b %Y"),
        scenario.place_of(outing.seat).name,
        outing.seat.id,
        outing.seat.name,
        outing.subject.name,
    )?;
    writeln!(
        out,
        "   pictures   {} to {}: sun {:.1} to {:.1}°, light {} ({:.0} to {:.0}° from the shadow line)",
        at(window.stretch.start),
        at(window.stretch.end),
        window.sun[0].altitude_deg,
        window.sun[2].altitude_deg,
        side_name(window),
        window.sun[0].angle_deg,
        window.sun[2].angle_deg,
    )?;
    if let Some(hw) = &outing.occasion.high_water {
        let place = scenario.place_of(outing.seat);
        let push = place.push_m.unwrap_or_default();
        writeln!(
            out,
            "   water      high water {} at {:.2} m, range {:.1} m; over the push level of {push:.2} m from {} to {}",
            at(hw.at),
            hw.height_m,
            hw.range_m,
            at(hw.roosting.start),
            at(hw.roosting.end),
        )?;
        let lower = match &window.at_lower_water {
            Some(stretch) => format!(
                "at the lower water {} to {} remains",
                at(stretch.start),
                at(stretch.end)
            ),
            None => "at the lower water the animals are not pushed".to_owned(),
        };
        writeln!(
            out,
            "              chance that the water is in the band {}; {lower}",
            percent(window.chance_of_water)
        )?;
    }
    if let (Some(chance), Some(hw)) = (window.chance_above_upper, &outing.occasion.high_water) {
        writeln!(
            out,
            "   safety     judged at {:.2} m, the upper high water; chance of more {}",
            hw.height_m + scenario.water().upper_m(),
            percent(chance)
        )?;
    }
    if !window.otherwise.is_empty() {
        let cases: Vec<_> = window.otherwise.iter().map(otherwise).collect();
        writeln!(out, "   if water   {}", cases.join(", "))?;
    }
    if let Some(way) = times.way {
        let name = scenario
            .way_in_of(outing.seat)
            .map_or("the way in", |way| way.name.as_str());
        writeln!(
            out,
            "   way in     {name} cut {} and clear {} at the upper water; be across by {}, not back before {}",
            at(way.cut),
            at(way.clear),
            at(way.cross_by),
            at(way.cross_from),
        )?;
        if let Some(latest) = times.latest_departure {
            writeln!(out, "              LATEST DEPARTURE {}", at(latest))?;
        }
        if times.in_by_dark {
            writeln!(out, "              the way in is crossed in the dark")?;
        }
    }
    if let Some(way) = times.never_closes {
        let name = scenario
            .way_in_of(outing.seat)
            .map_or("the way in", |way| way.name.as_str());
        writeln!(
            out,
            "   way in     {name} never closes on this tide: low point {:.2}, upper water {:.2}",
            way.lost_at_m, way.upper_m
        )?;
    }
    writeln!(
        out,
        "   times      set out {}, seated by {}, stand up {}, back by {}, overdue {}",
        at(times.set_out),
        at(times.seated_by),
        at(times.stand_up),
        at(times.back_by),
        at(times.overdue),
    )?;
    if let Some(framed) = best_framing(season, outing) {
        writeln!(out, "   frame      {}", framing_line(framed))?;
    }
    if let Some(chance) = outing.learned {
        let reason = chance.reason("in range", "in this band");
        writeln!(out, "   log        {reason}")?;
    }
    if !outing.brings.is_empty() {
        let pictures: Vec<_> = outing
            .brings
            .iter()
            .map(|wanted| format!("{} ({} so far)", wanted.picture, wanted.taken))
            .collect();
        writeln!(out, "   may bring  {}", pictures.join(", "))?;
    }
    for who in &outing.window.ask_first {
        writeln!(out, "   ask first  {who}")?;
    }
    writeln!(out)
}

fn otherwise(case: &Otherwise) -> String {
    match case.ended_by {
        None => format!("{:+} cm: {:.0} min", case.offset_cm, case.minutes),
        Some(condition) => format!("{:+} cm: none, {condition}", case.offset_cm),
    }
}

fn framing_line(framed: &Framed) -> String {
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

fn seats(season: &Season<'_>, out: &mut dyn Write) -> io::Result<()> {
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
            writeln!(
                out,
                "     {} tides, {} in the height band, {} of those in {}, {} with a window",
                tally.all, tally.in_band, tally.in_band_and_light, season.light.name, tally.open
            )?;
        } else {
            writeln!(
                out,
                "     {} stretches of {}, {} with a window",
                tally.all, season.light.name, tally.open
            )?;
        }
        for refusal in &report.never {
            for line in textwrap::wrap(&format!("never: {refusal}"), WIDTH - 5) {
                writeln!(out, "     {line}")?;
            }
        }
        if !report.obstacles.is_empty() {
            let counts: Vec<_> = report
                .obstacles
                .iter()
                .map(|(condition, count)| format!("{condition} {count}"))
                .collect();
            writeln!(
                out,
                "     limiting condition of the others: {}",
                counts.join(", ")
            )?;
        }
        for relaxation in &report.relaxations {
            writeln!(
                out,
                "     {} alone stands against {}; nearest {}: {}",
                relaxation.condition,
                relaxation.opens,
                relaxation.nearest.strftime("%-d %b %Y"),
                relaxation.reason,
            )?;
        }
        if !report.other_lights.is_empty() {
            let others: Vec<_> = report
                .other_lights
                .iter()
                .map(|(light, count)| format!("{light} {count}"))
                .collect();
            writeln!(out, "     in other light: {}", others.join(", "))?;
        }
        frames(report, out)?;
    }
    writeln!(out)
}

fn frames(report: &SeatReport<'_>, out: &mut dyn Write) -> io::Result<()> {
    for framed in report.framings.iter().take(KITS_NAMED) {
        writeln!(out, "     {}", framing_line(framed))?;
    }
    let Some(best) = report.framings.first() else {
        return Ok(());
    };
    if best.share < FRAME_FILLING {
        let near = match best.frame_filling_at_m {
            Some(distance) => format!(", which would need {distance:.1} m"),
            None => String::new(),
        };
        writeln!(
            out,
            "     a frame-filling picture is not to be had at the stand-off distance{near}"
        )?;
    }
    Ok(())
}

/// Stretches by the clock.
pub(super) fn stretches(season: &Season<'_>, stretches: &Stretches) -> String {
    if stretches.is_empty() {
        return "nothing is left".to_owned();
    }
    let each = stretches
        .iter()
        .map(|s| format!("{}-{}", clock(season, s.start), clock(season, s.end)));
    each.collect::<Vec<_>>().join(", ")
}

pub(super) fn clock(season: &Season<'_>, at: Timestamp) -> String {
    // To the nearest minute; half a minute is far below what tide and traffic allow to plan.
    let rounded = at.round(jiff::Unit::Minute).unwrap_or(at);
    rounded
        .to_zoned_datetime(season.scenario.zone().clone())
        .strftime("%H:%M")
        .to_string()
}

/// To the nearest whole number, which is never written as minus zero.
fn whole(value: f64) -> i64 {
    value.round() as i64
}

fn percent(chance: f64) -> String {
    match chance * 100.0 {
        p if p > 99.0 => "over 99 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
