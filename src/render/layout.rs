//! From a sheet to a flat scene: blocks are measured, then find their places on one page or two.

use super::font::{self, ascent, line_height};
use super::scene::{Item, Page, Path, Scene, Segment, Text};
use super::sheet::{Align, Block, Drawing, Part, PlacedText, Sheet, Stand, Thing, Words};
use super::{RenderError, SMALLEST_TEXT, Weight, table};

/// How the blocks may be spread over pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// All on one page.
    One,
    /// Two pages; the second begins with the first block marked `back`.
    FrontAndBack,
    /// Two pages, broken where the first is full.
    Flowing,
}

/// Sums of lengths are floats; this much is not an overflow. It is a thousandth of what a printer can place.
const TOLERANCE: f64 = 1e-4;
/// The most that is added to a gap so that a page fills its height.
const STRETCH: f64 = 1.6;

pub(super) struct Drawn {
    pub(super) items: Vec<Item>,
    pub(super) height: f64,
}

struct Placed<'a> {
    block: &'a Block,
    drawn: Drawn,
}

/// Lays a sheet out.
pub fn arrange(sheet: &Sheet, sides: Sides) -> Result<Scene, RenderError> {
    let paper = &sheet.page;
    let sane = |v: f64, most: f64| v.is_finite() && v >= 0.0 && v <= most;
    let columns = paper.columns.clamp(1, 6);
    let inner = paper.width - 2.0 * paper.margin;
    let column = (inner - paper.gutter * (columns as f64 - 1.0)) / columns as f64;
    let numbers = [paper.width, paper.height, paper.margin, paper.gutter, paper.gap];
    if numbers.iter().any(|v| !sane(*v, 2000.0)) || column < 5.0 {
        return Err(sheet_error("the page must have a width and a height, and its margins must leave room"));
    }
    let mut blocks = Vec::new();
    for block in &sheet.blocks {
        let drawn = draw_block(block, if block.span { inner } else { column })?;
        blocks.push(Placed { block, drawn });
    }
    let strip = |d: &Option<Drawing>| d.as_ref().map_or(0.0, |d| d.height + paper.gap);
    let room = paper.height - 2.0 * paper.margin - strip(&sheet.head) - strip(&sheet.foot);
    let (first, second) = match sides {
        Sides::One | Sides::Flowing => (blocks, Vec::new()),
        Sides::FrontAndBack => {
            let at = blocks.iter().position(|b| b.block.back).unwrap_or(blocks.len());
            let rest = blocks.split_off(at);
            (blocks, rest)
        }
    };
    let grid = Grid { columns, column, gutter: paper.gutter, gap: paper.gap, room };
    let (front, mut left) = grid.fill(first);
    let mut fills = vec![front];
    if sides == Sides::Flowing && !left.is_empty() {
        let (back, rest) = grid.fill(left);
        fills.push(back);
        left = rest;
    }
    if !second.is_empty() {
        let (back, rest) = grid.fill(second);
        fills.push(back);
        left.extend(rest);
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
        let page = Page { width: paper.width, height: paper.height, items };
        stays_on_paper(&page)?;
        pages.push(page);
    }
    Ok(Scene { title: sheet.title.clone(), pages })
}

struct Grid {
    columns: usize,
    column: f64,
    gutter: f64,
    gap: f64,
    room: f64,
}

/// Something with its left edge, its top, and how many gaps are above it.
type Spot = (f64, f64, usize, Vec<Item>);

