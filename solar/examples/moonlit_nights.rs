//! The moonlit hours of a winter: full enough, high enough, and from behind the camera.

use wrackline_solar::{
    AltitudeBand, LightBounds, Observer, Site, SkyCondition, SunAndMoon, moon_age_days,
};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let hide = Observer::new(Site {
        latitude_deg: 53.4,
        longitude_deg: 1.2,
        elevation_m: 3.0,
    })?;
    let winter = "2026-11-01T00:00:00Z".parse()?.."2027-03-01T00:00:00Z".parse()?;
    // Worked out once; any number of places may ask.
    let sky = SunAndMoon::new(winter.clone())?;
    let behind = LightBounds {
        altitude: AltitudeBand {
            lowest_deg: 20.0,
            highest_deg: 90.0,
        },
        bearing_deg: 330.0,
        least_side_deg: 0.0,
        greatest_side_deg: 60.0,
    };
    let night = AltitudeBand {
        lowest_deg: -90.0,
        highest_deg: -12.0,
    };
    for full in sky.moon_lit_above(0.9, winter)? {
        for dark in sky.sun().between(&hide, night, full)? {
            for good in sky.moon().light_within(&hide, behind, dark)? {
                let light = sky
                    .luminaries(&hide, good.start)?
                    .horizontal(SkyCondition::Clear);
                println!(
                    "{:.16} to {:.16}: {:.1} days old, {:.2} to {:.2} lx",
                    good.start.to_string(),
                    good.end.to_string(),
                    moon_age_days(good.start),
                    light.lowest_lx,
                    light.highest_lx,
                );
            }
        }
    }
    Ok(())
}
