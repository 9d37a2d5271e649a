//! Solved channels: the lines to put into the boat file, and the same for machines.

use super::Look;
use super::json_v1::{MarginV1, margin as margin_v1, percent as percent_v1};
use super::text::{digits, hanging, margin, signed};
use crate::finding::Margin;
use crate::rule::solve::Solved;
use crate::setup::{Exact, Setup, Side};
use serde::Serialize;
use serde_json::{Map, Value};
use std::fmt::Write;

/// More places than any set's step has.
const PLACES: u32 = 9;

/// An endpoint as it is written in a boat file.
pub fn endpoint(value: &Exact) -> String {
    format!("{} %", digits(value, PLACES))
}

/// A sub-trim as it is written in a boat file.
pub fn sub_trim(value: &Exact) -> String {
    format!("{} %", signed(value, PLACES))
}

/// Both endpoints of a channel as one value; `None` for a channel without a control.
pub fn endpoints(setup: &Setup, solved: &Solved) -> Option<String> {
    let control = setup.channels[solved.channel].control?;
    let each = Side::BOTH.map(|side| {
        let i = side.index();
        format!("{}: {}", setup.controls[control].ways[i], endpoint(&solved.endpoints[i]))
    });
    Some(format!("{{{}}}", each.join(", ")))
}

/// Everything for people.
pub fn file(name: &str, setup: &Setup, all: &[Solved], look: Look) -> String {
    let mut out = format!("{name}: endpoints of {}, each channel as a whole\n", setup.boat.name);
    let told = |m: &Option<Margin>| m.as_ref().map_or_else(|| "none".to_owned(), margin);
    for solved in all {
        let title = setup.channel_title(solved.channel);
        if !solved.missing.is_empty() {
            let _ = writeln!(out, "\n{title}: stays as set; what is best is not judged");
            hanging(&mut out, "  hangs on ", &solved.missing.join(", "), look.width);
            continue;
        }
        if !solved.changed {
            let left = match &solved.before {
                Some(least) if least.axis.signum() < 0 => {
                    format!("smallest margin {}, and nothing better was found", margin(least))
                }
                Some(least) => format!("smallest margin {}", margin(least)),
                None => "nothing here has a margin".to_owned(),
            };
            let _ = writeln!(out, "\n{title}: stays as set; {left}");
            perhaps_more(&mut out, solved, look);
            continue;
        }
        let _ = writeln!(
            out,
            "\n{title}: smallest margin {} becomes {}",
            told(&solved.before),
            told(&solved.after)
        );
        if let Some(endpoints) = endpoints(setup, solved) {
            let _ = writeln!(out, "    endpoints: {endpoints}");
        }
        let _ = writeln!(out, "    sub_trim: {}", sub_trim(&solved.sub_trim));
        perhaps_more(&mut out, solved, look);
        if !setup.channels[solved.channel].measured.is_empty() {
            hanging(
                &mut out,
                "  ",
                "`measured` was read with the old values: dial these in and measure again",
                look.width,
            );
        }
    }
    let changed = all.iter().filter(|s| s.changed).count();
    let open = all.iter().filter(|s| !s.missing.is_empty()).count();
    let _ = match changed {
        0 if open > 0 => writeln!(
            out,
            "\n{name}: {open} of {} channels not judged, and no margin to gain elsewhere",
            all.len()
        ),
        0 => writeln!(out, "\n{name}: no channel has a margin to gain"),
        _ => writeln!(out, "\n{name}: {changed} of {} channels had a margin to gain", all.len()),
    };
    out
}

fn perhaps_more(out: &mut String, solved: &Solved, look: Look) {
    if !solved.best_of_all {
        let why = "other values might leave more: where only a stop lies beyond, 5 % more than needed count as enough, and not every sub-trim is tried";
        hanging(out, "  ", why, look.width);
    }
}

/// One channel for machines, version 1.
#[derive(Debug, Serialize)]
pub struct SolvedV1 {
    channel: u8,
    endpoints: Map<String, Value>,
    sub_trim: f64,
    margin_before: Option<MarginV1>,
    margin_after: Option<MarginV1>,
    changed: bool,
    best_of_all: bool,
    /// The keys that are missing before anything can be proposed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_judged: Vec<String>,
}

/// All of them.
pub fn json(setup: &Setup, all: &[Solved]) -> Vec<SolvedV1> {
    let ways = |solved: &Solved| {
        let control = setup.channels[solved.channel].control;
        let words = control.map(|c| setup.controls[c].ways.clone()).unwrap_or_default();
        words.into_iter().zip(&solved.endpoints).map(|(way, e)| (way, percent_v1(e).into())).collect()
    };
    all.iter()
        .map(|solved| SolvedV1 {
            channel: setup.channels[solved.channel].number,
            endpoints: ways(solved),
            sub_trim: percent_v1(&solved.sub_trim),
            // A margin with figures at their best is nobody's.
            margin_before: solved.before.as_ref().filter(|_| solved.missing.is_empty()).map(margin_v1),
            margin_after: solved.after.as_ref().map(margin_v1),
            changed: solved.changed,
            best_of_all: solved.best_of_all,
            not_judged: solved.missing.clone(),
        })
        .collect()
}
