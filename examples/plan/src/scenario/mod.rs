//! The scenario: one TOML file (or several that include one another) with all that a photographer
//! knows of the places.

mod bounds;
mod choose;
mod closure;
mod contact;
mod days;
mod draft;
mod habits;
mod kit;
mod light;
mod parse;
mod place;
mod port;
mod problem;
mod reader;
mod season_of_year;
mod seat;
mod secondary;
mod source;
mod subject;
mod terrain;
mod text;
mod trial;
mod wanted;
mod warnings;
mod water;
mod way_in;
mod whole;

pub(crate) use closure::FROST_LASTS_DAYS;
pub use closure::{Closure, ClosureDates, ClosureRule};
pub use contact::Contact;
pub use days::FreeHours;
pub use habits::{FrozenDays, Habits, LightWeights};
pub use kit::NamedKit;
pub use light::{Light, MoonWanted};
pub use parse::{holds_a_port, is_a_scenario, port_of, read_one};
pub use place::Place;
pub use port::{Basis, Constants, Tide};
pub use problem::{Problem, Problems, Warning};
pub use season_of_year::{HALF_MONTHS, HalfMonths, half_month_name, half_month_of};
pub use seat::{Access, Seat};
pub use subject::Subject;
pub use trial::Trial;
pub use wanted::Wanted;
pub use water::Water;
pub use way_in::{Creek, WayIn};
pub use whole::Scenario;

/// The demo scenario, compiled in. Everything in it is invented.
pub const DEMO: &str = include_str!("../../../demo/oskerrow.toml");
/// The name under which messages speak of the demo scenario.
pub const DEMO_NAME: &str = "demo/oskerrow.toml";
/// The JSON Schema of a scenario file (draft 2020-12), for editors. A test holds it against the
/// parser.
pub const SCHEMA: &str = include_str!("../../../demo/scenario.schema.json");
