//! Which coming tides would teach most about a level.

use jiff::Timestamp;

use super::bracket::Bracket;
use super::question::Question;
use super::water::WaterLesson;
use crate::review::any_light;
use wrackline_plan::experience::Rest;
use wrackline_plan::scenario::{Place, Scenario, Subject};
use wrackline_plan::season::civil_span;
use wrackline_plan::windows::{self, Almanac, Wish};

/// A coming tide that would narrow a bracket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TideToTry {
    /// The high water.
    pub at: Timestamp,
    /// Height that is expected, metres.
    pub expected_m: f64,
    /// Width of the bracket that is expected to be left, metres.
    pub left_m: f64,
}

/// How many tides to propose.
const PROPOSED: usize = 3;

/// The coming tides that would narrow a bracket most: by day, and with a way to be there within the
/// rules.
pub(super) fn tides_to_try(
    scenario: &Scenario,
    place: &Place,
    subject: &Subject,
    bracket: &Bracket,
    water: &WaterLesson,
    rests: &[Rest],
    question: Question<'_>,
) -> Vec<TideToTry> {
    let Some(width_m) = bracket.width_m() else {
        return Vec::new();
    };
    let last = question
        .from
        .saturating_add(jiff::Span::new().days(i64::from(question.days)));
    let Ok(span) = civil_span(scenario, question.from, last) else {
        return Vec::new();
    };
    let Ok(almanac) = Almanac::over(scenario, &span) else {
        return Vec::new();
    };
    let light = any_light();
    let mut tides: Vec<TideToTry> = Vec::new();
    for seat in scenario
        .seats()
        .iter()
        .filter(|seat| scenario.place_of(seat).id == place.id)
    {
        let outlook = windows::outlook(scenario, Wish::new(seat, subject, &light), &almanac);
        if outlook
            .never
            .iter()
            .any(|refusal| refusal.condition.guards())
        {
            continue;
        }
        for occasion in &outlook.occasions {
            let Some(high_water) = &occasion.high_water else {
                continue;
            };
            let guarded = occasion
                .refusals
                .iter()
                .any(|refusal| refusal.condition.guards());
            let by_day = place.observer.sun(high_water.at).altitude_deg > 0.0;
            let resting = rests
                .iter()
                .any(|rest| rest.place == place.id && rest.covers(occasion.date));
            if guarded || resting || !by_day || tides.iter().any(|tide| tide.at == high_water.at) {
                continue;
            }
            let expected = water.expected(scenario, high_water.height_m);
            if let Some(left_m) = bracket.width_after_m(expected) {
                tides.push(TideToTry {
                    at: high_water.at,
                    expected_m: expected.level_m,
                    left_m,
                });
            }
        }
    }
    tides.retain(|tide| tide.left_m < width_m * 0.95);
    tides.sort_by(|a, b| a.left_m.total_cmp(&b.left_m).then(a.at.cmp(&b.at)));
    tides.truncate(PROPOSED);
    tides
}
