//! Things that hands find on a panel, seen from above: banks of them on the left and on the right, each a plain
//! bar, circle or track where the hand is, with words beside it. Words break into lines and the drawing grows
//! with them; nothing is made smaller.

use super::crosses::Stack;
use super::draw::{Drawn, grey, line_of, shifted};
use super::font::{CAPITAL, line_height};
use super::scene::{Item, Path};
use super::sheet::{Align, Bank, Control, Direction, Edge, Form, Label, Panel};
use super::{MM_PER_POINT, RenderError, Weight};

/// Between the line of the panel and what is on it.
const PAD: f64 = 0.9;
/// Between the halves of a bank, and between a thing and its words.
const APART: [f64; 2] = [3.0, 1.2];
/// Between things below each other, and between banks.
const LEAD: [f64; 2] = [0.5, 0.45];
/// Between a round thing and the words below it, which may carry accents.
const BELOW: f64 = 0.3;
/// Thickness of the line of the panel and of those of the things on it.
const LINES: [f64; 2] = [0.25, 0.4];
/// The panel is paler than what is on it.
const PANEL: f64 = 0.45;
/// Corners of the panel, and of a bar.
const CORNERS: [f64; 2] = [3.0, 0.7];
/// Each for a point of size: a bar is so wide and so high, a round thing has such a radius.
const BAR: [f64; 2] = [0.72, 0.33];
const ROUND: f64 = 0.41;
/// A step stands in a disc with this part of the radius of a round thing, so far from its middle.
const STEP: [f64; 2] = [0.42, 0.55];

/// Draws a panel as wide as there is room.
pub(super) fn draw(panel: &Panel, width: f64) -> Result<Drawn, RenderError> {
    let inner = width - 2.0 * PAD;
    let mut items = Vec::new();
    let (mut y, mut top, mut bottom) = (0.0, None, 0.0);
    for bank in &panel.banks {
        let drawn = draw_bank(panel, bank, inner)?;
        if drawn.items.is_empty() {
            continue;
        }
        match bank.edge {
            Edge::Face if top.is_none() => {
                top = Some(y);
                y += PAD;
            }
            Edge::Near if bottom <= 0.0 => {
                bottom = y;
                y += LEAD[1];
            }
            _ => {}
        }
        items.extend(shifted(drawn.items, PAD, y));
        y += drawn.height + LEAD[1];
    }
    if bottom <= 0.0 {
        bottom = y - LEAD[1] + PAD / 3.0;
        y = bottom;
    }
    let top = top.unwrap_or(0.0);
    let inset = LINES[0] / 2.0;
    let shape = Path::rounded([inset, top], [width - LINES[0], bottom - top], CORNERS[0]);
    items.insert(0, Item::Path(Path { line: Some(LINES[0]), line_grey: PANEL, ..shape }));
    Ok(Drawn { items, height: y.max(bottom + inset) })
}

fn draw_bank(panel: &Panel, bank: &Bank, width: f64) -> Result<Drawn, RenderError> {
    if bank.left.iter().chain(&bank.right).any(|control| control.form == Form::Round) {
        return round_bank(panel, bank, width);
    }
    let one_sided = bank.left.is_empty() || bank.right.is_empty();
    let half = if one_sided { width } else { (width - APART[0]) / 2.0 };
    let column = |controls: &[Control], right: bool| {
        let mut all = Drawn { items: Vec::new(), height: 0.0 };
        for control in controls {
            if all.height > 0.0 {
                all.height += LEAD[0];
            }
            let drawn = listed(panel, control, half, right)?;
            all.items.extend(shifted(drawn.items, 0.0, all.height));
            all.height += drawn.height;
        }
        Ok::<_, RenderError>(all)
    };
    let (left, right) = (column(&bank.left, false)?, column(&bank.right, true)?);
    let height = left.height.max(right.height);
    // What sits on the far edge stands on it.
    let lower = |drawn: &Drawn| if bank.edge == Edge::Far { height - drawn.height } else { 0.0 };
    let (at_left, at_right) = (lower(&left), lower(&right));
    let mut items = shifted(left.items, 0.0, at_left);
    items.extend(shifted(right.items, width - half, at_right));
    Ok(Drawn { items, height })
}

