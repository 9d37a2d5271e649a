//! What a block looks like: its parts turned into flat items, from its own top left corner.

use super::font::{self, ascent, line_height};
use super::scene::{Item, Path, Picture, Segment, Text};
use super::sheet::{Align, Beside, Block, Drawing, Line, Part, PlacedLogo, PlacedText, Stand, Thing, Words};
use super::{RenderError, SMALLEST_TEXT, Weight, crosses, panel, qr, table, ticks, timeline};

/// Flat items and how much of the page they take.
#[derive(Clone)]
pub(super) struct Drawn {
    pub(super) items: Vec<Item>,
    pub(super) height: f64,
}

pub(super) fn sheet_error(message: &str) -> RenderError {
    RenderError::Sheet { message: message.to_owned(), line: None }
}

pub(super) fn shifted(items: Vec<Item>, dx: f64, dy: f64) -> Vec<Item> {
    items.into_iter().map(|item| item.moved(dx, dy)).collect()
}

/// A piece of a block that stays in one piece, from its own top left corner.
pub(super) struct Slice {
    pub(super) drawn: Drawn,
    /// It must not be the last on its page: a heading, a line below it, the head of a table.
    pub(super) leads: bool,
    /// Which slice of the same block is the head of the table that this is a row of.
    pub(super) head: Option<usize>,
}

impl Slice {
    fn whole(drawn: Drawn, leads: bool) -> Self {
        Self { drawn, leads, head: None }
    }
}

