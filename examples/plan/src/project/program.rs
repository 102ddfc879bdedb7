//! The linear program in whole numbers whose answer is the best choice of visits under the lines
//! that are known.

use std::collections::BTreeMap;

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOptions, Variable};

use super::allocate::{Lines, TAKES, Task};

/// Within a round the search may stop this near to its bound, relative to the worth.
const ENOUGH: f64 = 2e-4;

/// Branches of one round; what is left open then is left open in the bound, too.
const MOST_NODES: u64 = 3000;

/// A picture, and whose chances it has.
type Pair = (usize, usize);
/// Variables with their factors.
type Row = Vec<(Variable, f64)>;
/// Positions among the choices.
type Members = Vec<usize>;

/// The linear program.
pub(super) struct Program<'t> {
    problem: Problem,
    /// Each variable with the choices that it counts, the better ones first.
    kinds: Vec<(Variable, Members)>,
    task: &'t Task<'t>,
}

impl<'t> Program<'t> {
    pub(super) fn of(task: &'t Task<'t>, lines: &Lines) -> Self {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let kinds = kinds(&mut problem, task);
        let mut of_day: BTreeMap<i32, Row> = BTreeMap::new();
        let mut of_limit: BTreeMap<usize, Row> = BTreeMap::new();
        let mut of_pair: BTreeMap<Pair, Row> = BTreeMap::new();
        for (kind, members) in &kinds {
            let first = &task.choices[members[0]];
            if members.len() == 1 {
                of_day.entry(first.day).or_default().push((*kind, 1.0));
            }
            if let Some(limit) = first.limit {
                of_limit.entry(limit).or_default().push((*kind, 1.0));
            }
            for pair in &first.brings {
                of_pair.entry(*pair).or_default().push((*kind, 1.0));
            }
        }
        let all: Vec<_> = kinds.iter().map(|(kind, _)| (*kind, 1.0)).collect();
        problem.add_constraint(&all, ComparisonOp::Le, f64::from(task.most));
        for day in of_day.values().filter(|day| day.len() > 1) {
            problem.add_constraint(day, ComparisonOp::Le, 1.0);
        }
        for (limit, kinds) in &of_limit {
            let most = f64::from(task.limits[*limit]);
            problem.add_constraint(kinds, ComparisonOp::Le, most);
        }
        for (picture, worth) in task.worth.iter().enumerate() {
            let pairs: Vec<_> = of_pair.range((picture, 0)..(picture + 1, 0)).collect();
            let at = (picture, *worth);
            Self::picture(&mut problem, task, at, &pairs, lines);
        }
        Self {
            problem,
            kinds,
            task,
        }
    }

    /// A picture's chance, held under its lines.
    fn picture(
        problem: &mut Problem,
        task: &Task<'_>,
        (picture, worth): (usize, f64),
        pairs: &[(&Pair, &Row)],
        lines: &Lines,
    ) {
        if pairs.is_empty() {
            return;
        }
        let chance = problem.add_var(worth, (0.0, 1.0));
        // Where all visits have the same chances, the chance itself is a curve over their number.
        let alone = pairs.len() == 1;
        let mut logs = Vec::new();
        for (pair, visits) in pairs {
            let chances = &task.chances[pair.1];
            let curve = |count: u32| {
                let misses = chances.misses_in_a_row(count);
                if alone { 1.0 - misses } else { -misses.ln() }
            };
            let height = if alone {
                chance
            } else {
                let log = problem.add_var(0.0, (0.0, f64::INFINITY));
                logs.push((log, -1.0));
                log
            };
            let known = lines.counts.get(*pair).map_or(&[][..], Vec::as_slice);
            for count in known.iter().copied().chain([0]) {
                let slope = curve(count + 1) - curve(count);
                let mut row: Vec<_> = visits.iter().map(|(kind, _)| (*kind, -slope)).collect();
                row.push((height, 1.0));
                let level = curve(count) - slope * f64::from(count);
                problem.add_constraint(&row, ComparisonOp::Le, level);
            }
        }
        if alone {
            return;
        }
        let known = lines.sums.get(&picture).map_or(&[][..], Vec::as_slice);
        for sum in known.iter().copied().chain([0.0]) {
            // 1 - exp(-t) lies under its tangent at `sum`.
            let slope = (-sum).exp();
            let mut row: Vec<_> = logs.iter().map(|(log, _)| (*log, -slope)).collect();
            row.push((chance, 1.0));
            problem.add_constraint(&row, ComparisonOp::Le, 1.0 - slope - slope * sum);
        }
    }

    /// The visits of the answer, and what the program promises for them.
    pub(super) fn solve(&self) -> Option<(Vec<usize>, f64)> {
        let mut options = SolveOptions::default();
        options.node_limit = Some(MOST_NODES);
        options.mip_gap = ENOUGH;
        let solution = self.problem.solve_with(options).ok()?;
        let solution = solution.into_solution().ok()?;
        let bound = solution.stats().best_bound?;
        let mut chosen = Vec::new();
        for (kind, members) in &self.kinds {
            let count = solution.var_value(*kind).round().max(0.0) as usize;
            chosen.extend(members.iter().take(count));
        }
        chosen.sort_unstable();
        // Rounded to whole visits the answer must still keep the limit.
        (chosen.len() <= self.task.most as usize).then_some((chosen, bound))
    }
}

/// A variable for all choices that count alike: on days of their own, in the same month of the same
/// place, bringing the same. Whatever shares its day with another has one to itself.
fn kinds(problem: &mut Problem, task: &Task<'_>) -> Vec<(Variable, Members)> {
    let mut on_day: BTreeMap<i32, u32> = BTreeMap::new();
    for choice in task.choices {
        *on_day.entry(choice.day).or_default() += 1;
    }
    let mut alike: BTreeMap<(Option<usize>, &[Pair]), Members> = BTreeMap::new();
    let mut kinds = Vec::new();
    for (at, choice) in task.choices.iter().enumerate() {
        if on_day[&choice.day] > 1 {
            kinds.push((problem.add_binary_var(-TAKES), vec![at]));
        } else {
            let key = (choice.limit, choice.brings.as_slice());
            alike.entry(key).or_default().push(at);
        }
    }
    for members in alike.into_values() {
        let most = i32::try_from(members.len()).unwrap_or(i32::MAX);
        kinds.push((problem.add_integer_var(-TAKES, (0, most)), members));
    }
    kinds
}
