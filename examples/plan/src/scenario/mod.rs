//! The scenario: one TOML file (or several that include one another) with all that a photographer knows of the places.

mod model;
mod parse;
mod problem;
mod reader;
mod season_of_year;
mod trial;

pub use model::{
    Access, Closure, ClosureDates, ClosureRule, Creek, FreeHours, FrozenDays, Habits, Light,
    LightWeights, MoonWanted, NamedKit, Place, Scenario, Seat, Subject, Tide, Wanted, Water, WayIn,
};
pub use problem::{Problem, Problems};
pub use season_of_year::HalfMonths;
pub use trial::Trial;

/// The demo scenario, compiled in. Everything in it is invented.
pub const DEMO: &str = include_str!("../../../demo/oskerrow.toml");
/// The name under which messages speak of the demo scenario.
pub const DEMO_NAME: &str = "demo/oskerrow.toml";
/// The JSON Schema of a scenario file (draft 2020-12), for editors. A test holds it against the parser.
pub const SCHEMA: &str = include_str!("../../../demo/scenario.schema.json");
