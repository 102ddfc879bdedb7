//! What a text may hold.

use std::borrow::Cow;

/// Why a character has no business in a text that travels into a terminal, a calendar, a map and a
/// page; `None` for all that people write.
///
/// A line end in a title would begin a forged line of a calendar, an escape character speaks to the
/// terminal, XML 1.0 knows neither control characters nor U+FFFE and U+FFFF, and the characters of
/// section 5.2 of Unicode Technical Report 36 turn the order in which a line is read around.
fn astray(c: char) -> Option<&'static str> {
    match c {
        '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => Some("a line end"),
        '\u{1b}' | '\u{9b}' => Some("an escape sequence"),
        c if c.is_control() => Some("a control character"),
        '\u{fffe}' | '\u{ffff}' => Some("no character"),
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            Some("a character that turns the order of reading around")
        }
        _ => None,
    }
}

/// What is wrong with a text that does not travel: the first such character and its place, counted
/// from 1.
pub(super) fn does_not_travel(text: &str) -> Option<String> {
    let (at, c, why) = text
        .chars()
        .enumerate()
        .find_map(|(at, c)| Some((at, c, astray(c)?)))?;
    let at = at + 1;
    Some(format!(
        "holds {why}, U+{:04X}, as character {at}",
        u32::from(c)
    ))
}

/// A text as it may be shown, with what does not travel spelt out.
pub(super) fn visible(text: &str) -> Cow<'_, str> {
    if !text.contains(|c| astray(c).is_some()) {
        return Cow::Borrowed(text);
    }
    text.chars()
        .map(|c| match astray(c) {
            Some(_) => format!("\\u{{{:04x}}}", u32::from(c)),
            None => c.to_string(),
        })
        .collect()
}
