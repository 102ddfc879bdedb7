//! A port: its harmonic constants, its mean level above the datum, and the convention they belong
//! to.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use jiff::Timestamp;

use crate::astro;
use crate::constituent::Constituent;
use crate::convention::{Argument, Convention, Moment};
use crate::error::Error;
use crate::nodal::Wanted;

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

/// Amplitude and lag of a line whose constituent is given beside them.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Constants {
    /// H, the mean amplitude, metres.
    pub amplitude_m: f64,
    /// G, the Greenwich phase lag for UTC, degrees.
    pub phase_lag_deg: f64,
}

impl Constants {
    /// A metre, without lag.
    pub(crate) const UNIT: Self = Self {
        amplitude_m: 1.0,
        phase_lag_deg: 0.0,
    };
}

impl Harmonic {
    /// Refuses what cannot be a line of a tide.
    pub(crate) fn check(&self, constituent: &Constituent) -> Result<(), Error> {
        let Self {
            name,
            amplitude_m,
            phase_lag_deg,
        } = self;
        let (name, amplitude_m, phase_lag_deg) = (name.clone(), *amplitude_m, *phase_lag_deg);
        if constituent.argument_speed_deg_per_h() == 0.0 {
            return Err(Error::MeanLevelAsLine { name, amplitude_m });
        }
        if !(0.0..=50.0).contains(&amplitude_m) {
            return Err(Error::Amplitude { name, amplitude_m });
        }
        if !(-720.0..=720.0).contains(&phase_lag_deg) {
            return Err(Error::PhaseLag {
                name,
                phase_lag_deg,
            });
        }
        Ok(())
    }
}

/// What a port is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PortSpec<'a> {
    /// Mean level above the datum that heights are wanted from (chart datum for a tide table),
    /// metres.
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
/// let line = |name: &str, amplitude_m, phase_lag_deg| Harmonic {
///     name: name.into(), amplitude_m, phase_lag_deg,
/// };
/// let port = Port::new(PortSpec {
///     mean_level_m: 4.4,
///     harmonics: &[line("M2", 2.52, 171.0), line("S2", 0.86, 219.0)],
///     convention: Convention::IhoInstant,
/// })?;
/// let height = port.height_m("2026-12-29T09:33:00Z".parse()?)?;
/// assert!((4.4 - 3.5..4.4 + 3.5).contains(&height));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "file::PortFile", into = "file::PortFile")
)]
pub struct Port {
    mean_level_m: f64,
    lines: Vec<Line>,
    convention: Convention,
}

/// A node factor drawn towards one: f′ = 1 + share · (f of another constituent - 1).
///
/// In shallow water the nodal modulation of the great constituents is damped by friction, and
/// offices reduce it from experience. At Vlissingen Rijkswaterstaat takes a share of 0.53 for M2,
/// and for S2, which has no modulation of its own, a share of -0.82 of that of M2.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Reduction {
    /// The constituent whose factor is replaced.
    pub name: String,
    /// The constituent whose modulation is taken; mostly the same.
    pub of: String,
    /// The share of that modulation, -2 to 2.
    pub share: f64,
}

impl Reduction {
    /// The constituent whose factor is replaced and the one whose modulation is taken.
    pub(crate) fn checked(
        &self,
        convention: Convention,
    ) -> Result<(Constituent, Constituent), Error> {
        let reduced = convention.constituent(&self.name)?;
        let of = convention.constituent(&self.of)?;
        if (-2.0..=2.0).contains(&self.share) {
            Ok((reduced, of))
        } else {
            Err(Error::Share {
                name: self.name.clone(),
                share: self.share,
            })
        }
    }
}

/// A harmonic with its constituent looked up.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    pub(crate) constituent: Constituent,
    pub(crate) amplitude_m: f64,
    pub(crate) lag_deg: f64,
    pub(crate) reduction: Option<(Constituent, f64)>,
}

impl Line {
    pub(crate) fn new(constituent: Constituent, amplitude_m: f64, lag_deg: f64) -> Self {
        Self {
            constituent,
            amplitude_m,
            lag_deg,
            reduction: None,
        }
    }

    /// Argument and node factor at a moment, the reduction applied.
    pub(crate) fn argument(&self, moment: &Moment) -> Argument {
        let mut argument = moment.argument(&self.constituent);
        if let Some((of, share)) = &self.reduction {
            argument.f = 1.0 + share * (moment.argument(of).f - 1.0);
        }
        argument
    }
}

impl Port {
    /// Checks the constants and looks the constituents up.
    ///
    /// # Errors
    /// An unknown or repeated constituent, the mean level as a constituent (Z0), an amplitude
    /// outside 0-50 m, a lag outside ±720°, a mean level outside -1000-10000 m, or no constituent
    /// at all.
    pub fn new(spec: PortSpec<'_>) -> Result<Self, Error> {
        if spec.harmonics.is_empty() {
            return Err(Error::NoConstituents);
        }
        let mut port = Self::empty(spec.mean_level_m, spec.convention)?;
        port.lines.reserve(spec.harmonics.len());
        for harmonic in spec.harmonics {
            let constituent = spec.convention.constituent(&harmonic.name)?;
            // The lines so far stand in the order of the harmonics, so the spelling met first can
            // be shown.
            if let Some(first) = port
                .position(&constituent)
                .and_then(|at| spec.harmonics.get(at))
            {
                return Err(Error::RepeatedConstituent {
                    first: first.name.clone(),
                    second: harmonic.name.clone(),
                });
            }
            port.push(constituent, harmonic.clone())?;
        }
        Ok(port)
    }

