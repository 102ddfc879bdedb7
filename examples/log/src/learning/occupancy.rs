//! How many blank visits it takes to believe that a place is no longer used.

use super::beta::Beta;

/// Blank visits, all made in the right conditions, after which absence can be believed with
/// probability `belief`, when a visit to a used place finds the animals with chance `detection`: n
/// = ln(1 - belief) / ln(1 - p), rounded up (Kéry 2002, Inferring the absence of a species, Animal
/// Conservation 5, 330-338).
///
/// `None` unless both lie between 0 and 1.
pub fn blanks_needed(detection: f64, belief: f64) -> Option<u32> {
    let inside = |x: f64| x > 0.0 && x < 1.0;
    if !inside(detection) || !inside(belief) {
        return None;
    }
    let n = ((1.0 - belief).ln() / (1.0 - detection).ln()).ceil();
    // A chance of nearly nothing needs more visits than anyone has.
    (n <= 1e6).then_some(n as u32)
}

/// The probability that a place is still used after `blanks` visits found nothing, when it was used
/// with probability `prior` before: psi (1-p)^n / (psi (1-p)^n + 1 - psi) (Wintle, Walshe, Parris
/// and McCarthy 2012, Designing occupancy surveys and interpreting non-detection when observations
/// are imperfect, Diversity and Distributions 18).
///
/// `None` unless both probabilities lie within 0-1.
pub fn still_used(prior: f64, detection: f64, blanks: u32) -> Option<f64> {
    let within = |x: f64| (0.0..=1.0).contains(&x);
    if !within(prior) || !within(detection) {
        return None;
    }
    posterior(prior, (1.0 - detection).powf(f64::from(blanks)))
}

/// As [`still_used`], with the chance of finding them known only as far as past visits tell: the
/// chance of `blanks` misses in a row is averaged over what is known.
pub fn still_used_given(prior: f64, detection: Beta, blanks: u32) -> Option<f64> {
    if !(0.0..=1.0).contains(&prior) {
        return None;
    }
    posterior(prior, detection.misses_in_a_row(blanks))
}

fn posterior(prior: f64, missed: f64) -> Option<f64> {
    let evidence = prior * missed + (1.0 - prior);
    // Certain of use and certain to find, yet nothing found: the two beliefs cannot both hold.
    (evidence > 0.0).then(|| prior * missed / evidence)
}
