//! The year in words, and as lines of a scenario.

use std::io::{self, Write};

use wrackline_gather::presence::{DataSet, Presence};
use wrackline_plan::scenario::{HalfMonths, half_month_name};

use super::{About, position, says, state};
use wrackline_show::columns::Columns;
use wrackline_show::report::{DEMO, Style};

/// The widest bar of a share.
const BAR: f64 = 24.0;

/// A share as a bar, its interval thin and its mean thick.
fn bar(low: f64, mean: f64, high: f64) -> String {
    let cell = |share: f64| (share * BAR).round() as usize;
    let bar = (0..=cell(1.0)).map(|at| match at {
        at if at == cell(mean) => '#',
        at if at >= cell(low) && at <= cell(high) => '-',
        _ => ' ',
    });
    bar.collect::<String>().trim_end().to_owned()
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

pub(super) fn text(
    told: &Presence,
    about: About<'_>,
    style: Style,
    out: &mut dyn Write,
) -> io::Result<()> {
    let question = &told.question;
    let mut line = |text: &str| out.write_all(style.wrapped("", text).as_bytes());
    line(&format!(
        "{} at {}: the year from sightings",
        about.animal, about.place
    ))?;
    if about.demo {
        line(DEMO)?;
    }
    let (latitude, longitude, digits) = position(told, about);
    let coarse = if about.exact {
        ""
    } else {
        " (to a tenth of a degree)"
    };
    let effort = &told.effort;
    let days = effort
        .days
        .map_or_else(String::new, |(first, last)| format!(", {first} to {last}"));
    line(&format!(
        "Within {} km of latitude {latitude:.digits$}, longitude {longitude:.digits$}{coarse}: {} \
         of {} records count, {} of them of the animal{days}.",
        question.radius_km, told.counted, told.records, told.of_animal
    ))?;
    let all = effort.visits();
    line(&format!(
        "They make {} visits, {} with the animal: {} named events, {} days of an observer, {} days \
         of nobody named; {} observers; {} visits say how was looked.",
        all.visits,
        all.with,
        effort.by_event,
        effort.by_observer,
        effort.by_day,
        effort.observers,
        effort.with_effort
    ))?;
    line("")?;
    let mut table = Columns::headed(["half-month", "visits", "with", "share", "90 %", "", ""])
        .right(1)
        .right(2)
        .right(3)
        .right(4);
    for (at, half) in told.year.half_months.iter().enumerate() {
        let share = half.share;
        let (mean, interval, picture) = match says(told, half) {
            true => (
                percent(share.mean),
                share.interval.to_string(),
                bar(share.interval.low, share.mean, share.interval.high),
            ),
            false => (String::new(), "too few".to_owned(), String::new()),
        };
        let otherwise = if half.seen_otherwise {
            "; seen, not counted"
        } else {
            ""
        };
        table.push([
            half_month_name(at),
            half.count.visits.to_string(),
            half.count.with.to_string(),
            mean,
            interval,
            format!("{}{otherwise}", state(half.state)),
            picture,
        ]);
    }
    write!(out, "{table}")?;
    writeln!(out)?;
    if !told.left_out.is_empty() || effort.too_short.visits > 0 {
        let mut left_out = Columns::headed(["left out", "records", "of the animal"])
            .right(1)
            .right(2);
        for (why, number) in &told.left_out {
            left_out.push([
                why.words().to_owned(),
                number.records.to_string(),
                number.of_animal.to_string(),
            ]);
        }
        if effort.too_short.visits > 0 {
            left_out.push([
                "visits with too few kinds".to_owned(),
                effort.too_short.visits.to_string(),
                effort.too_short.with.to_string(),
            ]);
        }
        writeln!(out, "{left_out}")?;
    }
    let mut line = |text: &str| out.write_all(style.wrapped("", text).as_bytes());
    line(&rule(told))?;
    line("")?;
    lines(told, about, out)?;
    writeln!(out)?;
    for caution in cautions(told) {
        out.write_all(style.wrapped("", &caution).as_bytes())?;
    }
    Ok(())
}

/// The rule by which a half-month is present or absent.
fn rule(told: &Presence) -> String {
    let question = &told.question;
    let Some(threshold) = told.year.threshold else {
        return format!(
            "No half-month has {} visits, or none of them found the animal: nothing is said of \
             its year.",
            question.fewest_visits
        );
    };
    format!(
        "Present: the whole interval lies at or above {:.1} % of visits, which is {} of the best \
         half-month. Absent: the whole interval lies below. Unknown: anything else, and whatever \
         has fewer than {} visits.",
        threshold * 100.0,
        question.threshold,
        question.fewest_visits
    )
}

/// The lines for a scenario alone.
pub(super) fn toml(told: &Presence, about: About<'_>, out: &mut dyn Write) -> io::Result<()> {
    lines(told, about, out)?;
    for caution in cautions(told) {
        writeln!(out, "# {caution}")?;
    }
    Ok(())
}

/// The lines: the wide reading to be pasted, the narrow one behind a comment mark.
fn lines(told: &Presence, about: About<'_>, out: &mut dyn Write) -> io::Result<()> {
    let (wide, narrow) = (told.year.wide(), told.year.narrow());
    let place = about.place;
    writeln!(out, "# {} at {place}, from {}", about.animal, sources(told))?;
    if about.demo {
        writeln!(
            out,
            "# Invented records of an invented place: not for use in the field."
        )?;
    }
    writeln!(
        out,
        "# Present, not known, or seen at any time: for every animal that is guarded."
    )?;
    writeln!(out, "present = \"{wide}\"")?;
    writeln!(
        out,
        "# Known to be present. Only for an animal that is listed at no place where others"
    )?;
    writeln!(
        out,
        "# are waited for: outside of it nothing keeps anybody away from it."
    )?;
    match narrow == HalfMonths::NONE {
        true => writeln!(out, "# (the records know of no such time)"),
        false if narrow == wide => writeln!(out, "# (the same)"),
        false => writeln!(out, "# present = \"{narrow}\""),
    }
}

/// Where the records come from, each data set with its licence, in one line.
fn sources(told: &Presence) -> String {
    let one = |DataSet {
                   name,
                   license,
                   records,
               }: &DataSet| {
        let name = if name.is_empty() {
            "an unnamed data set"
        } else {
            name
        };
        let license = if license.is_empty() {
            "no licence stated"
        } else {
            license
        };
        format!("{name} ({records} records; {license})")
    };
    let named: Vec<String> = told.sets.iter().take(MOST_SETS).map(one).collect();
    let more = match told.sets.len().saturating_sub(MOST_SETS) {
        0 => String::new(),
        more => format!("; and {more} more, which --format json names"),
    };
    format!("{}{more}", named.join("; "))
}

/// Data sets that are named in a line.
const MOST_SETS: usize = 5;

/// What whoever uses it must know.
pub(super) fn cautions(told: &Presence) -> Vec<String> {
    let mut cautions = vec![
        "A scenario proposes no outing for an animal outside its `present`, and guards no other \
         animal outside of its: too short a stretch leaves an animal without its distance."
            .to_owned(),
        "The share is that of visits that noted the animal, not of animals that were there: what \
         is hard to see, or not worth a note, is rare in it."
            .to_owned(),
    ];
    if told.sets.iter().any(|set| set.license.is_empty()) {
        let caution = "Some records state no licence: ask their owner before you publish anything.";
        cautions.push(caution.to_owned());
    }
    if told.uncertainty_unstated > 0 {
        cautions.push(format!(
            "{} records do not say how certain their position is; they were taken as they stand.",
            told.uncertainty_unstated
        ));
    }
    if told.effort.alike > 1.05 {
        cautions.push(format!(
            "Visits of one year, or of one observer, are alike: {:.1} of them were taken to tell \
             as much as one by itself.",
            told.effort.alike
        ));
    }
    cautions
}
