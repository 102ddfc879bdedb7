//! The cautions that every output carries. No figure of the programs is a legal or a safety limit.

/// For anything that shows the tide.
pub const WATER: &str = "Water: estimated from a prediction, not for navigation. It leaves out \
    surge, wind, rain, waves and shifting channels; creeks fill behind you and fog takes away \
    bearings. Check the official tables and local advice.";
/// For anything that shows the sun.
pub const SUN: &str = "Sun: never look at or near the sun through a lens or any optical finder; \
    it damages eye and camera in moments.";
/// For anything that brings people near animals.
pub const LAW: &str = "Law: disturbing protected animals, nests or sites is an offence in many \
    places and may need a licence. Check the local rule; local codes decide.";
/// For anything that brings people near animals.
pub const WELFARE: &str = "Welfare: the animal comes before the picture. At the first heads-up \
    wait, at calling or bunching go back, or keep still while the way is closed; no playback, \
    bait or flushing; leave hard-weather flocks to feed.";
/// The same for animals that do not fly.
pub const WELFARE_ON_GROUND: &str = "Welfare: the animal comes before the picture. At the first \
    heads-up wait, at calling or bunching go back; no calls, bait or chasing; leave tired and \
    hungry animals to feed.";
/// For any outing.
pub const FIELD: &str = "Field: cold and dark, private land, shooting days, airfields and ranges: \
    ask and tell somebody when you will be back.";

/// All of them, in the order in which they are printed.
pub const ALL: [&str; 5] = [WATER, SUN, LAW, WELFARE, FIELD];
