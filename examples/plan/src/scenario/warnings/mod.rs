//! What is implausible in a scenario and not wrong: somebody may mean it, but most who write it
//! slipped.
//!
//! Every figure here is our default. A warning takes nothing away from what is proposed and adds
//! nothing to it: what could hurt somebody is judged in `windows`, whatever was warned of.

mod animals;
mod ground;
mod levels;
mod port;

use super::draft::Marks;
use super::whole::Scenario;

/// Looks at a scenario as a whole, and notes in its files what is implausible.
pub(super) fn look(scenario: &Scenario, marks: &Marks<'_>) {
    ground::look(scenario, marks);
    port::look(scenario, marks);
    levels::look(scenario, marks);
    animals::look(scenario, marks);
}
