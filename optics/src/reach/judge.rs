//! Judging two kits, or a kit and a claim.

use crate::air::Seeing;
use crate::detail::{Chain, Diffraction, DiffractionSpec, LensQuality, Resolved};
use crate::error::Result;
use crate::exposure::{Motion, NoiseRatio, Shake};
use crate::focus::{BelowAiry, Blur, CircleOfConfusion, DepthOfField, Elsewhere};
use crate::kit::{Focused, Kit};
use crate::lens::{Lens, LensSpec};
use crate::reach::scene::{Assumptions, Claim, Scene};
use crate::reach::verdict::{AirGrade, Band, Decider, Meaning, OpticsGrade, Statement, Verdict};

/// A kit, and what is known of its bare lens.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Contender {
    /// The kit.
    pub kit: Kit,
    /// The bare lens's quality, if somebody has measured it: it then takes the place of all assumed grades.
    #[cfg_attr(feature = "serde", serde(default))]
    pub measured: Option<LensQuality>,
}

impl From<Kit> for Contender {
    fn from(kit: Kit) -> Self {
        Self {
            kit,
            measured: None,
        }
    }
}

/// What a kit sees of a scene, whatever the quality of its optics.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Sighting {
    /// Focal length of lens and converter at infinity, in millimetres.
    pub focal_length_mm: f64,
    /// The f-number of lens and converter at infinity.
    pub f_number: f64,
    /// Image size over subject size.
    pub magnification: f64,
    /// The working f-number.
    pub working_f_number: f64,
    /// Diameter of the entrance pupil in millimetres.
    pub entrance_pupil_mm: f64,
    /// Distance from the entrance pupil to the subject, in metres.
    pub entrance_pupil_distance_m: f64,
    /// Full angle of view across, in degrees.
    pub angle_across_deg: f64,
    /// Width of the field at the subject, in metres.
    pub field_across_m: f64,
    /// Height of the field at the subject, in metres.
    pub field_down_m: f64,
    /// Length of the subject over the width of the frame.
    pub frame_share: f64,
    /// Pixels along the subject.
    pub pixels: f64,
    /// The light of each area of the subject that reaches the sensor, as a solid angle in steradians.
    pub light_sr: f64,
    /// The circle of confusion in millimetres.
    pub circle_mm: f64,
    /// The zone in which points pass for points.
    pub depth: DepthOfField,
    /// The warning that the circle of confusion is below the Airy disc.
    pub below_airy: Option<BelowAiry>,
    /// How a point of the background is drawn.
    pub background: Blur,
    /// Blur from the subject's motion, in pixels.
    pub motion_px: f64,
    /// Blur from the turning camera, in pixels.
    pub hand_px: f64,
}

/// The number for each kit and the verdict, for one meaning of reach.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Finding {
    /// The meaning.
    pub meaning: Meaning,
    /// What the numbers are, in words.
    pub quantity: &'static str,
    /// Their unit; empty for a plain number.
    pub unit: &'static str,
    /// The first kit's number, over all cases of optics and air.
    pub first: Band,
    /// The second kit's number.
    pub second: Band,
    /// By how many times the first reaches farther than the second, case by case.
    pub ratio: Band,
    /// Whether the statement holds.
    pub verdict: Verdict,
    /// What decides the numbers.
    pub decided_by: Decider,
}

/// The detail that both kits resolve in one case of optics and air.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DetailCell {
    /// How good the optics are.
    pub optics: OpticsGrade,
    /// How the air is.
    pub air: AirGrade,
    /// What the first kit resolves at the contrast of the assumptions, and what limits it.
    pub first: Resolved,
    /// What the second kit resolves at that contrast.
    pub second: Resolved,
    /// What the first kit resolves at a contrast of one tenth.
    pub first_finest: Resolved,
    /// What the second kit resolves at a contrast of one tenth.
    pub second_finest: Resolved,
    /// Detail at the subject, first over second, at the contrast of the assumptions.
    pub ratio: f64,
}

/// Where warm air makes two kits resolve the same.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
pub enum EqualThroughAir {
    /// From this distance on, to a thousandth.
    From {
        /// Distance from the sensor plane in metres.
        distance_m: f64,
    },
    /// Already at the nearest distance that both focus at.
    Everywhere,
    /// Not even at the farthest distance that was looked at.
    NotWithin {
        /// That distance from the sensor plane in metres.
        distance_m: f64,
    },
}

/// Two kits before one scene.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Comparison {
    /// What the verdicts are about.
    pub statement: Statement,
    /// What was assumed.
    pub assumptions: Assumptions,
    /// What the first kit sees.
    pub first: Sighting,
    /// What the second kit sees.
    pub second: Sighting,
    /// One finding for each meaning of reach.
    pub findings: [Finding; 6],
    /// Detail in each case of optics and air, by grade of the optics, then of the air.
    pub detail: [DetailCell; 6],
    /// By how many stops the first exposes less than the second at the same time and ISO speed.
    pub exposure_stops: f64,
    /// Noise at the same shutter time, first over second.
    pub noise: NoiseRatio,
    /// Where good optics in warm air resolve the same.
    pub equal_through_air: EqualThroughAir,
}

