//! What others have seen through the year, as a prior for the learned chances.

use jiff::civil::Date;
use serde::Deserialize;

use crate::scenario::{HALF_MONTHS, half_month_name, half_month_of};
use crate::words::echo;

/// How often visits of others found an animal at a place, by half-month; made by the program
/// `presence`.
#[derive(Clone, Debug, PartialEq)]
pub struct YearRound {
    /// The place, by its id in the scenario.
    pub place: String,
    /// The subject, by its id in the scenario.
    pub subject: String,
    shares: [Option<f64>; HALF_MONTHS],
}

/// Years of animals, and what they weigh beside visits of one's own.
///
/// A share of visits with the animal is not the chance to come within range of it, and other
/// people's visits were not made for pictures. So they enter as so many visits as whoever plans
/// holds them to be worth, and without that as none. They weigh chances alone: no stand-off, no
/// rest, no presence and no closure is read from them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sightings {
    years: Vec<YearRound>,
    weight: f64,
}

/// The most visits that sightings may be worth; more would drown a log of years.
pub const LARGEST_WEIGHT: f64 = 1_000.0;

impl Sightings {
    /// Years that are worth so many visits each, from 0 to [`LARGEST_WEIGHT`].
    ///
    /// # Errors
    /// Any other weight.
    pub fn new(years: Vec<YearRound>, weight: f64) -> Result<Self, String> {
        if (0.0..=LARGEST_WEIGHT).contains(&weight) {
            Ok(Self { years, weight })
        } else {
            let most = LARGEST_WEIGHT;
            Err(format!(
                "a weight of {weight} visits; give one from 0 to {most}"
            ))
        }
    }

    /// Whether they change nothing.
    pub fn is_empty(&self) -> bool {
        self.years.is_empty() || self.weight <= 0.0
    }

    /// The visits that they are worth.
    pub fn weight(&self) -> f64 {
        self.weight
    }

    /// The year of a subject at a place, where there is one that counts.
    pub fn year(&self, place: &str, subject: &str) -> Option<&YearRound> {
        let mut years = self.years.iter().filter(|_| !self.is_empty());
        years.find(|year| year.place == place && year.subject == subject)
    }
}

impl YearRound {
    /// A year from shares of visits, 0-1, from early January; `None` where too few visits were made
    /// to say.
    ///
    /// # Errors
    /// A share that is none, with its half-month.
    pub fn new(
        place: String,
        subject: String,
        shares: [Option<f64>; HALF_MONTHS],
    ) -> Result<Self, String> {
        for (half, share) in shares.iter().enumerate() {
            if let Some(share) = share.filter(|share| !(0.0..=1.0).contains(share)) {
                let half = half_month_name(half);
                return Err(format!("{half}: a share of {share}; give one from 0 to 1"));
            }
        }
        Ok(Self {
            place,
            subject,
            shares,
        })
    }

    /// Reads what `presence --format json` wrote.
    ///
    /// # Errors
    /// What cannot be read, with its place in the text where that is known.
    pub fn from_json(text: &str) -> Result<Self, String> {
        let told: Told = serde_json::from_str(text)
            .map_err(|error| format!("{error}; give what `presence --format json` wrote"))?;
        let by_id = |of: Named, what: &str| {
            of.id.ok_or_else(|| {
                format!(
                    "it does not say which {what} of the scenario it is about; make it with \
                     presence --scenario FILE --place ID --subject ID"
                )
            })
        };
        if told.half_months.len() != HALF_MONTHS {
            let count = told.half_months.len();
            return Err(format!(
                "it has {count} half-months; a year has {HALF_MONTHS}"
            ));
        }
        let mut shares = [None; HALF_MONTHS];
        for (half, told) in told.half_months.into_iter().enumerate() {
            if told.half_month != half_month_name(half) {
                let (is, wanted) = (echo(&told.half_month), half_month_name(half));
                return Err(format!(
                    "\"{is}\" stands where {wanted} belongs; keep their order"
                ));
            }
            shares[half] = told.share;
        }
        Self::new(
            by_id(told.place, "place")?,
            by_id(told.animal, "subject")?,
            shares,
        )
    }

    /// The share in the half-month of a date; `None` where it is not known.
    pub fn share_on(&self, date: Date) -> Option<f64> {
        self.shares[half_month_of(date)]
    }

    /// The shares, from early January.
    pub fn shares(&self) -> &[Option<f64>; HALF_MONTHS] {
        &self.shares
    }
}

/// The fields that matter here; the others are for people.
#[derive(Deserialize)]
struct Told {
    place: Named,
    animal: Named,
    half_months: Vec<Half>,
}

#[derive(Deserialize)]
struct Named {
    id: Option<String>,
}

#[derive(Deserialize)]
struct Half {
    half_month: String,
    share: Option<f64>,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn json(edit: impl Fn(usize) -> String) -> String {
        let halves: Vec<String> = (0..24).map(edit).collect();
        format!(
            "{{\"place\":{{\"id\":\"p\"}},\"animal\":{{\"id\":\"s\"}},\"half_months\":[{}]}}",
            halves.join(",")
        )
    }

    fn half(at: usize, share: &str) -> String {
        let name = half_month_name(at);
        format!("{{\"half_month\":\"{name}\",\"share\":{share},\"visits\":9}}")
    }

    #[test]
    fn what_is_no_year_is_told() {
        let text = json(|at| half(at, if at == 5 { "null" } else { "0.25" }));
        let year = YearRound::from_json(&text).unwrap();
        assert_eq!(year.share_on(jiff::civil::date(2027, 3, 16)), None);
        assert_eq!(year.share_on(jiff::civil::date(2027, 3, 15)), Some(0.25));
        let told = |text: &str| YearRound::from_json(text).unwrap_err();
        assert!(told("{}").contains("presence --format json"));
        assert!(told(&json(|at| half(at, "1.5"))).contains("early Jan: a share of 1.5"));
        assert!(told(&json(|at| half(23 - at, "0"))).contains("where early Jan belongs"));
        let nowhere = text.replace("{\"id\":\"p\"}", "{}");
        assert!(told(&nowhere).contains("which place"));
        assert!(
            told(&text.replace(
                ",{\"half_month\":\"late Dec\",\"share\":0.25,\"visits\":9}",
                ""
            ))
            .contains("23 half-months")
        );
    }

    #[test]
    fn without_a_weight_they_are_not_there() {
        let year = YearRound::from_json(&json(|at| half(at, "0.5"))).unwrap();
        let none = Sightings::new(vec![year.clone()], 0.0).unwrap();
        assert!(none.is_empty() && none.year("p", "s").is_none());
        let some = Sightings::new(vec![year], 3.0).unwrap();
        assert!(some.year("p", "s").is_some() && some.year("p", "other").is_none());
        for weight in [-1.0, f64::NAN, 1e9] {
            assert!(Sightings::new(Vec::new(), weight).is_err());
        }
    }
}
