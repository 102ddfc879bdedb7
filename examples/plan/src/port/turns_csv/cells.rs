//! What stands in a cell: a time, a height, a word for the water.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_tides::TurnKind;

use super::columns::When;
use crate::time::read_instant;

/// Words for the two waters; single letters as the tables print them.
const HIGH: [&str; 5] = ["high", "high water", "hw", "h", "high_water"];
const LOW: [&str; 5] = ["low", "low water", "lw", "l", "low_water"];

/// What is wrong in a cell, and what to do about it.
type Wrong = (String, String);

/// When a row's turn is. `day` is that of the row above, and then of this one.
pub(super) fn when<'r>(
    columns: &When,
    get: impl Fn(usize) -> &'r str,
    day: &mut String,
    zone: &TimeZone,
) -> Result<Timestamp, Wrong> {
    let read = |text: &str, zone| {
        read_instant(text, Some(zone)).map_err(|unread| (unread.what(), unread.remedy()))
    };
    match columns {
        When::AtUtc(at) => read(get(*at), &TimeZone::UTC),
        When::At(at) if get(*at).len() > "2026-01-24".len() => read(get(*at), zone),
        When::At(at) => Err((
            format!("\"{}\" is no day with a time", get(*at)),
            "write 2026-01-24 08:52".to_owned(),
        )),
        When::DayAndTime(in_day, in_time) => {
            let printed = get(*in_day);
            if !printed.is_empty() {
                day.clear();
                day.push_str(printed);
            }
            if day.len() != "2026-01-24".len() {
                return Err((
                    format!("\"{day}\" is no day"),
                    "write it as 2026-01-24, and leave it empty only below a row of the same day"
                        .to_owned(),
                ));
            }
            read(&format!("{day}T{}", clock(get(*in_time))?), zone)
        }
    }
}

/// A time of day as the tables print it, `0412`, `4:12` or `04:12`, as the standard writes it; an
/// offset may follow.
fn clock(printed: &str) -> Result<String, Wrong> {
    let digits = printed.bytes().take_while(u8::is_ascii_digit).count();
    let whole = printed.is_ascii() && !printed.contains(char::is_whitespace);
    let rest = printed.get(digits..).unwrap_or_default();
    match digits {
        4 if whole => Ok(format!("{}:{}{rest}", &printed[..2], &printed[2..4])),
        2 if whole && rest.starts_with(':') => Ok(printed.to_owned()),
        1 if whole && rest.starts_with(':') => Ok(format!("0{printed}")),
        _ => Err((
            format!("\"{printed}\" is no time of day"),
            "write it as 04:12 or 0412".to_owned(),
        )),
    }
}

/// A height, and how many decimals it is printed with.
pub(super) fn height(printed: &str) -> Result<(f64, i32), Wrong> {
    let plain = !printed.is_empty()
        && printed
            .bytes()
            .all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte));
    let places = printed.split_once('.').map_or(0, |(_, after)| after.len());
    match printed.parse::<f64>() {
        // More places than any table prints, and 10^-places stays a number.
        Ok(height) if plain && height.is_finite() && places <= 9 => Ok((height, places as i32)),
        _ => Err((
            format!("the height is \"{printed}\""),
            "give a number with a decimal point".to_owned(),
        )),
    }
}

/// Which of the waters a row is of, where it says so.
pub(super) fn kind(printed: &str) -> Result<Option<TurnKind>, Wrong> {
    let word = printed.to_lowercase();
    if word.is_empty() {
        Ok(None)
    } else if HIGH.contains(&word.as_str()) {
        Ok(Some(TurnKind::HighWater))
    } else if LOW.contains(&word.as_str()) {
        Ok(Some(TurnKind::LowWater))
    } else {
        Err((
            format!("\"{printed}\" is neither high nor low water"),
            "write `high` or `low`, or leave the column out".to_owned(),
        ))
    }
}
