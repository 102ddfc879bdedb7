//! A question of reach, asked by flags.

use clap::Args;
use wrackline_optics::{
    Assumptions, Claim, ClaimSpec, Converter, Lens, LensSpec, PitchSpec, Scene, SceneSpec, Sensor,
};
use wrackline_plan::reach::{KitForm, Question, Rival, SubjectForm};

use crate::cli::Failure;

/// A question asked by flags.
#[derive(Args, Clone, Debug, Default, PartialEq)]
pub(crate) struct Flags {
    /// For a scenario: which of its kits is judged, such as "tele-600 on body-large"; the one that
    /// puts most pixels on a subject when left out
    #[arg(
        long,
        value_name = "NAME",
        requires = "question",
        conflicts_with = "first"
    )]
    pub(super) kit: Option<String>,
    /// For a scenario: which of its kits it is judged against
    #[arg(
        long,
        value_name = "NAME",
        requires = "question",
        conflicts_with_all = ["second", "claim"]
    )]
    pub(super) against: Option<String>,
    /// First kit's bare lens: focal length in mm over f-number, such as 600/4
    #[arg(long, value_name = "MM/N")]
    pub(super) first: Option<String>,
    /// First kit's converter, such as 1.4
    #[arg(long, value_name = "FACTOR", requires = "first")]
    first_converter: Option<f64>,
    /// First kit's sensor: width x height in mm @ pixel pitch in µm, such as 23.5x15.7@3.76;
    /// 36x24@4.5 when left out
    #[arg(long, value_name = "WxH@P", requires = "first")]
    first_sensor: Option<String>,
    /// First kit's minimum focus from the sensor plane, in metres; eight focal lengths when left
    /// out
    #[arg(long, value_name = "M", requires = "first")]
    first_focus: Option<f64>,
    /// Second kit's bare lens
    #[arg(long, value_name = "MM/N", conflicts_with = "claim")]
    second: Option<String>,
    /// Second kit's converter
    #[arg(long, value_name = "FACTOR", requires = "second")]
    second_converter: Option<f64>,
    /// Sensor of the second kit, or of the claimed lens; 36x24@4.5 when left out
    #[arg(long, value_name = "WxH@P")]
    second_sensor: Option<String>,
    /// Second kit's minimum focus
    #[arg(long, value_name = "M", requires = "second")]
    second_focus: Option<f64>,
    /// The claim in place of a second kit: the lens that the first is said to reach like, such as
    /// 1260/4
    #[arg(long, value_name = "MM/N")]
    claim: Option<String>,
    /// The subject's length in metres, or length x height, such as 0.55x0.4, which it is when left
    /// out; for a scenario the id of one of its animals, the project's when left out
    #[arg(long, value_name = "L[xH]")]
    pub(super) subject: Option<String>,
    /// The subject's distance from the sensor plane in metres; 40 when left out, for an animal of a
    /// scenario its stand-off distance on foot
    #[arg(long, value_name = "M")]
    pub(super) distance: Option<f64>,
    /// How far behind the subject the background lies, in metres; 15 when left out
    #[arg(long, value_name = "M")]
    background: Option<f64>,
    /// Exposure time in seconds; 1/2000 when left out
    #[arg(long, value_name = "S")]
    time: Option<String>,
    /// The subject's speed across the line of sight in m/s; 0 when left out
    #[arg(long, value_name = "V")]
    speed: Option<f64>,
    /// How fast the camera turns in rad/s: 0, as when left out, on a firm support, about 0.03 in
    /// the hand
    #[arg(long, value_name = "RAD/S")]
    drift: Option<f64>,
}

/// The sensor where none is given: our default.
const SENSOR: &str = "36x24@4.5";
/// The subject where none is given: our default.
const SUBJECT: &str = "0.55x0.4";
/// The distance where none is given, metres: our default.
pub(super) const DISTANCE_M: f64 = 40.0;

impl Flags {
    /// Whether anything was given by flags.
    pub(crate) fn ask(&self) -> bool {
        *self != Self::default()
    }

