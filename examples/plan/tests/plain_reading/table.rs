//! Every minute of a span and of three days around it: water, sun, civil day, free or not.

use jiff::civil::{Date, DateTime, date};
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};

use super::plan::{Access, Bears, Closure, Plan, Seat, Subject, Way};
use super::sun::{Sun, shadow_angle_deg, sun, wrap_180};
use super::tide;
use super::week::{LOWER_ALLOWANCE_M, More};

/// Minutes looked at on either side of a span: the longest outing that is drawn, twice over.
const AROUND: i64 = 3 * 24 * 60;

#[derive(Debug)]
pub(crate) struct Table {
    /// The first minute, in minutes since 1970.
    pub(crate) start: i64,
    pub(crate) len: usize,
    /// Predicted height; empty inland.
    height: Vec<f64>,
    /// The lowest and the highest that it may stand instead.
    left_open: Vec<(f64, f64)>,
    /// What a forecast adds; empty without one.
    more: Vec<More>,
    sun: Vec<Sun>,
    /// Civil day, counted from 1 January 1970.
    pub(crate) day: Vec<i32>,
    pub(crate) free: Vec<bool>,
}

pub(crate) fn day_number(day: Date) -> i32 {
    date(1970, 1, 1)
        .until(day)
        .map_or(0, |span| span.get_days())
}

pub(crate) fn date_of(day: i32) -> Date {
    date(1970, 1, 1)
        .checked_add(Span::new().days(day))
        .expect("a drawn day")
}

/// Whole minutes since 1970 at or after a time of day in a zone.
fn minute_of(zone: &TimeZone, at: DateTime) -> i64 {
    let zoned = at.to_zoned_datetime(zone.clone()).expect("a drawn day");
    (zoned.timestamp().as_second() + 59).div_euclid(60)
}

impl Table {
    pub(crate) fn of(plan: &Plan) -> Self {
        let zone = TimeZone::get(plan.zone).expect("a zone of the database");
        let after = plan
            .from
            .checked_add(Span::new().days(plan.days))
            .expect("a drawn day");
        let start = minute_of(&zone, plan.from.at(0, 0, 0, 0)) - AROUND;
        let len = (minute_of(&zone, after.at(0, 0, 0, 0)) + AROUND - start) as usize;
        let height = match &plan.port {
            Some(port) => tide::heights(port, start, len),
            None => Vec::new(),
        };
        let each = || (0..len).map(|at| (start + at as i64) * 60);
        Self {
            start,
            len,
            height,
            left_open: match &plan.port {
                Some(port) => tide::left_open(port, start, len),
                None => Vec::new(),
            },
            more: match &plan.week {
                Some(week) => week.minutes(plan, start, len),
                None => Vec::new(),
            },
            sun: each()
                .map(|s| sun(s as f64, plan.latitude_deg, plan.longitude_deg))
                .collect(),
            day: each()
                .map(|s| {
                    let at = Timestamp::from_second(s).expect("a drawn day");
                    let local = s + i64::from(zone.to_offset(at).seconds());
                    local.div_euclid(86_400) as i32
                })
                .collect(),
            free: free(plan, &zone, start, len),
        }
    }

    /// The minute at or after an instant, as a position in the table.
    pub(crate) fn at(&self, unix_s: f64) -> usize {
        let minute = (unix_s / 60.0).ceil() as i64 - self.start;
        minute.clamp(0, self.len as i64) as usize
    }

    pub(crate) fn unix_s(&self, at: usize) -> f64 {
        (self.start + at as i64) as f64 * 60.0
    }

    pub(crate) fn clock(&self, at: usize) -> String {
        Timestamp::from_second(self.unix_s(at) as i64).map_or(String::new(), |t| t.to_string())
    }

    pub(crate) fn expected_m(&self, plan: &Plan, at: usize) -> f64 {
        self.height[at] + plan.expected_m
    }

