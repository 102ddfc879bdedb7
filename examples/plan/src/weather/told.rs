//! What there is to say of a forecast: of the whole of it, and at a window.

use jiff::Timestamp;

use super::cloud::{self, Cloud, CloudAt};
use super::{ALONE_HOURS, Reach, Weather};
use crate::scenario::{Light, Scenario};
use crate::time::{Stretch, minutes_between};

/// What a forecast means for one window.
#[derive(Clone, Debug, PartialEq)]
pub struct AtWindow {
    /// Whether it speaks for the water from setting out to being back.
    pub water: Reach,
    /// The most by which it raises the upper water in that time over the scenario's own, metres.
    pub upper_more_m: f64,
    /// The most by which it lowers the lower water.
    pub lower_less_m: f64,
    /// Hours from its issue to setting out; `None` where it does not say when it was issued.
    pub age_hours: Option<f64>,
    /// The cloud at the start of the window and where it changes; empty where nothing is said.
    pub cloud: Vec<CloudAt>,
    /// Whether the cloud is what the light asks for at all of these instants (`true`) or against it
    /// at one (`false`); `None` where nothing is said, or where it may do.
    pub as_wanted: Option<bool>,
}

impl Weather {
    /// What it means for a window in a light, with its outing.
    pub(crate) fn at_window(&self, light: &Light, window: &Stretch, outing: &Stretch) -> AtWindow {
        let shift = self.shifts().widest_in(outing);
        let cloud = cloud::over(self.forecast(), window);
        let issued = self.forecast().issued();
        AtWindow {
            water: self.speaks_for(outing),
            upper_more_m: shift.upper_m,
            lower_less_m: shift.lower_m,
            age_hours: issued.map(|issued| minutes_between(issued, outing.start) / 60.0),
            as_wanted: as_wanted(light, &cloud),
            cloud,
        }
    }

    /// What must be known of it before anything is planned by it, one line each.
    pub fn remarks(&self, scenario: &Scenario) -> Vec<String> {
        let (forecast, now) = (self.forecast(), self.now);
        let clock = |at: Timestamp| {
            let at = at.to_zoned_datetime(scenario.zone().clone());
            at.strftime("%a %-d %b %Y %H:%M").to_string()
        };
        let mut told = Vec::new();
        told.push(match forecast.issued() {
            None => "it does not say when it was issued (a column `issued`)".to_owned(),
            Some(issued) if issued > now => format!(
                "issued {}, which is {} ahead: check the clock and the file",
                clock(issued),
                span(minutes_between(now, issued) / 60.0)
            ),
            Some(issued) => format!(
                "issued {}, {} ago",
                clock(issued),
                span(minutes_between(issued, now) / 60.0)
            ),
        });
        if let Some([first, last]) = forecast.from_to() {
            told.push(format!(
                "from {} to {}, and for {ALONE_HOURS} h beyond; elsewhere the scenario's own \
                 allowances hold",
                clock(first),
                clock(last)
            ));
        }
        if scenario.tide().is_some() {
            told.push(self.of_the_water());
        }
        if !forecast.gives(|row| row.cloud) {
            told.push("no cloud in it: no window is marked".to_owned());
        }
        told.push(if forecast.gives(|row| row.air_c) {
            "frozen days by its air below 1 °C are a hint: go by your own count where there is one"
                .to_owned()
        } else {
            "no temperature in it: frozen days are the scenario's own".to_owned()
        });
        if !forecast.unused().is_empty() {
            let names = forecast.unused().join(", ");
            told.push(format!("not used: {names}"));
        }
        told
    }

    /// By what the water is shifted.
    fn of_the_water(&self) -> String {
        let forecast = self.forecast();
        let wind = forecast.gives(|row| row.wind);
        match (forecast.gives(|row| row.pressure_hpa), wind, self.taught()) {
            (false, ..) => "no pressure in it: the water is the scenario's own".to_owned(),
            (true, true, Some(taught)) => format!(
                "the water by its pressure, and by the {} tides of the log with pressure and \
                 wind: the more cautious of both",
                taught.fit().tides
            ),
            (true, false, Some(_)) => {
                "the water by its pressure alone: it has no wind with a direction".to_owned()
            }
            (true, true, None) => "the water by its pressure alone: what the wind does here only \
                                   a log with pressure and wind of 8 tides or more can teach"
                .to_owned(),
            (true, false, None) => "the water by its pressure alone".to_owned(),
        }
    }
}

/// A light for cloud asks for an overcast sky; one from a side, or that of the moon, for a bright
/// one; broken cloud promises neither and is not held against either.
fn as_wanted(light: &Light, cloud: &[CloudAt]) -> Option<bool> {
    let (wanted, against) = match (light.overcast, light.sided() || light.moon.is_some()) {
        (true, _) => (Cloud::Overcast, Cloud::Bright),
        (false, true) => (Cloud::Bright, Cloud::Overcast),
        (false, false) => return None,
    };
    if cloud.iter().any(|at| at.cloud == against) {
        Some(false)
    } else {
        let whole = !cloud.is_empty() && cloud.iter().all(|at| at.cloud == wanted);
        whole.then_some(true)
    }
}

/// Hours as days and hours.
pub(crate) fn span(hours: f64) -> String {
    let hours = hours.abs().floor();
    let days = (hours / 24.0).floor();
    match (days, hours - 24.0 * days) {
        (0.0, 0.0) => "less than an hour".to_owned(),
        (0.0, hours) => format!("{hours} h"),
        (days, 0.0) => format!("{days} d"),
        (days, hours) => format!("{days} d {hours} h"),
    }
}

impl AtWindow {
    /// Its age when one sets out, in words.
    pub fn age(&self) -> String {
        match self.age_hours {
            None => "of unknown age".to_owned(),
            Some(hours) if hours < 0.0 => format!("issued {} after setting out", span(hours)),
            Some(hours) => format!("{} old when you set out", span(hours)),
        }
    }
}
