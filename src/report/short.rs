//! One line for each finding, in the shape that editors jump to.

use super::text::{margin, one_line, verdict};
use super::{BOAT_FILE, FileReport, Place};
use crate::finding::Outcome;
use std::fmt::Write;

/// The lines for one file; nothing for a clean one, unless `all` asks for what was proved.
pub fn file(report: &FileReport, all: bool) -> String {
    let mut out = String::new();
    for mistake in &report.mistakes {
        let place = Place::of_mistake(report.source.as_ref(), mistake);
        let at = format!("{}:{}:{}", report.name, place.line, place.column);
        let _ = writeln!(out, "{at}: error[{BOAT_FILE}]: {}", one_line(&mistake.message));
    }
    for finding in report.found().chain(report.proved().filter(|_| all)) {
        let place = report.place(&finding.primary.0);
        let _ = write!(out, "{}:{}:{}: ", report.name, place.line, place.column);
        let _ = write!(out, "{}[{}]: {}", verdict(finding), finding.rule, one_line(&finding.message));
        let _ = write!(out, " ({}, {})", finding.about, finding.state);
        if let (false, Some(left)) = (finding.outcome != Outcome::Proved, &finding.margin) {
            let _ = write!(out, ": margin {}", margin(left));
        }
        if let Some(because) = &finding.accepted {
            let _ = write!(out, " because {}", one_line(because));
        }
        out.push('\n');
    }
    out
}
