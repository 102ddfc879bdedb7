//! What a constituent is: a name, an equilibrium argument, a nodal rule.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use crate::arguments::Arguments;
use crate::astro::{Longitudes, wrap_180, wrap_360};
use crate::catalogue::{self, Row, Rule};
use crate::error::Error;
use crate::nodal::{
    Formulas, NodalParent, NodalPower, NodalPowers, NodeFactor, NodeTable, Wanted, main_of,
};
use crate::offices::{self, Office};
use crate::{compound, names};

/// One harmonic constituent: looked up by name, derived from a compound name, or defined by hand.
///
/// ```
/// use wrackline_tides::Constituent;
/// let m4 = Constituent::named("M4")?;
/// assert!((m4.speed_deg_per_h() - 57.968_208_5).abs() < 1e-6);
/// assert_eq!(Constituent::named("lambda2")?.name(), Constituent::named("LAM2")?.name());
/// # Ok::<(), wrackline_tides::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Constituent {
    name: String,
    arguments: Arguments,
    speed_deg_per_h: f64,
    annual_speed_deg_per_h: f64,
    /// For a constituent without Doodson numbers.
    free_speed_deg_per_h: f64,
    powers: NodalPowers,
    /// Kept for one that no list has, so that it can be written down again.
    definition: Option<Definition>,
}

/// How a constituent that no list has is defined.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
#[non_exhaustive]
pub enum Definition {
    /// By its argument; the node factor is that of the named constituent, or none.
    Doodson {
        /// The argument.
        arguments: Arguments,
        /// Whose f and u it takes.
        nodal_parent: Option<String>,
    },
    /// As a sum of known constituents, each with how often it is added; the node factors follow.
    Compound(Vec<(String, i8)>),
    /// By its speed alone: V counts from 2000-01-01 00:00 UTC.
    Speed {
        /// Degrees an hour, 0 to 1000.
        speed_deg_per_h: f64,
        /// Whose f and u it takes.
        nodal_parent: Option<String>,
    },
}

impl Constituent {
    /// Looks a name up in the list of the IHO and among its aliases, whatever the case and with
    /// Greek letters as letters or spelt out; a compound that the list lacks (2MK5, 8MS14) is
    /// derived from its parts.
    ///
    /// A name that offices use for different lines is taken as the list has it;
    /// [`Convention::constituent`](crate::Convention::constituent) takes it as a convention's
    /// office does. A compound that others read in another way is refused.
    ///
    /// # Errors
    /// [`Error::UnknownConstituent`] offers the nearest known names; [`Error::AmbiguousName`] the
    /// meanings.
    pub fn named(name: &str) -> Result<Self, Error> {
        Self::named_by(name, Some(Office::Iho))
    }

    /// The constituent that an office means by a name.
    pub(crate) fn named_by(name: &str, office: Option<Office>) -> Result<Self, Error> {
        let given = names::normal(name);
        let key = match offices::meaning(&given, office) {
            offices::Meaning::Listed(listed) => listed,
            offices::Meaning::Unsettled(meanings) => {
                return Err(Error::AmbiguousName {
                    name: name.to_string(),
                    meanings,
                });
            }
        };
        if let Some((row, exact)) = catalogue::find(key) {
            // An alias that spells out another sum of lines (3MLS6 for 2MNU6) keeps its own parts.
            let spelt_out = !exact && matches!(row.rule, Rule::Name | Rule::Read(_));
            if spelt_out && let Some(derived) = Self::derived(key, row.speed) {
                return Ok(derived);
            }
            if let Some(listed) = Self::listed(row) {
                return Ok(listed);
            }
        }
        Self::derived(key, f64::NAN).ok_or_else(|| Error::UnknownConstituent {
            name: name.to_string(),
            nearest: names::nearest(key),
        })
    }

