//! What is not judged: the figures that nobody has measured, how the bench finds each, what hangs on it, and room
//! to write it down. It stands before everything else.

use super::say::Say;
use super::table::Table;
use crate::finding::{Finding, Missing, Outcome};
use crate::labels::text::sheet::unjudged::{self, head};
use crate::words::{self, listed, plain};

/// A figure, with everything that hangs on it.
pub(crate) struct Open<'a> {
    pub(crate) missing: &'a Missing,
    on: Vec<&'a Finding>,
}

impl Open<'_> {
    /// Whether people could be hurt by what hangs on it.
    pub(crate) fn hurts(&self) -> bool {
        self.on.iter().any(|finding| finding.hurts)
    }
}

/// Each figure that something hangs on: what could hurt people first, then where most hangs on it.
pub(crate) fn open(findings: &[Finding]) -> Vec<Open<'_>> {
    let mut all: Vec<Open<'_>> = Vec::new();
    for finding in findings.iter().filter(|f| f.outcome == Outcome::NotJudged) {
        for missing in &finding.missing {
            match all.iter_mut().find(|open| open.missing.path == missing.path) {
                Some(open) => open.on.push(finding),
                None => all.push(Open { missing, on: vec![finding] }),
            }
        }
    }
    // The sort keeps the order of the findings among equals.
    all.sort_by_key(|open| (!open.hurts(), std::cmp::Reverse(open.on.len())));
    all
}

/// A row for each figure.
pub(super) fn rows(say: &Say<'_>, findings: &[Finding]) -> Table {
    let mut table = Table::with_head(say.all([head::FIGURE, head::BENCH, head::HANGS, head::FOUND]));
    for open in open(findings) {
        let hurts = open.hurts();
        let Open { missing, on } = open;
        let on = listed(on.iter().map(|finding| {
            let about = words::about(say.labels, say.setup, finding);
            say.fill(unjudged::Hangs { what: &words::proved(say.labels, finding.rule), about: &about })
        }));
        let on = if hurts { say.fill(unjudged::Hurts { on: &on }) } else { on };
        let figure = plain(&missing.path.0.join(", "));
        table.row_with_bold(vec![figure, bench(say, missing), on, String::new()], &[0]);
    }
    table
}

/// How the bench finds a figure, in the reader's language; what has no words there yet is told as the report does.
pub(crate) fn bench(say: &Say<'_>, missing: &Missing) -> String {
    let word = word(say, &missing.path.0);
    say.labels.find_word(unjudged::BENCHES, &word).unwrap_or(&missing.bench).to_owned()
}

/// The word for a kind of figure: its key, or where one key has several kinds, by where it stands in the file.
pub(crate) fn word(say: &Say<'_>, path: &[String]) -> String {
    let keys: Vec<&str> = path.iter().map(String::as_str).collect();
    let lets_go_somewhere = |device: &str, work: &str| {
        let works = say.setup.devices.iter().filter(|d| d.name == device).flat_map(|d| &d.works);
        works.into_iter().any(|w| w.name == work && w.releases.is_some())
    };
    match keys[..] {
        ["transmitter", .., "accuracy"] => "pulse".to_owned(),
        ["fail_safe", "accuracy"] => "unit".to_owned(),
        ["devices", device, "works", work, "releases"] if lets_go_somewhere(device, work) => {
            "tolerance".to_owned()
        }
        [.., "from" | "to" | "full" | "beyond" | "below"] => "tolerance".to_owned(),
        ["devices", _, "linkage", key] if key != "rests" => "length".to_owned(),
        ["batteries", ..] => "batteries".to_owned(),
        ["transmitter", "region" | "frequency"] => "region".to_owned(),
        ["hull", "heavy"] => "heavy".to_owned(),
        ["devices", _, "speed"] => "takes".to_owned(),
        ["hull" | "tank", ..] | ["boat", "depth_limit"] => "hull".to_owned(),
        _ => plain(keys.last().copied().unwrap_or_default()),
    }
}
