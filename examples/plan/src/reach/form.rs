//! The subject, a kit and what it is judged against, as they are written down.

use wrackline_optics::{
    Claim, ClaimSpec, Contender, Converter, ExtensionTube, Kit, Lens, LensSpec, Sensor,
    detail::LensQuality,
};

/// The longest subject, metres: no animal comes near it, a flock in one picture may; our default.
const LONGEST_M: f64 = 100.0;

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
    pub(super) fn contender(&self) -> Result<Contender, wrackline_optics::Error> {
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
