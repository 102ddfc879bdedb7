//! A request in words, as the flags of a program or the arguments of a function give it, on its way
//! to a table.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp, ToSpan};

use super::error::Error;
use super::input::{SeatChoice, Text, instants_of, places_of, ports_of, seats_of};
use super::instants::Instants;
use super::spot::LightWish;
use super::{GROUP_ROWS, NEAR_TURN_MINUTES, TableSpec};
use wrackline_plan::experience::Experience;
use wrackline_plan::scenario::{DEMO, DEMO_NAME, Scenario};
use wrackline_plan::time::read_instant;

/// What a table is asked for. Left out altogether, it is the seats of the invented demo today.
#[derive(Clone, Debug)]
pub struct Request {
    /// Places of a file, in place of the seats of the scenario.
    pub places: Option<Text>,
    /// Harmonic constants of the ports that the places name.
    pub ports: Option<Text>,
    /// Port for places that name none.
    pub port: Option<String>,
    /// The scenario whose seats are the places; the demo when left out.
    pub scenario: Option<Scenario>,
    /// The seats of one place of the scenario only, by its id.
    pub place: Option<String>,
    /// Subject that the seats are judged for; the project's own when left out.
    pub subject: Option<String>,
    /// Light that the seats are judged for, by its name; the scenario's first when left out.
    pub light: Option<String>,
    /// What past visits tell of the animals' peace at the seats.
    pub experience: Option<Experience>,
    /// Lowest and highest altitude of the sun wanted at places of a file, degrees.
    pub sun_altitude_deg: Option<[f64; 2]>,
    /// Smallest and largest angle between shadow line and view wanted there, degrees.
    pub light_angle_deg: Option<[f64; 2]>,
    /// When.
    pub when: When,
    /// Zone of civil dates, and of places that have none of their own; the scenario's, or UTC, when
    /// left out.
    pub zone: Option<String>,
    /// How near a turn counts as high or low water.
    pub near_turn: SignedDuration,
    /// Rows in a group.
    pub group_rows: usize,
}

/// The instants of a request.
#[derive(Clone, Debug)]
pub enum When {
    /// As they are.
    Given(Instants),
    /// Of a text with one a line.
    Listed(Text),
    /// At equal steps.
    Steps {
        /// The first; today when left out.
        from: Option<String>,
        /// The end, itself left out; a day after the first when left out.
        to: Option<String>,
        /// From each to the next.
        step: SignedDuration,
    },
}

impl Default for Request {
    fn default() -> Self {
        Self {
            places: None,
            ports: None,
            port: None,
            scenario: None,
            place: None,
            subject: None,
            light: None,
            experience: None,
            sun_altitude_deg: None,
            light_angle_deg: None,
            when: When::Steps {
                from: None,
                to: None,
                step: SignedDuration::from_mins(10),
            },
            zone: None,
            near_turn: SignedDuration::from_mins(NEAR_TURN_MINUTES),
            group_rows: GROUP_ROWS,
        }
    }
}

impl Request {
    /// Reads the texts and the words.
    ///
    /// # Errors
    /// Every problem of a text, or the option that cannot be worked with.
    pub fn spec(self) -> Result<TableSpec, Error> {
        let given_zone = self.zone.as_deref().map(zone_named).transpose()?;
        let (places, scenario, zone) = match self.places {
            Some(text) => {
                let ports = self.ports.map_or(Ok(Vec::new()), ports_of)?;
                let name = self.zone.as_deref().unwrap_or("UTC");
                let places = places_of(text, ports, self.port.as_deref(), name)?;
                (places, None, given_zone.unwrap_or(TimeZone::UTC))
            }
            None => {
                let mut scenario = match self.scenario {
                    Some(scenario) => scenario,
                    None => Scenario::parse(DEMO_NAME, DEMO)?,
                };
                if let (Some(name), Some(zone)) = (&self.zone, given_zone) {
                    scenario = scenario.in_zone(zone, name);
                }
                let choice = SeatChoice {
                    place: self.place.as_deref(),
                    subject: self.subject.as_deref(),
                    light: self.light.as_deref(),
                };
                let places = seats_of(&scenario, choice)?;
                let zone = scenario.zone().clone();
                (places, Some(scenario), zone)
            }
        };
        let instants = match self.when {
            When::Given(instants) => instants,
            When::Listed(text) => instants_of(text, &zone)?,
            When::Steps { from, to, step } => {
                let span = span(from.as_deref(), to.as_deref(), &zone)?;
                Instants::regular(span, step)?
            }
        };
        let mut spec = TableSpec::new(places, instants);
        spec.experience = self.experience.filter(|_| scenario.is_some());
        spec.scenario = scenario;
        spec.near_turn = self.near_turn;
        spec.group_rows = self.group_rows;
        let altitude_deg = band("--sun-altitude", self.sun_altitude_deg, [-90.0, 90.0])?;
        let angle_deg = band("--light-angle", self.light_angle_deg, [0.0, 180.0])?;
        if self.sun_altitude_deg.is_some() || self.light_angle_deg.is_some() {
            spec.light = Some(LightWish {
                altitude_deg,
                angle_deg,
            });
        }
        Ok(spec)
    }
}

fn zone_named(name: &str) -> Result<TimeZone, Error> {
    TimeZone::get(name).map_err(|_| {
        Error::option(
            "--zone",
            format!("\"{name}\" is not a known time zone"),
            "give a name of the IANA time zone database, such as Europe/London or UTC",
        )
    })
}

/// A band within the widest; the widest where none is given.
fn band(
    option: &'static str,
    given: Option<[f64; 2]>,
    [lowest, highest]: [f64; 2],
) -> Result<[f64; 2], Error> {
    let band @ [low, high] = given.unwrap_or([lowest, highest]);
    if lowest <= low && low <= high && high <= highest {
        return Ok(band);
    }
    let remedy = format!("give two numbers from {lowest} to {highest}, the smaller one first");
    Err(Error::option(
        option,
        format!("{low}..{high} is no such band"),
        remedy,
    ))
}

fn span(
    from: Option<&str>,
    to: Option<&str>,
    zone: &TimeZone,
) -> Result<std::ops::Range<Timestamp>, Error> {
    let instant = |option: &'static str, text: &str| {
        read_instant(text, Some(zone))
            .map_err(|error| Error::option(option, error.what(), error.remedy()))
    };
    let midnight = |days: i64| {
        let today = Timestamp::now().to_zoned_datetime(zone.clone()).date();
        let date = today.checked_add(days.days()).unwrap_or(today);
        zone.to_timestamp(date.into())
            .unwrap_or_else(|_| Timestamp::now())
    };
    let start = match from {
        Some(text) => instant("--from", text)?,
        None => midnight(0),
    };
    let end = match (to, from) {
        (Some(text), _) => instant("--to", text)?,
        (None, None) => midnight(1),
        (None, Some(_)) => start
            .saturating_add(SignedDuration::from_hours(24))
            .unwrap_or(start),
    };
    Ok(start..end)
}
