//! Instants from a file with one a line.

use jiff::tz::TimeZone;

use super::record::Reader;
use wrackline_plan::time::read_instant;

pub(super) fn gather(reader: &mut Reader, zone: &TimeZone) -> Vec<i64> {
    let text = std::mem::take(&mut reader.text);
    let mut list: Vec<i64> = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let written = line.trim();
        if written.is_empty() || written.starts_with('#') {
            continue;
        }
        // So that a column of a table can be handed on as it is.
        if list.is_empty() && matches!(written, "instant" | "instant_utc") {
            continue;
        }
        let number = index + 1;
        let at = match read_instant(written, Some(zone)) {
            Ok(at) => at,
            Err(error) => {
                reader.report(number, "", error.what(), error.remedy());
                continue;
            }
        };
        let ms = at.as_millisecond();
        if at.subsec_nanosecond() % 1_000_000 != 0 {
            let what = format!("\"{written}\" has a fraction of a millisecond");
            reader.report(number, "", what, "round it");
        } else if list.last().is_some_and(|last| *last >= ms) {
            let what = format!("\"{written}\" is not later than the instant before it");
            reader.report(
                number,
                "",
                what,
                "sort the file and leave out what is there twice",
            );
        } else {
            list.push(ms);
        }
    }
    if list.is_empty() {
        reader.report(1, "", "holds no instant", "give at least one line");
    }
    list
}
