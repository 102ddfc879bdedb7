//! The outings that the water allows around a stretch of pictures.
//!
//! An outing is permissible when its walk in lies in one open part of the way and ends before the
//! settling begins, its walk out begins at or after the end of the stay and lies in an open part
//! too, and the seat is dry from setting out to being back. Whoever leaves before the flood has
//! both walks in one open part; whoever stays has them in the same or in two.

use jiff::Timestamp;

use super::ground::Ground;
use super::timetable::Timetable;
use crate::time::{Stretch, minutes, minutes_between, shifted};

/// One outing: its pictures and its times.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Outing {
    pub(crate) pictures: Stretch,
    pub(crate) times: Timetable,
}

/// What was found for one stretch of pictures.
#[derive(Default)]
pub(crate) struct Found {
    /// In order of time.
    pub(crate) outings: Vec<Outing>,
    /// By how many minutes the shortest outing of those that only take too long does so.
    pub(crate) too_long_by: Option<f64>,
}

/// Outings to animals that come and go with the water: seated before they are due, and up when they
/// have left or when the way asks for it. Nobody comes while they are there.
pub(crate) fn with_animals(ground: &Ground<'_>, light: &Stretch, animals: &Stretch) -> Found {
    let habits = ground.scenario.habits();
    let due = shifted(animals.start, -habits.settle_minutes);
    let mut found = Found::default();
    // Whoever comes before the animals and leaves after the light has begun keeps dry throughout.
    let Some(dry) = ground.dry_at(light.start) else {
        return found;
    };
    // The last part in which one can come by then: nobody waits longer than needed.
    let Some(coming) = dry.last_way_in(ground.walks.in_minutes, due) else {
        return found;
    };
    let seated_by = due.min(coming.end);
    let gone = light.end.max(animals.end);
    let (going, stand_up) = if ground.leaves_before_the_flood() {
        let latest = shifted(coming.end, -ground.walks.clear_minutes);
        (coming, gone.min(latest))
    } else {
        match dry.first_way_out(ground.walks.clear_minutes, gone) {
            Some(open) => (open, gone.max(open.start)),
            None => return found,
        }
    };
    let pictures = light.start..light.end.min(stand_up);
    if pictures.start < pictures.end && stand_up >= seated_by {
        found.add(ground, pictures, seated_by..stand_up, coming, going);
    }
    found
}

/// Outings to animals that are there in any water: seated before the pictures begin, and up at
/// their end or when the way has cleared. The pictures give way where the water does not let one be
/// there for all of their light.
pub(crate) fn in_light(ground: &Ground<'_>, light: &Stretch) -> Found {
    let habits = ground.scenario.habits();
    let longest = habits.longest_minutes;
    // Whoever is out in that light sets out and is back within the longest outing of it.
    let near = shifted(light.start, -longest)..shifted(light.end, longest);
    let mut found = Found::default();
    for dry in ground.dry_near(&near) {
        let ways_out = dry.ways_out_near(&near);
        for coming in dry.ways_in_near(&near) {
            let first_seated = shifted(coming.start, ground.walks.in_minutes);
            let start = light
                .start
                .max(shifted(first_seated, habits.settle_minutes));
            let seated_by = coming.end.min(shifted(start, -habits.settle_minutes));
            let goes = |going: &&Stretch| {
                let same = going.start == coming.start;
                same || (!ground.leaves_before_the_flood() && going.start > coming.start)
            };
            for going in ways_out.iter().filter(goes) {
                let latest = shifted(going.end, -ground.walks.clear_minutes);
                let until_up = longest - ground.walks.out_minutes;
                // Who cannot leave before the way clears comes no earlier than lets that be in
                // time.
                let in_time = shifted(going.start, ground.walks.in_minutes - until_up);
                let seated_by = seated_by.max(in_time);
                if seated_by > coming.end {
                    continue;
                }
                let start = start.max(shifted(seated_by, habits.settle_minutes));
                let set_out = shifted(seated_by, -ground.walks.in_minutes);
                // Light that lasts for days is cut to the longest outing.
                let end = light.end.min(latest).min(shifted(set_out, until_up));
                let stand_up = end.max(going.start);
                if start < end && stand_up <= latest {
                    found.add(ground, start..end, seated_by..stand_up, coming, going);
                }
            }
        }
    }
    found.keep_the_widest();
    found
}

impl Found {
    /// Takes in what was found for another stretch of light.
    pub(crate) fn join(&mut self, other: Self) {
        self.outings.extend(other.outings);
        self.too_long_by = match (self.too_long_by, other.too_long_by) {
            (Some(a), Some(b)) => Some(f64::min(a, b)),
            (a, b) => a.or(b),
        };
    }

    fn add(
        &mut self,
        ground: &Ground<'_>,
        pictures: Stretch,
        stay: Stretch,
        coming: &Stretch,
        going: &Stretch,
    ) {
        let same = coming.start == going.start;
        let until_water: Option<Timestamp> =
            (same && ground.ends_by_water(going)).then_some(going.end);
        let times = Timetable::around(ground, &stay, until_water);
        // A closing whose end lies beyond the table has no time at which it clears.
        let clears = times.way.map(|way| way.cross_from);
        if clears.is_some_and(|at| ground.is_unknown_before(at)) {
            return;
        }
        let too_long = minutes(&times.whole()) - ground.scenario.habits().longest_minutes;
        // A microsecond: lengths are sums of rounded minutes.
        if too_long > 1e-8 {
            self.too_long_by = Some(
                self.too_long_by
                    .map_or(too_long, |least| least.min(too_long)),
            );
        } else {
            self.outings.push(Outing { pictures, times });
        }
    }

    /// Of outings one of which has all the pictures of another, the wider one; of equals the
    /// shorter outing.
    fn keep_the_widest(&mut self) {
        let length = |outing: &Outing| minutes_between(outing.times.set_out, outing.times.back_by);
        self.outings.sort_by(|a, b| {
            let key = |outing: &Outing| {
                (
                    outing.pictures.start,
                    std::cmp::Reverse(outing.pictures.end),
                )
            };
            key(a).cmp(&key(b)).then(length(a).total_cmp(&length(b)))
        });
        let mut reached: Option<Timestamp> = None;
        self.outings.retain(|outing| {
            let adds = reached.is_none_or(|end| outing.pictures.end > end);
            if adds {
                reached = Some(outing.pictures.end);
            }
            adds
        });
    }
}
