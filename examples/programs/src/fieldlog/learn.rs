//! What the log teaches: as text, as a page, as charts.

use std::io::Write;

use wrackline_log::learning::{Fading, Question, lessons};
use wrackline_log::{When, Wind};
use wrackline_show::learning::{chart, page, text};

use crate::cli::Failure;
use crate::files;

use super::desk::Desk;
use super::options::LearnOptions;

/// A number as somebody typed it, without its three hundred digits.
fn brief(number: f64) -> String {
    if number != 0.0 && !(1e-6..1e15).contains(&number.abs()) {
        format!("{number:e}")
    } else {
        number.to_string()
    }
}

impl Desk<'_> {
    pub(crate) fn learn(&self, options: &LearnOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        if !(0.0..=1.0).contains(&options.fade) {
            return Err(Failure::input(format!(
                "--fade: {} is not a number from 0 to 1",
                brief(options.fade)
            )));
        }
        // The distances that an entry may note.
        if let Some(distance_m) = options.distance
            && !(0.1..=20_000.0).contains(&distance_m)
        {
            return Err(Failure::input(format!(
                "--distance: {} is not a distance from 0.1 to 20000 m to the nearest animal",
                brief(distance_m)
            )));
        }
        let weather = match (options.pressure, &options.wind) {
            (Some(pressure_hpa), Some(wind)) => Some(self.weather(pressure_hpa, wind)?),
            _ => None,
        };
        let plan = text::Plan {
            weather,
            distance_m: options.distance,
        };
        let today = When::At(self.gate.now).date(&self.gate.zone);
        let question = Question {
            place: options.place.as_deref(),
            subject: options.subject.as_deref(),
            fading: Fading {
                per_season: options.fade,
            },
            from: options.from.unwrap_or(today),
            days: options.days,
        };
        lessons::check(self.scenario, question).map_err(Failure::input)?;
        let records = self.log_to_read()?.records()?;
        let learnt = lessons::learn(self.scenario, &records, question);
        write!(out, "{}", text::lessons(self.scenario, &learnt, plan))?;
        if let Some(path) = &options.output {
            let html = page::page(self.scenario, &learnt, &records, plan);
            files::replace_file(path, html.as_bytes())?;
            writeln!(out, "\nWritten: {}", path.display())?;
        }
        if let Some(folder) = &options.charts {
            std::fs::create_dir_all(folder)?;
            for lesson in &learnt.places {
                for (name, svg) in chart::of_lesson(&records, lesson) {
                    let path = folder.join(name);
                    files::replace_file(&path, svg.as_bytes())?;
                    writeln!(out, "Drawn: {}", path.display())?;
                }
            }
        }
        Ok(())
    }

    fn weather(&self, pressure_hpa: f64, wind: &str) -> Result<text::Weather, Failure> {
        if !(850.0..=1100.0).contains(&pressure_hpa) {
            return Err(Failure::input(format!(
                "--pressure: {} is not a number from 850 to 1100",
                brief(pressure_hpa)
            )));
        }
        let wind = Wind::parse(wind).ok_or_else(|| {
            Failure::input(format!(
                "--wind: '{wind}' is not a wind; write it like NW5, or calm"
            ))
        })?;
        Ok(text::Weather { pressure_hpa, wind })
    }
}