    fn empty(mean_level_m: f64, convention: Convention) -> Result<Self, Error> {
        if !(-1_000.0..=10_000.0).contains(&mean_level_m) {
            return Err(Error::MeanLevel { mean_level_m });
        }
        Ok(Self {
            mean_level_m,
            lines: Vec::new(),
            convention,
        })
    }

    /// A port of one line of a metre.
    pub(crate) fn of_one(convention: Convention, constituent: Constituent) -> Result<Self, Error> {
        Self::empty(0.0, convention)?.with_constituent(constituent, Constants::UNIT)
    }

    /// The same port with one constituent more, such as one of the caller's own definition.
    ///
    /// # Errors
    /// As [`Port::new`].
    pub fn with_constituent(
        mut self,
        constituent: Constituent,
        constants: Constants,
    ) -> Result<Self, Error> {
        let harmonic = Harmonic {
            name: constituent.name().to_string(),
            amplitude_m: constants.amplitude_m,
            phase_lag_deg: constants.phase_lag_deg,
        };
        self.push(constituent, harmonic)?;
        Ok(self)
    }

    fn push(&mut self, constituent: Constituent, harmonic: Harmonic) -> Result<(), Error> {
        harmonic.check(&constituent)?;
        if self.position(&constituent).is_some() {
            return Err(Error::RepeatedConstituent {
                first: constituent.name().to_string(),
                second: harmonic.name,
            });
        }
        self.lines.push(Line::new(
            constituent,
            harmonic.amplitude_m,
            harmonic.phase_lag_deg,
        ));
        Ok(())
    }

    fn position(&self, constituent: &Constituent) -> Option<usize> {
        self.lines
            .iter()
            .position(|line| line.constituent.name() == constituent.name())
    }

    /// The same port with some node factors reduced, as the office that analysed it does.
    ///
    /// # Errors
    /// An unknown constituent, one that the port does not have, or a share outside ±2.
    pub fn with_reductions(mut self, reductions: &[Reduction]) -> Result<Self, Error> {
        for reduction in reductions {
            let (reduced, of) = reduction.checked(self.convention)?;
            let line = self
                .lines
                .iter_mut()
                .find(|line| line.constituent.name() == reduced.name());
            let Some(line) = line else {
                return Err(Error::NotAmongConstants {
                    name: reduction.name.clone(),
                });
            };
            line.reduction = Some((of, reduction.share));
        }
        Ok(self)
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

    /// The node factors that the lines need.
    pub(crate) fn wanted(&self) -> Wanted {
        let formulas = self.convention.terms().formulas;
        let mut wanted = Wanted::default();
        for line in &self.lines {
            wanted.add(line.constituent.powers(formulas));
            if let Some((of, _)) = &line.reduction {
                wanted.add(of.powers(formulas));
            }
        }
        wanted
    }

    pub(crate) fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Height of the tide above the datum at one instant, metres, straight from the definition. For
    /// many instants prepare a [`Predictor`](crate::Predictor).
    ///
    /// # Errors
    /// [`Error::OutsideYears`] before 1600 or after 2400.
    pub fn height_m(&self, at: Timestamp) -> Result<f64, Error> {
        if !astro::covers(at) {
            return Err(Error::OutsideYears { at });
        }
        let moment = self.convention.moment(at, self.wanted());
        Ok(self.lines.iter().fold(self.mean_level_m, |sum, line| {
            let argument = line.argument(&moment);
            let phase = argument.v_deg + argument.u_deg - line.lag_deg;
            sum + line.amplitude_m * argument.f * libm::cos(phase.to_radians())
        }))
    }
}

/// A port as it stands in a file.
#[cfg(feature = "serde")]
mod file {
    use alloc::string::{String, ToString};
    use alloc::vec::Vec;

    use super::{Constants, Convention, Error, Port, Reduction};
    use crate::constituent::{Constituent, Definition};

    #[derive(Clone, serde::Serialize, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    pub(super) struct PortFile {
        mean_level_m: f64,
        convention: Convention,
        harmonics: Vec<LineFile>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        reductions: Vec<Reduction>,
    }

    #[derive(Clone, serde::Serialize, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct LineFile {
        name: String,
        amplitude_m: f64,
        phase_lag_deg: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        definition: Option<Definition>,
    }

    impl TryFrom<PortFile> for Port {
        type Error = Error;

        fn try_from(file: PortFile) -> Result<Self, Error> {
            if file.harmonics.is_empty() {
                return Err(Error::NoConstituents);
            }
            let mut port = Port::empty(file.mean_level_m, file.convention)?;
            for line in &file.harmonics {
                let constituent = match &line.definition {
                    Some(definition) => Constituent::defined(&line.name, definition)?,
                    None => file.convention.constituent(&line.name)?,
                };
                let constants = Constants {
                    amplitude_m: line.amplitude_m,
                    phase_lag_deg: line.phase_lag_deg,
                };
                port = port.with_constituent(constituent, constants)?;
            }
            port.with_reductions(&file.reductions)
        }
    }

    impl From<Port> for PortFile {
        fn from(port: Port) -> Self {
            let harmonics = port.lines.iter().map(|line| LineFile {
                name: line.constituent.name().to_string(),
                amplitude_m: line.amplitude_m,
                phase_lag_deg: line.lag_deg,
                definition: line.constituent.definition().cloned(),
            });
            let reductions = port.lines.iter().filter_map(|line| {
                line.reduction.as_ref().map(|(of, share)| Reduction {
                    name: line.constituent.name().to_string(),
                    of: of.name().to_string(),
                    share: *share,
                })
            });
            Self {
                mean_level_m: port.mean_level_m,
                convention: port.convention,
                harmonics: harmonics.collect(),
                reductions: reductions.collect(),
            }
        }
    }
}
