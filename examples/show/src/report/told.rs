//! One window of a season in full.

use std::io::{self, Write};

use super::style::Style;
use super::text::framing_line;
use crate::card::CUT_OFF;
use crate::clock::Clock;
use crate::light::{moon, moon_line, side, sun_altitudes};
use crate::limits::{Limits, cut_off, level_down, level_up, never_closes, signed};
use crate::rows::best_framing;
use crate::told::percent;
use crate::weather;
use wrackline_plan::season::{Outing, Season};
use wrackline_plan::windows::Otherwise;

/// Writes all that is known of an outing, each kind of thing under its name.
pub(super) fn write(
    season: &Season<'_>,
    outing: &Outing<'_>,
    style: Style,
    out: &mut dyn Write,
) -> io::Result<()> {
    let heading = format!("{}. ", outing.rank);
    let who = format!(
        "{}, {}, seat {} ({}), {}",
        outing.occasion.date.strftime("%a %-d %b %Y"),
        season.scenario.place_of(outing.seat).name,
        outing.seat.id,
        outing.seat.name,
        outing.subject.name,
    );
    out.write_all(style.wrapped(&heading, &who).as_bytes())?;
    let mut told = Told::default();
    light(season, outing, &mut told);
    water(season, outing, &mut told);
    forecast(season, outing, &mut told);
    way_and_times(season, outing, &mut told);
    let brings = outing.brings.iter();
    let brings: Vec<_> = brings
        .map(|wanted| format!("{} ({} so far)", wanted.picture, wanted.taken))
        .collect();
    if let Some(framed) = best_framing(season, outing) {
        told.add("frame", framing_line(framed));
    }
    if let Some(chance) = outing.learned {
        told.add("log", chance.reason("in range", "in this band"));
    }
    if !brings.is_empty() {
        told.add("may bring", brings.join(", "));
    }
    for who in &outing.window.ask_first {
        told.add("ask first", who.clone());
    }
    for rule in &outing.window.frost {
        told.add("frost", rule.clone());
    }
    for (name, text) in told.0 {
        let first = format!("   {name:<11}");
        out.write_all(style.wrapped(&first, &text).as_bytes())?;
    }
    writeln!(out)
}

/// Lines, each with its name; without one where it goes on with the line before.
#[derive(Default)]
struct Told(Vec<(&'static str, String)>);

impl Told {
    fn add(&mut self, name: &'static str, text: String) {
        self.0.push((name, text));
    }
}

fn light(season: &Season<'_>, outing: &Outing<'_>, told: &mut Told) {
    let window = &outing.window;
    let limits = Limits::of(outing);
    let clock = Clock::of(season.scenario, outing);
    let light = window.light();
    told.add(
        "pictures",
        format!(
            "{} to {}: sun {}, light {} ({:.0} to {:.0}° from the shadow line)",
            clock.limit(limits.pictures_from),
            clock.limit(limits.pictures_until),
            sun_altitudes(outing, 1),
            side(window),
            light[0].angle_deg,
            light[2].angle_deg,
        ),
    );
    if let Some(moon) = moon(outing) {
        told.add("", moon_line(moon));
    }
    if let Some(takes) = window.terrain_takes {
        told.add(
            "terrain",
            format!(
                "takes {:.0} of the {:.0} min of this light that an open horizon would leave",
                takes.taken_minutes, takes.open_minutes
            ),
        );
    }
    if let Some([from, until]) = limits.sun_near_view {
        told.add(
            "sun",
            format!(
                "NEAR THE VIEW from {} to {}: do not look through an optical finder",
                clock.limit(from),
                clock.limit(until)
            ),
        );
    }
}

fn water(season: &Season<'_>, outing: &Outing<'_>, told: &mut Told) {
    let scenario = season.scenario;
    let window = &outing.window;
    let clock = Clock::of(scenario, outing);
    if let Some(hw) = &outing.occasion.high_water {
        let push = scenario.place_of(outing.seat).push_m.unwrap_or_default();
        told.add(
            "water",
            format!(
                "high water {} at {} m, range {:.1} m; over the push level of {push:.2} m from {} \
                 to {}",
                clock.near(hw.at),
                level_down(hw.height_m),
                hw.range_m,
                clock.near(hw.roosting.start),
                clock.near(hw.roosting.end),
            ),
        );
        let lower = match &window.at_lower_water {
            Some(stretch) => format!(
                "at the lower water {} remains",
                clock.usable(stretch).join(" to ")
            ),
            None => "at the lower water the animals are not pushed".to_owned(),
        };
        let chance = percent(window.chance_of_water);
        told.add(
            "",
            format!("chance that the water is in the band {chance}; {lower}"),
        );
        if let Some(chance) = window.chance_above_upper {
            told.add(
                "upper",
                format!(
                    "judged at {} m, the upper high water; chance of more {}",
                    level_up(hw.upper_m(scenario)),
                    percent(chance)
                ),
            );
        }
    }
    if !window.otherwise.is_empty() {
        let cases: Vec<_> = window.otherwise.iter().map(otherwise).collect();
        told.add("if water", cases.join(", "));
    }
}

fn forecast(season: &Season<'_>, outing: &Outing<'_>, told: &mut Told) {
    let Some(at) = &outing.window.weather else {
        return;
    };
    let clock = Clock::of(season.scenario, outing);
    told.add("weather", weather::in_a_line(season.scenario, at, &clock));
}

fn way_and_times(season: &Season<'_>, outing: &Outing<'_>, told: &mut Told) {
    let times = &outing.window.timetable;
    let limits = Limits::of(outing);
    let clock = Clock::of(season.scenario, outing);
    let at = |limit| clock.limit(limit);
    let name = season
        .scenario
        .way_in_of(outing.seat)
        .map_or("the way in", |way| way.name.as_str());
    if let Some(way) = limits.way {
        told.add(
            "way in",
            format!(
                "{name} cut {} and clear {} at the upper water; be across by {}, not back before \
                 {}",
                at(way.cut),
                at(way.clear),
                at(way.cross_by),
                at(way.cross_from),
            ),
        );
        if times.in_by_dark {
            told.add("", "the way in is crossed in the dark".to_owned());
        }
        if cut_off(times).is_some() {
            told.add("", format!("at unease while it is closed: {CUT_OFF}"));
        }
    }
    if let Some(way) = times.never_closes {
        told.add("way in", format!("{name} {}", never_closes(way)));
    }
    told.add(
        "times",
        format!(
            "set out {}, seated by {}, stand up {}, back by {}, overdue {}",
            at(limits.set_out),
            at(limits.seated_by),
            at(limits.stand_up),
            at(limits.back_by),
            at(limits.overdue),
        ),
    );
    if let Some(latest) = limits.latest_departure {
        told.add("", format!("LATEST DEPARTURE {}", at(latest)));
    }
}

fn otherwise(case: &Otherwise) -> String {
    match case.ended_by {
        None => format!(
            "{} cm: {} min",
            signed(case.offset_cm.into()),
            case.minutes.floor()
        ),
        Some(condition) => format!("{} cm: none, {condition}", signed(case.offset_cm.into())),
    }
}
