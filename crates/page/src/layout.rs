//! From a sheet to a flat scene: blocks are measured, then find their places on one page or two.

use super::RenderError;
use super::draw::{Drawn, draw_block, draw_drawing, sheet_error, shifted};
use super::font;
use super::scene::{Item, Page, Scene};
use super::sheet::{Block, Drawing, Frame, Part, Sheet, Thing};
use std::rc::Rc;

/// How the blocks may be spread over pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// All on one page.
    One,
    /// Two pages; the second begins with a block marked `back`: 0 with the last of them, 1 with the
    /// one before it, and so on.
    FrontAndBack(usize),
    /// Two pages, broken where the first is full.
    Flowing,
}

/// Sums of lengths are floats; this much is not an overflow. It is a thousandth of what a printer can place.
const TOLERANCE: f64 = 1e-4;
/// The most that is added to a gap so that a page fills its height.
const STRETCH: f64 = 1.6;

/// A sheet whose blocks are drawn and have still to find their places.
pub struct Loose {
    /// Its blocks without their parts.
    sheet: Sheet,
    drawn: Vec<Rc<Drawn>>,
}

/// What was drawn already, for whoever tries one sheet after the other: most of their blocks are the same.
#[derive(Default)]
pub struct Known(Vec<Sketch>);

/// A block with its width and its looks.
struct Sketch {
    parts: Vec<Part>,
    frame: Option<Frame>,
    width: f64,
    drawn: Rc<Drawn>,
}

impl Known {
    /// Draws a block, or takes what was drawn; its parts are kept here.
    fn drawn(&mut self, block: &mut Block, width: f64) -> Result<Rc<Drawn>, RenderError> {
        let alike = |known: &&Sketch| {
            known.width.total_cmp(&width).is_eq() && known.frame == block.frame && known.parts == block.parts
        };
        if let Some(known) = self.0.iter().find(alike) {
            return Ok(known.drawn.clone());
        }
        let drawn = Rc::new(draw_block(block, width)?);
        let (parts, frame) = (std::mem::take(&mut block.parts), block.frame.clone());
        self.0.push(Sketch { parts, frame, width, drawn: drawn.clone() });
        Ok(drawn)
    }
}

#[derive(Clone, Copy)]
struct Placed<'a> {
    block: &'a Block,
    drawn: &'a Drawn,
}

impl Loose {
    /// Draws the blocks of a sheet, as wide as its columns.
    ///
    /// # Errors
    /// For a page without room, and for what cannot be drawn or is wider than its column.
    pub fn of(mut sheet: Sheet, known: &mut Known) -> Result<Self, RenderError> {
        let (inner, column) = widths(&sheet)?;
        let draw = |block: &mut Block| known.drawn(block, if block.span { inner } else { column });
        let drawn = sheet.blocks.iter_mut().map(draw).collect::<Result<_, _>>()?;
        Ok(Self { sheet, drawn })
    }

    /// Lays the blocks out; also tells how much of its height the fullest page takes up, from 0 to 1.
    ///
    /// # Errors
    /// Where they find no room, and where something leaves the paper or lies over something else.
    pub fn arrange(&self, sides: Sides) -> Result<(Scene, f64), RenderError> {
        let marked = self.sheet.blocks.iter().enumerate().filter(|(_, block)| block.back).map(|(at, _)| at);
        let back = match sides {
            Sides::One | Sides::Flowing => None,
            Sides::FrontAndBack(mark) => marked.rev().nth(mark),
        };
        placed(self, back.unwrap_or(self.drawn.len()), sides == Sides::Flowing)
    }
}

/// Draws a sheet and lays it out.
///
/// # Errors
/// Those of [`Loose::of`] and [`Loose::arrange`].
pub fn arrange(sheet: Sheet, sides: Sides) -> Result<Scene, RenderError> {
    Ok(Loose::of(sheet, &mut Known::default())?.arrange(sides)?.0)
}