impl Comparison {
    /// Judges "the first reaches farther than the second" for every meaning of reach.
    ///
    /// # Errors
    /// Those of [`Kit::focused_at_m`] at the scene's distance; [`Error::OutOfRange`](crate::Error::OutOfRange) and
    /// [`Error::NotPositive`](crate::Error::NotPositive) for an assumption outside the range that its field states.
    pub fn of(
        first: &Contender,
        second: &Contender,
        scene: &Scene,
        assumptions: &Assumptions,
    ) -> Result<Self> {
        compare(Statement::Further, first, second, scene, assumptions)
    }

    /// Judges a kit's converter against the bare lens cropped to the same frame; nothing without a converter.
    ///
    /// # Errors
    /// Those of [`Comparison::of`].
    pub fn against_cropped(
        contender: &Contender,
        scene: &Scene,
        assumptions: &Assumptions,
    ) -> Result<Option<Self>> {
        let kit = contender.kit;
        let Some(converter) = kit.converter() else {
            return Ok(None);
        };
        let cropped = kit
            .without_converter()
            .on_sensor(kit.sensor().cropped(converter.factor())?);
        let cropped = Contender {
            kit: cropped,
            measured: contender.measured.clone(),
        };
        compare(Statement::Further, contender, &cropped, scene, assumptions).map(Some)
    }

    /// The finding for a meaning of reach.
    #[must_use]
    pub fn finding(&self, meaning: Meaning) -> &Finding {
        &self.findings[meaning as usize]
    }

    /// The detail in a case of optics and air.
    #[must_use]
    pub fn cell(&self, optics: OpticsGrade, air: AirGrade) -> &DetailCell {
        &self.detail[2 * optics as usize + air as usize]
    }
}

/// Whether the kit *is* the lens that was claimed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
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
pub struct Judgement {
    /// Whether the kit is the lens of the claim.
    pub lens: LensAsSuch,
    /// The focal length in millimetres that has the kit's angle of view at infinity on the reference sensor: what framing is
    /// judged by.
    pub equivalent_focal_length_mm: f64,
    /// The focal length in millimetres of a thin lens that takes in the kit's field at the scene's distance on that sensor.
    pub equivalent_at_subject_mm: f64,
    /// The kit against the claimed lens: "it reaches as far".
    pub comparison: Comparison,
    /// The kit against its own bare lens, cropped; nothing without a converter.
    pub against_cropped: Option<Comparison>,
}

