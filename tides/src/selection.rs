//! Which constituents a record is analysed for, and as which columns of the fit.
//!
//! By name, or from a list in order of importance by Rayleigh's criterion: a constituent enters if
//! it turns at least once more, over the record, than every one already in, and than the mean
//! level.

use alloc::string::String;
use alloc::vec::Vec;

use crate::constants::{Constants, Port, Reduction};
use crate::constituent::Constituent;
use crate::convention::Convention;
use crate::error::{Error, in_range};
use crate::record::Record;

/// Which constituents to look for.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Selection {
    /// All that the record can tell apart: Rayleigh's criterion, usually 1 (turns over the record);
    /// smaller is bolder.
    Rayleigh(f64),
    /// These.
    Named(Vec<String>),
}

/// A constituent too close to another to be resolved, tied to it by a known ratio and a known
/// difference of lag.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Inference {
    /// The constituent that is not resolved, P1 say.
    pub inferred: String,
    /// The resolved one that it follows, K1 say.
    pub from: String,
    /// Amplitude of the inferred over that of the resolved.
    pub amplitude_ratio: f64,
    /// Lag of the inferred less lag of the resolved, degrees.
    pub lag_difference_deg: f64,
}

/// How to analyse.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct AnalysisSpec {
    /// Which constituents.
    pub selection: Selection,
    /// The convention the constants shall belong to.
    pub convention: Convention,
    /// Whether the mean level may run up or down evenly.
    pub trend: bool,
    /// Whether readings far off are weighed down.
    pub robust: bool,
    /// Unresolved constituents to infer.
    pub inferences: Vec<Inference>,
    /// Reductions of node factors that the constants shall be used with.
    pub reductions: Vec<Reduction>,
    /// Levels that stand for a missing reading (-9999, 99.99; metres, as they come out after any
    /// change of unit): taken out before the fit.
    #[cfg_attr(
        feature = "serde",
        serde(default, skip_serializing_if = "Vec::is_empty")
    )]
    pub missing_m: Vec<f64>,
}

impl AnalysisSpec {
    /// Rayleigh's criterion at 1, no trend, plain least squares, nothing inferred, nothing missing.
    #[must_use]
    pub fn new(convention: Convention) -> Self {
        Self {
            selection: Selection::Rayleigh(1.0),
            convention,
            trend: false,
            robust: false,
            inferences: Vec::new(),
            reductions: Vec::new(),
            missing_m: Vec::new(),
        }
    }
}

/// Candidates in order of importance, as found in the records of many ports: common practice, no
/// source.
const CANDIDATES: &[&str] = &[
    "M2", "K1", "S2", "O1", "N2", "SA", "MM", "MF", "SSA", "MSF", "K2", "P1", "M4", "Q1", "NU2",
    "MS4", "MU2", "MN4", "M6", "L2", "2N2", "T2", "2MS6", "2MN6", "LAMBDA2", "J1", "OO1", "RHO1",
    "M3", "MK3", "2MK3", "SO3", "S1", "M1", "2Q1", "SIGMA1", "M8", "MK4", "SN4", "S4", "2SM6",
    "2MK6", "MSN2", "2SM2", "R2", "3MS8", "EPS2", "ETA2", "CHI1", "TAU1", "PHI1", "THETA1", "UPS1",
    "SO1", "2MK5", "2SK5", "SK3", "SK4", "MSK6", "MSN6", "2MSN8", "3MN8", "2(MS)8", "MSM", "MFM",
    "PI1", "PSI1", "MA2", "MB2", "MKS2", "SKM2", "OP2", "MNS2", "MO3", "M5", "S3", "S6", "M10",
    "4MS10", "M12", "5MS12",
];

/// A column pair of the fit: a main constituent with those inferred from it.
#[derive(Debug)]
pub(crate) struct Column {
    /// Index into the unit port's lines.
    pub(crate) main: usize,
    /// Index, amplitude ratio and lag difference (degrees) of each follower.
    pub(crate) followers: Vec<(usize, f64, f64)>,
}

/// The constituents of a fit and the columns they make.
pub(crate) struct Groups {
    pub(crate) constituents: Vec<Constituent>,
    pub(crate) columns: Vec<Column>,
    /// The reductions among those asked for that concern these constituents.
    pub(crate) reductions: Vec<Reduction>,
    trend: bool,
}

impl Groups {
    pub(crate) fn choose(record: &Record<'_>, spec: &AnalysisSpec) -> Result<Self, Error> {
        let convention = spec.convention;
        let mut mains = match &spec.selection {
            Selection::Named(names) => named(names, convention)?,
            Selection::Rayleigh(criterion) => rayleigh(record, *criterion, convention)?,
        };
        if mains.is_empty() {
            return Err(Error::NoConstituents);
        }
        let mut inferred = Vec::new();
        for inference in &spec.inferences {
            let constituent = convention.constituent(&inference.inferred)?;
            let ratio = inference.amplitude_ratio;
            if !(ratio > 0.0 && ratio <= 10.0 && inference.lag_difference_deg.abs() <= 720.0) {
                return Err(Error::Inference {
                    inferred: inference.inferred.clone(),
                    amplitude_ratio: ratio,
                    lag_difference_deg: inference.lag_difference_deg,
                });
            }
            mains.retain(|main| main.name() != constituent.name());
            inferred.push((constituent, inference));
        }
        mains.sort_by(|a, b| a.speed_deg_per_h().total_cmp(&b.speed_deg_per_h()));
        let mut columns: Vec<Column> = (0..mains.len())
            .map(|main| Column {
                main,
                followers: Vec::new(),
            })
            .collect();
        let mut constituents = mains;
        for (constituent, inference) in inferred {
            let from = convention.constituent(&inference.from)?;
            let main = constituents
                .iter()
                .position(|main| main.name() == from.name());
            let Some(column) = main.and_then(|main| columns.get_mut(main)) else {
                return Err(Error::NotAmongConstants {
                    name: inference.from.clone(),
                });
            };
            column.followers.push((
                constituents.len(),
                inference.amplitude_ratio,
                inference.lag_difference_deg,
            ));
            constituents.push(constituent);
        }
        let mut reductions = Vec::new();
        for reduction in &spec.reductions {
            let (reduced, _) = reduction.checked(convention)?;
            if constituents
                .iter()
                .any(|have| have.name() == reduced.name())
            {
                reductions.push(reduction.clone());
            }
        }
        Ok(Self {
            constituents,
            columns,
            reductions,
            trend: spec.trend,
        })
    }

