//! The endpoint windows for people: for each channel a table of its ways, and the axis of each
//! device on it.

use super::text::{digits, hanging, margin, percent};
use super::{Look, axis};
use crate::axes::Axes;
use crate::finding::{Margin, NOT_JUDGED, SafeEndpoints};
use crate::rule::driven::Throw;
use crate::rule::more::{More, READINGS};
use crate::setup::quantity::Micros;
use crate::setup::{Exact, Setup};
use std::fmt::Write;

/// Everything about one file.
pub fn file(
    name: &str,
    setup: &Setup,
    ways: &[SafeEndpoints],
    throws: &[Throw],
    more: &[More],
    look: Look,
) -> String {
    let mut out = format!("{name}: endpoints of {}\n", setup.boat.name);
    let axes = Axes::new(setup);
    let mut pictures = false;
    for (id, channel) in setup.channels.iter().enumerate() {
        let of: Vec<&SafeEndpoints> = ways.iter().filter(|w| w.channel == channel.number).collect();
        let devices = (0..setup.devices.len()).filter(|d| setup.channel_of(*d) == Some(id));
        let drawn: Vec<String> = devices
            .filter_map(|d| {
                let mut picture = axis::picture(setup, &axes, d, look)?;
                if let Some(throw) = throws.iter().find(|throw| throw.device == d) {
                    super::throws::lines(&mut picture, setup, throw, look.width);
                }
                Some(picture)
            })
            .collect();
        if of.is_empty() && drawn.is_empty() {
            continue;
        }
        let _ = writeln!(out, "\n{}", setup.channel_title(id));
        if !of.is_empty() {
            table(&mut out, &of, more, look);
        }
        for picture in &drawn {
            out.push('\n');
            out.push_str(picture);
        }
        pictures |= !drawn.is_empty();
    }
    if pictures {
        out.push('\n');
        out.push_str(&axis::legend(look));
    }
    out.push('\n');
    out.push_str(&closing(name, ways));
    out
}

fn table(out: &mut String, ways: &[&SafeEndpoints], more: &[More], look: Look) {
    let columns = |w: &SafeEndpoints| {
        [
            w.way.clone(),
            percent(&w.set),
            safe(w),
            w.best.as_ref().map_or_else(|| "-".to_owned(), percent),
            verdict(w).to_owned(),
        ]
    };
    let head = ["way", "set", "safe", "best", ""].map(str::to_owned);
    let rows: Vec<_> = std::iter::once(head).chain(ways.iter().map(|w| columns(w))).collect();
    let widths: Vec<usize> =
        (0..5).map(|c| rows.iter().map(|r| r[c].chars().count()).max().unwrap_or(0)).collect();
    for (index, row) in rows.iter().enumerate() {
        let mut line = String::from("  ");
        for (cell, width) in row.iter().zip(&widths) {
            let _ = write!(line, "{cell:width$}   ");
        }
        let _ = writeln!(out, "{}", line.trim_end());
        if let Some(way) = index.checked_sub(1).and_then(|i| ways.get(i)) {
            limits(out, way, look);
            for won in more.iter().filter(|won| won.channel == way.channel && won.way == way.way) {
                let lead = format!("      {READINGS} readings would make it: ");
                let told =
                    format!("{}; more like those of {}", windows(&won.windows), won.works.join(" and "));
                hanging(out, &lead, &told, look.width);
            }
        }
    }
}

