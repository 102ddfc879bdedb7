//! Days without a window, and what stood against each.

use std::fmt::Write;

use jiff::Timestamp;

use super::column::{Calendar, Column};
use crate::markup::escape;
use wrackline_plan::season::{Season, SeatReport};
use wrackline_plan::windows::Occasion;

/// Appends one folded list for a column and a light.
pub(super) fn write(
    html: &mut String,
    calendar: &Calendar<'_>,
    (column_at, column): (usize, &Column<'_>),
    (light_at, season): (usize, &Season<'_>),
) {
    let reports = season.seats.iter();
    let Some(report) = reports
        .filter(|report| report.seat.id == column.seat.id)
        .find(|report| report.subject.id == column.subject.id)
    else {
        return;
    };
    let open: Vec<_> = column
        .bars
        .iter()
        .filter(|bar| bar.light == light_at)
        .map(|bar| bar.outing.occasion.date)
        .collect();
    let days = calendar.days.all.iter();
    let shut: Vec<_> = days.filter(|day| !open.contains(&day.date)).collect();
    let _ = write!(
        html,
        "<details class=\"no\" data-c=\"{column_at}\" data-l=\"{light_at}\"><summary>{} {}, {}, \
         {}: {} of {} days without a window</summary>",
        escape(&column.seat.id),
        escape(&column.seat.name),
        escape(&column.subject.name),
        escape(&season.light.name),
        shut.len(),
        calendar.days.all.len()
    );
    for refusal in &report.never {
        let _ = write!(
            html,
            "<p class=\"mind\">Never: {}</p>",
            escape(&refusal.to_string())
        );
    }
    html.push_str("<ul>");
    for day in shut {
        let told = report.refused.iter();
        let told: Vec<_> = told
            .filter(|occasion| occasion.date == day.date)
            .map(|occasion| reason(season, report, occasion))
            .collect();
        let told = if told.is_empty() {
            "no tide and no light of the wanted kind".to_owned()
        } else {
            told.join("; ")
        };
        let _ = write!(
            html,
            "<li data-d=\"{}\">{}: {}</li>",
            day.date,
            day.date.strftime("%a %-d %b"),
            escape(&told)
        );
    }
    html.push_str("</ul></details>\n");
}

/// The first condition that an occasion fails, in full, and the names of the others.
fn reason(season: &Season<'_>, report: &SeatReport<'_>, occasion: &Occasion) -> String {
    let mut text = occasion.high_water.as_ref().map_or(String::new(), |tide| {
        format!(
            "high water {} {:.2} m, ",
            clock(season, tide.at),
            tide.height_m
        )
    });
    let mut refusals = occasion.refusals.iter();
    match refusals.next() {
        Some(first) => {
            let _ = write!(text, "{first}");
        }
        // A tide that fails in nothing, at a seat from which nobody may ever work.
        None if report.never.is_empty() => text.push_str("no window"),
        None => text.push_str("the seat itself"),
    }
    let first = occasion.refusals.first().map(|first| first.condition);
    let mut others: Vec<&str> = refusals
        .filter(|other| Some(other.condition) != first)
        .map(|other| other.condition.name())
        .collect();
    others.dedup();
    if !others.is_empty() {
        let _ = write!(text, " (and {})", others.join(", "));
    }
    text
}

fn clock(season: &Season<'_>, at: Timestamp) -> String {
    let at = at.round(jiff::Unit::Minute).unwrap_or(at);
    let local = at.to_zoned_datetime(season.scenario.zone().clone());
    local.strftime("%H:%M").to_string()
}
