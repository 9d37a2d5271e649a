//! Sticks and what else is moved four ways: a round thing with words on its sides, as somebody who holds
//! it sees it. Several stand beside each other on one level. Words break into lines and the drawing
//! grows with them; its name and its note find a corner that is free, or get a line of their own.

use super::RenderError;
use super::draw::{Drawn, grey, line_of, sheet_error, shifted};
use super::font::{self, ascent, line_height};
use super::scene::{Item, Path};
use super::sheet::{Align, Cross, Crosses, Label};

/// The round thing moves to the right by so much where its name needs the room.
const SHIFTS: [f64; 3] = [0.0, 1.2, 2.4];
/// Clear between two texts beside each other, and from a name or note to what is no part of it.
const APART: [f64; 2] = [0.8, 2.0];
/// Sums of lengths are floats; this much is no meeting.
const TOLERANCE: f64 = 0.01;
/// Clear between the round thing and the words above and below it.
const ABOVE: f64 = 0.4;
/// Thickness of the circle and of its arrows.
const LINES: [f64; 2] = [0.35, 0.5];
/// Length of the head of an arrow.
const HEAD: f64 = 2.0;

/// Where a name or a note stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Corner {
    OneLine,
    Broken,
    /// Above all or below all.
    Own,
}

const CORNERS: [Corner; 3] = [Corner::OneLine, Corner::Broken, Corner::Own];

/// Texts below each other, broken into lines.
#[derive(Clone, Default)]
pub(super) struct Stack {
    lines: Vec<(Label, f64)>,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Stack {
    pub(super) fn of<'a>(
        labels: impl IntoIterator<Item = &'a Label>,
        room: f64,
    ) -> Result<Self, RenderError> {
        let mut stack = Self::default();
        for label in labels.into_iter().filter(|label| !label.text.is_empty()) {
            for text in font::wrap(&label.text, label.size, label.weight, room)? {
                let wide = font::width(&text, label.size, label.weight)?;
                stack.width = stack.width.max(wide);
                stack.height += line_height(label.size);
                stack.lines.push((Label { text, ..label.clone() }, wide));
            }
        }
        Ok(stack)
    }

    pub(super) fn draw(
        &self,
        [x, top]: [f64; 2],
        align: Align,
        items: &mut Vec<Item>,
    ) -> Result<(), RenderError> {
        let mut y = top;
        for (label, _) in &self.lines {
            let place = (x, y + ascent(label.size));
            items.push(grey(line_of(&label.text, place, label.size, label.weight, align)?, 0.0));
            y += line_height(label.size);
        }
        Ok(())
    }
}

/// A rectangle: left, top, right, bottom.
type Area = [f64; 4];

fn meet(a: Area, b: Area, apart: f64) -> bool {
    let down = a[3].min(b[3]) - a[1].max(b[1]);
    a[0] < b[2] + apart && b[0] < a[2] + apart && down > TOLERANCE
}

/// A cross with its words broken.
struct Set {
    up: Stack,
    down: Stack,
    /// Left and right for each shift; none where a word finds no room.
    sides: [Option<[Stack; 2]>; 3],
    name: [Stack; 2],
    note: [Stack; 2],
}

impl Set {
    fn of(all: &Crosses, cross: &Cross, width: f64) -> Result<Self, RenderError> {
        let reach = all.radius + all.clear;
        let mut wide = None;
        let sides = SHIFTS.map(|shift| {
            let left = Stack::of(&cross.left, width / 2.0 + shift - reach);
            let right = Stack::of(&cross.right, width / 2.0 - shift - reach);
            match (left, right) {
                (Ok(left), Ok(right)) => Some([left, right]),
                (Err(error), _) | (_, Err(error)) => {
                    wide.get_or_insert(error);
                    None
                }
            }
        });
        if let (true, Some(error)) = (sides.iter().all(Option::is_none), wide) {
            return Err(error);
        }
        let broken =
            |label: &Option<Label>, least: f64| Stack::of(label, widest_word(label)?.max(least).min(width));
        Ok(Self {
            up: Stack::of(&cross.up, width)?,
            down: Stack::of(&cross.down, width)?,
            sides,
            name: [Stack::of(&cross.name, width)?, broken(&cross.name, 0.0)?],
            note: [Stack::of(&cross.note, width)?, broken(&cross.note, width / 2.0 - reach)?],
        })
    }
}

