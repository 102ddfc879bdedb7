//! Which formulas, evaluated when: the convention that a set of constants carries.

use jiff::Timestamp;
use jiff::civil::date;
use jiff::tz::Offset;

use crate::astro::{LongitudeSeries, Longitudes, wrap_180, wrap_360};
use crate::constituent::Constituent;
use crate::error::Error;
use crate::nodal::{Formulas, Latitude, NodeTable, Wanted};
use crate::offices::Office;

/// How an office turns constants into heights. Constants belong to the convention of whoever
/// analysed them.
///
/// - [`SchuremanAnnual`](Self::SchuremanAnnual) reproduces NOAA CO-OPS to the printed digit, with a
///   step at each New Year.
/// - [`SchuremanInstant`](Self::SchuremanInstant) takes the same constants without the step, and
///   differs from the printed tables by centimetres where the range is great.
/// - [`Rijkswaterstaat`](Self::Rijkswaterstaat) reproduces the Dutch office to the printed
///   centimetre with its reductions, with a step at each New Year.
/// - [`ForemanInstant`](Self::ForemanInstant) reproduces UTide's reconstruction of its own
///   constants to 0.1 mm; f and u depend on latitude.
/// - [`IhoInstant`](Self::IhoInstant) is recommended for constants of hydrographic offices; no
///   official listing was found to check it against.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Convention {
    /// Schureman's factors held at the middle of each calendar year (UTC), arguments taken at 1
    /// January and advanced with the printed speeds.
    SchuremanAnnual,
    /// Schureman's factors and the arguments at each instant.
    SchuremanInstant,
    /// The IHO list's factors and the arguments at each instant.
    IhoInstant,
    /// Schureman's factors held at the middle of each calendar year (UTC), arguments at each
    /// instant, longitudes by the office's own series; the office's reductions come on top
    /// ([`Port::with_reductions`](crate::Port::with_reductions)).
    Rijkswaterstaat,
    /// Foreman's satellite sums for a latitude and the arguments at each instant, longitudes of the
    /// Explanatory Supplement: what T_TIDE and UTide do by default, and offices that analyse with
    /// their table. Names are Foreman's too: SA runs with h - p1.
    ForemanInstant(Latitude),
    /// Any other combination.
    Custom(ConventionTerms),
}

/// The choices a convention consists of.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct ConventionTerms {
    /// The formulas for f and u.
    pub formulas: Formulas,
    /// When f and u are evaluated.
    pub nodes: NodeEpoch,
    /// How the equilibrium arguments advance.
    pub clock: ArgumentClock,
    /// The mean longitudes behind both.
    pub longitudes: LongitudeSeries,
}

/// When the node factors are evaluated.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum NodeEpoch {
    /// At each instant.
    #[default]
    Instant,
    /// At the middle of the calendar year (UTC) of each instant, held through that year.
    MiddleOfYear,
    /// At one instant for all times, such as the middle of a span.
    At(Timestamp),
}

/// How the equilibrium arguments advance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum ArgumentClock {
    /// From the longitudes at each instant.
    #[default]
    Instant,
    /// From the longitudes at 1 January 00:00 UTC, with the printed speeds from there.
    StartOfYear,
}

/// Argument and node factor of one constituent at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Argument {
    /// V, degrees in [0, 360).
    pub v_deg: f64,
    /// f.
    pub f: f64,
    /// u, degrees in [-180, 180).
    pub u_deg: f64,
}

impl Argument {
    /// V + u, degrees in [0, 360): "V₀ + u" of the printed tables when taken at 1 January.
    #[must_use]
    pub fn v_plus_u_deg(&self) -> f64 {
        wrap_360(self.v_deg + self.u_deg)
    }
}

impl Convention {
    /// The choices behind the name.
    #[must_use]
    pub fn terms(&self) -> ConventionTerms {
        let instant = |formulas| ConventionTerms {
            formulas,
            nodes: NodeEpoch::Instant,
            clock: ArgumentClock::Instant,
            longitudes: LongitudeSeries::Meeus,
        };
        match self {
            Self::SchuremanAnnual => ConventionTerms {
                formulas: Formulas::Schureman,
                nodes: NodeEpoch::MiddleOfYear,
                clock: ArgumentClock::StartOfYear,
                longitudes: LongitudeSeries::Meeus,
            },
            Self::Rijkswaterstaat => ConventionTerms {
                formulas: Formulas::SchuremanFromElements,
                nodes: NodeEpoch::MiddleOfYear,
                clock: ArgumentClock::Instant,
                longitudes: LongitudeSeries::Rijkswaterstaat,
            },
            Self::ForemanInstant(latitude) => ConventionTerms {
                longitudes: LongitudeSeries::ExplanatorySupplement,
                ..instant(Formulas::Satellites(*latitude))
            },
            Self::SchuremanInstant => instant(Formulas::Schureman),
            Self::IhoInstant => instant(Formulas::Iho),
            Self::Custom(terms) => *terms,
        }
    }

