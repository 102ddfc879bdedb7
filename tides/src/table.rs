//! Tables of constants as users have them: other units, other zones, CSV.

use alloc::boxed::Box;
use alloc::string::{String, ToString};
use alloc::vec::Vec;

use crate::astro::wrap_360;
use crate::constants::Harmonic;
use crate::constituent::Constituent;
use crate::convention::Convention;
use crate::error::{Error, in_range};

/// Unit of the amplitudes in a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum LengthUnit {
    /// Metres.
    #[default]
    Metre,
    /// Centimetres.
    Centimetre,
    /// International feet of 0.3048 m.
    Foot,
}

impl LengthUnit {
    /// Length of the unit, metres.
    #[must_use]
    pub fn metres(self) -> f64 {
        match self {
            Self::Metre => 1.0,
            Self::Centimetre => 0.01,
            Self::Foot => 0.3048,
        }
    }
}

/// What the lags in a table are counted against.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(rename_all = "snake_case", deny_unknown_fields)
)]
#[non_exhaustive]
pub enum LagReference {
    /// G: the argument at Greenwich for UTC.
    #[default]
    Greenwich,
    /// g or κ′: the argument at Greenwich, but entered with a zone's standard time. G = g - speed ·
    /// offset.
    ZoneTime {
        /// Hours east of UTC, -14 to 14.
        utc_offset_h: f64,
    },
    /// κ: the argument of the place's own meridian. G = κ - species · longitude (Schureman, Special
    /// Publication 98, section 226).
    LocalMeridian {
        /// Longitude east, degrees, -180 to 180.
        longitude_deg: f64,
    },
}

impl LagReference {
    /// The Greenwich lag for UTC, degrees in [0, 360).
    ///
    /// ```
    /// use wrackline_tides::{Constituent, LagReference};
    /// // M2 runs 28.98° in the hour by which the zone is ahead.
    /// let zone = LagReference::ZoneTime { utc_offset_h: 1.0 };
    /// let lag = zone.greenwich_deg(&Constituent::named("M2")?, 59.47)?;
    /// assert!((lag - 30.486).abs() < 0.001);
    /// # Ok::<(), wrackline_tides::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a zone, a longitude or a lag (±720°) out of range.
    pub fn greenwich_deg(self, constituent: &Constituent, lag_deg: f64) -> Result<f64, Error> {
        let shift = match self {
            Self::Greenwich => 0.0,
            Self::ZoneTime { utc_offset_h } => {
                let offset = in_range("zone", utc_offset_h, [-14.0, 14.0], "h")?;
                constituent.argument_speed_deg_per_h() * offset
            }
            Self::LocalMeridian { longitude_deg } => {
                let range = [-180.0, 180.0];
                let longitude = in_range("longitude", longitude_deg, range, "deg")?;
                f64::from(constituent.arguments().solar_time) * longitude
            }
        };
        let range = [-720.0, 720.0];
        let lag_deg = in_range("lag", lag_deg, range, "deg")?;
        Ok(wrap_360(lag_deg - shift))
    }
}

/// Reads constants from CSV (RFC 4180 without quoted line breaks): a header, then a line for each
/// constituent. Lines that start with `#` are skipped.
///
/// The header names the units, so that none is guessed: `name`; one of `amplitude_m`,
/// `amplitude_cm`, `amplitude_ft`; one of `lag_g_deg` (Greenwich, UTC), `lag_utc+1_deg` (a zone's
/// time; any offset), `lag_kappa_deg` (with the longitude in the options). Other columns are
/// refused, and so are two amplitudes or two lags.
///
/// ```
/// let text = "name,amplitude_cm,lag_utc+1_deg\nM2,174.666,59.47\nS2,47.656,117.72\n";
/// let harmonics = wrackline_tides::constants_from_csv(text, None)?;
/// assert!((harmonics[0].amplitude_m - 1.74666).abs() < 1e-12);
/// # Ok::<(), wrackline_tides::Error>(())
/// ```
///
/// # Errors
/// [`Error::Table`] with the line and what to do; [`Error::AmbiguousName`] within
/// [`Error::TableEntry`] for a name that only a convention settles ([`constants_from_csv_by`]);
/// [`Error::TableEntry`] with the line and what [`Port::new`](crate::Port::new) would refuse of it:
/// an unknown or repeated constituent, a mean level among them, an amplitude or a lag out of range.
pub fn constants_from_csv(text: &str, longitude_deg: Option<f64>) -> Result<Vec<Harmonic>, Error> {
    read(text, longitude_deg, |name| {
        Constituent::named_by(name, None)
    })
}

/// The same with the names of a convention's office, as [`Convention::constituent`] understands
/// them: the lags of a zone's time depend on which line is meant.
///
/// # Errors
/// As [`constants_from_csv`].
pub fn constants_from_csv_by(
    convention: Convention,
    text: &str,
    longitude_deg: Option<f64>,
) -> Result<Vec<Harmonic>, Error> {
    read(text, longitude_deg, |name| convention.constituent(name))
}