fn widest_word(label: &Option<Label>) -> Result<f64, RenderError> {
    let Some(label) = label else { return Ok(0.0) };
    let mut words = label.text.split(' ').map(|word| font::width(word, label.size, label.weight));
    words.try_fold(0.0, |widest, width| Ok(f64::max(widest, width?)))
}

/// How high the rows are that all share.
struct Rows {
    head: f64,
    up: f64,
    middle: f64,
    down: f64,
    foot: f64,
}

impl Rows {
    fn height(&self) -> f64 {
        self.head + self.up + self.middle + self.down + self.foot
    }
}

/// Draws them into a width: beside each other, or below each other where a word needs it all.
pub(super) fn draw(all: &Crosses, width: f64) -> Result<Drawn, RenderError> {
    let beside = in_a_row(all, &all.crosses, width);
    if all.crosses.len() < 2 || !matches!(beside, Err(RenderError::TooWide { .. })) {
        return beside;
    }
    let mut stacked = Drawn { items: Vec::new(), height: 0.0 };
    for cross in &all.crosses {
        let one = in_a_row(all, std::slice::from_ref(cross), width)?;
        stacked.height += if stacked.height > 0.0 { all.clear } else { 0.0 };
        stacked.items.extend(shifted(one.items, 0.0, stacked.height));
        stacked.height += one.height;
    }
    Ok(stacked)
}

fn in_a_row(all: &Crosses, crosses: &[Cross], width: f64) -> Result<Drawn, RenderError> {
    let count = crosses.len().max(1) as f64;
    let each = (width - all.gutter * (count - 1.0)) / count;
    if !(all.radius > 0.0 && all.radius * 2.0 < each) {
        return Err(sheet_error("a cross needs a radius above 0 and a width of more than two of them"));
    }
    let sets = crosses.iter().map(|cross| Set::of(all, cross, each)).collect::<Result<Vec<_>, _>>()?;
    let mut best: Option<(Rows, usize, Corner, Corner)> = None;
    for shift in 0..SHIFTS.len() {
        if sets.iter().any(|set| set.sides[shift].is_none()) {
            continue;
        }
        for name in CORNERS {
            for note in CORNERS {
                let rows = rows(all, &sets, shift, name, note);
                let lower = best.as_ref().is_none_or(|(other, ..)| rows.height() < other.height() - 0.01);
                if lower && sets.iter().all(|set| is_clear(all, set, &rows, each, (shift, name, note))) {
                    best = Some((rows, shift, name, note));
                }
            }
        }
    }
    let Some((rows, shift, name, note)) = best else {
        // With name and note in lines of their own nothing is left to meet but the words of one side.
        let text =
            all.crosses.iter().flat_map(|c| &c.left).map(|l| l.text.clone()).next().unwrap_or_default();
        return Err(RenderError::TooWide { text });
    };
    let mut items = Vec::new();
    for (n, (cross, set)) in crosses.iter().zip(&sets).enumerate() {
        let left = n as f64 * (each + all.gutter);
        let middle = left + each / 2.0 + SHIFTS[shift];
        let centre = rows.head + rows.up + rows.middle / 2.0;
        round(all, cross, [middle, centre], &mut items);
        let name_at = match name {
            Corner::Own => (middle, 0.0, Align::Centre),
            _ => (left, 0.0, Align::Left),
        };
        set.name[usize::from(name == Corner::Broken)].draw([name_at.0, name_at.1], name_at.2, &mut items)?;
        set.up.draw([middle, rows.head + rows.up - ABOVE - set.up.height], Align::Centre, &mut items)?;
        if let Some([west, east]) = &set.sides[shift] {
            let reach = all.radius + all.clear;
            west.draw([middle - reach, centre - west.height / 2.0], Align::Right, &mut items)?;
            east.draw([middle + reach, centre - east.height / 2.0], Align::Left, &mut items)?;
        }
        let below = rows.head + rows.up + rows.middle + ABOVE;
        set.down.draw([middle, below], Align::Centre, &mut items)?;
        let stack = &set.note[usize::from(note == Corner::Broken)];
        let top = rows.height() - stack.height;
        let (x, align) = if note == Corner::Own { (middle, Align::Centre) } else { (left, Align::Left) };
        stack.draw([x, top], align, &mut items)?;
    }
    Ok(Drawn { items, height: rows.height() })
}

