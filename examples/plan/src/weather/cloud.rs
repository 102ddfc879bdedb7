//! The cloud that is forecast over a window.

use jiff::{SignedDuration, Timestamp};

use super::LONGEST_GAP_HOURS;
use super::forecast::Forecast;
use crate::time::Stretch;

/// How much of the sky is under cloud. The limits, three and seven eighths, are our defaults.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cloud {
    /// Under three eighths.
    Bright,
    /// From three to seven eighths.
    Broken,
    /// Over seven eighths.
    Overcast,
}

impl Cloud {
    /// Of a share of the sky, 0 to 1.
    pub fn of(share: f64) -> Self {
        match share {
            s if s < 3.0 / 8.0 => Self::Bright,
            s if s <= 7.0 / 8.0 => Self::Broken,
            _ => Self::Overcast,
        }
    }

    /// The word for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bright => "bright",
            Self::Broken => "broken",
            Self::Overcast => "overcast",
        }
    }
}

/// The cloud at one instant of a window.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct CloudAt {
    /// When.
    pub at: Timestamp,
    /// Share of the sky, whole per cent.
    pub percent: u8,
    /// The word for it.
    pub cloud: Cloud,
}

/// The cloud over a window: at its start, and then where the word changes: at rows of the forecast
/// and at the end. Between rows the share runs straight; where the forecast does not speak there is
/// nothing.
pub(super) fn over(forecast: &Forecast, window: &Stretch) -> Vec<CloudAt> {
    let known: Vec<(Timestamp, f64)> = forecast
        .rows()
        .iter()
        .filter_map(|row| Some((row.at, row.cloud?)))
        .collect();
    let inside = known.iter().map(|(at, _)| *at);
    let inside = inside.filter(|at| window.start < *at && *at < window.end);
    let instants = std::iter::once(window.start)
        .chain(inside)
        .chain([window.end]);
    let mut told: Vec<CloudAt> = Vec::new();
    for at in instants {
        let Some(share) = share_at(&known, at) else {
            continue;
        };
        let cloud = Cloud::of(share);
        if told.last().is_none_or(|last| last.cloud != cloud) {
            // Shares are between 0 and 1.
            let percent = (share * 100.0).round() as u8;
            told.push(CloudAt { at, percent, cloud });
        }
    }
    told
}

fn share_at(known: &[(Timestamp, f64)], at: Timestamp) -> Option<f64> {
    let after = known.partition_point(|(row, _)| *row < at);
    let &(next_at, next) = known.get(after)?;
    if next_at == at {
        return Some(next);
    }
    let &(last_at, last) = known.get(after.checked_sub(1)?)?;
    let apart = next_at.duration_since(last_at);
    if apart > SignedDuration::from_hours(LONGEST_GAP_HOURS) {
        return None;
    }
    let passed = at.duration_since(last_at).as_secs_f64() / apart.as_secs_f64();
    Some(last + passed * (next - last))
}
