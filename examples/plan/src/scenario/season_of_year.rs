//! Half-months, the grain in which the trade notes when an animal is there.

use jiff::civil::Date;

/// A set of half-months, "early" to the 15th and "late" after it.
///
/// ```
/// use wrackline_plan::scenario::HalfMonths;
/// let winter: HalfMonths = "Sep - early Apr".parse()?;
/// assert!(winter.contains(jiff::civil::date(2027, 4, 15)));
/// assert!(!winter.contains(jiff::civil::date(2027, 4, 16)));
/// # Ok::<(), String>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HalfMonths(u32);

/// Each by its whole name, of which the first three letters do as well.
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

fn month(word: &str) -> Option<u32> {
    let is = |name: &&str| *name == word || name[..3] == *word;
    Some(MONTHS.iter().position(is)? as u32)
}

impl HalfMonths {
    /// No time of the year.
    pub const NONE: Self = Self(0);
    /// The whole year.
    pub const ALL: Self = Self((1 << 24) - 1);

    /// Those of the year, counted from 0 in early January, of which it is true.
    ///
    /// ```
    /// use wrackline_plan::scenario::HalfMonths;
    /// let winter = HalfMonths::of(|half| half < 7 || half > 16);
    /// assert_eq!(winter.to_string(), "late Sep - early Apr");
    /// assert_eq!(winter.to_string().parse(), Ok(winter));
    /// ```
    pub fn of(mut is: impl FnMut(usize) -> bool) -> Self {
        let halves = (0..HALF_MONTHS).filter(|half| is(*half));
        Self(halves.fold(0, |bits, half| bits | 1 << half))
    }

    /// Whether `date` is in the set.
    pub fn contains(self, date: Date) -> bool {
        self.0 & (1 << half_of(date)) != 0
    }

    /// The year to which a date belongs, by the calendar year in which it began, of an animal that
    /// is there in these half-months at a latitude.
    ///
    /// Its year begins in the middle of its longest absence, of equal ones the first, so that one
    /// stay is never cut in two. Of what never leaves it begins half a year from midwinter, to the
    /// half-month on 1 July in the north and on 1 January in the south, so that no winter is cut in
    /// two. Both are our defaults.
    ///
    /// ```
    /// # use wrackline_plan::scenario::HalfMonths;
    /// # use jiff::civil::date;
    /// // A summer guest of the south, away from April to September.
    /// let summer_guest: HalfMonths = "Oct - Mar".parse()?;
    /// assert_eq!(summer_guest.year_of(date(2027, 3, 31), -34.0), 2026);
    /// assert_eq!(summer_guest.year_of(date(2027, 7, 1), -34.0), 2027);
    /// # Ok::<(), String>(())
    /// ```
    pub fn year_of(self, date: Date, latitude_deg: f64) -> i16 {
        let begins = self
            .longest_absence_middle()
            .unwrap_or(if latitude_deg < 0.0 { 0 } else { HALVES / 2 });
        if half_of(date) >= begins {
            date.year()
        } else {
            date.year() - 1
        }
    }

    /// The half-month in the middle of the longest run that is not in the set, on the circle of the
    /// year.
    fn longest_absence_middle(self) -> Option<u32> {
        let absent = |half: u32| self.0 & (1 << (half % HALVES)) == 0;
        let length =
            |first: u32| (0..HALVES).take_while(|more| absent(first + more)).count() as u32;
        let begins = |half: &u32| absent(*half) && !absent(half + HALVES - 1);
        // The first of the longest: `max_by_key` would give the last.
        let first = (0..HALVES)
            .filter(begins)
            .rev()
            .max_by_key(|first| length(*first))?;
        Some((first + length(first) / 2) % HALVES)
    }
}

/// Half-months of a year.
pub const HALF_MONTHS: usize = 24;
const HALVES: u32 = HALF_MONTHS as u32;

/// The half-month of a date, counted from 0.
fn half_of(date: Date) -> u32 {
    2 * (date.month().unsigned_abs() as u32 - 1) + u32::from(date.day() > 15)
}

/// The half-month of a date, counted from 0 in early January.
pub fn half_month_of(date: Date) -> usize {
    half_of(date) as usize
}

/// The name of a half-month, counted from 0 on the circle of the year, such as "early Jan".
pub fn half_month_name(half: usize) -> String {
    let which = if half.is_multiple_of(2) {
        "early"
    } else {
        "late"
    };
    format!("{which} {}", month_name(half))
}

