//! The endpoint windows for machines, version 1. Frozen like the report of `check`.

use super::FilePlace;
use super::axis_json::{AxisV1, axes};
use super::endpoints::{AsSet, as_set};
use super::json_v1::{MarginV1, exact, margin, percent};
use super::solved::SolvedV1;
use super::throws::ThrowV1;
use crate::finding::SafeEndpoints;
use crate::rule::ChannelReach;
use crate::rule::more::More;
use crate::setup::Setup;
use crate::source::{Source, Value as Yaml};
use serde::Serialize;
use serde_json::{Map, Value};

/// The whole answer of `endpoints`.
#[derive(Debug, Serialize)]
pub struct EndpointsV1<'a> {
    version: u8,
    file: &'a str,
    ways: Vec<WayV1<'a>>,
    reach: Vec<ReachV1>,
    axes: Vec<AxisV1<'a>>,
    /// Left out for a boat without linkages.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    linkages: Vec<ThrowV1<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    solved: Option<Vec<SolvedV1>>,
    /// The windows that ten readings of each point would leave, where they are others.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    with_ten_readings: Vec<TenV1<'a>>,
}

#[derive(Debug, Serialize)]
struct TenV1<'a> {
    channel: u8,
    way: &'a str,
    works: &'a [String],
    windows: Vec<[f64; 2]>,
}

#[derive(Debug, Serialize)]
struct WayV1<'a> {
    channel: u8,
    name: &'a str,
    way: &'a str,
    set: f64,
    /// Where that value stands in the file; nothing where it does not, or not by itself.
    place: Option<PlaceV1>,
    windows: Vec<[f64; 2]>,
    best: Option<f64>,
    low_limit: &'a str,
    high_limit: &'a str,
    not_moved: &'a [String],
    /// What is broken in other states of the boat at all of these values.
    but: &'a [String],
    /// Whether the values of the windows are safe: nothing is named beside them.
    safe: bool,
    /// `best`, `safe`, `not yet` where it lies in a window that is not safe, or `not safe`.
    as_set: &'static str,
    crossing: Option<&'a str>,
    /// Where no window is safe for want of a figure: the ends that do not hang on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    ends: Option<[Option<f64>; 2]>,
    /// To what limits the lower and the upper end.
    margins: [Option<MarginV1>; 2],
}

#[derive(Debug, Serialize)]
struct PlaceV1 {
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Debug, Serialize)]
struct ReachV1 {
    channel: u8,
    order: Map<String, Value>,
    low: String,
    high: String,
}

/// The answer for one file. Windows in percent; the reach in exact fractions of the axis. What was
/// solved only where that was asked for.
pub fn endpoints<'a>(
    file: &'a str,
    (source, setup): (&Source, &'a Setup),
    ways: &'a [SafeEndpoints],
    reach: &[ChannelReach],
    linkages: Vec<ThrowV1<'a>>,
    solved: Option<Vec<SolvedV1>>,
    more: &'a [More],
) -> EndpointsV1<'a> {
    EndpointsV1 {
        version: 1,
        file,
        ways: ways.iter().map(|w| way(source, w)).collect(),
        reach: reach
            .iter()
            .map(|r| ReachV1 {
                channel: r.channel,
                order: r.order.iter().map(|(l, w)| (l.clone(), w.clone().into())).collect(),
                low: exact(&r.low),
                high: exact(&r.high),
            })
            .collect(),
        axes: axes(setup),
        linkages,
        solved,
        with_ten_readings: more.iter().map(ten).collect(),
    }
}

fn ten(more: &More) -> TenV1<'_> {
    TenV1 {
        channel: more.channel,
        way: &more.way,
        works: &more.works,
        windows: more.windows.iter().map(|[low, high]| [percent(low), percent(high)]).collect(),
    }
}

fn way<'a>(source: &Source, w: &'a SafeEndpoints) -> WayV1<'a> {
    WayV1 {
        channel: w.channel,
        name: &w.name,
        way: &w.way,
        set: percent(&w.set),
        place: place(source, w),
        windows: w.windows.iter().map(|[low, high]| [percent(low), percent(high)]).collect(),
        best: w.best.as_ref().map(percent),
        low_limit: &w.low_limit,
        high_limit: &w.high_limit,
        not_moved: &w.not_moved,
        but: &w.but,
        safe: w.is_safe(),
        as_set: match as_set(w) {
            AsSet::Best => "best",
            AsSet::Safe => "safe",
            AsSet::NotYet => "not yet",
            AsSet::NotSafe => "not safe",
            AsSet::NotJudged => "not judged",
        },
        crossing: w.crossing.as_deref(),
        ends: w
            .ends
            .iter()
            .any(Option::is_some)
            .then(|| [0, 1].map(|end: usize| w.ends[end].as_ref().map(percent))),
        margins: [w.margins[0].as_ref().map(margin), w.margins[1].as_ref().map(margin)],
    }
}

fn place(source: &Source, w: &SafeEndpoints) -> Option<PlaceV1> {
    let node = source.root.get("channels")?.get(&w.channel.to_string())?.get("endpoints")?;
    let node = node.get(&w.way).or(Some(node))?;
    let Yaml::Scalar { .. } = node.value else { return None };
    let FilePlace { line, column, end_line, end_column } = FilePlace::of(source, node.span);
    Some(PlaceV1 { line, column, end_line, end_column })
}
