//! Two kits before one scene.

use core::fmt;

use crate::detail::Resolved;
use crate::error::Result;
use crate::exposure::NoiseRatio;
use crate::kit::{Focused, Kit};
use crate::reach::finding::Finding;
use crate::reach::scene::{Assumptions, Scene};
use crate::reach::verdict::{AirGrade, Band, Decider, Meaning, OpticsGrade, Statement, Verdict};
use crate::reach::view::{Contender, Sighting, View};

/// The detail that both kits resolve in one case of optics and air.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
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

/// "from about 120 m on", "at every distance" or "not within 10000 m".
impl fmt::Display for EqualThroughAir {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::From { distance_m } => {
                // It is known to a thousandth and worth less.
                let decimals = if *distance_m < 10.0 { 1 } else { 0 };
                write!(f, "from about {distance_m:.decimals$} m on")
            }
            Self::Everywhere => f.write_str("at every distance"),
            Self::NotWithin { distance_m } => write!(f, "not within {distance_m:.0} m"),
        }
    }
}

/// Two kits before one scene.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
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
    /// Judges "the first reaches farther than the second" for every meaning of reach. A [`Kit`] is
    /// a contender as it is.
    ///
    /// ```
    /// use wrackline_optics::{
    ///     Assumptions, Comparison, Converter, Kit, Lens, LensSpec, Meaning, Scene, SceneSpec,
    ///     Sensor, SensorSpec,
    /// };
    /// let lens = LensSpec {
    ///     focal_length_mm: 600.0,
    ///     f_number: 4.0,
    ///     minimum_focus_m: 4.3,
    ///     ..LensSpec::THIN
    /// };
    /// let sensor = Sensor::new(SensorSpec {
    ///     width_mm: 36.0,
    ///     height_mm: 24.0,
    ///     columns: 8000,
    ///     rows: 5333,
    /// })?;
    /// let bare = Kit::new(Lens::new(lens)?, None, sensor);
    /// let with = Kit::new(Lens::new(lens)?, Some(Converter::new(1.4)?), sensor);
    /// let scene = Scene::new(SceneSpec {
    ///     subject_m: 0.24,
    ///     distance_m: 85.0,
    ///     ..SceneSpec::STILL
    /// })?;
    /// let comparison = Comparison::of(with, bare, &scene, &Assumptions::default())?;
    /// let light = comparison.finding(Meaning::Light);
    /// assert_eq!(
    ///     light.against("the bare lens").to_string(),
    ///     "light of the subject: not farther than the bare lens"
    /// );
    /// # Ok::<(), wrackline_optics::Error>(())
    /// ```
    ///
    /// # Errors
    /// Those of [`Kit::focused_at_m`] at the scene's distance;
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) and
    /// [`Error::NotPositive`](crate::Error::NotPositive) for an assumption outside the range that
    /// its field states.
    pub fn of(
        first: impl Into<Contender>,
        second: impl Into<Contender>,
        scene: &Scene,
        assumptions: &Assumptions,
    ) -> Result<Self> {
        let (first, second) = (first.into(), second.into());
        compare(Statement::Further, &first, &second, scene, assumptions)
    }

    /// Judges a kit's converter against the bare lens cropped to the same frame; nothing without a
    /// converter.
    ///
    /// # Errors
    /// Those of [`Comparison::of`].
    pub fn against_cropped(
        contender: impl Into<Contender>,
        scene: &Scene,
        assumptions: &Assumptions,
    ) -> Result<Option<Self>> {
        let contender = contender.into();
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
        compare(Statement::Further, &contender, &cropped, scene, assumptions).map(Some)
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

/// The farthest distance at which the air is looked through.
const FARTHEST_M: f64 = 10_000.0;

/// Judges a statement about two kits.
pub(super) fn compare(
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
            statement,
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
        detail_finding(statement, &detail, assumptions.detail_tolerance),
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
        statement,
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
        Ok((detail(first)? / detail(second)? - 1.0).abs() > assumptions.detail_tolerance)
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
