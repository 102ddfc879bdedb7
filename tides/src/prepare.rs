//! From a port's lines to the stretches of its curve.
//!
//! Arguments and factors are worked out at the edges, four lines side by side, in turns. Between
//! the edges amplitudes and phases run straight.

use alloc::vec;
use alloc::vec::Vec;
use core::f64::consts::TAU;

use jiff::Timestamp;

use crate::constants::{Line, Port};
use crate::convention::{ArgumentClock, Convention, NodeEpoch, hours_between};
use crate::curve::{Bounds, Four};
use crate::nodal::{NodalPower, Wanted};
use crate::wave::{LANES, Lanes, ROUNDER, Vectors, each, sum};

/// What is worked out once for all edges, and the edge that was reached.
pub(crate) struct Preparation<'a> {
    pub(crate) vectors: Vectors,
    convention: Convention,
    annual: bool,
    /// Whether factors are held through a year, so that the far end of a stretch belongs to the
    /// next.
    stepped: bool,
    wanted: Wanted,
    lines: Vec<&'a Line>,
    powers: Vec<&'a [NodalPower]>,
    fours: Vec<Clockwork>,
    starting: Edge,
    ending: Edge,
}

/// How the arguments of four lines follow from the longitudes.
#[derive(Clone, Copy, Default)]
struct Clockwork {
    /// Multiples of T, s, h, p, N and p₁.
    multiples: [Lanes; 6],
    /// The argument's constant less the lag, turns.
    constant: Lanes,
    /// Turns an hour of a clock of its own.
    free: Lanes,
    /// Turns an hour that the phase advances by, but for the drift of u.
    nominal: Lanes,
    amplitude: Lanes,
}

/// Phases (turns) and factors of all lines at one instant.
#[derive(Default)]
struct Edge {
    at: Option<Timestamp>,
    phase: Vec<Lanes>,
    factor: Vec<Lanes>,
}

impl<'a> Preparation<'a> {
    pub(crate) fn new(port: &'a Port) -> Self {
        let convention = port.convention();
        let terms = convention.terms();
        let annual = terms.clock == ArgumentClock::StartOfYear;
        let lines: Vec<&Line> = port
            .lines()
            .iter()
            .filter(|line| line.amplitude_m > 0.0)
            .collect();
        let mut fours = vec![Clockwork::default(); lines.len().div_ceil(LANES)];
        for (index, line) in lines.iter().enumerate() {
            let Some(four) = fours.get_mut(index / LANES) else {
                continue;
            };
            let k = index % LANES;
            let constituent = &line.constituent;
            let arguments = constituent.arguments();
            for (lanes, multiple) in four.multiples.iter_mut().zip(arguments.multiples()) {
                lanes[k] = f64::from(multiple);
            }
            four.constant[k] = (arguments.offset_deg - line.lag_deg) / 360.0;
            four.free[k] = constituent.free_speed_deg_per_h() / 360.0;
            let nominal = if annual {
                constituent.annual_speed_deg_per_h()
            } else {
                constituent.argument_speed_deg_per_h()
            };
            four.nominal[k] = nominal / 360.0;
            four.amplitude[k] = line.amplitude_m;
        }
        Self {
            vectors: Vectors::widest(),
            convention,
            annual,
            stepped: annual || terms.nodes == NodeEpoch::MiddleOfYear,
            wanted: port.wanted(),
            powers: lines
                .iter()
                .map(|line| line.constituent.powers(terms.formulas))
                .collect(),
            lines,
            fours,
            starting: Edge::default(),
            ending: Edge::default(),
        }
    }

    /// Groups of lines in one stretch.
    pub(crate) fn width(&self) -> usize {
        self.fours.len()
    }

    /// Whether the curve has a step at New Year.
    pub(crate) fn stepped(&self) -> bool {
        self.stepped
    }

    /// Appends the lines of the stretch between two edges; gives its bounds.
    pub(crate) fn push(&mut self, from: Timestamp, to: Timestamp, table: &mut Vec<Four>) -> Bounds {
        // With factors held through a year the far end belongs to the next: look a second short of
        // it.
        let near = if self.stepped {
            Timestamp::from_second(to.as_second() - 1).unwrap_or(to)
        } else {
            to
        };
        // Otherwise one stretch ends where the next begins.
        if self.ending.at == Some(from) {
            core::mem::swap(&mut self.starting, &mut self.ending);
        } else {
            let mut edge = core::mem::take(&mut self.starting);
            self.fill(&mut edge, from);
            self.starting = edge;
        }
        if !self.annual {
            let mut edge = core::mem::take(&mut self.ending);
            self.fill(&mut edge, near);
            self.ending = edge;
        }
        let length = hours_between(from, near);
        let start = table.len();
        table.resize(start + self.fours.len(), Four::default());
        let stretch = table.get_mut(start..).unwrap_or_default();
        self.vectors.run(
            #[inline(always)]
            || self.join(length, stretch),
        )
    }

