//! The table of causes and effects, for people and for machines (version 1, frozen like the report
//! of `check`).

use super::Look;
use super::text::{hanging, wrapped};
use crate::rule::matrix::{CauseKind, Mark, Matrix, What};
use crate::setup::quantity::Seconds;
use crate::setup::{Setup, When};
use serde::Serialize;
use std::fmt::Write;

/// A heading is broken rather than let one long name push all other columns off the line.
const WIDEST_HEADING: usize = 12;
/// The same for the causes.
const WIDEST_CAUSE: usize = 26;

/// The table in words, in blocks where it is wider than a line.
pub fn file(name: &str, setup: &Setup, matrix: &Matrix, look: Look) -> String {
    let mut out = format!("{name}: causes and effects of {}\n", setup.boat.name);
    if matrix.effects.is_empty() {
        out.push_str("\nno device works anything and there is no motor: no effects to show\n");
        return out;
    }
    let headings: Vec<Vec<String>> = matrix
        .effects
        .iter()
        .map(|e| {
            let mut lines = broken(&e.name, WIDEST_HEADING);
            lines.push(e.verb.to_owned());
            lines
        })
        .collect();
    let widths: Vec<usize> = headings.iter().map(|h| widest(h).max("surely".len())).collect();
    let causes: Vec<Vec<String>> = matrix
        .causes
        .iter()
        .map(|c| wrapped(&c.name, WIDEST_CAUSE).iter().flat_map(|l| broken(l, WIDEST_CAUSE)).collect())
        .collect();
    let left = causes.iter().map(|c| widest(c)).max().unwrap_or(0);
    for block in blocks(&widths, look.width.saturating_sub(left + 4)) {
        out.push('\n');
        let deep = block.clone().map(|e| headings[e].len()).max().unwrap_or(0);
        for line in 0..deep {
            // Short headings stand at the foot, so that all verbs are in one line.
            let cells = block.clone().map(|e| {
                let from = deep - headings[e].len();
                let text = line.checked_sub(from).map_or("", |i| headings[e][i].as_str());
                (text, widths[e])
            });
            row(&mut out, "", left, cells);
        }
        row(&mut out, &"-".repeat(left), left, block.clone().map(|e| ("------", widths[e])));
        let mut before = None;
        for (cause, lines) in matrix.causes.iter().zip(&causes) {
            let group = piloting(cause.kind);
            if before.is_some_and(|b| b != group) {
                out.push('\n');
            }
            before = Some(group);
            for (index, line) in lines.iter().enumerate() {
                let cells = block.clone().map(|e| {
                    let word = if index == 0 { cause.marks[e].word() } else { "" };
                    (word, widths[e])
                });
                row(&mut out, line, left, cells);
            }
        }
    }
    out.push('\n');
    for (mark, words) in LEGEND {
        hanging(&mut out, &format!("  {:<8}", mark.word()), words, look.width);
    }
    out
}

const LEGEND: [(Mark, &str); 4] = [
    (Mark::Surely, "proved to happen, whatever the other controls, trims and switches do"),
    (Mark::May, "can happen, or cannot be ruled out"),
    (Mark::Never, "proved not to happen"),
    (Mark::Apart, "this control has no part in it"),
];

fn piloting(kind: CauseKind) -> bool {
    matches!(kind, CauseKind::AtRest | CauseKind::Held(_))
}

fn row<'a>(out: &mut String, lead: &str, left: usize, cells: impl Iterator<Item = (&'a str, usize)>) {
    let mut line = format!("  {lead:left$}");
    for (text, width) in cells {
        let _ = write!(line, "  {text:width$}");
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

/// Which columns stand beside one another; each block holds one at least.
fn blocks(widths: &[usize], room: usize) -> Vec<std::ops::Range<usize>> {
    let mut blocks = Vec::new();
    let (mut start, mut used) = (0, 0);
    for (index, width) in widths.iter().enumerate() {
        if index > start && used + width + 2 > room {
            blocks.push(start..index);
            (start, used) = (index, 0);
        }
        used += width + 2;
    }
    blocks.push(start..widths.len());
    blocks
}

fn widest(lines: &[String]) -> usize {
    lines.iter().map(|l| l.chars().count()).max().unwrap_or(0)
}

/// A name in pieces of at most `width` characters, parted behind a point or an underscore if it can be.
fn broken(name: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut rest: Vec<char> = name.chars().collect();
    while rest.len() > width {
        let cut =
            rest[..width].iter().rposition(|c| ['.', '_', ' ', '-'].contains(c)).map_or(width, |i| i + 1);
        let tail = rest.split_off(cut);
        lines.push(rest.iter().collect());
        rest = tail;
    }
    lines.push(rest.iter().collect());
    lines
}

/// The whole answer of `states`.
#[derive(Debug, Serialize)]
pub struct StatesV1<'a> {
    version: u8,
    file: &'a str,
    effects: Vec<EffectV1<'a>>,
    causes: Vec<CauseV1<'a>>,
}

#[derive(Debug, Serialize)]
struct EffectV1<'a> {
    name: &'a str,
    device: &'a str,
    /// Nothing for a motor.
    work: Option<&'a str>,
    kind: &'a str,
    does: &'a str,
}

