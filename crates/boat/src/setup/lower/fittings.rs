//! The section `fittings`: what the boat carries beyond its channels.

use super::super::keys::boat::FITTINGS;
use super::super::model::{Fittings, IndicatorLight, Power, Snorkel};
use super::pad::{Block, Pad};
use super::text::shown;

pub(in crate::setup) const POWERS: &[(&str, Power)] =
    &[("switch", Power::Switch), ("remote switch", Power::RemoteSwitch), ("plug", Power::Plug)];

pub(in crate::setup) const SNORKELS: &[(&str, Snorkel)] =
    &[("float valve", Snorkel { float_valve: true }), ("open", Snorkel { float_valve: false })];

pub(super) fn fittings(pad: &mut Pad, top: &Block<'_>) -> Fittings {
    let mut all = Fittings::default();
    let Some(block) = pad.section(top, "fittings", &FITTINGS) else {
        return all;
    };
    all.power = pad.optional_word(&block, "power", POWERS);
    all.power_at = pad.optional_text(&block, "power_at");
    all.snorkel = pad.optional_word(&block, "snorkel", SNORKELS);
    all.aerial = pad.optional_text(&block, "aerial");
    all.leak_test = pad.optional_text(&block, "leak_test");
    all.couplings = texts(pad, &block, "couplings");
    all.closing = texts(pad, &block, "closing");
    if let Some(node) = block.get("lights")
        && let Some(lights) = pad.open_block(node, node.span, "`lights`")
    {
        for entry in lights.entries() {
            let what = format!("what the light `{}` means", shown(&entry.key));
            if let Some(means) = pad.text(&entry.value, &what) {
                all.lights.push(IndicatorLight { shows: entry.key.clone(), means: means.to_owned() });
            }
        }
    }
    all
}

fn texts(pad: &mut Pad, block: &Block<'_>, key: &str) -> Vec<String> {
    let Some(node) = block.get(key) else {
        return Vec::new();
    };
    let what = format!("a line of `{key}`");
    let mut all = Vec::new();
    for item in pad.one_or_list(node) {
        all.extend(pad.text(item, &what).map(str::to_owned));
    }
    all
}
