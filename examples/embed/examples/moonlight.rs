//! One night by moonlight: how full the moon is, when it stands over the wood, and how much light
//! it gives by the hour: `cargo run -p wrackline-embed --example moonlight`.

use wrackline_solar::jiff::SignedDuration;
use wrackline_solar::{
    Atmosphere, Grid, Horizontal, Limb, LitMoon, Observer, Site, SkyCondition, Skyline,
    SkylinePoint, SunAndMoon, fill_level_lx, moon_age_days,
};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let hide = Observer::new(Site {
        latitude_deg: 53.4,
        longitude_deg: 1.2,
        elevation_m: 3.0,
    })?;
    // What stands around the hide, as seen from it: a wood in the east, else a low bank.
    let points = [(45.0, 0.5), (55.0, 9.0), (110.0, 9.0), (120.0, 0.5)];
    let around = Skyline::new(&points.map(|(azimuth_deg, altitude_deg)| SkylinePoint {
        azimuth_deg,
        altitude_deg,
    }))?;

    // Sun and moon are prepared once for the night; any number of places may ask.
    let night = "2026-11-24T16:00:00Z".parse()?.."2026-11-25T08:00:00Z".parse()?;
    let sky = SunAndMoon::new(night.clone())?;
    println!(
        "the moon is {:.1} days old and {:.0} % lit",
        moon_age_days(night.start),
        100.0 * sky.lit_fraction(night.start)?
    );
    let air = Atmosphere::STANDARD;
    for seen in sky
        .moon()
        .above_skyline(&hide, &around, Limb::Upper, &air, night.clone())?
    {
        println!(
            "over wood and bank from {:.16} to {:.16}",
            seen.start.to_string(),
            seen.end.to_string()
        );
    }

    let hours = Grid::new(night.start, SignedDuration::from_hours(1), 17)?;
    let (mut suns, mut moons) = ([Horizontal::default(); 17], [LitMoon::default(); 17]);
    let mut lux = [0.0; 17];
    sky.sun().fill_places(&hide, &hours, &mut suns)?;
    sky.fill_moons(&hide, &hours, &mut moons)?;
    fill_level_lx(&suns, &moons, SkyCondition::Clear, &mut lux)?;
    println!("hour (UTC)        sun  moon  light, clear sky");
    for (i, at) in hours.instants().enumerate() {
        println!(
            "{:.16}  {:4.0}° {:4.0}°  {:.3} lx",
            at.to_string(),
            suns[i].altitude_deg,
            moons[i].altitude_deg,
            lux[i]
        );
    }
    Ok(())
}
