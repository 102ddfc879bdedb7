//! One kit before a scene.

use crate::air::Seeing;
use crate::detail::chain::Chain;
use crate::detail::diffraction::{Diffraction, DiffractionSpec};
use crate::detail::{LensQuality, Resolved};
use crate::error::Result;
use crate::exposure::motion::{Motion, Shake};
use crate::focus::{BelowAiry, Blur, CircleOfConfusion, DepthOfField, Elsewhere};
use crate::kit::{Focused, Kit};
use crate::reach::scene::{Assumptions, Scene};
use crate::reach::verdict::{AirGrade, OpticsGrade};

/// A kit, and what is known of its bare lens.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Contender {
    /// The kit.
    pub kit: Kit,
    /// The bare lens's quality, if somebody has measured it: it then takes the place of all assumed
    /// grades.
    #[cfg_attr(feature = "serde", serde(default))]
    pub measured: Option<LensQuality>,
}

impl Contender {
    /// The kit focused on a scene, and its chain of blurs in one case of optics and air: what a
    /// verdict on detail is read off.
    ///
    /// # Errors
    /// Those of [`Kit::focused_at_m`] at the scene's distance.
    pub fn chain(
        &self,
        scene: &Scene,
        assumptions: &Assumptions,
        optics: OpticsGrade,
        air: AirGrade,
    ) -> Result<(Focused, Chain)> {
        let view = View::new(self, scene, assumptions)?;
        Ok((view.focused, view.chain(optics, air)?))
    }
}

impl From<Kit> for Contender {
    fn from(kit: Kit) -> Self {
        Self {
            kit,
            measured: None,
        }
    }
}

impl From<&Kit> for Contender {
    fn from(kit: &Kit) -> Self {
        Self::from(*kit)
    }
}

impl From<&Self> for Contender {
    fn from(contender: &Self) -> Self {
        contender.clone()
    }
}

/// What a kit sees of a scene, whatever the quality of its optics.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
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
    /// The light of each area of the subject that reaches the sensor, as a solid angle in
    /// steradians.
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

/// A contender focused on a scene.
pub(super) struct View<'a> {
    contender: &'a Contender,
    pub(super) focused: Focused,
    assumptions: &'a Assumptions,
    motion_px: f64,
    hand_px: f64,
    wavelength_um: f64,
    seeing: [Seeing; 2],
}

impl<'a> View<'a> {
    pub(super) fn new(
        contender: &'a Contender,
        scene: &Scene,
        assumptions: &'a Assumptions,
    ) -> Result<Self> {
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

    pub(super) fn chain(&self, optics: OpticsGrade, air: AirGrade) -> Result<Chain> {
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

    pub(super) fn detail(
        &self,
        optics: OpticsGrade,
        air: AirGrade,
        contrast: f64,
    ) -> Result<Resolved> {
        self.chain(optics, air)?.resolved(&self.focused, contrast)
    }

    pub(super) fn sighting(&self, scene: &Scene) -> Result<Sighting> {
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
            frame_share: focused.frame_share(spec.subject_m)?,
            pixels: focused.pixels_along(spec.subject_m)?,
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
