//! A week's weather as the judge reads it: its own reading of the written rule, minute by minute.
//!
//! The rule: two rows with a pressure at most 12 hours apart speak for the time between them, and
//! a row speaks for 6 hours on a side without such a neighbour. At a row the upper water is the
//! highest of the scenario's own, of what the pressure makes of it with the scenario's allowance on
//! top, and of what was learned from pressure and wind with its error on top, that with a wind
//! beyond the strongest one learned from once more in proportion. Between rows the worse of both
//! holds. The water stands at whole centimetres, against oneself. The lower water is the same turned around; the
//! animals are there by the higher of the expected waters. A day with a row below 1 °C is frozen.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wrackline_plan::scenario::Scenario;
use wrackline_plan::weather::{self, LinearFit, Taught};

use super::chance::Chance;
use super::plan::Plan;
use super::table::day_number;

/// What the library takes for the lower allowance where a scenario gives none.
pub(crate) const LOWER_ALLOWANCE_M: f64 = 0.3;

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Week {
    pub(crate) rows: Vec<Said>,
    pub(crate) learned: Option<Learned>,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Said {
    /// Since 1970.
    pub(crate) minute: i64,
    pub(crate) pressure_hpa: Option<f64>,
    /// Metres a second, and where it comes from.
    pub(crate) wind: Option<[f64; 2]>,
    pub(crate) air_c: Option<f64>,
}

/// Constant, metres a hectopascal, metres for each metre a second to the north and to the east.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Learned {
    pub(crate) line: [f64; 4],
    pub(crate) variances: [f64; 4],
    pub(crate) left_over_m: f64,
    pub(crate) widths: f64,
    pub(crate) strongest_mps: f64,
}

/// What the week adds at one minute.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct More {
    pub(crate) upper_m: f64,
    pub(crate) lower_m: f64,
    pub(crate) rise_m: f64,
}

/// Up, in whole centimetres.
fn centimetres(metres: f64) -> f64 {
    (metres * 100.0 - 1e-6).ceil() / 100.0
}

/// Mean and half width of each thing that a row may mean for the water, up and down.
fn means(plan: &Plan, week: &Week, row: &Said) -> Vec<[f64; 3]> {
    let Some(pressure) = row.pressure_hpa else {
        return Vec::new();
    };
    let by_pressure = plan.expected_m - 0.01 * (pressure - 1013.0);
    let mut all = vec![[by_pressure, plan.upper_allowance_m, LOWER_ALLOWANCE_M]];
    if let (Some(learned), Some([speed, from])) = (&week.learned, row.wind) {
        for factor in [1.0, f64::max(1.0, speed / learned.strongest_mps)] {
            let towards = (from + 180.0).to_radians();
            let wind = [towards.cos(), towards.sin()].map(|part| part * speed * factor);
            let x = [1.0, pressure - 1013.0, wind[0], wind[1]];
            let mean: f64 = (0..4).map(|i| learned.line[i] * x[i]).sum();
            let variance: f64 = (0..4).map(|i| learned.variances[i] * x[i] * x[i]).sum();
            let width = learned.widths * (variance + learned.left_over_m.powi(2)).sqrt();
            all.push([mean, width, width]);
        }
    }
    all
}

impl Week {
    /// What it adds at each minute of a table.
    pub(crate) fn minutes(&self, plan: &Plan, start: i64, len: usize) -> Vec<More> {
        let said: Vec<(i64, Vec<[f64; 3]>)> = self
            .rows
            .iter()
            .map(|row| (row.minute, means(plan, self, row)))
            .filter(|(_, means)| !means.is_empty())
            .collect();
        (0..len)
            .map(|at| {
                let minute = start + at as i64;
                let next = said.iter().position(|(row, _)| *row > minute);
                let last = next.unwrap_or(said.len()).checked_sub(1);
                let (last, next) = (last.map(|at| &said[at]), next.map(|at| &said[at]));
                let near = matches!((last, next), (Some(a), Some(b)) if b.0 - a.0 <= 720);
                let mut more = More::default();
                for (row, means) in last.into_iter().chain(next) {
                    if near || (minute - row).abs() <= 360 && minute - row != 360 {
                        for [mean, up, down] in means {
                            // Over the water of the plan itself.
                            let upper = plan.expected_m + plan.upper_allowance_m;
                            let lower = plan.expected_m - LOWER_ALLOWANCE_M;
                            let highest = centimetres(mean + up) - upper;
                            let lowest = lower + centimetres(down - mean);
                            let expected = centimetres(*mean) - plan.expected_m;
                            more.upper_m = more.upper_m.max(highest);
                            more.lower_m = more.lower_m.max(lowest);
                            more.rise_m = more.rise_m.max(expected);
                        }
                    }
                }
                more
            })
            .collect()
    }

