//! What is asked, and its answer.

use wrackline_optics::{
    Assumptions, Claim, ClaimSpec, Comparison, Contender, Converter, ExtensionTube, Judgement, Kit,
    Lens, LensSpec, Scene, SceneSpec, Sensor,
    detail::LensQuality,
    reach::{AirGrade, ConverterGain, OpticsGrade},
};

use super::Error;

/// The longest subject, metres: no animal comes near it, a flock in one picture may; our default.
const LONGEST_M: f64 = 100.0;

/// The least f-number that a lens in air can have: by Abbe's sine condition it is half the inverse
/// of the sine of the cone's half angle (Born and Wolf, Principles of Optics, section 4.8; from
/// memory), and no sine exceeds one.
pub(crate) const LEAST_F_NUMBER: f64 = 0.5;

/// The question that is asked when none is given.
const DEMO: &str = include_str!("../../../demo/reach.toml");

/// Two kits, or a kit and a claim, before one subject.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Question {
    /// The subject as a box.
    pub subject: SubjectForm,
    /// What both look at.
    pub scene: Scene,
    /// The kit that is judged.
    pub first: KitForm,
    /// What it is judged against.
    pub rival: Rival,
    /// What is assumed where nobody has measured.
    pub assumptions: Assumptions,
}

/// Length and height of the subject.
#[derive(Clone, Copy, Debug, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SubjectForm {
    /// Length across the frame in metres.
    pub length_m: f64,
    /// Height in metres.
    pub height_m: f64,
}

impl SubjectForm {
    /// Whether an animal, or a flock as one, can have such sides.
    ///
    /// # Errors
    /// The value and the valid range.
    pub fn check(&self) -> Result<(), String> {
        for (side, value_m) in [("length", self.length_m), ("height", self.height_m)] {
            if !(value_m > 0.0 && value_m <= LONGEST_M) {
                return Err(format!(
                    "{side} of the subject is {value_m:?} m: give a value above zero and up to \
                     {LONGEST_M}"
                ));
            }
        }
        Ok(())
    }
}

/// A kit as it is written down.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KitForm {
    /// What it is called; made from its figures when left out.
    #[serde(default)]
    pub name: String,
    /// The bare lens.
    pub lens: Lens,
    /// An extension tube, by its length in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tube_mm: Option<ExtensionTube>,
    /// A converter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub converter: Option<Converter>,
    /// The sensor.
    pub sensor: Sensor,
    /// The bare lens's sharpness, if somebody has measured it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured: Option<LensQuality>,
}

impl KitForm {
    /// The kit with what is known of its lens.
    pub fn contender(&self) -> Contender {
        let kit = Kit::new(self.lens, self.converter, self.sensor);
        let kit = self.tube_mm.map_or(kit, |tube| kit.with_tube(tube));
        Contender {
            kit,
            measured: self.measured.clone(),
        }
    }

    /// The same kit, with a name made from its figures if it has none.
    #[must_use]
    pub fn named(mut self) -> Self {
        if self.name.is_empty() {
            let lens = self.lens.spec();
            let converter = self.converter.map_or_else(String::new, |converter| {
                format!(" with {}x", rounded(converter.factor(), 3))
            });
            let tube = self.tube_mm.map_or_else(String::new, |tube| {
                format!(" and {} mm tube", rounded(tube.length_mm(), 1))
            });
            self.name = format!(
                "{} mm f/{}{converter}{tube} on {} x {} mm, {} µm",
                rounded(lens.focal_length_mm, 1),
                rounded(lens.f_number, 2),
                rounded(self.sensor.width_mm(), 1),
                rounded(self.sensor.height_mm(), 1),
                rounded(self.sensor.pixel_pitch_um(), 2),
            );
        }
        self
    }
}

/// A number without needless zeros.
fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// What a kit is judged against.
#[derive(Clone, Debug, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Rival {
    /// Another kit: does the first reach farther?
    Kit(KitForm),
    /// A claim: does the first reach as far?
    Claim(Claim),
}

impl Rival {
    /// What it is called.
    pub fn name(&self) -> String {
        match self {
            Self::Kit(kit) => kit.name.clone(),
            Self::Claim(claim) => {
                let ClaimSpec {
                    focal_length_mm,
                    f_number,
                    reference,
                } = claim.spec();
                format!(
                    "a lens of {} mm f/{} on {} x {} mm, {} µm",
                    rounded(focal_length_mm, 1),
                    rounded(f_number, 2),
                    rounded(reference.width_mm(), 1),
                    rounded(reference.height_mm(), 1),
                    rounded(reference.pixel_pitch_um(), 2),
                )
            }
        }
    }

