//! The words for the conventions of harmonic constants: the same in every file, flag and output.

use wrackline_tides::Convention;

/// Each convention with its word.
pub const CONVENTIONS: [(&str, Convention); 4] = [
    ("schureman-annual", Convention::SchuremanAnnual),
    ("schureman-instant", Convention::SchuremanInstant),
    ("iho-instant", Convention::IhoInstant),
    ("rijkswaterstaat", Convention::Rijkswaterstaat),
];

/// Words that older files use.
const FORMERLY: [(&str, Convention); 1] = [("noaa-annual", Convention::SchuremanAnnual)];

/// The convention that a word stands for; satellites carry a latitude along, as in
/// `foreman-instant@67.3`.
pub fn convention(word: &str) -> Option<Convention> {
    let mut all = CONVENTIONS.iter().chain(&FORMERLY);
    all.find(|(known, _)| *known == word)
        .map(|(_, convention)| *convention)
        .or_else(|| word.parse().ok())
}

/// The words, as a remedy lists them.
pub fn convention_words() -> String {
    let words = CONVENTIONS.map(|(word, _)| word).join(", ");
    format!("{words}, foreman-instant@LATITUDE")
}

/// A convention as a reader of tables says it.
#[must_use]
pub fn convention_name(convention: Convention) -> &'static str {
    match convention {
        Convention::SchuremanAnnual => "Schureman, factors of the year (as NOAA)",
        Convention::SchuremanInstant => "Schureman, factors of the instant",
        Convention::IhoInstant => "IHO, factors of the instant",
        Convention::ForemanInstant(_) => "Foreman, satellites of the instant",
        Convention::Rijkswaterstaat => "Schureman, middle of the year (as Rijkswaterstaat)",
        _ => "as given in the file",
    }
}
