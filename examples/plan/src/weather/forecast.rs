//! A forecast: what was read of it, checked.

use jiff::Timestamp;

/// A forecast for one coast. Rows are in order of time, at least one, no two at one instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    pub(super) source: String,
    pub(super) issued: Option<Timestamp>,
    pub(super) rows: Vec<Row>,
    pub(super) unused: Vec<String>,
}

/// What is forecast for one instant. What is not given is not used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// When.
    pub at: Timestamp,
    /// Air pressure at sea level, hectopascals.
    pub pressure_hpa: Option<f64>,
    /// The wind.
    pub wind: Option<WindVector>,
    /// Share of the sky under cloud, 0 to 1.
    pub cloud: Option<f64>,
    /// Temperature of the air, degrees Celsius.
    pub air_c: Option<f64>,
}

/// A wind as two components, metres a second, of the direction it blows *towards*.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindVector {
    /// Towards the north.
    pub north_mps: f64,
    /// Towards the east.
    pub east_mps: f64,
}

impl WindVector {
    /// From a speed and the direction that the wind comes from, degrees clockwise from true north.
    ///
    /// ```
    /// use wrackline_plan::weather::WindVector;
    /// let westerly = WindVector::from(8.0, 270.0);
    /// assert!((westerly.east_mps - 8.0).abs() < 1e-12 && westerly.north_mps.abs() < 1e-12);
    /// ```
    pub fn from(speed_mps: f64, from_deg: f64) -> Self {
        let from = from_deg.to_radians();
        Self {
            north_mps: -speed_mps * from.cos(),
            east_mps: -speed_mps * from.sin(),
        }
    }

    /// Its speed, metres a second.
    pub fn speed_mps(self) -> f64 {
        self.north_mps.hypot(self.east_mps)
    }

    /// The same wind so many times as strong.
    pub(super) fn times(self, factor: f64) -> Self {
        Self {
            north_mps: self.north_mps * factor,
            east_mps: self.east_mps * factor,
        }
    }
}

impl Forecast {
    /// The file it was read from, as it was named.
    pub fn source(&self) -> &str {
        &self.source
    }

    /// When it was issued, where the file says so.
    pub fn issued(&self) -> Option<Timestamp> {
        self.issued
    }

    /// Its rows, in order of time.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Columns of the file that nothing reads.
    pub fn unused(&self) -> &[String] {
        &self.unused
    }

    /// Its first and last instant.
    pub fn from_to(&self) -> Option<[Timestamp; 2]> {
        Some([self.rows.first()?.at, self.rows.last()?.at])
    }

    /// Whether any row has what is asked for.
    pub(super) fn gives<T>(&self, value: impl Fn(&Row) -> Option<T>) -> bool {
        self.rows.iter().any(|row| value(row).is_some())
    }
}
