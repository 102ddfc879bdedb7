//! The figures that can be changed, and which way.

use serde::{Deserialize, Serialize};
use wrackline_plan::scenario::{Scenario, WayIn};

use super::Change;

/// A table of the scenario.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Table {
    /// `[water]`.
    Water,
    /// `[habits]`.
    Habits,
    /// `[[subject]]`.
    Subject,
    /// `[[way_in]]`.
    WayIn,
    /// `[[seat]]`.
    Seat,
}

impl Table {
    /// Its name in the file.
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Water => "water",
            Self::Habits => "habits",
            Self::Subject => "subject",
            Self::WayIn => "way_in",
            Self::Seat => "seat",
        }
    }
}

/// Which way a figure can be changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Rule {
    /// Up from what the scenario says: more of it is stricter.
    More,
    /// Down from there: less of it is stricter.
    Less,
    /// Both ways: it guards nobody.
    Either,
}

/// One figure of a scenario that can be changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// The table that it stands in.
    pub table: Table,
    /// The id of that table, where there are several.
    pub of: Option<String>,
    /// Its name there.
    pub field: &'static str,
    /// What it is, in words.
    pub name: String,
    /// Its unit.
    pub unit: &'static str,
    /// What the scenario says, or what holds where it says nothing.
    pub own: f64,
    /// Which way it can be changed.
    pub rule: Rule,
    /// Whom it guards; `None` for nobody.
    pub guards: Option<&'static str>,
    /// A step of it that means something.
    pub step: f64,
}

impl Figure {
    /// Whether it may be this. Nothing that is no number is allowed.
    pub fn allows(&self, value: f64) -> bool {
        value.is_finite()
            && match self.rule {
                Rule::More => value >= self.own,
                Rule::Less => value <= self.own,
                Rule::Either => true,
            }
    }

    pub(super) fn is_of(&self, change: &Change) -> bool {
        (self.table, &self.of, self.field) == (change.table, &change.of, change.field.as_str())
    }
}

const ANIMALS: Option<&str> = Some("the animals");
const PEOPLE: Option<&str> = Some("people");

/// What can be changed of a scenario.
pub fn figures(scenario: &Scenario) -> Vec<Figure> {
    let mut out = Vec::new();
    for subject in scenario.subjects() {
        for (field, where_from, own) in [
            (
                "stand_off_on_foot_m",
                "on foot",
                subject.stand_off_on_foot_m,
            ),
            (
                "stand_off_from_hide_m",
                "from a hide",
                subject.stand_off_from_hide_m,
            ),
        ] {
            out.push(Figure {
                table: Table::Subject,
                of: Some(subject.id.clone()),
                field,
                name: format!("{}: stand-off {where_from}", subject.name),
                unit: "m",
                own,
                rule: Rule::More,
                guards: ANIMALS,
                step: 5.0,
            });
        }
    }
    let habits = scenario.habits();
    let of_habits = |field, name: &str, unit, own, rule, guards, step| Figure {
        table: Table::Habits,
        of: None,
        field,
        name: name.to_owned(),
        unit,
        own,
        rule,
        guards,
        step,
    };
    out.push(of_habits(
        "settle_minutes",
        "seated before the animals are due",
        "min",
        habits.settle_minutes,
        Rule::More,
        ANIMALS,
        5.0,
    ));
    out.push(of_habits(
        "withdrawal_factor",
        "withdrawal, as a multiple of the way in",
        "times",
        habits.withdrawal_factor,
        Rule::More,
        ANIMALS,
        0.25,
    ));
    out.push(of_habits(
        "longest_hours",
        "longest outing",
        "h",
        habits.longest_minutes / 60.0,
        Rule::Less,
        PEOPLE,
        0.5,
    ));
    out.push(of_habits(
        "shortest_minutes",
        "shortest window worth an outing",
        "min",
        habits.shortest_minutes,
        Rule::Either,
        None,
        5.0,
    ));
    if scenario.tide().is_some() {
        of_the_tide(scenario, &mut out);
    }
    out
}

fn of_the_tide(scenario: &Scenario, out: &mut Vec<Figure>) {
    let water = scenario.water();
    let of_water = |field, name: &str, own, rule, guards| Figure {
        table: Table::Water,
        of: None,
        field,
        name: name.to_owned(),
        unit: "m",
        own,
        rule,
        guards,
        step: 0.05,
    };
    out.push(of_water(
        "upper_allowance_m",
        "upper allowance of the water",
        water.upper_allowance_m,
        Rule::More,
        PEOPLE,
    ));
    // By it no step of an outing is timed: it says which part of a window is sure of the animals.
    out.push(of_water(
        "lower_allowance_m",
        "lower allowance of the water",
        water.lower_allowance_m,
        Rule::Either,
        None,
    ));
    for seat in scenario
        .seats()
        .iter()
        .filter(|seat| seat.ground_m.is_some())
    {
        out.push(Figure {
            table: Table::Seat,
            of: Some(seat.id.clone()),
            field: "freeboard_m",
            name: format!("{} {}: freeboard over the upper water", seat.id, seat.name),
            unit: "m",
            own: seat.freeboard_m,
            rule: Rule::More,
            guards: PEOPLE,
            step: 0.05,
        });
    }
    let mut ways: Vec<&WayIn> = Vec::new();
    for way in scenario
        .seats()
        .iter()
        .filter_map(|seat| scenario.way_in_of(seat))
    {
        if !ways.iter().any(|known| known.id == way.id) {
            ways.push(way);
        }
    }
    for way in ways {
        for (field, what, unit, own, step) in [
            (
                "margin_m",
                "margin over the low point",
                "m",
                way.margin_m,
                0.05,
            ),
            (
                "margin_minutes",
                "margin before it closes and after it clears",
                "min",
                way.margin_minutes,
                5.0,
            ),
            (
                "loaded_dark_minutes",
                "crossing, loaded and in the dark",
                "min",
                way.loaded_dark_minutes,
                1.0,
            ),
        ] {
            out.push(Figure {
                table: Table::WayIn,
                of: Some(way.id.clone()),
                field,
                name: format!("{}: {what}", way.name),
                unit,
                own,
                rule: Rule::More,
                guards: PEOPLE,
                step,
            });
        }
    }
}
