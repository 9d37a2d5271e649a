//! Rows and columns: fixed columns are as wide as their widest text, the others share the rest.

use super::RenderError;
use super::draw::{Drawn, line_of};
use super::font::{self, Weight, ascent, line_height};
use super::scene::{Item, Path};
use super::sheet::{Align, Cell, Table};

/// Height and line of an empty row, which parts the rows above it from those below.
const PARTING: f64 = 0.9;
const HAIRLINE: f64 = 0.15;
/// Line of a box to write in.
const BOX: f64 = 0.2;
/// What is said in such a box stands clear of its line, across and down.
const CLEAR: [f64; 2] = [0.9, 0.3];
/// The most of a table's width that a column that gives asks for.
const MOST_OF_ALL: f64 = 0.32;

/// A row as it is drawn, with what parts it from the row above.
pub(super) struct Row {
    pub(super) drawn: Drawn,
    pub(super) heading: bool,
}

/// The rows of a table, its head first.
pub(super) fn rows(table: &Table, width: f64) -> Result<Vec<Row>, RenderError> {
    let count = table.columns.len();
    let cells_of = |row: &[Cell]| row.iter().map(|cell| 1 + cell.more).sum::<usize>();
    if table.rows.iter().filter(|row| !row.is_empty()).chain(&table.head).any(|row| cells_of(row) != count) {
        let message = format!("a row of this table must have {count} texts, one for each column");
        return Err(RenderError::Sheet { message, line: None });
    }
    // With a grid, half a gap is clear inside each edge.
    let edge = if table.grid.is_some() { table.gap / 2.0 } else { 0.0 };
    let widths = column_widths(table, width - 2.0 * edge)?;
    let mut all = Vec::new();
    let head = table.head.iter().map(|row| (row, true));
    let body = table.rows.iter().map(|row| (row, false));
    let mut first = true;
    for (row, heading) in head.chain(body) {
        if row.is_empty() {
            let middle = PARTING / 2.0;
            let line = Path::straight([0.0, middle], [width, middle], HAIRLINE, 0.0);
            let drawn = Drawn { items: vec![Item::Path(line)], height: PARTING };
            all.push(Row { drawn, heading: false });
            first = true;
            continue;
        }
        let mut items = Vec::new();
        let mut y = 0.0;
        if let Some(thickness) = table.grid {
            y = table.lead / 2.0;
            let height = cells(table, row, heading, &widths, (edge, y), &mut items)? + table.lead;
            let mut left = 0.0;
            for room in &widths {
                let size = [room + table.gap, height];
                let frame = Path::rounded([left, 0.0], size, 0.0);
                items.push(Item::Path(Path { line: Some(thickness), ..frame }));
                left += room + table.gap;
            }
            all.push(Row { drawn: Drawn { items: drawn_texts(items), height }, heading });
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
        let high = cells(table, row, heading, &widths, (0.0, y), &mut items)?;
        if !heading {
            boxes(table, &widths, [y, high], &mut items);
        }
        let height = y + high;
        all.push(Row { drawn: Drawn { items: drawn_texts(items), height }, heading });
    }
    Ok(all)
}

/// Frames round what is to be written in.
fn boxes(table: &Table, widths: &[f64], [top, high]: [f64; 2], items: &mut Vec<Item>) {
    let mut left = 0.0;
    for (column, room) in table.columns.iter().zip(widths) {
        if column.boxed {
            let frame = Path::rounded([left, top], [*room, high], 0.0);
            items.push(Item::Path(Path { line: Some(BOX), ..frame }));
        }
        left += room + table.gap;
    }
}

/// A cell without text leaves nothing to draw.
fn drawn_texts(mut items: Vec<Item>) -> Vec<Item> {
    items.retain(|item| !matches!(item, Item::Text(t) if t.text.is_empty()));
    items
}

/// Draws the texts of a row and says how high they come.
fn cells(
    table: &Table,
    row: &[Cell],
    heading: bool,
    widths: &[f64],
    (mut x, y): (f64, f64),
    items: &mut Vec<Item>,
) -> Result<f64, RenderError> {
    let mut deepest = if heading { 0.0 } else { table.least };
    let mut first = 0;
    for cell in row {
        let column = &table.columns[first];
        let taken = &widths[first..=first + cell.more];
        let room = taken.iter().sum::<f64>() + table.gap * cell.more as f64;
        first += 1 + cell.more;
        let weight = weight_of(cell, column.weight, heading);
        let [aside, down] = if column.boxed && !heading { CLEAR } else { [0.0; 2] };
        let at = match column.align {
            Align::Left => x + aside,
            Align::Centre => x + room / 2.0,
            Align::Right => x + room,
        };
        let mut bottom = y + down;
        for line in font::wrap(&cell.text, table.size, weight, room - 2.0 * aside)? {
            let place = (at, bottom + ascent(table.size));
            items.push(line_of(&line, place, table.size, weight, column.align)?);
            bottom += line_height(table.size);
        }
        deepest = f64::max(deepest, bottom - y);
        x += room + table.gap;
    }
    Ok(deepest)
}

fn weight_of(cell: &Cell, column: Weight, heading: bool) -> Weight {
    cell.weight.unwrap_or(if heading { Weight::Bold } else { column })
}

/// The cell of a row that begins at a column.
fn at_column(row: &[Cell], column: usize) -> Option<&Cell> {
    let mut first = 0;
    row.iter().find(|cell| {
        let here = first == column;
        first += 1 + cell.more;
        here
    })
}

fn column_widths(table: &Table, width: f64) -> Result<Vec<f64>, RenderError> {
    let mut natural = Vec::new();
    let mut least = Vec::new();
    for (n, column) in table.columns.iter().enumerate() {
        let (mut widest, mut word_widest) = (0.0, 0.0);
        if let Some(given) = column.width {
            natural.push(given);
            least.push(given);
            continue;
        }
        let head = table.head.iter().map(|row| (row, true));
        for (row, heading) in head.chain(table.rows.iter().map(|row| (row, false))) {
            // What lies over several columns says nothing of the width of one.
            let Some(cell) = at_column(row, n).filter(|cell| cell.more == 0) else { continue };
            let weight = weight_of(cell, column.weight, heading);
            for line in cell.text.split('\n') {
                widest = f64::max(widest, font::width(line, table.size, weight)?);
                for word in line.split(' ') {
                    word_widest = f64::max(word_widest, font::width(word, table.size, weight)?);
                }
            }
        }
        natural.push(widest);
        least.push(word_widest);
    }
    let gaps = table.gap * table.columns.len().saturating_sub(1) as f64;
    for (n, _) in table.columns.iter().enumerate().filter(|(_, column)| column.gives) {
        // However long its texts are, it leaves the others most of the table.
        let most = f64::max(least[n], MOST_OF_ALL * width);
        natural[n] = natural[n].min(most);
    }
    let is_flex = |n: usize| table.columns[n].flex;
    let gives = |n: usize| table.columns[n].gives;
    let sum = |of: &[f64], which: &dyn Fn(usize) -> bool| -> f64 {
        of.iter().enumerate().filter(|(n, _)| which(*n)).map(|(_, width)| width).sum()
    };
    let hard = sum(&natural, &|n| !is_flex(n) && !gives(n));
    // The flexible columns break their lines first, and those that give only for what they still lack.
    let lacks = sum(&least, &is_flex) + sum(&natural, &gives) > width - gaps - hard + 1e-6;
    let is_soft = |n: usize| is_flex(n) || lacks && gives(n);
    if lacks {
        for n in (0..natural.len()).filter(|n| is_flex(*n)) {
            natural[n] = least[n];
        }
    }
    let fixed = sum(&natural, &|n| !is_soft(n));
    let (wanted, needed) = (sum(&natural, &is_soft), sum(&least, &is_soft));
    let left = width - gaps - fixed;
    if needed > left + 1e-6 {
        // The text with the longest word of all is the first to be shortened.
        let longest_word = |text: &str| text.split([' ', '\n']).map(|word| word.chars().count()).max();
        let texts = table.rows.iter().flatten().filter(|cell| cell.more == 0).map(|cell| &cell.text);
        let longest = texts.max_by_key(|text| longest_word(text)).cloned().unwrap_or_default();
        return Err(RenderError::TooWide { text: longest.replace(font::FIXED_SPACE, " ") });
    }
    // Each soft column gets its longest word, and what is left in proportion to what it still
    // wants. What nobody wants goes to the only flexible column, or evenly to all but the first.
    let want = wanted - needed;
    let share = if want > 0.0 { ((left - needed) / want).min(1.0) } else { 1.0 };
    let spare = (left - wanted).max(0.0);
    let even = (0..natural.len()).filter(|n| is_flex(*n)).count() > 1;
    // What was given a width keeps it.
    let takes = |n: usize| n > 0 && table.columns[n].width.is_none();
    let others = (0..natural.len()).filter(|n| takes(*n)).count().max(1) as f64;
    let widths = (0..natural.len()).map(|n| {
        let own = if is_soft(n) { least[n] + (natural[n] - least[n]) * share } else { natural[n] };
        match (even, n) {
            (true, _) => own + if takes(n) { spare / others } else { 0.0 },
            (false, _) => own + if is_flex(n) { spare } else { 0.0 },
        }
    });
    Ok(widths.collect())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::column_widths;
    use crate::sheet::Table;

    fn widths(columns: &str, rows: &str, width: f64) -> Vec<f64> {
        let text = format!("{{size: 8, gap: 1, columns: {columns}, rows: {rows}}}");
        column_widths(&serde_yaml::from_str::<Table>(&text).unwrap(), width).unwrap()
    }

    #[test]
    fn a_column_that_gives_breaks_its_lines_only_for_what_the_others_lack() {
        let rows = "[[rear left, switches on pump and lamp]]";
        let natural = widths("[{}, {flex: true}]", rows, 80.0)[0];
        let columns = "[{gives: true}, {flex: true}]";
        assert!((widths(columns, rows, 80.0)[0] - natural).abs() < 1e-9);
        // Room for the longest word beside it, but not for both words of the first column.
        let narrow = widths(columns, rows, natural + 8.0);
        assert!(narrow[0] < natural && narrow.iter().sum::<f64>() < natural + 7.01, "{narrow:?}");
    }

    #[test]
    fn a_cell_over_several_columns_says_nothing_of_the_width_of_one() {
        let columns = "[{}, {}, {flex: true}]";
        let with = widths(columns, "[[a, b, c], [a, {text: a long text over both, more: 1}]]", 60.0);
        assert_eq!(with, widths(columns, "[[a, b, c]]", 60.0));
    }
}
