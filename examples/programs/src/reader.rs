//! How text is fitted to whoever reads it: options that all programs with tables share.

use std::io::IsTerminal;

use clap::Args;
use wrackline_show::report::{Style, WIDTH_ELSEWHERE};

use crate::words::Colour;

/// The options.
#[derive(Args, Clone, Copy, Debug)]
pub struct Reader {
    /// Columns of a line of text; those of the terminal when left out, and 100 where there is none
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(60..))]
    width: Option<u16>,
    /// When to set headings and warnings off by colour
    #[arg(long, value_name = "WHEN", value_enum, default_value_t)]
    color: Colour,
}

impl Reader {
    /// What they come to on this standard output.
    pub fn style(self, demo: bool) -> Style {
        let terminal = std::io::stdout().is_terminal();
        let columns = || {
            let size = terminal.then(terminal_size::terminal_size).flatten();
            size.map(|(width, _)| usize::from(width.0))
        };
        let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        Style {
            width: self
                .width
                .map(usize::from)
                .or_else(columns)
                .unwrap_or(WIDTH_ELSEWHERE),
            colour: match self.color {
                Colour::Auto => terminal && !no_colour,
                Colour::Always => true,
                Colour::Never => false,
            },
            demo,
        }
    }
}
