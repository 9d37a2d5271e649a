//! Pages on larger paper: several copies of a card with crop marks, or the pages of a booklet in
//! the order in which they come right when the sheets are folded.

use super::draw::{line_of, shifted};
use super::scene::{Item, Page, Path, Scene};
use super::sheet::Align;
use super::{RenderError, Weight};

/// What a desk printer cannot print on, at every edge.
const UNPRINTABLE: f64 = 6.0;
/// Clear between cards: room for two crop marks.
const BETWEEN: f64 = 10.0;
/// A crop mark begins so far from the card and is so long.
const MARK: [f64; 2] = [1.0, 3.5];
const MARK_LINE: f64 = 0.15;
/// The bar by which somebody sees that the printer did not scale.
const BAR: f64 = 50.0;
/// Room that the bar takes at the foot.
const BAR_ROOM: f64 = 8.0;

/// Lays as many copies as the paper holds on one sheet. A scene of two pages is meant for both
/// sides of the paper, turned over along its upright edge.
///
/// # Errors
///
/// When not one copy fits the paper.
pub fn copies(scene: &Scene, paper: [f64; 2], bar_words: &str) -> Result<Scene, RenderError> {
    let Some(first) = scene.pages.first() else { return Ok(scene.clone()) };
    let [card_width, card_height] = [first.width, first.height];
    let number = |paper: f64, card: f64, lost: f64| {
        ((paper - 2.0 * UNPRINTABLE - lost - 2.0 * MARK.iter().sum::<f64>() + BETWEEN) / (card + BETWEEN))
            .floor()
    };
    let grid = |[w, h]: [f64; 2]| [number(w, card_width, 0.0), number(h, card_height, BAR_ROOM)];
    let turned = [paper[1], paper[0]];
    let held = |size| grid(size).into_iter().map(|n| n.max(0.0)).product::<f64>();
    // Upright where it holds as many.
    let [width, height] = if held(turned) > held(paper) { turned } else { paper };
    let [across, down] = grid([width, height]);
    if across < 1.0 || down < 1.0 {
        return Err(RenderError::Overflow {
            blocks: vec!["the card and its crop marks on this paper".into()],
        });
    }
    let total = |n: f64, card: f64| n * card + (n - 1.0) * BETWEEN;
    let left = (width - total(across, card_width)) / 2.0;
    let top = (height - BAR_ROOM - total(down, card_height)) / 2.0;
    let mut pages = Vec::new();
    for (side, page) in scene.pages.iter().enumerate() {
        let mut items = Vec::new();
        for row in 0..down as usize {
            for column in 0..across as usize {
                // All copies are alike, so a back always meets its front; the outer edges must too.
                let x = left + column as f64 * (card_width + BETWEEN);
                let y = top + row as f64 * (card_height + BETWEEN);
                items.extend(shifted(page.items.clone(), x, y));
                if side == 0 {
                    items.extend(crop_marks([x, y], [card_width, card_height]));
                }
            }
        }
        items.extend(bar(left, height - UNPRINTABLE - BAR_ROOM / 2.0, bar_words)?);
        pages.push(Page { width, height, items, headings: Vec::new() });
    }
    Ok(Scene { title: scene.title.clone(), pages })
}

fn crop_marks([x, y]: [f64; 2], [width, height]: [f64; 2]) -> Vec<Item> {
    let [clear, long] = MARK;
    let mut marks = Vec::new();
    for (corner_x, out_x) in [(x, -1.0), (x + width, 1.0)] {
        for (corner_y, out_y) in [(y, -1.0), (y + height, 1.0)] {
            let sideways = [corner_x + out_x * clear, corner_x + out_x * (clear + long)];
            let upright = [corner_y + out_y * clear, corner_y + out_y * (clear + long)];
            marks.push(Path::straight([sideways[0], corner_y], [sideways[1], corner_y], MARK_LINE, 0.0));
            marks.push(Path::straight([corner_x, upright[0]], [corner_x, upright[1]], MARK_LINE, 0.0));
        }
    }
    marks.into_iter().map(Item::Path).collect()
}

fn bar(x: f64, y: f64, words: &str) -> Result<Vec<Item>, RenderError> {
    let tick = |x: f64| Path::straight([x, y - 1.5], [x, y + 1.5], 0.25, 0.0);
    let mut items = vec![
        Item::Path(Path::straight([x, y], [x + BAR, y], 0.25, 0.0)),
        Item::Path(tick(x)),
        Item::Path(tick(x + BAR)),
    ];
    items.push(line_of(words, (x + BAR + 2.5, y + 1.0), 8.0, Weight::Regular, Align::Left)?);
    Ok(items)
}

/// Dash and gap of the line along which a card is folded.
const FOLD: [f64; 2] = [1.5, 1.5];

