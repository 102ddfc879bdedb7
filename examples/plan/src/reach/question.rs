//! What is asked.

use wrackline_optics::{Assumptions, Claim, ClaimSpec, Scene, SceneSpec, Sensor};

use super::Error;
use super::form::{KitForm, Rival, SubjectForm};

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
}
