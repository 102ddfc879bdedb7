//! Tells the skyline around a seat from elevation data.

mod sun;
mod told;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use wrackline_gather::terrain::{Elevation, Eye, SITTING_EYE_M, USUAL_REFRACTION, View, Wanted};
use wrackline_programs::asked::Destination;
use wrackline_programs::cli::{self, Failure};
use wrackline_show::panorama::picture;

use self::told::Told;

/// Tells the skyline around a seat from elevation data: how high the terrain stands at each bearing,
/// what stands there and how far away, and the `horizon_deg` of the seat for the scenario.
///
/// Data are GeoTIFF (in degrees or transverse Mercator, on WGS84 or ETRS89) and the grids of the
/// shuttle radar mission (.hgt), several files or whole folders. What they do not cover is unknown,
/// and told so; it is never taken for open.
#[derive(Parser)]
#[command(name = "horizon", version)]
pub(crate) struct Arguments {
    /// Scenario file (TOML) that has the seat; the invented demo when left out
    scenario: Option<PathBuf>,
    /// Seat, by its id
    #[arg(long, value_name = "ID", required_unless_present = "latitude")]
    seat: Option<String>,
    /// Position instead of a seat, degrees north
    #[arg(
        long,
        value_name = "DEG",
        requires = "longitude",
        conflicts_with_all = ["seat", "scenario"],
        allow_negative_numbers = true
    )]
    latitude: Option<f64>,
    /// Position instead of a seat, degrees east
    #[arg(
        long,
        value_name = "DEG",
        requires = "latitude",
        allow_negative_numbers = true
    )]
    longitude: Option<f64>,
    /// Elevation files, and folders of them
    #[arg(long, value_name = "PATH", required = true, num_args = 1..)]
    elevation: Vec<PathBuf>,
    /// How far to look, kilometres
    #[arg(long, value_name = "KM", default_value_t = 30.0)]
    range: f64,
    /// Height of the eye over the ground, metres
    #[arg(
        long,
        value_name = "M",
        default_value_t = SITTING_EYE_M,
        allow_negative_numbers = true
    )]
    eye_height: f64,
    /// Height of the ground at the seat in the heights of the data, metres; theirs when left out
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    ground_height: Option<f64>,
    /// Share of the Earth's curvature that the bending of light makes up for
    #[arg(
        long,
        value_name = "K",
        default_value_t = USUAL_REFRACTION,
        allow_negative_numbers = true
    )]
    refraction: f64,
    /// Height that voids of the data stand for, metres, such as 0 where they leave out the sea;
    /// unknown when left out
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    voids: Option<f64>,
    /// Write `horizon_deg` although some bearings are known only so far, and name them
    #[arg(long)]
    partial: bool,
    /// Degrees from one bearing to the next, a divisor of 360; 10 in text and 1 elsewhere when left
    /// out. Each is the highest of its sector
    #[arg(long, value_name = "DEG", value_parser = step)]
    step: Option<usize>,
    /// Day whose sun the picture shows beside the solstices and the equinox, as YYYY-MM-DD; today
    /// when left out
    #[arg(long, value_name = "DATE", value_parser = cli::day)]
    date: Option<Date>,
    /// What to write; told by the ending of the file's name when left out, and else text
    #[arg(long, value_enum)]
    format: Option<Format>,
    #[command(flatten)]
    destination: Destination,
}

/// How a skyline is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// Aligned text for people, with the lines for the scenario.
    Text,
    /// One row for each bearing (RFC 4180), column names with units.
    Csv,
    /// One object.
    Json,
    /// The lines for the seat's table in the scenario.
    Toml,
    /// A picture with the paths of the sun.
    Svg,
}

impl Format {
    fn of(arguments: &Arguments) -> Self {
        let by_name = || {
            let ending = arguments.destination.file()?.extension()?;
            Some(match ending.to_str()?.to_ascii_lowercase().as_str() {
                "csv" => Self::Csv,
                "json" => Self::Json,
                "toml" => Self::Toml,
                "svg" => Self::Svg,
                _ => Self::Text,
            })
        };
        arguments.format.or_else(by_name).unwrap_or(Self::Text)
    }
}

fn step(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(step) if step > 0 && 360 % step == 0 => Ok(step),
        _ => Err("give a whole number of degrees that divides 360, such as 1, 5 or 15".to_owned()),
    }
}

/// Where somebody looks around, and what is known of it.
#[derive(Debug)]
struct Place {
    name: String,
    position_deg: [f64; 2],
    /// Bearing of the view.
    bearing_deg: Option<f64>,
    zone: TimeZone,
    is_demo: bool,
}

impl Place {
    fn of(arguments: &Arguments) -> Result<Self, Failure> {
        if let (Some(latitude), Some(longitude)) = (arguments.latitude, arguments.longitude) {
            return Ok(Self {
                name: "the position".to_owned(),
                position_deg: [latitude, longitude],
                bearing_deg: None,
                zone: TimeZone::UTC,
                is_demo: false,
            });
        }
        let path = arguments.scenario.as_deref();
        let scenario = cli::scenario_in(path, None)?;
        let id = arguments.seat.as_deref().unwrap_or_default();
        let seat = scenario.seat_asked(id).map_err(Failure::input)?;
        Ok(Self {
            name: format!("seat {} {}", seat.id, seat.name),
            position_deg: [seat.latitude_deg, seat.longitude_deg],
            bearing_deg: Some(seat.bearing_deg),
            zone: scenario.zone().clone(),
            is_demo: path.is_none(),
        })
    }
}

/// Runs the program.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    cli::run("horizon", |out| {
        let place = Place::of(&arguments)?;
        let wanted = Wanted {
            latitude_deg: place.position_deg[0],
            longitude_deg: place.position_deg[1],
            range_m: arguments.range * 1_000.0,
            voids_m: arguments.voids,
        };
        let eye = Eye {
            over_ground_m: arguments.eye_height,
            ground_m: arguments.ground_height,
            refraction: arguments.refraction,
        };
        let elevation = Elevation::open(wanted, &arguments.elevation).map_err(Failure::input)?;
        let view = View::new(&elevation, eye).map_err(Failure::input)?;
        let told = Told::new(&place, &elevation, &view, eye, arguments.partial);
        let format = Format::of(&arguments);
        let fine = arguments.step.unwrap_or(1);
        let content = match format {
            Format::Text => told.text(arguments.step.unwrap_or(10)).into_bytes(),
            Format::Csv => told.csv(fine)?,
            Format::Json => told.json(fine)?,
            Format::Toml => told.toml().map_err(Failure::Input)?.into_bytes(),
            Format::Svg => {
                let day = arguments.date.unwrap_or_else(|| today(&place.zone));
                picture(&sun::panorama(&told, day)?).into_bytes()
            }
        };
        if place.is_demo {
            cli::tell_of_demo("horizon", None);
        }
        arguments.destination.deliver(content, out)
    })
}

fn today(zone: &TimeZone) -> Date {
    jiff::Timestamp::now()
        .to_zoned_datetime(zone.clone())
        .date()
}
