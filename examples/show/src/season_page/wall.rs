//! The calendar of a season as one drawing for a wall, with what must be known of every window
//! below it.

use std::fmt::Write;

use super::column::Calendar;
use super::{Error, basis, heading, strip, words};
use crate::markup::{escape, text};
use crate::warnings::{self, of_a_kind};
use wrackline_plan::cautions;
use wrackline_plan::experience::Experience;
use wrackline_plan::season::Season;

const MARGIN: f64 = 16.0;
/// Room for the name of a month and of a seat over its rows.
const MONTH_HEAD: f64 = 36.0;
/// Columns that stand side by side at least, so that lines of text have room.
const LEAST_COLUMNS: usize = 2;
/// Width of a letter, and height of a line, of the smaller type.
const LETTER: f64 = 4.9;
const LINE: f64 = 13.0;
/// Signs of the key side by side.
const SIGNS_IN_A_ROW: usize = 2;

/// Draws the season in one light.
///
/// # Errors
/// Dates, water or sky that cannot be computed.
pub fn wall(season: &Season<'_>, experience: Option<&Experience>) -> Result<String, Error> {
    let seasons = std::slice::from_ref(season);
    let calendar = Calendar::of(seasons, experience)?;
    let columns = calendar.columns.len().max(LEAST_COLUMNS);
    let width = MARGIN * (columns + 1) as f64 + strip::WIDTH * columns as f64;
    let mut body = String::new();
    let mut y = MARGIN + 18.0;
    let title = format!("{}, {}", heading(season), season.light.name);
    text(&mut body, MARGIN, y, "title", &title);
    y += 18.0;
    for line in wrapped(&basis(season), width) {
        text(&mut body, MARGIN, y, "small", &line);
        y += LINE;
    }
    for kind in of_a_kind(season.scenario.warnings()) {
        for line in wrapped(&format!("Warning: {}", warnings::line(kind)), width) {
            text(&mut body, MARGIN, y, "warn", &line);
            y += LINE;
        }
    }
    y += 8.0;
    key(&mut body, &mut y, width);
    for rows in calendar.days.months() {
        let first = &calendar.days.all[rows.start];
        y += MONTH_HEAD;
        let name = first.date.strftime("%B %Y").to_string();
        text(&mut body, MARGIN, y - 20.0, "strong", &name);
        for (at, column) in calendar.columns.iter().enumerate() {
            let left = MARGIN + (MARGIN + strip::WIDTH) * at as f64;
            let name = format!(
                "{} {}, {}",
                column.seat.id, column.seat.name, column.subject.name
            );
            text(&mut body, left, y - 6.0, "small", &name);
            let _ = write!(body, "<g transform=\"translate({left} {y})\">");
            strip::draw(&mut body, &calendar, column, rows.clone(), None);
            body.push_str("</g>");
        }
        y += strip::height(rows.len());
    }
    y += 20.0;
    list(&mut body, season, &calendar, &mut y, width);
    y += 10.0;
    for caution in cautions::ALL {
        for line in wrapped(caution, width) {
            text(&mut body, MARGIN, y, "small", &line);
            y += LINE;
        }
    }
    let height = y + MARGIN;
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"strip\" viewBox=\"0 0 {width:.0} \
         {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" \
         role=\"img\"><title>{}</title><style>{}</style>{}<rect class=\"sheet\" \
         width=\"{width:.0}\" height=\"{height:.0}\"/>{body}</svg>\n",
        escape(&title),
        include_str!("strip.css"),
        strip::PATTERNS
    ))
}

fn key(svg: &mut String, y: &mut f64, width: f64) {
    let across = (width - 2.0 * MARGIN) / SIGNS_IN_A_ROW as f64;
    for row in strip::KEY.chunks(SIGNS_IN_A_ROW) {
        for (at, (class, what)) in row.iter().enumerate() {
            let left = MARGIN + across * at as f64;
            strip::sign(svg, class, left, *y - 10.0);
            text(svg, left + 32.0, *y, "small", what);
        }
        *y += 18.0;
    }
}

fn list(svg: &mut String, season: &Season<'_>, calendar: &Calendar<'_>, y: &mut f64, width: f64) {
    for (column, bar) in calendar.bars() {
        let outing = bar.outing;
        let clock = words::clock(season, outing);
        let mut line = format!(
            "{}. {}",
            words::name(season, outing),
            words::departure(&clock, outing)
        );
        if let Some(upper) = words::upper_water(season, outing) {
            let _ = write!(line, ". Upper water {upper} m");
        }
        let _ = write!(
            line,
            ". {}",
            words::stand_off(calendar.columns[column].stand_off_m, outing)
        );
        for warning in words::warnings(&clock, outing) {
            let _ = write!(line, ". {warning}");
        }
        for line in wrapped(&line, width) {
            text(svg, MARGIN, *y, "small", &line);
            *y += LINE;
        }
    }
}

fn wrapped(text: &str, width: f64) -> Vec<String> {
    let letters = ((width - 2.0 * MARGIN) / LETTER) as usize;
    textwrap::wrap(text, letters)
        .into_iter()
        .map(std::borrow::Cow::into_owned)
        .collect()
}
