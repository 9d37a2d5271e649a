//! The mark on a card that was not checked. It is drawn by us on every page, not by the template,
//! so that no template can leave it out.

use super::font::{self, CAPITAL, Weight};
use super::scene::{Item, Page, Path, Scene, Segment, Squares, Text};
use super::{MM_PER_POINT, RenderError};

/// Thickness of the letters' outline. A copier loses pale grey, not a third of a millimetre of black;
/// an outline leaves the text below readable where a filled letter would not.
const OUTLINE: f64 = 0.35;

/// How much of a page the mark goes across, either way.
const CLEAR: f64 = 0.86;

/// Writes `across`, NOT CHECKED in the reader's language, over every page and `title` before the title.
///
/// # Errors
///
/// When the font has no glyph for a character of `across`.
pub fn mark_as_draft(scene: &mut Scene, title: &str, across: &str) -> Result<(), RenderError> {
    if !scene.title.contains(title) {
        scene.title = format!("{title}: {}", scene.title);
    }
    for page in &mut scene.pages {
        let per_point = font::width(across, 1.0, Weight::Bold)?;
        let tall = CAPITAL * MM_PER_POINT / per_point;
        // The largest size at which the turned letters keep to the margins of a page, which are 14 mm of 210.
        let angle = libm::atan(page.height / page.width).min(1.1);
        let (sin, cos) = libm::sincos(angle);
        let length = (page.width * CLEAR / (cos + tall * sin)).min(page.height * CLEAR / (sin + tall * cos));
        let size = length / per_point;
        let high = tall * length;
        // From the middle of the page back along the baseline and down by half a letter.
        let x = page.width / 2.0 - cos * length / 2.0 + sin * high / 2.0;
        let y = page.height / 2.0 + sin * length / 2.0 + cos * high / 2.0;
        let along = |share: f64| {
            [x + cos * length * share - sin * high / 2.0, y - sin * length * share - cos * high / 2.0]
        };
        let codes = if hidden(page, along) <= MOST_HIDDEN { lift_codes(page) } else { Vec::new() };
        page.items.push(Item::Text(Text {
            x,
            y,
            size,
            weight: Weight::Bold,
            grey: 0.0,
            text: across.to_owned(),
            turn: angle.to_degrees(),
            outline: Some(OUTLINE),
        }));
        for code in codes {
            page.items.push(Item::Path(ground(&code)));
            page.items.push(Item::Squares(code));
        }
    }
    Ok(())
}

/// A code with a line of the mark across it may not be read any more, so the codes lie above the mark, but only
/// as long as they leave most of it to be seen: no template gets rid of the mark with codes.
const MOST_HIDDEN: f64 = 0.5;

/// Which part of the middle line of the mark lies under codes.
fn hidden(page: &Page, along: impl Fn(f64) -> [f64; 2]) -> f64 {
    const POINTS: u32 = 200;
    let under = |[x, y]: [f64; 2]| {
        page.items.iter().any(|item| match item {
            Item::Squares(s) => (s.x..s.x + s.side).contains(&x) && (s.y..s.y + s.side).contains(&y),
            _ => false,
        })
    };
    let points = (0..POINTS).filter(|n| under(along((f64::from(*n) + 0.5) / f64::from(POINTS))));
    points.count() as f64 / f64::from(POINTS)
}

/// Takes the codes off a page.
fn lift_codes(page: &mut Page) -> Vec<Squares> {
    let mut codes = Vec::new();
    let rest = std::mem::take(&mut page.items).into_iter().filter_map(|item| match item {
        Item::Squares(code) => {
            codes.push(code);
            None
        }
        other => Some(other),
    });
    page.items = rest.collect();
    codes
}

/// The white ground of a code, its edge included.
fn ground(code: &Squares) -> Path {
    let ([x, y], [right, bottom]) = ([code.x, code.y], [code.x + code.side, code.y + code.side]);
    Path {
        start: [x, y],
        segments: [[right, y], [right, bottom], [x, bottom]].map(Segment::Line).into(),
        closed: true,
        line: None,
        line_grey: 0.0,
        dash: None,
        fill: Some(1.0),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn page(codes: &[[f64; 3]]) -> Scene {
        let code = |&[x, y, side]: &[f64; 3]| {
            Item::Squares(Squares { x, y, side, count: 29, runs: vec![(4, 4, 7)] })
        };
        let page =
            Page { width: 210.0, height: 297.0, items: codes.iter().map(code).collect(), ..Page::default() };
        Scene { title: "Sheet".into(), pages: vec![page] }
    }

    fn marked(codes: &[[f64; 3]]) -> Vec<Item> {
        let mut scene = page(codes);
        mark_as_draft(&mut scene, "DRAFT", "NOT CHECKED").unwrap();
        scene.pages.remove(0).items
    }

    #[test]
    fn a_code_lies_on_its_white_ground_above_the_mark() {
        let items = marked(&[[20.0, 100.0, 55.0], [80.0, 100.0, 55.0]]);
        let kinds: Vec<&str> = items
            .iter()
            .map(|item| match item {
                Item::Text(_) => "mark",
                Item::Path(_) => "ground",
                _ => "code",
            })
            .collect();
        assert_eq!(kinds, ["mark", "ground", "code", "ground", "code"]);
    }

    #[test]
    fn codes_that_would_hide_the_mark_lie_below_it() {
        for codes in
            [&[[0.0, 0.0, 297.0]][..], &[[20.0, 120.0, 90.0], [110.0, 30.0, 90.0], [10.0, 200.0, 60.0]]]
        {
            assert!(matches!(marked(codes).last(), Some(Item::Text(_))), "{codes:?}");
        }
    }
}
