//! What is asked, and its answer.

use std::path::Path;

use clap::Args;
use wrackline_optics::{
    AirGrade, Assumptions, Claim, ClaimSpec, Comparison, Contender, Converter, ConverterGain,
    ExtensionTube, Judgement, Kit, Lens, LensQuality, LensSpec, OpticsGrade, PitchSpec, Scene,
    SceneSpec, Sensor,
};

use crate::cli::Failure;

/// The question that is asked when none is given.
const DEMO: &str = include_str!("../../demo/reach.toml");

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

    fn named(mut self) -> Self {
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
                let lens = Lens::new(LensSpec::thin(focal_length_mm, f_number, 0.001))?;
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

/// A question asked by flags.
#[derive(Args, Clone, Debug, Default)]
pub struct Flags {
    /// First kit's bare lens: focal length in mm over f-number, such as 600/4
    #[arg(long, value_name = "MM/N")]
    first: Option<String>,
    /// First kit's converter, such as 1.4
    #[arg(long, value_name = "FACTOR")]
    first_converter: Option<f64>,
    /// First kit's sensor: width x height in mm @ pixel pitch in µm, such as 23.5x15.7@3.76
    #[arg(long, value_name = "WxH@P", default_value = "36x24@4.5")]
    first_sensor: String,
    /// First kit's minimum focus from the sensor plane, in metres; eight focal lengths when left out
    #[arg(long, value_name = "M")]
    first_focus: Option<f64>,
    /// Second kit's bare lens
    #[arg(long, value_name = "MM/N", conflicts_with = "claim")]
    second: Option<String>,
    /// Second kit's converter
    #[arg(long, value_name = "FACTOR", conflicts_with = "claim")]
    second_converter: Option<f64>,
    /// Sensor of the second kit, or of the claimed lens
    #[arg(long, value_name = "WxH@P", default_value = "36x24@4.5")]
    second_sensor: String,
    /// Second kit's minimum focus
    #[arg(long, value_name = "M", conflicts_with = "claim")]
    second_focus: Option<f64>,
    /// The claim in place of a second kit: the lens that the first is said to reach like, such as 1260/4
    #[arg(long, value_name = "MM/N")]
    claim: Option<String>,
    /// The subject's length in metres, or length x height, such as 0.55x0.4
    #[arg(long, value_name = "L[xH]", default_value = "0.55x0.4")]
    subject: String,
    /// The subject's distance from the sensor plane in metres
    #[arg(long, value_name = "M", default_value_t = 40.0)]
    distance: f64,
    /// How far behind the subject the background lies, in metres
    #[arg(long, value_name = "M", default_value_t = 15.0)]
    background: f64,
    /// Exposure time in seconds, such as 1/2000
    #[arg(long, value_name = "S", default_value = "1/2000")]
    time: String,
    /// The subject's speed across the line of sight in m/s
    #[arg(long, value_name = "V", default_value_t = 0.0)]
    speed: f64,
    /// How fast the camera turns in rad/s: 0 on a firm support, about 0.03 in the hand
    #[arg(long, value_name = "RAD/S", default_value_t = 0.0)]
    drift: f64,
}

impl Flags {
    /// Whether a kit was given by flags.
    pub fn ask(&self) -> bool {
        self.first.is_some() || self.second.is_some() || self.claim.is_some()
    }
}

impl Question {
    /// The question that is asked when none is given.
    ///
    /// # Errors
    /// None that a test would not have found.
    pub fn demo() -> Result<Self, Failure> {
        Self::parse("demo/reach.toml", DEMO)
    }

    /// Reads a question from a TOML file.
    ///
    /// # Errors
    /// A message with file, line and column, value and valid range.
    pub fn read(path: &Path) -> Result<Self, Failure> {
        let name = path.display().to_string();
        let text = std::fs::read_to_string(path).map_err(|error| {
            Failure::input(format!("{name}: cannot be read: {error}; give the path of a TOML file with a question of reach"))
        })?;
        Self::parse(&name, &text)
    }

    /// Reads a question from TOML.
    ///
    /// # Errors
    /// A message with file, line and column, value and valid range.
    pub fn parse(name: &str, text: &str) -> Result<Self, Failure> {
        let form: Form =
            toml::from_str(text).map_err(|error| Failure::input(format!("{name}: {error}")))?;
        let whole = |field: &str, error: wrackline_optics::Error| {
            Failure::input(format!("{name}: {field}: {error}"))
        };
        let rival = match (form.second, form.claim) {
            (Some(kit), None) => Rival::Kit(kit.named()),
            (None, Some(claim)) => {
                let spec = ClaimSpec {
                    focal_length_mm: claim.focal_length_mm,
                    f_number: claim.f_number,
                    reference: claim.sensor,
                };
                Rival::Claim(Claim::new(spec).map_err(|error| whole("claim", error))?)
            }
            (Some(_), Some(_)) => {
                return Err(Failure::input(format!(
                    "{name}: [second] and [claim] are both there: keep one of them"
                )));
            }
            (None, None) => {
                return Err(Failure::input(format!(
                    "{name}: neither [second] nor [claim] is there: add the kit or the claim to judge the first against"
                )));
            }
        };
        let still = SceneSpec::still(form.subject.length_m, form.scene.distance_m);
        let scene = Scene::new(SceneSpec {
            background_m: form.scene.background_m.unwrap_or(still.background_m),
            time_s: form.scene.time_s.unwrap_or(still.time_s),
            speed_m_per_s: form.scene.speed_m_per_s.unwrap_or(still.speed_m_per_s),
            drift_rad_per_s: form.scene.drift_rad_per_s.unwrap_or(still.drift_rad_per_s),
            wavelength_um: form.scene.wavelength_um.unwrap_or(still.wavelength_um),
            ..still
        })
        .map_err(|error| whole("scene", error))?;
        height(form.subject.height_m)
            .map_err(|error| Failure::input(format!("{name}: subject: {error}")))?;
        let assumptions = form.assumptions;
        Ok(Self {
            subject: form.subject,
            scene,
            first: form.first.named(),
            rival,
            assumptions,
        })
    }

    /// A question from flags.
    ///
    /// # Errors
    /// A message that names the flag, the value and what to give instead.
    pub fn of_flags(flags: &Flags) -> Result<Self, Failure> {
        let missing = |flag: &str, example: &str| {
            Failure::input(format!(
                "{flag} is missing: give it, such as {flag} {example}"
            ))
        };
        let first = flags
            .first
            .as_deref()
            .ok_or_else(|| missing("--first", "600/4"))?;
        let first = kit(
            "first",
            first,
            flags.first_converter,
            &flags.first_sensor,
            flags.first_focus,
        )?;
        let rival = match (&flags.second, &flags.claim) {
            (Some(lens), _) => Rival::Kit(kit(
                "second",
                lens,
                flags.second_converter,
                &flags.second_sensor,
                flags.second_focus,
            )?),
            (None, Some(claim)) => {
                let (focal_length_mm, f_number) = pair(
                    "--claim",
                    claim,
                    '/',
                    "focal length in mm over f-number, such as 1260/4",
                )?;
                let spec = ClaimSpec {
                    focal_length_mm,
                    f_number,
                    reference: sensor("--second-sensor", &flags.second_sensor)?,
                };
                Rival::Claim(
                    Claim::new(spec)
                        .map_err(|error| Failure::input(format!("--claim {claim}: {error}")))?,
                )
            }
            (None, None) => return Err(missing("--second or --claim", "800/5.6")),
        };
        let (length_m, height_m) = if flags.subject.contains('x') {
            pair(
                "--subject",
                &flags.subject,
                'x',
                "length x height in metres, such as 0.55x0.4",
            )?
        } else {
            let length_m = number(
                "--subject",
                &flags.subject,
                "a length in metres, such as 0.55",
            )?;
            (length_m, length_m)
        };
        height(height_m)
            .map_err(|error| Failure::input(format!("--subject {}: {error}", flags.subject)))?;
        let time_s = match flags.time.strip_prefix("1/") {
            Some(part) => 1.0 / number("--time", part, "a time in seconds, such as 1/2000")?,
            None => number("--time", &flags.time, "a time in seconds, such as 1/2000")?,
        };
        let scene = Scene::new(SceneSpec {
            background_m: flags.background,
            time_s,
            speed_m_per_s: flags.speed,
            drift_rad_per_s: flags.drift,
            ..SceneSpec::still(length_m, flags.distance)
        })
        .map_err(Failure::input)?;
        let subject = SubjectForm { length_m, height_m };
        Ok(Self {
            subject,
            scene,
            first,
            rival,
            assumptions: Assumptions::default(),
        })
    }

    /// Judges it.
    ///
    /// # Errors
    /// A kit that cannot focus at the distance, or an assumption out of its range.
    pub fn answer(self) -> Result<Answer, Failure> {
        let told = |error: wrackline_optics::Error| Failure::input(error);
        let (first, second) = (
            self.first.contender(),
            self.rival.contender().map_err(told)?,
        );
        let of = |name: &str, contender: &Contender| {
            let distance_m = self.scene.spec().distance_m;
            contender
                .kit
                .focused_at_m(distance_m)
                .map_err(|error| Failure::input(format!("{name}: {error}")))
        };
        // Told apart by name, since the verdict alone would not say whose focus is at fault.
        of(&self.first.name, &first)?;
        of(&self.rival.name(), &second)?;
        let (scene, assumptions) = (&self.scene, &self.assumptions);
        let verdicts = match &self.rival {
            Rival::Claim(claim) => Verdicts::Claim(Box::new(
                Judgement::of(&first, claim, scene, assumptions).map_err(told)?,
            )),
            Rival::Kit(_) => Verdicts::Kits {
                comparison: Box::new(
                    Comparison::of(&first, &second, scene, assumptions).map_err(told)?,
                ),
                first_against_cropped: against_cropped(&first, scene, assumptions)?,
                second_against_cropped: against_cropped(&second, scene, assumptions)?,
            },
        };
        let case = (OpticsGrade::Good, AirGrade::Calm);
        let converter_gain = ConverterGain::of(&first, scene, assumptions, case).map_err(told)?;
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
) -> Result<Option<Box<Comparison>>, Failure> {
    Ok(Comparison::against_cropped(contender, scene, assumptions)
        .map_err(Failure::input)?
        .map(Box::new))
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
    /// Up to which f-number the first kit's converter adds detail with good optics in calm air; nothing without one.
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

fn height(height_m: f64) -> Result<(), String> {
    if height_m.is_finite() && height_m > 0.0 && height_m <= 1e6 {
        Ok(())
    } else {
        Err(format!(
            "height of the subject is {height_m} m: give a value above zero and up to 1000000"
        ))
    }
}

fn kit(
    which: &str,
    lens: &str,
    factor: Option<f64>,
    chip: &str,
    focus: Option<f64>,
) -> Result<KitForm, Failure> {
    let flag = format!("--{which}");
    let (focal_length_mm, f_number) = pair(
        &flag,
        lens,
        '/',
        "focal length in mm over f-number, such as 600/4",
    )?;
    let minimum_m = focus.unwrap_or(8.0 * focal_length_mm / 1000.0);
    let lens = Lens::new(LensSpec::thin(focal_length_mm, f_number, minimum_m))
        .map_err(|error| Failure::input(format!("{flag} {lens}: {error}")))?;
    let converter = factor
        .map(|factor| {
            Converter::new(factor)
                .map_err(|error| Failure::input(format!("{flag}-converter {factor}: {error}")))
        })
        .transpose()?;
    let sensor = sensor(&format!("{flag}-sensor"), chip)?;
    Ok(KitForm {
        name: String::new(),
        lens,
        tube_mm: None,
        converter,
        sensor,
        measured: None,
    }
    .named())
}

fn sensor(flag: &str, text: &str) -> Result<Sensor, Failure> {
    const FORM: &str = "width x height in mm @ pixel pitch in µm, such as 36x24@4.5";
    let (sides, pitch) = text
        .split_once('@')
        .ok_or_else(|| wrong(flag, text, FORM))?;
    let (width_mm, height_mm) = pair(flag, sides, 'x', FORM)?;
    let pixel_pitch_um = number(flag, pitch, FORM)?;
    Sensor::of_pitch(PitchSpec {
        width_mm,
        height_mm,
        pixel_pitch_um,
    })
    .map_err(|error| Failure::input(format!("{flag} {text}: {error}")))
}

fn pair(flag: &str, text: &str, between: char, form: &str) -> Result<(f64, f64), Failure> {
    let (one, other) = text
        .split_once(between)
        .ok_or_else(|| wrong(flag, text, form))?;
    Ok((number(flag, one, form)?, number(flag, other, form)?))
}

fn number(flag: &str, text: &str, form: &str) -> Result<f64, Failure> {
    text.trim().parse().map_err(|_| wrong(flag, text, form))
}

fn wrong(flag: &str, text: &str, form: &str) -> Failure {
    Failure::input(format!("{flag}: \"{text}\" cannot be read: give {form}"))
}
