//! The section `fittings`: what the boat carries beyond its channels.

use super::super::keys::boat::FITTINGS;
use super::super::model::{Fittings, IndicatorLight, Power, Snorkel};
use super::mistakes::{Block, Mistakes};
use super::text::shown;

pub(in crate::setup) const POWERS: &[(&str, Power)] =
    &[("switch", Power::Switch), ("remote switch", Power::RemoteSwitch), ("plug", Power::Plug)];

pub(in crate::setup) const SNORKELS: &[(&str, Snorkel)] =
    &[("float valve", Snorkel { float_valve: true }), ("open", Snorkel { float_valve: false })];

pub(super) fn fittings(mistakes: &mut Mistakes, top: &Block<'_>) -> Fittings {
    let mut all = Fittings::default();
    let Some(block) = mistakes.section(top, "fittings", &FITTINGS) else {
        return all;
    };
    all.power = mistakes.optional_word(&block, "power", POWERS);
    all.power_at = mistakes.optional_text(&block, "power_at");
    all.snorkel = mistakes.optional_word(&block, "snorkel", SNORKELS);
    all.aerial = mistakes.optional_text(&block, "aerial");
    all.leak_test = mistakes.optional_text(&block, "leak_test");
    all.couplings = texts(mistakes, &block, "couplings");
    all.closing = texts(mistakes, &block, "closing");
    if let Some(node) = block.get("lights")
        && let Some(lights) = mistakes.open_block(node, node.span, "`lights`")
    {
        for entry in lights.entries() {
            let what = format!("what the light `{}` means", shown(&entry.key));
            if let Some(means) = mistakes.text(&entry.value, &what) {
                all.lights.push(IndicatorLight { shows: entry.key.clone(), means: means.to_owned() });
            }
        }
    }
    all
}

fn texts(mistakes: &mut Mistakes, block: &Block<'_>, key: &str) -> Vec<String> {
    let Some(node) = block.get(key) else {
        return Vec::new();
    };
    let what = format!("a line of `{key}`");
    let mut all = Vec::new();
    for item in mistakes.one_or_list(node) {
        all.extend(mistakes.text(item, &what).map(str::to_owned));
    }
    all
}