    pub(crate) fn upper_m(&self, plan: &Plan, at: usize) -> f64 {
        let allowed = plan.upper_allowance_m + self.more(at).upper_m;
        self.left_open[at].1 + plan.expected_m + allowed
    }

    pub(crate) fn lower_m(&self, plan: &Plan, at: usize) -> f64 {
        let allowed = LOWER_ALLOWANCE_M + self.more(at).lower_m;
        self.left_open[at].0 + plan.expected_m - allowed
    }

    /// By which the animals come and go where that is higher than what is expected.
    pub(crate) fn risen_m(&self, plan: &Plan, at: usize) -> f64 {
        self.expected_m(plan, at) + self.more(at).rise_m
    }

    fn more(&self, at: usize) -> More {
        self.more.get(at).copied().unwrap_or_default()
    }

    /// Whether the light is as wanted; a positive `slack_deg` lets it pass that far outside of
    /// its limits. With a negative one it must lie inside them by the step of a minute too: near
    /// the zenith the sun passes a limit and comes back in seconds.
    pub(crate) fn lit(&self, plan: &Plan, seat: &Seat, at: usize, slack_deg: f64) -> bool {
        let sun = self.sun[at];
        let [low, high] = plan.altitude_deg;
        let in_band = sun.altitude_deg >= low - slack_deg && sun.altitude_deg <= high + slack_deg;
        let Some([small, large]) = plan.angle_deg else {
            return in_band;
        };
        if !in_band {
            return false;
        }
        // A step on the sky is a wider step in azimuth the higher the sun stands.
        let mut slack = slack_deg / sun.altitude_deg.to_radians().cos().max(1e-3);
        if slack_deg < 0.0 {
            let step = |other: usize| wrap_180(self.sun[other].azimuth_deg - sun.azimuth_deg).abs();
            let next = (at + 1).min(self.len - 1);
            slack -= step(at.saturating_sub(1)).max(step(next));
        }
        if !self.clear_of_terrain(seat, at, slack_deg) {
            return false;
        }
        let angle = shadow_angle_deg(sun, seat.bearing_deg);
        (small <= 0.0 || angle >= small - slack) && (large >= 180.0 || angle <= large + slack)
    }

    /// Whether the sun's centre, lifted by the air, stands over the hills, or is itself below the
    /// horizon, where there is no direct light to wait for.
    fn clear_of_terrain(&self, seat: &Seat, at: usize, slack_deg: f64) -> bool {
        let sun = self.sun[at];
        if seat.horizon.is_empty() || sun.altitude_deg <= slack_deg {
            return true;
        }
        let hill = |sun: Sun| terrain_deg(&seat.horizon, sun.azimuth_deg);
        // The hills drawn rise by half a degree for each of bearing, which adds to what the sun is
        // off. With a negative slack the hills a minute before and after are in the way too.
        let mut highest = hill(sun);
        if slack_deg < 0.0 {
            let before = self.sun[at.saturating_sub(1)];
            let after = self.sun[(at + 1).min(self.len - 1)];
            highest = highest.max(hill(before)).max(hill(after));
            // A top between two minutes: the azimuth moves by a degree at most where it is drawn.
            let (from, to) = (before.azimuth_deg, after.azimuth_deg);
            for [bearing, height] in &seat.horizon {
                if wrap_180(bearing - from) * wrap_180(to - bearing) >= 0.0
                    && wrap_180(bearing - sun.azimuth_deg).abs() < 90.0
                {
                    highest = highest.max(*height);
                }
            }
        }
        sun.altitude_deg + refraction_deg(sun.altitude_deg) >= highest - 2.0 * slack_deg
    }

