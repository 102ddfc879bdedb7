//! Reading the tables of `tests/data/`, and judging a value against a row.

/// A row of a table.
#[derive(Debug, serde::Deserialize)]
pub(crate) struct Row {
    pub(crate) id: String,
    #[serde(default)]
    pub(crate) system: String,
    pub(crate) quantity: String,
    #[serde(default)]
    pub(crate) inputs: String,
    pub(crate) expected: String,
    tolerance: String,
}

/// The rows of a table below its comment.
pub(crate) fn rows(table: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .flexible(true)
        .from_reader(table.as_bytes());
    let rows: Vec<Row> = reader.deserialize().collect::<Result<_, _>>().unwrap();
    assert!(!rows.is_empty());
    rows
}

impl Row {
    /// The number behind `name=` in the inputs, if there is one.
    pub(crate) fn find(&self, name: &str) -> Option<f64> {
        let inputs = format!(" {}", self.inputs);
        let start = [' ', ';', '('].iter().find_map(|before| {
            inputs
                .find(&format!("{before}{name}="))
                .map(|at| at + 2 + name.len())
        })?;
        Some(leading_number(&inputs[start..]))
    }

    /// The number behind `name=` in the inputs.
    pub(crate) fn number(&self, name: &str) -> f64 {
        self.find(name)
            .unwrap_or_else(|| panic!("{}: no {name} in {:?}", self.id, self.inputs))
    }

    /// Judges a value by the row's tolerance, or by half of the last printed digit where that is
    /// more.
    pub(crate) fn judge(&self, value: f64) -> Deviation {
        self.judge_part(&self.expected, value)
    }

    /// Judges a value against one of several in the row.
    pub(crate) fn judge_part(&self, printed: &str, value: f64) -> Deviation {
        let printed = printed.trim();
        let expected: f64 = printed
            .parse()
            .unwrap_or_else(|_| panic!("{}: {printed:?}", self.id));
        let rounding = half_last_digit(printed);
        let stated = match self.tolerance.trim() {
            "exact" => 1e-12 * expected.abs(),
            "10 percent" => 0.1 * expected.abs(),
            other => {
                let (size, kind) = other.split_once(' ').unwrap_or((other, "abs"));
                let size: f64 = size
                    .parse()
                    .unwrap_or_else(|_| panic!("{}: tolerance {other:?}", self.id));
                if kind.starts_with("rel") {
                    size * expected.abs()
                } else {
                    size
                }
            }
        };
        let error = (value - expected).abs();
        assert!(
            error <= stated.max(rounding),
            "{} {} [{}]: {value} instead of {expected} (tolerance {})",
            self.id,
            self.quantity,
            self.inputs,
            stated.max(rounding),
        );
        Deviation {
            relative: if expected == 0.0 {
                error
            } else {
                error / expected.abs()
            },
        }
    }
}

fn leading_number(text: &str) -> f64 {
    let text = text.trim_start();
    if let Some(denominator) = text.strip_prefix("1/") {
        return 1.0 / leading_number(denominator);
    }
    let end = (1..=text.len())
        .rev()
        .find(|&end| text.is_char_boundary(end) && text[..end].parse::<f64>().is_ok());
    text[..end.unwrap_or_else(|| panic!("no number in {text:?}"))]
        .parse()
        .unwrap()
}

/// Half a unit of the last digit printed.
fn half_last_digit(printed: &str) -> f64 {
    let (mantissa, exponent) = printed.split_once(['e', 'E']).unwrap_or((printed, "0"));
    let decimals = mantissa
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    // A value printed without decimals is meant exactly.
    if decimals == 0 {
        return 0.0;
    }
    0.5 * 10_f64.powi(exponent.parse::<i32>().unwrap() - i32::try_from(decimals).unwrap())
}

/// How far a value is from the printed one.
pub(crate) struct Deviation {
    relative: f64,
}

impl Deviation {
    /// For a row that was judged in another way, such as a range or an error.
    pub(crate) const NONE: Self = Self { relative: 0.0 };
}

/// Prints how the deviations of a table are spread, and asserts that all of its rows were judged.
pub(crate) fn report(table: &str, rows: usize, deviations: &[Deviation]) {
    let mut sorted: Vec<f64> = deviations
        .iter()
        .map(|deviation| deviation.relative)
        .collect();
    sorted.sort_by(f64::total_cmp);
    let rms = (sorted
        .iter()
        .map(|relative| relative * relative)
        .sum::<f64>()
        / sorted.len() as f64)
        .sqrt();
    let largest = sorted[sorted.len() - 1];
    let p99 = sorted[(sorted.len() * 99 / 100).min(sorted.len() - 1)];
    println!(
        "{table}: {rows} rows, {} values, relative deviation max {largest:.1e}, \
         p99 {p99:.1e}, rms {rms:.1e}",
        sorted.len()
    );
    assert!(
        deviations.len() >= rows,
        "{table}: {} of {rows} rows judged",
        deviations.len()
    );
}
