//! When sun or moon stand in the wanted band of altitude and on the wanted side of a view.

use jiff::Timestamp;
use wrackline_solar::{
    Aim, AltitudeBand, Atmosphere, LightBounds, LightSide, Limb, Path, SideLimits, SunAndMoon,
    SunInView, View, shadow_line_angle_deg,
};

use crate::scenario::{Light, MoonWanted, Seat};
use crate::time::{Stretch, Stretches, shifted};

/// The sun or the moon over one view at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverView {
    /// When.
    pub at: Timestamp,
    /// Airless altitude of its centre, degrees.
    pub altitude_deg: f64,
    /// Azimuth, degrees clockwise from true north.
    pub azimuth_deg: f64,
    /// Angle between the shadow line and the view, degrees: 0 is front light, 180 is into the
    /// light.
    pub angle_deg: f64,
    /// The class of that angle.
    pub side: LightSide,
}

impl OverView {
    fn new(seat: &Seat, at: Timestamp, altitude_deg: f64, azimuth_deg: f64) -> Self {
        // An azimuth that was computed and a bearing that was read within its bounds have an angle;
        // should they not, the light is told as coming from ahead, which warns.
        let angle_deg = shadow_line_angle_deg(View {
            light_azimuth_deg: azimuth_deg,
            bearing_deg: seat.bearing_deg,
        })
        .unwrap_or(180.0);
        Self {
            at,
            altitude_deg,
            azimuth_deg,
            angle_deg,
            side: SideLimits::default().side(angle_deg),
        }
    }
}

/// The sun over a seat's view.
pub fn sun_over(seat: &Seat, at: Timestamp) -> OverView {
    let sun = seat.observer.sun(at);
    OverView::new(seat, at, sun.altitude_deg, sun.azimuth_deg)
}

/// The moon over a seat's view.
pub fn moon_over(seat: &Seat, at: Timestamp) -> OverView {
    let moon = seat.observer.moon(at);
    OverView::new(seat, at, moon.altitude_deg, moon.azimuth_deg)
}

/// Half the diagonal of a 200 mm lens on a 36 mm sensor, degrees: no longer lens sees more.
const HALF_FIELD_DEG: f64 = 6.0;

/// When the sun, while it is up, comes near a seat's view.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SunNearView {
    /// Within [`SunInView::NEAR_DEG`] of the edge of the field of a long lens held level, or in it.
    pub near: Stretches,
    /// In the field.
    pub inside: Stretches,
}

impl SunNearView {
    /// Over a stretch, to the root. Where it cannot be judged the whole stretch counts as near.
    pub(super) fn over(seat: &Seat, sky: &SunAndMoon, stretch: &Stretch) -> Self {
        let aim = Aim {
            bearing_deg: seat.bearing_deg,
            elevation_deg: 0.0,
            half_diagonal_deg: HALF_FIELD_DEG,
        };
        let air = Atmosphere::STANDARD;
        let within = |degrees: f64| {
            let found = sky
                .sun()
                .near_view(&seat.observer, aim, degrees, &air, stretch.clone());
            Stretches::new(found.unwrap_or_else(|_| vec![stretch.clone()]))
        };
        Self {
            near: within(SunInView::NEAR_DEG),
            inside: within(0.0),
        }
    }
}

/// The trade's name for a side of the light.
pub fn side_name(side: LightSide) -> &'static str {
    match side {
        LightSide::Front => "front",
        LightSide::Shoulder => "over the shoulder",
        LightSide::Side => "side",
        LightSide::Rim => "rim",
        LightSide::IntoTheSun => "into the sun",
    }
}

/// The conditions that make up a wanted light, apart, so that it can be told which of them removed
/// what.
pub(super) struct LightTimes {
    /// Each condition's name and the stretches in which it holds; for the terrain, which is the last
    /// of them, as far as it matters.
    pub(super) parts: Vec<(&'static str, Stretches)>,
    /// Where all hold.
    pub(super) all: Stretches,
    /// Where all would hold under an open horizon; `None` where terrain plays no part.
    pub(super) open: Option<Stretches>,
}

/// What the terrain around a seat takes of the wanted light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TerrainTakes {
    /// Minutes of that light that an open horizon would leave.
    pub open_minutes: f64,
    /// How many of them the terrain takes.
    pub taken_minutes: f64,
}

