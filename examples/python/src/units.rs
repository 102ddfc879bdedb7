//! The units in which NumPy counts time.

use jiff::Timestamp;

const SECOND: i128 = 1_000_000_000;

/// What a count of `datetime64` stands for, in the form that is quickest to work out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Unit {
    /// So many whole seconds.
    Seconds(i64),
    /// A second's even part of whole nanoseconds.
    PartOfSecond { a_second: i64, nanoseconds: i64 },
    /// So many nanoseconds, over a number.
    Any { nanoseconds: i128, over: i128 },
}

/// Why a count is no instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Unfit {
    /// It has a fraction of a nanosecond.
    Finer,
    /// It lies too many nanoseconds from 1970.
    Beyond(i128),
}

impl Unit {
    /// So many of the unit with a name; years and months are none, since their lengths differ.
    pub(crate) fn named(word: &str, many: i128) -> Option<Self> {
        let (nanoseconds, over) = match word {
            "W" => (604_800 * SECOND, 1),
            "D" => (86_400 * SECOND, 1),
            "h" => (3600 * SECOND, 1),
            "m" => (60 * SECOND, 1),
            "s" => (SECOND, 1),
            "ms" => (1_000_000, 1),
            "us" => (1000, 1),
            "ns" => (1, 1),
            "ps" => (1, 1000),
            "fs" => (1, 1_000_000),
            "as" => (1, SECOND),
            _ => return None,
        };
        let nanoseconds = nanoseconds * many;
        Some(match i64::try_from(nanoseconds / SECOND) {
            Ok(seconds) if over == 1 && nanoseconds % SECOND == 0 => Self::Seconds(seconds),
            _ if over == 1 && nanoseconds < SECOND && SECOND % nanoseconds == 0 => {
                Self::PartOfSecond {
                    a_second: (SECOND / nanoseconds) as i64,
                    nanoseconds: nanoseconds as i64,
                }
            }
            _ => Self::Any { nanoseconds, over },
        })
    }

    /// The instant that a count stands for.
    pub(crate) fn instant(self, count: i64) -> Result<Timestamp, Unfit> {
        let found = match self {
            Self::Seconds(seconds) => count
                .checked_mul(seconds)
                .and_then(|seconds| Timestamp::from_second(seconds).ok()),
            Self::PartOfSecond {
                a_second,
                nanoseconds,
            } => {
                let part = count.rem_euclid(a_second) * nanoseconds;
                // A part of a second, which is less than a billion nanoseconds.
                Timestamp::new(count.div_euclid(a_second), part as i32).ok()
            }
            Self::Any { nanoseconds, over } => {
                let fine = i128::from(count) * nanoseconds;
                if fine % over != 0 {
                    return Err(Unfit::Finer);
                }
                Timestamp::from_nanosecond(fine / over).ok()
            }
        };
        found.ok_or_else(|| Unfit::Beyond(self.nanoseconds(count)))
    }

    fn nanoseconds(self, count: i64) -> i128 {
        let count = i128::from(count);
        match self {
            // Of a unit of many weeks there can be more than any number holds.
            Self::Seconds(seconds) => (count * i128::from(seconds)).saturating_mul(SECOND),
            Self::PartOfSecond { nanoseconds, .. } => count * i128::from(nanoseconds),
            Self::Any { nanoseconds, over } => count * nanoseconds / over,
        }
    }
}