fn limits(out: &mut String, way: &SafeEndpoints, look: Look) {
    let bounds = [
        (
            "not below",
            way.windows.first().map(|w| &w[0]).or(way.ends[0].as_ref()),
            &way.low_limit,
            &way.margins[0],
        ),
        (
            "not above",
            way.windows.last().map(|w| &w[1]).or(way.ends[1].as_ref()),
            &way.high_limit,
            &way.margins[1],
        ),
    ];
    for (words, bound, limit, left) in bounds {
        if limit.starts_with(NOT_JUDGED) {
            let bound = bound.map_or(String::new(), |at| format!(" {}", percent(at)));
            hanging(out, &format!("      {words}{bound}: "), limit, look.width);
        }
        // An end that only the set itself limits needs no words.
        let (Some(left), false) = (left, limit.is_empty()) else { continue };
        let bound = bound.map_or(String::new(), |at| format!(" {}", percent(at)));
        let left = if left.axis.signum() < 0 {
            let micros = Micros(left.micros.0.abs());
            format!("as set, past it by {}", margin(&Margin { axis: left.axis.abs(), micros }))
        } else {
            format!("as set, {} left", margin(left))
        };
        hanging(out, &format!("      {words}{bound}: "), &format!("{limit}; {left}"), look.width);
    }
    if let Some(crossing) = &way.crossing {
        hanging(out, "      no value is safe: ", crossing, look.width);
    }
    for rule in &way.not_moved {
        hanging(out, "      broken whatever this endpoint is: ", rule, look.width);
    }
    for rule in &way.but {
        let lead =
            if rule.starts_with(NOT_JUDGED) { "      but " } else { "      but broken at all of these: " };
        hanging(out, lead, rule, look.width);
    }
}

fn windows(windows: &[[Exact; 2]]) -> String {
    if windows.is_empty() {
        return "none".to_owned();
    }
    let each: Vec<_> =
        windows.iter().map(|[low, high]| format!("{} to {} %", digits(low, 2), digits(high, 2))).collect();
    each.join(", ")
}

/// The windows, or where they hang on what the file does not say the ends that are known.
fn safe(way: &SafeEndpoints) -> String {
    match (&way.windows[..], &way.ends) {
        ([], [Some(low), None]) => format!("{} to ? %", digits(low, 2)),
        ([], [None, Some(high)]) => format!("? to {} %", digits(high, 2)),
        ([], [None, None]) if way.hangs_on_unknown() => "?".to_owned(),
        (all, _) => windows(all),
    }
}

fn is_inside(way: &SafeEndpoints) -> bool {
    way.windows.iter().any(|[low, high]| *low <= way.set && way.set <= *high)
}

/// How an endpoint is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum AsSet {
    /// At the best value of its window.
    Best,
    /// In its window.
    Safe,
    /// In its window, and something else is broken at all of it.
    NotYet,
    /// In no window.
    NotSafe,
    /// It hangs on something that the file does not say.
    NotJudged,
}

pub(super) fn as_set(way: &SafeEndpoints) -> AsSet {
    match (is_inside(way), &way.best) {
        _ if way.hangs_on_unknown() => AsSet::NotJudged,
        (true, _) if !way.is_safe() => AsSet::NotYet,
        (true, Some(best)) if *best == way.set => AsSet::Best,
        (true, _) => AsSet::Safe,
        (false, _) => AsSet::NotSafe,
    }
}

fn verdict(way: &SafeEndpoints) -> &'static str {
    match as_set(way) {
        AsSet::NotJudged => "not judged",
        AsSet::NotYet => "in its window, not safe yet",
        AsSet::Best => "as good as it gets",
        AsSet::Safe => "safe as set",
        AsSet::NotSafe => "NOT SAFE as set",
    }
}

fn closing(name: &str, ways: &[SafeEndpoints]) -> String {
    let (open, bad): (Vec<&SafeEndpoints>, Vec<&SafeEndpoints>) =
        ways.iter().filter(|w| !is_inside(w) || !w.is_safe()).partition(|w| as_set(w) == AsSet::NotJudged);
    match bad.first() {
        None if !open.is_empty() => {
            format!(
                "{name}: {} of {} endpoints not judged, none known to be unsafe\n",
                open.len(),
                ways.len()
            )
        }
        None => format!("{name}: every endpoint lies in its window\n"),
        Some(first) => format!(
            "{name}: {} of {} endpoints not safe; the first is {} of channel {}\n",
            bad.len(),
            ways.len(),
            first.way,
            first.channel
        ),
    }
}
