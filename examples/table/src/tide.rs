//! The tide of one port at the instants of one group, stretch by stretch.

use std::ops::Range;

use jiff::{SignedDuration, Timestamp};
use wrackline_tides::{Grid, Port, Turn, TurnKind};

/// State of the tide, in the order of `schema::STATES`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(i8)]
pub enum TideState {
    /// The water rises.
    Rising,
    /// Around high water.
    HighWater,
    /// The water falls.
    Falling,
    /// Around low water.
    LowWater,
}

impl TideState {
    /// The trade's name for it.
    pub fn name(self) -> &'static str {
        super::schema::STATES[self as usize]
    }
}

/// Heights, rates and states, one for each instant.
#[derive(Debug, Default)]
pub(super) struct TideColumns {
    pub(super) height_m: Vec<f64>,
    pub(super) rate_m_per_h: Vec<f64>,
    pub(super) state: Vec<i8>,
}

impl TideColumns {
    /// Makes room for so many rows; what stands there is of the port before.
    pub(super) fn resize(&mut self, rows: usize) {
        self.height_m.resize(rows, 0.0);
        self.rate_m_per_h.resize(rows, 0.0);
        self.state.resize(rows, 0);
    }

    /// Fills the rows from one on with the tide at the instants of a stretch, in rising order, at
    /// least one; `step` is their distance if it is even.
    pub(super) fn fill(
        &mut self,
        port: &Port,
        instants: &[Timestamp],
        step: Option<SignedDuration>,
        near_turn: SignedDuration,
        from: usize,
    ) -> Result<(), wrackline_tides::Error> {
        let span = span_around(instants, near_turn);
        let predictor = port.predictor(span)?;
        let rows = from..from + instants.len();
        let heights = &mut self.height_m[rows.clone()];
        let rates = &mut self.rate_m_per_h[rows.clone()];
        match (step, instants.first()) {
            (Some(step), Some(&start)) if step <= SignedDuration::from_hours(24) => {
                let grid = Grid::new(start, step, instants.len())?;
                predictor.fill_heights(&grid, heights)?;
                predictor.fill_rates(&grid, rates)?;
            }
            _ => predictor.fill_heights_and_rates_at(instants, heights, rates)?,
        }
        fill_states(
            &predictor.turns(),
            instants,
            rates,
            near_turn,
            &mut self.state[rows],
        );
        Ok(())
    }
}

/// States at instants in rising order. Most lie between two turns and near neither.
fn fill_states(
    turns: &[Turn],
    instants: &[Timestamp],
    rates_m_per_h: &[f64],
    near_turn: SignedDuration,
    states: &mut [i8],
) {
    let mut next = 0;
    // Before this instant no turn is near.
    let mut near_from = Timestamp::MIN;
    for ((at, rate), out) in instants.iter().zip(rates_m_per_h).zip(states) {
        let state = if *at < near_from {
            between_turns(*rate)
        } else {
            while turns.get(next).is_some_and(|turn| turn.at < *at) {
                next += 1;
            }
            let around = &turns[next.saturating_sub(1)..turns.len().min(next + 1)];
            let state = state(around, *at, *rate, near_turn);
            if matches!(state, TideState::Rising | TideState::Falling) {
                near_from = turns.get(next).map_or(Timestamp::MAX, |turn| {
                    let from = turn.at.saturating_sub(near_turn);
                    from.unwrap_or(Timestamp::MIN)
                });
            }
            state
        };
        *out = state as i8;
    }
}

/// The state of the tide, from the turns just before and after the instant and the rate there.
pub(super) fn state(
    turns: &[Turn],
    at: Timestamp,
    rate_m_per_h: f64,
    near_turn: SignedDuration,
) -> TideState {
    let distance = |turn: &Turn| turn.at.duration_since(at).abs();
    let nearest = turns.iter().min_by_key(|turn| distance(turn));
    match nearest.filter(|turn| distance(turn) <= near_turn) {
        Some(turn) if turn.kind == TurnKind::HighWater => TideState::HighWater,
        Some(_) => TideState::LowWater,
        None => between_turns(rate_m_per_h),
    }
}

fn between_turns(rate_m_per_h: f64) -> TideState {
    if rate_m_per_h >= 0.0 {
        TideState::Rising
    } else {
        TideState::Falling
    }
}

/// The span in which a turn can colour one of the instants.
pub(super) fn span_around(instants: &[Timestamp], near_turn: SignedDuration) -> Range<Timestamp> {
    // Turns are sought in a half-open span: a minute more, so that none at its very end is left
    // out.
    let margin = near_turn.saturating_add(SignedDuration::from_mins(1));
    let first = instants.first().copied().unwrap_or(Timestamp::MIN);
    let last = instants.last().copied().unwrap_or(Timestamp::MAX);
    first.saturating_sub(margin).unwrap_or(first)..last.saturating_add(margin).unwrap_or(last)
}