/// Width of the paper between its margins, and of a column.
fn widths(sheet: &Sheet) -> Result<(f64, f64), RenderError> {
    let paper = &sheet.page;
    let sane = |v: f64, most: f64| v.is_finite() && v >= 0.0 && v <= most;
    let columns = paper.columns.clamp(1, 6) as f64;
    let inner = paper.width - 2.0 * paper.margin;
    let column = (inner - paper.gutter * (columns - 1.0)) / columns;
    let numbers = [paper.width, paper.height, paper.margin, paper.gutter, paper.gap];
    if numbers.iter().any(|v| !sane(*v, 2000.0)) || column < 5.0 {
        return Err(sheet_error("the page must have a width and a height, and its margins must leave room"));
    }
    Ok((inner, column))
}

/// Lays a sheet out with the back beginning at a block, or where the front is full.
fn placed(loose: &Loose, back: usize, flowing: bool) -> Result<(Scene, f64), RenderError> {
    let sheet = &loose.sheet;
    let paper = &sheet.page;
    let (_, column) = widths(sheet)?;
    let columns = paper.columns.clamp(1, 6);
    let mut blocks: Vec<Placed<'_>> =
        sheet.blocks.iter().zip(&loose.drawn).map(|(block, drawn)| Placed { block, drawn }).collect();
    let strip = |d: &Option<Drawing>| d.as_ref().map_or(0.0, |d| d.height + paper.gap);
    let room = paper.height - 2.0 * paper.margin - strip(&sheet.head) - strip(&sheet.foot);
    let second = blocks.split_off(back);
    let first = blocks;
    let grid = Grid { columns, column, gutter: paper.gutter, gap: paper.gap, room };
    let Filled { items, bottom, mut left } = grid.fill(first);
    let mut fills = vec![items];
    let mut deepest = bottom;
    if flowing && !left.is_empty() {
        let back = grid.fill(left);
        fills.push(back.items);
        deepest = deepest.max(back.bottom);
        left = back.left;
    }
    if !second.is_empty() {
        let back = grid.fill(second);
        fills.push(back.items);
        deepest = deepest.max(back.bottom);
        left.extend(back.left);
    }
    if !left.is_empty() {
        return Err(RenderError::Overflow { blocks: left.iter().map(|b| b.block.name.clone()).collect() });
    }
    let count = fills.len();
    let mut pages = Vec::new();
    for (index, body) in fills.into_iter().enumerate() {
        let mut items = Vec::new();
        let number = |d: &Drawing| numbered(d, index + 1, count);
        if let Some(head) = &sheet.head {
            items.extend(shifted(draw_drawing(&number(head))?.items, paper.margin, paper.margin));
        }
        let top = paper.margin + strip(&sheet.head);
        items.extend(shifted(body, paper.margin, top));
        if let Some(foot) = &sheet.foot {
            let y = paper.height - paper.margin - foot.height;
            items.extend(shifted(draw_drawing(&number(foot))?.items, paper.margin, y));
        }
        let page = Page { width: paper.width, height: paper.height, items, ..Page::default() };
        stays_on_paper(&page)?;
        pages.push(page);
    }
    Ok((Scene { title: sheet.title.clone(), pages }, deepest / room))
}

struct Grid {
    columns: usize,
    column: f64,
    gutter: f64,
    gap: f64,
    room: f64,
}

/// A column, the top in it, and how many gaps are above.
type Place = (usize, f64, usize);

/// The height of a block, and whether it begins a column.
struct Tall {
    height: f64,
    begins: bool,
}

/// A page that is filled.
struct Filled<'a> {
    items: Vec<Item>,
    /// Where the lowest block ends before gaps are stretched.
    bottom: f64,
    /// What found no place.
    left: Vec<Placed<'a>>,
}

/// Something with its left edge, its top, and how many gaps are above it.
type Spot<'a> = (f64, f64, usize, &'a [Item]);

