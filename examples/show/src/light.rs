//! The light of a window in words: whose it is, from which side, how high it stands.

use wrackline_plan::season::Outing;
use wrackline_plan::windows::{Window, side_name};

use crate::limits::near;

/// The ends of a window tell how high the sun stands in it, but where it stands higher between them
/// by this, degrees; our default.
const HIGHER_DEG: f64 = 1.0;

/// How high the sun stands at the start and at the end of a window, and between them where it
/// culminates there: "6 to 5°, up to 41° between".
pub(crate) fn sun_altitudes(outing: &Outing<'_>, digits: usize) -> String {
    let window = &outing.window;
    let [start, _, end] = window.sun;
    let told = |altitude_deg| format!("{:.digits$}", near(altitude_deg, digits as i32));
    let mut line = format!(
        "{} to {}\u{b0}",
        told(start.altitude_deg),
        told(end.altitude_deg)
    );
    // A window is a span that holds time, so there is no error to tell.
    if let Ok(highest) = outing.seat.observer.sun_highest(window.stretch.clone())
        && highest.altitude_deg > start.altitude_deg.max(end.altitude_deg) + HIGHER_DEG
    {
        line.push_str(&format!(
            ", up to {}\u{b0} between",
            told(highest.altitude_deg)
        ));
    }
    line
}

/// The moon by whose light pictures are taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonTold {
    /// Airless altitude at the start and at the end of the window, degrees.
    pub altitude_deg: [f64; 2],
    /// Lit fraction of its disc in the middle of the window, 0 to 1.
    pub lit_fraction: f64,
}

/// The moon of an outing, where its light is wanted.
pub fn moon(outing: &Outing<'_>) -> Option<MoonTold> {
    let [first, middle, last] = outing.window.moon?;
    Some(MoonTold {
        altitude_deg: [first.altitude_deg, last.altitude_deg],
        lit_fraction: outing.seat.observer.moon(middle.at).lit_fraction,
    })
}

/// Whose light it is.
pub(crate) fn source(window: &Window) -> &'static str {
    if window.moon.is_some() { "moon" } else { "sun" }
}

/// The side of the light in the middle of a window, and that it is the moon's where it is.
pub fn side(window: &Window) -> String {
    let side = side_name(window.light()[1].side);
    match window.moon {
        Some(_) => format!("{side} by the moon"),
        None => side.to_owned(),
    }
}

/// The moon's altitude and lit share: "moon 22 to 31° up, 84 % lit".
pub fn moon_line(moon: MoonTold) -> String {
    let [first, last] = moon.altitude_deg;
    format!(
        "moon {} to {}\u{b0} up, {} % lit",
        whole(first),
        whole(last),
        // A share that is asked for is not reached by rounding.
        (moon.lit_fraction * 100.0).floor()
    )
}

/// To the nearest whole number, which is never written as minus zero.
pub(crate) fn whole(value: f64) -> i64 {
    value.round() as i64
}
