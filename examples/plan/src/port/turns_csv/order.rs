//! Rows beside one another: in order of time, and high and low water by turns.

use wrackline_tides::{Turn, TurnKind};

use super::super::printed::PrintedSpec;
use super::{Row, RowProblem, problem};

/// Whether each row comes after the one before it, and soon enough.
pub(super) fn in_order(rows: &[Row], spec: &PrintedSpec, problems: &mut Vec<RowProblem>) {
    if rows.len() < 3 {
        problems.push(problem(
            1,
            format!("the table has {} turns", rows.len()),
            "give the high and low waters of some days",
        ));
    }
    for pair in rows.windows(2) {
        let hours = pair[1].at.duration_since(pair[0].at).as_secs_f64() / 3600.0;
        let (line, before) = (pair[1].line, pair[0].line);
        if hours <= 0.0 {
            problems.push(problem(
                line,
                format!("comes no later than line {before}"),
                "put the rows in order of time, each once",
            ));
        } else if hours > spec.longest_gap_h {
            problems.push(problem(
                line,
                format!("{hours:.1} h pass without a turn since line {before}"),
                format!(
                    "add the rows that are missing; where the office prints none, allow it with \
                     `turns_longest_gap_h = {}`",
                    hours.ceil()
                ),
            ));
        }
    }
}

/// The rows as turns that alternate, by their own words or by their heights.
pub(super) fn alternating(rows: &[Row]) -> Result<Vec<Turn>, Vec<RowProblem>> {
    let mut problems = Vec::new();
    let mut turns: Vec<Turn> = Vec::with_capacity(rows.len());
    for (index, row) in rows.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|before| rows.get(before));
        let neighbour = rows.get(index + 1).or(before);
        let by_height = neighbour.map(|next| {
            if row.height_m > next.height_m {
                TurnKind::HighWater
            } else {
                TurnKind::LowWater
            }
        });
        let last = turns.last().map(|turn| turn.kind);
        let kind = row.kind.or(last.map(other)).or(by_height);
        let Some(kind) = kind else { continue };
        let told = |kind| match kind {
            TurnKind::HighWater => "high",
            TurnKind::LowWater => "low",
        };
        let above = |row: &Row, than: &Row| match kind {
            TurnKind::HighWater => row.height_m - than.height_m,
            TurnKind::LowWater => than.height_m - row.height_m,
        };
        if let (Some(before), Some(last)) = (before, last) {
            let by = above(row, before);
            if last == kind {
                problems.push(problem(
                    row.line,
                    format!(
                        "a second {} water after that of line {}",
                        told(kind),
                        before.line
                    ),
                    "add the turn between them, or keep one",
                ));
            } else if by < 0.0 {
                problems.push(problem(
                    row.line,
                    format!(
                        "{:.2} m is no {} water beside the {:.2} m of line {}: the heights do not \
                         alternate",
                        row.height_m,
                        told(kind),
                        before.height_m,
                        before.line
                    ),
                    "a row is missing, or a figure slipped: compare them with the table",
                ));
            } else if by == 0.0 && (row.kind.is_none() || before.kind.is_none()) {
                problems.push(problem(
                    row.line,
                    format!(
                        "as high as line {}: which of them is high water?",
                        before.line
                    ),
                    "add a column `water` with `high` and `low`",
                ));
            }
        }
        turns.push(Turn {
            at: row.at,
            height_m: row.height_m,
            kind,
        });
    }
    if problems.is_empty() {
        Ok(turns)
    } else {
        Err(problems)
    }
}

fn other(kind: TurnKind) -> TurnKind {
    match kind {
        TurnKind::HighWater => TurnKind::LowWater,
        TurnKind::LowWater => TurnKind::HighWater,
    }
}
