//! Spellings of constituent names.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

use crate::catalogue;

const GREEK: &[(char, &str)] = &[
    ('α', "ALPHA"),
    ('γ', "GAMMA"),
    ('δ', "DELTA"),
    ('ε', "EPS"),
    ('η', "ETA"),
    ('θ', "THETA"),
    ('λ', "LAMBDA"),
    ('μ', "MU"),
    ('µ', "MU"),
    ('ν', "NU"),
    ('ξ', "XI"),
    ('π', "PI"),
    ('ρ', "RHO"),
    ('σ', "SIGMA"),
    ('τ', "TAU"),
    ('υ', "UPS"),
    ('φ', "PHI"),
    ('χ', "CHI"),
    ('ψ', "PSI"),
];

/// Capitals without spaces, Greek letters spelt out, lowered digits raised.
pub(crate) fn normal(name: &str) -> String {
    let mut key = String::new();
    for letter in name.chars().filter(|c| !c.is_whitespace()) {
        if let Some((_, spelt)) = GREEK.iter().find(|(greek, _)| *greek == letter) {
            key.push_str(spelt);
        } else if let Some(digit) = ('₀'..='₉').position(|lowered| lowered == letter) {
            key.push(char::from(b'0' + digit as u8));
        } else {
            key.push(letter.to_ascii_uppercase());
        }
    }
    key
}

/// Known names within two edits of a name, nearest first, at most four.
pub(crate) fn nearest(key: &str) -> Vec<String> {
    let mut found: Vec<(usize, &str)> = catalogue::all_names()
        .map(|known| (edits(key, known), known))
        .filter(|(edits, known)| *edits <= 2 && *edits < known.len())
        .collect();
    found.sort_by_key(|(edits, known)| (*edits, known.len().abs_diff(key.len())));
    found
        .into_iter()
        .take(4)
        .map(|(_, known)| known.to_string())
        .collect()
}

/// Levenshtein's distance.
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().take(32).enumerate() {
        let mut diagonal = i;
        row[0] = i + 1;
        for (j, other) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(letter != *other);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}