impl LightTimes {
    /// All stretches of a span in which a seat's view has the wanted light. What cannot be computed
    /// is no light.
    pub(super) fn of(seat: &Seat, light: &Light, sky: &SunAndMoon, span: &Stretch) -> Self {
        let view = SeatView { seat, span, light };
        let sun = sky.sun();
        let wanted = [light.lowest_deg, light.highest_deg];
        let mut parts = vec![("sun in the altitude band", view.between(sun, wanted))];
        match light.moon {
            // By moonlight it is the moon that shines from a side and over a ridge.
            Some(wanted) => view.moonlight(sky, wanted, &mut parts),
            None if light.sided() && !light.overcast => {
                parts.push(("light from the wanted side", view.on_side(sun)));
            }
            None => {}
        }
        let open = parts
            .iter()
            .fold(Stretches::new([span.clone()]), |all, (_, part)| {
                all.intersect(part)
            });
        // Under cloud neither the side of the sun's light nor a ridge before it matters.
        let matters = light.moon.is_some() || !light.overcast;
        if !matters || seat.skyline.is_none() {
            return Self {
                all: open,
                open: None,
                parts,
            };
        }
        let (part, clear) = view.clear_of_terrain(sky, &open);
        let all = open.intersect(&clear);
        parts.push((part, clear));
        Self {
            all,
            open: Some(open),
            parts,
        }
    }

    /// What the terrain takes of a span; `None` where it plays no part.
    pub(super) fn terrain_takes(&self, span: &Stretch) -> Option<TerrainTakes> {
        // No minutes at all add up to minus nothing.
        let open_minutes = self.open.as_ref()?.within(span).minutes() + 0.0;
        let left_minutes = self.all.within(span).minutes();
        Some(TerrainTakes {
            open_minutes,
            taken_minutes: open_minutes - left_minutes + 0.0,
        })
    }

    /// What it takes of the stretch of light around an instant; of light that lasts for days, of
    /// the twelve hours to either side.
    pub(super) fn terrain_takes_around(&self, at: Timestamp) -> Option<TerrainTakes> {
        const HALF_A_DAY_MINUTES: f64 = 12.0 * 60.0;
        let stretch = self.open.as_ref()?.around(at)?;
        let near = stretch.start.max(shifted(at, -HALF_A_DAY_MINUTES))
            ..stretch.end.min(shifted(at, HALF_A_DAY_MINUTES));
        self.terrain_takes(&near)
    }
}

/// One seat's view over one span.
struct SeatView<'v> {
    seat: &'v Seat,
    span: &'v Stretch,
    light: &'v Light,
}

impl SeatView<'_> {
    fn moonlight(
        &self,
        sky: &SunAndMoon,
        wanted: MoonWanted,
        parts: &mut Vec<(&'static str, Stretches)>,
    ) {
        let moon = sky.moon();
        parts.push((
            "moon high enough",
            self.between(moon, [wanted.lowest_deg, 90.0]),
        ));
        let lit = sky.moon_lit_above(wanted.lit_fraction, self.span.clone());
        parts.push(("moon full enough", Stretches::new(lit.unwrap_or_default())));
        if self.light.overcast {
            return;
        }
        if self.light.sided() {
            parts.push(("moonlight from the wanted side", self.on_side(moon)));
        }
    }

    fn between(&self, body: &Path, [lowest_deg, highest_deg]: [f64; 2]) -> Stretches {
        let band = AltitudeBand {
            lowest_deg,
            highest_deg,
        };
        let found = body.between(&self.seat.observer, band, self.span.clone());
        Stretches::new(found.unwrap_or_default())
    }

    fn on_side(&self, body: &Path) -> Stretches {
        let bounds = LightBounds {
            altitude: AltitudeBand {
                lowest_deg: -90.0,
                highest_deg: 90.0,
            },
            bearing_deg: self.seat.bearing_deg,
            least_side_deg: self.light.narrowest_deg,
            greatest_side_deg: self.light.widest_deg,
        };
        let found = body.light_within(&self.seat.observer, bounds, self.span.clone());
        Stretches::new(found.unwrap_or_default())
    }

    /// When sun or moon, whichever the light comes from, stand clear of the terrain, known wherever
    /// all else that is wanted of the light holds.
    fn clear_of_terrain(&self, sky: &SunAndMoon, open: &Stretches) -> (&'static str, Stretches) {
        if self.light.moon.is_some() {
            return ("moon clear of the terrain", self.clear(sky.moon(), open));
        }
        let sun = sky.sun();
        let clear = self.clear(sun, open);
        // Below the horizon there is no direct light to wait for.
        let clear = if self.light.lowest_deg < 0.0 {
            clear.union(&self.between(sun, [-90.0, 0.0]))
        } else {
            clear
        };
        ("sun clear of the terrain", clear)
    }

    /// When the centre of the disc stands clear of the terrain: half of the direct light is there.
    /// Looked for in the stretches of `open` alone.
    fn clear(&self, body: &Path, open: &Stretches) -> Stretches {
        let Some(skyline) = &self.seat.skyline else {
            return open.clone();
        };
        let (observer, air, open) = (&self.seat.observer, Atmosphere::STANDARD, open.iter());
        let found = body.above_skyline_during(observer, skyline, Limb::Centre, &air, open.cloned());
        Stretches::new(found.unwrap_or_default())
    }
}
