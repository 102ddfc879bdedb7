//! What the sky does behind the windows: twilight, the sun in bands of altitude, the moon.

use jiff::SignedDuration;
use wrackline_solar::{AltitudeBand, Observer, Path, SunAndMoon};

use super::days::Day;
use wrackline_plan::time::{Stretch, Stretches};

/// Altitudes of the sun over which each tone of a row begins, degrees, and the class of that tone.
/// The first is the end of civil twilight; the others are our defaults for warm, low and fair
/// light.
const TONES: [(f64, &str); 4] = [
    (-6.0, "twilight"),
    (0.0, "warm"),
    (6.0, "low"),
    (12.0, "day"),
];

/// The sky over one place.
#[derive(Clone, Debug)]
pub(super) struct Sky {
    /// When the sun stands over each altitude, and the class by which it is drawn, lowest first.
    pub(super) tones: Vec<(&'static str, Stretches)>,
    /// When the moon is up.
    pub(super) moon: Stretches,
}

impl Sky {
    pub(super) fn over(
        paths: &SunAndMoon,
        observer: &Observer,
        span: &Stretch,
    ) -> Result<Self, wrackline_solar::Error> {
        let above = |path: &Path, lowest_deg: f64| {
            let band = AltitudeBand {
                lowest_deg,
                highest_deg: 90.0,
            };
            path.between(observer, band, span.clone())
                .map(Stretches::new)
        };
        let mut tones = Vec::with_capacity(TONES.len());
        for (lowest_deg, class) in TONES {
            tones.push((class, above(paths.sun(), lowest_deg)?));
        }
        Ok(Self {
            tones,
            moon: above(paths.moon(), 0.0)?,
        })
    }
}

/// The moon of one day, at the middle of it.
#[derive(Clone, Copy, Debug)]
pub(super) struct MoonOfDay {
    /// Lit fraction of the disc, 0 to 1.
    pub(super) lit: f64,
    /// Whether it grows.
    pub(super) waxing: bool,
}

/// The moon's disc as it stands in the sky.
#[derive(Clone, Copy, Debug)]
pub(super) struct Disc {
    pub(super) lit: f64,
    pub(super) lit_on_the_right: bool,
}

impl MoonOfDay {
    /// North of the equator a growing moon is lit on the right, south of it on the left.
    pub(super) fn seen_from(self, latitude_deg: f64) -> Disc {
        Disc {
            lit: self.lit,
            lit_on_the_right: self.waxing == (latitude_deg >= 0.0),
        }
    }

    pub(super) fn on(paths: &SunAndMoon, day: &Day) -> Result<Self, wrackline_solar::Error> {
        let half = SignedDuration::from_hours(12);
        let noon = day.stretch.start.checked_add(half);
        let noon = noon.unwrap_or(day.stretch.start);
        let lit = paths.lit_fraction(noon)?;
        let later = paths.lit_fraction(day.stretch.end)?;
        Ok(Self {
            lit,
            waxing: later > lit,
        })
    }
}
