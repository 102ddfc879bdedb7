//! What the coordinates of a GeoTIFF mean, told by its keys.
//!
//! Source of keys and codes: Open Geospatial Consortium, OGC GeoTIFF Standard, version 1.1
//! (19-008r4), sections 7.2 to 7.5 and annexes; the codes of systems stand in the EPSG register.

use std::collections::BTreeMap;

use crate::terrain::error::{Error, unknown};
use crate::terrain::frame::{Frame, TransverseMercator};

/// The keys that are looked at.
const MODEL: u16 = 1024;
const RASTER: u16 = 1025;
const GEODETIC_SYSTEM: u16 = 2048;
const GEODETIC_DATUM: u16 = 2050;
const PRIME_MERIDIAN: u16 = 2051;
const ANGULAR_UNIT: u16 = 2054;
const PROJECTED_SYSTEM: u16 = 3072;
const PROJECTION: u16 = 3074;
const METHOD: u16 = 3075;
const LINEAR_UNIT: u16 = 3076;
const ORIGIN_LONGITUDE: u16 = 3080;
const ORIGIN_LATITUDE: u16 = 3081;
const FALSE_EASTING: u16 = 3082;
const FALSE_NORTHING: u16 = 3083;
const ORIGIN_SCALE: u16 = 3092;
const VERTICAL_SYSTEM: u16 = 4096;
const VERTICAL_UNIT: u16 = 4099;

/// The code for what is described by further keys.
const USER_DEFINED: u16 = 32_767;
/// What holds numbers that are no words.
const DOUBLES: u16 = 34_736;

/// Remedy for what lies on another figure of the Earth or in another projection.
const REPROJECT: &str = "bring it onto WGS84 or ETRS89 first, in degrees (EPSG:4326) or in a zone \
                         of UTM, with the program that you make maps with";

/// A foot and a US survey foot in metres (both exact by definition: NIST, Federal Register 85 FR
/// 62698, 2020).
const FOOT_M: f64 = 0.3048;
const SURVEY_FOOT_M: f64 = 1200.0 / 3937.0;

/// The keys of a file.
#[derive(Debug, Default)]
pub(super) struct Keys {
    words: BTreeMap<u16, u16>,
    numbers: BTreeMap<u16, f64>,
}

impl Keys {
    /// Reads the directory, with the numbers that it points to; `None` where it is none.
    pub(super) fn read(directory: &[u16], doubles: &[f64]) -> Option<Self> {
        let (&[version, _, _, count], entries) = directory.split_first_chunk::<4>()?;
        let entries = entries.get(..4 * usize::from(count))?;
        if version != 1 {
            return None;
        }
        let mut keys = Self::default();
        for &[key, place, _, value] in entries.as_chunks::<4>().0 {
            match place {
                0 => {
                    keys.words.insert(key, value);
                }
                DOUBLES => {
                    keys.numbers.insert(key, *doubles.get(usize::from(value))?);
                }
                // Texts, which say nothing that binds.
                _ => {}
            }
        }
        Some(keys)
    }

    fn word(&self, key: u16) -> Option<u16> {
        self.words.get(&key).copied()
    }

    fn number(&self, key: u16) -> Option<f64> {
        let word = || self.word(key).map(f64::from);
        self.numbers.get(&key).copied().or_else(word)
    }

    /// Whether a height stands for the area around its post; where nothing is said it does.
    pub(super) fn is_area(&self, file: &str) -> Result<bool, Error> {
        match self.word(RASTER) {
            None | Some(1) => Ok(true),
            Some(2) => Ok(false),
            Some(other) => Err(unknown(
                file,
                format!("says by raster type {other} neither point nor area"),
                "write it anew with pixels as points or areas",
            )),
        }
    }

    /// Metres of a unit of height.
    pub(super) fn height_unit_m(&self, file: &str) -> Result<f64, Error> {
        let by_system = match self.word(VERTICAL_SYSTEM) {
            // Heights of NAVD88 in US survey feet and in feet.
            Some(6360) => Some(9003),
            Some(8228) => Some(9002),
            // Depths, which grow downwards: of the mean sea level, and of NAVD88.
            Some(code @ (5715 | 6357 | 6358 | 8050 | 8052)) => {
                return Err(unknown(
                    file,
                    format!("holds depths or heights of system EPSG:{code}, which is not read"),
                    "bring a grid of heights in metres",
                ));
            }
            _ => None,
        };
        match self.word(VERTICAL_UNIT).or(by_system) {
            None | Some(9001) => Ok(1.0),
            Some(9002) => Ok(FOOT_M),
            Some(9003) => Ok(SURVEY_FOOT_M),
            Some(other) => Err(unknown(
                file,
                format!("gives heights in the unit EPSG:{other}, which is not read"),
                "bring heights in metres or feet",
            )),
        }
    }

