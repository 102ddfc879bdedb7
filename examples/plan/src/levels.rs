//! Where the water stands to the levels of a place: under the push level the animals stay away,
//! over the overtop level the place has drowned, and in between they are there.

use crate::scenario::Place;

/// The levels of a place, metres above chart datum; one that is not given plays no part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Levels {
    /// From here on the animals come up.
    pub push_m: Option<f64>,
    /// Above this the place drowns and empties.
    pub overtop_m: Option<f64>,
}

/// Where one height of water stands to the levels of a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Under the push level.
    Under,
    /// In the height band of the place.
    InBand,
    /// Over the overtop level.
    Over,
}

impl Levels {
    /// Whether there is any.
    pub fn any(&self) -> bool {
        self.push_m.is_some() || self.overtop_m.is_some()
    }

    /// Where the water stands. The push level itself is in the band, and so is the overtop level.
    ///
    /// ```
    /// use wrackline_plan::levels::{Levels, Standing};
    /// let ridge = Levels { push_m: Some(6.8), overtop_m: Some(8.1) };
    /// assert_eq!(ridge.standing(6.79), Standing::Under);
    /// assert_eq!(ridge.standing(6.8), Standing::InBand);
    /// assert_eq!(ridge.standing(8.11), Standing::Over);
    /// assert_eq!(Levels::default().standing(8.11), Standing::InBand);
    /// ```
    pub fn standing(&self, water_m: f64) -> Standing {
        if self.overtop_m.is_some_and(|overtop| water_m > overtop) {
            Standing::Over
        } else if self.push_m.is_some_and(|push| water_m < push) {
            Standing::Under
        } else {
            Standing::InBand
        }
    }
}

impl Place {
    /// The levels at which its animals come up and leave.
    pub fn levels(&self) -> Levels {
        Levels {
            push_m: self.push_m,
            overtop_m: self.overtop_m,
        }
    }
}
