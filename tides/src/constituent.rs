//! What a constituent is: a name, an equilibrium argument, a nodal rule.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use crate::astro::{Longitudes, SPEEDS_DEG_PER_H, wrap_360};
use crate::catalogue::{self, Row, Rule};
use crate::error::Error;
use crate::nodal::{Formulas, NodalPower, NodeFactor, NodeTable};
use crate::{compound, names};

/// The equilibrium argument V as whole multiples of the slow angles, with T = 180° at midnight, plus a constant.
///
/// V = T·`solar_time` + s·`moon` + h·`sun` + p·`lunar_perigee` + N·`node` + p₁·`solar_perigee` + `offset_deg`, as in
/// Schureman's table 2. Lists that count in lunar time τ = T - s + h convert by [`Arguments::from_lunar_time`].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Arguments {
    /// Multiple of T: the species, cycles a day.
    pub solar_time: i8,
    /// Multiple of s.
    pub moon: i8,
    /// Multiple of h.
    pub sun: i8,
    /// Multiple of p.
    pub lunar_perigee: i8,
    /// Multiple of N.
    pub node: i8,
    /// Multiple of p₁.
    pub solar_perigee: i8,
    /// The constant, degrees.
    pub offset_deg: f64,
}

impl Arguments {
    /// From Doodson's multiples of τ, s, h, p, N′ = -N and p₁ (not raised by five) and the constant that belongs to T = 180° at
    /// midnight.
    #[must_use]
    pub fn from_lunar_time(multiples: [i8; 6], offset_deg: f64) -> Self {
        let [tau, moon, sun, lunar_perigee, minus_node, solar_perigee] = multiples;
        Self {
            solar_time: tau,
            moon: moon.saturating_sub(tau),
            sun: sun.saturating_add(tau),
            lunar_perigee,
            node: minus_node.saturating_neg(),
            solar_perigee,
            offset_deg,
        }
    }

    fn multiples(&self) -> [i8; 6] {
        [
            self.solar_time,
            self.moon,
            self.sun,
            self.lunar_perigee,
            self.node,
            self.solar_perigee,
        ]
    }

    /// V at an instant whose longitudes are given, degrees in [0, 360).
    #[must_use]
    pub fn value_deg(&self, longitudes: &Longitudes) -> f64 {
        let angles = [
            longitudes.solar_time_deg,
            longitudes.moon_deg,
            longitudes.sun_deg,
            longitudes.lunar_perigee_deg,
            longitudes.node_deg,
            longitudes.solar_perigee_deg,
        ];
        let sum: f64 = self
            .multiples()
            .iter()
            .zip(angles)
            .map(|(multiple, angle)| f64::from(*multiple) * angle)
            .sum();
        wrap_360(sum + self.offset_deg)
    }

    /// The speed of V at J2000.0, degrees an hour.
    #[must_use]
    pub fn speed_deg_per_h(&self) -> f64 {
        self.multiples()
            .iter()
            .zip(SPEEDS_DEG_PER_H)
            .map(|(multiple, speed)| f64::from(*multiple) * speed)
            .sum()
    }

