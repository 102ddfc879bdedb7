//! What clouds leave of the light of a clear sky. How much light that is, the sun library says.

/// How clouds divide the light of a clear sky (US Naval Observatory Circular 171, appendix B): a
/// factor, not a forecast; its authors allow a factor of ten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum Sky {
    /// Clear, or clouds that leave the sun free.
    Clear,
    /// A thin veil before the sun.
    ThinVeil,
    /// Ordinary clouds before the sun.
    Cloudy,
    /// Dark stratus over the whole sky.
    DarkStratus,
}

crate::words::words!(Sky, "sky": {
    Clear => "clear",
    ThinVeil => "thin veil",
    Cloudy => "cloudy",
    DarkStratus => "dark stratus",
});

impl Sky {
    /// What the illuminance of a clear sky is divided by.
    #[must_use]
    pub fn divisor(self) -> f64 {
        match self {
            Self::Clear => 1.0,
            Self::ThinVeil => 2.0,
            Self::Cloudy => 3.0,
            Self::DarkStratus => 10.0,
        }
    }
}
