//! Reach: a claim such as "this kit reaches like 1260 mm", taken apart.
//!
//! "Reach" means several things that do not go together: how tightly the frame sits, how many
//! pixels lie on the subject, how much detail is resolved, how much light comes from the subject,
//! how shallow the picture is. Each gets its own number and its own verdict. Detail depends on lens
//! quality and air, which nobody has measured: it is computed for perfect, good and soft optics in
//! calm and warm air, and a verdict that differs among them says in which of them it holds.

mod verdict;

mod scene;

mod view;

mod finding;

mod compare;

mod gain;

mod judge;

pub use compare::{Comparison, DetailCell, EqualThroughAir};
pub use finding::Finding;
pub use gain::ConverterGain;
pub use judge::{Judgement, LensAsSuch};
pub use scene::{Assumptions, Claim, ClaimSpec, OpticsCase, Scene, SceneSpec};
pub use verdict::{AirGrade, Band, Cases, Decider, Meaning, OpticsGrade, Statement, Verdict};
pub use view::{Contender, Sighting};
