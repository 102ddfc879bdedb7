//! The port's constants, and what its heights are measured from.

use wrackline_tides::TurnKind;

use super::super::draft::Marks;
use super::super::port::{Constants, Tide};
use super::super::whole::Scenario;
use crate::port::short_record;

/// Fewer constituents leave decimetres of an ordinary tide out.
const FEW: usize = 8;
/// No constituent of any port is larger: M2 in the Bay of Fundy stands near 6 m (from memory).
const LARGE_M: f64 = 10.0;
/// A constituent that counts.
const COUNTS_M: f64 = 0.05;
/// A mean level so near to the datum makes the datum a mean level, metres.
const ABOUT_ZERO_M: f64 = 0.3;

pub(super) fn look(scenario: &Scenario, marks: &Marks<'_>) {
    let (Some(tide), Some(mark)) = (scenario.tide(), &marks.port) else {
        return;
    };
    if let Some(table) = tide.printed() {
        mark.warn(
            "turns",
            table.told(),
            "check each figure of an outing against the table itself; constants of the port bring \
             times of cut-offs that are nearer",
        );
    }
    let Some(constants) = tide.constants() else {
        return;
    };
    let harmonics: Vec<(String, f64)> = constants
        .port
        .harmonics()
        .map(|(_, harmonic)| (harmonic.name, harmonic.amplitude_m))
        .collect();
    let amplitude = |wanted: &str| {
        let found = harmonics.iter().find(|(name, _)| name == wanted);
        found.map_or(0.0, |(_, amplitude)| *amplitude)
    };
    for (large, partner) in [("M2", "S2"), ("K1", "O1")] {
        if amplitude(large) > COUNTS_M && amplitude(partner) == 0.0 {
            mark.warn(
                "constituents",
                format!("hold {large} without {partner}"),
                format!("add {partner}: every port that has the one has the other"),
            );
        }
    }
    for (name, amplitude_m) in &harmonics {
        if *amplitude_m > LARGE_M {
            mark.warn(
                "constituents",
                format!("{name} has an amplitude of {amplitude_m} m"),
                "give amplitudes in metres: no port has one of 10 m",
            );
        }
    }
    if harmonics.len() < FEW {
        mark.warn(
            "constituents",
            format!(
                "are {}; what is left out may be decimetres",
                harmonics.len()
            ),
            format!("give at least {FEW}, better all that the port's authority prints"),
        );
    }
    if let Some(short) = short_record(constants.record_days) {
        mark.warn(
            "record_days",
            short,
            "plan by constants of a longer record: a year, or the official ones",
        );
    }
    datum(&tide.datum, constants, mark);
    tangled(constants, mark);
}

/// Whether the heights are measured from a mean level of the sea: by the datum's name, or by the
/// mean level over it. The names of levelling datums near the mean sea level are from memory.
pub(super) fn from_mean_level(tide: &Tide) -> bool {
    named_mean_level(&tide.datum) || tide.constants().is_some_and(about_zero)
}

fn named_mean_level(datum: &str) -> bool {
    let datum = datum.to_lowercase();
    datum.contains("mean sea level")
        || datum
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| ["msl", "amsl", "nn", "nhn", "nap", "odn"].contains(&word))
}

fn about_zero(tide: &Constants) -> bool {
    let sum: f64 = tide.port.harmonics().map(|(_, one)| one.amplitude_m).sum();
    tide.port.mean_level_m().abs() < ABOUT_ZERO_M && sum > 2.0 * ABOUT_ZERO_M
}

fn datum(datum: &str, tide: &Constants, mark: &super::super::source::Mark<'_>) {
    let mean_m = tide.port.mean_level_m();
    if named_mean_level(datum) && mean_m.abs() > ABOUT_ZERO_M {
        mark.warn(
            "mean_level_m",
            format!("{mean_m} m over \"{datum}\", which is a mean level of the sea itself"),
            "name the datum that the heights are measured from, and give the mean level over it",
        );
    }
    let lowered = datum.to_lowercase();
    let low = ["chart", "lowest", "low water"].iter();
    if about_zero(tide) && low.clone().any(|word| lowered.contains(word)) {
        mark.warn(
            "mean_level_m",
            format!("{mean_m} m over \"{datum}\": half of all tides would fall below the datum"),
            "give the height of the mean level over the datum",
        );
    }
}

/// Beyond mean springs and neaps the differences run on in a straight line, and there a low water
/// may come to lie above the high water beside it.
fn tangled(tide: &Constants, mark: &super::super::source::Mark<'_>) {
    let Some(secondary) = &tide.secondary else {
        return;
    };
    for turns in tide.two_years() {
        let Ok(turns) = secondary.turns(&turns) else {
            continue;
        };
        let wrong = turns.windows(2).find(|pair| {
            let rises = pair[1].height_m > pair[0].height_m;
            rises != (pair[1].kind == TurnKind::HighWater)
        });
        if let Some([a, b]) = wrong {
            mark.warn(
                "secondary",
                format!(
                    "a low water above the high water beside it, such as {:.2} m and {:.2} m \
                     about {:.16}Z",
                    a.height_m.max(b.height_m),
                    a.height_m.min(b.height_m),
                    a.at.to_string()
                ),
                "compare the differences with the table that they come from; where they are right, \
                 this tide is too small or too crooked for differences: give constants",
            );
            return;
        }
    }
}
