//! How large an animal stands in the frame.

use wrackline_optics as optics;
use wrackline_optics::{
    CircleOfConfusion, Converter, ExtensionTube, Focused, Lens, LensSpec, Sensor, SensorSpec,
};

use crate::refusal::Refusal;

/// A lens on a sensor, with what is between them.
#[derive(Debug)]
pub struct Kit(optics::Kit);

/// What a kit is put together from.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct KitSpec {
    /// Focal length of the bare lens with the focus at infinity, millimetres.
    pub focal_length_mm: f64,
    /// The f-number set, with the focus at infinity.
    pub f_number: f64,
    /// The nearest subject in focus, metres from the sensor plane.
    pub minimum_focus_m: f64,
    /// Diameter of the exit pupil over that of the entrance pupil, 0.05 to 20; 1 if unknown.
    pub pupil_magnification: f64,
    /// Signed separation of the principal planes, millimetres; 0 if unknown.
    pub principal_separation_mm: f64,
    /// Length of an extension tube, millimetres; 0 for none.
    pub tube_mm: f64,
    /// Factor of a converter, 1 to 10; 0 for none.
    pub converter: f64,
    /// Width of the picture area, millimetres.
    pub sensor_width_mm: f64,
    /// Height of the picture area, millimetres.
    pub sensor_height_mm: f64,
    /// Pixels across the width.
    pub columns: u32,
    /// Pixels down the height.
    pub rows: u32,
}

/// What a kit comes to.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KitFigures {
    /// Focal length of lens and converter, millimetres.
    pub focal_length_mm: f64,
    /// The f-number of lens and converter.
    pub effective_f_number: f64,
    /// The nearest distance in focus, metres from the sensor plane.
    pub minimum_focus_m: f64,
}

/// A wish: a subject of this length is to take this share of the frame's width.
#[repr(C)]
#[derive(Clone, Copy, Debug)]
pub struct FrameWish {
    /// Length of the subject, metres; for a bird in flight its span.
    pub subject_m: f64,
    /// Its length over the frame's width.
    pub share: f64,
}

/// An animal in the frame.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Framing {
    /// Its length over the frame's width; more than 1 when it does not fit in.
    pub frame_share: f64,
    /// Pixels along it.
    pub pixels_along: f64,
    /// Length of its image, millimetres.
    pub size_on_sensor_mm: f64,
    /// Width of the subject plane that fills the frame, metres.
    pub field_across_m: f64,
    /// Height of the subject plane that fills the frame, metres.
    pub field_down_m: f64,
}

/// The zone in which points pass for points.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthOfField {
    /// The near limit, metres from the sensor plane.
    pub near_m: f64,
    /// The far limit, metres from the sensor plane; zero where there is none.
    pub far_m: f64,
    /// 1 where the zone has no far limit, else 0.
    pub far_is_infinite: i32,
}

impl Kit {
    pub(crate) fn new(spec: &KitSpec) -> Result<Self, Refusal> {
        let lens = Lens::new(LensSpec {
            focal_length_mm: spec.focal_length_mm,
            f_number: spec.f_number,
            minimum_focus_m: spec.minimum_focus_m,
            pupil_magnification: spec.pupil_magnification,
            principal_separation_mm: spec.principal_separation_mm,
        })?;
        let sensor = Sensor::new(SensorSpec {
            width_mm: spec.sensor_width_mm,
            height_mm: spec.sensor_height_mm,
            columns: spec.columns,
            rows: spec.rows,
        })?;
        let wanted = |figure: f64| (figure != 0.0).then_some(figure);
        let converter = wanted(spec.converter).map(Converter::new).transpose()?;
        let tube = wanted(spec.tube_mm).map(ExtensionTube::new).transpose()?;
        let kit = optics::Kit::new(lens, converter, sensor);
        Ok(Self(match tube {
            Some(tube) => kit.with_tube(tube),
            None => kit,
        }))
    }

    pub(crate) fn figures(&self) -> KitFigures {
        KitFigures {
            focal_length_mm: self.0.focal_length_mm(),
            effective_f_number: self.0.effective_f_number(),
            minimum_focus_m: self.0.minimum_focus_m(),
        }
    }

    pub(crate) fn framing(&self, distance_m: f64, subject_m: f64) -> Result<Framing, Refusal> {
        let focused = self.focused(distance_m)?;
        let field = focused.field();
        Ok(Framing {
            frame_share: focused.frame_share(subject_m)?,
            pixels_along: focused.pixels_along(subject_m)?,
            size_on_sensor_mm: focused.size_on_sensor_mm(subject_m)?,
            field_across_m: field.across_m,
            field_down_m: field.down_m,
        })
    }

    pub(crate) fn distance_m(&self, wish: &FrameWish) -> Result<f64, Refusal> {
        Ok(self.0.distance_for_share(optics::FrameShare {
            subject_m: wish.subject_m,
            share: wish.share,
        })?)
    }

    pub(crate) fn depth_of_field(
        &self,
        distance_m: f64,
        circle_pixels: f64,
    ) -> Result<DepthOfField, Refusal> {
        let circle = CircleOfConfusion::pixels(self.0.sensor(), circle_pixels)?;
        let zone = self.focused(distance_m)?.depth_of_field(circle);
        let far_m = zone.far.distance_m();
        Ok(DepthOfField {
            near_m: zone.near_m,
            far_m: far_m.unwrap_or(0.0),
            far_is_infinite: i32::from(far_m.is_none()),
        })
    }

    fn focused(&self, distance_m: f64) -> Result<Focused, Refusal> {
        Ok(self.0.focused_at_m(distance_m)?)
    }
}
