//! The mark on a card that was not checked. It is drawn by us on every page, not by the template,
//! so that no template can leave it out.

use super::font::{self, CAPITAL, Weight};
use super::scene::{Item, Scene, Text};
use super::{MM_PER_POINT, RenderError};

/// Thickness of the letters' outline. A copier loses pale grey, not a third of a millimetre of black;
/// an outline leaves the text below readable where a filled letter would not.
const OUTLINE: f64 = 0.35;

/// Writes `across`, NOT CHECKED in the reader's language, over every page and `title` before the title.
pub fn mark_as_draft(scene: &mut Scene, title: &str, across: &str) -> Result<(), RenderError> {
    if !scene.title.contains(title) {
        scene.title = format!("{title}: {}", scene.title);
    }
    for page in &mut scene.pages {
        let per_point = font::width(across, 1.0, Weight::Bold)?;
        let tall = CAPITAL * MM_PER_POINT / per_point;
        // The largest size at which the turned letters stay clear of the edges.
        let angle = libm::atan(page.height / page.width).min(1.1);
        let (sin, cos) = libm::sincos(angle);
        let length = (page.width * 0.88 / (cos + tall * sin)).min(page.height * 0.88 / (sin + tall * cos));
        let size = length / per_point;
        let high = tall * length;
        // From the middle of the page back along the baseline and down by half a letter.
        let x = page.width / 2.0 - cos * length / 2.0 + sin * high / 2.0;
        let y = page.height / 2.0 + sin * length / 2.0 + cos * high / 2.0;
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
    }
    Ok(())
}
