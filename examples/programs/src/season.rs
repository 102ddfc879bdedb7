//! Ranks the outing windows of the coming season.

use std::collections::BTreeMap;
use std::io::Write;
use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_plan::project::{self, Project};
use wrackline_plan::scenario::{Problems, SCHEMA, Scenario};
use wrackline_plan::season::{Request, Season, season, season_with_progress};
use wrackline_show::maps::Positions;
use wrackline_show::report::{self, Style};
use wrackline_show::season_page::{self, Contents};
use wrackline_show::{warnings, weather};

use crate::asked::{Destination, Seen, Source, Week, Wish};
use crate::cli::{self, Failure};
use crate::reader::Reader;
use crate::selects::Selects;
use crate::words::{Order, SeasonFormat, SeasonWriter};

/// Ranks the outing windows of the coming season: light, tide, access, closures and framing joined.
///
/// Without arguments it shows an invented demo, from today for 90 days.
#[derive(Parser)]
#[command(name = "season", version)]
#[command(mut_arg("light", |arg| arg.help(
    "Kind of light, by its name in the scenario; the first one there when left out. A page takes \
     \"all\" as well"
)))]
#[command(mut_arg("selects", |arg| arg.help(
    "For a page: folder of pictures, of which rated ones with a keyword (XMP), or in a folder, \
     called like a wanted picture count as taken"
)))]
#[command(mut_arg("log", |arg| arg.help(
    "Field log whose visits weigh the chances, keep distances and rest places; see `fieldlog`"
)))]
pub(crate) struct Arguments {
    /// First day, as YYYY-MM-DD; today when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    from: Option<Date>,
    /// Number of days
    #[arg(long, value_name = "N", default_value_t = 90)]
    days: u32,
    /// One place only, by its id
    #[arg(long, value_name = "ID")]
    place: Option<String>,
    #[command(flatten)]
    wish: Wish,
    /// Tell of one day what removed which part of it, seat by seat
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    why: Option<Date>,
    #[command(flatten)]
    source: Source,
    #[command(flatten)]
    seen: Seen,
    #[command(flatten)]
    week: Week,
    /// How many windows to show, best first; in a page, which shows them all, how many have their
    /// card there
    #[arg(long, value_name = "N", default_value_t = 15)]
    count: usize,
    /// In which order to show them
    #[arg(long, value_enum, default_value_t)]
    order: Order,
    /// At most one window a place and calendar week
    #[arg(long)]
    spread: bool,
    /// In calendars, minutes from the first alarm to leaving home, or to setting out where the way
    /// from home is not known
    #[arg(
        long,
        value_name = "MIN",
        default_value_t = 30,
        value_parser = clap::value_parser!(u16).range(0..=1440)
    )]
    alarm: u16,
    #[command(flatten)]
    reader: Reader,
    /// What to write; told by the ending of the file's name when left out, and else text
    #[arg(long, value_enum)]
    format: Option<SeasonFormat>,
    #[command(flatten)]
    destination: Destination,
    #[command(flatten)]
    selects: Selects,
    /// In maps, give the exact positions also of places marked as sensitive
    #[arg(long)]
    exact: bool,
    /// Check the scenario and say so, with what is implausible in it, without computing anything
    #[arg(long)]
    check: bool,
    /// Take what is implausible in the scenario for an error
    #[arg(long)]
    strict: bool,
    /// Print the JSON Schema of a scenario file, for editors
    #[arg(long)]
    schema: bool,
}

/// Asks a page for every light of the scenario.
const EVERY_LIGHT: &str = "all";

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("season", |out| {
        if arguments.schema {
            out.extend_from_slice(SCHEMA.as_bytes());
            return Ok(());
        }
        let scenario = arguments.week.scenario(&arguments.source)?;
        let warnings = scenario.warnings();
        if arguments.strict
            && let Some(problems) = Problems::collect(warnings.to_vec())
        {
            return Err(problems.into());
        }
        let style = arguments.reader.style(arguments.source.is_demo());
        if arguments.check {
            warnings::write(warnings, out)?;
            writeln!(
                out,
                "{}: no problem found, {}; {} places, {} seats, {} subjects, {} closures, {} kits",
                scenario.title(),
                match warnings.len() {
                    0 => "no warning".to_owned(),
                    1 => "1 warning".to_owned(),
                    many => format!("{many} warnings"),
                },
                scenario.places().len(),
                scenario.seats().len(),
                scenario.subjects().len(),
                scenario.closures().len(),
                scenario.kits().len(),
            )?;
            return Ok(());
        }
        let mut written = Vec::new();
        write(&arguments, &scenario, style, &mut written)?;
        arguments.destination.deliver(written, out)
    })
}