impl Judgement {
    /// Judges "this kit reaches like that lens" for every meaning of reach. The claimed lens is thin and focuses as near as
    /// it must.
    ///
    /// # Errors
    /// Those of [`Comparison::of`].
    pub fn of(
        contender: &Contender,
        claim: &Claim,
        scene: &Scene,
        assumptions: &Assumptions,
    ) -> Result<Self> {
        let kit = contender.kit;
        let said = claim.spec();
        let thin = Lens::new(LensSpec::thin(
            said.focal_length_mm,
            said.f_number,
            NEAREST_M,
        ))?;
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

impl ConverterGain {
    /// The f-number of the bare lens at which a kit's converter stops adding detail against the bare lens cropped, in one case of
    /// optics and air: where the gain falls to the tolerance. `None` for a kit without a converter.
    ///
    /// # Errors
    /// Those of [`Comparison::of`].
    pub fn of(
        contender: &Contender,
        scene: &Scene,
        assumptions: &Assumptions,
        case: (OpticsGrade, AirGrade),
    ) -> Result<Option<Self>> {
        assumptions.check()?;
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
        let enough = 1.0 + assumptions.tolerance;
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

/// Nearer than any lens focuses: for a claimed lens, of which only the optics are asked.
const NEAREST_M: f64 = 1e-3;

/// The farthest distance at which the air is looked through.
const FARTHEST_M: f64 = 10_000.0;

/// A contender focused on a scene.
struct View<'a> {
    contender: &'a Contender,
    focused: Focused,
    assumptions: &'a Assumptions,
    motion_px: f64,
    hand_px: f64,
    wavelength_um: f64,
    seeing: [Seeing; 2],
}

impl<'a> View<'a> {
    fn new(contender: &'a Contender, scene: &Scene, assumptions: &'a Assumptions) -> Result<Self> {
        let spec = scene.spec();
        let focused = contender.kit.focused_at_m(spec.distance_m)?;
        let path_m = focused.entrance_pupil_distance_m();
        Ok(Self {
            contender,
            focused,
            assumptions,
            motion_px: focused.motion_blur_px(Motion {
                speed_m_per_s: spec.speed_m_per_s,
                time_s: spec.time_s,
            })?,
            hand_px: focused.shake_blur_px(Shake {
                drift_rad_per_s: spec.drift_rad_per_s,
                time_s: spec.time_s,
            })?,
            wavelength_um: spec.wavelength_um,
            seeing: [
                assumptions.calm.over(path_m, spec.wavelength_um)?,
                assumptions.warm.over(path_m, spec.wavelength_um)?,
            ],
        })
    }

    fn chain(&self, optics: OpticsGrade, air: AirGrade) -> Result<Chain> {
        let case = self.assumptions.optics(optics);
        let kit = &self.contender.kit;
        let mut chain = Chain::of(kit, &self.focused, self.wavelength_um)?
            .with_lens(
                self.contender
                    .measured
                    .clone()
                    .unwrap_or(LensQuality::Wavefront(case.lens)),
            )
            .with_mosaic(self.assumptions.mosaic)
            .with_motion_px(self.motion_px)?
            .with_hand_px(self.hand_px)?
            .with_air(&self.focused, &self.seeing[air as usize]);
        if kit.converter().is_some() {
            chain = chain.with_converter(case.converter);
        }
        Ok(chain)
    }

    fn detail(&self, optics: OpticsGrade, air: AirGrade, contrast: f64) -> Result<Resolved> {
        self.chain(optics, air)?.resolved(&self.focused, contrast)
    }

    fn sighting(&self, scene: &Scene) -> Result<Sighting> {
        let spec = scene.spec();
        let (kit, focused) = (&self.contender.kit, &self.focused);
        let circle =
            CircleOfConfusion::of_diagonal(focused.sensor(), self.assumptions.circle_divisor)?;
        let f_number = focused.working_f_number();
        let diffraction = Diffraction::new(DiffractionSpec {
            f_number,
            wavelength_um: spec.wavelength_um,
        })?;
        let field = focused.field();
        Ok(Sighting {
            focal_length_mm: kit.focal_length_mm(),
            f_number: kit.effective_f_number(),
            magnification: focused.magnification(),
            working_f_number: f_number,
            entrance_pupil_mm: focused.entrance_pupil_mm(),
            entrance_pupil_distance_m: focused.entrance_pupil_distance_m(),
            angle_across_deg: focused.angle_of_view().across_deg,
            field_across_m: field.across_m,
            field_down_m: field.down_m,
            frame_share: focused.frame_share(spec.subject_m),
            pixels: focused.pixels_along(spec.subject_m),
            light_sr: focused.light_of_subject_sr(),
            circle_mm: circle.diameter_mm(),
            depth: focused.depth_of_field(circle),
            below_airy: circle.below_airy(&diffraction),
            background: focused.blur_of(Elsewhere::Behind {
                metres: spec.background_m,
            })?,
            motion_px: self.motion_px,
            hand_px: self.hand_px,
        })
    }
}

fn compare(
    statement: Statement,
    first: &Contender,
    second: &Contender,
    scene: &Scene,
    assumptions: &Assumptions,
) -> Result<Comparison> {
    assumptions.check()?;
    let views = (
        View::new(first, scene, assumptions)?,
        View::new(second, scene, assumptions)?,
    );
    let (sight_1, sight_2) = (views.0.sighting(scene)?, views.1.sighting(scene)?);
    let detail = cells(&views.0, &views.1, assumptions.contrast)?;
    let tolerance = assumptions.tolerance;
    let plain = |meaning, quantity, unit, values: (f64, f64), decided_by| {
        let ratio = values.0 / values.1;
        Finding {
            meaning,
            quantity,
            unit,
            first: Band::point(values.0),
            second: Band::point(values.1),
            ratio: Band::point(ratio),
            verdict: Verdict::plain(statement.holds(ratio, tolerance)),
            decided_by,
        }
    };
    let depths = (sight_1.depth.in_front_m, sight_2.depth.in_front_m);
    // Shallower reaches farther.
    let shallower = depths.1 / depths.0;
    let findings = [
        plain(
            Meaning::Framing,
            "subject over the frame's width",
            "",
            (sight_1.frame_share, sight_2.frame_share),
            Decider::FocalLengthAndFrame,
        ),
        plain(
            Meaning::Pixels,
            "pixels along the subject",
            "px",
            (sight_1.pixels, sight_2.pixels),
            Decider::MagnificationAndPixels,
        ),
        detail_finding(statement, &detail, tolerance),
        plain(
            Meaning::Light,
            "pupil seen from the subject",
            "sr",
            (sight_1.light_sr, sight_2.light_sr),
            Decider::Pupil,
        ),
        Finding {
            ratio: Band::point(shallower),
            verdict: Verdict::plain(statement.holds(shallower, tolerance)),
            ..plain(
                Meaning::DepthOfField,
                "sharp in front of the subject",
                "m",
                depths,
                Decider::PupilAndCircle,
            )
        },
        plain(
            Meaning::Background,
            "background point laid against the subject",
            "m",
            (
                sight_1.background.at_subject_m,
                sight_2.background.at_subject_m,
            ),
            Decider::Pupil,
        ),
    ];
    let exposure = |focused: &Focused| libm::log2(focused.light_of_sensor());
    Ok(Comparison {
        statement,
        assumptions: *assumptions,
        first: sight_1,
        second: sight_2,
        findings,
        detail,
        exposure_stops: exposure(&views.1.focused) - exposure(&views.0.focused),
        noise: NoiseRatio::at_equal_shutter(&views.0.focused, &views.1.focused),
        equal_through_air: equal_through_air(first, second, scene, assumptions)?,
    })
}

fn cells(first: &View<'_>, second: &View<'_>, contrast: f64) -> Result<[DetailCell; 6]> {
    let cell = |optics: OpticsGrade, air: AirGrade| -> Result<DetailCell> {
        let (chain_1, chain_2) = (first.chain(optics, air)?, second.chain(optics, air)?);
        let resolved_1 = chain_1.resolved(&first.focused, contrast)?;
        let resolved_2 = chain_2.resolved(&second.focused, contrast)?;
        Ok(DetailCell {
            optics,
            air,
            first: resolved_1,
            second: resolved_2,
            first_finest: chain_1.resolved(&first.focused, FINEST)?,
            second_finest: chain_2.resolved(&second.focused, FINEST)?,
            ratio: resolved_1.at_subject_lp_per_mm / resolved_2.at_subject_lp_per_mm,
        })
    };
    let [perfect, good, soft] = OpticsGrade::ALL;
    let [calm, warm] = AirGrade::ALL;
    Ok([
        cell(perfect, calm)?,
        cell(perfect, warm)?,
        cell(good, calm)?,
        cell(good, warm)?,
        cell(soft, calm)?,
        cell(soft, warm)?,
    ])
}

/// The contrast at which the finest detail is just seen (MTF10).
const FINEST: f64 = 0.1;

fn detail_finding(statement: Statement, detail: &[DetailCell; 6], tolerance: f64) -> Finding {
    let holds = |index: usize| statement.holds(detail[index].ratio, tolerance);
    Finding {
        meaning: Meaning::Detail,
        quantity: "line pairs resolved at the subject",
        unit: "lp/mm",
        first: Band::of(detail.iter().map(|cell| cell.first.at_subject_lp_per_mm)),
        second: Band::of(detail.iter().map(|cell| cell.second.at_subject_lp_per_mm)),
        ratio: Band::of(detail.iter().map(|cell| cell.ratio)),
        verdict: Verdict::of_cases([
            [holds(0), holds(1)],
            [holds(2), holds(3)],
            [holds(4), holds(5)],
        ]),
        decided_by: Decider::Blur,
    }
}

/// The distance from which on good optics in warm air resolve the same, whatever the kits.
fn equal_through_air(
    first: &Contender,
    second: &Contender,
    scene: &Scene,
    assumptions: &Assumptions,
) -> Result<EqualThroughAir> {
    let differ = |distance_m: f64| -> Result<bool> {
        let scene = scene.at_m(distance_m);
        let detail = |contender: &Contender| -> Result<f64> {
            let view = View::new(contender, &scene, assumptions)?;
            Ok(view
                .detail(OpticsGrade::Good, AirGrade::Warm, assumptions.contrast)?
                .at_subject_lp_per_mm)
        };
        Ok((detail(first)? / detail(second)? - 1.0).abs() > assumptions.tolerance)
    };
    // A tube sets a farthest distance; both kits focus on the scene, so there is a range.
    let nearest_m = first
        .kit
        .minimum_focus_m()
        .max(second.kit.minimum_focus_m());
    let farthest_of = |kit: &Kit| kit.farthest_focus().distance_m().unwrap_or(FARTHEST_M);
    let farthest_m = FARTHEST_M
        .min(farthest_of(&first.kit))
        .min(farthest_of(&second.kit))
        .max(nearest_m);
    if differ(farthest_m)? {
        return Ok(EqualThroughAir::NotWithin {
            distance_m: farthest_m,
        });
    }
    if !differ(nearest_m)? {
        return Ok(EqualThroughAir::Everywhere);
    }
    let (mut low, mut high) = (nearest_m, farthest_m);
    while high / low > 1.001 {
        let middle = libm::sqrt(low * high);
        if differ(middle)? {
            low = middle
        } else {
            high = middle
        }
    }
    Ok(EqualThroughAir::From { distance_m: high })
}
