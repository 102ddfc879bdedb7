//! Reach: a claim such as "this kit reaches like 1260 mm", taken apart.
//!
//! "Reach" means several things that do not go together: how tightly the frame sits, how many
//! pixels lie on the subject, how much detail is resolved, how much light comes from the subject,
//! how shallow the picture is. Each gets its own number and its own verdict. Detail depends on lens
//! quality and air, which nobody has measured: it is computed for perfect, good and soft optics in
//! calm and warm air, and a verdict that differs among them says in which of them it holds.

pub(crate) mod verdict;

pub(crate) mod scene;

pub(crate) mod view;

mod finding;

pub(crate) mod compare;

mod gain;

pub(crate) mod judge;

pub use compare::{DetailCell, EqualThroughAir};
pub use finding::Finding;
pub use gain::ConverterGain;
pub use judge::LensAsSuch;
pub use scene::OpticsCase;
pub use verdict::{AirGrade, Band, Cases, Decider, OpticsGrade, Statement};
pub use view::Sighting;