    /// The frame that the coordinates stand in.
    pub(super) fn frame(&self, file: &str) -> Result<Frame, Error> {
        match self.word(MODEL) {
            Some(1) => self.metres(file),
            Some(2) => self.degrees(file),
            Some(other) => Err(unknown(
                file,
                format!("has coordinates of model type {other}, not in degrees or metres"),
                REPROJECT,
            )),
            None => Err(unknown(
                file,
                "does not say what its coordinates mean",
                "write it anew with its system of coordinates",
            )),
        }
    }

    fn degrees(&self, file: &str) -> Result<Frame, Error> {
        self.on_a_known_figure(file)?;
        Ok(Frame::Degrees)
    }

    /// Whether it lies on WGS84 or ETRS89, which are the same to a metre.
    fn on_a_known_figure(&self, file: &str) -> Result<(), Error> {
        match self.word(ANGULAR_UNIT) {
            None | Some(9102 | 9122) => {}
            Some(other) => {
                let what = format!("counts angles in the unit EPSG:{other}, not in degrees");
                return Err(unknown(file, what, REPROJECT));
            }
        }
        match self.word(PRIME_MERIDIAN) {
            None | Some(8901) => {}
            Some(other) => {
                let what = format!("counts longitudes from the meridian EPSG:{other}");
                return Err(unknown(file, what, REPROJECT));
            }
        }
        let system = self.word(GEODETIC_SYSTEM);
        let datum = self.word(GEODETIC_DATUM);
        match (system, datum) {
            // WGS84 and ETRS89, flat and with ellipsoidal heights.
            (Some(4326 | 4979 | 4258 | 4937), _) => Ok(()),
            (None | Some(USER_DEFINED), Some(6326 | 6258)) => Ok(()),
            (Some(USER_DEFINED) | None, Some(other)) => Err(unknown(
                file,
                format!("lies on the geodetic datum EPSG:{other}"),
                REPROJECT,
            )),
            (Some(USER_DEFINED) | None, None) => Err(unknown(
                file,
                "does not say on which geodetic datum it lies",
                REPROJECT,
            )),
            (Some(other), _) => Err(unknown(
                file,
                format!("lies in the geodetic system EPSG:{other}"),
                REPROJECT,
            )),
        }
    }

    fn metres(&self, file: &str) -> Result<Frame, Error> {
        let unit_m = match self.word(LINEAR_UNIT) {
            None | Some(9001) => 1.0,
            Some(9002) => FOOT_M,
            Some(9003) => SURVEY_FOOT_M,
            Some(other) => {
                let what = format!("counts lengths in the unit EPSG:{other}");
                return Err(unknown(file, what, REPROJECT));
            }
        };
        let mercator = match self.word(PROJECTED_SYSTEM) {
            // UTM on WGS84, north and south; UTM on ETRS89.
            Some(code @ 32_601..=32_660) => TransverseMercator::of_zone(code - 32_600, false),
            Some(code @ 32_701..=32_760) => TransverseMercator::of_zone(code - 32_700, true),
            Some(code @ 25_828..=25_838) => TransverseMercator::of_zone(code - 25_800, false),
            None | Some(USER_DEFINED) => {
                self.on_a_known_figure(file)?;
                self.described(file)?
            }
            Some(other) => {
                let what = format!("lies in the projected system EPSG:{other}");
                return Err(unknown(file, what, REPROJECT));
            }
        };
        Frame::projected(mercator, unit_m).ok_or_else(|| {
            unknown(
                file,
                format!("describes a projection that cannot be: {mercator:?}"),
                REPROJECT,
            )
        })
    }

    /// A projection that is described by its figures.
    fn described(&self, file: &str) -> Result<TransverseMercator, Error> {
        match self.word(PROJECTION) {
            Some(code @ 16_001..=16_060) => {
                return Ok(TransverseMercator::of_zone(code - 16_000, false));
            }
            Some(code @ 16_101..=16_160) => {
                return Ok(TransverseMercator::of_zone(code - 16_100, true));
            }
            _ => {}
        }
        match self.word(METHOD) {
            Some(1) => {}
            Some(other) => {
                let what = format!("is projected by method {other}, not by transverse Mercator");
                return Err(unknown(file, what, REPROJECT));
            }
            None => {
                let what = "does not say how it is projected";
                return Err(unknown(file, what, REPROJECT));
            }
        }
        let figure = |key: u16, name: &str| {
            self.number(key).ok_or_else(|| {
                let what = format!("does not say the {name} of its projection (key {key})");
                unknown(file, what, REPROJECT)
            })
        };
        Ok(TransverseMercator {
            latitude_deg: figure(ORIGIN_LATITUDE, "latitude of origin")?,
            longitude_deg: figure(ORIGIN_LONGITUDE, "longitude of origin")?,
            scale: figure(ORIGIN_SCALE, "scale")?,
            false_easting_m: figure(FALSE_EASTING, "false easting")?,
            false_northing_m: figure(FALSE_NORTHING, "false northing")?,
        })
    }
}