impl Grid {
    /// Fills one page and hands back what found no place.
    fn fill<'a>(&self, blocks: Vec<Placed<'a>>) -> Filled<'a> {
        let mut spots: Vec<Spot<'_>> = Vec::new();
        let mut waiting: std::collections::VecDeque<_> = blocks.into();
        let (mut y, mut gaps) = (0.0, 0);
        let mut bottom: f64 = 0.0;
        while let Some(next) = waiting.front() {
            if next.block.span {
                if y + next.drawn.height > self.room + TOLERANCE {
                    break;
                }
                let Some(block) = waiting.pop_front() else {
                    break;
                };
                bottom = y + block.drawn.height;
                y = bottom + self.gap;
                spots.push((0.0, bottom - block.drawn.height, gaps, &block.drawn.items));
                gaps += 1;
                continue;
            }
            let run = waiting.iter().take_while(|b| !b.block.span).count();
            let heights: Vec<Tall> = waiting
                .iter()
                .take(run)
                .map(|b| Tall { height: b.drawn.height, begins: b.block.column })
                .collect();
            let limit = self.balanced(&heights, self.room - y);
            let (mut taken, mut places) = self.spread(&heights, limit);
            if taken < run
                && let Some(found) = self.tucked(&heights, self.room - y)
            {
                (taken, places) = (run, found);
            }
            let is_level = |n: usize, (_, top, _): &Place| *top <= 0.0 && waiting[n].block.level;
            let level = places.iter().enumerate().filter(|(n, place)| is_level(*n, place));
            let level = level.map(|(n, _)| heights[n].height).fold(0.0, f64::max);
            let mut deepest = 0;
            for (column, top, above) in places {
                let Some(block) = waiting.pop_front() else {
                    break;
                };
                bottom = f64::max(bottom, y + top + block.drawn.height);
                deepest = deepest.max(above);
                let x = column as f64 * (self.column + self.gutter);
                let lower = if top <= 0.0 && block.block.level { level - block.drawn.height } else { 0.0 };
                spots.push((x, y + top + lower, gaps + above, &block.drawn.items));
            }
            gaps += deepest + 1;
            y = bottom + self.gap;
            if taken < run {
                break;
            }
        }
        let stretchable = gaps.saturating_sub(1).max(1) as f64;
        let extra = ((self.room - bottom) / stretchable).clamp(0.0, STRETCH);
        let items = spots
            .into_iter()
            .flat_map(|(x, y, above, items)| shifted(items.to_vec(), x, y + above as f64 * extra))
            .collect();
        Filled { items, bottom, left: waiting.into() }
    }

    /// Puts heights one after the other into columns of a given depth: how many found a place, and
    /// for each its column, its top and the gaps above it.
    fn spread(&self, heights: &[Tall], limit: f64) -> (usize, Vec<Place>) {
        let mut places = Vec::new();
        let (mut column, mut top, mut above) = (0, 0.0, 0);
        for Tall { height, begins } in heights {
            if top + height > limit + TOLERANCE || *begins && top > 0.0 {
                column += 1;
                (top, above) = (0.0, 0);
            }
            if column >= self.columns || top + height > limit + TOLERANCE {
                break;
            }
            places.push((column, top, above));
            top += height + self.gap;
            above += 1;
        }
        (places.len(), places)
    }

    /// The same, each in the first column that has room for it: a small block may stand below those of
    /// an earlier column. Only where all of them find a place.
    fn tucked(&self, heights: &[Tall], limit: f64) -> Option<Vec<Place>> {
        let mut columns = vec![(0.0, 0_usize); self.columns];
        let mut from = 0;
        let mut places = Vec::new();
        for Tall { height, begins } in heights {
            if *begins {
                from = columns.iter().rposition(|(top, _)| *top > 0.0).map_or(0, |last| last + 1);
            }
            let holds = |(top, _): &(f64, usize)| top + height <= limit + TOLERANCE;
            let column = from + columns.iter().skip(from).position(holds)?;
            let (top, above) = &mut columns[column];
            places.push((column, *top, *above));
            *top += height + self.gap;
            *above += 1;
        }
        Some(places)
    }

    /// The least depth that holds all, or all the room there is.
    fn balanced(&self, heights: &[Tall], room: f64) -> f64 {
        let mut depths = Vec::new();
        for from in 0..heights.len() {
            let mut depth = -self.gap;
            for Tall { height, .. } in &heights[from..] {
                depth += height + self.gap;
                depths.push(depth);
            }
        }
        depths.sort_by(f64::total_cmp);
        let holds = |d: &f64| self.spread(heights, *d).0 == heights.len();
        depths.into_iter().filter(|d| *d <= room + TOLERANCE).find(holds).unwrap_or(room)
    }
}

