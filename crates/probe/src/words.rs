//! A reading in words, as it is told to whoever takes it.

use super::shot::{Shot, at_rest, percent};
use crate::setup::Setup;

/// What to do for a reading, one step a line; the pulse is read last. What was dialled in for the reading before is put
/// back first, where this one does not want something else in its place.
pub fn steps(setup: &Setup, shot: &Shot, before: Option<&Shot>) -> Vec<String> {
    let mut lines = before.map_or_else(Vec::new, |before| put_back(setup, shot, before));
    let c = &setup.channels[shot.channel];
    let ways = c.control.map_or(["low", "high"].map(str::to_owned), |own| setup.controls[own].ways.clone());
    if shot.endpoints != c.endpoints {
        let [low, high] = shot.endpoints.each_ref().map(percent);
        let [was, before] = c.endpoints.each_ref().map(percent);
        lines.push(format!(
            "dial in for now: endpoints of channel {}: {} {low}, {} {high} (the file has {was}, {before})",
            c.number, ways[0], ways[1]
        ));
    }
    if shot.sub_trim != c.sub_trim {
        let (now, was) = (percent(&shot.sub_trim), percent(&c.sub_trim));
        lines.push(format!(
            "dial in for now: sub-trim of channel {}: {now} (the file has {was}; + is a longer pulse)",
            c.number
        ));
    }
    let rest = at_rest(setup);
    for (id, control) in setup.controls.iter().enumerate() {
        let at = &shot.held.positions[id];
        if !control.settings.is_empty() {
            if shot.held.settings[id] != rest.settings[id] {
                lines.push(format!("{} at {}", control.name, control.settings[shot.held.settings[id]]));
            }
        } else if *at != rest.positions[id] {
            let way = &control.ways[usize::from(at[1].signum() > 0)];
            lines.push(match at[0] == at[1] {
                true => format!("{}: hold {way} fully", control.name),
                false => format!("{}: hold {way} about half way; between 40 and 60 % will do", control.name),
            });
        }
    }
    for (id, control) in setup.controls.iter().enumerate() {
        let trim = &shot.held.trims[id];
        if !trim.is_zero() {
            let way = &control.ways[usize::from(trim.signum() > 0)];
            lines.push(format!("trim of {} fully towards {way}, {}", control.name, percent(&trim.abs())));
        }
    }
    lines.push("everything else at rest, trims at nought, switches at home".to_owned());
    lines.push(format!("read the pulse of {}", setup.channel_title(shot.channel)));
    lines
}

fn put_back(setup: &Setup, shot: &Shot, before: &Shot) -> Vec<String> {
    let mut lines = Vec::new();
    let c = &setup.channels[before.channel];
    let same = shot.channel == before.channel;
    let ways = c.control.map_or(["low", "high"].map(str::to_owned), |own| setup.controls[own].ways.clone());
    if before.endpoints != c.endpoints && !(same && shot.endpoints != c.endpoints) {
        let [low, high] = c.endpoints.each_ref().map(percent);
        lines.push(format!(
            "put back: endpoints of channel {}: {} {low}, {} {high}",
            c.number, ways[0], ways[1]
        ));
    }
    if before.sub_trim != c.sub_trim && !(same && shot.sub_trim != c.sub_trim) {
        lines.push(format!("put back: sub-trim of channel {}: {}", c.number, percent(&c.sub_trim)));
    }
    lines
}
