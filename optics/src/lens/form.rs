//! How a lens is written down.

use super::{Lens, LensSpec};
use crate::error::{Error, Result};

#[derive(serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LensForm {
    focal_length_mm: f64,
    f_number: f64,
    minimum_focus_m: f64,
    #[serde(default = "super::spec::one")]
    pupil_magnification: f64,
    #[serde(default)]
    principal_separation_mm: f64,
    /// The magnification at the minimum focus, for a lens that breathes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    breathing_to_magnification: Option<f64>,
    /// The greatest magnification, for a lens moved as a whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    largest_magnification: Option<f64>,
}

impl TryFrom<LensForm> for Lens {
    type Error = Error;

    fn try_from(form: LensForm) -> Result<Self> {
        let spec = LensSpec {
            focal_length_mm: form.focal_length_mm,
            f_number: form.f_number,
            minimum_focus_m: form.minimum_focus_m,
            pupil_magnification: form.pupil_magnification,
            principal_separation_mm: form.principal_separation_mm,
        };
        // Two statements of one thing must agree.
        let agree = |what, value: f64, implied: f64, unit| {
            if (value / implied - 1.0).abs() <= 1e-6 {
                Ok(())
            } else {
                Err(Error::Contradiction {
                    what,
                    value,
                    implied,
                    unit,
                })
            }
        };
        match (form.breathing_to_magnification, form.largest_magnification) {
            (Some(magnification), largest) => {
                let lens = Self::breathing_to(spec, magnification)?;
                let largest = largest.unwrap_or(magnification);
                agree("greatest magnification", largest, magnification, "")?;
                Ok(lens)
            }
            (None, Some(magnification)) => {
                let lens = Self::checked(spec)?.reaching(magnification)?;
                let implied = lens.spec.minimum_focus_m;
                agree("minimum focus", spec.minimum_focus_m, implied, "m")?;
                Ok(lens)
            }
            (None, None) => Self::new(spec),
        }
    }
}

impl From<Lens> for LensForm {
    fn from(lens: Lens) -> Self {
        let plain = Lens::new(lens.spec).map_or(0.0, |plain| plain.largest_magnification);
        Self {
            focal_length_mm: lens.spec.focal_length_mm,
            f_number: lens.spec.f_number,
            minimum_focus_m: lens.spec.minimum_focus_m,
            pupil_magnification: lens.spec.pupil_magnification,
            principal_separation_mm: lens.spec.principal_separation_mm,
            breathing_to_magnification: lens.breathes().then_some(lens.largest_magnification),
            largest_magnification: (!lens.breathes() && lens.largest_magnification != plain)
                .then_some(lens.largest_magnification),
        }
    }
}
