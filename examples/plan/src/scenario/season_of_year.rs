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

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

impl HalfMonths {
    /// No time of the year.
    pub const NONE: Self = Self(0);
    /// The whole year.
    pub const ALL: Self = Self((1 << 24) - 1);

    /// Whether `date` is in the set.
    pub fn contains(self, date: Date) -> bool {
        let index = 2 * (i32::from(date.month()) - 1) + i32::from(date.day() > 15);
        self.0 & (1 << index) != 0
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
    let month = 2 * MONTHS.iter().position(|known| *known == month)? as u32;
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
