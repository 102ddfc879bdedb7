//! Frozen days that a forecast makes likely.
//!
//! A hint and no count: the severe weather scheme (JNCC) takes the minimum of the air below 1 °C
//! and that of the grass below -2 °C at more than half of 25 stations, and a forecast has one air
//! temperature every few hours at one place. So each day of which any row is below 1 °C is taken
//! for frozen; a spell ends after three days in a row that are not, as in that scheme.

use std::collections::BTreeMap;

use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::forecast::Forecast;
use crate::scenario::{FROST_LASTS_DAYS, FrozenDays};

/// Air below this makes a day count as frozen, degrees Celsius (JNCC severe weather scheme).
const FROZEN_BELOW_C: f64 = 1.0;

/// Frozen days up to each day on which another is forecast.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Frost(BTreeMap<Date, u16>);

impl Frost {
    /// Counts on from the user's own count where the spell goes on.
    pub(super) fn of(forecast: &Forecast, zone: &TimeZone, own: Option<FrozenDays>) -> Self {
        let mut lowest_c: BTreeMap<Date, f64> = BTreeMap::new();
        for row in forecast.rows() {
            if let Some(air_c) = row.air_c {
                let day = row.at.to_zoned_datetime(zone.clone()).date();
                let lowest = lowest_c.entry(day).or_insert(air_c);
                *lowest = lowest.min(air_c);
            }
        }
        let frozen = lowest_c
            .iter()
            .filter(|(_, air_c)| **air_c < FROZEN_BELOW_C);
        let mut counts = BTreeMap::new();
        let mut last: Option<(Date, u16)> = None;
        for (&day, _) in frozen {
            let goes_on = |(since, days): (Date, u16)| {
                // Neither the day of the count nor this one is a day of thaw.
                let apart = day.since(since).map_or(i32::MAX, |span| span.get_days());
                (1..=FROST_LASTS_DAYS).contains(&apart).then_some(days)
            };
            let by_forecast = last.and_then(goes_on).unwrap_or(0);
            let by_user = own.and_then(|own| goes_on((own.on, own.days))).unwrap_or(0);
            let days = by_forecast.max(by_user).saturating_add(1);
            counts.insert(day, days);
            last = Some((day, days));
        }
        Self(counts)
    }

    /// The counts that may bear on a day.
    pub(super) fn near(&self, day: Date) -> impl Iterator<Item = FrozenDays> + '_ {
        let first = day.saturating_sub(jiff::Span::new().days(FROST_LASTS_DAYS));
        let counts = self.0.range(first..=day);
        counts.map(|(&on, &days)| FrozenDays { days, on })
    }
}
