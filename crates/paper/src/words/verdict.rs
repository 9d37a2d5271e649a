//! What the check came to, in one sentence.

use super::Labels;
use crate::finding::{Finding, Outcome, Rests, Severity};
use crate::labels::text::handover::verdict;

/// `Checked, nothing found: 87 checks proved …`; of a draft never anything that sounds like passed.
pub(crate) fn verdict(labels: &Labels, findings: &[Finding], draft: bool) -> String {
    let open = || findings.iter().filter(|f| f.is_open());
    let errors = open().filter(|f| f.weight() == Severity::Error).count();
    let proved = findings.iter().filter(|f| f.outcome == Outcome::Proved && !f.by_estimate).count();
    let accepted = findings.iter().any(|f| f.outcome != Outcome::Proved && f.accepted.is_some());
    let count = &proved.to_string();
    let open_checks = crate::mark::not_judged(findings);
    if errors > 0 {
        return labels.fill(verdict::Failed { count: &errors.to_string() });
    }
    if draft {
        return labels.get(verdict::DRAFT).to_owned();
    }
    let head = if open_checks > 0 {
        labels.fill(verdict::Provisional { count, open: &open_checks.to_string() })
    } else if open().next().is_some() {
        labels.fill(verdict::Warnings { count })
    } else if accepted {
        labels.fill(verdict::Accepted { count })
    } else {
        labels.fill(verdict::Clean { count })
    };
    match rests(labels, findings) {
        Some(rests) => format!("{head} {rests}"),
        None => head,
    }
}

/// How much of what was proved rests on readings, and for how many of them it holds.
fn rests(labels: &Labels, findings: &[Finding]) -> Option<String> {
    let all = || findings.iter().filter(|f| f.outcome == Outcome::Proved).filter_map(|f| f.rests.as_ref());
    let rests = least_claim(all())?;
    let few = all().filter(|rests| !rests.enough()).count();
    if few > 0 {
        return Some(labels.fill(verdict::RestsTooFew { count: &few.to_string() }));
    }
    let [coverage, confidence] =
        &[&rests.coverage, &rests.confidence].map(|share| super::percent(labels, share));
    Some(labels.fill(verdict::Rests { count: &all().count().to_string(), coverage, confidence }))
}

/// Of several claims the least.
pub(crate) fn least_claim<'a>(all: impl Iterator<Item = &'a Rests>) -> Option<Rests> {
    all.cloned().reduce(Rests::least)
}