    /// A constituent of one's own.
    ///
    /// ```
    /// use wrackline_tides::{Constituent, Definition};
    /// let parts = vec![("M2".to_string(), 3), ("M1".to_string(), 1)];
    /// let office_m7 = Constituent::defined("M7", &Definition::Compound(parts))?;
    /// assert_eq!(office_m7.arguments().solar_time, 7);
    /// # Ok::<(), wrackline_tides::Error>(())
    /// ```
    ///
    /// # Errors
    /// An unknown constituent among the parts or parents, or a speed outside 0-1000°/h.
    pub fn defined(name: &str, definition: &Definition) -> Result<Self, Error> {
        let parent_powers = |parent: &Option<String>| match parent {
            Some(parent) => Self::named(parent).map(|known| known.powers),
            None => Ok(NodalPowers::default()),
        };
        let mut this = Self {
            name: names::normal(name),
            arguments: Arguments::default(),
            speed_deg_per_h: 0.0,
            annual_speed_deg_per_h: 0.0,
            free_speed_deg_per_h: 0.0,
            powers: NodalPowers::default(),
            definition: Some(definition.clone()),
        };
        match definition {
            Definition::Doodson {
                arguments,
                nodal_parent,
            } => {
                this.arguments = *arguments;
                this.powers = parent_powers(nodal_parent)?;
            }
            Definition::Compound(parts) => {
                for (part, times) in parts {
                    let known = Self::named(part)?;
                    this.arguments = this.arguments.plus(*times, &known.arguments);
                    this.powers.merge(&known.powers, *times);
                }
            }
            Definition::Speed {
                speed_deg_per_h,
                nodal_parent,
            } => {
                this.free_speed_deg_per_h = *speed_deg_per_h;
                this.powers = parent_powers(nodal_parent)?;
            }
        }
        let speed_deg_per_h = this.arguments.speed_deg_per_h() + this.free_speed_deg_per_h;
        if !(0.0..=1000.0).contains(&speed_deg_per_h) || !this.arguments.offset_deg.is_finite() {
            return Err(Error::Speed {
                name: name.to_string(),
                speed_deg_per_h,
            });
        }
        this.speed_deg_per_h = speed_deg_per_h;
        this.annual_speed_deg_per_h = speed_deg_per_h;
        Ok(this)
    }

