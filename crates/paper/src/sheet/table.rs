//! Rows and columns as the template's sheet reads them.

use serde::Serialize;

/// A text in a table.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Cell {
    text: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight: Option<&'static str>,
    #[serde(skip_serializing_if = "is_nought")]
    more: usize,
}

fn is_nought(more: &usize) -> bool {
    *more == 0
}

impl Cell {
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), weight: None, more: 0 }
    }

    pub(crate) fn bold(text: impl Into<String>) -> Self {
        Self { text: text.into(), weight: Some("bold"), more: 0 }
    }

    /// One that takes so many columns more.
    pub(crate) fn over(text: impl Into<String>, more: usize) -> Self {
        Self { text: text.into(), weight: None, more }
    }
}

/// A head and rows; an empty row parts those above it from those below.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Table {
    head: Vec<String>,
    rows: Vec<Vec<Cell>>,
}

impl Table {
    pub(crate) fn with_head(head: impl IntoIterator<Item = String>) -> Self {
        Self { head: head.into_iter().collect(), rows: Vec::new() }
    }

    pub(crate) fn cells(&mut self, row: Vec<Cell>) {
        self.rows.push(row);
    }

    pub(crate) fn row(&mut self, row: Vec<String>) {
        self.row_with_bold(row, &[]);
    }

    /// A row in which the cells of these indexes are bold.
    pub(crate) fn row_with_bold(&mut self, row: Vec<String>, bold: &[usize]) {
        let cell = |(n, text)| if bold.contains(&n) { Cell::bold(text) } else { Cell::plain(text) };
        self.rows.push(row.into_iter().enumerate().map(cell).collect());
    }

    pub(crate) fn part(&mut self) {
        self.rows.push(Vec::new());
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}