fn read(
    text: &str,
    longitude_deg: Option<f64>,
    look_up: impl Fn(&str) -> Result<Constituent, Error>,
) -> Result<Vec<Harmonic>, Error> {
    let mut columns: Option<Columns> = None;
    let mut harmonics = Vec::new();
    let mut known: Vec<String> = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let number = index + 1;
        let trouble = |problem: String| Error::Table {
            line: number,
            problem,
        };
        let line = line.trim_end_matches('\r').trim_start_matches('\u{feff}');
        if line.trim().is_empty() || line.starts_with('#') {
            continue;
        }
        let cells: Vec<&str> = line
            .split(',')
            .map(|cell| cell.trim().trim_matches('"').trim())
            .collect();
        let Some(columns) = &columns else {
            columns = Some(Columns::read(&cells, longitude_deg).map_err(trouble)?);
            continue;
        };
        if cells.len() != columns.count {
            return Err(trouble(alloc::format!(
                "there are {} cells under {} headings: complete the line",
                cells.len(),
                columns.count
            )));
        }
        let value = |column: usize, what: &str| {
            let cell = cells.get(column).copied().unwrap_or_default();
            cell.parse::<f64>()
                .ok()
                .filter(|value| value.is_finite())
                .ok_or_else(|| {
                    trouble(alloc::format!(
                        "the {what} is `{cell}`: give a decimal number"
                    ))
                })
        };
        let name = cells.get(columns.name).copied().unwrap_or_default();
        let entry = |error: Error| Error::TableEntry {
            line: number,
            error: Box::new(error),
        };
        let constituent = look_up(name).map_err(entry)?;
        let lag = value(columns.lag, "lag")?;
        let phase_lag_deg = columns
            .reference
            .greenwich_deg(&constituent, lag)
            .map_err(entry)?;
        let harmonic = Harmonic {
            name: name.to_string(),
            amplitude_m: value(columns.amplitude, "amplitude")? * columns.unit.metres(),
            phase_lag_deg,
        };
        let before = known.iter().position(|have| have == constituent.name());
        if let Some(first) = before.and_then(|before| harmonics.get(before)) {
            let first: &Harmonic = first;
            return Err(entry(Error::RepeatedConstituent {
                first: first.name.clone(),
                second: harmonic.name,
            }));
        }
        harmonic.check(&constituent).map_err(entry)?;
        known.push(constituent.name().to_string());
        harmonics.push(harmonic);
    }
    if columns.is_none() {
        return Err(Error::Table {
            line: 1,
            problem: "the table is empty: give a header and lines".to_string(),
        });
    }
    Ok(harmonics)
}

struct Columns {
    count: usize,
    name: usize,
    amplitude: usize,
    unit: LengthUnit,
    lag: usize,
    reference: LagReference,
}

impl Columns {
    fn read(cells: &[&str], longitude_deg: Option<f64>) -> Result<Self, String> {
        let (mut name, mut amplitude, mut lag) = (None, None, None);
        for (index, cell) in cells.iter().enumerate() {
            let heading = cell.to_ascii_lowercase();
            let twice = match heading.as_str() {
                "name" | "constituent" => name.replace(index).is_some(),
                "amplitude_m" => amplitude.replace((index, LengthUnit::Metre)).is_some(),
                "amplitude_cm" => amplitude.replace((index, LengthUnit::Centimetre)).is_some(),
                "amplitude_ft" => amplitude.replace((index, LengthUnit::Foot)).is_some(),
                "lag_g_deg" | "phase_lag_deg" => {
                    lag.replace((index, LagReference::Greenwich)).is_some()
                }
                "lag_kappa_deg" => {
                    let longitude_deg = longitude_deg.ok_or(
                        "lags κ need the longitude of the place: give it along with the table",
                    )?;
                    lag.replace((index, LagReference::LocalMeridian { longitude_deg }))
                        .is_some()
                }
                other => {
                    let offset = other
                        .strip_prefix("lag_utc")
                        .and_then(|rest| rest.strip_suffix("_deg"));
                    let offset = offset.and_then(|offset| offset.parse::<f64>().ok());
                    let utc_offset_h = offset.ok_or_else(|| {
                        alloc::format!(
                            "the heading `{cell}` is not understood: use name, amplitude_m, \
                             amplitude_cm or amplitude_ft, and lag_g_deg, lag_utc+1_deg or \
                             lag_kappa_deg"
                        )
                    })?;
                    lag.replace((index, LagReference::ZoneTime { utc_offset_h }))
                        .is_some()
                }
            };
            if twice {
                return Err(alloc::format!(
                    "`{cell}` gives a second column for the same thing: units and zones must not \
                     be mixed in one table"
                ));
            }
        }
        let (amplitude, unit) = amplitude
            .ok_or("there is no amplitude column: add amplitude_m, amplitude_cm or amplitude_ft")?;
        let (lag, reference) =
            lag.ok_or("there is no lag column: add lag_g_deg, lag_utc+1_deg or lag_kappa_deg")?;
        let name = name.ok_or("there is no name column: add name")?;
        Ok(Self {
            count: cells.len(),
            name,
            amplitude,
            unit,
            lag,
            reference,
        })
    }
}
