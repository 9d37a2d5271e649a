//! What a draft says of a boat that failed her check.

use super::{Labels, about, sentence};
use crate::Job;
use crate::finding::{Finding, Outcome, Severity};
use crate::labels::text::common;
use crate::rule::{ALL, page};

/// The worst that is wrong, for a draft of a boat that failed her check: `CHECK FAILED: …`. What hurts people
/// comes before what hurts the boat.
pub(crate) fn failed(labels: &Labels, job: &Job<'_>) -> Option<String> {
    let hurts_no_people = |finding: &Finding| {
        let rule = ALL.iter().find(|rule| rule.name == finding.rule);
        let whom = rule.and_then(|rule| page::hurts(rule.text)).unwrap_or_default();
        !whom.split(", ").any(|who| who == "people")
    };
    let open = job.findings.iter().filter(|finding| fails(finding));
    let worst = open.min_by_key(|finding| (hurts_no_people(finding), finding.outcome.rank()))?;
    let what = sentence(labels, job.setup, worst);
    let about = about(labels, job.setup, worst);
    let what = if what.contains(&about) { what } else { format!("{about}: {what}") };
    Some(labels.fill(common::Failed { what: &what }))
}

/// What nobody could judge did not fail.
fn fails(finding: &Finding) -> bool {
    finding.is_open() && finding.weight() == Severity::Error && finding.outcome != Outcome::NotJudged
}

/// What a draft is called in its foot, and what is written across it.
pub(crate) fn draft_words(labels: &Labels, job: &Job<'_>) -> [String; 2] {
    let broken = job.findings.iter().any(fails);
    let words = match broken {
        true => [common::DRAFT_FAILED, common::FAILED_ACROSS],
        false => [common::DRAFT, common::DRAFT_ACROSS],
    };
    words.map(|path| labels.get(path).to_owned())
}
