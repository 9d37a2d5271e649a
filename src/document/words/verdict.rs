//! What the check came to, in one sentence.

use super::Labels;
use crate::document::labels::text::handover::verdict;
use crate::finding::{Finding, Outcome, Severity};

/// `Checked, nothing found: 87 checks proved …`; of a draft never anything that sounds like passed.
pub(in crate::document) fn verdict(labels: &Labels, findings: &[Finding], draft: bool) -> String {
    let open = || findings.iter().filter(|f| f.is_open());
    let errors = open().filter(|f| f.weight() == Severity::Error).count();
    let proved = findings.iter().filter(|f| f.outcome == Outcome::Proved).count();
    let accepted = findings.iter().any(|f| f.outcome != Outcome::Proved && f.accepted.is_some());
    let count = &proved.to_string();
    if errors > 0 {
        labels.fill(verdict::Failed { count: &errors.to_string() })
    } else if draft {
        labels.get(verdict::DRAFT).to_owned()
    } else if open().next().is_some() {
        labels.fill(verdict::Warnings { count })
    } else if accepted {
        labels.fill(verdict::Accepted { count })
    } else {
        labels.fill(verdict::Clean { count })
    }
}