    /// Whether a way is closed, minute by minute. With a positive slack the water may stand that
    /// much higher, and the margin in time be that much shorter.
    pub(crate) fn closed(&self, plan: &Plan, way: &Way, slack_m: f64, slack: f64) -> Vec<bool> {
        let lost_at = way.creeks.iter().copied().fold(way.low_point_m, f64::min) + slack_m;
        let mut closed: Vec<bool> = (0..self.len)
            .map(|at| self.upper_m(plan, at) > lost_at - way.margin_m)
            .collect();
        let around = (way.margin_minutes - slack).max(0.0).round() as usize;
        for at in 0..self.len {
            if self.upper_m(plan, at) > lost_at {
                let (from, until) = (at.saturating_sub(around), (at + around + 1).min(self.len));
                closed[from..until].fill(true);
            }
        }
        closed
    }
}

/// The hills at a bearing, between their corners in a straight line of degrees.
fn terrain_deg(horizon: &[[f64; 2]], bearing_deg: f64) -> f64 {
    let after = horizon.iter().position(|[at, _]| *at > bearing_deg);
    let last = horizon.len() - 1;
    let (a, b) = match after {
        Some(0) | None => (horizon[last], horizon[0]),
        Some(next) => (horizon[next - 1], horizon[next]),
    };
    let share = (bearing_deg - a[0]).rem_euclid(360.0) / (b[0] - a[0]).rem_euclid(360.0);
    a[1] + share * (b[1] - a[1])
}

/// How far the air lifts what stands at an airless altitude: T. Saemundsson, Sky and Telescope 72
/// (1986) 70, as in J. Meeus, Astronomical Algorithms (1991), formula 15.4, at 10 °C and 1010 hPa
/// (from memory). Good to 0.002°, and to 0.01° between one state of the air and another near the
/// horizon.
fn refraction_deg(altitude_deg: f64) -> f64 {
    let h = altitude_deg.max(-1.0);
    1.02 / (h + 10.3 / (h + 5.11)).to_radians().tan() / 60.0
}

fn free(plan: &Plan, zone: &TimeZone, start: i64, len: usize) -> Vec<bool> {
    let mut free = vec![plan.free.is_empty(); len];
    let days = (i64::from(plan.days) + 2 * AROUND / 1440 + 2) as i32;
    for more in 0..days {
        let day = plan
            .from
            .checked_add(Span::new().days(more - (AROUND / 1440) as i32 - 1))
            .expect("a drawn day");
        for hours in &plan.free {
            if !hours.weekdays.is_empty()
                && !hours
                    .weekdays
                    .contains(&day.weekday().to_monday_zero_offset())
            {
                continue;
            }
            let overnight = hours.until <= hours.from;
            let last = if overnight {
                day.tomorrow().expect("a drawn day")
            } else {
                day
            };
            let minute = |day: Date, at: i32| {
                let at = day.at((at / 60) as i8, (at % 60) as i8, 0, 0);
                (minute_of(zone, at) - start).clamp(0, len as i64) as usize
            };
            free[minute(day, hours.from)..minute(last, hours.until)].fill(true);
        }
    }
    free
}

/// What is not known of a seat that water touches, in words; then nothing may be proposed there.
pub(crate) fn unknown(plan: &Plan, seat: &Seat) -> Option<&'static str> {
    let stays_or_leaves = matches!(seat.access, Access::Leave | Access::Stay);
    let water = seat.way.is_some() || seat.ground_m.is_some() || stays_or_leaves;
    let touched = water || plan.push_m.is_some() || plan.overtop_m.is_some();
    if seat.access == Access::Unknown || seat.access == Access::Unsaid && plan.port.is_some() {
        Some("its access")
    } else if touched && seat.ground_m.is_none() {
        Some("its ground")
    } else if stays_or_leaves && seat.way.is_none() {
        Some("its way in")
    } else {
        None
    }
}

/// What past visits ask for can be more than the scenario's distance, never less: a quarter beyond
/// what alarmed them, in whole metres.
pub(crate) fn stand_off_m(plan: &Plan, seat: &Seat, subject: &Subject) -> f64 {
    let stated = if seat.hide {
        subject.from_hide_m
    } else {
        subject.on_foot_m
    };
    let alarms = plan.visits.alarms.iter();
    alarms
        .filter(|(id, _)| *id == subject.id)
        .map(|(_, distance_m)| (distance_m * 1.25).ceil())
        .fold(stated, f64::max)
}