pub(super) fn numbered(drawing: &Drawing, page: usize, pages: usize) -> Drawing {
    let mut drawing = drawing.clone();
    for thing in &mut drawing.items {
        if let Thing::Text(text) = thing {
            text.text = text.text.replace("{page}", &page.to_string()).replace("{pages}", &pages.to_string());
        }
    }
    drawing
}

/// Below the baseline of a text its letters reach so far, as a part of its size.
const DESCENT: f64 = 0.2;
/// Boxes of letters may touch by this much without anybody seeing it.
const TOUCH: f64 = 0.1;

/// Clear between two texts on a line, or they would read as one: half a space of the smallest text.
const APART: f64 = 0.5;

/// No text is printed over another. The mark of a draft is put on later, and is meant to.
fn texts_keep_clear(page: &Page) -> Result<(), RenderError> {
    let mut boxes: Vec<([f64; 4], &str)> = Vec::new();
    for item in &page.items {
        let t = match item {
            Item::Text(t) => t,
            Item::Picture(p) => {
                boxes.push(([p.x, p.y, p.x + p.width, p.y + p.height], "the logo"));
                continue;
            }
            Item::Path(_) | Item::Squares(_) => continue,
        };
        let high = t.size * super::MM_PER_POINT;
        let (top, bottom) = (t.y - font::CAPITAL * high + TOUCH, t.y + DESCENT * high - TOUCH);
        let end = t.x + font::width(&t.text, t.size, t.weight)? + APART / 2.0;
        boxes.push(([t.x - APART / 2.0, top, end, bottom], &t.text));
    }
    boxes.sort_by(|a, b| a.0[1].total_cmp(&b.0[1]));
    for (n, ([left, _, right, bottom], text)) in boxes.iter().enumerate() {
        let below = boxes[n + 1..].iter().take_while(|other| other.0[1] < *bottom);
        for ([other_left, _, other_right, _], other) in below {
            if left < other_right && other_left < right {
                return Err(RenderError::Overlap { text: (*text).to_owned(), other: (*other).to_owned() });
            }
        }
    }
    Ok(())
}

fn shades() -> RenderError {
    sheet_error("a grey goes from 0 (black) to 1 (white), the thickness of a line from 0 to 50 mm")
}