    /// The unknowns, the most important first: what follows from a column can be told by those
    /// before it alone. Lines asked for by name keep their order.
    pub(crate) fn by_importance(&self) -> Vec<usize> {
        let rank = |pair: usize| {
            let main = self.columns.get(pair).map_or(0, |column| column.main);
            let name = self.constituents.get(main).map_or("", Constituent::name);
            let place = CANDIDATES.iter().position(|it| *it == name);
            place.unwrap_or(CANDIDATES.len())
        };
        let mut pairs: Vec<usize> = (0..self.columns.len()).collect();
        pairs.sort_by_key(|pair| rank(*pair));
        let offset = self.offset();
        let of_pairs = pairs.iter().flat_map(|pair| [2 * pair, 2 * pair + 1]);
        (0..offset)
            .chain(of_pairs.map(|column| offset + column))
            .collect()
    }

    /// The same without one column pair and what follows it.
    pub(crate) fn without(&self, pair: usize) -> Self {
        let gone = |index: usize| {
            self.columns.get(pair).is_some_and(|column| {
                column.main == index || column.followers.iter().any(|it| it.0 == index)
            })
        };
        let kept: Vec<usize> = (0..self.constituents.len())
            .filter(|it| !gone(*it))
            .collect();
        let moved = |index: usize| kept.iter().position(|it| *it == index).unwrap_or(index);
        let columns = self.columns.iter().enumerate();
        Self {
            constituents: kept
                .iter()
                .filter_map(|index| self.constituents.get(*index).cloned())
                .collect(),
            columns: columns
                .filter(|(index, _)| *index != pair)
                .map(|(_, column)| Column {
                    main: moved(column.main),
                    followers: column
                        .followers
                        .iter()
                        .map(|(index, ratio, difference)| (moved(*index), *ratio, *difference))
                        .collect(),
                })
                .collect(),
            reductions: self.reductions.clone(),
            trend: self.trend,
        }
    }

    /// A port with all amplitudes at 1 m and no lags: its lines are the columns of the fit.
    pub(crate) fn unit_port(&self, convention: Convention) -> Result<Port, Error> {
        let mut constituents = self.constituents.iter();
        let first = constituents.next().ok_or(Error::NoConstituents)?;
        let mut port = Port::of_one(convention, first.clone())?;
        for constituent in constituents {
            port = port.with_constituent(constituent.clone(), Constants::UNIT)?;
        }
        port.with_reductions(&self.reductions)
    }

    /// Unknowns of the fit: the mean level, the trend, two for each column pair.
    pub(crate) fn unknowns(&self) -> usize {
        self.offset() + 2 * self.columns.len()
    }

    /// Columns before those of the constituents.
    pub(crate) fn offset(&self) -> usize {
        if self.trend { 2 } else { 1 }
    }
}

fn named(names: &[String], convention: Convention) -> Result<Vec<Constituent>, Error> {
    let mut known: Vec<Constituent> = Vec::with_capacity(names.len());
    for name in names {
        let constituent = convention.constituent(name)?;
        let first = known
            .iter()
            .position(|have| have.name() == constituent.name());
        if let Some(first) = first.and_then(|first| names.get(first)) {
            return Err(Error::RepeatedConstituent {
                first: first.clone(),
                second: name.clone(),
            });
        }
        known.push(constituent);
    }
    Ok(known)
}

fn rayleigh(
    record: &Record<'_>,
    criterion: f64,
    convention: Convention,
) -> Result<Vec<Constituent>, Error> {
    in_range("Rayleigh criterion", criterion, [0.1, 10.0], "")?;
    // One reading more than the intervals makes up for the half interval at either end.
    let hours = record.hours * (1.0 + 1.0 / record.readings.len() as f64);
    let nyquist = 180.0 / record.step_h;
    let mut chosen: Vec<Constituent> = Vec::new();
    for name in CANDIDATES {
        // A name that means something else to the convention's office is not a candidate.
        let Ok(candidate) = convention.constituent(name) else {
            continue;
        };
        let speed = candidate.argument_speed_deg_per_h();
        let resolved =
            |other: f64| (speed - other).abs() * hours >= 360.0 * criterion * (1.0 - 1e-3);
        if speed < nyquist
            && resolved(0.0)
            && chosen
                .iter()
                .all(|other| resolved(other.argument_speed_deg_per_h()))
        {
            chosen.push(candidate);
        }
    }
    Ok(chosen)
}
