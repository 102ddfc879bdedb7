//! Words that people write for the values of a list.

use alloc::string::{String, ToString};

/// A word that stands for nothing here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{given:?} is no {what}: give {expected}")]
pub struct UnknownWord {
    what: &'static str,
    given: String,
    expected: &'static str,
}

impl UnknownWord {
    pub(crate) fn new(what: &'static str, given: &str, expected: &'static str) -> Self {
        // A message quotes the beginning of what may be a whole file.
        const SHOWN: usize = 40;
        let given = if given.chars().count() > SHOWN {
            given.chars().take(SHOWN).chain("...".chars()).collect()
        } else {
            given.to_string()
        };
        Self {
            what,
            given,
            expected,
        }
    }

    /// What was looked for, in words.
    #[must_use]
    pub fn what(&self) -> &'static str {
        self.what
    }

    /// What was given, its beginning if it is long.
    #[must_use]
    pub fn given(&self) -> &str {
        &self.given
    }

    /// What would be understood.
    #[must_use]
    pub fn expected(&self) -> &'static str {
        self.expected
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
            type Err = $crate::words::UnknownWord;

            fn from_str(text: &str) -> core::result::Result<Self, Self::Err> {
                let text = text.trim();
                if $crate::words::same(text, $first_word) {
                    return Ok(Self::$first);
                }
                $(if $crate::words::same(text, $word) {
                    return Ok(Self::$variant);
                })*
                const EXPECTED: &str = concat!($first_word $(, ", ", $word)*);
                Err($crate::words::UnknownWord::new($what, text, EXPECTED))
            }
        }
    };
}

pub(crate) use words;
