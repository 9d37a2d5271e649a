//! `--from WITNESS`: where a hand is, told as a finding or in words.

use super::outcome::Failure;
use crate::chain::Inputs;
use crate::finding::Witness;
use crate::rule;
use crate::setup::{Control, Exact, Setup};

/// Everything a hand can move, from the name of what a finding is about or from `control=place, …`.
pub(super) fn told(setup: &Setup, text: &str) -> Result<Inputs, Failure> {
    if text.contains('=') {
        return in_words(setup, text).map_err(Failure);
    }
    let findings = rule::check(setup);
    let about = findings.iter().filter(|f| f.about == text.trim());
    match about.filter_map(|f| f.witness.as_ref()).next() {
        Some(witness) => witnessed(setup, witness).map_err(Failure),
        None => Err(Failure(format!(
            "no finding with a witness is about `{text}`: see the `where` in `check --format json`, or write places such as \"tank=flood\""
        ))),
    }
}

/// The place that a witness names.
fn witnessed(setup: &Setup, witness: &Witness) -> Result<Inputs, String> {
    let mut hand = Inputs::at_rest(setup);
    for (name, at) in &witness.positions {
        hand.positions[named(setup, name)?] = at.clone();
    }
    for (name, at) in &witness.trims {
        hand.trims[named(setup, name)?] = at.clone();
    }
    for (name, setting) in &witness.settings {
        put(setup, &mut hand, named(setup, name)?, setting)?;
    }
    Ok(hand)
}

fn in_words(setup: &Setup, text: &str) -> Result<Inputs, String> {
    let mut hand = Inputs::at_rest(setup);
    let mut placed = std::collections::BTreeSet::new();
    for part in text.split(',').map(str::trim).filter(|part| !part.is_empty()) {
        let (name, place) = part
            .split_once('=')
            .map(|(name, place)| (name.trim(), place.trim()))
            .ok_or_else(|| format!("write a control and its place, such as \"tank=flood\", not `{part}`"))?;
        if !placed.insert(name) {
            return Err(format!("`{name}` is given two places: take one"));
        }
        match name.strip_prefix("trim of ") {
            Some(name) => {
                let control = named(setup, name.trim())?;
                let [low, high] = &setup.controls[control].trim;
                let at = share(place).filter(|at| (-low..=high.clone()).contains(at));
                hand.trims[control] = at.ok_or_else(|| {
                    let [low, high] = [low, high].map(|most| (most * Exact::int(100)).to_decimal(2));
                    format!("the trim of {} goes from -{low} % to {high} %, not to `{place}`", name.trim())
                })?;
            }
            None => put(setup, &mut hand, named(setup, name)?, place)?,
        }
    }
    Ok(hand)
}

fn named(setup: &Setup, name: &str) -> Result<usize, String> {
    setup.controls.iter().position(|c| c.name == name).ok_or_else(|| {
        let known: Vec<&str> = setup.controls.iter().map(|c| c.name.as_str()).collect();
        format!("there is no control `{name}`: take {}", known.join(", "))
    })
}

/// A setting of a switch, a way held fully, or a percentage.
fn put(setup: &Setup, hand: &mut Inputs, id: usize, place: &str) -> Result<(), String> {
    let control = &setup.controls[id];
    if let Some(setting) = control.settings.iter().position(|s| s == place) {
        hand.settings[id] = setting;
        hand.positions[id] = control.setting_position(setting);
        return Ok(());
    }
    let way = control.ways.iter().position(|way| way == place).filter(|_| control.settings.is_empty());
    let at = match way {
        Some(way) => Some(Exact::int(2 * way as i64 - 1)),
        None => share(place).filter(|at| at.abs() <= Exact::ONE && control.settings.is_empty()),
    };
    hand.positions[id] = at.ok_or_else(|| unknown(control, place))?;
    Ok(())
}

fn unknown(control: &Control, place: &str) -> String {
    let known = if control.settings.is_empty() {
        format!("{}, {} or a percentage from -100 % to 100 %", control.ways[0], control.ways[1])
    } else {
        control.settings.join(", ")
    };
    format!("{} is never at `{place}`: take {known}", control.name)
}

/// `-40 %`, `100%`
fn share(text: &str) -> Option<Exact> {
    let number = text.strip_suffix('%')?.trim();
    Some(Exact::from_decimal(number.strip_prefix('+').unwrap_or(number))? / Exact::int(100))
}
