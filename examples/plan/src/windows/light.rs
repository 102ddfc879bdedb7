//! When the sun stands in the wanted band of altitude and on the wanted side of a view.

use jiff::Timestamp;
use wrackline_solar::{
    Aim, AltitudeBand, Atmosphere, AzimuthBand, LightSide, Limb, Observer, SideLimits, SunInView,
    View, shadow_line_angle_deg,
};

use crate::scenario::{Light, MoonWanted, Seat};
use crate::time::{Stretch, Stretches, minutes, shifted};

/// The sun over one view at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunOverView {
    /// When.
    pub at: Timestamp,
    /// Airless altitude of the sun's centre, degrees.
    pub altitude_deg: f64,
    /// Azimuth, degrees clockwise from true north.
    pub azimuth_deg: f64,
    /// Angle between the shadow line and the view, degrees: 0 is front light, 180 is into the sun.
    pub angle_deg: f64,
    /// The class of that angle.
    pub side: LightSide,
    /// Whether it stands in or near the field of a long lens held level.
    pub in_view: SunInView,
}

/// The sun over a seat's view.
pub fn sun_over(seat: &Seat, at: Timestamp) -> SunOverView {
    let sun = seat.observer.sun(at);
    let angle_deg = shadow_line_angle_deg(View {
        sun_azimuth_deg: sun.azimuth_deg,
        bearing_deg: seat.bearing_deg,
    });
    // Half the diagonal of a 200 mm lens on a 36 mm sensor: no longer lens sees more.
    let aim = Aim {
        bearing_deg: seat.bearing_deg,
        elevation_deg: 0.0,
        half_diagonal_deg: 6.0,
    };
    SunOverView {
        at,
        altitude_deg: sun.altitude_deg,
        azimuth_deg: sun.azimuth_deg,
        angle_deg,
        side: SideLimits::default().side(angle_deg),
        in_view: SunInView::judge(&sun, aim, SunInView::NEAR_DEG, &Atmosphere::STANDARD),
    }
}

/// The trade's name for a side of the light.
pub fn side_name(side: LightSide) -> &'static str {
    match side {
        LightSide::Front => "front",
        LightSide::Shoulder => "over the shoulder",
        LightSide::Side => "side",
        LightSide::Rim => "rim",
        LightSide::IntoTheSun => "into the sun",
    }
}

/// The conditions that make up a wanted light, apart, so that it can be told which of them removed what.
pub(super) struct LightTimes {
    /// Each condition's name and the stretches in which it holds.
    pub(super) parts: Vec<(&'static str, Stretches)>,
    /// Where all hold.
    pub(super) all: Stretches,
}

impl LightTimes {
    /// All stretches of a span in which a seat's view has the wanted light.
    pub(super) fn of(seat: &Seat, light: &Light, span: &Stretch) -> Self {
        let band = AltitudeBand {
            lowest_deg: light.lowest_deg,
            highest_deg: light.highest_deg,
        };
        let altitude = Stretches::new(seat.observer.sun_between(band, span.clone()));
        let mut parts = vec![("sun in the altitude band", altitude)];
        // Under cloud neither the side of the light nor a ridge before the sun matters.
        if !light.overcast && (light.narrowest_deg > 0.0 || light.widest_deg < 180.0) {
            let side = on_side(&seat.observer, seat.bearing_deg, light, span);
            parts.push(("light from the wanted side", side));
        }
        if let Some(skyline) = seat.skyline.as_ref().filter(|_| !light.overcast) {
            // The centre of the disc: half of the direct light is there. Below the horizon there is no direct light to wait for.
            let clear = seat.observer.sun_above_skyline(
                skyline,
                Limb::Centre,
                &Atmosphere::STANDARD,
                span.clone(),
            );
            let glow = AltitudeBand {
                lowest_deg: -90.0,
                highest_deg: 0.0,
            };
            let glow = seat.observer.sun_between(glow, span.clone());
            let direct = clear.into_iter().chain(glow).collect();
            parts.push(("sun clear of the terrain", direct));
        }
        if let Some(wanted) = light.moon {
            parts.push(("moon high and full enough", moonlit(seat, wanted, span)));
        }
        let all = parts
            .iter()
            .map(|(_, stretches)| stretches)
            .fold(Stretches::new([span.clone()]), |all, part| {
                all.intersect(part)
            });
        Self { parts, all }
    }
}

/// When the moon stands high enough with enough of it lit. The lit fraction changes by less than a hundredth an hour, so it
/// is judged in the middle of each stretch of moonlight.
fn moonlit(seat: &Seat, wanted: MoonWanted, span: &Stretch) -> Stretches {
    let band = AltitudeBand {
        lowest_deg: wanted.lowest_deg,
        highest_deg: 90.0,
    };
    let up = seat.observer.moon_between(band, span.clone());
    let full_enough = |stretch: &Stretch| {
        let middle = shifted(stretch.start, minutes(stretch) / 2.0);
        seat.observer.moon(middle).lit_fraction >= wanted.lit_fraction
    };
    up.into_iter().filter(full_enough).collect()
}

/// The wanted angles lie symmetrically on both sides of the azimuth from which the light falls straight along the view.
fn on_side(observer: &Observer, bearing_deg: f64, light: &Light, span: &Stretch) -> Stretches {
    let behind = bearing_deg + 180.0;
    let band = |from: f64, to: f64| AzimuthBand {
        from_deg: from.rem_euclid(360.0),
        to_deg: to.rem_euclid(360.0),
    };
    let (narrowest, widest) = (light.narrowest_deg, light.widest_deg);
    let bands = if narrowest <= 0.0 {
        vec![band(behind - widest, behind + widest)]
    } else if widest >= 180.0 {
        vec![band(behind + narrowest, behind - narrowest)]
    } else {
        vec![
            band(behind - widest, behind - narrowest),
            band(behind + narrowest, behind + widest),
        ]
    };
    bands
        .into_iter()
        .flat_map(|band| observer.sun_azimuth_within(band, span.clone()))
        .collect()
}