    #[inline(always)]
    fn join(&self, length: f64, stretch: &mut [Four]) -> Bounds {
        // In the annual form nothing changes but by the printed speeds.
        let ending = if self.annual {
            &self.starting
        } else {
            &self.ending
        };
        let per_h = 1.0 / length;
        let mut totals = [[0.0; LANES]; 3];
        let mut quickest = [0.0; LANES];
        let edges = self.starting.phase.iter().zip(&self.starting.factor);
        let far = ending.phase.iter().zip(&ending.factor);
        for (((clockwork, four), (phase, factor)), (far_phase, far_factor)) in
            self.fours.iter().zip(stretch).zip(edges).zip(far)
        {
            four.phase = *phase;
            four.speed = clockwork.nominal;
            four.amplitude = each(|k| clockwork.amplitude[k] * factor[k]);
            if !self.annual {
                let turned = each(|k| far_phase[k] - phase[k] - clockwork.nominal[k] * length);
                let drift = fold(turned);
                four.speed = each(|k| clockwork.nominal[k] + drift[k] * per_h);
                four.growth =
                    each(|k| clockwork.amplitude[k] * (far_factor[k] - factor[k]) * per_h);
            }
            let omega = each(|k| (four.speed[k] * TAU).abs());
            let growth = each(|k| four.growth[k].abs());
            let greatest = each(|k| {
                let (near, far) = (factor[k].abs(), far_factor[k].abs());
                clockwork.amplitude[k] * if near > far { near } else { far }
            });
            // An amplitude of nothing cannot grow in proportion.
            let rate = each(|k| {
                if growth[k] > 0.0 {
                    growth[k] / four.amplitude[k].abs()
                } else {
                    0.0
                }
            });
            let swing = each(|k| greatest[k] * omega[k]);
            let [creep, first, third] = &mut totals;
            *creep = each(|k| creep[k] + rate[k] * growth[k]);
            quickest = each(|k| {
                if rate[k] > quickest[k] {
                    rate[k]
                } else {
                    quickest[k]
                }
            });
            *first = each(|k| first[k] + swing[k] + growth[k]);
            *third = each(|k| third[k] + omega[k] * omega[k] * (swing[k] + 3.0 * growth[k]));
        }
        let [creep, first, third] = totals.map(sum);
        // A hair more than the sums, for rounding.
        let hair = 1.0 + 1e-9;
        Bounds {
            creep,
            quickest: quickest.iter().copied().fold(0.0, f64::max),
            first: first * hair,
            third: third * hair,
        }
    }

    fn fill(&self, edge: &mut Edge, at: Timestamp) {
        let moment = self.convention.moment(at, self.wanted);
        let longitudes = &moment.longitudes;
        let turns = [
            longitudes.solar_time_deg,
            longitudes.moon_deg,
            longitudes.sun_deg,
            longitudes.lunar_perigee_deg,
            longitudes.node_deg,
            longitudes.solar_perigee_deg,
        ]
        .map(|angle| angle / 360.0);
        edge.at = Some(at);
        edge.factor.clear();
        edge.factor.resize(self.fours.len(), [0.0; LANES]);
        edge.phase.clear();
        edge.phase.resize(self.fours.len(), [0.0; LANES]);
        for (index, (line, powers)) in self.lines.iter().zip(&self.powers).enumerate() {
            let factor = moment.table.factor(powers);
            let f = match &line.reduction {
                None => factor.f,
                Some((of, share)) => 1.0 + share * (moment.argument(of).f - 1.0),
            };
            let (four, k) = (index / LANES, index % LANES);
            if let Some(lanes) = edge.factor.get_mut(four) {
                lanes[k] = f;
            }
            if let Some(lanes) = edge.phase.get_mut(four) {
                lanes[k] = factor.u_deg * (1.0 / 360.0);
            }
        }
        for (phase, clockwork) in edge.phase.iter_mut().zip(&self.fours) {
            let mut argument = each(|k| {
                clockwork.constant[k] + phase[k] + clockwork.free[k] * longitudes.hours_since_2000
            });
            for (multiple, angle) in clockwork.multiples.iter().zip(turns) {
                argument = each(|k| argument[k] + multiple[k] * angle);
            }
            *phase = fold(argument);
        }
    }
}

/// Angles brought within half a turn of nothing.
#[inline(always)]
fn fold(turns: Lanes) -> Lanes {
    each(|k| turns[k] - ((turns[k] + ROUNDER) - ROUNDER))
}
