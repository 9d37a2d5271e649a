//! What the check came to, in one sentence.

use super::Labels;
use crate::finding::{Finding, Outcome, Severity};

/// `Checked, nothing found: 87 checks proved …`; of a draft never anything that sounds like passed.
pub(in crate::document) fn verdict(labels: &Labels, findings: &[Finding], draft: bool) -> String {
    let open = || findings.iter().filter(|f| f.is_open());
    let errors = open().filter(|f| f.weight() == Severity::Error).count();
    let proved = findings.iter().filter(|f| f.outcome == Outcome::Proved).count();
    let accepted = findings.iter().any(|f| f.outcome != Outcome::Proved && f.accepted.is_some());
    let (key, count) = if errors > 0 {
        ("failed", errors)
    } else if draft {
        ("draft", proved)
    } else if open().next().is_some() {
        ("warnings", proved)
    } else if accepted {
        ("accepted", proved)
    } else {
        ("clean", proved)
    };
    labels.fill(&format!("handover.verdict.{key}"), &[("count", &count.to_string())])
}
