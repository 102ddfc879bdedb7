//! In which order windows stand, and which are kept.

use super::found::Outing;
use crate::experience::explore::{self, Pick};

/// The rarest wanted picture first, then the most minutes of good light with animals expected; of
/// equals the earlier, then by seat and subject, so that the same input always gives the same
/// order.
pub(super) fn rank(outings: &mut [Outing<'_>]) {
    let rarest = |outing: &Outing<'_>| {
        outing
            .brings
            .first()
            .map_or(u32::MAX, |wanted| wanted.taken)
    };
    outings.sort_by(|a, b| {
        rarest(a)
            .cmp(&rarest(b))
            .then_with(|| b.score.total_cmp(&a.score))
            .then_with(|| a.window.stretch.start.cmp(&b.window.stretch.start))
            .then_with(|| a.seat.id.cmp(&b.seat.id))
            .then_with(|| a.subject.id.cmp(&b.subject.id))
    });
}

/// The best, with a share of them given to those about which least is known: who only ever goes
/// where it worked before never learns where else it would. Without a log there is nothing to find
/// out.
pub(super) fn keep_some_to_find_out(outings: Vec<Outing<'_>>, keep: usize) -> Vec<Outing<'_>> {
    let width = |outing: &Outing<'_>| outing.learned.map(|chance| chance.interval.width());
    let widths: Vec<f64> = outings.iter().filter_map(width).collect();
    if widths.len() < outings.len() || outings.len() <= keep {
        return outings.into_iter().take(keep).collect();
    }
    let picks = explore::pick(&widths, keep, explore::SHARE);
    let mut outings: Vec<Option<Outing<'_>>> = outings.into_iter().map(Some).collect();
    let picked = picks.into_iter().filter_map(|(index, pick)| {
        let mut outing = outings.get_mut(index)?.take()?;
        // Where all are known alike there is nothing to find out.
        outing.to_find_out = pick == Pick::Explore && widths[index] > widths[0];
        Some(outing)
    });
    picked.collect()
}