    /// Looks a constituent up by the name that it bears in this convention's office: names go with
    /// the formulas. Otherwise as [`Constituent::named`].
    ///
    /// ```
    /// use wrackline_tides::{Convention, Latitude};
    /// let foreman = Convention::ForemanInstant(Latitude::new(67.3)?);
    /// // Two lines of two tables.
    /// assert!((foreman.constituent("ST4")?.speed_deg_per_h() - 28.604_004).abs() < 1e-6);
    /// let iho = Convention::IhoInstant;
    /// assert!((iho.constituent("ST4")?.speed_deg_per_h() - 59.958_933).abs() < 1e-6);
    /// assert!(Convention::SchuremanInstant.constituent("ST4").is_err());
    /// # Ok::<(), wrackline_tides::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::UnknownConstituent`]; [`Error::AmbiguousName`] for a name that the convention does
    /// not settle.
    pub fn constituent(&self, name: &str) -> Result<Constituent, Error> {
        let office = match self.terms().formulas {
            Formulas::Schureman => None,
            Formulas::SchuremanFromElements => Some(Office::Rijkswaterstaat),
            Formulas::Iho | Formulas::IhoMended => Some(Office::Iho),
            Formulas::Satellites(_) => Some(Office::Foreman),
        };
        Constituent::named_by(name, office)
    }

    /// Argument and node factor of a constituent at an instant, as this convention would use them.
    ///
    /// ```
    /// use wrackline_tides::{Constituent, Convention};
    /// let new_year = "2026-01-01T00:00:00Z".parse()?;
    /// let m2 = Convention::SchuremanAnnual.argument(&Constituent::named("M2")?, new_year);
    /// assert!((m2.v_plus_u_deg() - 66.397).abs() < 0.001);
    /// assert!((m2.f - 0.967).abs() < 0.001);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn argument(&self, constituent: &Constituent, at: Timestamp) -> Argument {
        let mut wanted = Wanted::default();
        wanted.add(constituent.powers(self.terms().formulas));
        self.moment(at, wanted).argument(constituent)
    }

    /// What all constituents share at an instant, with the node factors that are wanted.
    pub(crate) fn moment(&self, at: Timestamp, wanted: Wanted) -> Moment {
        let terms = self.terms();
        let nodes = match terms.nodes {
            NodeEpoch::Instant => at,
            NodeEpoch::MiddleOfYear => Year::of(at).middle,
            NodeEpoch::At(fixed) => fixed,
        };
        let (epoch, hours) = match terms.clock {
            ArgumentClock::Instant => (at, None),
            ArgumentClock::StartOfYear => {
                let start = Year::of(at).start;
                (start, Some(hours_between(start, at)))
            }
        };
        let longitudes = Longitudes::by(terms.longitudes, epoch);
        let at_nodes = if nodes == epoch {
            longitudes
        } else {
            Longitudes::by(terms.longitudes, nodes)
        };
        let mut table = NodeTable::new(terms.formulas, &at_nodes, wanted);
        let parents = !matches!(terms.formulas, Formulas::Satellites(_));
        if parents && nodes != epoch && terms.clock == ArgumentClock::Instant {
            table.carry_perigee(wrap_180(
                longitudes.lunar_perigee_deg - at_nodes.lunar_perigee_deg,
            ));
        }
        Moment {
            formulas: terms.formulas,
            table,
            longitudes,
            hours,
        }
    }
}

/// What all constituents share at one instant.
pub(crate) struct Moment {
    formulas: Formulas,
    pub(crate) table: NodeTable,
    pub(crate) longitudes: Longitudes,
    hours: Option<f64>,
}

impl Moment {
    pub(crate) fn argument(&self, constituent: &Constituent) -> Argument {
        let factor = self.table.factor(constituent.powers(self.formulas));
        let start = constituent.equilibrium_argument_deg(&self.longitudes);
        let v_deg = match self.hours {
            None => start,
            Some(hours) => wrap_360(start + constituent.annual_speed_deg_per_h() * hours),
        };
        Argument {
            v_deg,
            f: factor.f,
            u_deg: wrap_180(factor.u_deg),
        }
    }
}

/// A calendar year in UTC.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Year {
    pub(crate) start: Timestamp,
    pub(crate) middle: Timestamp,
    pub(crate) end: Timestamp,
}

impl Year {
    pub(crate) fn of(at: Timestamp) -> Self {
        let year = Offset::UTC.to_datetime(at).year();
        let first = |year: i16, otherwise: Timestamp| {
            if !(-9998..=9998).contains(&year) {
                return otherwise;
            }
            Offset::UTC
                .to_timestamp(date(year, 1, 1).at(0, 0, 0, 0))
                .unwrap_or(otherwise)
        };
        let start = first(year, Timestamp::MIN);
        let end = first(year + 1, Timestamp::MAX);
        let half = (end.as_second() - start.as_second()) / 2;
        let middle = Timestamp::from_second(start.as_second() + half).unwrap_or(start);
        Self { start, middle, end }
    }
}

pub(crate) fn hours_between(from: Timestamp, to: Timestamp) -> f64 {
    let seconds = (to.as_second() - from.as_second()) as f64;
    let fraction = f64::from(to.subsec_nanosecond()) - f64::from(from.subsec_nanosecond());
    (seconds + fraction * 1e-9) / 3600.0
}

/// An instant some hours after another, to the nearest nanosecond; beyond what a timestamp holds,
/// the last one.
pub(crate) fn hours_after(from: Timestamp, hours: f64) -> Timestamp {
    let nanoseconds = libm::rint(hours * 3.6e12);
    Timestamp::from_nanosecond(from.as_nanosecond() + nanoseconds as i128).unwrap_or(
        if hours < 0.0 {
            Timestamp::MIN
        } else {
            Timestamp::MAX
        },
    )
}
