//! Keeping a share of visits for finding out: always going where it worked before never teaches
//! where else it would.

/// Why a candidate was picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pick {
    /// It ranks highest.
    Best,
    /// Least is known about it.
    Explore,
}

/// One visit in five is for finding out: our choice.
pub const SHARE: f64 = 0.2;

/// Picks `visits` of the candidates, which stand in order of rank: a share of them where the least
/// is known, by the width of the interval of the chance, the rest by rank. Returns indices in order
/// of rank; ties go to the higher rank.
///
/// A share outside 0-1 counts as the nearer end. The exploratory picks are rounded down, so that
/// whoever goes out four times at a share of a fifth goes where it works.
pub fn pick(widths: &[f64], visits: usize, share: f64) -> Vec<(usize, Pick)> {
    let visits = visits.min(widths.len());
    let share = if share.is_nan() {
        0.0
    } else {
        share.clamp(0.0, 1.0)
    };
    // A hair is added so that 0.2 of 5 is 1 whatever the rounding.
    let exploratory = ((visits as f64) * share + 1e-9) as usize;
    let mut picks: Vec<(usize, Pick)> = (0..visits - exploratory)
        .map(|index| (index, Pick::Best))
        .collect();
    let mut rest: Vec<usize> = (visits - exploratory..widths.len()).collect();
    rest.sort_by(|a, b| widths[*b].total_cmp(&widths[*a]).then(a.cmp(b)));
    picks.extend(
        rest.into_iter()
            .take(exploratory)
            .map(|index| (index, Pick::Explore)),
    );
    picks.sort_by_key(|(index, _)| *index);
    picks
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_in_five_goes_where_least_is_known() {
        let widths = [0.1, 0.2, 0.3, 0.2, 0.4, 0.9, 0.5];
        let picks = pick(&widths, 5, SHARE);
        assert_eq!(picks.len(), 5);
        assert_eq!(picks[4], (5, Pick::Explore));
        assert!(
            picks[..4]
                .iter()
                .enumerate()
                .all(|(i, pick)| *pick == (i, Pick::Best))
        );
    }

    #[test]
    fn shares_at_and_beyond_the_ends() {
        assert!(
            pick(&[0.5, 0.5], 2, -1.0)
                .iter()
                .all(|(_, why)| *why == Pick::Best)
        );
        assert!(
            pick(&[0.5, 0.5], 2, 7.0)
                .iter()
                .all(|(_, why)| *why == Pick::Explore)
        );
        assert!(pick(&[], 3, 0.5).is_empty());
        assert_eq!(pick(&[0.1], 3, f64::NAN), [(0, Pick::Best)]);
    }
}