/// Computes what was asked for, and writes it as was asked.
fn write(
    arguments: &Arguments,
    scenario: &Scenario,
    style: Style,
    out: &mut Vec<u8>,
) -> Result<(), Failure> {
    let format = arguments.format.or_else(|| {
        let path = arguments.destination.file();
        path.and_then(SeasonFormat::of_file)
    });
    let format = format.unwrap_or_default();
    // In these they are part of the answer; the other formats have no room for them.
    let told_there = matches!(
        format,
        SeasonFormat::Text | SeasonFormat::Json | SeasonFormat::Html | SeasonFormat::Svg
    );
    if arguments.why.is_none() && !told_there {
        cli::warn("season", scenario);
    }
    let writer = format.writer();
    let drawn = !matches!(writer, SeasonWriter::Report(_));
    let from = arguments.from.unwrap_or_else(|| cli::today(scenario));
    let told = arguments
        .source
        .experience_with(scenario, &arguments.seen)?;
    let request = Request {
        experience: told.as_ref(),
        place: arguments.place.as_deref(),
        subject: arguments.wish.subject.as_deref(),
        light: arguments.wish.light.as_deref(),
        phase: arguments.wish.tide.into(),
        // Which of them is the one of its week is known when all are ranked.
        keep: if drawn || arguments.spread {
            usize::MAX
        } else {
            arguments.count
        },
        keep_refused: drawn || arguments.why.is_some() || format == SeasonFormat::Json,
        ..Request::new(from, arguments.days)
    };
    if let Some(day) = arguments.why {
        let request = Request {
            keep: usize::MAX,
            from: day,
            days: 1,
            ..request
        };
        let season = season(scenario, request).map_err(Failure::input)?;
        arguments.source.tell_of_demo("season");
        for line in weather::remarks(scenario) {
            eprintln!("season: {line}");
        }
        report::why(&season, style, out)?;
        return Ok(());
    }
    arguments.source.tell_of_demo("season");
    match writer {
        SeasonWriter::Report(format) => {
            let positions = if arguments.exact {
                Positions::Exact
            } else {
                Positions::Coarse
            };
            let mut season = computed(scenario, request)?;
            let order = arguments.order.into();
            report::arrange(&mut season, arguments.count, arguments.spread, order);
            let options = report::Options {
                positions,
                alarm_minutes: f64::from(arguments.alarm),
                style,
            };
            report::write(&season, format, options, out)?;
        }
        SeasonWriter::Page => {
            let every = arguments.wish.light.as_deref() == Some(EVERY_LIGHT);
            let seasons = if every {
                let lights = scenario.lights().iter();
                let names = lights.map(|light| Some(light.name.as_str()));
                names
                    .map(|light| computed(scenario, Request { light, ..request }))
                    .collect::<Result<Vec<_>, _>>()?
            } else {
                vec![computed(scenario, request)?]
            };
            let wanted = of_project(
                scenario,
                request,
                &arguments.selects.taken("season", scenario)?,
            )?;
            let contents = Contents {
                seasons: &seasons,
                experience: told.as_ref(),
                cards: arguments.count,
                project: wanted.as_ref(),
                demo: arguments.source.is_demo(),
            };
            let page = season_page::page(&contents).map_err(Failure::input)?;
            out.extend_from_slice(page.as_bytes());
        }
        SeasonWriter::Wall => {
            let season = computed(scenario, request)?;
            let wall = season_page::wall(&season, told.as_ref()).map_err(Failure::input)?;
            out.extend_from_slice(wall.as_bytes());
        }
    }
    Ok(())
}

/// What the season holds for the wanted pictures; none where none is wanted.
fn of_project<'s>(
    scenario: &'s Scenario,
    request: Request<'_>,
    taken: &BTreeMap<String, u32>,
) -> Result<Option<Project<'s>>, Failure> {
    if scenario.wanted().is_empty() {
        return Ok(None);
    }
    let asked = project::Request {
        from: request.from,
        days: request.days,
        visits: None,
        experience: request.experience,
        taken,
    };
    let project = project::project(scenario, asked);
    project.map(Some).map_err(Failure::input)
}

/// The season, with a bar on a terminal while it is computed.
fn computed<'s>(scenario: &'s Scenario, request: Request<'_>) -> Result<Season<'s>, Failure> {
    let bar = cli::progress_bar();
    let season = season_with_progress(scenario, request, &|done, all| {
        bar.set_length(all as u64);
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    season.map_err(Failure::input)
}
