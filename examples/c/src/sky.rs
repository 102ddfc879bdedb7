//! Sun and moon at a place.

use wrackline_solar as solar;
use wrackline_solar::Threshold;

use crate::choices::{Body, Direction, OutcomeKind, ThresholdKind, chosen};
use crate::instants::{instant, span};
use crate::refusal::Refusal;

/// Somebody who looks at the sky from a place.
#[derive(Debug)]
pub struct Observer(pub(crate) solar::Observer);

/// A place on the Earth (WGS84).
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct Site {
    /// Degrees, -90 to 90, north positive.
    pub latitude_deg: f64,
    /// Degrees, -180 to 360, east positive.
    pub longitude_deg: f64,
    /// Metres, -1000 to 100000.
    pub elevation_m: f64,
}

/// Where the sun stands, without the air.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Degrees clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Degrees above the horizontal, of the centre, as if there were no air.
    pub altitude_deg: f64,
    /// Astronomical units.
    pub distance_au: f64,
    /// Half the angle that the disc fills, degrees.
    pub semi_diameter_deg: f64,
}

/// Where the moon stands, without the air, and how it is lit.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonPlace {
    /// Degrees clockwise from true north, 0 to 360.
    pub azimuth_deg: f64,
    /// Degrees above the horizontal, of the centre, as if there were no air.
    pub altitude_deg: f64,
    /// Kilometres from the observer.
    pub distance_km: f64,
    /// Half the angle that the disc fills, degrees.
    pub semi_diameter_deg: f64,
    /// Lit fraction of the disc, 0 to 1.
    pub lit_fraction: f64,
    /// How far the middle of the bright limb leans from the top to the right, degrees, -180 to 180.
    pub bright_limb_tilt_deg: f64,
}

/// When does a body cross an altitude?
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct CrossingQuestion {
    /// A wrackline_body.
    pub body: i32,
    /// A wrackline_threshold_kind.
    pub threshold: i32,
    /// Read for WRACKLINE_THRESHOLD_KIND_ALTITUDE alone: airless degrees, -90 to 90.
    pub altitude_deg: f64,
    /// Start of the span, microseconds since 1970 (UTC).
    pub start_us: i64,
    /// Its end, which is no part of it.
    pub end_us: i64,
}

/// One crossing of an altitude.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// Microseconds since 1970 (UTC).
    pub at_us: i64,
    /// Azimuth of the centre, degrees clockwise from true north.
    pub azimuth_deg: f64,
    /// What refraction, UT1 and theory leave open, seconds either way.
    pub uncertainty_s: f64,
    /// A wrackline_direction.
    pub direction: i32,
}

/// When does a body cross the meridian?
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct TransitQuestion {
    /// A wrackline_body.
    pub body: i32,
    /// Start of the span, microseconds since 1970 (UTC).
    pub start_us: i64,
    /// Its end, which is no part of it.
    pub end_us: i64,
}

/// One passage of the meridian.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transit {
    /// Microseconds since 1970 (UTC).
    pub at_us: i64,
    /// Degrees above the horizontal, of the centre, as if there were no air.
    pub altitude_deg: f64,
    /// 1 where the body stands near its highest, 0 near its lowest.
    pub is_upper: i32,
}

/// What a span holds of a threshold.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// By how many degrees the threshold is missed, or passed where it is grazed; zero where it is
    /// clearly crossed.
    pub margin_deg: f64,
    /// A wrackline_outcome_kind.
    pub kind: i32,
}

impl Observer {
    pub(crate) fn new(site: &Site) -> Result<Self, Refusal> {
        Ok(Self(solar::Observer::new(solar::Site {
            latitude_deg: site.latitude_deg,
            longitude_deg: site.longitude_deg,
            elevation_m: site.elevation_m,
        })?))
    }

    pub(crate) fn sun(&self, at_us: i64) -> Result<Place, Refusal> {
        let sun = self.0.sun(instant("at_us", at_us)?);
        Ok(Place {
            azimuth_deg: sun.azimuth_deg,
            altitude_deg: sun.altitude_deg,
            distance_au: sun.distance_au,
            semi_diameter_deg: sun.semi_diameter_deg,
        })
    }

    pub(crate) fn moon(&self, at_us: i64) -> Result<MoonPlace, Refusal> {
        let moon = self.0.moon(instant("at_us", at_us)?);
        Ok(MoonPlace {
            azimuth_deg: moon.azimuth_deg,
            altitude_deg: moon.altitude_deg,
            distance_km: moon.distance_km,
            semi_diameter_deg: moon.semi_diameter_deg,
            lit_fraction: moon.lit_fraction,
            bright_limb_tilt_deg: moon.bright_limb_tilt_deg,
        })
    }

    pub(crate) fn crossings(
        &self,
        question: &CrossingQuestion,
    ) -> Result<(Vec<Crossing>, Outcome), Refusal> {
        let threshold = match chosen(question.threshold)? {
            ThresholdKind::Sunrise => Threshold::SUNRISE,
            ThresholdKind::Moonrise => Threshold::MOONRISE,
            ThresholdKind::Civil => Threshold::CIVIL,
            ThresholdKind::Nautical => Threshold::NAUTICAL,
            ThresholdKind::Astronomical => Threshold::ASTRONOMICAL,
            ThresholdKind::Altitude => Threshold::altitude_deg(question.altitude_deg)?,
        };
        let span = span(question.start_us, question.end_us)?;
        let found = match chosen(question.body)? {
            Body::Sun => self.0.sun_crossings(threshold, span)?,
            Body::Moon => self.0.moon_crossings(threshold, span)?,
        };
        let events = found.events.iter().map(Crossing::from).collect();
        Ok((events, Outcome::told(found.outcome)?))
    }

    pub(crate) fn transits(&self, question: &TransitQuestion) -> Result<Vec<Transit>, Refusal> {
        let span = span(question.start_us, question.end_us)?;
        let found = match chosen(question.body)? {
            Body::Sun => self.0.sun_transits(span)?,
            Body::Moon => self.0.moon_transits(span)?,
        };
        let each = found.iter().map(|transit| Transit {
            at_us: transit.at.as_microsecond(),
            altitude_deg: transit.altitude_deg,
            is_upper: (transit.culmination == solar::Culmination::Upper).into(),
        });
        Ok(each.collect())
    }
}

impl From<&solar::Crossing> for Crossing {
    fn from(crossing: &solar::Crossing) -> Self {
        let direction = match crossing.direction {
            solar::Direction::Rising => Direction::Rising,
            solar::Direction::Setting => Direction::Setting,
        };
        Self {
            at_us: crossing.at.as_microsecond(),
            azimuth_deg: crossing.azimuth_deg,
            uncertainty_s: crossing.uncertainty_s,
            direction: direction as i32,
        }
    }
}

impl Outcome {
    fn told(outcome: solar::Outcome) -> Result<Self, Refusal> {
        let (kind, margin_deg) = match outcome {
            solar::Outcome::Crosses => (OutcomeKind::Crosses, 0.0),
            solar::Outcome::Grazes { margin_deg } => (OutcomeKind::Grazes, margin_deg),
            solar::Outcome::AlwaysAbove { margin_deg } => (OutcomeKind::AlwaysAbove, margin_deg),
            solar::Outcome::AlwaysBelow { margin_deg } => (OutcomeKind::AlwaysBelow, margin_deg),
            _ => return Err(Refusal::value("this header has no name for the outcome")),
        };
        Ok(Self {
            margin_deg,
            kind: kind as i32,
        })
    }
}
