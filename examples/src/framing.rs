//! What each kit makes of an animal at no less than its stand-off distance.

use wrackline_optics::{CircleOfConfusion, FrameShare};

use crate::scenario::{Scenario, Seat, Subject};

/// The kind of picture that a share of the frame allows. The limits are our defaults.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Picture {
    /// Below 5 % of the frame's width.
    LandscapeWithTheAnimal,
    /// 5 to 15 %.
    AnimalInItsPlace,
    /// 15 to 35 %.
    Classic,
    /// 35 to 70 %.
    FrameFilling,
    /// Above 70 %.
    Tight,
}

/// The least share of the frame's width at which an animal fills the frame.
pub const FRAME_FILLING: f64 = 0.35;

impl Picture {
    /// The kind of picture for a share of the frame's width.
    pub fn for_share(share: f64) -> Self {
        match share {
            s if s < 0.05 => Self::LandscapeWithTheAnimal,
            s if s < 0.15 => Self::AnimalInItsPlace,
            s if s < FRAME_FILLING => Self::Classic,
            s if s < 0.70 => Self::FrameFilling,
            _ => Self::Tight,
        }
    }

    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::LandscapeWithTheAnimal => "landscape with the animal",
            Self::AnimalInItsPlace => "animal in its place",
            Self::Classic => "classic",
            Self::FrameFilling => "frame-filling",
            Self::Tight => "tight",
        }
    }
}

/// One kit on one animal at one distance.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Framed {
    /// Lens, converter and body.
    pub kit: String,
    /// Combined focal length at infinity, millimetres.
    pub focal_length_mm: f64,
    /// Effective f-number at this distance.
    pub f_number: f64,
    /// From the sensor to the subject, metres: never less than the stand-off distance.
    pub distance_m: f64,
    /// The subject's length over the width of the frame.
    pub share: f64,
    /// Pixels along the subject's length.
    pub pixels: f64,
    /// The kind of picture that this allows.
    pub picture: Picture,
    /// From the near to the far limit of acceptable focus, metres; `None` when it reaches to infinity.
    pub depth_of_field_m: Option<f64>,
    /// The distance at which the subject would fill the frame with this kit, metres; `None` when the lens does not focus
    /// so near.
    pub frame_filling_at_m: Option<f64>,
}

/// Every kit on the subject, at the seat's distance or the stand-off distance, whichever is larger; largest share first.
pub fn framings(scenario: &Scenario, seat: &Seat, subject: &Subject) -> Vec<Framed> {
    let distance_m = seat.distance_m.max(subject.stand_off_m(seat));
    let mut framed: Vec<Framed> = scenario
        .kits()
        .iter()
        // A kit that cannot focus at the distance gives no picture there.
        .filter_map(|named| {
            let focused = named.kit.focused_at_m(distance_m).ok()?;
            // A 1500th of the diagonal, common practice, no source.
            let circle = CircleOfConfusion::of_diagonal(&named.sensor, 1500.0).ok()?;
            let depth = focused.depth_of_field(circle);
            let share = focused.frame_share(subject.length_m);
            Some(Framed {
                kit: named.name.clone(),
                focal_length_mm: named.kit.focal_length_mm(),
                f_number: focused.working_f_number(),
                distance_m,
                share,
                pixels: focused.pixels_along(subject.length_m),
                picture: Picture::for_share(share),
                depth_of_field_m: depth.far.distance_m().map(|far| far - depth.near_m),
                frame_filling_at_m: named
                    .kit
                    .distance_for_share(FrameShare {
                        subject_m: subject.length_m,
                        share: FRAME_FILLING,
                    })
                    .ok(),
            })
        })
        .collect();
    framed.sort_by(|a, b| {
        b.share
            .total_cmp(&a.share)
            .then_with(|| b.pixels.total_cmp(&a.pixels))
            .then_with(|| a.kit.cmp(&b.kit))
    });
    framed
}
