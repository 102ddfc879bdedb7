//! Heights and turning points of the tide at a port.

use std::ffi::c_char;
use std::ops::Range;

use jiff::Timestamp;
use wrackline_tides as tides;

use crate::choices::{Convention, TurnKind, chosen};
use crate::instants::{Grid, instant, instants, rows, span};
use crate::refusal::{Refusal, finite};

/// A port whose constants have been checked and resolved.
#[derive(Debug)]
pub struct Port(tides::Port);

/// A port's tide over a span, ready for many heights, for turns and levels.
#[derive(Debug)]
pub struct Predictor(tides::Predictor);

/// One line of a port's table of harmonic constants.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct Harmonic {
    /// The constituent, such as "M2".
    pub name: *const c_char,
    /// H, the mean amplitude, metres.
    pub amplitude_m: f64,
    /// G, the Greenwich phase lag for UTC, degrees.
    pub phase_lag_deg: f64,
}

/// What a port is made of.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct PortSpec {
    /// Mean level above the datum that heights are wanted from, metres.
    pub mean_level_m: f64,
    /// The harmonic constants.
    pub harmonics: *const Harmonic,
    /// How many there are.
    pub harmonic_count: usize,
    /// Read for WRACKLINE_CONVENTION_FOREMAN_INSTANT alone: degrees, -90 to 90, north positive.
    pub latitude_deg: f64,
    /// A wrackline_convention.
    pub convention: i32,
}

/// One turning point of the tide.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Microseconds since 1970 (UTC).
    pub at_us: i64,
    /// Metres above the datum.
    pub height_m: f64,
    /// A wrackline_turn_kind.
    pub kind: i32,
}

/// A stretch of time.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Microseconds since 1970 (UTC).
    pub start_us: i64,
    /// Microseconds since 1970 (UTC).
    pub end_us: i64,
}

/// The convention that the number and the latitude beside it stand for.
pub(crate) fn convention(spec: &PortSpec) -> Result<tides::Convention, Refusal> {
    Ok(match chosen(spec.convention)? {
        Convention::SchuremanAnnual => tides::Convention::SchuremanAnnual,
        Convention::SchuremanInstant => tides::Convention::SchuremanInstant,
        Convention::IhoInstant => tides::Convention::IhoInstant,
        Convention::Rijkswaterstaat => tides::Convention::Rijkswaterstaat,
        Convention::ForemanInstant => {
            tides::Convention::ForemanInstant(tides::Latitude::new(spec.latitude_deg)?)
        }
    })
}

impl Port {
    pub(crate) fn new(spec: tides::PortSpec<'_>) -> Result<Self, Refusal> {
        Ok(Self(tides::Port::new(spec)?))
    }

    pub(crate) fn height_m(&self, at_us: i64) -> Result<f64, Refusal> {
        Ok(self.0.height_m(instant("at_us", at_us)?)?)
    }

    pub(crate) fn predictor(&self, start_us: i64, end_us: i64) -> Result<Predictor, Refusal> {
        Ok(Predictor(self.0.predictor(span(start_us, end_us)?)?))
    }
}

impl Predictor {
    pub(crate) fn heights_m(&self, at_us: &[i64]) -> Result<Vec<f64>, Refusal> {
        let instants = self.inside(at_us)?;
        let mut heights_m = vec![0.0; instants.len()];
        self.0.fill_heights_at(&instants, &mut heights_m)?;
        Ok(heights_m)
    }

    pub(crate) fn rates_m_per_h(&self, at_us: &[i64]) -> Result<Vec<f64>, Refusal> {
        let instants = self.inside(at_us)?;
        let mut rates = vec![0.0; instants.len()];
        let mut heights = rates.clone();
        self.0
            .fill_heights_and_rates_at(&instants, &mut heights, &mut rates)?;
        Ok(rates)
    }

    pub(crate) fn heights_m_on(&self, grid: &Grid) -> Result<Vec<f64>, Refusal> {
        let mut heights_m = rows(grid.count)?;
        if let Some(grid) = grid.of_tide()? {
            self.0.fill_heights(&grid, &mut heights_m)?;
        }
        Ok(heights_m)
    }

    fn inside(&self, at_us: &[i64]) -> Result<Vec<Timestamp>, Refusal> {
        let instants = instants(at_us)?;
        // Outside of its span a curve loses its accuracy without a word.
        let Range { start, end } = self.0.span();
        let outside = instants.iter().position(|at| *at < start || *at > end);
        if let Some((index, at)) = outside.and_then(|index| Some((index, instants.get(index)?))) {
            return Err(Refusal::Value(format!(
                "at_us[{index}]: {at} lies outside the prepared span from {start} to {end}: \
                 prepare a predictor that covers it"
            )));
        }
        Ok(instants)
    }

    pub(crate) fn turns(&self) -> Vec<Turn> {
        let turns = self.0.turns();
        let each = turns.iter().map(|turn| Turn {
            at_us: turn.at.as_microsecond(),
            height_m: turn.height_m,
            kind: match turn.kind {
                tides::TurnKind::HighWater => TurnKind::HighWater as i32,
                tides::TurnKind::LowWater => TurnKind::LowWater as i32,
            },
        });
        each.collect()
    }

    pub(crate) fn above(&self, level_m: f64) -> Result<Vec<Stretch>, Refusal> {
        let stretches = self.0.above(finite("level_m", level_m)?)?;
        Ok(stretches.iter().map(Stretch::from).collect())
    }
}

impl From<&Range<Timestamp>> for Stretch {
    fn from(stretch: &Range<Timestamp>) -> Self {
        Self {
            start_us: stretch.start.as_microsecond(),
            end_us: stretch.end.as_microsecond(),
        }
    }
}
