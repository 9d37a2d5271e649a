//! What is not judged, by what the file would have to say: figures that the bench finds in the same way are
//! told together, not each check by itself.

use super::FileReport;
use super::text::{counted, hanging};
use crate::finding::{Finding, Missing};

/// How many orders for the bench are printed where not everything is asked for.
const MOST: usize = 8;

/// Figures that are found in the same way, and in how many checks each counts.
struct Wanted<'a> {
    bench: &'a str,
    keys: Vec<(&'a Missing, usize)>,
}

impl Wanted<'_> {
    fn checks(&self) -> usize {
        self.keys.iter().map(|(_, checks)| checks).sum()
    }
}

fn wanted(report: &FileReport) -> Vec<Wanted<'_>> {
    let mut all: Vec<Wanted> = Vec::new();
    for missing in report.not_judged().flat_map(|finding| &finding.missing) {
        let at = all.iter().position(|known| known.bench == missing.bench).unwrap_or_else(|| {
            all.push(Wanted { bench: &missing.bench, keys: Vec::new() });
            all.len() - 1
        });
        let keys = &mut all[at].keys;
        match keys.iter_mut().find(|(known, _)| known.path == missing.path) {
            Some((_, checks)) => *checks += 1,
            None => keys.push((missing, 1)),
        }
    }
    // Where most is to be won comes first; the sort keeps the order of the file among equals.
    all.iter_mut().for_each(|wanted| wanted.keys.sort_by_key(|(_, checks)| std::cmp::Reverse(*checks)));
    all.sort_by_key(|wanted| std::cmp::Reverse(wanted.checks()));
    all
}

/// What to measure or to write, most useful first.
pub(super) fn summary(out: &mut String, report: &FileReport, width: usize, all: bool) {
    let wanted = wanted(report);
    if wanted.is_empty() {
        return;
    }
    out.push_str("not judged, because the file does not say:\n");
    let shown = if all { wanted.len() } else { MOST };
    for Wanted { bench, keys } in wanted.iter().take(shown) {
        let told = keys.iter().map(|(missing, checks)| {
            let said = if missing.said { ", not measured" } else { "" };
            format!("{} ({}{said})", missing.key(), counted(*checks, "check", "checks"))
        });
        hanging(out, "  ", &told.collect::<Vec<_>>().join(", "), width);
        hanging(out, "    to find out: ", bench, width);
    }
    if wanted.len() > shown {
        out.push_str("  and more\n");
    }
    out.push('\n');
}

/// What decides one check: "holds if it repeats within ± 4.1 %", with the key.
pub(super) fn decides(finding: &Finding) -> Vec<String> {
    let told: Vec<String> = finding
        .missing
        .iter()
        .filter_map(|missing| Some(format!("holds {} (`{}`)", missing.holds.as_ref()?, missing.key())))
        .collect();
    if !told.is_empty() {
        return told;
    }
    let keys: Vec<String> = finding.missing.iter().map(|missing| format!("`{}`", missing.key())).collect();
    vec![format!("hangs on {}{}", keys.join(", "), if keys.len() > 1 { ", together" } else { "" })]
}
