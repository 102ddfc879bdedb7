//! Words that are not known, answered with those that are.

/// The known word that a misspelt one is likeliest to mean.
pub fn nearest<'w>(word: &str, known: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    known
        .map(|candidate| {
            (
                strsim::jaro_winkler(&word.to_lowercase(), &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(score, _)| *score > LIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, candidate)| candidate)
}

/// Words less alike than this mean something else: our choice.
const LIKE: f64 = 0.8;