    /// The names of every row of the list, in order of speed.
    pub fn list() -> impl Iterator<Item = &'static str> {
        catalogue::ROWS.iter().map(|row| row.name)
    }

    fn listed(row: &Row) -> Option<Self> {
        let digits = row.arguments();
        let (arguments, mut powers) = match row.rule {
            Rule::Sum(parts) => Self::sum(parts.iter().copied())?,
            Rule::Name | Rule::Read(_) => {
                let spelt = if let Rule::Read(spelt) = row.rule {
                    spelt
                } else {
                    row.name
                };
                let (sum, powers) = Self::sum(compound::parts(spelt)?.into_iter())?;
                match digits {
                    // The list contradicts itself in a handful of rows: its numbers outrank its
                    // name.
                    Some(digits) if (sum.speed_deg_per_h() - row.speed).abs() > 1e-6 => (
                        Arguments {
                            offset_deg: sum.offset_deg,
                            ..digits
                        },
                        powers,
                    ),
                    _ => (sum, powers),
                }
            }
            Rule::One | Rule::Of(..) | Rule::Longer { .. } => (digits?, row_powers(row)),
        };
        // Where Foreman has the line itself, its own satellites count and not those of its parts.
        if let Some(slot) = main_of(row.name) {
            powers.satellites = alloc::vec![NodalPower::of(slot)];
        }
        // M1 is two lines: its argument leaves the perigee to u, but every list prints the speed of
        // the larger line.
        let own = if row.name == "M1" {
            row.speed
        } else {
            arguments.speed_deg_per_h()
        };
        Some(Self {
            name: row.name.to_string(),
            arguments,
            speed_deg_per_h: own,
            annual_speed_deg_per_h: catalogue::noaa_speed(row.name).unwrap_or(row.speed),
            free_speed_deg_per_h: 0.0,
            powers,
            definition: None,
        })
    }

    fn derived(key: &str, expected_speed: f64) -> Option<Self> {
        let (arguments, powers) = Self::sum(compound::parts(key)?.into_iter())?;
        let speed = arguments.speed_deg_per_h();
        if (speed - expected_speed).abs() > 1e-3 {
            return None;
        }
        Some(Self {
            name: key.to_string(),
            arguments,
            speed_deg_per_h: speed,
            annual_speed_deg_per_h: speed,
            free_speed_deg_per_h: 0.0,
            powers,
            definition: None,
        })
    }

    fn sum(parts: impl Iterator<Item = (&'static str, i8)>) -> Option<(Arguments, NodalPowers)> {
        let mut arguments = Arguments::default();
        let mut powers = NodalPowers::default();
        for (name, times) in parts {
            let (row, _) = catalogue::find(name)?;
            arguments = arguments.plus(times, &row.arguments()?);
            powers.merge(&row_powers(row), times);
        }
        Some((arguments, powers))
    }

    /// The name in the list's spelling, in capitals, Greek letters spelt out.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The equilibrium argument.
    #[must_use]
    pub fn arguments(&self) -> Arguments {
        self.arguments
    }

    /// The speed in degrees an hour, as the argument advances at J2000.0; for M1 the printed
    /// 14.4966939, which is the speed of the larger of its two lines.
    #[must_use]
    pub fn speed_deg_per_h(&self) -> f64 {
        self.speed_deg_per_h
    }

    /// The speed with which NOAA advances phases within a calendar year: seven printed digits where
    /// NOAA publishes one.
    #[must_use]
    pub fn annual_speed_deg_per_h(&self) -> f64 {
        self.annual_speed_deg_per_h
    }

    /// V, the equilibrium argument without nodal correction, degrees in [0, 360).
    #[must_use]
    pub fn equilibrium_argument_deg(&self, longitudes: &Longitudes) -> f64 {
        let free = self.free_speed_deg_per_h * longitudes.hours_since_2000;
        wrap_360(self.arguments.value_deg(longitudes) + free)
    }

    /// f and u by the chosen formulas.
    #[must_use]
    pub fn node_factor(&self, formulas: Formulas, longitudes: &Longitudes) -> NodeFactor {
        let mut wanted = Wanted::default();
        wanted.add(self.powers.by(formulas));
        let table = NodeTable::new(formulas, longitudes, wanted);
        let factor = table.factor(self.powers.by(formulas));
        NodeFactor {
            u_deg: wrap_180(factor.u_deg),
            ..factor
        }
    }

    /// The definition of a constituent of one's own; none for one of the list.
    #[must_use]
    pub fn definition(&self) -> Option<&Definition> {
        self.definition.as_ref()
    }

    /// The speed at which V advances from instant to instant.
    pub(crate) fn argument_speed_deg_per_h(&self) -> f64 {
        self.arguments.speed_deg_per_h() + self.free_speed_deg_per_h
    }

    /// The product that gives f and u.
    pub(crate) fn powers(&self, formulas: Formulas) -> &[NodalPower] {
        self.powers.by(formulas)
    }

    /// The rate of V's own clock beyond its multiples, degrees an hour.
    pub(crate) fn free_speed_deg_per_h(&self) -> f64 {
        self.free_speed_deg_per_h
    }
}

/// The factors of a row that is not a compound.
fn row_powers(row: &Row) -> NodalPowers {
    let of = |parent: NodalParent, f_halves, u_halves| NodalPower {
        slot: parent as u8,
        f_halves,
        u_halves,
    };
    let (iho, schureman) = match row.rule {
        Rule::Of(parent, f_halves, u_halves) => {
            let power = of(parent, f_halves, u_halves);
            (Some((parent, power)), Some((parent, power)))
        }
        Rule::Longer {
            iho: (parent, f_halves, u_halves),
        } => (
            Some((parent, of(parent, f_halves, u_halves))),
            Some((NodalParent::Mf, of(NodalParent::Mf, 2, 2))),
        ),
        _ => (None, None),
    };
    let satellites = match main_of(row.name) {
        Some(slot) => Some(NodalPower::of(slot)),
        // A line that Foreman lacks takes the satellites of its parent.
        None => schureman.and_then(|(parent, power)| {
            main_of(parent.list_name()).map(|slot| NodalPower { slot, ..power })
        }),
    };
    NodalPowers {
        iho: iho.map(|(_, power)| power).into_iter().collect(),
        schureman: schureman.map(|(_, power)| power).into_iter().collect(),
        satellites: satellites.into_iter().collect(),
    }
}
