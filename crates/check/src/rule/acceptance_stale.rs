//! An acceptance in the file that no finding answers to any more.

use super::acceptance;
use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Finding, Outcome, Severity, StateId, Subject};

pub(super) const NAME: &str = "acceptance-stale";

/// Settles what the others found with what is accepted, then once for each acceptance.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    acceptance::settle(engine.setup, findings);
    for (index, accepted) in engine.setup.accept.iter().enumerate() {
        let stale = !findings.iter().any(|f| is_wrong(f) && acceptance::matches(accepted, f));
        let (rule, about) = (&accepted.rule, &accepted.about);
        // A slip in `where` looks the same as a finding that was put right: say which it may be.
        let elsewhere: Vec<&str> =
            findings.iter().filter(|f| f.is_open() && f.rule == rule).map(|f| f.about.as_str()).collect();
        let help = match elsewhere.first() {
            Some(other) => format!("take it out, or if `{other}` was meant, write that under `where`"),
            None => "take it out; should the mistake come back, you will want to hear of it".to_owned(),
        };
        findings.push(
            Draft::new(NAME, Severity::Warning, Subject::Acceptance(index), StateId::OnPaper)
                .at(acceptance::path(index), "nothing answers to this")
                .name("rule", rule)
                .help(help)
                .close_plain(
                    stale,
                    &format!("{rule} is accepted at {about}, but nothing of the kind is found there"),
                    &format!("the acceptance of {rule} at {about} is needed"),
                ),
        );
    }
}

/// Whether there is something to accept; what is not judged and hurts nobody is none.
fn is_wrong(finding: &Finding) -> bool {
    finding.outcome != Outcome::Proved && (finding.outcome != Outcome::NotJudged || finding.is_open())
}

#[cfg(test)]
mod tests {
    #[test]
    fn it_comes_last_because_it_looks_at_what_the_others_found() {
        assert_eq!(crate::rule::ALL.last().map(|rule| rule.name), Some(super::NAME));
    }
}
