//! Prints when an animal is present at a place, from what others have recorded.

mod told;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use wrackline_gather::presence::{Question, SAMPLE, SAMPLE_AT, Source, presence};
use wrackline_plan::scenario::{Place, Scenario, Subject};
use wrackline_programs::cli::{self, Failure};
use wrackline_programs::files;
use wrackline_programs::reader::Reader;

use told::{About, Format, write};

/// When an animal is present at a place: occurrence records in Darwin Core become the share of
/// visits with the animal in each half-month, and the `present` of a scenario.
///
/// The records of all animals are needed, since whoever noted others and not this one looked for it
/// in vain. Where visits are few the answer is "unknown", never "absent". Without a file it shows
/// invented records.
#[derive(Parser)]
#[command(name = "presence", version)]
pub(crate) struct Arguments {
    /// Records (CSV, TSV, or an archive zip with meta.xml), of all animals; the invented demo when
    /// left out
    records: Vec<PathBuf>,
    /// Scenario that has the place and the animal
    #[arg(long, value_name = "FILE", requires = "records")]
    scenario: Option<PathBuf>,
    /// The place in the scenario, by its id
    #[arg(long, value_name = "ID", requires = "scenario")]
    place: Option<String>,
    /// The animal in the scenario, by its id; its name there is looked for unless --name is given
    #[arg(long, value_name = "ID", requires = "scenario")]
    subject: Option<String>,
    /// The place without a scenario: latitude and longitude in degrees, as 53.4,-1.2
    #[arg(
        long,
        value_name = "LAT,LON",
        value_parser = position,
        allow_hyphen_values = true,
        conflicts_with = "place"
    )]
    at: Option<[f64; 2]>,
    /// Scientific or vernacular name of the animal as the records have it; may be repeated
    #[arg(long, value_name = "NAME", requires = "records")]
    name: Vec<String>,
    /// Records within this distance count
    #[arg(long, value_name = "KM", default_value_t = 10.0)]
    radius: f64,
    /// Leave out records whose position is less certain; the radius when left out
    #[arg(long, value_name = "M")]
    coarsest: Option<f64>,
    /// Leave out records before this day
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    since: Option<Date>,
    /// Kinds of animals that a visit must tell of to be a list of what was there
    #[arg(long, value_name = "N", default_value_t = 2)]
    shortest_list: usize,
    /// Visits that a half-month needs; with fewer nothing is said of it
    #[arg(long, value_name = "N", default_value_t = 5)]
    fewest_visits: u32,
    /// Present from this part of the share that the best half-month has
    #[arg(long, value_name = "PART", default_value_t = 0.1)]
    threshold: f64,
    /// Leave out records that cannot be read, and count them, instead of refusing them all
    #[arg(long)]
    skip_unreadable: bool,
    /// Give the position of the place to the metre, and not as a cell of a tenth of a degree
    #[arg(long)]
    exact: bool,
    #[command(flatten)]
    reader: Reader,
    /// What to write; told by the ending of the file's name when left out, and else text
    #[arg(long, value_enum)]
    format: Option<Format>,
    /// Write to a file, which is replaced whole, instead of the standard output
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
}

/// A position as it is typed.
fn position(text: &str) -> Result<[f64; 2], String> {
    let expected = "give latitude and longitude in degrees, as 53.4,-1.2";
    let (latitude, longitude) = text.split_once(',').ok_or(expected)?;
    let degrees = |text: &str, most: f64| {
        let read = text
            .trim()
            .parse()
            .ok()
            .filter(|deg: &f64| deg.abs() <= most);
        read.ok_or_else(|| expected.to_owned())
    };
    Ok([degrees(latitude, 90.0)?, degrees(longitude, 180.0)?])
}

impl Format {
    fn of_file(path: &std::path::Path) -> Option<Self> {
        Some(
            match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
                "txt" => Self::Text,
                "csv" => Self::Csv,
                "json" => Self::Json,
                "toml" => Self::Toml,
                "svg" => Self::Svg,
                _ => return None,
            },
        )
    }
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("presence", |out| {
        let demo = arguments.records.is_empty();
        if demo {
            eprintln!("presence: no records given: these are the invented ones of the demo");
        }
        let scenario = arguments.scenario.as_deref();
        let scenario = scenario.map(|path| cli::scenario(Some(path))).transpose()?;
        let (place, subject) = of_scenario(&arguments, scenario.as_ref())?;
        let at = match (place, arguments.at) {
            (Some(place), _) => [place.latitude_deg, place.longitude_deg],
            (None, Some(at)) => at,
            (None, None) if demo => SAMPLE_AT,
            (None, None) => {
                return Err(Failure::input(
                    "no place is named; give --at LAT,LON, or --scenario FILE --place ID",
                ));
            }
        };
        let names = match (arguments.name.as_slice(), subject) {
            ([], Some(subject)) => vec![subject.name.clone()],
            ([], None) if demo => vec!["Slate Knotling".to_owned()],
            // Blanks of any kind between words, so that a name stays one line wherever it is shown.
            (names, _) => {
                let one_line =
                    |name: &String| name.split_whitespace().collect::<Vec<_>>().join(" ");
                names.iter().map(one_line).collect()
            }
        };
        let question = Question {
            radius_km: arguments.radius,
            coarsest_m: arguments.coarsest.unwrap_or(arguments.radius * 1_000.0),
            since: arguments.since,
            shortest_list: arguments.shortest_list,
            fewest_visits: arguments.fewest_visits,
            threshold: arguments.threshold,
            skip_unreadable: arguments.skip_unreadable,
            ..Question::new(at[0], at[1], names)
        };
        let sources = arguments.records.iter().map(|path| Source::open(path));
        let sample = demo.then(|| Ok(Source::of_bytes("sightings.csv", SAMPLE)));
        let told = presence(&question, sources.chain(sample)).map_err(Failure::input)?;
        let name = question.names.join(", ");
        let about = About {
            animal: subject.map_or(name.as_str(), |subject| &subject.name),
            subject: subject.map(|subject| subject.id.as_str()),
            place: place.map_or("the place", |place| &place.name),
            place_id: place.map(|place| place.id.as_str()),
            exact: arguments.exact,
            demo,
        };
        let of_file = || arguments.output.as_deref().and_then(Format::of_file);
        let format = arguments.format.or_else(of_file).unwrap_or_default();
        let mut content = Vec::new();
        write(
            &told,
            about,
            format,
            arguments.reader.style(demo),
            &mut content,
        )?;
        match &arguments.output {
            Some(path) => files::replace_file(path, &content)?,
            None => *out = content,
        }
        Ok(())
    })
}

/// The place and the animal that were named of a scenario.
fn of_scenario<'s>(
    arguments: &Arguments,
    scenario: Option<&'s Scenario>,
) -> Result<(Option<&'s Place>, Option<&'s Subject>), Failure> {
    let Some(scenario) = scenario else {
        return Ok((None, None));
    };
    let place = arguments
        .place
        .as_deref()
        .map(|id| scenario.place_asked(id));
    let subject = arguments
        .subject
        .as_deref()
        .map(|id| scenario.subject_asked(id));
    Ok((
        place.transpose().map_err(Failure::input)?,
        subject.transpose().map_err(Failure::input)?,
    ))
}
