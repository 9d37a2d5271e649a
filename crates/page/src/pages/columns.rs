//! Blocks half as wide as the page: they fill two columns of a page, the left one first, and where all that is left has
//! room both columns end about as far down.

use super::{Filler, MOST_PAGES, TOLERANCE, Unit};
use crate::RenderError;
use crate::draw::{Drawn, sheet_error, shifted};
use crate::scene::Heading;
use crate::sheet::Block;

/// How often the height of two columns that are to end together is halved: of any page less than a hundredth of a
/// millimetre is left.
const HALVINGS: usize = 16;

/// A unit on its way into a column.
struct Placed<'a> {
    unit: &'a Unit,
    /// Of the first unit of a block: its entry in the outline.
    heading: Option<(&'a String, bool)>,
    /// Clear above it, unless it begins a column.
    gap: f64,
    block: &'a str,
}

impl Placed<'_> {
    /// What it adds to a column that reaches so far down already.
    fn height(&self, below: f64) -> f64 {
        let above = match &self.unit.head {
            _ if below > 0.0 => self.gap,
            Some(head) => head.height,
            None => 0.0,
        };
        above + self.unit.height()
    }
}

/// How many of these a column of this height takes, and how far down they reach.
fn filled(all: &[Placed<'_>], height: f64) -> (usize, f64) {
    let mut bottom = 0.0;
    for (n, placed) in all.iter().enumerate() {
        let next = bottom + placed.height(bottom);
        if next > height + TOLERANCE {
            return (n, bottom);
        }
        bottom = next;
    }
    (all.len(), bottom)
}

/// Whether two columns of this height take all.
fn takes(all: &[Placed<'_>], height: f64) -> bool {
    let (first, _) = filled(all, height);
    filled(&all[first..], height).0 == all.len() - first
}

/// The least height, as far as it matters, of two columns that take all within a room, if they do.
fn least(all: &[Placed<'_>], room: f64) -> Option<f64> {
    if !takes(all, room) {
        return None;
    }
    let (mut low, mut high) = (0.0, room);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if takes(all, middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

impl Filler {
    /// Places blocks in two columns, the second so far to the right.
    pub(super) fn columns(&mut self, blocks: &[(&Block, Vec<Unit>)], right: f64) -> Result<(), RenderError> {
        let mut all = Vec::new();
        for (block, units) in blocks {
            for (n, unit) in units.iter().enumerate() {
                let heading = block.heading.as_ref().filter(|_| n == 0).map(|title| (title, block.inner));
                let gap = if n == 0 { self.gap + block.above } else { 0.0 };
                all.push(Placed { unit, heading, gap, block: &block.name });
            }
        }
        let mut rest = &all[..];
        while !rest.is_empty() {
            let gap = if self.is_fresh() { 0.0 } else { self.gap };
            let room = self.room - self.body().bottom - gap;
            let height = least(rest, room).unwrap_or(room);
            let (first, left) = filled(rest, height);
            let (second, other) = filled(&rest[first..], height);
            if first == 0 {
                if self.is_fresh() {
                    return Err(RenderError::Overflow { blocks: vec![rest[0].block.to_owned()] });
                }
                self.turn();
                continue;
            }
            let top = self.body().bottom + gap;
            self.column(&rest[..first], (0.0, top));
            self.column(&rest[first..first + second], (right, top));
            self.body().bottom = top + left.max(other);
            rest = &rest[first + second..];
            if !rest.is_empty() {
                self.turn();
            }
            if self.bodies.len() > MOST_PAGES {
                return Err(sheet_error("the sheet fills more than 500 pages"));
            }
        }
        Ok(())
    }

    fn column(&mut self, all: &[Placed<'_>], (x, top): (f64, f64)) {
        let mut bottom = 0.0;
        for placed in all {
            let begins = bottom <= 0.0;
            let mut y = if begins { 0.0 } else { bottom + placed.gap };
            if let Some((title, inner)) = placed.heading {
                self.body().headings.push(Heading { title: title.clone(), inner, y: top + y });
            }
            let head = placed.unit.head.iter().filter(|_| begins);
            let pieces: Vec<&Drawn> = head.chain(&placed.unit.pieces).collect();
            for piece in pieces {
                let items = shifted(piece.items.clone(), x, top + y);
                self.body().items.extend(items);
                y += piece.height;
            }
            bottom = y;
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::pages::flow;
    use crate::sheet::read;
    use crate::{Item, Scene, Text};

    fn scene(count: usize) -> Scene {
        let block = |n: usize| {
            format!(
                "- {{name: b{n}, half: true, heading: b{n}, parts: [{{words: {{text: b{n}, size: 8}}}}, {{space: 5}}]}}\n"
            )
        };
        let blocks: String = (1..=count).map(block).collect();
        let end = "- {name: end, parts: [{words: {text: end, size: 8}}]}\n";
        let page = "title: T\npage: {width: 60, height: 60, margin: 5, gap: 2, gutter: 4}\nblocks:\n";
        flow(&read(&format!("{page}{blocks}{end}")).unwrap()).unwrap()
    }

    fn texts(scene: &Scene, page: usize) -> Vec<Text> {
        let items = scene.pages[page].items.iter();
        items.filter_map(|item| if let Item::Text(text) = item { Some(text.clone()) } else { None }).collect()
    }

    #[test]
    fn two_columns_end_about_as_far_down_and_what_follows_stands_below_both() {
        let scene = scene(5);
        assert_eq!(scene.pages.len(), 1);
        let all = texts(&scene, 0);
        let left: Vec<&str> = all.iter().filter(|t| t.x < 30.0).map(|t| t.text.as_str()).collect();
        let right: Vec<&str> = all.iter().filter(|t| t.x > 30.0).map(|t| t.text.as_str()).collect();
        assert_eq!((left, right), (vec!["b1", "b2", "b3", "end"], vec!["b4", "b5"]));
        let y = |name: &str| all.iter().find(|t| t.text == name).unwrap().y;
        assert!((y("b1") - y("b4")).abs() < 1e-9 && y("end") > y("b3") + 5.0);
        assert_eq!(scene.pages[0].headings.len(), 5);
    }

    #[test]
    fn what_has_no_room_goes_on_on_the_next_page_and_nothing_is_lost() {
        for count in 1..40 {
            let scene = scene(count);
            let all: Vec<String> =
                (0..scene.pages.len()).flat_map(|page| texts(&scene, page)).map(|t| t.text).collect();
            let wanted: Vec<String> =
                (1..=count).map(|n| format!("b{n}")).chain(["end".to_owned()]).collect();
            assert_eq!(all, wanted, "{count}");
        }
    }
}