    /// The first kit by flags.
    pub(super) fn first(&self) -> Result<Option<KitForm>, Failure> {
        let first = self.first.as_deref().map(|lens| {
            let sensor = self.first_sensor.as_deref().unwrap_or(SENSOR);
            kit(
                "first",
                lens,
                self.first_converter,
                sensor,
                self.first_focus,
            )
        });
        first.transpose()
    }

    /// What it is judged against by flags.
    pub(super) fn rival(&self) -> Result<Option<Rival>, Failure> {
        let chip = self.second_sensor.as_deref().unwrap_or(SENSOR);
        match (&self.second, &self.claim) {
            (Some(lens), _) => {
                let (factor, focus) = (self.second_converter, self.second_focus);
                let kit = kit("second", lens, factor, chip, focus)?;
                Ok(Some(Rival::Kit(kit)))
            }
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
                    reference: sensor("--second-sensor", chip)?,
                };
                let claim = Claim::new(spec)
                    .map_err(|error| Failure::input(format!("--claim {claim}: {error}")))?;
                Ok(Some(Rival::Claim(claim)))
            }
            (None, None) => Ok(None),
        }
    }

    /// What both look at: a subject of a length, at a distance.
    pub(super) fn scene(&self, subject_m: f64, distance_m: f64) -> Result<Scene, Failure> {
        const TIME: &str = "a time in seconds, such as 1/2000";
        let time = self.time.as_deref().unwrap_or("1/2000");
        let time_s = match time.strip_prefix("1/") {
            Some(part) => 1.0 / number("--time", part, TIME)?,
            None => number("--time", time, TIME)?,
        };
        Scene::new(SceneSpec {
            background_m: self.background.unwrap_or(15.0),
            time_s,
            speed_m_per_s: self.speed.unwrap_or(0.0),
            drift_rad_per_s: self.drift.unwrap_or(0.0),
            subject_m,
            distance_m,
            ..SceneSpec::STILL
        })
        .map_err(Failure::input)
    }
}

/// A flag that is needed and was not given.
pub(super) fn missing(flag: &str, example: &str) -> Failure {
    Failure::input(format!(
        "{flag} is missing: give it, such as {flag} {example}"
    ))
}

/// A subject by its size.
pub(super) fn size(text: &str) -> Result<SubjectForm, Failure> {
    let (length_m, height_m) = if text.contains('x') {
        let form = "length x height in metres, such as 0.55x0.4";
        pair("--subject", text, 'x', form)?
    } else {
        let length_m = number("--subject", text, "a length in metres, such as 0.55")?;
        (length_m, length_m)
    };
    Ok(SubjectForm { length_m, height_m })
}

/// A question from parts.
pub(super) fn question(
    flags: &Flags,
    (subject, distance_m): (SubjectForm, f64),
    first: KitForm,
    rival: Rival,
) -> Result<Question, Failure> {
    let question = Question {
        subject,
        scene: flags.scene(subject.length_m, distance_m)?,
        first,
        rival,
        assumptions: Assumptions::default(),
    };
    question
        .check()
        .map_err(|(field, what)| Failure::input(format!("--{field}: {what}")))?;
    Ok(question)
}

/// A question from flags.
///
/// # Errors
/// A message that names the flag, the value and what to give instead.
pub(crate) fn of_flags(flags: &Flags) -> Result<Question, Failure> {
    let first = flags.first()?.ok_or_else(|| missing("--first", "600/4"))?;
    let rival = flags.rival()?;
    let rival = rival.ok_or_else(|| missing("--second or --claim", "800/5.6"))?;
    let subject = size(flags.subject.as_deref().unwrap_or(SUBJECT))?;
    let seen = (subject, flags.distance.unwrap_or(DISTANCE_M));
    question(flags, seen, first, rival)
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
    let minimum_focus_m = focus.unwrap_or(8.0 * focal_length_mm / 1000.0);
    let spec = LensSpec {
        focal_length_mm,
        f_number,
        minimum_focus_m,
        ..LensSpec::THIN
    };
    let lens =
        Lens::new(spec).map_err(|error| Failure::input(format!("{flag} {lens}: {error}")))?;
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