fn bold(panel: &Panel, text: &str) -> Label {
    Label { text: text.to_owned(), size: panel.size, weight: Weight::Bold }
}

fn plain(panel: &Panel, text: &str) -> Label {
    Label { text: text.to_owned(), size: panel.small, weight: Weight::Regular }
}

fn words(panel: &Panel, text: &str, more: &str, room: f64) -> Result<Stack, RenderError> {
    let labels = [bold(panel, text), plain(panel, more)];
    Stack::of(&labels, room)
}

/// A filled shape with the number of a step in it.
fn step(panel: &Panel, number: &str, [x, y]: [f64; 2], items: &mut Vec<Item>) -> Result<(), RenderError> {
    let size = (panel.size * 0.9).max(super::SMALLEST_TEXT);
    let down = CAPITAL * size * MM_PER_POINT / 2.0;
    items.push(grey(line_of(number, (x, y + down), size, Weight::Bold, Align::Centre)?, 1.0));
    Ok(())
}

fn lined(shape: Path) -> Item {
    Item::Path(Path { line: Some(LINES[1]), fill: Some(1.0), ..shape })
}

fn filled(shape: Path) -> Item {
    Item::Path(Path { fill: Some(0.0), ..shape })
}

fn stroke(from: [f64; 2], to: [f64; 2]) -> Item {
    Item::Path(Path::straight(from, to, LINES[1], 0.0))
}

/// A thing in a list: at the outer edge, with its words towards the middle.
fn listed(panel: &Panel, control: &Control, width: f64, right: bool) -> Result<Drawn, RenderError> {
    let wide = BAR[0] * panel.size;
    let room = width - wide - APART[1];
    let rows = match control.form {
        Form::Words => vec![Stack::of(&[plain(panel, &control.name)], width)?],
        Form::Switch => vec![words(panel, &control.name, &control.note, room)?],
        _ => {
            let ways = control.ways.iter();
            let mut rows =
                ways.map(|way| words(panel, &way.text, &way.more, room)).collect::<Result<Vec<_>, _>>()?;
            if !control.note.is_empty() {
                rows.push(Stack::of(&[plain(panel, &control.note)], room)?);
            }
            rows
        }
    };
    let left = if right { width - wide } else { 0.0 };
    let mut items = Vec::new();
    let (mut middles, mut y) = (Vec::new(), 0.0);
    for row in &rows {
        let high = row.height.max(line_height(panel.size));
        let (x, align) = match (control.form, right) {
            (Form::Words, false) => (0.0, Align::Left),
            (Form::Words, true) => (width, Align::Right),
            (_, false) => (wide + APART[1], Align::Left),
            (_, true) => (width - wide - APART[1], Align::Right),
        };
        row.draw([x, y], align, &mut items)?;
        middles.push(y + line_height(panel.size) / 2.0);
        y += high;
    }
    let height = y;
    let middle = [left + wide / 2.0, height / 2.0];
    match control.form {
        Form::Words | Form::Round => {}
        Form::Buttons => {
            for (way, at) in control.ways.iter().zip(&middles) {
                let high = BAR[1] * panel.size;
                let shape = Path::rounded([left, at - high / 2.0], [wide, high], CORNERS[1]);
                match &way.step {
                    Some(number) => {
                        items.push(filled(shape));
                        step(panel, number, [middle[0], *at], &mut items)?;
                    }
                    None => items.push(lined(shape)),
                }
            }
        }
        Form::Switch => {
            let high = BAR[1] * panel.size;
            let at = middles[0];
            items.push(lined(Path::rounded([left, at - high / 2.0], [wide, high], high / 2.0)));
            let count = control.ways.len().max(2);
            for n in 0..count {
                let x = left + wide * (n as f64 + 0.5) / count as f64;
                match control.ways.get(n).and_then(|way| way.step.as_deref()) {
                    Some(number) => {
                        items.push(filled(Path::circle([x, at], high / 2.0)));
                        step(panel, number, [x, at], &mut items)?;
                    }
                    None => items.push(filled(Path::circle([x, at], high / 7.0))),
                }
            }
        }
        Form::Track => {
            let ends =
                [middles.first(), middles.get(control.ways.len().max(1) - 1)].map(|end| *end.unwrap_or(&0.0));
            let (x, reach) = (middle[0], wide * 0.22);
            items.push(stroke([x, ends[0] - reach], [x, ends[1] + reach]));
            if control.stays.contains(&Direction::Upright) {
                ticks([x, ends[0]], [x, ends[1]], wide * 0.18, &mut items);
            }
            items.push(lined(Path::circle([x, (ends[0] + ends[1]) / 2.0], wide * 0.2)));
            marks(panel, control, &ends.map(|end| [x, end]), wide * 0.3, &mut items)?;
        }
        Form::Knob => {
            let radius = (height / 2.0).min(wide * 0.42);
            items.push(lined(Path::circle(middle, radius)));
            items.push(stroke(middle, [middle[0], middle[1] - radius]));
            let ends = [[middle[0] - radius, middle[1]], [middle[0] + radius, middle[1]]];
            marks(panel, control, &ends, wide * 0.3, &mut items)?;
        }
    }
    Ok(Drawn { items, height })
}

