//! What the water and the light were at the instant of an entry.

use jiff::Timestamp;

use super::entry::Cell;

/// Conditions at one instant at one place, worked out from tide and sun. What a place does not have
/// (a tide, a level that pushes the animals) or what the seat does not give (a bearing) is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Conditions {
    /// Predicted level at the instant, metres above chart datum.
    pub level_m: Option<f64>,
    /// The high water nearest to the instant.
    pub high_water_at: Option<Timestamp>,
    /// Its predicted height, metres above chart datum.
    pub high_water_m: Option<f64>,
    /// Its rise from the low water before it, metres.
    pub range_m: Option<f64>,
    /// Minutes after that high water; negative before it.
    pub minutes_from_high_water: Option<f64>,
    /// Minutes after the flood of that tide was predicted to cross the push level; `None` where it
    /// never does.
    pub minutes_from_push: Option<f64>,
    /// Altitude of the sun's centre without refraction, degrees.
    pub sun_altitude_deg: Option<f64>,
    /// Azimuth of the sun, degrees clockwise from true north.
    pub sun_azimuth_deg: Option<f64>,
    /// Angle between the shadow line and the view from the seat: 0 front light, 180 into the sun,
    /// degrees.
    pub shadow_angle_deg: Option<f64>,
    /// Altitude of the moon's centre, degrees.
    pub moon_altitude_deg: Option<f64>,
    /// Lit fraction of the moon's disc, 0-1.
    pub moon_lit_fraction: Option<f64>,
}

/// The names of the fields, in the order of [`Conditions::cells`].
pub const CONDITIONS: [&str; 11] = [
    "level_m",
    "high_water_at",
    "high_water_m",
    "range_m",
    "minutes_from_high_water",
    "minutes_from_push",
    "sun_altitude_deg",
    "sun_azimuth_deg",
    "shadow_angle_deg",
    "moon_altitude_deg",
    "moon_lit_fraction",
];

impl Conditions {
    /// The values in the order of [`CONDITIONS`].
    pub fn cells(&self) -> [Cell; CONDITIONS.len()] {
        let real = |value: Option<f64>| value.map_or(Cell::Missing, Cell::Real);
        [
            real(self.level_m),
            self.high_water_at
                .map_or(Cell::Missing, |at| Cell::Text(at.to_string())),
            real(self.high_water_m),
            real(self.range_m),
            real(self.minutes_from_high_water),
            real(self.minutes_from_push),
            real(self.sun_altitude_deg),
            real(self.sun_azimuth_deg),
            real(self.shadow_angle_deg),
            real(self.moon_altitude_deg),
            real(self.moon_lit_fraction),
        ]
    }

    /// Observed minus predicted high water, metres.
    pub fn residual_m(&self, observed_level_m: Option<f64>) -> Option<f64> {
        Some(observed_level_m? - self.high_water_m?)
    }
}