    /// Frozen days up to each day on which one is forecast, as days since 1970.
    pub(crate) fn frozen(&self, plan: &Plan) -> BTreeMap<i32, u16> {
        let zone = TimeZone::get(plan.zone).unwrap();
        let mut cold = BTreeMap::new();
        for row in &self.rows {
            if row.air_c.is_some_and(|air| air < 1.0) {
                let at = Timestamp::from_second(row.minute * 60).unwrap();
                cold.insert(day_number(at.to_zoned_datetime(zone.clone()).date()), 0);
            }
        }
        let days: Vec<i32> = cold.keys().copied().collect();
        for day in days {
            // Fewer than three days between two frozen ones do not end a spell.
            let before = (day - 3..day).filter_map(|before| cold.get(&before).copied());
            let counted = plan
                .frost
                .filter(|(_, on)| (1..=3).contains(&(day - day_number(*on))));
            let so_far = before.chain(counted.map(|(days, _)| days)).max();
            cold.insert(day, so_far.unwrap_or(0) + 1);
        }
        cold
    }

    /// The file that the library reads.
    fn text(&self) -> String {
        let mut out = "at,pressure_hpa,wind_m_per_s,wind_from_deg,air_c\n".to_owned();
        let number = |value: Option<f64>| value.map_or(String::new(), |value| value.to_string());
        for row in &self.rows {
            let at = Timestamp::from_second(row.minute * 60).unwrap();
            let wind = [0, 1].map(|at| number(row.wind.map(|wind| wind[at])));
            let (pressure, air) = (number(row.pressure_hpa), number(row.air_c));
            writeln!(out, "{at},{pressure},{},{},{air}", wind[0], wind[1]).unwrap();
        }
        out
    }

    /// A scenario of the library in this weather.
    ///
    /// # Errors
    /// What the library says against it.
    pub(crate) fn over(&self, scenario: Scenario) -> Result<Scenario, String> {
        let forecast = weather::read("week.csv", &self.text(), scenario.zone());
        let forecast = forecast.map_err(|problems| problems.to_string())?;
        let taught = self.learned.as_ref().map(|learned| {
            let mut covariance = [[0.0; 4]; 4];
            for (at, variance) in learned.variances.iter().enumerate() {
                covariance[at][at] = *variance;
            }
            Taught::new(LinearFit {
                coefficients: learned.line,
                covariance,
                left_over_m: learned.left_over_m,
                widths: learned.widths,
                reference_hpa: 1013.0,
                strongest_mps: learned.strongest_mps,
                tides: 12,
            })
            .unwrap()
        });
        Ok(scenario.in_weather(forecast, taught, Timestamp::UNIX_EPOCH))
    }
}

/// Any week around the days that are asked for: rows of 1 to 20 hours, some of them empty.
pub(crate) fn draw(chance: &mut Chance, plan: &Plan) -> Week {
    let start = i64::from(day_number(plan.from)) * 1440 + chance.below(6 * 1440) as i64 - 2880;
    let step = chance.pick(&[60, 180, 180, 360, 360, 700, 725, 1200]);
    let rows = 1 + chance.below(18 * 1440 / step);
    let cold = chance.between(-6.0, 8.0);
    let mut said: Vec<Said> = Vec::new();
    let (mut pressure, mut minute) = (chance.between(970.0, 1040.0), start);
    for _ in 0..rows {
        pressure = (pressure + chance.between(-8.0, 8.0)).clamp(930.0, 1060.0);
        said.push(Said {
            minute,
            pressure_hpa: chance.percent(93).then_some(pressure),
            wind: chance
                .percent(85)
                .then(|| [chance.between(0.0, 25.0), chance.whole(0, 360)]),
            air_c: chance.percent(90).then(|| cold + chance.between(-3.0, 3.0)),
        });
        minute += step as i64 - if chance.percent(20) { 17 } else { 0 };
    }
    let learned = chance.percent(50).then(|| Learned {
        line: [
            chance.between(-0.1, 0.1),
            chance.between(-2.0, 0.5) / 100.0,
            chance.between(-2.0, 3.0) / 100.0,
            chance.between(-2.0, 3.0) / 100.0,
        ],
        variances: [1e-3, 1e-5, 1e-5, 2e-5],
        left_over_m: chance.between(0.02, 0.2),
        widths: chance.between(1.7, 2.2),
        strongest_mps: chance.between(6.0, 16.0),
    });
    Week {
        rows: said,
        learned,
    }
}
