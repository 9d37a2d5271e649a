//! The mark across a page that did not pass, or that rests on things nobody has measured.

use super::error::DocumentError;
use super::labels::text::common;
use super::{Job, Labels};
use crate::finding::{Finding, Outcome};
use crate::render::{Scene, mark_as_draft};

/// How many checks were not judged.
pub(super) fn not_judged(findings: &[Finding]) -> usize {
    findings.iter().filter(|f| f.outcome == Outcome::NotJudged).count()
}

/// What stands before the title and across each page; nothing where all was judged and passed.
pub(super) fn words(labels: &Labels, job: &Job<'_>, draft: bool) -> Option<[String; 2]> {
    if draft {
        return Some(super::words::draft_words(labels, job));
    }
    let count = not_judged(job.findings);
    let count = (count > 0).then(|| count.to_string())?;
    Some([
        labels.fill(common::Provisional { count: &count }),
        labels.fill(common::ProvisionalAcross { count: &count }),
    ])
}

/// Draws them over every page, where no template can leave them out.
pub(super) fn put(scene: &mut Scene, words: Option<&[String; 2]>) -> Result<(), DocumentError> {
    match words {
        Some([title, across]) => mark_as_draft(scene, title, across).map_err(DocumentError::Render),
        None => Ok(()),
    }
}
