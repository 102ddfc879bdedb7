//! A question of reach, asked by flags.

use clap::Args;
use wrackline_optics::{
    Assumptions, Claim, ClaimSpec, Converter, Lens, LensSpec, PitchSpec, Scene, SceneSpec, Sensor,
};
use wrackline_plan::reach::{KitForm, Question, Rival, SubjectForm};

use crate::cli::Failure;

/// A question asked by flags.
#[derive(Args, Clone, Debug, Default)]
pub(crate) struct Flags {
    /// First kit's bare lens: focal length in mm over f-number, such as 600/4
    #[arg(long, value_name = "MM/N")]
    first: Option<String>,
    /// First kit's converter, such as 1.4
    #[arg(long, value_name = "FACTOR")]
    first_converter: Option<f64>,
    /// First kit's sensor: width x height in mm @ pixel pitch in µm, such as 23.5x15.7@3.76
    #[arg(long, value_name = "WxH@P", default_value = "36x24@4.5")]
    first_sensor: String,
    /// First kit's minimum focus from the sensor plane, in metres; eight focal lengths when left
    /// out
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
    /// The claim in place of a second kit: the lens that the first is said to reach like, such as
    /// 1260/4
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
    pub(crate) fn ask(&self) -> bool {
        self.first.is_some() || self.second.is_some() || self.claim.is_some()
    }
}

/// A question from flags.
///
/// # Errors
/// A message that names the flag, the value and what to give instead.
pub(crate) fn of_flags(flags: &Flags) -> Result<Question, Failure> {
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
    let subject = SubjectForm { length_m, height_m };
    let time_s = match flags.time.strip_prefix("1/") {
        Some(part) => 1.0 / number("--time", part, "a time in seconds, such as 1/2000")?,
        None => number("--time", &flags.time, "a time in seconds, such as 1/2000")?,
    };
    let scene = Scene::new(SceneSpec {
        background_m: flags.background,
        time_s,
        speed_m_per_s: flags.speed,
        drift_rad_per_s: flags.drift,
        subject_m: length_m,
        distance_m: flags.distance,
        ..SceneSpec::STILL
    })
    .map_err(Failure::input)?;
    let question = Question {
        subject,
        scene,
        first,
        rival,
        assumptions: Assumptions::default(),
    };
    question
        .check()
        .map_err(|(field, what)| Failure::input(format!("--{field}: {what}")))?;
    Ok(question)
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