pub(super) fn draw_block(block: &Block, width: f64) -> Result<Drawn, RenderError> {
    let pad = block.frame.as_ref().map_or(0.0, |f| f.pad);
    let mut items = Vec::new();
    let mut y = pad;
    for slice in slices(block, width - 2.0 * pad)? {
        items.extend(shifted(slice.drawn.items, pad, y));
        y += slice.drawn.height;
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

/// The pieces of a block without its frame, from top to bottom.
pub(super) fn slices(block: &Block, width: f64) -> Result<Vec<Slice>, RenderError> {
    sliced(&block.parts, width)
}

/// Whether what was said before these parts is said of a table.
fn introduces(rest: &[Part]) -> bool {
    matches!(rest.iter().find(|part| !matches!(part, Part::Space(_))), Some(Part::Table(_)))
}

fn sliced(parts: &[Part], width: f64) -> Result<Vec<Slice>, RenderError> {
    let mut all: Vec<Slice> = Vec::new();
    for (n, part) in parts.iter().enumerate() {
        match part {
            Part::Words(words) => {
                let title = words.weight == Weight::Bold && words.then.is_empty();
                let leads = words.leads || title || introduces(&parts[n + 1..]);
                all.push(Slice::whole(draw_words(words, width)?, leads));
            }
            Part::Table(rows) => {
                let begin = all.len();
                for row in table::rows(rows, width)? {
                    let head = (rows.head.is_some() && !row.heading).then_some(begin);
                    all.push(Slice { drawn: row.drawn, leads: row.heading, head });
                }
            }
            Part::Drawing(drawing) => all.push(Slice::whole(draw_drawing(drawing)?, false)),
            Part::Space(height) => {
                let clear = Drawn { items: Vec::new(), height: height.max(0.0) };
                all.push(Slice::whole(clear, true));
            }
            Part::Crosses(words) => all.push(Slice::whole(crosses::draw(words, width)?, false)),
            Part::Panel(things) => all.push(Slice::whole(panel::draw(things, width)?, false)),
            Part::Timeline(times) => all.push(Slice::whole(timeline::draw(times, width)?, false)),
            Part::Ticks(boxes) => all.push(Slice::whole(ticks::draw(boxes, width)?, false)),
            Part::Beside(beside) => all.push(Slice::whole(draw_beside(beside, width)?, beside.leads)),
            Part::Rule(line) => {
                let rule = Path::straight([0.0, line / 2.0], [width, line / 2.0], *line, 0.0);
                all.push(Slice::whole(Drawn { items: vec![Item::Path(rule)], height: *line }, true));
            }
        }
    }
    Ok(all)
}

fn draw_beside(beside: &Beside, width: f64) -> Result<Drawn, RenderError> {
    let given = |n: usize| beside.widths.get(n).copied().flatten();
    let count = beside.columns.len();
    let fixed: f64 = (0..count).filter_map(given).sum();
    let free = (0..count).filter(|n| given(*n).is_none()).count();
    let gutters = beside.gutter * count.saturating_sub(1) as f64;
    let share = (width - gutters - fixed) / free.max(1) as f64;
    let mut all = Drawn { items: Vec::new(), height: 0.0 };
    let mut x = 0.0;
    for (n, parts) in beside.columns.iter().enumerate() {
        let column = given(n).unwrap_or(share);
        let mut y = 0.0;
        for slice in sliced(parts, column)? {
            all.items.extend(shifted(slice.drawn.items, x, y));
            y += slice.drawn.height;
        }
        all.height = all.height.max(y);
        x += column + beside.gutter;
    }
    Ok(all)
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

pub(super) fn grey(mut item: Item, value: f64) -> Item {
    if let Item::Text(text) = &mut item {
        text.grey = value;
    }
    item
}

fn draw_words(words: &Words, width: f64) -> Result<Drawn, RenderError> {
    if !words.then.is_empty() {
        return draw_runs(words, width);
    }
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

/// Words with something behind them in another weight, flush left.
fn draw_runs(words: &Words, width: f64) -> Result<Drawn, RenderError> {
    let texts = [(words.text.as_str(), words.weight), (words.then.as_str(), Weight::Regular)];
    let mut drawn = Drawn { items: Vec::new(), height: 0.0 };
    for line in font::wrap_runs(&texts, words.size, width)? {
        let y = drawn.height + ascent(words.size);
        for run in line {
            let item = line_of(&run.text, (run.from, y), words.size, run.weight, Align::Left)?;
            drawn.items.push(grey(item, words.grey));
        }
        drawn.height += line_height(words.size);
    }
    Ok(drawn)
}

pub(super) fn draw_drawing(drawing: &Drawing) -> Result<Drawn, RenderError> {
    let mut items = Vec::new();
    for thing in &drawing.items {
        match thing {
            Thing::Text(text) => items.extend(place_text(text, drawing.height)?),
            Thing::Box(b) => {
                let shape = Path::rounded([b.x, b.y], [b.width, b.height], b.radius);
                items.push(Item::Path(Path { line: b.line, fill: b.fill, ..shape }));
            }
            Thing::Circle(c) => {
                items.push(Item::Path(Path {
                    line: c.line,
                    fill: c.fill,
                    ..Path::circle([c.x, c.y], c.radius)
                }));
            }
            Thing::Line(line) => items.extend(arrow(line)),
            Thing::Logo(place) => items.push(draw_logo(place)?),
            Thing::Qr(code) => items.push(Item::Squares(qr::draw(code)?)),
            Thing::Path(points) => {
                let mut segments = Vec::new();
                for step in &points.to {
                    segments.push(match step[..] {
                        [x, y] => Segment::Line([x, y]),
                        [a, b, c, d, x, y] => Segment::Curve([a, b], [c, d], [x, y]),
                        _ => {
                            return Err(sheet_error(
                                "a step of a path has two numbers (a line) or six (a curve)",
                            ));
                        }
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

fn draw_logo(place: &PlacedLogo) -> Result<Item, RenderError> {
    let Some(logo) = &place.logo else {
        return Err(sheet_error("there is no logo to print: ask for it only `{% if logo %}`"));
    };
    let PlacedLogo { x, y, width, height, .. } = *place;
    let own = logo.size_in([width, height]);
    // A picture out of shape is no logo.
    if !(width > 0.0 && height > 0.0) || (own[0] - width).abs() + (own[1] - height).abs() > 0.5 {
        return Err(sheet_error("the logo must keep its shape: print it as wide and high as `logo` says"));
    }
    Ok(Item::Picture(Picture { x, y, width, height, pixels: logo.pixels.clone() }))
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

fn arrow(line: &Line) -> Vec<Item> {
    let (from, to) = (line.from, line.to);
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = libm::hypot(dx, dy);
    let head = line.arrow.unwrap_or(0.0).min(length);
    let mut items = Vec::new();
    let mut end = to;
    if head > 0.0 {
        let (ux, uy) = (dx / length, dy / length);
        let base = [to[0] - ux * head, to[1] - uy * head];
        let half = head * 0.42;
        let wings =
            [to, [base[0] - uy * half, base[1] + ux * half], [base[0] + uy * half, base[1] - ux * half]];
        items.push(Item::Path(Path::polygon(&wings, Some(line.grey), None)));
        end = base;
    }
    items.insert(0, Item::Path(Path { dash: line.dash, ..Path::straight(from, end, line.line, line.grey) }));
    items
}
