//! A port: its harmonic constants, its mean level above the datum, and the convention they belong to.

use alloc::string::{String, ToString};
use alloc::vec::Vec;
use core::ops::Range;

use jiff::Timestamp;

use crate::constituent::Constituent;
use crate::convention::Convention;
use crate::error::Error;
use crate::predict::Predictor;

/// One line of a port's table of harmonic constants.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Harmonic {
    /// The constituent, by any name that [`Constituent::named`] understands.
    pub name: String,
    /// H, the mean amplitude, metres.
    pub amplitude_m: f64,
    /// G, the Greenwich phase lag for UTC, degrees.
    pub phase_lag_deg: f64,
}

/// What a port is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PortSpec<'a> {
    /// Mean level above the datum that heights are wanted from (chart datum for a tide table), metres.
    pub mean_level_m: f64,
    /// The harmonic constants.
    pub harmonics: &'a [Harmonic],
    /// The convention they were analysed in.
    pub convention: Convention,
}

/// A port whose constants have been checked and resolved.
///
/// ```
/// use wrackline_tides::{Convention, Harmonic, Port, PortSpec};
/// let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic { name: name.into(), amplitude_m, phase_lag_deg };
/// let port = Port::new(PortSpec {
///     mean_level_m: 4.4,
///     harmonics: &[line("M2", 2.52, 171.0), line("S2", 0.86, 219.0)],
///     convention: Convention::IhoInstant,
/// })?;
/// let height = port.height_m("2026-12-29T09:33:00Z".parse()?);
/// assert!((4.4 - 3.5..4.4 + 3.5).contains(&height));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Port {
    mean_level_m: f64,
    lines: Vec<Line>,
    convention: Convention,
}

/// A harmonic with its constituent looked up.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    pub(crate) constituent: Constituent,
    pub(crate) amplitude_m: f64,
    pub(crate) lag_deg: f64,
}

impl Port {
    /// Checks the constants and looks the constituents up.
    ///
    /// # Errors
    /// An unknown or repeated constituent, an amplitude outside 0-50 m, a lag outside ±720°, a mean level outside -1000-10000 m,
    /// or no constituent at all.
    pub fn new(spec: PortSpec<'_>) -> Result<Self, Error> {
        let mean_level_m = spec.mean_level_m;
        if !(-1_000.0..=10_000.0).contains(&mean_level_m) {
            return Err(Error::MeanLevel { mean_level_m });
        }
        if spec.harmonics.is_empty() {
            return Err(Error::NoConstituents);
        }
        let mut lines: Vec<Line> = Vec::with_capacity(spec.harmonics.len());
        for (index, harmonic) in spec.harmonics.iter().enumerate() {
            let constituent = Constituent::named(&harmonic.name)?;
            let name = || harmonic.name.to_string();
            if !(0.0..=50.0).contains(&harmonic.amplitude_m) {
                return Err(Error::Amplitude {
                    name: name(),
                    amplitude_m: harmonic.amplitude_m,
                });
            }
            if !(-720.0..=720.0).contains(&harmonic.phase_lag_deg) {
                return Err(Error::PhaseLag {
                    name: name(),
                    phase_lag_deg: harmonic.phase_lag_deg,
                });
            }
            let earlier = lines
                .iter()
                .position(|line| line.constituent.name() == constituent.name());
            if let Some(first) = earlier.and_then(|at| spec.harmonics.get(at)) {
                debug_assert!(earlier < Some(index));
                return Err(Error::RepeatedConstituent {
                    first: first.name.to_string(),
                    second: name(),
                });
            }
            lines.push(Line {
                constituent,
                amplitude_m: harmonic.amplitude_m,
                lag_deg: harmonic.phase_lag_deg,
            });
        }
        Ok(Self {
            mean_level_m,
            lines,
            convention: spec.convention,
        })
    }

    /// Mean level above the datum, metres.
    #[must_use]
    pub fn mean_level_m(&self) -> f64 {
        self.mean_level_m
    }

    /// The convention the constants belong to.
    #[must_use]
    pub fn convention(&self) -> Convention {
        self.convention
    }

    /// The constituents in the order given, with amplitude (m) and lag (degrees) as harmonics.
    pub fn harmonics(&self) -> impl Iterator<Item = (&Constituent, Harmonic)> {
        self.lines.iter().map(|line| {
            let harmonic = Harmonic {
                name: line.constituent.name().to_string(),
                amplitude_m: line.amplitude_m,
                phase_lag_deg: line.lag_deg,
            };
            (&line.constituent, harmonic)
        })
    }

    pub(crate) fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Height of the tide above the datum at one instant, metres, straight from the definition. For many instants prepare a
    /// [`Predictor`].
    #[must_use]
    pub fn height_m(&self, at: Timestamp) -> f64 {
        let moment = self.convention.moment(at);
        self.lines.iter().fold(self.mean_level_m, |sum, line| {
            let argument = moment.argument(&line.constituent);
            let phase = argument.v_deg + argument.u_deg - line.lag_deg;
            sum + line.amplitude_m * argument.f * libm::cos(phase.to_radians())
        })
    }

    /// Prepares the curve over a span: heights, turns and crossings without further set-up.
    ///
    /// # Errors
    /// [`Error::EmptySpan`] and [`Error::Span`].
    pub fn predictor(&self, span: Range<Timestamp>) -> Result<Predictor, Error> {
        Predictor::new(self, span)
    }
}
