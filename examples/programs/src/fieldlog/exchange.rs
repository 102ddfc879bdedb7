//! Entries from a file, and the log for other programs.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::Path;

use wrackline_files::texts;
use wrackline_log::{self as log, Columns, Error, Precision, join};
use wrackline_plan::coarse::Grid;

use crate::cli::Failure;
use crate::files;

use super::desk::Desk;
use super::options::{ExportFormat, ExportOptions, Table};

impl Desk<'_> {
    pub(crate) fn import(
        &self,
        file: &Path,
        format: Option<Table>,
        out: &mut Vec<u8>,
    ) -> Result<(), Failure> {
        let cannot = |error: io::Error| Failure::input(format!("{}: {error}", file.display()));
        let bytes = if file == Path::new("-") {
            texts::read_bytes(io::stdin().lock())
        } else {
            std::fs::File::open(file).and_then(texts::read_bytes)
        }
        .map_err(cannot)?;
        // What is no text at all is told by the import, with its line.
        let bytes = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
            texts::decoded(bytes).map_err(cannot)?.into_bytes()
        } else {
            bytes
        };
        let ending = file
            .extension()
            .map(|ending| ending.to_string_lossy().to_lowercase());
        let format = match (format, ending.as_deref()) {
            (Some(format), _) => format,
            (None, Some("jsonl" | "ndjson")) => Table::Jsonl,
            (None, Some("csv")) => Table::Csv,
            _ => {
                return Err(Failure::input(format!(
                    "{}: neither .csv nor .jsonl; say what it holds with --format",
                    file.display()
                )));
            }
        };
        let name = file.display().to_string();
        let entries = match format {
            Table::Csv => log::from_csv(&name, &bytes, &self.gate),
            Table::Jsonl => log::from_json_lines(&name, &bytes, &self.gate),
        }
        .map_err(Failure::input)?;
        let joined: Vec<_> = entries
            .into_iter()
            .map(|entry| self.joined(entry))
            .collect();
        let mut log = self.log_to_write()?;
        let added = log
            .add(&joined, &self.gate.zone)
            .map_err(|error| match error {
                Error::Input { problems, .. } => Failure::input(Error::Input {
                    source_name: name.clone(),
                    problems,
                }),
                other => other.into(),
            })?;
        writeln!(
            out,
            "{} entries added to {}, {} were there already.",
            added.new.len(),
            self.path.display(),
            added.known.len()
        )?;
        let undated = joined
            .iter()
            .filter(|(_, conditions)| conditions.is_none())
            .count();
        if undated > 0 {
            writeln!(
                out,
                "{undated} with the day alone: no conditions worked out for them."
            )?;
        }
        Ok(())
    }

    pub(crate) fn export(&self, options: &ExportOptions, out: &mut Vec<u8>) -> Result<(), Failure> {
        let records = self.log_to_read()?.records()?;
        let columns = if options.conditions {
            Columns::WithConditions
        } else {
            Columns::Noted
        };
        let mut bytes = Vec::new();
        match options.format {
            ExportFormat::Csv => log::to_csv(&records, columns, &mut bytes)?,
            ExportFormat::Jsonl => log::to_json_lines(&records, columns, &mut bytes)?,
            ExportFormat::DarwinCore => {
                let grid = Grid::new(options.grid)
                    .map_err(|error| Failure::input(format!("--grid: {error}")))?;
                let precision = if options.exact {
                    Precision::Exact
                } else {
                    Precision::Grid(grid)
                };
                let mut gazetteer = join::gazetteer(self.scenario);
                gazetteer.scientific_names = self.scientific_names(&options.scientific_name)?;
                let gaps = log::to_darwin_core(&records, &gazetteer, precision, &mut bytes)?;
                eprint!("{gaps}");
            }
        }
        if options.format != ExportFormat::DarwinCore {
            eprintln!(
                "This is the whole log, seats and notes included: for your own keeping. To pass \
                 sightings on, use --format darwin-core."
            );
        }
        match &options.out {
            Some(path) => files::replace_file(path, &bytes)?,
            None => out.extend(bytes),
        }
        Ok(())
    }

    fn scientific_names(&self, given: &[String]) -> Result<BTreeMap<String, String>, Failure> {
        given
            .iter()
            .map(|text| match text.split_once('=') {
                Some((id, name))
                    if self.scenario.subject(id).is_some() && !name.trim().is_empty() =>
                {
                    Ok((id.to_owned(), name.trim().to_owned()))
                }
                _ => Err(Failure::input(format!(
                    "--scientific-name: '{text}' is not a subject of the scenario, an equals sign \
                     and a name"
                ))),
            })
            .collect()
    }
}
