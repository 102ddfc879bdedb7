//! Reads the name of a compound (shallow-water) constituent as a sum of its parts.
//!
//! The rule is Annex B of the IHO's standard list: add the letters from the left; if that gives too
//! many cycles a day, change signs progressively from the right. Two things the annex leaves to the
//! reader are settled here: K stands for K1 where the cycles a day would otherwise have the wrong
//! parity (MK3 = M2 + K1), and so does S for S1 where there is no K (2MS3 = 2M2 - S1). A lone
//! letter stands for as many copies as its cycles a day ask for (M4 = 2 M2).

use alloc::vec::Vec;

/// A letter, its constituent, and the cycles a day of that.
const LETTERS: &[(&str, &str, i8)] = &[
    ("LAMBDA", "LAMBDA2", 2),
    ("LABDA", "LAMBDA2", 2),
    ("LAM", "LAMBDA2", 2),
    ("NU", "NU2", 2),
    ("MU", "MU2", 2),
    ("M", "M2", 2),
    ("S", "S2", 2),
    ("N", "N2", 2),
    ("K", "K2", 2),
    ("L", "L2", 2),
    ("T", "T2", 2),
    ("R", "R2", 2),
    ("V", "NU2", 2),
    ("O", "O1", 1),
    ("P", "P1", 1),
    ("Q", "Q1", 1),
    ("J", "J1", 1),
];

#[derive(Clone, Copy)]
struct Token {
    name: &'static str,
    cycles: i8,
    copies: i8,
}

/// The parts of a compound as constituents of the list and how often each is added, or `None` if it
/// cannot be read.
pub(crate) fn parts(name: &str) -> Option<Vec<(&'static str, i8)>> {
    let (mut tokens, species) = tokens(name)?;
    if let [only] = tokens.as_mut_slice()
        && only.copies == 1
    {
        // Lists agree on overtides of these; T4 or J3 are lines of other kinds to some.
        if !["M2", "S2", "N2", "K2", "O1"].contains(&only.name) {
            return None;
        }
        if species % only.cycles == 0 && species > 0 {
            only.copies = species / only.cycles;
        } else {
            let diurnal = diurnal(only.name)?;
            *only = Token {
                name: diurnal,
                cycles: 1,
                copies: species,
            };
        }
    }
    let parity = |tokens: &[Token]| {
        tokens
            .iter()
            .map(|token| i32::from(token.cycles) * i32::from(token.copies))
            .sum::<i32>()
            & 1
    };
    if parity(&tokens) != i32::from(species) & 1 {
        let letter = if tokens.iter().any(|token| token.name == "K2") {
            "K2"
        } else {
            "S2"
        };
        let token = tokens.iter_mut().rev().find(|token| token.name == letter)?;
        token.name = diurnal(letter)?;
        token.cycles = 1;
        if parity(&tokens) != i32::from(species) & 1 {
            return None;
        }
    }
    let mut total: i32 = tokens
        .iter()
        .map(|token| i32::from(token.cycles) * i32::from(token.copies))
        .sum();
    for token in tokens.iter_mut().rev() {
        if total <= i32::from(species) {
            break;
        }
        total -= 2 * i32::from(token.cycles) * i32::from(token.copies);
        token.copies = -token.copies;
    }
    (total == i32::from(species)).then(|| {
        tokens
            .iter()
            .map(|token| (token.name, token.copies))
            .collect()
    })
}

fn diurnal(name: &str) -> Option<&'static str> {
    match name {
        "K2" => Some("K1"),
        "S2" => Some("S1"),
        _ => None,
    }
}

/// Splits `2(MS)N10` into letters with their copies, and the cycles a day.
fn tokens(name: &str) -> Option<(Vec<Token>, i8)> {
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let species: i8 = name.get(stem.len()..)?.parse().ok()?;
    let mut tokens: Vec<Token> = Vec::new();
    let mut rest = stem;
    let mut group: Option<i8> = None;
    while !rest.is_empty() {
        let after = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let digits = rest.get(..rest.len() - after.len())?;
        let copies: i8 = if digits.is_empty() {
            1
        } else {
            digits.parse().ok()?
        };
        if !(1..=20).contains(&copies) {
            return None;
        }
        if let Some(inner) = after.strip_prefix('(') {
            if group.is_some() {
                return None;
            }
            group = Some(copies);
            rest = inner;
            continue;
        }
        if let Some(outer) = after.strip_prefix(')') {
            if group.is_none() || !digits.is_empty() {
                return None;
            }
            group = None;
            rest = outer;
            continue;
        }
        let (letter, constituent, cycles) = LETTERS
            .iter()
            .find(|(letter, _, _)| after.starts_with(letter))?;
        let copies = copies
            .checked_mul(group.unwrap_or(1))
            .filter(|copies| *copies <= 20)?;
        tokens.push(Token {
            name: constituent,
            cycles: *cycles,
            copies,
        });
        rest = after.get(letter.len()..)?;
    }
    (group.is_none() && !tokens.is_empty() && tokens.len() <= 8 && species <= 40)
        .then_some((tokens, species))
}
