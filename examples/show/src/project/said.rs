//! What there is to say of a project and its pictures, in words.

use crate::told;
use wrackline_plan::experience::Interval;
use wrackline_plan::project::{LEVELS, Outlook, Picture, Project, TAKES};
use wrackline_plan::windows::Condition;

/// What there is to say of the pictures, once for those of which it is the same: their positions,
/// and what is said.
pub(crate) fn said_of(project: &Project<'_>) -> Vec<(Vec<usize>, String)> {
    let mut all: Vec<(Vec<usize>, String)> = Vec::new();
    for (at, picture) in project.pictures.iter().enumerate() {
        let said = said(project, picture);
        match all.iter_mut().find(|(_, known)| *known == said) {
            Some((whose, _)) => whose.push(at),
            None => all.push((vec![at], said)),
        }
    }
    all
}

/// What to do about a picture, and where.
fn said(project: &Project<'_>, picture: &Picture<'_>) -> String {
    let outlook = outlook(project, picture);
    best(picture).map_or(outlook.clone(), |best| format!("{outlook}; {best}"))
}

/// A range in whole per cent, never certain either way.
pub(crate) fn range(range: Interval) -> String {
    let whole = |end: f64| (end * 100.0).round().clamp(1.0, 99.0);
    let (low, high) = (whole(range.low), whole(range.high));
    if range.low > 0.99 {
        "over 99 %".to_owned()
    } else {
        format!("{low}-{high} %")
    }
}

/// What the chances come from.
pub(crate) fn basis(project: &Project<'_>) -> &'static str {
    if project.learned {
        "Chances are those of at least one select, from the log's own visits in the right water. \
         A visit that can bring several pictures counts for each of them."
    } else {
        "Without a log every chance of a visit is taken to be equally likely, so the ranges are \
         wide: give --log FILE."
    }
}

/// Where a picture's chance a visit is best, and how many visits there it takes.
fn best(picture: &Picture<'_>) -> Option<String> {
    let best = picture.best_place.as_ref()?;
    let of = best.selects;
    let seen = if of.visits == 0 {
        "no visit in the right water yet".to_owned()
    } else {
        let plural = if of.visits == 1 { "visit" } else { "visits" };
        format!("selects on {} of {} {plural}", of.hits, of.visits)
    };
    let needed = LEVELS.iter().zip(best.visits_for).map(|(level, visits)| {
        let visits = visits.map_or("more than can be told".to_owned(), |n| n.to_string());
        format!("{visits} for {:.0} %", level * 100.0)
    });
    Some(format!(
        "best at {}, {} a visit ({seen}): visits needed there {}",
        best.place.name,
        told::percent(of.mean()),
        needed.collect::<Vec<_>>().join(", ")
    ))
}

/// What there is to say of a picture, in a line.
fn outlook(project: &Project<'_>, picture: &Picture<'_>) -> String {
    let limit = |limit: &Option<Condition>| {
        limit.map_or(String::new(), |limit| format!("; most is lost to: {limit}"))
    };
    match &picture.outlook {
        Outlook::Likely => "likely".to_owned(),
        Outlook::Even => "as likely as not".to_owned(),
        Outlook::Unlikely => {
            let why = if picture.visits > picture.planned {
                "others are worth more in the visits left"
            } else {
                "the season has no more visits for it"
            };
            format!("unlikely: {why}")
        }
        Outlook::GivenUp if project.visits_left == 0 => "no visit is left for it".to_owned(),
        Outlook::GivenUp => format!(
            "given up in this plan: its {} visits are worth more to other pictures, or their \
             place is at its limit",
            picture.visits
        ),
        Outlook::Later {
            first,
            windows,
            limit: lost,
        } => format!(
            "not in this season{}. Another one: {windows} windows in the year after it, the first \
             on {}",
            limit(lost),
            first.strftime("%a %-d %b %Y")
        ),
        Outlook::Never {
            limit: lost,
            other_light,
        } => {
            let other = other_light.map_or(String::new(), |(light, windows)| {
                format!("; in {light} there would be {windows} windows in this season")
            });
            format!(
                "not from these seats{}{other}. Another seat may: try `sweep`",
                limit(lost)
            )
        }
    }
}

/// How the visits were chosen, and what bounded the choice.
pub(crate) fn notes(project: &Project<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let serving = project.plan.iter().filter(|visit| visit.brings.len() > 1);
    notes.push(format!(
        "{} of {} visits that there could be are planned, at most one a day; {} of them can bring \
         several pictures. Planned: the visits of the plan that can bring a picture, of all that \
         could. `season --why DAY` and `card` tell the rest of each.",
        project.plan.len(),
        project.visits_in_all,
        serving.count()
    ));
    if !project.at_limit.is_empty() {
        let names: Vec<&str> = project
            .at_limit
            .iter()
            .map(|place| place.name.as_str())
            .collect();
        notes.push(format!(
            "At their limit of visits a month, for the animals' peace: {}.",
            names.join(", ")
        ));
    }
    for (place, most) in &project.unlimited {
        notes.push(format!(
            "Nobody has said how many visits a month {} bears, and this plan makes up to {most}: \
             set `most_visits_a_month` there, for the animals' peace.",
            place.name
        ));
    }
    if project.plan.len() < project.visits_left as usize {
        notes.push(format!(
            "A visit that adds less than {TAKES} of a picture is not planned: it is not worth the \
             disturbance."
        ));
    }
    notes.push(if project.proven {
        "Chosen by branch and bound: no other choice of visits brings a thousandth of a picture \
         more."
            .to_owned()
    } else {
        "The search for the best choice was ended early: another choice may bring a little more."
            .to_owned()
    });
    notes
}
