//! A question judged.

use wrackline_optics::{
    Assumptions, Comparison, Contender, Judgement, Scene,
    reach::{AirGrade, ConverterGain, OpticsGrade},
};

use super::Error;
use super::form::Rival;
use super::question::Question;

/// A question with its answer.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Answer {
    /// What was asked.
    pub question: Question,
    /// What the rival is called.
    pub second_name: String,
    /// Both kits.
    pub contenders: [Contender; 2],
    /// The verdicts.
    pub verdicts: Verdicts,
    /// Up to which f-number the first kit's converter adds detail with good optics in calm air;
    /// nothing without one.
    pub converter_gain: Option<ConverterGain>,
}

impl Answer {
    /// The comparison of the two.
    pub fn comparison(&self) -> &Comparison {
        match &self.verdicts {
            Verdicts::Claim(judgement) => &judgement.comparison,
            Verdicts::Kits { comparison, .. } => comparison,
        }
    }
}

/// The verdicts on a claim or on two kits.
#[derive(Clone, Debug, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdicts {
    /// On a claim.
    Claim(Box<Judgement>),
    /// On two kits.
    Kits {
        /// Whether the first reaches farther.
        comparison: Box<Comparison>,
        /// The first kit's converter against its bare lens, cropped.
        first_against_cropped: Option<Box<Comparison>>,
        /// The second kit's converter against its bare lens, cropped.
        second_against_cropped: Option<Box<Comparison>>,
    },
}

impl Question {
    /// Judges it.
    ///
    /// # Errors
    /// A kit that cannot focus at the distance, or an assumption out of its range.
    pub fn answer(self) -> Result<Answer, Error> {
        let (first, second) = (self.first.contender(), self.rival.contender()?);
        let of = |name: &str, contender: &Contender| {
            let distance_m = self.scene.spec().distance_m;
            contender
                .kit
                .focused_at_m(distance_m)
                .map_err(|source| Error::Focus {
                    kit: name.to_owned(),
                    source,
                })
        };
        // Told apart by name, since the verdict alone would not say whose focus is at fault.
        of(&self.first.name, &first)?;
        of(&self.rival.name(), &second)?;
        let (scene, assumptions) = (&self.scene, &self.assumptions);
        let verdicts = match &self.rival {
            Rival::Claim(claim) => {
                Verdicts::Claim(Box::new(Judgement::of(&first, claim, scene, assumptions)?))
            }
            Rival::Kit(_) => Verdicts::Kits {
                comparison: Box::new(Comparison::of(&first, &second, scene, assumptions)?),
                first_against_cropped: against_cropped(&first, scene, assumptions)?,
                second_against_cropped: against_cropped(&second, scene, assumptions)?,
            },
        };
        let case = (OpticsGrade::Good, AirGrade::Calm);
        let converter_gain = ConverterGain::of(&first, scene, assumptions, case)?;
        Ok(Answer {
            second_name: self.rival.name(),
            contenders: [first, second],
            question: self,
            verdicts,
            converter_gain,
        })
    }
}

fn against_cropped(
    contender: &Contender,
    scene: &Scene,
    assumptions: &Assumptions,
) -> Result<Option<Box<Comparison>>, Error> {
    Ok(Comparison::against_cropped(contender, scene, assumptions)?.map(Box::new))
}
