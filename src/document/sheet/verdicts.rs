//! What was proved and with how much room, what stays open, and what is accepted and why.

use super::say::Say;
use super::table::Table;
use crate::document::words::plain;
use crate::finding::{Finding, Margin, Outcome};
use crate::setup::Exact;

/// What was proved: a row for each rule and thing, with every state in which it holds, the least
/// margin first; what knows no distance comes last.
pub(super) fn proved(say: &Say<'_>, findings: &[Finding]) -> Table {
    let mut groups: Vec<(&Finding, Vec<&Finding>)> = Vec::new();
    for finding in findings.iter().filter(|f| f.outcome == Outcome::Proved) {
        match groups.iter_mut().find(|(first, _)| first.rule == finding.rule && first.about == finding.about)
        {
            Some((_, all)) => all.push(finding),
            None => groups.push((finding, vec![finding])),
        }
    }
    let least = |all: &[&Finding]| -> Option<Margin> {
        let margins = all.iter().filter_map(|f| f.margin.clone());
        margins.reduce(|a, b| if b.axis < a.axis { b } else { a })
    };
    let mut rows: Vec<(Option<Margin>, &Finding, String)> =
        groups.iter().map(|(first, all)| (least(all), *first, states(say, all))).collect();
    rows.sort_by(|a, b| match (&a.0, &b.0) {
        (Some(x), Some(y)) => x.axis.cmp(&y.axis),
        (x, y) => y.is_some().cmp(&x.is_some()),
    });
    let head = ["margin", "micros", "rule", "about", "states"];
    let mut table = Table::with_head(head.map(|key| say.get(&format!("verdicts.head.{key}")).to_owned()));
    for (margin, finding, states) in rows {
        let none = || say.get("verdicts.no_distance").to_owned();
        let (percent, micros) =
            margin.map_or_else(|| (none(), none()), |m| (say.percent(&m.axis), say.micros(&m.micros.0)));
        table.row_with_bold(
            vec![percent, micros, finding.rule.to_owned(), plain(&finding.about), states],
            &[0],
        );
    }
    table
}

/// The states of a group, each with its margin where they differ.
fn states(say: &Say<'_>, all: &[&Finding]) -> String {
    let axis = |f: &Finding| f.margin.as_ref().map(|m| m.axis.clone());
    let alike = all.windows(2).all(|two| axis(two[0]) == axis(two[1]));
    let mut said: Vec<String> = Vec::new();
    for finding in all {
        let name = state(say, &finding.state);
        let text = match axis(finding) {
            Some(margin) if !alike => format!("{name}\u{a0}{}", say.percent(&margin)),
            _ => name,
        };
        if !said.contains(&text) {
            said.push(text);
        }
    }
    said.join(", ")
}

/// Warnings, and in a draft errors, that nobody accepted.
pub(super) fn open(say: &Say<'_>, findings: &[Finding]) -> Table {
    let head = ["severity", "rule", "about", "message"];
    let mut table = Table::with_head(head.map(|key| say.get(&format!("verdicts.head.{key}")).to_owned()));
    for finding in findings.iter().filter(|f| f.is_open()) {
        let severity = say.get(&format!("verdicts.{}", finding.weight().word())).to_owned();
        let (about, message) = (plain(&finding.about), finding.message.clone());
        table.row_with_bold(vec![severity, finding.rule.to_owned(), about, message], &[0]);
    }
    table
}

/// What the builder lives with.
pub(super) fn accepted(say: &Say<'_>, findings: &[Finding]) -> Table {
    let head = ["rule", "about", "message", "because"];
    let mut table = Table::with_head(head.map(|key| say.get(&format!("verdicts.head.{key}")).to_owned()));
    for finding in findings.iter().filter(|f| f.outcome != Outcome::Proved) {
        if let Some(because) = &finding.accepted {
            let (about, message) = (plain(&finding.about), finding.message.clone());
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

/// A state of the boat in the language of the sheet.
pub(super) fn state(say: &Say<'_>, name: &str) -> String {
    let known = [
        ("piloting", "piloting"),
        ("waiting", "waiting"),
        ("lost for good", "lost_for_good"),
        ("power-up", "power_up"),
    ];
    if let Some((_, key)) = known.iter().find(|(known, _)| *known == name) {
        return say.get(&format!("states.{key}")).to_owned();
    }
    let stage = name.strip_prefix("stage ").map(|rest| match rest.rsplit_once(" (") {
        // The cause in brackets: the unit acts on low battery or a leak while the link stands.
        Some((stage, cause)) if cause.contains("battery") || cause.starts_with("leak") => (stage, true),
        _ => (rest, false),
    });
    match stage {
        Some((stage, true)) => say.fill("states.stage_alarm", &[("stage", &plain(stage))]),
        Some((stage, false)) => say.fill("states.stage", &[("stage", &plain(stage))]),
        None => plain(name),
    }
}
