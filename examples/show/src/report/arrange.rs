//! Which windows of a season are shown, and in what order.

use std::collections::HashSet;

use jiff::civil::Date;
use wrackline_plan::season::Season;

/// The order in which windows are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Order {
    /// The best first.
    #[default]
    Rank,
    /// The best of them, by the calendar.
    Date,
}

/// Keeps the `count` best windows of a season, at most one a place and calendar week with `spread`,
/// in an order. Each keeps its rank among all.
pub fn arrange(season: &mut Season<'_>, count: usize, spread: bool, order: Order) {
    if spread {
        let mut taken: HashSet<(String, Date)> = HashSet::new();
        let scenario = season.scenario;
        season.outings.retain(|outing| {
            let place = scenario.place_of(outing.seat).id.clone();
            taken.insert((place, monday(outing.occasion.date)))
        });
    }
    season.outings.truncate(count);
    if order == Order::Date {
        let key = |outing: &wrackline_plan::season::Outing<'_>| {
            (outing.window.stretch.start, outing.rank)
        };
        season.outings.sort_by_key(key);
    }
}

/// The day on which a calendar week begins.
fn monday(day: Date) -> Date {
    let since = i64::from(day.weekday().to_monday_zero_offset());
    day.saturating_sub(jiff::Span::new().days(since))
}
