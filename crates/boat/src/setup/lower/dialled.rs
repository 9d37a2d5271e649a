//! What is set in a unit's own menus.

use super::mistakes::{Block, Mistakes};
use super::text::shown;

/// Menus with their values, as written: the program knows no unit's menus.
pub(super) fn dialled(mistakes: &mut Mistakes, block: &Block<'_>) -> Vec<(String, String)> {
    let Some(node) = block.get("dialled") else {
        return Vec::new();
    };
    let Some(menus) = mistakes.open_block(node, node.span, "`dialled`") else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for entry in menus.entries() {
        let what = format!("what `{}` is set to", shown(&entry.key));
        if let Some(value) = mistakes.text(&entry.value, &what) {
            all.push((entry.key.clone(), value.to_owned()));
        }
    }
    all
}
