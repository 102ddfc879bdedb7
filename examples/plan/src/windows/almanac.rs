//! What is the same for every seat: the water at the port and the places of sun and moon, prepared
//! once for a span.

use wrackline_solar::SunAndMoon;

use crate::port::TideCurve;
use crate::scenario::Scenario;
use crate::time::{Stretch, widened};

/// Hours by which light is looked at beyond the span, so that light and tides at its edge are
/// whole.
pub(super) const LIGHT_MARGIN_HOURS: i64 = 36;
/// Hours by which water and free hours are known beyond the span: an outing may begin a day before
/// its light or its tide and end a day after it.
pub(super) const OUTING_MARGIN_HOURS: i64 = 72;

/// The water and the sky over a span and enough around it, for every seat, subject and light.
#[derive(Debug)]
pub struct Almanac {
    span: Stretch,
    water: Option<TideCurve>,
    sky: SunAndMoon,
}

/// Why there is no almanac for a span.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AlmanacError {
    /// The tide cannot be predicted over it.
    #[error("the tide: {0}")]
    Water(#[from] wrackline_tides::Error),
    /// Sun and moon cannot.
    #[error("sun and moon: {0}")]
    Sky(#[from] wrackline_solar::Error),
}

impl Almanac {
    /// Prepares a span of a scenario.
    ///
    /// # Errors
    /// A span that holds no time, or that the calendar cannot hold.
    pub fn over(scenario: &Scenario, span: &Stretch) -> Result<Self, AlmanacError> {
        let water = scenario
            .tide()
            .map(|tide| tide.curve(widened(span, OUTING_MARGIN_HOURS)))
            .transpose()?;
        // A window at the edge of the light may have its outing's end beyond it.
        let sky = SunAndMoon::new(widened(span, OUTING_MARGIN_HOURS))?;
        Ok(Self {
            span: span.clone(),
            water,
            sky,
        })
    }

    /// What it was asked for.
    pub fn span(&self) -> &Stretch {
        &self.span
    }

    /// The water at the port; `None` inland.
    pub fn water(&self) -> Option<&TideCurve> {
        self.water.as_ref()
    }

    /// Sun and moon.
    pub fn sky(&self) -> &SunAndMoon {
        &self.sky
    }
}
