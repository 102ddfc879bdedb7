//! The kinds of light in which pictures are wanted.

use super::bounds::Bound;
use super::reader::Table;

/// A kind of light in which pictures are wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Light {
    /// Its name in the scenario.
    pub name: String,
    /// Lowest airless altitude of the sun's centre, degrees from -90: by moonlight the sun may be
    /// anywhere below. The air lifts what is seen by 0.5 degrees at the horizon and by 0.1 at 10
    /// degrees.
    pub lowest_deg: f64,
    /// Highest such altitude.
    pub highest_deg: f64,
    /// Smallest angle between the shadow line and the view, degrees from 0 (front light) to 180
    /// (into the sun).
    pub narrowest_deg: f64,
    /// Largest such angle.
    pub widest_deg: f64,
    /// Under cloud the side of the light does not matter.
    pub overcast: bool,
    /// The moon that it needs, if any.
    pub moon: Option<MoonWanted>,
}

impl Light {
    /// Whether some sides of the light are not wanted.
    pub fn sided(&self) -> bool {
        self.narrowest_deg > 0.0 || self.widest_deg < 180.0
    }
}

/// What a picture by moonlight asks of the moon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoonWanted {
    /// Lowest airless altitude of its centre, degrees.
    pub lowest_deg: f64,
    /// Least lit fraction of its disc, 0 to 1.
    pub lit_fraction: f64,
}

pub(super) fn default_light() -> Light {
    Light {
        name: "low front light".to_owned(),
        lowest_deg: 0.0,
        highest_deg: 12.0,
        narrowest_deg: 0.0,
        widest_deg: 45.0,
        overcast: false,
        moon: None,
    }
}

pub(super) fn read(table: Table<'_, '_>) -> Light {
    let name = table.text("name");
    let [lowest_deg, highest_deg] = table
        .ordered("altitude_deg", Bound::Within(-90.0, 90.0))
        .unwrap_or([0.0, 12.0]);
    let [narrowest_deg, widest_deg] = table
        .ordered("angle_deg", Bound::Within(0.0, 180.0))
        .unwrap_or([0.0, 180.0]);
    let overcast = table.flag_or("overcast", false);
    let moon = table.table("moon").map(|moon| {
        let wanted = MoonWanted {
            lowest_deg: moon.number_or("lowest_deg", Bound::Within(-1.0, 90.0), 0.0),
            lit_fraction: moon.number_or("lit_fraction", Bound::Within(0.0, 1.0), 0.0),
        };
        moon.finish();
        wanted
    });
    if !table.has("altitude_deg") {
        table.report(
            "altitude_deg",
            "is missing",
            "add `altitude_deg = [lowest, highest]`",
        );
    }
    if !table.has("angle_deg") && !overcast && moon.is_none() {
        table.report(
            "angle_deg",
            "is missing",
            "add `angle_deg = [smallest, largest]` between the shadow line and the view, or \
             `overcast = true`, or a `moon`",
        );
    }
    table.finish();
    Light {
        name,
        lowest_deg,
        highest_deg,
        narrowest_deg,
        widest_deg,
        overcast,
        moon,
    }
}
