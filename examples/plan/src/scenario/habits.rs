//! How the photographer works.

use jiff::civil::Date;

use super::bounds::{Bound, MINUTES};
use super::reader::Table;

/// How the photographer works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Minutes to sit still before the animals are due; 30 to 60 is common practice, no source.
    pub settle_minutes: f64,
    /// Slow withdrawal as a multiple of the time taken on the way in; our default is 1.25.
    pub withdrawal_factor: f64,
    /// Shortest window worth an outing, in minutes; our default is 20.
    pub shortest_minutes: f64,
    /// Longest outing from setting out to being back, in minutes; our default is a day. Whoever may
    /// sit through a tide that comes once a day needs most of it.
    pub longest_minutes: f64,
    /// Frozen days in a row so far, if the user counts them.
    pub frozen_days: Option<FrozenDays>,
    /// What a minute of light is worth to the ranking.
    pub light_weights: LightWeights,
}

/// What a minute of light is worth to the ranking, by the height of the sun's centre. The values
/// are our defaults: low sun models an animal and warms it, the glow below the horizon is fine but
/// dim, high sun is hard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightWeights {
    /// Below the horizon.
    pub glow: f64,
    /// 0 to 6 degrees.
    pub warm: f64,
    /// 6 to 12 degrees.
    pub low: f64,
    /// 12 to 20 degrees.
    pub fair: f64,
    /// Higher.
    pub hard: f64,
}

impl LightWeights {
    /// Our defaults.
    pub const OURS: Self = Self {
        glow: 0.7,
        warm: 1.0,
        low: 0.9,
        fair: 0.6,
        hard: 0.3,
    };

    /// The weight at an altitude of the sun.
    pub fn at_altitude(&self, altitude_deg: f64) -> f64 {
        match altitude_deg {
            a if a < 0.0 => self.glow,
            a if a < 6.0 => self.warm,
            a if a < 12.0 => self.low,
            a if a < 20.0 => self.fair,
            _ => self.hard,
        }
    }
}

/// A count of frozen days in a row, and the day on which it was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FrozenDays {
    /// Days in a row.
    pub days: u16,
    /// Counted up to and including this day.
    pub on: Date,
}

/// Without a [habits] table.
pub(super) const OUR_HABITS: Habits = Habits {
    settle_minutes: 45.0,
    withdrawal_factor: 1.25,
    shortest_minutes: 20.0,
    longest_minutes: 24.0 * 60.0,
    frozen_days: None,
    light_weights: LightWeights::OURS,
};

pub(super) fn read(table: Table<'_, '_>) -> Habits {
    let days = table.integer("frozen_days", 0..=365);
    let on = table.optional_text("frozen_days_on");
    let on = on.and_then(|text| {
        text.parse::<Date>()
            .map_err(|_| {
                table.report(
                    "frozen_days_on",
                    format!("\"{text}\" is not a date"),
                    "give a date such as \"2026-12-31\"",
                )
            })
            .ok()
    });
    if days.is_some() && !table.has("frozen_days_on") {
        table.report(
            "frozen_days_on",
            "is missing",
            "say up to which day the frozen days were counted",
        );
    }
    let habits = Habits {
        settle_minutes: table.number_or("settle_minutes", MINUTES, OUR_HABITS.settle_minutes),
        withdrawal_factor: table.number_or(
            "withdrawal_factor",
            Bound::Within(1.0, 10.0),
            OUR_HABITS.withdrawal_factor,
        ),
        shortest_minutes: table.number_or("shortest_minutes", MINUTES, OUR_HABITS.shortest_minutes),
        longest_minutes: 60.0
            * table.number_or(
                "longest_hours",
                Bound::Within(1.0, 24.0),
                OUR_HABITS.longest_minutes / 60.0,
            ),
        frozen_days: days.zip(on).map(|(days, on)| FrozenDays {
            days: days as u16,
            on,
        }),
        light_weights: table
            .table("light_weights")
            .map_or(LightWeights::OURS, read_weights),
    };
    table.finish();
    habits
}

fn read_weights(table: Table<'_, '_>) -> LightWeights {
    let weight = |key, default| table.number_or(key, Bound::Within(0.0, 1.0), default);
    let ours = LightWeights::OURS;
    let weights = LightWeights {
        glow: weight("glow", ours.glow),
        warm: weight("warm", ours.warm),
        low: weight("low", ours.low),
        fair: weight("fair", ours.fair),
        hard: weight("hard", ours.hard),
    };
    table.finish();
    weights
}