/// Nothing leaves the paper: a printer would cut it without a word. Shades and lines are numbers
/// that ink can follow.
pub(super) fn stays_on_paper(page: &Page) -> Result<(), RenderError> {
    let inside = |x: f64, y: f64| {
        x >= -TOLERANCE && y >= -TOLERANCE && x <= page.width + TOLERANCE && y <= page.height + TOLERANCE
    };
    texts_keep_clear(page)?;
    for item in &page.items {
        match item {
            Item::Text(t) => {
                if !(0.0..=1.0).contains(&t.grey) {
                    return Err(shades());
                }
                let end = t.x + font::width(&t.text, t.size, t.weight)?;
                let top = t.y - font::CAPITAL * t.size * super::MM_PER_POINT;
                if !inside(t.x, top) || !inside(end, t.y) {
                    return Err(RenderError::TooWide { text: t.text.clone() });
                }
            }
            Item::Squares(squares) => {
                let far = [squares.x + squares.side, squares.y + squares.side];
                if !inside(squares.x, squares.y) || !inside(far[0], far[1]) {
                    return Err(sheet_error("a QR code leaves the page"));
                }
            }
            Item::Picture(picture) => {
                let far = [picture.x + picture.width, picture.y + picture.height];
                if !inside(picture.x, picture.y) || !inside(far[0], far[1]) {
                    return Err(sheet_error("the logo leaves the page"));
                }
            }
            Item::Path(path) => {
                let greys = [path.line_grey, path.fill.unwrap_or(0.0)];
                let line = path.line.unwrap_or(0.0);
                if greys.iter().any(|g| !(0.0..=1.0).contains(g)) || !(0.0..=50.0).contains(&line) {
                    return Err(shades());
                }
                if path.points().any(|p| !inside(p[0], p[1])) {
                    return Err(sheet_error("a line or a box leaves the page"));
                }
            }
        }
    }
    Ok(())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Sides, arrange};
    use crate::sheet::read;
    use crate::{Item, RenderError, Scene};

    fn sheet(columns: usize, blocks: &[(&str, f64, &str)]) -> String {
        let block = |(name, height, more): &(&str, f64, &str)| {
            format!(
                "- name: {name}\n  {more}\n  parts: [{{drawing: {{height: {height}, items: [{{text: {{x: 0, y: 0, size: 8, text: {name}}}}}]}}}}]\n"
            )
        };
        let blocks: String = blocks.iter().map(block).collect();
        format!("title: T\npage: {{width: 70, height: 50, margin: 5, columns: {columns}}}\nblocks:\n{blocks}")
    }

    fn places(scene: &Scene) -> Vec<(usize, String, f64, f64)> {
        let texts =
            scene.pages.iter().enumerate().flat_map(|(n, page)| page.items.iter().map(move |i| (n, i)));
        let place = |(n, item): (usize, &Item)| match item {
            Item::Text(text) => Some((n, text.text.clone(), text.x, text.y)),
            _ => None,
        };
        texts.filter_map(place).collect()
    }

    #[test]
    fn the_back_begins_with_the_mark_that_is_asked_for_counted_from_the_last() {
        let text = sheet(1, &[("a", 10.0, ""), ("b", 10.0, "back: true"), ("c", 10.0, "back: true")]);
        let pages = |mark| {
            let scene = arrange(read(&text).unwrap(), Sides::FrontAndBack(mark)).unwrap();
            places(&scene).into_iter().map(|(page, ..)| page).collect::<Vec<_>>()
        };
        assert_eq!(pages(0), [0, 0, 1]);
        assert_eq!(pages(1), [0, 1, 1]);
    }

    #[test]
    fn a_block_may_begin_a_column_and_end_level_with_its_neighbour() {
        let level = "column: true\n  level: true";
        let text = sheet(3, &[("a", 10.0, ""), ("b", 12.0, level), ("c", 30.0, level)]);
        let found = places(&arrange(read(&text).unwrap(), Sides::One).unwrap());
        let (a, b, c) = (&found[0], &found[1], &found[2]);
        assert!(a.2 < b.2 && b.2 < c.2, "{found:?}");
        // Both end 30 mm down, so the lower one begins 18 mm further down.
        assert!((b.3 - c.3 - 18.0).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn a_small_block_may_stand_below_an_earlier_column() {
        // 25 + 30 + 15 mm in two columns of 40 mm: in their order the last would find no place.
        let text = sheet(2, &[("a", 25.0, ""), ("b", 30.0, ""), ("c", 15.0, "")]);
        let found = places(&arrange(read(&text).unwrap(), Sides::One).unwrap());
        assert!((found[0].2 - found[2].2).abs() < 1e-9 && found[2].3 > found[0].3 + 24.9, "{found:?}");
        let text = sheet(2, &[("a", 25.0, ""), ("b", 30.0, ""), ("c", 15.1, "")]);
        let refused = arrange(read(&text).unwrap(), Sides::One);
        assert_eq!(refused.unwrap_err(), RenderError::Overflow { blocks: vec!["c".into()] });
    }
}
