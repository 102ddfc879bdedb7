//! Whose names: lines that offices mean by a name which the list, or another office, gives to
//! another line.

use alloc::string::{String, ToString};
use alloc::vec::Vec;

/// Whose names a set of constants uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Office {
    /// The list of the IHO.
    Iho,
    /// Foreman's manual and the programs that carry its table.
    Foreman,
    /// The Dutch office.
    Rijkswaterstaat,
}

/// What a name stands for.
pub(crate) enum Meaning<'a> {
    /// This name of the catalogue.
    Listed(&'a str),
    /// One of these, each to be written so that it means nothing else.
    Unsettled(Vec<String>),
}

/// Names that an office gives to another line than the list does, and the catalogue's name for that
/// line. SA runs with h - p1 and S1 with T + p1 in Foreman's table, where M7 is 3.5 times M2
/// (programs that bring M2 into one turn first turn such an M7 by half a turn from time to time),
/// 3KM5 is K2 + K1 + M2 and OQ2 is the line of 3N2; the Dutch office makes M5 and M7 of M1.
const OWN: &[(&str, Office, &str)] = &[
    ("SA", Office::Foreman, "SA(FOREMAN)"),
    ("S1", Office::Foreman, "S1(FOREMAN)"),
    ("OQ2", Office::Foreman, "3N2"),
    ("ST3", Office::Foreman, "2MS2K2"),
    ("ST4", Office::Foreman, "2KN2S2"),
    ("3KM5", Office::Foreman, "3KM5(FOREMAN)"),
    ("M7", Office::Foreman, "M7(FOREMAN)"),
    ("M5", Office::Rijkswaterstaat, "M5(RIJKSWATERSTAAT)"),
    ("M7", Office::Rijkswaterstaat, "M7(RIJKSWATERSTAAT)"),
];

/// Names that would be a guess, the office for which they are settled by the list, and what else
/// they may mean.
const UNSETTLED: &[(&str, Option<Office>, &[&str])] = &[
    (
        "ST3",
        None,
        &["2MS2K2 (Foreman, 27.8039)", "T3 (IHO, 44.9589)"],
    ),
    (
        "ST4",
        Some(Office::Iho),
        &["2KN2S2 (Foreman, 28.6040)", "ST4(IHO) (59.9589)"],
    ),
    // Compounds that other lists read otherwise than Annex B would.
    ("2OOK1", None, SUM),
    ("2JK3", None, SUM),
    ("3KS4", None, SUM),
    ("NKS5", None, SUM),
    ("MSM5", None, SUM),
];

const SUM: &[&str] = &["the sum of lines it stands for, as a definition of your own"];

/// Foreman's table has one line at the place of M1, which others make of two.
const FOREMANS_M1: &[&str] = &["NO1 (14.4967)"];

/// What an office means by a normalised name; no office: what everyone does.
pub(crate) fn meaning(key: &str, office: Option<Office>) -> Meaning<'_> {
    if let Some(listed) = key.strip_suffix("(IHO)") {
        return Meaning::Listed(listed);
    }
    if let Some((_, _, own)) = OWN
        .iter()
        .find(|(name, whose, _)| *name == key && Some(*whose) == office)
    {
        return Meaning::Listed(own);
    }
    let unsettled = UNSETTLED.iter().find(|(name, settled_for, _)| {
        *name == key && (settled_for.is_none() || *settled_for != office)
    });
    let meanings = match unsettled {
        Some((_, _, meanings)) => meanings,
        None if key == "M1" && office == Some(Office::Foreman) => FOREMANS_M1,
        None => return Meaning::Listed(key),
    };
    Meaning::Unsettled(meanings.iter().map(ToString::to_string).collect())
}
