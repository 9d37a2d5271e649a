//! What was proved and with how much room, what stays open, and what is accepted and why.

use super::say::Say;
use super::table::Table;
use crate::finding::{Finding, Margin, Outcome, Severity};
use crate::labels::text::sheet::verdicts;
use crate::labels::text::sheet::verdicts::head;
use crate::setup::Exact;
use crate::words::{self, listed};

/// What was proved: a row for each rule and thing, with every state in which it holds, the least
/// margin first; then, where there is no distance, a row for each rule.
pub(super) fn proved(say: &Say<'_>, findings: &[Finding]) -> Table {
    let mut table =
        Table::with_head(say.all([head::MARGIN, head::MICROS, head::PROVED, head::ABOUT, head::STATES]));
    let proved = || findings.iter().filter(|f| f.outcome == Outcome::Proved);
    let things = proved().filter(|f| f.margin.is_some());
    let mut rows: Vec<(Margin, Vec<&Finding>)> = groups(things, |f| (f.rule, f.about.as_str()))
        .into_iter()
        .filter_map(|all| Some((least_of(&all)?, all)))
        .collect();
    rows.sort_by(|a, b| a.0.axis.cmp(&b.0.axis));
    for (margin, all) in rows {
        let (percent, micros) = (say.percent(&margin.axis), say.micros(&margin.micros.0));
        let (what, about) = (rested(say, &all), about(say, all[0]));
        table.row_with_bold(vec![percent, micros, what, about, states(say, &all)], &[0]);
    }
    for mut all in groups(proved().filter(|f| f.margin.is_none()), |f| (f.rule, f.by_estimate)) {
        // By thing, not by where the file happens to say it.
        all.sort_by_key(|f| (f.subject, f.when));
        let about = listed(all.iter().map(|f| about(say, f)));
        let none = || say.get(verdicts::NO_DISTANCE).to_owned();
        let what = rested(say, &all);
        table.row(vec![none(), none(), what, about, states(say, &all)]);
    }
    table
}

/// What was proved, and of what rests on readings for how many of them.
fn rested(say: &Say<'_>, all: &[&Finding]) -> String {
    let what = &words::proved(say.labels, all[0].rule);
    if all[0].by_estimate {
        return say.fill(verdicts::ByEstimate { what });
    }
    match words::least_claim(all.iter().filter_map(|f| f.rests.as_ref())) {
        None => what.clone(),
        Some(rests) if !rests.enough() => say.fill(verdicts::RestsTooFew { what }),
        Some(rests) => {
            let [coverage, confidence] =
                &[&rests.coverage, &rests.confidence].map(|share| say.percent(share));
            say.fill(verdicts::Rests { what, coverage, confidence })
        }
    }
}

/// Findings with the same key, in the order in which each key is first met; no group is empty.
fn groups<'a, K: PartialEq>(
    findings: impl Iterator<Item = &'a Finding>,
    key: impl Fn(&'a Finding) -> K,
) -> Vec<Vec<&'a Finding>> {
    let mut all: Vec<Vec<&Finding>> = Vec::new();
    for finding in findings {
        match all.iter_mut().find(|group| key(group[0]) == key(finding)) {
            Some(group) => group.push(finding),
            None => all.push(vec![finding]),
        }
    }
    all
}

fn least_of(all: &[&Finding]) -> Option<Margin> {
    let margins = all.iter().filter_map(|f| f.margin.clone());
    margins.reduce(|a, b| if b.axis < a.axis { b } else { a })
}

/// The states of a group, each with its least margin where they differ.
fn states(say: &Say<'_>, all: &[&Finding]) -> String {
    let of_state: Vec<(String, Option<Exact>)> = groups(all.iter().copied(), |f| f.when)
        .iter()
        .map(|group| (words::state(say.labels, say.setup, group[0].when), least_of(group).map(|m| m.axis)))
        .collect();
    let alike = of_state.windows(2).all(|two| two[0].1 == two[1].1);
    listed(of_state.into_iter().map(|(name, margin)| match margin {
        Some(margin) if !alike => format!("{name}\u{a0}{}", say.percent(&margin)),
        _ => name,
    }))
}

fn about(say: &Say<'_>, finding: &Finding) -> String {
    words::about(say.labels, say.setup, finding)
}

/// What is wrong, with the figures that the bench will show.
fn message(say: &Say<'_>, finding: &Finding) -> String {
    let what = words::sentence(say.labels, say.setup, finding);
    let margin = finding.margin.as_ref().map(|margin| {
        let (percent, micros) = (say.percent(&margin.axis), say.micros(&margin.micros.0));
        say.fill(verdicts::WithMargin { margin: &percent, micros: &micros })
    });
    let shown = finding.witness.as_ref().map(|witness| {
        let at = [say.signed(&witness.output), say.micros(&witness.pulse.0)];
        say.fill(verdicts::ShownAt { output: &at[0], pulse: &at[1] })
    });
    [Some(what), margin, shown].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// Warnings, and in a draft errors, that nobody accepted.
pub(super) fn open(say: &Say<'_>, findings: &[Finding]) -> Table {
    let mut table = Table::with_head(say.all([head::SEVERITY, head::RULE, head::ABOUT, head::MESSAGE]));
    for finding in findings.iter().filter(|f| f.is_open()) {
        let severity = say
            .get(match finding.weight() {
                Severity::Error => verdicts::ERROR,
                Severity::Warning => verdicts::WARNING,
            })
            .to_owned();
        let (about, message) = (about(say, finding), message(say, finding));
        table.row_with_bold(vec![severity, finding.rule.to_owned(), about, message], &[0]);
    }
    table
}

/// What the builder lives with.
pub(super) fn accepted(say: &Say<'_>, findings: &[Finding]) -> Table {
    let mut table = Table::with_head(say.all([head::RULE, head::ABOUT, head::MESSAGE, head::BECAUSE]));
    for finding in findings.iter().filter(|f| f.outcome != Outcome::Proved) {
        if let Some(because) = &finding.accepted {
            let (about, message) = (about(say, finding), message(say, finding));
            table.row(vec![finding.rule.to_owned(), about, message, because.clone()]);
        }
    }
    table
}

/// The least margin of all.
pub(super) fn least(findings: &[Finding]) -> Option<(&Exact, &Finding)> {
    let proved = findings.iter().filter(|f| f.outcome == Outcome::Proved);
    proved.filter_map(|f| f.margin.as_ref().map(|m| (&m.axis, f))).min_by(|a, b| a.0.cmp(b.0))
}
