//! Words that people write for the values of a list.

use alloc::string::ToString;

use crate::error::Error;

/// The refusal of a word.
pub(crate) fn unknown(what: &'static str, given: &str, expected: &'static str) -> Error {
    // A message quotes the beginning of what may be a whole file.
    const SHOWN: usize = 40;
    let given = if given.chars().count() > SHOWN {
        given.chars().take(SHOWN).chain("...".chars()).collect()
    } else {
        given.to_string()
    };
    Error::UnknownWord {
        what,
        given,
        expected,
    }
}

/// Whether two words are the same, whatever their case and whether their parts are joined by a
/// space, a hyphen or a low line.
pub(crate) fn same(one: &str, other: &str) -> bool {
    let plain = |byte: u8| match byte {
        b'_' | b'-' => b' ',
        other => other.to_ascii_lowercase(),
    };
    one.bytes().map(plain).eq(other.bytes().map(plain))
}

/// `Display` and `FromStr` of an enum by one list of words.
macro_rules! words {
    ($type:ident, $what:literal: {
        $first:ident => $first_word:literal $(, $variant:ident => $word:literal)* $(,)?
    }) => {
        /// In the word that [`FromStr`](core::str::FromStr) reads.
        impl core::fmt::Display for $type {
            fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
                f.pad(match self {
                    Self::$first => $first_word,
                    $(Self::$variant => $word,)*
                })
            }
        }

        /// From the word that `Display` writes or the one that `serde` writes, in any case.
        impl core::str::FromStr for $type {
            type Err = $crate::Error;

            fn from_str(text: &str) -> core::result::Result<Self, Self::Err> {
                let text = text.trim();
                if $crate::words::same(text, $first_word) {
                    return Ok(Self::$first);
                }
                $(if $crate::words::same(text, $word) {
                    return Ok(Self::$variant);
                })*
                const EXPECTED: &str = concat!($first_word $(, ", ", $word)*);
                Err($crate::words::unknown($what, text, EXPECTED))
            }
        }
    };
}

pub(crate) use words;
