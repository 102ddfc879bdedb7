//! Pictures that are taken already, from the ratings in a folder of them.

use std::collections::BTreeMap;
use std::path::PathBuf;

use clap::Args;
use wrackline_log::photos;
use wrackline_plan::scenario::{Scenario, Wanted};

use crate::cli::Failure;

/// Where the pictures lie, and which of them count.
#[derive(Args, Debug)]
pub(crate) struct Selects {
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
}

impl Selects {
    /// How many pictures that a keyword, or else the name of a folder, ties to a wanted picture are
    /// rated as selects, by its name; none without a folder.
    pub(crate) fn taken(
        &self,
        program: &str,
        scenario: &Scenario,
    ) -> Result<BTreeMap<String, u32>, Failure> {
        let mut taken = BTreeMap::new();
        let Some(folder) = &self.selects else {
            return Ok(taken);
        };
        let cannot =
            |error: std::io::Error| Failure::input(format!("{}: {error}", folder.display()));
        let found = photos::pictures_under(folder).map_err(cannot)?;
        let mut unreadable = 0;
        for path in &found.pictures {
            let Ok(head) = photos::read(path) else {
                unreadable += 1;
                continue;
            };
            if head.rating.is_none_or(|rating| rating < self.select_from) {
                continue;
            }
            let inside = path.strip_prefix(folder).unwrap_or(path);
            let folders = inside.parent().into_iter().flat_map(std::path::Path::iter);
            let folders: Vec<String> = folders.map(|name| name.to_string_lossy().into()).collect();
            // What is written in the picture goes before where it happens to lie.
            let named =
                wanted_in(scenario, &head.keywords).or_else(|| wanted_in(scenario, &folders));
            if let Some(wanted) = named {
                *taken.entry(wanted.picture.clone()).or_insert(0) += 1;
            }
        }
        if unreadable > 0 {
            eprintln!(
                "{program}: {unreadable} pictures without a head that can be read count as not taken"
            );
        }
        Ok(taken)
    }
}

/// The wanted picture that one of some words names; case does not matter.
fn wanted_in<'s>(scenario: &'s Scenario, words: &[String]) -> Option<&'s Wanted> {
    let words: Vec<String> = words.iter().map(|word| word.to_lowercase()).collect();
    let mut wanted = scenario.wanted().iter();
    wanted.find(|wanted| words.contains(&wanted.picture.to_lowercase()))
}
