//! Whether a log is whole, and what can be saved when it is not.

use std::io::Write;
use std::path::Path;

use wrackline_log::{self as log, Columns, Log};

use super::desk::Desk;
use crate::cli::Failure;

impl Desk<'_> {
    pub(crate) fn verify(&self, out: &mut Vec<u8>) -> Result<(), Failure> {
        // Opening holds every revision against its seal.
        let log = Log::read(self.path)?;
        writeln!(
            out,
            "{} is whole: {} entries in {} revisions.",
            self.path.display(),
            log.len()?,
            log.revisions()?
        )?;
        if let Some(layout) = log.older_layout() {
            writeln!(
                out,
                "It has layout {layout}, which does not tell whether an entry is as it was \
                 written; \
                 the next entry brings it to layout {}, which does.",
                log::LAYOUT
            )?;
        }
        Ok(())
    }

    pub(crate) fn salvage(&self, into: &Path, out: &mut Vec<u8>) -> Result<(), Failure> {
        let mut found = log::salvage(self.path)?;
        let whole = found.whole.len();
        let mut saved = std::mem::take(&mut found.whole);
        saved.extend(found.unsealed.iter().cloned());
        log::rebuild(into, &saved)?;
        writeln!(
            out,
            "{whole} revisions are as they were written, and are saved in {}.",
            into.display()
        )?;
        if !found.unsealed.is_empty() {
            writeln!(
                out,
                "{} more are saved whose seals are lost; look at them:",
                found.unsealed.len()
            )?;
            for record in &found.unsealed {
                writeln!(out, "  {}, revision {}", record.entry.id, record.revision)?;
            }
        }
        if !found.changed.is_empty() {
            writeln!(
                out,
                "{} are not saved, since they read otherwise than they were written:",
                found.changed.len()
            )?;
            log::to_json_lines(&found.changed, Columns::Noted, &mut *out)?;
        }
        if !found.lost.is_empty() {
            writeln!(out, "{} cannot be read:", found.lost.len())?;
            for (id, revision) in &found.lost {
                writeln!(out, "  {id}, revision {revision}")?;
            }
        }
        Ok(())
    }
}
