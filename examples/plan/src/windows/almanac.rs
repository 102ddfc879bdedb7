//! What is the same for every seat: the water at the port, the places of sun and moon and the free
//! hours, prepared once for a span.

use std::sync::Arc;

use wrackline_solar::SunAndMoon;

use super::free;
use crate::port::TideCurve;
use crate::scenario::Scenario;
use crate::time::{Stretch, Stretches, widened};

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
    sky: Arc<SunAndMoon>,
    free: Option<Stretches>,
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
        let sky = Self::sky_over(span)?;
        Self::under(scenario, span, Arc::new(sky))
    }

    /// The sky over a span, as every almanac of that span has it.
    pub(crate) fn sky_over(span: &Stretch) -> Result<SunAndMoon, AlmanacError> {
        // A window at the edge of the light may have its outing's end beyond it.
        Ok(SunAndMoon::new(widened(span, OUTING_MARGIN_HOURS))?)
    }

    /// The same as [`Almanac::over`] under a sky that was prepared over that span.
    pub(crate) fn under(
        scenario: &Scenario,
        span: &Stretch,
        sky: Arc<SunAndMoon>,
    ) -> Result<Self, AlmanacError> {
        let wide = widened(span, OUTING_MARGIN_HOURS);
        let tide = scenario.tide();
        Ok(Self {
            span: span.clone(),
            water: tide.map(|tide| tide.curve(wide.clone())).transpose()?,
            free: free::stretches(scenario, &wide),
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

    /// When the photographer is free; `None` for always.
    pub(super) fn free(&self) -> Option<&Stretches> {
        self.free.as_ref()
    }
}
