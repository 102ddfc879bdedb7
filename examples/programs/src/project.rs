//! Allocates the visits of a season to the pictures that are wanted.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_log::photos;
use wrackline_plan::project::{Request, project};
use wrackline_plan::scenario::{Scenario, Wanted};
use wrackline_show::project::write;

use crate::asked::Destination;
use crate::cli::{self, Failure};
use crate::reader::Reader;
use crate::words::ProjectFormat;

/// Tells for every wanted picture what the coming season can bring, and which visits to make for
/// them.
///
/// Without arguments it takes an invented demo, from today for 90 days.
#[derive(Parser)]
#[command(name = "project", version)]
pub(crate) struct Arguments {
    /// Scenario file (TOML); the invented demo when left out
    scenario: Option<PathBuf>,
    /// First day, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    from: Option<Date>,
    /// Number of days
    #[arg(long, value_name = "N", default_value_t = 90)]
    days: u32,
    /// Visits left to make; those that the scenario plans less those of this season in the log when
    /// left out
    #[arg(long, value_name = "N")]
    visits: Option<u32>,
    /// Field log whose visits give the chances, and count; see `fieldlog`
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Folder of pictures: rated ones with a keyword (XMP), or in a folder, called like a wanted
    /// picture count as taken
    #[arg(long, value_name = "FOLDER")]
    selects: Option<PathBuf>,
    /// The least rating of a select, 1 to 5
    #[arg(
        long,
        value_name = "N",
        default_value_t = 3,
        value_parser = clap::value_parser!(i8).range(1..=5)
    )]
    select_from: i8,
    /// Time zone of dates (IANA name); the scenario's own when left out
    #[arg(long, value_name = "NAME")]
    zone: Option<String>,
    #[command(flatten)]
    reader: Reader,
    /// What to write
    #[arg(long, value_enum, default_value_t)]
    format: ProjectFormat,
    #[command(flatten)]
    destination: Destination,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("project", |out| {
        let scenario = cli::scenario_in(arguments.scenario.as_deref(), arguments.zone.as_deref())?;
        cli::warn("project", &scenario);
        let style = arguments.reader.style(arguments.scenario.is_none());
        let told = cli::experience(&scenario, arguments.log.as_deref())?;
        let taken = match &arguments.selects {
            Some(folder) => selects(&scenario, folder, arguments.select_from)?,
            None => BTreeMap::new(),
        };
        let request = Request {
            from: arguments.from.unwrap_or_else(|| cli::today(&scenario)),
            days: arguments.days,
            visits: arguments.visits,
            experience: told.as_ref(),
            taken: &taken,
        };
        let project = project(&scenario, request).map_err(Failure::input)?;
        cli::tell_of_demo("project", arguments.scenario.as_deref());
        let mut content = Vec::new();
        write(&project, arguments.format.into(), style, &mut content)?;
        arguments.destination.deliver(content, out)
    })
}

/// How many pictures that a keyword, or else the name of a folder, ties to a wanted picture are
/// rated as selects, by its name.
fn selects(
    scenario: &Scenario,
    folder: &Path,
    select_from: i8,
) -> Result<BTreeMap<String, u32>, Failure> {
    let cannot = |error: std::io::Error| Failure::input(format!("{}: {error}", folder.display()));
    let found = photos::pictures_under(folder).map_err(cannot)?;
    let mut taken = BTreeMap::new();
    let mut unreadable = 0;
    for path in &found.pictures {
        let Ok(head) = photos::read(path) else {
            unreadable += 1;
            continue;
        };
        if head.rating.is_none_or(|rating| rating < select_from) {
            continue;
        }
        let inside = path.strip_prefix(folder).unwrap_or(path);
        let folders = inside.parent().into_iter().flat_map(Path::iter);
        let folders: Vec<String> = folders.map(|name| name.to_string_lossy().into()).collect();
        // What is written in the picture goes before where it happens to lie.
        let named = wanted_in(scenario, &head.keywords).or_else(|| wanted_in(scenario, &folders));
        if let Some(wanted) = named {
            *taken.entry(wanted.picture.clone()).or_insert(0) += 1;
        }
    }
    if unreadable > 0 {
        eprintln!(
            "project: {unreadable} pictures without a head that can be read count as not taken"
        );
    }
    Ok(taken)
}

/// The wanted picture that one of some words names; case does not matter.
fn wanted_in<'s>(scenario: &'s Scenario, words: &[String]) -> Option<&'s Wanted> {
    let words: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let mut wanted = scenario.wanted().iter();
    wanted.find(|wanted| words.contains(&wanted.picture.to_lowercase()))
}