#[derive(Debug, Serialize)]
struct CauseV1<'a> {
    kind: &'a str,
    name: &'a str,
    /// When it begins, in seconds, of what comes by itself after power on.
    #[serde(skip_serializing_if = "Option::is_none")]
    begins: Option<String>,
    /// The delays that are not given, without which nobody knows when that is.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    missing: &'a [&'static str],
    /// In the order of `effects`; nothing where the cause has no part in it.
    marks: Vec<Option<&'a str>>,
}

/// The table of one file for machines.
pub fn json<'a>(file: &'a str, setup: &'a Setup, matrix: &'a Matrix) -> StatesV1<'a> {
    let effect = |e: &'a crate::rule::matrix::Effect| {
        let (device, work) = match e.what {
            What::Function(work) => (work.device, Some(setup.work(work).name.as_str())),
            What::Motor(device) => (device, None),
        };
        EffectV1 { name: &e.name, device: &setup.devices[device].name, work, kind: e.kind, does: e.verb }
    };
    let cause = |c: &'a crate::rule::matrix::Cause| CauseV1 {
        kind: c.kind.word(),
        name: &c.name,
        begins: c.begins.as_ref().and_then(When::seconds).map(|s| s.to_decimal(Seconds::PLACES)),
        missing: c.begins.as_ref().map_or(&[][..], When::missing),
        marks: c.marks.iter().map(|m| (*m != Mark::Apart).then(|| m.word())).collect(),
    };
    StatesV1 {
        version: 1,
        file,
        effects: matrix.effects.iter().map(effect).collect(),
        causes: matrix.causes.iter().map(cause).collect(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::rule::{Engine, matrix::matrix};
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn printed(text: &str) -> String {
        let setup = lower(&Source::from_bytes("m.yaml", text.into()).unwrap()).unwrap();
        file("m.yaml", &setup, &matrix(&Engine::new(&setup)), Look::PLAIN)
    }

    fn moonfish() -> String {
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../boats/moonfish.yaml")).unwrap()
    }

    #[test]
    fn the_table_can_be_read_without_colour() {
        insta::assert_snapshot!(printed(&moonfish()), @r"
        m.yaml: causes and effects of Moonfish

                                                 tank_servo.  tank_servo.  tank_servo.
                                      motor_esc  vent         pump         gas
                                      run        open         switch on    open
          --------------------------  ------     ------       ------       ------
          all controls at rest        never      never        never        never
          speed: astern held fully    surely     -            -            -
          speed: ahead held fully     surely     -            -            -
          tank: flood held fully      -          surely       never        never
          tank: blow held fully       -          never        surely       never

          link lost, waiting          never      may          may          never
          link lost, stage blow       never      never        surely       surely
          link lost, stage rest       never      never        never        never
          link lost for good          never      never        never        never
          stage blow (low battery or  never      never        surely       surely
          leak)
          stage rest (low battery or  never      never        never        never
          leak)
          power-up, transmitter off   never      may          may          may
          power-up, from 4 s: stage   never      never        surely       surely
          blow
          power-up, from 18 s: stage  never      never        never        never
          rest
          power gone                  never      may          may          may

          surely  proved to happen, whatever the other controls, trims and switches do
          may     can happen, or cannot be ruled out
          never   proved not to happen
          -       this control has no part in it
        ");
    }

    /// Without the unit's wait nobody knows when its stages come, in words and for machines.
    #[test]
    fn no_time_is_told_of_what_waits_nobody_knows_how_long() {
        let text = moonfish().replace("  wait: 3 s\n", "");
        let shown = printed(&text);
        assert!(
            shown.contains("nobody knows") && !shown.contains("from 1 s") && !shown.contains("from 15 s"),
            "{shown}"
        );
        let setup = lower(&Source::from_bytes("m.yaml", text.into()).unwrap()).unwrap();
        let matrix = matrix(&Engine::new(&setup));
        let told = serde_json::to_value(json("m.yaml", &setup, &matrix)).unwrap();
        let stage =
            told["causes"].as_array().unwrap().iter().find(|c| c["kind"] == "power-up-stage").unwrap();
        assert!(
            stage.get("begins").is_none() && stage["missing"] == serde_json::json!(["fail_safe.wait"]),
            "{stage}"
        );
    }

    #[test]
    fn many_works_go_into_blocks_and_no_line_is_too_long() {
        let more: String = (0..9)
            .map(|n| format!("      forward_light_number_{n}: {{kind: light, from: +9{n} %}}\n"))
            .collect();
        let text = moonfish().replace("      gas:", &format!("{more}      gas:"));
        let shown = printed(&text);
        assert!(shown.matches("all controls at rest").count() > 1, "{shown}");
        assert!(shown.lines().all(|l| l.chars().count() <= 80), "{shown}");
    }

    #[test]
    fn names_part_where_they_can() {
        assert_eq!(broken("tank_servo.emergency_gas", 16), ["tank_servo.", "emergency_gas"]);
        assert_eq!(broken("aaaaaaaaaaaaaaaaaaaa", 16), ["aaaaaaaaaaaaaaaa", "aaaa"]);
        assert_eq!(blocks(&[6, 6, 6], 17), [0..2, 2..3]);
        assert_eq!(blocks(&[60, 6], 5), [0..1, 1..2]);
    }
}
