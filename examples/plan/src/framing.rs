//! What each kit makes of an animal at no less than its stand-off distance.

use wrackline_optics::{CircleOfConfusion, FrameShare, Sensor};

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

/// Prints at 300 pixels an inch, by rising size, as pixels along the long and the short side:
/// arithmetic from the paper's sizes, 3 mm of bleed where it is named.
pub const PRINTS: [(&str, [u32; 2]); 5] = [
    ("A4", [3508, 2481]),
    ("A4 cover with bleed", [3579, 2552]),
    ("A3", [4961, 3508]),
    ("A4 spread with bleed", [5032, 3579]),
    ("A2", [7016, 4961]),
];

/// The largest of [`PRINTS`] that the whole frame of a sensor is good for.
pub fn largest_print(sensor: &Sensor) -> Option<&'static str> {
    let (columns, rows) = (sensor.columns(), sensor.rows());
    let (long, short) = (columns.max(rows), columns.min(rows));
    let mut fit = PRINTS.iter().rev();
    fit.find(|(_, size)| long >= size[0] && short >= size[1])
        .map(|(name, _)| *name)
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
    /// The largest print that the whole frame is good for at 300 pixels an inch.
    pub print: Option<&'static str>,
    /// From the near to the far limit of acceptable focus, metres; `None` when it reaches to
    /// infinity.
    pub depth_of_field_m: Option<f64>,
    /// The distance at which the subject would fill the frame with this kit, metres; `None` when
    /// the lens does not focus so near.
    pub frame_filling_at_m: Option<f64>,
}

/// Every kit on the subject, at the seat's distance or the stand-off distance, whichever is larger;
/// largest share first.
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
            let share = focused.frame_share(subject.length_m).ok()?;
            Some(Framed {
                kit: named.name.clone(),
                focal_length_mm: named.kit.focal_length_mm(),
                f_number: focused.working_f_number(),
                distance_m,
                share,
                pixels: focused.pixels_along(subject.length_m).ok()?,
                picture: Picture::for_share(share),
                print: largest_print(&named.sensor),
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Inches of paper times 300, rounded up, A sizes in millimetres by ISO 216: the table itself
    /// is arithmetic.
    #[test]
    fn prints_follow_from_paper_sizes() {
        let px = |mm: f64| (mm / 25.4 * 300.0).ceil();
        for (name, millimetres) in [
            ("A4", [297.0, 210.0]),
            ("A4 cover with bleed", [303.0, 216.0]),
            ("A3", [420.0, 297.0]),
            ("A4 spread with bleed", [426.0, 303.0]),
            ("A2", [594.0, 420.0]),
        ] {
            let (_, size) = PRINTS.iter().find(|(known, _)| *known == name).unwrap();
            assert_eq!(size.map(f64::from), millimetres.map(px), "{name}");
        }
    }

    #[test]
    fn kinds_of_picture_change_at_their_limits() {
        assert_eq!(Picture::for_share(0.049), Picture::LandscapeWithTheAnimal);
        assert_eq!(Picture::for_share(0.05), Picture::AnimalInItsPlace);
        assert_eq!(Picture::for_share(0.15), Picture::Classic);
        assert_eq!(Picture::for_share(0.35), Picture::FrameFilling);
        assert_eq!(Picture::for_share(0.70), Picture::Tight);
    }
}