/// What forbids an outing for a subject at a seat that touches a day.
pub(crate) fn day_forbids(
    plan: &Plan,
    seat: &Seat,
    subject: &Subject,
    day: i32,
) -> Option<&'static str> {
    let date = date_of(day);
    let half = 2 * (date.month() as usize - 1) + usize::from(date.day() > 15);
    let holds = |halves: Option<[usize; 2]>| {
        halves.is_some_and(|[first, last]| {
            if first <= last {
                (first..=last).contains(&half)
            } else {
                half >= first || half <= last
            }
        })
    };
    let present = |subject: &Subject| subject.present.is_none() || holds(subject.present);
    if plan
        .closures
        .iter()
        .any(|closure| closes(plan, closure, seat, date))
    {
        return Some("closure");
    }
    // The day of the flush itself was the visit's own.
    if plan
        .visits
        .rest
        .is_some_and(|[since, until]| since < day && day <= until)
    {
        return Some("rest");
    }
    if holds(subject.breeding) {
        return Some("breeding");
    }
    if !present(subject) {
        return Some("presence");
    }
    for other in plan.subjects.iter().filter(|other| other.id != subject.id) {
        if holds(other.breeding) {
            return Some("breeding of another animal");
        }
        if present(other) && seat.distance_m < stand_off_m(plan, seat, other) {
            return Some("stand-off of another animal");
        }
    }
    None
}

/// A closure for an animal guards it from whoever sits where it is listed.
fn closes(plan: &Plan, closure: &Closure, seat: &Seat, date: Date) -> bool {
    let bears = match closure.bears {
        Bears::Everywhere | Bears::Here => true,
        Bears::Elsewhere => false,
        Bears::Seat(id) => id == seat.id,
        Bears::Subject(id) => plan.subjects.iter().any(|there| there.id == id),
    };
    let day = (date.month(), date.day());
    let dates = if closure.from <= closure.to {
        closure.from <= day && day <= closure.to
    } else {
        day >= closure.from || day <= closure.to
    };
    let weekday = date.weekday().to_monday_zero_offset();
    let on_weekday = closure.weekdays.is_empty() || closure.weekdays.contains(&weekday);
    // A count stands for its own day and the three after it: so many days of thaw end a spell.
    let counted = plan.frost.map(|(days, on)| (day_number(on), days));
    let forecast = plan.week.iter().flat_map(|week| week.frozen(plan));
    let frozen = closure.frozen_days.is_none_or(|limit| {
        counted.into_iter().chain(forecast).any(|(on, days)| {
            let since = day_number(date) - on;
            days >= limit && (0..=3).contains(&since)
        })
    });
    closure.closed && bears && dates && on_weekday && frozen
}

/// Minutes of the walks of an outing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Walks {
    /// From the road to the seat.
    pub(crate) into: f64,
    /// From the seat to the road.
    pub(crate) back: f64,
    /// From standing up, for which way and ground must be clear of the water.
    pub(crate) clear: f64,
}

pub(crate) fn walks(plan: &Plan, seat: &Seat) -> Walks {
    let crossing = seat.way.map_or(0.0, |way| plan.ways[way].loaded_dark);
    let withdrawal = f64::max(seat.out, seat.ins * plan.factor);
    Walks {
        into: seat.ins.max(crossing),
        back: withdrawal.max(crossing),
        clear: withdrawal + crossing,
    }
}

/// The last of some minutes for which animals stay, if they are away for no more than so many of
/// them between.
pub(crate) fn stays(
    minutes: impl Iterator<Item = usize>,
    there: impl Fn(&usize) -> bool,
    away_at_most: usize,
) -> Option<usize> {
    let (mut last, mut away) = (None, 0);
    for at in minutes {
        if there(&at) {
            (last, away) = (Some(at), 0);
        } else {
            away += 1;
            if away > away_at_most {
                break;
            }
        }
    }
    last
}