/// Discs for the ways that belong to a step.
fn marks(
    panel: &Panel,
    control: &Control,
    ends: &[[f64; 2]; 2],
    radius: f64,
    items: &mut Vec<Item>,
) -> Result<(), RenderError> {
    for (way, end) in control.ways.iter().zip(ends) {
        if let Some(number) = &way.step {
            items.push(filled(Path::circle(*end, radius)));
            step(panel, number, *end, items)?;
        }
    }
    Ok(())
}

/// The mark of what stays where it was left: ticks across the line along which it moves.
fn ticks(from: [f64; 2], to: [f64; 2], half: f64, items: &mut Vec<Item>) {
    const COUNT: u32 = 5;
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let long = libm::hypot(dx, dy).max(1e-9);
    let (nx, ny) = (-dy / long * half, dx / long * half);
    for n in 0..COUNT {
        let share = f64::from(n) / f64::from(COUNT - 1);
        let [x, y] = [from[0] + dx * share, from[1] + dy * share];
        items.push(Item::Path(Path::straight([x - nx, y - ny], [x + nx, y + ny], LINES[0], 0.0)));
    }
}

/// The words round a round thing.
struct Round<'a> {
    control: &'a Control,
    /// Up, down, left, right.
    sides: [Stack; 4],
    /// In the corner at the lower left, beside the words below, or in a line of its own below them.
    note: Stack,
    own_line: bool,
}

const SIDES: [Direction; 4] = [Direction::Up, Direction::Down, Direction::Left, Direction::Right];

impl<'a> Round<'a> {
    fn of(panel: &Panel, control: &'a Control, width: f64) -> Result<Self, RenderError> {
        let beside = width / 2.0 - ROUND * panel.size - APART[1];
        let side = |sense: Direction| {
            let room = if matches!(sense, Direction::Left | Direction::Right) { beside } else { width };
            let ways = control.ways.iter().filter(|way| way.side == Some(sense));
            let labels: Vec<Label> =
                ways.flat_map(|way| [bold(panel, &way.text), plain(panel, &way.more)]).collect();
            Stack::of(&labels, room)
        };
        let [up, down, left, right] = SIDES.map(side);
        let sides = [up?, down?, left?, right?];
        let note = |room: f64| Stack::of(&[plain(panel, &control.note)], room);
        let whole = note(width)?;
        // Beside the round thing where nothing else stands on its left, else beside the words below it, where that
        // costs no height.
        let (corner, free) = match sides[2].height > 0.0 {
            true => ((width - sides[1].width) / 2.0 - APART[1], sides[1].height),
            false => (beside, 2.0 * ROUND * panel.size),
        };
        match note(corner) {
            Ok(tucked) if tucked.height <= free => Ok(Self { control, sides, note: tucked, own_line: false }),
            _ => Ok(Self { control, sides, note: whole, own_line: true }),
        }
    }

