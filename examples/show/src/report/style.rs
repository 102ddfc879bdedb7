//! How text is fitted to whoever reads it: the width of a line, and colour.

/// The width of text that does not go to a terminal, in columns.
pub const WIDTH_ELSEWHERE: usize = 100;
/// Narrower than this no row fits on a line.
pub(super) const NARROWEST: usize = 60;

/// The width and the colour of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns of a line.
    pub width: usize,
    /// Whether headings and warnings are set off by colour.
    pub colour: bool,
    /// Whether it is the invented demo that is shown, because no scenario was given.
    pub demo: bool,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            width: WIDTH_ELSEWHERE,
            colour: false,
            demo: false,
        }
    }
}

/// The first line of text about the demo.
pub const DEMO: &str = "No scenario given: this is the invented demo. Not for use in the field.";

/// Words that the eye must find first.
const WARNINGS: [&str; 3] = ["LATEST DEPARTURE", "SUN NEAR THE VIEW", "NEAR THE VIEW"];
const BOLD: &str = "\u{1b}[1m";
const RED: &str = "\u{1b}[1;31m";
const PLAIN: &str = "\u{1b}[0m";

impl Style {
    /// The columns of a line.
    pub(crate) fn columns(self) -> usize {
        self.width.max(NARROWEST)
    }

    /// Text wrapped to the width, its first line after `first`, the others indented as far.
    pub fn wrapped(self, first: &str, text: &str) -> String {
        let indent = " ".repeat(first.chars().count());
        let options = textwrap::Options::new(self.columns())
            .initial_indent(first)
            .subsequent_indent(&indent)
            .break_words(false);
        textwrap::wrap(text, options).join("\n") + "\n"
    }

    /// Text with its warnings and its headings, which begin at the margin, set off where colour is
    /// wanted.
    pub(crate) fn painted(self, text: &str, heading: impl Fn(&str) -> bool) -> String {
        if !self.colour {
            return text.to_owned();
        }
        let mut out = String::with_capacity(text.len() + text.len() / 8);
        for line in text.split_inclusive('\n') {
            let (line, end) = line
                .strip_suffix('\n')
                .map_or((line, ""), |line| (line, "\n"));
            let warning = WARNINGS
                .iter()
                .find_map(|words| Some((line.find(words)?, words)));
            match warning {
                _ if heading(line) => out.extend([BOLD, line, PLAIN]),
                Some((at, words)) => {
                    let (before, after) = (&line[..at], &line[at + words.len()..]);
                    out.extend([before, RED, words, PLAIN, after]);
                }
                None => out.push_str(line),
            }
            out.push_str(end);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_colour_nothing_is_added_and_with_it_nothing_is_lost() {
        let text = "Seats\n  x LATEST DEPARTURE 09:18\nplain";
        let heading = |line: &str| line == "Seats";
        assert_eq!(Style::default().painted(text, heading), text);
        let colour = Style {
            colour: true,
            ..Style::default()
        };
        let painted = colour.painted(text, heading);
        assert!(painted.contains("\u{1b}[1;31mLATEST DEPARTURE\u{1b}[0m 09:18"));
        let bare = [BOLD, RED, PLAIN]
            .iter()
            .fold(painted, |text, code| text.replace(code, ""));
        assert_eq!(bare, text);
    }

    #[test]
    fn wrapped_text_fits_and_hangs() {
        let style = Style {
            width: 60,
            ..Style::default()
        };
        let text = style.wrapped("   ask first  ", &"somebody ".repeat(20));
        assert!(text.lines().count() > 2);
        assert!(text.lines().all(|line| line.chars().count() <= 60));
        assert!(
            text.lines()
                .skip(1)
                .all(|line| line.starts_with("              some"))
        );
    }
}