/// Front and back of a card on one page, the back below the front: folded along the broken line,
/// it is read by turning it over its upper edge. A scene of one page stays as it is.
pub fn folded(scene: &Scene) -> Scene {
    let [front, back] = &scene.pages[..] else { return scene.clone() };
    let mut items = front.items.clone();
    items.extend(shifted(back.items.clone(), 0.0, front.height));
    let line = Path::straight([0.0, front.height], [front.width, front.height], MARK_LINE, 0.0);
    items.push(Item::Path(Path { dash: Some(FOLD), ..line }));
    let page = Page { width: front.width, height: front.height + back.height, items, headings: Vec::new() };
    Scene { title: scene.title.clone(), pages: vec![page] }
}

/// Two pages beside each other on each side of the paper, so that the sheets, printed on both sides
/// (turned over along the short edge), laid together and folded, make a booklet.
///
/// # Errors
///
/// When two pages do not lie beside each other on the paper.
pub fn booklet(scene: &Scene, paper: [f64; 2]) -> Result<Scene, RenderError> {
    let Some(first) = scene.pages.first() else { return Ok(scene.clone()) };
    let (width, height) = (paper[0].max(paper[1]), paper[0].min(paper[1]));
    // Two A5 pages are 296 mm wide and A4 is 297.
    if 2.0 * first.width > width + 0.01 || first.height > height + 0.01 {
        return Err(RenderError::Overflow {
            blocks: vec!["two pages beside each other on this paper".into()],
        });
    }
    let count = scene.pages.len().next_multiple_of(4);
    let middle = width / 2.0;
    let top = (height - first.height) / 2.0;
    let mut pages = Vec::new();
    for side in 0..count / 2 {
        // Outer pages first: the last and the first, then the second and the last but one.
        let (outer, inner) = (count - 1 - side, side);
        let [left, right] = if side % 2 == 0 { [outer, inner] } else { [inner, outer] };
        let mut items = Vec::new();
        for (number, x) in [(left, middle - first.width), (right, middle)] {
            if let Some(page) = scene.pages.get(number) {
                items.extend(shifted(page.items.clone(), x, top));
            }
        }
        pages.push(Page { width, height, items, headings: Vec::new() });
    }
    Ok(Scene { title: scene.title.clone(), pages })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{booklet, copies, folded};
    use crate::{Item, Page, Scene, Text, Weight};

    fn scene(pages: usize, [width, height]: [f64; 2]) -> Scene {
        let page = |n: usize| Page {
            width,
            height,
            items: vec![Item::Text(Text {
                x: 1.0,
                y: 5.0,
                size: 8.0,
                weight: Weight::Regular,
                grey: 0.0,
                text: format!("{}", n + 1),
                turn: 0.0,
                outline: None,
            })],
            headings: Vec::new(),
        };
        Scene { title: "T".into(), pages: (0..pages).map(page).collect() }
    }

    fn texts(page: &Page) -> Vec<(String, f64)> {
        let of = |item: &Item| match item {
            Item::Text(text) => Some((text.text.clone(), text.x)),
            _ => None,
        };
        page.items.iter().filter_map(of).collect()
    }

    #[test]
    fn eight_pages_fold_into_a_booklet() {
        // Worked out by folding paper: 8 1 / 2 7 / 6 3 / 4 5.
        let folded = booklet(&scene(8, [148.0, 210.0]), [210.0, 297.0]).unwrap();
        let order: Vec<Vec<String>> =
            folded.pages.iter().map(|p| texts(p).into_iter().map(|(t, _)| t).collect()).collect();
        assert_eq!(order, [["8", "1"], ["2", "7"], ["6", "3"], ["4", "5"]]);
        // Five pages leave three blank ones, and nothing is moved out of its half.
        let folded = booklet(&scene(5, [148.0, 210.0]), [210.0, 297.0]).unwrap();
        let first: Vec<_> = texts(&folded.pages[0]);
        assert_eq!(first.len(), 1);
        assert!(first[0].1 > 148.5);
    }

    #[test]
    fn a_folded_card_has_its_back_below_its_front() {
        let flat = folded(&scene(2, [105.0, 74.0]));
        assert_eq!(flat.pages.len(), 1);
        assert!((flat.pages[0].height - 148.0).abs() < 1e-9);
        assert_eq!(folded(&scene(1, [105.0, 74.0])), scene(1, [105.0, 74.0]));
    }

    #[test]
    fn a4_holds_four_cards_of_the_usual_size_and_none_as_large_as_itself() {
        let laid = copies(&scene(2, [105.0, 74.0]), [210.0, 297.0], "50 mm").unwrap();
        assert_eq!(laid.pages.len(), 2);
        for page in &laid.pages {
            let cards = texts(page).iter().filter(|(t, _)| t != "50 mm").count();
            assert_eq!(cards, 4);
            assert!((page.width - 297.0).abs() < 1e-9);
        }
        assert!(copies(&scene(1, [210.0, 297.0]), [210.0, 297.0], "50 mm").is_err());
    }
}