    /// How far its words reach below the round thing.
    fn below(&self) -> f64 {
        self.sides[1].height + if self.own_line { self.note.height } else { 0.0 }
    }
}

/// Round things beside each other on one level.
fn round_bank(panel: &Panel, bank: &Bank, width: f64) -> Result<Drawn, RenderError> {
    let half = (width - APART[0]) / 2.0;
    let each = [(&bank.left, 0.0), (&bank.right, width - half)];
    let mut rounds = Vec::new();
    for (controls, x) in each {
        for control in controls {
            rounds.push((Round::of(panel, control, half)?, x));
        }
    }
    let radius = ROUND * panel.size;
    let most = |height: &dyn Fn(&Round<'_>) -> f64| {
        rounds.iter().map(|(round, _)| height(round)).fold(0.0, f64::max)
    };
    let up = most(&|round| round.sides[0].height);
    let middle = most(&|round| round.sides[2].height.max(round.sides[3].height).max(2.0 * radius));
    let down = most(&|round| round.below());
    let mut items = Vec::new();
    for (round, x) in &rounds {
        let centre = [x + half / 2.0, up + middle / 2.0];
        draw_round(panel, round, centre, [middle, up + middle + BELOW], half, &mut items)?;
    }
    Ok(Drawn { items, height: up + middle + BELOW + down })
}

fn draw_round(
    panel: &Panel,
    round: &Round<'_>,
    [x, y]: [f64; 2],
    [tall, below]: [f64; 2],
    half: f64,
    items: &mut Vec<Item>,
) -> Result<(), RenderError> {
    let radius = ROUND * panel.size;
    items.push(lined(Path::circle([x, y], radius)));
    let [up, down, left, right] = &round.sides;
    up.draw([x, y - tall / 2.0 - up.height], Align::Centre, items)?;
    down.draw([x, below], Align::Centre, items)?;
    left.draw([x - radius - APART[1], y - left.height / 2.0], Align::Right, items)?;
    right.draw([x + radius + APART[1], y - right.height / 2.0], Align::Left, items)?;
    if round.note.height > 0.0 {
        let (edge, top, align) = match (round.own_line, left.height > 0.0) {
            (true, _) => (x, below + down.height, Align::Centre),
            (false, true) => (x - half / 2.0, below, Align::Left),
            (false, false) => (x - radius - APART[1], y - round.note.height / 2.0, Align::Right),
        };
        round.note.draw([edge, top], align, items)?;
    }
    for (n, sense) in SIDES.into_iter().enumerate() {
        if round.sides[n].height <= 0.0 {
            continue;
        }
        let (ux, uy) = [(0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0)][n];
        let at = |share: f64| [x + ux * radius * share, y + uy * radius * share];
        items.push(stroke(at(0.0), at(0.8)));
        let line = if n < 2 { Direction::Upright } else { Direction::Sideways };
        if round.control.stays.contains(&line) {
            ticks(at(0.25), at(0.8), radius * 0.28, items);
        }
        let number =
            round.control.ways.iter().find(|way| way.side == Some(sense)).and_then(|way| way.step.as_ref());
        if let Some(number) = number {
            items.push(filled(Path::circle(at(STEP[1]), radius * STEP[0])));
            step(panel, number, at(STEP[1]), items)?;
        }
    }
    match &round.control.step {
        Some(number) => {
            items.push(filled(Path::circle([x, y], radius * STEP[0])));
            step(panel, number, [x, y], items)
        }
        None => {
            items.push(filled(Path::circle([x, y], radius * 0.14)));
            Ok(())
        }
    }
}
