//! One line for each finding, in the shape that editors jump to.

use super::closing::{self, Sum};
use super::format::{self, Format, Part};
use super::text::{margin, one_line, verdict};
use super::{BOAT_FILE, FilePlace, FileReport, Look};
use crate::finding::Outcome;
use crate::source::visible::visible;
use serde_json::Result;
use std::fmt::Write;

/// As a shape of the report.
pub struct Short;

impl Format for Short {
    fn name(&self) -> &'static str {
        "short"
    }

    fn about(&self) -> &'static str {
        "One line each"
    }

    fn part(&self, report: &FileReport, _: Look, all: bool) -> Result<Part> {
        // Files are looked at on terminals, too.
        Ok(Part::Text(visible(&file(report, all)).into_owned()))
    }

    fn whole(&self, parts: Vec<Part>, sums: &[Sum]) -> Result<String> {
        Ok(format::text(parts) + &closing::line(sums))
    }
}

/// The lines for one file; nothing for a clean one, unless `all` asks for what was proved.
pub fn file(report: &FileReport, all: bool) -> String {
    let mut out = String::new();
    for mistake in &report.mistakes {
        let place = FilePlace::of_mistake(report.source.as_ref(), mistake);
        let at = format!("{}:{}:{}", report.name, place.line, place.column);
        let _ = writeln!(out, "{at}: error[{BOAT_FILE}]: {}", one_line(&mistake.message));
    }
    let quiet = report.not_judged().filter(|f| all && !f.is_open());
    for finding in report.found().chain(quiet).chain(report.proved().filter(|_| all)) {
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
