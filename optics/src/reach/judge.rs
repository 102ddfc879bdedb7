//! A claim, taken apart.

use crate::error::Result;
use crate::kit::Kit;
use crate::lens::{Lens, LensSpec};
use crate::reach::compare::{Comparison, compare};
use crate::reach::finding::Finding;
use crate::reach::scene::{Assumptions, Claim, Scene};
use crate::reach::verdict::{Band, Meaning, Statement, Verdict};
use crate::reach::view::Contender;

/// Whether the kit *is* the lens that was claimed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct LensAsSuch {
    /// The kit's focal length at infinity, in millimetres.
    pub focal_length_mm: f64,
    /// The kit's f-number at infinity.
    pub f_number: f64,
    /// Whether that is the lens of the claim.
    pub verdict: Verdict,
}

/// A claim, taken apart.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Judgement {
    /// Whether the kit is the lens of the claim.
    pub lens: LensAsSuch,
    /// The focal length in millimetres that has the kit's angle of view at infinity on the
    /// reference sensor: what framing is judged by.
    pub equivalent_focal_length_mm: f64,
    /// The focal length in millimetres of a thin lens that takes in the kit's field at the scene's
    /// distance on that sensor.
    pub equivalent_at_subject_mm: f64,
    /// The kit against the claimed lens: "it reaches as far".
    pub comparison: Comparison,
    /// The kit against its own bare lens, cropped; nothing without a converter.
    pub against_cropped: Option<Comparison>,
}

impl Judgement {
    /// Judges "this kit reaches like that lens" for every meaning of reach. The claimed lens is
    /// thin and focuses as near as it must.
    ///
    /// # Errors
    /// Those of [`Comparison::of`](crate::Comparison::of).
    pub fn of(
        contender: impl Into<Contender>,
        claim: &Claim,
        scene: &Scene,
        assumptions: &Assumptions,
    ) -> Result<Self> {
        let contender = &contender.into();
        let kit = contender.kit;
        let said = claim.spec();
        let thin = Lens::new(LensSpec {
            focal_length_mm: said.focal_length_mm,
            f_number: said.f_number,
            // As near as a lens of fixed focal length can: only its optics are asked.
            minimum_focus_m: 4.0 * said.focal_length_mm / 1000.0,
            ..LensSpec::THIN
        })?;
        let claimed = Contender::from(Kit::new(thin, None, said.reference));
        let mut comparison = compare(Statement::AsFar, contender, &claimed, scene, assumptions)?;
        let equivalent_focal_length_mm = kit.equivalent_focal_length_mm(&said.reference);
        let ratio = equivalent_focal_length_mm / said.focal_length_mm;
        comparison.findings[Meaning::Framing as usize] = Finding {
            quantity: "equivalent focal length",
            unit: "mm",
            first: Band::point(equivalent_focal_length_mm),
            second: Band::point(said.focal_length_mm),
            ratio: Band::point(ratio),
            verdict: Verdict::plain(Statement::AsFar.holds(ratio, assumptions.tolerance)),
            ..comparison.findings[Meaning::Framing as usize]
        };
        let same_field =
            comparison.first.magnification * kit.sensor().crop_factor_by_width(&said.reference);
        let length = kit.focal_length_mm() / said.focal_length_mm - 1.0;
        let f_number = kit.effective_f_number() / said.f_number - 1.0;
        let is_it =
            length.abs() <= assumptions.tolerance && f_number.abs() <= assumptions.tolerance;
        Ok(Self {
            lens: LensAsSuch {
                focal_length_mm: kit.focal_length_mm(),
                f_number: kit.effective_f_number(),
                verdict: Verdict::plain(is_it),
            },
            equivalent_focal_length_mm,
            equivalent_at_subject_mm: scene.spec().distance_m * 1000.0
                / (2.0 + same_field + 1.0 / same_field),
            comparison,
            against_cropped: Comparison::against_cropped(contender, scene, assumptions)?,
        })
    }
}
