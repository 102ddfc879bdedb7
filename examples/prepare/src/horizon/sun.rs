//! The skyline with the paths of the sun, ready to be drawn.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use wrackline_programs::cli::Failure;
use wrackline_show::panorama::{Panorama, SunPath};
use wrackline_solar::{Atmosphere, Observer, Season, Site, seasons};

use super::told::Told;

/// Minutes from point to point of a path: half a degree of the sky.
const STEP_MINUTES: i64 = 2;
/// Lines of sight to a point of the drawing, which takes the highest of them: a quarter of a degree.
const RAYS_A_POINT: usize = 5;

/// The picture's content for a day and the solstices and the equinox of its year.
pub(super) fn panorama(told: &Told<'_>, day: Date) -> Result<Panorama, Failure> {
    let [latitude_deg, longitude_deg] = told.place.position_deg;
    let observer = Observer::new(Site {
        latitude_deg,
        longitude_deg,
        elevation_m: 0.0,
    });
    let observer = observer.map_err(Failure::input)?;
    let zone = &told.place.zone;
    let mut days = of_the_year(day, zone)?;
    let name = format!("{}", day.strftime("%-d %b %Y"));
    days.push((name, day, true));
    let paths = days.into_iter().map(|(name, day, strong)| {
        Ok(SunPath {
            name,
            strong,
            points: path(&observer, start(day, zone)?)?,
        })
    });
    Ok(Panorama {
        title: format!("Skyline of {}", told.place.name),
        below: told.seen_how(),
        skyline: told
            .around
            .rays()
            .chunks(RAYS_A_POINT)
            .filter_map(|rays| {
                let seen = rays.iter().filter_map(|ray| ray.obstacle);
                let altitude = seen.map(|o| o.altitude_deg).reduce(f64::max)?;
                Some([rays[rays.len() / 2].azimuth_deg, altitude])
            })
            .collect(),
        unknown: told
            .gaps
            .iter()
            .map(|gap| [gap.from_deg - 0.5, gap.to_deg + 0.5].map(|deg| deg.rem_euclid(360.0)))
            .collect(),
        view: told
            .place
            .bearing_deg
            .map(|bearing| (bearing, format!("view on {bearing:.0}\u{b0}"))),
        paths: paths.collect::<Result<_, Failure>>()?,
        southern: latitude_deg < 0.0,
    })
}

fn start(day: Date, zone: &TimeZone) -> Result<Timestamp, Failure> {
    let midnight = day
        .to_zoned_datetime(zone.clone())
        .map_err(Failure::input)?;
    Ok(midnight.timestamp())
}

/// The solstices and the first equinox of a day's year.
fn of_the_year(day: Date, zone: &TimeZone) -> Result<Vec<(String, Date, bool)>, Failure> {
    let first = start(day.first_of_year(), zone)?;
    let last = start(day.last_of_year(), zone)?;
    let turns = seasons(first..last).map_err(Failure::input)?;
    let named = turns.iter().filter_map(|turn| {
        let name = match turn.season {
            Season::MarchEquinox => "equinox",
            Season::JuneSolstice => "June solstice",
            Season::DecemberSolstice => "December solstice",
            _ => return None,
        };
        let date = turn.at.to_zoned_datetime(zone.clone()).date();
        Some((name.to_owned(), date, false))
    });
    Ok(named.collect())
}

/// Azimuth and apparent altitude of the sun over a day.
fn path(observer: &Observer, from: Timestamp) -> Result<Vec<[f64; 2]>, Failure> {
    let air = Atmosphere::STANDARD;
    let mut points = Vec::new();
    for step in 0..=24 * 60 / STEP_MINUTES {
        let after = SignedDuration::from_mins(step * STEP_MINUTES);
        let at = from.checked_add(after).map_err(Failure::input)?;
        let sun = observer.sun(at);
        let altitude = sun.refracted(&air).map_err(Failure::input)?;
        points.push([sun.azimuth_deg, altitude]);
    }
    Ok(points)
}
