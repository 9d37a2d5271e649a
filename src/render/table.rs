//! Rows and columns: fixed columns are as wide as their widest text, the others share the rest.

use super::RenderError;
use super::draw::{Drawn, line_of};
use super::font::{self, Weight, ascent, line_height};
use super::scene::{Item, Path};
use super::sheet::{Align, Table};

/// Height and line of an empty row, which parts the rows above it from those below.
const PARTING: f64 = 0.9;
const HAIRLINE: f64 = 0.15;

pub(super) fn draw(table: &Table, width: f64) -> Result<Drawn, RenderError> {
    let count = table.columns.len();
    if table.rows.iter().filter(|row| !row.is_empty()).chain(&table.head).any(|row| row.len() != count) {
        let message = format!("a row of this table must have {count} texts, one for each column");
        return Err(RenderError::Sheet { message, line: None });
    }
    let widths = column_widths(table, width)?;
    let mut items = Vec::new();
    let mut y = 0.0;
    let head = table.head.iter().map(|row| (row, true));
    let rows = table.rows.iter().map(|row| (row, false));
    let mut first = true;
    for (row, heading) in head.chain(rows) {
        if row.is_empty() {
            let middle = y + PARTING / 2.0;
            items.push(Item::Path(Path::straight([0.0, middle], [width, middle], HAIRLINE, 0.0)));
            y += PARTING;
            first = true;
            continue;
        }
        if !first {
            y += table.lead / 2.0;
            if let Some(rule) = table.rule {
                items.push(Item::Path(Path::straight([0.0, y], [width, y], rule, 0.0)));
            }
            y += table.lead / 2.0;
        }
        first = false;
        let mut deepest = 0.0;
        let mut x = 0.0;
        for ((text, column), room) in row.iter().zip(&table.columns).zip(&widths) {
            let weight = if heading { Weight::Bold } else { column.weight };
            let at = match column.align {
                Align::Left => x,
                Align::Centre => x + room / 2.0,
                Align::Right => x + room,
            };
            let mut bottom = y;
            for line in font::wrap(text, table.size, weight, *room)? {
                items.push(line_of(
                    &line,
                    (at, bottom + ascent(table.size)),
                    table.size,
                    weight,
                    column.align,
                )?);
                bottom += line_height(table.size);
            }
            deepest = f64::max(deepest, bottom - y);
            x += room + table.gap;
        }
        y += deepest;
    }
    // A cell without text leaves nothing to draw.
    items.retain(|item| !matches!(item, Item::Text(t) if t.text.is_empty()));
    Ok(Drawn { items, height: y })
}

fn column_widths(table: &Table, width: f64) -> Result<Vec<f64>, RenderError> {
    let mut natural = Vec::new();
    let mut least = Vec::new();
    for (n, column) in table.columns.iter().enumerate() {
        let (mut widest, mut word_widest) = (0.0, 0.0);
        let head = table.head.iter().map(|row| (row, Weight::Bold));
        for (row, weight) in head.chain(table.rows.iter().map(|row| (row, column.weight))) {
            let Some(cell) = row.get(n) else { continue };
            for line in cell.split('\n') {
                widest = f64::max(widest, font::width(line, table.size, weight)?);
                for word in line.split(' ') {
                    word_widest = f64::max(word_widest, font::width(word, table.size, weight)?);
                }
            }
        }
        natural.push(widest);
        least.push(word_widest);
    }
    let is_flex = |n: usize| table.columns[n].flex;
    let gaps = table.gap * table.columns.len().saturating_sub(1) as f64;
    let fixed: f64 = (0..natural.len()).filter(|n| !is_flex(*n)).map(|n| natural[n]).sum();
    let wanted: f64 = (0..natural.len()).filter(|n| is_flex(*n)).map(|n| natural[n]).sum();
    let needed: f64 = (0..natural.len()).filter(|n| is_flex(*n)).map(|n| least[n]).sum();
    let left = width - gaps - fixed;
    if needed > left + 1e-6 {
        let longest = table.rows.iter().flatten().max_by_key(|t| t.len()).cloned().unwrap_or_default();
        return Err(RenderError::TooWide { text: longest.replace(font::FIXED_SPACE, " ") });
    }
    // Each flexible column gets its longest word, and what is left in proportion to what it still
    // wants. What nobody wants goes to the only flexible column, or evenly to all but the first.
    let want = wanted - needed;
    let share = if want > 0.0 { ((left - needed) / want).min(1.0) } else { 1.0 };
    let spare = (left - wanted).max(0.0);
    let even = (0..natural.len()).filter(|n| is_flex(*n)).count() > 1;
    let others = natural.len().saturating_sub(1).max(1) as f64;
    let widths = (0..natural.len()).map(|n| {
        let own = if is_flex(n) { least[n] + (natural[n] - least[n]) * share } else { natural[n] };
        match (even, n) {
            (true, 0) => own,
            (true, _) => own + spare / others,
            (false, _) => own + if is_flex(n) { spare } else { 0.0 },
        }
    });
    Ok(widths.collect())
}
