//! Wind as an observer notes it: the compass point it comes from and the Beaufort force.

use std::fmt;

use wrackline_plan::weather::WindVector;

/// The sixteen points, clockwise from north.
const POINTS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];

/// A wind estimated by eye.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wind {
    /// Force 0, from nowhere.
    Calm,
    /// A wind with a direction.
    From {
        /// Sixteenths of a turn clockwise from true north, 0-15: where the wind comes from.
        point: u8,
        /// Beaufort force, 1-12.
        force: u8,
    },
}

impl Wind {
    /// Reads "W3", "nw 4" or "calm".
    pub fn parse(text: &str) -> Option<Wind> {
        let bare: String = text
            .chars()
            .filter(|c| !c.is_whitespace())
            .collect::<String>()
            .to_uppercase();
        if bare == "CALM" || bare == "0" {
            return Some(Wind::Calm);
        }
        let digits = bare.find(|c: char| c.is_ascii_digit())?;
        let (letters, force) = bare.split_at(digits);
        let point = POINTS.iter().position(|name| *name == letters)?;
        let force: u8 = force.parse().ok()?;
        match force {
            0 => Some(Wind::Calm),
            1..=12 => Some(Wind::From {
                point: u8::try_from(point).ok()?,
                force,
            }),
            _ => None,
        }
    }

    /// Speed in metres a second at 10 m: v = 0.836 B^(3/2), the relation from which the scale's
    /// table of speeds was drawn up (coefficient from memory). It falls within the published class
    /// of every force.
    pub fn speed_mps(self) -> f64 {
        match self {
            Wind::Calm => 0.0,
            Wind::From { force, .. } => 0.836 * f64::from(force).powf(1.5),
        }
    }

    /// The components of the wind, pointing where it blows to.
    pub fn vector(self) -> WindVector {
        let from_deg = match self {
            Wind::Calm => 0.0,
            Wind::From { point, .. } => f64::from(point) * 22.5,
        };
        WindVector::from(self.speed_mps(), from_deg)
    }
}

impl fmt::Display for Wind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Wind::Calm => f.write_str("calm"),
            Wind::From { point, force } => write!(f, "{}{force}", POINTS[usize::from(*point % 16)]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_reads_back() {
        for point in 0..16 {
            for force in 1..=12 {
                let wind = Wind::From { point, force };
                assert_eq!(Wind::parse(&wind.to_string()), Some(wind));
            }
        }
        assert_eq!(Wind::parse("calm"), Some(Wind::Calm));
    }

    #[test]
    fn nonsense_is_refused() {
        for text in ["", "W", "W13", "3", "NNN4", "W-3", "W3.5"] {
            assert_eq!(Wind::parse(text), None, "{text}");
        }
    }

    /// World Meteorological Organization, Manual on Codes (WMO-No. 306), volume I.1, Beaufort
    /// scale: classes of equivalent speed at 10 m, in m/s to a tenth; force 12 is open above.
    #[test]
    fn speeds_lie_in_the_published_classes() {
        let classes = [
            (0.3, 1.5),
            (1.6, 3.3),
            (3.4, 5.4),
            (5.5, 7.9),
            (8.0, 10.7),
            (10.8, 13.8),
            (13.9, 17.1),
            (17.2, 20.7),
            (20.8, 24.4),
            (24.5, 28.4),
            (28.5, 32.6),
            (32.7, f64::INFINITY),
        ];
        for (force, (least, most)) in (1..).zip(classes) {
            let speed = Wind::From { point: 0, force }.speed_mps();
            assert!(
                (least - 0.05..most + 0.05).contains(&speed),
                "force {force}: {speed}"
            );
        }
    }

    #[test]
    fn a_westerly_blows_to_the_east() {
        let v = Wind::From {
            point: 12,
            force: 4,
        }
        .vector();
        assert!(v.east_mps > 6.0 && v.north_mps.abs() < 1e-9);
    }
}
