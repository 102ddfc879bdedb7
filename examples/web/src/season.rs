//! The season as a file, byte for byte as the program `season` writes it.

use wrackline_plan::scenario::Scenario;
use wrackline_plan::season::{Request, season};
use wrackline_show::report::{self, Format, Options, Order};

use crate::answer::Failure;
use crate::question::{SeasonFormat, Wanted};

pub(crate) fn file(
    scenario: &Scenario,
    wanted: &Wanted,
    format: SeasonFormat,
    count: usize,
    demo: bool,
) -> Result<String, Failure> {
    let request = Request {
        keep: count,
        keep_refused: matches!(format, SeasonFormat::Json),
        ..wanted.request()
    };
    let mut season = season(scenario, request).map_err(Failure::trouble)?;
    report::arrange(&mut season, count, false, Order::Rank);
    let format = match format {
        SeasonFormat::Text => Format::Text,
        SeasonFormat::Csv => Format::Csv,
        SeasonFormat::Json => Format::Json,
    };
    let mut options = Options::default();
    options.style.demo = demo;
    let mut out = Vec::new();
    report::write(&season, format, options, &mut out).map_err(Failure::trouble)?;
    String::from_utf8(out).map_err(Failure::trouble)
}
