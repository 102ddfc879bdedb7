//! Zeros along the travel: where it is cut, and where a figure takes a value.

/// Whether a function passes zero between two places with these values.
pub(super) fn crosses(one: f64, other: f64) -> bool {
    (one <= 0.0) != (other <= 0.0) || one == 0.0 || other == 0.0
}

/// Where a function that changes its sign between two places does so, by halving.
pub(super) fn crossing(of: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    if of(low) == 0.0 {
        return low;
    }
    let rises = of(low) < 0.0;
    let (mut low, mut high) = (low, high);
    // Each step halves the interval; long before the last it is below the spacing of floating-point
    // numbers.
    for _ in 0..1100 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if (of(middle) < 0.0) == rises {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Places along the travel in rising order, both ends among them.
pub(super) struct Marks {
    places: [f64; 6],
    count: usize,
}

impl Marks {
    pub(super) const ENDS: Self = Self {
        places: [0.0, 1.0, 1.0, 1.0, 1.0, 1.0],
        count: 2,
    };

    pub(super) fn all(&self) -> &[f64] {
        &self.places[..self.count]
    }

    /// The ends and every place between them where a polynomial changes its sign. Between two
    /// neighbouring sign changes of its derivative it is monotone and changes sign once at most, so
    /// the places are found from the last derivative upwards.
    pub(super) fn of(coefficients: [f64; 5]) -> Self {
        let mut rows = [coefficients; 5];
        for order in 1..rows.len() {
            let above = rows[order - 1];
            rows[order] = [
                above[1],
                2.0 * above[2],
                3.0 * above[3],
                4.0 * above[4],
                0.0,
            ];
        }
        rows.iter().rev().fold(Self::ENDS, |marks, row| {
            let value = |x: f64| row.iter().rev().fold(0.0, |sum, &factor| sum * x + factor);
            let mut next = Self::ENDS;
            for piece in marks.all().windows(2) {
                let (low, high) = (value(piece[0]), value(piece[1]));
                // Four roots at most beside the two ends: the places never run out.
                if (low < 0.0) != (high < 0.0) && next.count < next.places.len() {
                    next.places[next.count - 1] = crossing(value, piece[0], piece[1]);
                    next.places[next.count] = 1.0;
                    next.count += 1;
                }
            }
            next
        })
    }
}