fn rows(all: &Crosses, sets: &[Set], shift: usize, name: Corner, note: Corner) -> Rows {
    let most = |of: &dyn Fn(&Set) -> f64| sets.iter().map(of).fold(0.0, f64::max);
    let own = |corner: Corner, of: &dyn Fn(&Set) -> f64| if corner == Corner::Own { most(of) } else { 0.0 };
    let side = |set: &Set| {
        let heights = set.sides[shift].iter().flatten().map(|side| side.height);
        heights.fold(0.0, f64::max)
    };
    Rows {
        head: own(name, &|set| set.name[0].height),
        up: most(&|set| set.up.height) + ABOVE,
        middle: most(&side).max(2.0 * all.radius),
        down: most(&|set| set.down.height) + ABOVE,
        foot: own(note, &|set| set.note[0].height),
    }
}

/// Whether no words of a cross meet others.
fn is_clear(
    all: &Crosses,
    set: &Set,
    rows: &Rows,
    width: f64,
    (shift, name, note): (usize, Corner, Corner),
) -> bool {
    let middle = width / 2.0 + SHIFTS[shift];
    let centre = rows.head + rows.up + rows.middle / 2.0;
    let reach = all.radius + all.clear;
    let mut taken: Vec<Area> = Vec::new();
    let add = |taken: &mut Vec<Area>, stack: &Stack, left: f64, top: f64, apart: f64| {
        if stack.lines.is_empty() {
            return true;
        }
        let area = [left, top, left + stack.width, top + stack.height];
        let inside = area[0] >= -TOLERANCE && area[2] <= width + TOLERANCE;
        let free = inside && !taken.iter().any(|other| meet(area, *other, apart));
        taken.push(area);
        free
    };
    let centred = |stack: &Stack| middle - stack.width / 2.0;
    let Some([west, east]) = &set.sides[shift] else { return false };
    let mut clear = true;
    for (stack, left, top) in [
        (&set.up, centred(&set.up), rows.head + rows.up - ABOVE - set.up.height),
        (&set.down, centred(&set.down), rows.head + rows.up + rows.middle + ABOVE),
        (west, middle - reach - west.width, centre - west.height / 2.0),
        (east, middle + reach, centre - east.height / 2.0),
    ] {
        clear &= add(&mut taken, stack, left, top, APART[0]);
    }
    let radius = all.radius;
    taken.push([middle - radius, centre - radius, middle + radius, centre + radius]);
    for (stacks, corner, at_foot) in [(&set.name, name, false), (&set.note, note, true)] {
        let stack = &stacks[usize::from(corner == Corner::Broken)];
        let left = if corner == Corner::Own { centred(stack) } else { 0.0 };
        let top = if at_foot { rows.height() - stack.height } else { 0.0 };
        clear &= add(&mut taken, stack, left, top, APART[1]);
    }
    clear
}