fn month_name(half: usize) -> String {
    let name = MONTHS[half % HALF_MONTHS / 2];
    format!("{}{}", name[..1].to_uppercase(), &name[1..3])
}

/// As it is written in a scenario. The empty set, which no scenario can write, is "never".
impl core::fmt::Display for HalfMonths {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        if *self == Self::ALL {
            return f.write_str("all year");
        }
        let holds = |half: usize| self.0 & (1 << (half % HALF_MONTHS)) != 0;
        let mut first = true;
        for from in (0..HALF_MONTHS).filter(|half| holds(*half) && !holds(half + HALF_MONTHS - 1)) {
            let last = (from..)
                .take_while(|half| holds(*half))
                .last()
                .unwrap_or(from);
            // A month that is there whole needs no halves.
            let starts = if from.is_multiple_of(2) && last > from {
                month_name(from)
            } else {
                half_month_name(from)
            };
            let ends = if last.is_multiple_of(2) || last == from {
                half_month_name(last)
            } else {
                month_name(last)
            };
            let gap = if first { "" } else { ", " };
            first = false;
            match starts == ends {
                true => write!(f, "{gap}{starts}")?,
                false => write!(f, "{gap}{starts} - {ends}")?,
            }
        }
        if first { f.write_str("never") } else { Ok(()) }
    }
}

/// First and last half-month that a name such as "Sep", "early Sep" or "late Sep" covers, counted
/// from 0.
fn halves(name: &str) -> Option<(u32, u32)> {
    let lower = name.trim().to_lowercase();
    let (half, month) = match lower.split_once(' ') {
        Some((half, month)) => (Some(half), month.trim()),
        None => (None, lower.as_str()),
    };
    let month = 2 * self::month(month)?;
    match half {
        None => Some((month, month + 1)),
        Some("early") => Some((month, month)),
        Some("late") => Some((month + 1, month + 1)),
        Some(_) => None,
    }
}

impl core::str::FromStr for HalfMonths {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        if text.trim().eq_ignore_ascii_case("all year") {
            return Ok(Self::ALL);
        }
        let mut bits = 0;
        for stretch in text.split(',') {
            let (from, to) = stretch.split_once('-').unwrap_or((stretch, stretch));
            // The middle of a month belongs to both of its halves, and which of them is meant can
            // decide whether an animal is left in peace.
            let middle = |name: &str| name.trim().to_lowercase().starts_with("mid");
            if middle(from) || middle(to) {
                return Err(format!(
                    "\"{}\": the middle of a month lies in both halves: early is to the 15th, late \
                     from the 16th",
                    stretch.trim()
                ));
            }
            let (Some((first, _)), Some((_, last))) = (halves(from), halves(to)) else {
                return Err(format!("\"{}\" is not a stretch of months", stretch.trim()));
            };
            let mut half = first;
            loop {
                bits |= 1 << half;
                if half == last {
                    break;
                }
                half = (half + 1) % 24;
            }
        }
        Ok(Self(bits))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_read_short_and_in_full_and_the_middle_of_one_is_asked_for() {
        let read = |text: &str| text.parse::<HalfMonths>();
        assert_eq!(read("September - early April"), read("Sep-early apr"));
        assert_eq!(read("late May"), read("LATE MAY"));
        let told = read("mid Aug - Sep").unwrap_err();
        assert!(
            told.contains("mid Aug - Sep") && told.contains("early is to the 15th"),
            "{told}"
        );
        let told = read("Sept").unwrap_err();
        assert!(told.contains("is not a stretch of months"), "{told}");
    }

    #[test]
    fn every_set_of_neighbours_is_written_as_it_is_read() {
        // Every stretch and every pair of stretches, over the turn of the year, too.
        for bits in 1..1_u32 << 12 {
            for spread in [1, 2, 3] {
                let set = HalfMonths::of(|half| bits & (1 << (half / spread % 12)) != 0);
                // Which no scenario can write.
                if set != HalfMonths::NONE {
                    assert_eq!(set.to_string().parse(), Ok(set), "{set}");
                }
            }
        }
        let written = |set: HalfMonths| set.to_string();
        assert_eq!(written(HalfMonths::of(|half| half == 3)), "late Feb");
        assert_eq!(written(HalfMonths::of(|half| half / 2 == 3)), "Apr");
        assert_eq!(written(HalfMonths::NONE), "never");
    }
}
