//! Answers as figures, positions and names.

use crate::draft::globe::Spot;
use crate::draft::names::plain;

pub(super) fn one_line(text: &str) -> Result<String, String> {
    plain(text).ok_or_else(|| "write something that can be read".to_owned())
}

pub(super) fn level(text: &str) -> Result<f64, String> {
    number(text, -30.0, 30.0)
}

pub(super) fn number(text: &str, low: f64, high: f64) -> Result<f64, String> {
    let found: Option<f64> = text.parse().ok();
    found
        .filter(|x| (low..=high).contains(x))
        .ok_or_else(|| format!("give a number from {low} to {high}"))
}

pub(super) fn position(text: &str) -> Result<Spot, String> {
    let mut parts = text.split([',', ' ', ';']).filter(|part| !part.is_empty());
    let mut next = || parts.next().and_then(|part| part.parse::<f64>().ok());
    match (next(), next(), parts.next()) {
        (Some(latitude), Some(longitude), None) => Spot::new(latitude, longitude),
        _ => Err("give two numbers, latitude and longitude: 53.4016, 1.202".to_owned()),
    }
}
