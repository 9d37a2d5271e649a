//! What people are told first, and what is told together: what hurts somebody before what sinks her, before
//! what is lost, before what is untidy; and what comes of one value of the file, or of one rule, in one piece.

use super::FileReport;
use super::text::counted;
use crate::finding::{Finding, Harm, Severity};
use crate::setup::Path;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// So many findings have to hang on one value before it is told as what is behind them.
const SHARED: usize = 2;

/// Findings that are told together; the first of them in full.
pub(super) struct Group<'a> {
    /// The value of the file that all of them hang on; without one they are of one rule.
    pub(super) cause: Option<&'a Path>,
    /// At least one, the worst first.
    pub(super) members: Vec<&'a Finding>,
}

/// What is open, the worst first.
pub(super) fn worst_first(report: &FileReport) -> Vec<&Finding> {
    let mut open: Vec<&Finding> = report.open().collect();
    // The sort keeps the order of the file among equals.
    open.sort_by_key(|finding| (finding.harm, finding.weight()));
    open
}

/// What is open, in the order and the pieces in which it is told.
pub(super) fn groups(report: &FileReport) -> Vec<Group<'_>> {
    let all = worst_first(report);
    let mut left: Vec<usize> = (0..all.len()).collect();
    let mut groups: Vec<(usize, Group)> = Vec::new();
    while let Some(cause) = most_shared(&all, &left) {
        let (of_it, rest) = left.into_iter().partition(|&i| causes(all[i]).any(|path| path == cause));
        left = rest;
        groups.push(group(&all, &of_it, Some(cause)));
    }
    while let Some(&first) = left.first() {
        let same = |i: &usize| (all[*i].rule, all[*i].weight()) == (all[first].rule, all[first].weight());
        let (of_it, rest) = left.into_iter().partition(same);
        left = rest;
        groups.push(group(&all, &of_it, None));
    }
    groups.sort_by_key(|(first, _)| *first);
    groups.into_iter().map(|(_, group)| group).collect()
}

fn group<'a>(all: &[&'a Finding], of_it: &[usize], cause: Option<&'a Path>) -> (usize, Group<'a>) {
    (of_it[0], Group { cause, members: of_it.iter().map(|&i| all[i]).collect() })
}

/// The values of the file at which somebody chose something. What a device is like was measured: it is no
/// cause; nor is a channel or a control as a whole. What the file does not say is one.
fn causes(finding: &Finding) -> impl Iterator<Item = &Path> {
    let places = std::iter::once(&finding.primary).chain(&finding.others).map(|(path, _)| path);
    let chosen = places.filter(|path| match path.0.as_slice() {
        [] | [_] => false,
        [part, ..] if part == "devices" => false,
        [part, _] => part != "channels" && part != "controls",
        _ => true,
    });
    chosen.chain(finding.missing.iter().map(|missing| &missing.path))
}

/// The value that most of these hang on, if enough do: of equals the one whose first finding comes first.
fn most_shared<'a>(all: &[&'a Finding], left: &[usize]) -> Option<&'a Path> {
    let mut counts: BTreeMap<&Path, (usize, usize)> = BTreeMap::new();
    for &i in left {
        let mut seen: Vec<&Path> = Vec::new();
        for path in causes(all[i]) {
            if !seen.contains(&path) {
                seen.push(path);
                counts.entry(path).or_insert((0, i)).0 += 1;
            }
        }
    }
    let most = counts.into_iter().max_by_key(|(_, (count, first))| (*count, Reverse(*first)))?;
    (most.1.0 >= SHARED).then_some(most.0)
}

/// `boats/newt.yaml: 5 errors, 7 warnings: 3 could hurt somebody, 2 sink her, 7 are untidy`
pub(super) fn sum(report: &FileReport, name: &str) -> String {
    let mut counts = Vec::new();
    for (weight, one, many) in
        [(Severity::Error, "error", "errors"), (Severity::Warning, "warning", "warnings")]
    {
        match report.count(weight) {
            0 => {}
            count => counts.push(counted(count, one, many)),
        }
    }
    let kinds: Vec<String> = Harm::ALL
        .iter()
        .filter_map(|harm| {
            let count = report.open().filter(|finding| finding.harm == *harm).count();
            (count > 0).then(|| counted(count, words(*harm)[0], words(*harm)[1]))
        })
        .collect();
    format!("{name}: {}: {}\n", counts.join(", "), kinds.join(", "))
}

/// What comes of one of them, and of several.
fn words(harm: Harm) -> [&'static str; 2] {
    match harm {
        Harm::People => ["could hurt somebody"; 2],
        Harm::Sinks => ["could sink her or keep her down"; 2],
        Harm::Lost => ["could lose or break something"; 2],
        Harm::Untidy => ["is untidy", "are untidy"],
    }
}
