//! A civil day at one place: sun and moon, and from which side the light comes.

use jiff::civil::date;
use jiff::tz::TimeZone;
use wrackline_solar::{Atmosphere, Observer, SideLimits, Site, Threshold};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    // The clock of the place, by its rule; with a database of zones it could be had by name.
    let zone = TimeZone::posix("GMT0BST,M3.5.0/1,M10.5.0")?;
    let midnight = date(2026, 12, 29).to_zoned_datetime(zone.clone())?;
    let day = midnight.timestamp()..midnight.tomorrow()?.timestamp();

    let hide = Observer::new(Site {
        latitude_deg: 53.4,
        longitude_deg: 1.2,
        elevation_m: 3.0,
    })?;
    println!("{}", midnight.date());
    for event in hide.sun_crossings(Threshold::SUNRISE, day.clone())?.events {
        let clock = event
            .at
            .to_zoned_datetime(zone.clone())
            .strftime("%H:%M")
            .to_string();
        println!(
            "  sun {:8} {clock} in {:3.0}°",
            event.direction, event.azimuth_deg
        );
    }
    let noon = hide.sun_highest(day.clone())?;
    let clock = noon
        .at
        .to_zoned_datetime(zone.clone())
        .strftime("%H:%M")
        .to_string();
    let place = hide.sun(noon.at);
    let height = place.refracted(&Atmosphere::STANDARD)?;
    println!("  highest      {clock} at {height:.1}°");

    println!("  towards the north-west:");
    for part in hide.sun_sides(315.0, &SideLimits::default(), Threshold::SUNRISE, day)? {
        let [from, to] = [part.stretch.start, part.stretch.end].map(|at| {
            at.to_zoned_datetime(zone.clone())
                .strftime("%H:%M")
                .to_string()
        });
        println!("    {from}-{to} {}", part.side);
    }
    Ok(())
}