    pub(crate) fn plus(self, times: i8, other: &Self) -> Self {
        let add = |mine: i8, theirs: i8| mine.saturating_add(theirs.saturating_mul(times));
        Self {
            solar_time: add(self.solar_time, other.solar_time),
            moon: add(self.moon, other.moon),
            sun: add(self.sun, other.sun),
            lunar_perigee: add(self.lunar_perigee, other.lunar_perigee),
            node: add(self.node, other.node),
            solar_perigee: add(self.solar_perigee, other.solar_perigee),
            offset_deg: wrap_360(self.offset_deg + f64::from(times) * other.offset_deg),
        }
    }
}

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
    powers: Vec<NodalPower>,
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
    /// Looks a name up in the list of the IHO and among its aliases, whatever the case and with Greek letters as letters or
    /// spelt out; a compound that the list lacks (2MK5, 8MS14) is derived from its parts.
    ///
    /// # Errors
    /// [`Error::UnknownConstituent`] offers the nearest known names.
    pub fn named(name: &str) -> Result<Self, Error> {
        let key = names::normal(name);
        if let Some((row, exact)) = catalogue::find(&key) {
            // An alias that spells out another sum of lines (3MLS6 for 2MNU6) keeps its own parts.
            let spelt_out = !exact && matches!(row.rule, Rule::Name | Rule::Read(_));
            if spelt_out && let Some(derived) = Self::derived(&key, row.speed) {
                return Ok(derived);
            }
            if let Some(listed) = Self::listed(row) {
                return Ok(listed);
            }
        }
        Self::derived(&key, f64::NAN).ok_or_else(|| Error::UnknownConstituent {
            name: name.to_string(),
            nearest: names::nearest(&key),
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
            None => Ok(Vec::new()),
        };
        let mut this = Self {
            name: names::normal(name),
            arguments: Arguments::default(),
            speed_deg_per_h: 0.0,
            annual_speed_deg_per_h: 0.0,
            free_speed_deg_per_h: 0.0,
            powers: Vec::new(),
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
                    for power in &known.powers {
                        merge(&mut this.powers, *power, *times);
                    }
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
        let (arguments, powers) = match row.rule {
            Rule::One => (digits?, Vec::new()),
            Rule::Of(parent, f_halves, u_halves) => (
                digits?,
                alloc::vec![NodalPower {
                    parent,
                    f_halves,
                    u_halves
                }],
            ),
            Rule::Sum(parts) => Self::sum(parts.iter().copied())?,
            Rule::Name | Rule::Read(_) => {
                let spelt = if let Rule::Read(spelt) = row.rule {
                    spelt
                } else {
                    row.name
                };
                let (sum, powers) = Self::sum(compound::parts(spelt)?.into_iter())?;
                match digits {
                    // The list contradicts itself in a handful of rows: its numbers outrank its name.
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
        };
        // M1 is two lines: its argument leaves the perigee to u, but every list prints the speed of the larger line.
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

    fn sum(
        parts: impl Iterator<Item = (&'static str, i8)>,
    ) -> Option<(Arguments, Vec<NodalPower>)> {
        let mut arguments = Arguments::default();
        let mut powers: Vec<NodalPower> = Vec::new();
        for (name, times) in parts {
            let (row, _) = catalogue::find(name)?;
            arguments = arguments.plus(times, &row.arguments()?);
            let Rule::Of(parent, f_halves, u_halves) = row.rule else {
                continue;
            };
            merge(
                &mut powers,
                NodalPower {
                    parent,
                    f_halves,
                    u_halves,
                },
                times,
            );
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

    /// The speed in degrees an hour, as the argument advances at J2000.0; for M1 the printed 14.4966939, which is the speed of
    /// the larger of its two lines.
    #[must_use]
    pub fn speed_deg_per_h(&self) -> f64 {
        self.speed_deg_per_h
    }

    /// The speed with which NOAA advances phases within a calendar year: seven printed digits where NOAA publishes one.
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
        self.factor_from(&NodeTable::new(formulas, longitudes))
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

    pub(crate) fn factor_from(&self, table: &NodeTable) -> NodeFactor {
        table.factor(&self.powers)
    }
}

/// Multiplies a part's factor into a product, `times` times. f is multiplied even where the part is subtracted (IHO list, Annex B).
fn merge(powers: &mut Vec<NodalPower>, part: NodalPower, times: i8) {
    let f_halves = part.f_halves.saturating_mul(times.unsigned_abs());
    let u_halves = part.u_halves.saturating_mul(times);
    match powers.iter_mut().find(|power| power.parent == part.parent) {
        Some(power) => {
            power.f_halves = power.f_halves.saturating_add(f_halves);
            power.u_halves = power.u_halves.saturating_add(u_halves);
        }
        None => powers.push(NodalPower {
            f_halves,
            u_halves,
            ..part
        }),
    }
}
