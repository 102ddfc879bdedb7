//! What removed which part of a day.

use std::io::{self, Write};

use super::style::{DEMO, Style};
use crate::clock::Clock;
use crate::limits::level_down;
use crate::warnings;
use wrackline_plan::season::Season;
use wrackline_plan::windows::Occasion;

pub(super) fn write(season: &Season<'_>, style: Style, out: &mut dyn Write) -> io::Result<()> {
    if style.demo {
        out.write_all(style.wrapped("", DEMO).as_bytes())?;
    }
    writeln!(
        out,
        "{}: {} for {}, times in {}",
        season.scenario.title(),
        season.from.strftime("%A %-d %B %Y"),
        season.light.name,
        season.scenario.zone_name(),
    )?;
    if !season.scenario.warnings().is_empty() {
        writeln!(out)?;
        warnings::write(season.scenario.warnings(), out)?;
    }
    for report in &season.seats {
        writeln!(
            out,
            "\n{} {}, {}",
            report.seat.id, report.seat.name, report.subject.name
        )?;
        for refusal in &report.never {
            let told = style.wrapped("   never     ", &refusal.to_string());
            out.write_all(told.as_bytes())?;
        }
        let here = season.outings.iter().filter(|outing| {
            outing.seat.id == report.seat.id && outing.subject.id == report.subject.id
        });
        let mut told: Vec<(&Occasion, Option<String>)> = Vec::new();
        for outing in here {
            let clock = Clock::of(season.scenario, outing);
            let text = clock.usable(&outing.window.stretch).join("-");
            told.push((&outing.occasion, Some(text)));
        }
        told.extend(report.refused.iter().map(|occasion| (occasion, None)));
        told.sort_by_key(|(occasion, _)| {
            let first = occasion
                .steps
                .first()
                .and_then(|step| step.left.iter().next());
            let start = first.map(|stretch| stretch.start);
            occasion.high_water.as_ref().map(|tide| tide.at).or(start)
        });
        if told.is_empty() {
            writeln!(
                out,
                "   no tide, and no light of the wanted kind, on this day"
            )?;
        }
        for (occasion, window) in told {
            let clock = Clock::of_steps(season.scenario, occasion);
            if let Some(tide) = &occasion.high_water {
                writeln!(
                    out,
                    "   high water {} at {} m, expected {} m",
                    clock.near(tide.at),
                    level_down(tide.height_m),
                    level_down(tide.expected_m),
                )?;
            }
            for step in &occasion.steps {
                writeln!(
                    out,
                    "      {:<28} {}",
                    step.part,
                    clock.stretches(&step.left)
                )?;
            }
            for refusal in &occasion.refusals {
                let told = style.wrapped("      refused by ", &refusal.to_string());
                out.write_all(told.as_bytes())?;
            }
            if let Some(window) = window {
                writeln!(out, "      window {window}")?;
            }
        }
    }
    Ok(())
}
