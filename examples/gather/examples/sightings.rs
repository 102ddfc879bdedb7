//! Writes the invented sightings of `examples/demo/sightings.csv` to the standard output.
//!
//! `cargo run -p wrackline-gather --example sightings > examples/demo/sightings.csv`

#[path = "../tests/presence/simulate.rs"]
mod simulate;

use simulate::{World, winter_guest};

fn main() {
    let world = World {
        year: winter_guest,
        visits: 9.0,
        observers: 12,
        skill: 0.3,
        years_differ: 0.0,
        flawed: 0.06,
        as_events: false,
    };
    print!("{}", world.records(20_261_127));
}
