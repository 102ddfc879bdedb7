//! When the sun clears a wood before the hide, and when it comes near the view: minutes that no
//! horizon line tells.

use wrackline_solar::{
    Aim, Atmosphere, Limb, Observer, SUN_CAUTION, Site, Skyline, SkylinePoint, SunInView, Threshold,
};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let hide = Observer::new(Site {
        latitude_deg: 53.4,
        longitude_deg: 1.2,
        elevation_m: 3.0,
    })?;
    let day = "2026-12-29T00:00:00Z".parse()?.."2026-12-30T00:00:00Z".parse()?;
    let air = Atmosphere::STANDARD;
    let point = |azimuth_deg, altitude_deg| SkylinePoint {
        azimuth_deg,
        altitude_deg,
    };
    let wood = Skyline::new(&[
        point(90.0, 0.3),
        point(120.0, 5.0),
        point(150.0, 4.0),
        point(155.0, 0.3),
    ])?;
    for event in hide.sun_crossings(Threshold::SUNRISE, day.clone())?.events {
        println!("sun {} {:.16}", event.direction, event.at.to_string());
    }
    for lit in hide.sun_above_skyline(&wood, Limb::Centre, &air, day.clone())? {
        println!(
            "lit {:.16} to {:.16}",
            lit.start.to_string(),
            lit.end.to_string()
        );
    }
    let south = Aim {
        bearing_deg: 190.0,
        elevation_deg: 2.0,
        half_diagonal_deg: 2.1,
    };
    for near in hide.sun_near_view(south, SunInView::NEAR_DEG, &air, day)? {
        println!(
            "near {:.16} to {:.16}",
            near.start.to_string(),
            near.end.to_string()
        );
        println!("{SUN_CAUTION}");
    }
    Ok(())
}
