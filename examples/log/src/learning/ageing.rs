//! How much a visit counts, by the season in which it was made.

use jiff::civil::Date;
use jiff::tz::TimeZone;

use wrackline_plan::scenario::{HalfMonths, Place, Scenario, Subject};

use crate::{Record, When};

/// How much older seasons count.
///
/// Places change, so what happened three winters ago says less than what happened last winter. A
/// season is a year of the animal, which begins in the middle of its longest absence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fading {
    /// What each season back is multiplied with, 0-1; 1 keeps all seasons alike.
    pub per_season: f64,
}

impl Default for Fading {
    /// Four fifths a season: our choice.
    fn default() -> Self {
        Fading { per_season: 0.8 }
    }
}

/// The newest day of a log: its season is the one that counts in full, at every place alike. A
/// place that was last visited 20 years ago would otherwise count as if it had been yesterday.
pub fn newest_day(records: &[Record], zone: &TimeZone) -> Option<Date> {
    records
        .iter()
        .map(|record| record.entry.when.date(zone))
        .max()
}

/// What the visits for a subject at a place count, against the season that counts in full.
#[derive(Debug, Clone)]
pub struct Ageing {
    per_season: f64,
    newest: i16,
    present: HalfMonths,
    latitude_deg: f64,
    zone: TimeZone,
}

impl Ageing {
    /// Visits of the season that holds `reference` count in full, as do later ones.
    pub fn new(
        scenario: &Scenario,
        place: &Place,
        subject: &Subject,
        fading: Fading,
        reference: Date,
    ) -> Ageing {
        let (present, latitude_deg) = (subject.present, place.latitude_deg);
        Ageing {
            per_season: fading.per_season.clamp(0.0, 1.0),
            newest: present.year_of(reference, latitude_deg),
            present,
            latitude_deg,
            zone: scenario.zone().clone(),
        }
    }

    /// What a visit counts, 0-1.
    pub fn share(&self, when: When) -> f64 {
        let season = self
            .present
            .year_of(when.date(&self.zone), self.latitude_deg);
        self.per_season
            .powi(i32::from(self.newest.saturating_sub(season)).max(0))
    }
}
