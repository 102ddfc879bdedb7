//! What to set and what to watch: hints that start a thought and end none.

use wrackline_optics::{Exposure, ExposureSpec, ev100_of_illuminance};
use wrackline_solar::{LightSide, SkyCondition, sun_illuminance};

use wrackline_plan::scenario::Subject;

/// Shutter times for one animal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shutter {
    /// One over this many seconds freezes it on the move.
    pub moving: u32,
    /// What that move is.
    pub how: &'static str,
    /// One over this many seconds serves while it stands.
    pub standing: u32,
}

/// Whether an animal flies: a span is given for those that do.
pub fn flies(subject: &Subject) -> bool {
    subject.span_m.is_some()
}

/// Shutter times by size. The times of what flies are \[T\] common practice, no source; the limits
/// of size between them, and the time of what runs, are \[D\] our defaults.
pub fn shutter(subject: &Subject) -> Shutter {
    let (moving, how) = match subject.span_m {
        Some(span_m) if span_m >= 0.9 => (1250, "in flight"),
        Some(span_m) if span_m >= 0.3 => (2000, "in flight"),
        Some(_) => (4000, "in flight"),
        None => (1250, "running"),
    };
    Shutter {
        moving,
        how,
        standing: 1000,
    }
}

/// Signs of unease \[T\], with what to do at each \[D\] while the way back is open. The signs of
/// what does not fly are \[D\].
pub fn unease(subject: &Subject) -> [(&'static str, &'static str); 5] {
    let [first, third, fourth] = if flies(subject) {
        ["heads up", "wings up", "flight"]
    } else {
        ["heads up, ears turned", "ready to run", "running off"]
    };
    [
        ("feeding or asleep", "stay as you are"),
        (first, "wait, do not move"),
        ("calling, bunching, walking off", "go back slowly"),
        (third, "end the visit, log it"),
        (fourth, "end the visit, log it"),
    ]
}

/// What to do instead where the way back is closed, from the sign on at which one would go \[D\]:
/// whoever gets up then can only walk about among the animals, or into the water.
pub const CUT_OFF: &str = "keep still, close the hide, no more pictures, log it";

/// What a side of the light is good for; \[T\] common practice, no source.
pub fn light_hint(side: LightSide, subject: &Subject) -> String {
    let coat = if flies(subject) { "plumage" } else { "fur" };
    match side {
        LightSide::Front => format!("full colour, little shape; hold the palest {coat}"),
        LightSide::Shoulder => format!("colour and shape together; hold the palest {coat}"),
        LightSide::Side => "shape and texture; one flank goes dark".to_owned(),
        LightSide::Rim => {
            "bright edges on a dark animal; expose for the edge, shade the lens".to_owned()
        }
        LightSide::IntoTheSun => {
            "outlines only; the sun must stay out of lens and finder".to_owned()
        }
    }
}

/// The name of a sun's altitude among pictures; the limits are [D] our defaults.
pub(super) fn altitude_name(altitude_deg: f64) -> &'static str {
    match altitude_deg {
        a if a < -4.0 => "night",
        a if a < 0.0 => "dusk glow",
        a if a < 6.0 => "warm",
        a if a < 12.0 => "low",
        a if a < 20.0 => "fair",
        _ => "hard",
    }
}

/// The ISO speeds that a shutter time and f-number ask for on level ground, under a clear sky and
/// under ordinary cloud, to one figure. `None` below the altitudes for which there is a model.
pub(super) fn iso_speeds(altitude_deg: f64, f_number: f64, one_over_s: u32) -> Option<(f64, f64)> {
    let exposure = Exposure::new(ExposureSpec {
        f_number,
        time_s: 1.0 / f64::from(one_over_s),
    })
    .ok()?;
    let under = |sky: SkyCondition| {
        let light = sun_illuminance(altitude_deg, sky).ok()?;
        let ev = ev100_of_illuminance(light.likely_lx).ok()?;
        exposure.iso_under(ev).ok()
    };
    Some((
        under(SkyCondition::Clear)?,
        under(SkyCondition::AverageCloud)?,
    ))
}

/// A speed in the third stops that cameras offer, in words.
pub(super) fn iso_name(iso: f64) -> String {
    const THIRDS: [u32; 31] = [
        25, 32, 40, 50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1250, 1600,
        2000, 2500, 3200, 4000, 5000, 6400, 8000, 10_000, 12_800, 16_000, 20_000, 25_600,
    ];
    let distance = |speed: &u32| (f64::from(*speed) / iso).ln().abs();
    match THIRDS
        .into_iter()
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
    {
        Some(speed) if distance(&speed) < 0.2 => speed.to_string(),
        Some(25) => "under 25".to_owned(),
        _ => "over 25600".to_owned(),
    }
}
