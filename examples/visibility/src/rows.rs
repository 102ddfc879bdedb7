//! Single rows by the functions for one instant, to check a table by.

use std::io::Write;
use std::path::Path;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_files::texts;
use wrackline_plan::time::read_instant;
use wrackline_table::told as show;
use wrackline_table::{Error, Table};

use super::arguments::RowArguments;
use crate::ended::Ended;

/// Computes the rows that a file wants, and writes them down.
pub(crate) fn rows(arguments: &RowArguments, out: &mut Vec<u8>) -> Result<(), Ended> {
    let table = Table::new(arguments.request.read()?.spec()?)?;
    let wanted = wanted(&arguments.wanted)?;
    for (place, at) in wanted {
        writeln!(out, "{}", show::row(&table, place, &table.row(place, at)?))?;
    }
    Ok(())
}

fn wanted(path: &Path) -> Result<Vec<(usize, Timestamp)>, Error> {
    let fault = |what: String| Error::Option {
        option: "--wanted",
        what,
        remedy: "give a file with lines like 0,2026-12-29T09:30:00Z".to_owned(),
    };
    let text = if path.as_os_str() == "-" {
        std::io::read_to_string(std::io::stdin())
    } else {
        texts::read(path)
    };
    let text = text.map_err(|error| fault(format!("{}: {error}", path.display())))?;
    text.lines()
        .enumerate()
        .map(|(index, line)| {
            let parsed = line.split_once(',').and_then(|(place, at)| {
                let at = read_instant(at, Some(&TimeZone::UTC)).ok()?;
                Some((place.trim().parse().ok()?, at))
            });
            parsed.ok_or_else(|| {
                fault(format!(
                    "{}:{}: cannot be read: \"{line}\"",
                    path.display(),
                    index + 1
                ))
            })
        })
        .collect()
}
