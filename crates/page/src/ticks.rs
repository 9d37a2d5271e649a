//! Boxes to tick, one behind the other: each stays with its words, and lines are filled as they come.

use super::draw::{Drawn, line_of};
use super::font::{self, ascent, line_height};
use super::scene::{Item, Path};
use super::sheet::{Align, Ticks};
use super::{MM_PER_POINT, RenderError, Weight};

/// Side of a box for each point of size, between it and its words, and between two of them.
const BOX: f64 = 0.27;
const CLEAR: [f64; 2] = [0.9, 2.6];
const LINE: f64 = 0.35;

/// Draws them as wide as there is room.
pub(super) fn draw(ticks: &Ticks, width: f64) -> Result<Drawn, RenderError> {
    let side = BOX * ticks.size;
    let indent = side + CLEAR[0];
    let step = line_height(ticks.size);
    let mut items = Vec::new();
    let (mut x, mut y) = (0.0, 0.0);
    for text in &ticks.items {
        let wide = indent + font::width(text, ticks.size, Weight::Regular)?;
        if x > 0.0 && x + wide > width {
            (x, y) = (0.0, y + step);
        }
        let base = y + ascent(ticks.size);
        let capital = font::CAPITAL * ticks.size * MM_PER_POINT;
        let top = base - capital / 2.0 - side / 2.0;
        items.push(Item::Path(Path { line: Some(LINE), ..Path::rounded([x, top], [side, side], 0.0) }));
        let lines = font::wrap(text, ticks.size, Weight::Regular, width - x - indent)?;
        for (n, line) in lines.iter().enumerate() {
            let place = (x + indent, base + step * n as f64);
            items.push(line_of(line, place, ticks.size, Weight::Regular, Align::Left)?);
        }
        // What broke its line has the rest of it.
        if lines.len() > 1 {
            (x, y) = (0.0, y + step * lines.len() as f64);
        } else {
            x += wide + CLEAR[1];
        }
    }
    let height = if x > 0.0 { y + step } else { y };
    Ok(Drawn { items, height })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn ticks(items: &[&str]) -> Ticks {
        Ticks { size: 8.0, items: items.iter().map(|&text| text.to_owned()).collect() }
    }

    #[test]
    fn a_box_never_parts_from_its_words_and_no_line_is_wider_than_the_room() {
        let all = ticks(&["gas in", "tube capped", "plug of the stern servo joined", "lights"]);
        let mut before = f64::INFINITY;
        for width in 30..140 {
            let drawn = draw(&all, f64::from(width)).unwrap();
            assert!(drawn.height <= before + 1e-9, "wider and higher at {width}");
            before = drawn.height;
            for item in &drawn.items {
                if let Item::Text(text) = item {
                    let end = text.x + font::width(&text.text, text.size, text.weight).unwrap();
                    assert!(end <= f64::from(width) + 1e-6, "{text:?}");
                }
            }
        }
        assert!((before - line_height(8.0)).abs() < 1e-9, "all four in one line");
    }
}
