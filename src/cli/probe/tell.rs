//! What `probe` prints.

use crate::chain::Order;
use crate::chain::order::{LINES, Line};
use crate::document::form::before_power;
use crate::document::labels::Labels;
use crate::probe::survey::{Next, Node, Standing, Wanted};
use crate::probe::{Scale, Shot, words};
use crate::report::text::{counted, hanging};
use crate::setup::{Exact, OrderLines, Setup};
use serde_json::{Value, json};

/// The word of a line in which all of these orders agree.
fn agreed(orders: &[Order], line: usize) -> Option<&'static str> {
    let first = orders.first()?.word_index(line);
    orders.iter().all(|order| order.word_index(line) == first).then(|| LINES[line].words[first])
}

/// Whether the file itself says a line.
fn is_said(lines: &OrderLines, line: usize) -> bool {
    match line {
        0 => lines.past_full_stick.is_some(),
        1 => lines.endpoint.is_some(),
        2 => lines.endpoint_side.is_some(),
        3 => lines.trim.is_some(),
        4 => lines.mix.is_some(),
        _ => lines.sub_trim.is_some(),
    }
}

fn us([low, high]: &[Exact; 2]) -> String {
    let (low, high) = (low.to_decimal(1), high.to_decimal(1));
    if low == high { format!("{low} us") } else { format!("{low} to {high} us") }
}

/// What is open, what hangs on it, and the plan.
pub(super) fn opening(
    file: &str,
    setup: &Setup,
    standing: &Standing,
    wanted: Wanted,
    width: usize,
) -> String {
    let mut text = String::new();
    let open: Vec<usize> = (0..LINES.len()).filter(|&n| !is_said(&setup.transmitter.order, n)).collect();
    if open.is_empty() {
        text.push_str(&format!("{file} leaves no line of `order` open.\n"));
    } else {
        let names: Vec<&str> = open.iter().map(|&n| LINES[n].key).collect();
        hanging(&mut text, "", &format!("{file} leaves open: {}.", names.join(", ")), width);
    }
    if standing.orders.is_empty() {
        return text;
    }
    for &line in &open {
        let Line { key, words, .. } = LINES[line];
        match (agreed(&standing.orders, line), standing.hangs.iter().find(|hangs| hangs.line == line)) {
            (Some(word), _) => hanging(&mut text, "  ", &format!("{key}: {word}, by what was read"), width),
            (None, Some(hangs)) => {
                let all: Vec<String> =
                    hangs.verdicts.iter().map(|(rule, about)| format!("{rule} at {about}")).collect();
                let (shown, more) = all.split_at(all.len().min(MOST_SHOWN));
                let more = if more.is_empty() { String::new() } else { format!(" and {} more", more.len()) };
                let told =
                    format!("{key}: {} or {}? On it hangs {}{more}", words[0], words[1], shown.join(", "));
                hanging(&mut text, "  ", &told, width);
            }
            (None, None) => {
                hanging(&mut text, "  ", &format!("{key}: no verdict of this boat hangs on it"), width);
            }
        }
    }
    for &line in &standing.cannot {
        hanging(&mut text, "  ", &format!("{}: no harmless reading tells it", LINES[line].key), width);
    }
    match &standing.next {
        Next::Plan(node, readings, shortest) => {
            let why = if *shortest {
                "no plan has a shorter worst case"
            } else {
                "a shorter plan was not looked for"
            };
            let count = counted(*readings, "reading", "readings");
            let told = format!(
                "The plan: at most {count} for what can be told now; {why}. Where they narrow the set's pulses so far \
                 that more can be told, that is asked for after them."
            );
            text.push('\n');
            hanging(&mut text, "", &told, width);
            tree(&mut text, setup, node, 1, width);
        }
        Next::Scale(_) => {
            text.push_str("\nFirst the set's own pulses are read, then the plan follows from them.\n");
        }
        Next::Back(..) => text.push_str("\nWhat was dialled in is to be put back and read again.\n"),
        Next::Done if open.is_empty() || wanted.every_line => {}
        Next::Done if standing.hangs.is_empty() => {
            text.push_str("\nNo verdict hangs on what is open: there is nothing to find out. --all does all the same.\n");
        }
        Next::Done => {}
    }
    text
}

/// So many verdicts of one line are named.
const MOST_SHOWN: usize = 3;
/// The plan is printed to this depth; what comes after is told when it comes.
const DEEPEST: usize = 3;

fn tree(text: &mut String, setup: &Setup, node: &Node, depth: usize, width: usize) {
    let indent = "  ".repeat(depth);
    hanging(text, &indent, &node.shot.name(setup), width);
    for (range, orders, next) in &node.then {
        let open: Vec<String> = (0..LINES.len())
            .filter(|&line| !is_said(&setup.transmitter.order, line))
            .filter_map(|line| Some(format!("{}: {}", LINES[line].key, agreed(orders, line)?)))
            .collect();
        let left = if open.is_empty() {
            counted(orders.len(), "order", "orders") + " left"
        } else {
            open.join(", ")
        };
        hanging(text, &format!("{indent}  {}: ", us(range)), &left, width);
        match next {
            Some(next) if depth < DEEPEST => tree(text, setup, next, depth + 2, width),
            Some(_) => hanging(text, &format!("{indent}    "), "and so on", width),
            None => {}
        }
    }
}

/// What comes before any reading: what is asked for here works nothing dangerous, but a hand may slip.
pub(super) fn first(setup: &Setup, labels: &Labels, width: usize) -> String {
    let mut text = String::from("\nBefore she has power:\n");
    for what in before_power(setup) {
        hanging(&mut text, "  - ", labels.get(what), width);
    }
    text
}

