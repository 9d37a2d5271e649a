//! Depth against time in characters, with bars for the stages and for what is on.

use crate::physics::units::Metres;
use crate::setup::{Setup, WorkRef};
use lidcard_check::rehearsal::{Pictured, Rehearsal, Run, Sample, What, division};
use std::fmt::Write;

/// Rows of the picture of the depth.
const ROWS: usize = 10;
/// Characters left of the pictures.
const LEFT: usize = 12;

/// The picture, as wide as a line; without a track the bars only.
pub(super) fn picture(out: &mut String, setup: &Setup, found: &Rehearsal, width: usize) {
    let across = width.saturating_sub(LEFT + 3).max(20);
    let (nominal, worst) = (&found.nominal, &found.worst);
    let limit = setup.boat.depth_limit.as_ref().map(|limit| Metres(limit.0.to_f64()));
    let seen = Pictured::of(found, limit);
    let ends = seen.until.0;
    let column = |at: f64| ((at / ends * (across - 1) as f64).round().max(0.0) as usize).min(across - 1);
    if !nominal.track.is_empty() {
        depth(out, [nominal, worst], seen, across, &column);
    }
    let mut axis = vec!['-'; across];
    let step = division(ends / 5.0);
    let mut numbers = vec![' '; across + 8];
    for n in 0..=(ends / step) as usize {
        let at = n as f64 * step;
        axis[column(at)] = '+';
        let text = crate::physics::units::figures(at, 3);
        for (i, letter) in text.chars().enumerate() {
            numbers[column(at) + i] = letter;
        }
    }
    let line = |out: &mut String, left: &str, text: &[char]| {
        let text: String = text.iter().collect();
        let _ = writeln!(out, "{}", format!("{left:>LEFT$} {text}").trim_end());
    };
    line(out, "", &axis);
    line(out, "s", &numbers);
    for (name, mut stretches) in bars(setup, nominal, worst) {
        stretches.retain(|(from, ..)| *from <= ends);
        if stretches.is_empty() {
            continue;
        }
        let mut row = vec![' '; across];
        for (from, to, letter) in stretches {
            let last = column(to.min(ends)).max(column(from));
            for place in &mut row[column(from)..=last] {
                *place = match (*place, letter) {
                    (' ', letter) => letter,
                    (old, letter) if old == letter => old,
                    _ => '#',
                };
            }
        }
        let short: String = name.chars().take(LEFT).collect();
        line(out, &short, &row);
    }
    let sinks = if [nominal, worst].iter().any(|run| run.sinks_on()) { ", v goes on down" } else { "" };
    let _ = writeln!(out, "{:>LEFT$} o nominal, x worst case, # both{sinks}\n", "");
}

fn depth(out: &mut String, runs: [&Run; 2], seen: Pictured, across: usize, column: &impl Fn(f64) -> usize) {
    let deepest = seen.depth.0;
    let row = |depth: f64| ((depth / deepest * (ROWS - 1) as f64).round().max(0.0) as usize).min(ROWS - 1);
    let mut rows = vec![vec![' '; across]; ROWS];
    let ways = runs.map(|run| (seen.way(run), run.sinks_on()));
    for ((way, _), letter) in ways.iter().zip(['o', 'x']) {
        let depths = (0..across).filter_map(|place| Some((place, at(way, place, column)?)));
        for (place, depth) in depths {
            let here = &mut rows[row(depth)][place];
            *here = if *here == ' ' { letter } else { '#' };
        }
    }
    for last in ways.iter().filter(|(_, sinks_on)| *sinks_on).filter_map(|(way, _)| way.last()) {
        rows[row(last.depth.0)][column(last.time.0)] = 'v';
    }
    for (index, row) in rows.iter().enumerate() {
        let label = match index {
            0 => "surface".to_owned(),
            _ if index == ROWS - 1 => format!("{} m", crate::physics::units::figures(deepest, 3)),
            _ => String::new(),
        };
        let row: String = row.iter().collect();
        let _ = writeln!(out, "{}", format!("{label:>LEFT$}|{row}").trim_end());
    }
}

/// The depth in a column, from the samples on either side of it.
fn at(track: &[Sample], place: usize, column: &impl Fn(f64) -> usize) -> Option<f64> {
    if let Some(here) = track.iter().find(|s| column(s.time.0) == place) {
        return Some(here.depth.0);
    }
    let pair = track.windows(2).find(|p| column(p[0].time.0) < place && place < column(p[1].time.0))?;
    let (a, b) = (column(pair[0].time.0) as f64, column(pair[1].time.0) as f64);
    let share = (place as f64 - a) / (b - a);
    Some(pair[0].depth.0 + (pair[1].depth.0 - pair[0].depth.0) * share)
}

/// A name, and from when until when it is on in which case.
type Bar = (String, Vec<(f64, f64, char)>);

fn bars(setup: &Setup, nominal: &Run, worst: &Run) -> Vec<Bar> {
    let mut all = Vec::new();
    if let Some(unit) = &setup.fail_safe {
        let begins: Vec<(usize, f64)> = nominal
            .events
            .iter()
            .filter_map(|e| if let What::Stage(index) = e.what { Some((index, e.at.0)) } else { None })
            .collect();
        for &(index, from) in &begins {
            let next = begins.iter().find(|(i, _)| *i == index + 1).map(|(_, at)| *at);
            let to = next.or(nominal.handed_back.map(|s| s.0)).unwrap_or(f64::INFINITY);
            all.push((unit.stages[index].name.clone(), vec![(from, to, '=')]));
        }
    }
    let mut works: Vec<WorkRef> = Vec::new();
    for run in [nominal, worst] {
        for event in &run.events {
            if let What::On { work, .. } = event.what
                && !works.contains(&work)
            {
                works.push(work);
            }
        }
    }
    works.sort();
    for work in works {
        let mut stretches = Vec::new();
        for (run, letter) in [(nominal, 'o'), (worst, 'x')] {
            for event in &run.events {
                if let What::On { work: w, until, .. } = &event.what
                    && *w == work
                {
                    stretches.push((event.at.0, until.map_or(f64::INFINITY, |u| u.0), letter));
                }
            }
        }
        all.push((setup.work(work).name.clone(), stretches));
    }
    all
}