impl Grid {
    /// Fills one page and hands back what found no place.
    fn fill<'a>(&self, blocks: Vec<Placed<'a>>) -> (Vec<Item>, Vec<Placed<'a>>) {
        let mut spots: Vec<Spot> = Vec::new();
        let mut waiting: std::collections::VecDeque<_> = blocks.into();
        let (mut y, mut gaps) = (0.0, 0);
        let mut bottom: f64 = 0.0;
        while let Some(next) = waiting.front() {
            if next.block.span {
                if y + next.drawn.height > self.room + TOLERANCE {
                    break;
                }
                let Some(block) = waiting.pop_front() else { break };
                bottom = y + block.drawn.height;
                y = bottom + self.gap;
                spots.push((0.0, bottom - block.drawn.height, gaps, block.drawn.items));
                gaps += 1;
                continue;
            }
            let run = waiting.iter().take_while(|b| !b.block.span).count();
            let heights: Vec<f64> = waiting.iter().take(run).map(|b| b.drawn.height).collect();
            let limit = self.balanced(&heights, self.room - y);
            let (taken, places) = self.into_columns(&heights, limit);
            let mut deepest = 0;
            for (column, top, above) in places {
                let Some(block) = waiting.pop_front() else { break };
                bottom = f64::max(bottom, y + top + block.drawn.height);
                deepest = deepest.max(above);
                let x = column as f64 * (self.column + self.gutter);
                spots.push((x, y + top, gaps + above, block.drawn.items));
            }
            gaps += deepest + 1;
            y = bottom + self.gap;
            if taken < run {
                break;
            }
        }
        let stretchable = gaps.saturating_sub(1).max(1) as f64;
        let extra = ((self.room - bottom) / stretchable).clamp(0.0, STRETCH);
        let items =
            spots.into_iter().flat_map(|(x, y, above, items)| shifted(items, x, y + above as f64 * extra)).collect();
        (items, waiting.into())
    }

    /// Puts heights one after the other into columns of a given depth: how many found a place, and
    /// for each its column, its top and the gaps above it.
    fn into_columns(&self, heights: &[f64], limit: f64) -> (usize, Vec<(usize, f64, usize)>) {
        let mut places = Vec::new();
        let (mut column, mut top, mut above) = (0, 0.0, 0);
        for height in heights {
            if top + height > limit + TOLERANCE {
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

    /// The least depth that holds all, or all the room there is.
    fn balanced(&self, heights: &[f64], room: f64) -> f64 {
        let mut depths = Vec::new();
        for from in 0..heights.len() {
            let mut depth = -self.gap;
            for height in &heights[from..] {
                depth += height + self.gap;
                depths.push(depth);
            }
        }
        depths.sort_by(f64::total_cmp);
        let holds = |d: &f64| self.into_columns(heights, *d).0 == heights.len();
        depths.into_iter().filter(|d| *d <= room + TOLERANCE).find(holds).unwrap_or(room)
    }
}

fn sheet_error(message: &str) -> RenderError {
    RenderError::Sheet { message: message.to_owned(), line: None }
}

fn shifted(items: Vec<Item>, dx: f64, dy: f64) -> Vec<Item> {
    items.into_iter().map(|item| item.moved(dx, dy)).collect()
}

fn numbered(drawing: &Drawing, page: usize, pages: usize) -> Drawing {
    let mut drawing = drawing.clone();
    for thing in &mut drawing.items {
        if let Thing::Text(text) = thing {
            text.text = text.text.replace("{page}", &page.to_string()).replace("{pages}", &pages.to_string());
        }
    }
    drawing
}

fn draw_block(block: &Block, width: f64) -> Result<Drawn, RenderError> {
    let pad = block.frame.as_ref().map_or(0.0, |f| f.pad);
    let inner = width - 2.0 * pad;
    let mut items = Vec::new();
    let mut y = pad;
    for part in &block.parts {
        let drawn = match part {
            Part::Words(words) => draw_words(words, inner)?,
            Part::Table(rows) => table::draw(rows, inner)?,
            Part::Drawing(drawing) => draw_drawing(drawing)?,
            Part::Space(height) => Drawn { items: Vec::new(), height: height.max(0.0) },
            Part::Rule(line) => {
                let rule = Path::straight([0.0, line / 2.0], [inner, line / 2.0], *line, 0.0);
                Drawn { items: vec![Item::Path(rule)], height: *line }
            }
        };
        items.extend(shifted(drawn.items, pad, y));
        y += drawn.height;
    }
    let height = y + pad;
    if let Some(frame) = &block.frame {
        let inset = frame.line.unwrap_or(0.0) / 2.0;
        let size = [width - 2.0 * inset, height - 2.0 * inset];
        let shape = Path::rounded([inset, inset], size, frame.radius);
        items.insert(0, Item::Path(Path { line: frame.line, fill: frame.fill, ..shape }));
    }
    Ok(Drawn { items, height })
}

/// One line of text at its place, checked for size.
pub(super) fn line_of(
    text: &str,
    place: (f64, f64),
    size: f64,
    weight: Weight,
    align: Align,
) -> Result<Item, RenderError> {
    let shown = text.replace(font::FIXED_SPACE, " ");
    if !size.is_finite() || size < SMALLEST_TEXT - 1e-9 {
        return Err(RenderError::TooSmall { text: shown, points: size });
    }
    let wide = font::width(text, size, weight)?;
    let x = match align {
        Align::Left => place.0,
        Align::Centre => place.0 - wide / 2.0,
        Align::Right => place.0 - wide,
    };
    Ok(Item::Text(Text { x, y: place.1, size, weight, grey: 0.0, text: shown, turn: 0.0, outline: None }))
}

fn grey(mut item: Item, value: f64) -> Item {
    if let Item::Text(text) = &mut item {
        text.grey = value;
    }
    item
}

fn draw_words(words: &Words, width: f64) -> Result<Drawn, RenderError> {
    let mut items = Vec::new();
    let mut y = 0.0;
    let x = match words.align {
        Align::Left => 0.0,
        Align::Centre => width / 2.0,
        Align::Right => width,
    };
    for line in font::wrap(&words.text, words.size, words.weight, width)? {
        let item = line_of(&line, (x, y + ascent(words.size)), words.size, words.weight, words.align)?;
        items.push(grey(item, words.grey));
        y += line_height(words.size);
    }
    Ok(Drawn { items, height: y })
}

fn draw_drawing(drawing: &Drawing) -> Result<Drawn, RenderError> {
    let mut items = Vec::new();
    for thing in &drawing.items {
        match thing {
            Thing::Text(text) => items.extend(place_text(text, drawing.height)?),
            Thing::Box(b) => {
                let shape = Path::rounded([b.x, b.y], [b.width, b.height], b.radius);
                items.push(Item::Path(Path { line: b.line, fill: b.fill, ..shape }));
            }
            Thing::Circle(c) => {
                items.push(Item::Path(Path { line: c.line, fill: c.fill, ..Path::circle([c.x, c.y], c.radius) }));
            }
            Thing::Line(line) => items.extend(arrow(line)),
            Thing::Path(points) => {
                let mut segments = Vec::new();
                for step in &points.to {
                    segments.push(match step[..] {
                        [x, y] => Segment::Line([x, y]),
                        [a, b, c, d, x, y] => Segment::Curve([a, b], [c, d], [x, y]),
                        _ => return Err(sheet_error("a step of a path has two numbers (a line) or six (a curve)")),
                    });
                }
                items.push(Item::Path(Path {
                    start: points.from,
                    segments,
                    closed: points.closed,
                    line: points.line,
                    line_grey: 0.0,
                    dash: None,
                    fill: points.fill,
                }));
            }
        }
    }
    Ok(Drawn { items, height: drawing.height })
}

fn place_text(text: &PlacedText, room: f64) -> Result<Vec<Item>, RenderError> {
    let lines = match text.width {
        Some(width) => font::wrap(&text.text, text.size, text.weight, width)?,
        None => vec![text.text.clone()],
    };
    let step = line_height(text.size);
    let tall = step * lines.len() as f64;
    let top = match text.stand {
        Stand::Top => text.y,
        Stand::Middle => text.y - tall / 2.0,
        Stand::Bottom => text.y - tall,
    };
    // A caption may hang over a little; a line more than there is room for may not.
    let slack = step / 2.0;
    if !(top >= -slack && top + tall <= room + slack) {
        return Err(RenderError::Overflow { blocks: vec![text.text.replace(font::FIXED_SPACE, " ")] });
    }
    let mut items = Vec::new();
    for (n, line) in lines.iter().enumerate() {
        let y = top + step * n as f64 + ascent(text.size);
        items.push(grey(line_of(line, (text.x, y), text.size, text.weight, text.align)?, text.grey));
    }
    Ok(items)
}

fn arrow(line: &super::sheet::Line) -> Vec<Item> {
    let (from, to) = (line.from, line.to);
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    let head = line.arrow.unwrap_or(0.0).min(length);
    let mut items = Vec::new();
    let mut end = to;
    if head > 0.0 {
        let (ux, uy) = (dx / length, dy / length);
        let base = [to[0] - ux * head, to[1] - uy * head];
        let half = head * 0.42;
        let wings = [to, [base[0] - uy * half, base[1] + ux * half], [base[0] + uy * half, base[1] - ux * half]];
        items.push(Item::Path(Path::polygon(&wings, Some(line.grey), None)));
        end = base;
    }
    items.insert(0, Item::Path(Path { dash: line.dash, ..Path::straight(from, end, line.line, line.grey) }));
    items
}

/// Nothing leaves the paper: a printer would cut it without a word.
fn stays_on_paper(page: &Page) -> Result<(), RenderError> {
    let inside = |x: f64, y: f64| {
        x >= -TOLERANCE && y >= -TOLERANCE && x <= page.width + TOLERANCE && y <= page.height + TOLERANCE
    };
    for item in &page.items {
        match item {
            Item::Text(t) => {
                let end = t.x + font::width(&t.text, t.size, t.weight)?;
                let top = t.y - font::CAPITAL * t.size * super::MM_PER_POINT;
                if !inside(t.x, top) || !inside(end, t.y) {
                    return Err(RenderError::TooWide { text: t.text.clone() });
                }
            }
            Item::Path(path) => {
                if path.points().any(|p| !inside(p[0], p[1])) {
                    return Err(sheet_error("a line or a box leaves the page"));
                }
            }
        }
    }
    Ok(())
}