fn round(all: &Crosses, cross: &Cross, [x, y]: [f64; 2], items: &mut Vec<Item>) {
    let r = all.radius;
    let [thin, thick] = LINES;
    items.push(Item::Path(Path { line: Some(thin), ..Path::circle([x, y], r) }));
    items.push(Item::Path(Path { fill: Some(0.0), ..Path::circle([x, y], r * 0.2) }));
    let sides = [
        (&cross.up, [0.0, -1.0]),
        (&cross.down, [0.0, 1.0]),
        (&cross.left, [-1.0, 0.0]),
        (&cross.right, [1.0, 0.0]),
    ];
    for (words, [dx, dy]) in sides {
        if words.is_empty() {
            continue;
        }
        let at = |part: f64| [x + dx * r * part, y + dy * r * part];
        let tip = at(0.9);
        let head = HEAD.min(r * 0.45);
        let base = [tip[0] - dx * head, tip[1] - dy * head];
        items.push(Item::Path(Path::straight(at(0.32), base, thick, 0.0)));
        let half = head * 0.42;
        let wings =
            [tip, [base[0] - dy * half, base[1] + dx * half], [base[0] + dy * half, base[1] - dx * half]];
        items.push(Item::Path(Path::polygon(&wings, Some(0.0), None)));
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::draw;
    use crate::sheet::{Cross, Crosses, Label};
    use crate::{Item, RenderError, Text, Weight};

    fn label(text: &str) -> Label {
        Label { text: text.into(), size: 7.0, weight: Weight::Regular }
    }

    fn crosses(words: [&str; 4]) -> Crosses {
        let [up, down, left, right] = words.map(|text| vec![label(text)]);
        let cross = Cross {
            name: Some(label("LEFT STICK")),
            note: Some(label("stays where left")),
            up,
            down,
            left,
            right,
        };
        Crosses { radius: 4.0, clear: 1.0, gutter: 0.0, crosses: vec![cross.clone(), cross] }
    }

    fn texts(all: &Crosses, width: f64) -> Vec<Text> {
        let items = draw(all, width).unwrap().items.into_iter();
        items.filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
    }

    #[test]
    fn the_drawing_grows_with_its_words_and_both_circles_stand_level() {
        let short = crosses(["ahead", "astern", "port", "right"]);
        let mut long = short.clone();
        long.crosses[1].up = vec![label(&"a very long word for it ".repeat(6))];
        let [low, high] = [&short, &long].map(|all| draw(all, 80.0).unwrap().height);
        assert!(high > low + 2.0, "{low} and {high}");
        let level: Vec<f64> = texts(&long, 80.0).iter().filter(|t| t.text == "right").map(|t| t.y).collect();
        assert_eq!(level.len(), 2);
        assert!((level[0] - level[1]).abs() < 1e-9);
    }

    #[test]
    fn words_never_meet_and_stay_inside_whatever_their_length() {
        for up in [1, 3, 9] {
            for side in [1, 2, 8] {
                let (above, beside) = ("ahead ".repeat(up), "turn ".repeat(side));
                let all = crosses([above.trim(), "astern", beside.trim(), beside.trim()]);
                let texts = texts(&all, 78.0);
                for (n, a) in texts.iter().enumerate() {
                    let width = |t: &Text| crate::font::width(&t.text, t.size, t.weight).unwrap();
                    assert!(a.x > -0.02 && a.x + width(a) < 78.02, "{a:?}");
                    for b in &texts[..n] {
                        let across = a.x < b.x + width(b) && b.x < a.x + width(a);
                        assert!(!across || (a.y - b.y).abs() > 2.0, "{a:?} and {b:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_word_without_room_beside_the_circle_is_named() {
        let all = crosses(["ahead", "astern", "counterclockwisemost", "right"]);
        let error = draw(&all, 40.0).map(|drawn| drawn.height).unwrap_err();
        assert_eq!(error, RenderError::TooWide { text: "counterclockwisemost".into() });
    }
}