    /// The rival as a kit; a claimed lens is thin and focuses as near as it must.
    fn contender(&self) -> Result<Contender, wrackline_optics::Error> {
        match self {
            Self::Kit(kit) => Ok(kit.contender()),
            Self::Claim(claim) => {
                let ClaimSpec {
                    focal_length_mm,
                    f_number,
                    reference,
                } = claim.spec();
                let spec = LensSpec {
                    focal_length_mm,
                    f_number,
                    ..LensSpec::THIN
                };
                let lens = Lens::new(spec.to_life_size())?;
                Ok(Kit::new(lens, None, reference).into())
            }
        }
    }
}

/// A question as it is written in TOML.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Form {
    subject: SubjectForm,
    scene: SceneForm,
    first: KitForm,
    second: Option<KitForm>,
    claim: Option<ClaimForm>,
    #[serde(default)]
    assumptions: Assumptions,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct SceneForm {
    distance_m: f64,
    background_m: Option<f64>,
    time_s: Option<f64>,
    speed_m_per_s: Option<f64>,
    drift_rad_per_s: Option<f64>,
    wavelength_um: Option<f64>,
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct ClaimForm {
    focal_length_mm: f64,
    f_number: f64,
    sensor: Sensor,
}

impl Question {
    /// The question that is asked when none is given.
    ///
    /// # Errors
    /// None that a test would not have found.
    pub fn demo() -> Result<Self, Error> {
        Self::parse("demo/reach.toml", DEMO)
    }

    /// Reads a question from TOML.
    ///
    /// # Errors
    /// A message with file, line and column, value and valid range.
    pub fn parse(name: &str, text: &str) -> Result<Self, Error> {
        let form: Form = toml::from_str(text).map_err(|source| Error::Toml {
            name: name.to_owned(),
            source,
        })?;
        let whole = |field: &'static str, error: &dyn std::fmt::Display| Error::Field {
            name: name.to_owned(),
            field,
            what: error.to_string(),
        };
        let rival = match (form.second, form.claim) {
            (Some(kit), None) => Rival::Kit(kit.named()),
            (None, Some(claim)) => {
                let spec = ClaimSpec {
                    focal_length_mm: claim.focal_length_mm,
                    f_number: claim.f_number,
                    reference: claim.sensor,
                };
                Rival::Claim(Claim::new(spec).map_err(|error| whole("claim", &error))?)
            }
            (Some(_), Some(_)) => {
                return Err(Error::TwoRivals {
                    name: name.to_owned(),
                });
            }
            (None, None) => {
                return Err(Error::NoRival {
                    name: name.to_owned(),
                });
            }
        };
        let still = SceneSpec::STILL;
        let scene = Scene::new(SceneSpec {
            subject_m: form.subject.length_m,
            distance_m: form.scene.distance_m,
            background_m: form.scene.background_m.unwrap_or(still.background_m),
            time_s: form.scene.time_s.unwrap_or(still.time_s),
            speed_m_per_s: form.scene.speed_m_per_s.unwrap_or(still.speed_m_per_s),
            drift_rad_per_s: form.scene.drift_rad_per_s.unwrap_or(still.drift_rad_per_s),
            wavelength_um: form.scene.wavelength_um.unwrap_or(still.wavelength_um),
        })
        .map_err(|error| whole("scene", &error))?;
        let question = Self {
            subject: form.subject,
            scene,
            first: form.first.named(),
            rival,
            assumptions: form.assumptions,
        };
        question
            .check()
            .map_err(|(field, what)| whole(field, &what))?;
        Ok(question)
    }

    /// Whether such a subject and such lenses can be.
    ///
    /// # Errors
    /// What cannot be, by the name of its table, with the value and the valid range.
    pub fn check(&self) -> Result<(), (&'static str, String)> {
        self.subject.check().map_err(|what| ("subject", what))?;
        let rival = match &self.rival {
            Rival::Kit(kit) => ("second", kit.lens.spec().f_number),
            Rival::Claim(claim) => ("claim", claim.spec().f_number),
        };
        for (name, f_number) in [("first", self.first.lens.spec().f_number), rival] {
            if f_number < LEAST_F_NUMBER {
                let what = format!(
                    "f-number {f_number:?} is more than any lens in air can have: give \
                     {LEAST_F_NUMBER} or more"
                );
                return Err((name, what));
            }
        }
        Ok(())
    }

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