/// One reading to take.
pub(super) fn step(
    setup: &Setup,
    standing: &Standing,
    shot: &Shot,
    before: Option<&Shot>,
    width: usize,
) -> String {
    let mut text = String::from("\n");
    let left = match &standing.next {
        Next::Plan(_, readings, _) => format!("at most {} to go", counted(*readings, "reading", "readings")),
        Next::Scale(_) => "the set's own pulses".to_owned(),
        Next::Back(..) => "put back as the file has it, and read again".to_owned(),
        Next::Done => "once more: it contradicts another".to_owned(),
    };
    hanging(&mut text, "", &format!("{} ({left})", shot.name(setup)), width);
    for line in words::steps(setup, shot, before) {
        hanging(&mut text, "  - ", &line, width);
    }
    if let Next::Back(_, range) = &standing.next {
        text.push_str(&format!("  expected: {}\n", us(range)));
    }
    text
}

/// What it came to.
pub(super) fn closing(setup: &Setup, standing: &Standing, width: usize) -> String {
    let mut text = String::from("\n");
    if !standing.contradiction.is_empty() {
        text.push_str("No order and no scale fits these readings together; at least one of them is wrong:\n");
        for reading in &standing.contradiction {
            hanging(&mut text, "  ", &reading.name, width);
        }
        let why = "read them once more. If they stay so, the set does its sums in a way that the file has no words \
                   for, or a figure of the file is wrong: --scale believes none of its pulses";
        hanging(&mut text, "  help: ", why, width);
        return text;
    }
    let open: Vec<usize> = (0..LINES.len()).filter(|&n| !is_said(&setup.transmitter.order, n)).collect();
    let found: Vec<(usize, &str)> =
        open.iter().filter_map(|&line| Some((line, agreed(&standing.orders, line)?))).collect();
    if !found.is_empty() {
        text.push_str("Found out; write under `transmitter.order`:\n");
        for (line, word) in &found {
            text.push_str(&format!("  {}: {word}\n", LINES[*line].key));
        }
    }
    for line in open.iter().filter(|line| !found.iter().any(|(known, _)| known == *line)) {
        let key = LINES[*line].key;
        let hangs = standing.hangs.iter().any(|hangs| hangs.line == *line);
        let told = match (standing.cannot.contains(line), hangs) {
            (true, _) => "open: no reading that works nothing dangerous tells it; both are checked",
            (false, true) => "open: readings are missing",
            (false, false) => "open, and no verdict hangs on it",
        };
        hanging(&mut text, &format!("{key}: "), told, width);
    }
    if let Some(scale) = &standing.scale {
        hanging(&mut text, "", &told_scale(scale, setup, &standing.grain), width);
    }
    text
}

fn told_scale(scale: &Scale, setup: &Setup, grain: &Exact) -> String {
    let percent = |share: &Exact| (share * Exact::int(100)).to_decimal(1);
    let furthest = match scale.furthest.each_ref().map(percent) {
        [low, high] if low == high => format!("{low} %"),
        [low, high] => format!("{low} to {high} %"),
    };
    format!(
        "The set's pulses, as far as is known: rest {}, full {} and {}, furthest {furthest}; its sums are off by \
         {} to {} %.",
        us(&scale.rest),
        us(&scale.shorter),
        us(&scale.longer),
        (grain * Exact::int(100)).to_decimal(2),
        (&setup.transmitter.step * Exact::int(100)).to_decimal(2)
    )
}

/// The same for other programs.
pub(super) fn json(file: &str, code: &str, setup: &Setup, standing: &Standing, readings: usize) -> Value {
    let lines: Vec<Value> = (0..LINES.len())
        .map(|line| {
            let hangs = standing.hangs.iter().find(|hangs| hangs.line == line);
            let verdicts = hangs.map_or_else(Vec::new, |hangs| {
                hangs.verdicts.iter().map(|(rule, about)| json!({"rule": rule, "where": about})).collect()
            });
            json!({
                "key": LINES[line].key,
                "said": is_said(&setup.transmitter.order, line),
                "word": agreed(&standing.orders, line),
                "hangs": verdicts,
                "cannot_be_told": standing.cannot.contains(&line),
            })
        })
        .collect();
    let range = |range: &[Exact; 2]| json!(range.each_ref().map(|us| us.to_decimal(4)));
    let scale = standing.scale.as_ref().map(|scale| {
        json!({
            "rest_us": range(&scale.rest),
            "shorter_us": range(&scale.shorter),
            "longer_us": range(&scale.longer),
            "furthest": range(&scale.furthest),
            "rounded_by_at_least": standing.grain.to_decimal(6),
        })
    });
    let orders: Vec<Value> = standing
        .orders
        .iter()
        .map(|order| {
            let word =
                |line: usize| (LINES[line].key.to_owned(), json!(LINES[line].words[order.word_index(line)]));
            Value::Object((0..LINES.len()).map(word).collect())
        })
        .collect();
    let next = match &standing.next {
        Next::Done => Value::Null,
        Next::Scale(shot) => json!({"read": shot.name(setup), "why": "scale"}),
        Next::Plan(node, most, shortest) => {
            json!({"read": node.shot.name(setup), "why": "order", "at_most": most, "shortest": shortest})
        }
        Next::Back(shot, expected) => {
            json!({"read": shot.name(setup), "why": "put back", "expected_us": range(expected)})
        }
    };
    json!({
        "file": file,
        "code": code,
        "readings": readings,
        "lines": lines,
        "orders": orders,
        "scale": scale,
        "contradiction": standing.contradiction.iter().map(|reading| &reading.name).collect::<Vec<_>>(),
        "next": next,
    })
}
