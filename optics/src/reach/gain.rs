//! How far stopping down leaves a converter anything to add.

use core::fmt;

use crate::error::Result;
use crate::reach::scene::{Assumptions, Scene};
use crate::reach::verdict::{AirGrade, OpticsGrade};
use crate::reach::view::{Contender, View};

/// The f-number up to which a converter adds detail.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum ConverterGain {
    /// Up to this f-number of the bare lens, to a thousandth.
    UpTo {
        /// The f-number.
        f_number: f64,
    },
    /// Not at any f-number from 1 on.
    Nowhere,
    /// At every f-number up to 64.
    Everywhere,
}

/// "up to f/7.1 of the bare lens", "at no f-number" or "at every f-number up to 64".
impl fmt::Display for ConverterGain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UpTo { f_number } => write!(f, "up to f/{f_number:.1} of the bare lens"),
            Self::Nowhere => f.write_str("at no f-number"),
            Self::Everywhere => f.write_str("at every f-number up to 64"),
        }
    }
}

impl ConverterGain {
    /// The f-number of the bare lens at which a kit's converter stops adding detail against the
    /// bare lens cropped, in one case of optics and air: where the gain falls to the tolerance of
    /// detail. `None` for a kit without a converter.
    ///
    /// # Errors
    /// Those of [`Comparison::of`](crate::Comparison::of).
    pub fn of(
        contender: impl Into<Contender>,
        scene: &Scene,
        assumptions: &Assumptions,
        case: (OpticsGrade, AirGrade),
    ) -> Result<Option<Self>> {
        assumptions.check()?;
        let contender = contender.into();
        let kit = contender.kit;
        if kit.converter().is_none() {
            return Ok(None);
        }
        let gain = |f_number: f64| -> Result<f64> {
            let stopped = kit.stopped_to(f_number)?;
            let with = Contender {
                kit: stopped,
                measured: contender.measured.clone(),
            };
            let without = Contender {
                kit: stopped.without_converter(),
                measured: contender.measured.clone(),
            };
            let resolved = |contender: &Contender| {
                View::new(contender, scene, assumptions)?.detail(
                    case.0,
                    case.1,
                    assumptions.contrast,
                )
            };
            Ok(resolved(&with)?.at_subject_lp_per_mm / resolved(&without)?.at_subject_lp_per_mm)
        };
        let enough = 1.0 + assumptions.detail_tolerance;
        let (mut low, mut high) = (1.0, 64.0);
        if gain(low)? <= enough {
            return Ok(Some(Self::Nowhere));
        }
        if gain(high)? > enough {
            return Ok(Some(Self::Everywhere));
        }
        while high / low > 1.001 {
            let middle = libm::sqrt(low * high);
            if gain(middle)? > enough {
                low = middle
            } else {
                high = middle
            }
        }
        Ok(Some(Self::UpTo {
            f_number: libm::sqrt(low * high),
        }))
    }
}
