//! Text in aligned columns.

/// Rows of cells, printed with each column as wide as its widest cell.
#[derive(Clone, Debug, Default)]
pub struct Columns {
    rows: Vec<Vec<String>>,
    right: Vec<usize>,
}

impl Columns {
    /// Starts with a heading.
    pub fn headed<const N: usize>(heading: [&str; N]) -> Self {
        Self {
            rows: vec![heading.map(str::to_owned).to_vec()],
            right: Vec::new(),
        }
    }

    /// Aligns a column, counted from 0, to the right.
    #[must_use]
    pub fn right(mut self, column: usize) -> Self {
        self.right.push(column);
        self
    }

    /// Adds a row.
    pub fn push(&mut self, row: impl IntoIterator<Item = String>) {
        self.rows.push(row.into_iter().collect());
    }
}

impl std::fmt::Display for Columns {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let width = |cell: &String| cell.chars().count();
        let widths: Vec<usize> = (0..columns)
            .map(|column| {
                let cells = self.rows.iter().filter_map(|row| row.get(column));
                cells.map(width).max().unwrap_or(0)
            })
            .collect();
        for row in &self.rows {
            let mut line = String::new();
            for (column, cell) in row.iter().enumerate() {
                let pad = " ".repeat(widths[column].saturating_sub(width(cell)));
                if self.right.contains(&column) {
                    line.push_str(&pad);
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&pad);
                }
                line.push_str("  ");
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}
