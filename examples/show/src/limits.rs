//! The times and levels of an outing, each with the side to which it is rounded: what every output
//! prints.
//!
//! A limit is rounded against whoever relies on it: latest times down, earliest times up, levels up
//! where they decide about access and down where they decide about the picture.

use jiff::{RoundMode, Timestamp, TimestampRound, Unit};

use wrackline_plan::season::Outing;
use wrackline_plan::time::Stretch;
use wrackline_plan::windows::{Closing, NeverCloses, Timetable};

/// To which side an instant is rounded. A limit is never rounded to its far side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The nearest, where nothing depends on it.
    Nearest,
    /// Not later: for "by then at the latest".
    NotLater,
    /// Not earlier: for "not before".
    NotEarlier,
}

impl Side {
    /// An instant to a whole unit on this side.
    pub(crate) fn rounded(self, at: Timestamp, unit: Unit) -> Timestamp {
        let mode = match self {
            Self::Nearest => RoundMode::HalfExpand,
            Self::NotLater => RoundMode::Floor,
            Self::NotEarlier => RoundMode::Ceil,
        };
        let to_unit = TimestampRound::new().smallest(unit).mode(mode);
        at.round(to_unit).unwrap_or(at)
    }
}

/// An instant and its cautious side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    /// When.
    pub at: Timestamp,
    /// Which way it is rounded.
    pub side: Side,
}

impl Limit {
    fn by(at: Timestamp) -> Self {
        Self {
            at,
            side: Side::NotLater,
        }
    }

    fn from(at: Timestamp) -> Self {
        Self {
            at,
            side: Side::NotEarlier,
        }
    }

    /// To the second, on the cautious side: finer than anything here is known.
    pub fn to_second(self) -> Timestamp {
        self.side.rounded(self.at, Unit::Second)
    }
}

/// The limits of an outing.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)] // Named as in the timetable, which explains them.
pub struct Limits {
    pub set_out: Limit,
    pub seated_by: Limit,
    pub pictures_from: Limit,
    pub pictures_until: Limit,
    pub way: Option<WayLimits>,
    pub latest_departure: Option<Limit>,
    pub stand_up: Limit,
    pub back_by: Limit,
    pub overdue: Limit,
    pub sun_near_view: Option<[Limit; 2]>,
}

/// The limits of a closing.
#[derive(Clone, Copy, Debug)]
#[allow(missing_docs)] // Named as in the closing, which explains them.
pub struct WayLimits {
    pub cut: Limit,
    pub clear: Limit,
    pub cross_by: Limit,
    pub cross_from: Limit,
}

impl From<Closing> for WayLimits {
    fn from(way: Closing) -> Self {
        Self {
            cut: Limit::by(way.cut),
            clear: Limit::from(way.clear),
            cross_by: Limit::by(way.cross_by),
            cross_from: Limit::from(way.cross_from),
        }
    }
}

impl Limits {
    /// The limits of an outing.
    pub fn of(outing: &Outing<'_>) -> Self {
        let window = &outing.window;
        let times = &window.timetable;
        let near = &window.sun_near_view.near;
        let gets_up = Side::NotEarlier.rounded(times.stand_up, Unit::Minute);
        let ends = near.iter().next().zip(near.iter().next_back());
        Self {
            set_out: Limit::by(times.set_out),
            seated_by: Limit::by(times.seated_by),
            pictures_from: Limit::from(window.stretch.start),
            pictures_until: Limit::by(window.stretch.end),
            way: times.way.map(WayLimits::from),
            latest_departure: times.latest_departure.map(Limit::by),
            // Whoever must be gone by then stands up by then, to the minute that is printed;
            // whoever waits for something does not before.
            stand_up: if times
                .latest_departure
                .is_some_and(|latest| gets_up > latest)
            {
                Limit::by(times.stand_up)
            } else {
                Limit::from(times.stand_up)
            },
            back_by: Limit::from(times.back_by),
            overdue: Limit::from(times.overdue),
            // A danger begins rather too early and ends rather too late.
            sun_near_view: ends
                .map(|(first, last)| [Limit::by(first.start), Limit::from(last.end)]),
        }
    }
}

/// The part of a stay in which nobody can go: the way is closed between the last crossing and the
/// next.
pub fn cut_off(times: &Timetable) -> Option<Stretch> {
    let way = times.way?;
    let closed = way.cross_by.max(times.seated_by)..way.cross_from.min(times.stand_up);
    (closed.start < closed.end).then_some(closed)
}

/// That a way stays open, with the figures by which a wrong level is seen.
pub fn never_closes(way: NeverCloses) -> String {
    format!(
        "never closes on this tide: low point {} m, upper water {} m",
        level_down(way.lost_at_m),
        level_up(way.upper_m)
    )
}

/// A level that decides about access, to centimetres, not lower.
pub fn level_up(level_m: f64) -> String {
    format!("{:.2}", up(level_m, 2))
}

/// A level that decides about a picture, or a height over the water, to centimetres, not higher.
pub fn level_down(level_m: f64) -> String {
    format!("{:.2}", down(level_m, 2))
}

/// A level of the scenario is a decimal number that no binary one equals: what lies nearer to it
/// than this, in units of the last digit, is that number.
const GRAIN: f64 = 1e-6;

/// To the nearest, to a number of digits, and never minus nothing: what decides nothing.
pub(crate) fn near(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale + 0.0
}

/// A difference in whole units with its sign, which nothing has not.
pub(crate) fn signed(value: f64) -> String {
    match near(value, 0) {
        0.0 => "0".to_owned(),
        value => format!("{value:+.0}"),
    }
}

/// Not lower, to a number of digits.
pub(crate) fn up(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    // Plus nothing: what is rounded up from below nothing is not minus nothing.
    (value * scale - GRAIN).ceil() / scale + 0.0
}

/// Not higher, to a number of digits.
pub(crate) fn down(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale + GRAIN).floor() / scale + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_of_the_scenario_stay_and_others_go_to_their_side() {
        for level in [5.6, 8.75, 9.1, 0.3, -0.3, 0.0, 6.8] {
            assert_eq!(level_up(level), format!("{level:.2}"));
            assert_eq!(level_down(level), format!("{level:.2}"));
        }
        assert_eq!([level_up(7.9651), level_down(7.9651)], ["7.97", "7.96"]);
        assert_eq!([level_up(-0.0001), level_down(-0.0001)], ["0.00", "-0.01"]);
        assert_eq!(format!("{:.1}", near(-0.04, 1)), "0.0");
        assert_eq!([-0.4, 0.4, -1.0, 2.0].map(signed), ["0", "0", "-1", "+2"]);
    }

    #[test]
    fn limits_go_to_their_cautious_side() {
        let at: Timestamp = "2026-12-29T09:18:43.5Z".parse().unwrap();
        let minute = |side: Side| side.rounded(at, Unit::Minute).to_string();
        assert_eq!(minute(Side::NotLater), "2026-12-29T09:18:00Z");
        assert_eq!(minute(Side::NotEarlier), "2026-12-29T09:19:00Z");
        assert_eq!(
            Limit::by(at).to_second().to_string(),
            "2026-12-29T09:18:43Z"
        );
        assert_eq!(
            Limit::from(at).to_second().to_string(),
            "2026-12-29T09:18:44Z"
        );
    }
}
