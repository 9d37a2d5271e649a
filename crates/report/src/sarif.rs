//! The report as SARIF 2.1.0, which code review and build servers read. Section numbers are those
//! of the standard.

use super::closing::Sum;
use super::format::{self, Format, Part};
use super::text::{one_line, signed_percent};
use super::{BOAT_FILE, FilePlace, FileReport, Look};
use crate::finding::{Finding, Outcome};
use crate::rule::{self, Rule};
use crate::source::Mistake;
use serde_json::{Result, Value, json};

/// As a shape of the report.
pub struct Sarif;

impl Format for Sarif {
    fn name(&self) -> &'static str {
        "sarif"
    }

    fn about(&self) -> &'static str {
        "For code review and build servers, SARIF 2.1.0"
    }

    fn part(&self, report: &FileReport, _: Look, all: bool) -> Result<Part> {
        Ok(Part::Values(results(report, all)))
    }

    fn whole(&self, parts: Vec<Part>, sums: &[Sum]) -> Result<String> {
        format::pretty(&check(format::values(parts), sums.iter().all(Sum::is_read)))
    }
}

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// One log with one run of these results; `read` says whether every file could be read.
pub fn check(results: Vec<Value>, read: bool) -> Value {
    let mut rules: Vec<Value> = rule::ALL.iter().map(descriptor).collect();
    rules.push(json!({
        "id": BOAT_FILE,
        "shortDescription": {"text": "The boat file cannot be read or understood."},
        "help": {"text": "Nothing was checked. Put the file right at the place shown and check it again."},
        "defaultConfiguration": {"level": "error"},
    }));
    json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "lidcard",
                "version": env!("CARGO_PKG_VERSION"),
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": rules,
            }},
            "invocations": [{"executionSuccessful": read}],
            // 3.14.17: our columns count characters, not the units of any encoding.
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    })
}

/// A rule, described by its own page.
fn descriptor(rule: &Rule) -> Value {
    let plain = rule.name.replace('-', " ");
    let short = first_sentence(section(rule.text, "What is wrong")).unwrap_or(plain);
    let mut out = json!({
        "id": rule.name,
        "shortDescription": {"text": short},
        "help": {"text": rule.text, "markdown": rule.text},
    });
    let severity = rule.text.lines().find_map(|line| line.strip_prefix("severity: "));
    let level = severity.and_then(|line| line.split_whitespace().next());
    if let Some(level @ ("error" | "warning")) = level {
        out["defaultConfiguration"] = json!({"level": level});
    }
    out
}

fn section<'a>(page: &'a str, heading: &str) -> &'a str {
    let behind = page.split_once(&format!("## {heading}\n")).map_or("", |(_, behind)| behind);
    behind.split("\n## ").next().unwrap_or_default().trim()
}

fn first_sentence(text: &str) -> Option<String> {
    let paragraph = one_line(text.split("\n\n").next().unwrap_or_default());
    let end = paragraph.find(". ").map_or(paragraph.len(), |at| at + 1);
    (end > 0).then(|| paragraph[..end].to_owned())
}

/// The results for one file.
pub fn results(report: &FileReport, all: bool) -> Vec<Value> {
    let mistakes = report.mistakes.iter().map(|m| mistake(report, m));
    let found = report.found().map(|f| finding(report, f));
    let proved = report.proved().filter(|_| all).map(|f| proved(report, f));
    // Whoever looks at results only must not take silence for a proof.
    let open = report.not_judged().filter(|f| !f.is_open()).map(|f| not_judged(report, f));
    mistakes.chain(found).chain(open).chain(proved).collect()
}

fn mistake(report: &FileReport, m: &Mistake) -> Value {
    let help = m.help.as_ref().map_or_else(String::new, |help| format!(" Help: {help}."));
    let place = FilePlace::of_mistake(report.source.as_ref(), m);
    json!({
        "ruleId": BOAT_FILE,
        "ruleIndex": rule::ALL.len(),
        "kind": "fail",
        "level": "error",
        "message": {"text": format!("{}.{help}", m.message)},
        "locations": [{"physicalLocation": physical(report, place)}],
        "suppressions": [],
    })
}

fn finding(report: &FileReport, f: &Finding) -> Value {
    let mut result = base(report, f);
    // 3.27.10: with any kind but `fail` the level would have to be `none`, and what is undecided
    // counts as an error. So it is a failure here, and its own word stands among the properties.
    result["kind"] = json!("fail");
    result["level"] = json!(f.weight().word());
    let mut text = format!("{}.", f.message);
    if let Some(shown) = &f.witness {
        let output = signed_percent(&shown.output);
        text.push_str(&format!(" Shown by: {}: output {output}, {:.1}.", shown.words, shown.pulse));
    }
    for help in &f.help {
        text.push_str(&format!(" Help: {help}."));
    }
    result["message"] = json!({"text": text});
    let others = f.others.iter().map(|(path, words)| {
        json!({
            "physicalLocation": physical(report, report.place(path)),
            "message": {"text": words},
        })
    });
    result["relatedLocations"] = others.collect();
    // 3.27.23: either every result of a run says whether it is suppressed, or none does.
    result["suppressions"] = match &f.accepted {
        Some(because) => {
            json!([{"kind": "inSource", "status": "accepted", "justification": because}])
        }
        None => json!([]),
    };
    let outcome = match f.outcome {
        Outcome::Undecided => "undecided",
        Outcome::NotJudged => "not judged",
        Outcome::Broken | Outcome::Proved => "broken",
    };
    result["properties"]["outcome"] = json!(outcome);
    result
}

/// 3.27.9: `open` is a rule that could not be evaluated for want of something.
fn not_judged(report: &FileReport, f: &Finding) -> Value {
    let mut result = base(report, f);
    result["kind"] = json!("open");
    result["level"] = json!("none");
    let wanting: Vec<String> = f.missing.iter().map(|m| format!(" `{}`: {}.", m.key(), m.bench)).collect();
    result["message"] = json!({"text": format!("{}.{}", f.message, wanting.concat())});
    result["suppressions"] = json!([]);
    result["properties"]["outcome"] = json!("not judged");
    result
}

fn proved(report: &FileReport, f: &Finding) -> Value {
    let mut result = base(report, f);
    result["kind"] = json!("pass");
    result["level"] = json!("none");
    result["message"] = json!({"text": format!("{}.", f.message)});
    result["suppressions"] = json!([]);
    result["properties"]["outcome"] = json!(if f.by_estimate { "by estimate" } else { "proved" });
    result
}

/// What every result of a rule has.
fn base(report: &FileReport, f: &Finding) -> Value {
    let mut place = json!({
        "physicalLocation": physical(report, report.place(&f.primary.0)),
        "logicalLocations": [{"fullyQualifiedName": f.about}],
    });
    if !f.primary.1.is_empty() {
        place["message"] = json!({"text": f.primary.1});
    }
    let mut result = json!({
        "ruleId": f.rule,
        "locations": [place],
        // Lines move when a file is edited; what a finding is about stays.
        "partialFingerprints": {"about/v1": format!("{}/{}/{}", f.rule, f.about, f.state)},
        "properties": {"state": f.state},
    });
    if let Some(index) = rule::ALL.iter().position(|rule| rule.name == f.rule) {
        result["ruleIndex"] = json!(index);
    }
    result
}

fn physical(report: &FileReport, place: FilePlace) -> Value {
    let FilePlace { line, column, end_line, end_column } = place;
    json!({
        "artifactLocation": {"uri": uri(&report.name)},
        "region": {
            "startLine": line,
            "startColumn": column,
            "endLine": end_line,
            "endColumn": end_column,
        },
    })
}

/// A file name as a reference of RFC 3986: what has a meaning there is written as its bytes.
fn uri(name: &str) -> String {
    let mut out = String::new();
    for byte in name.replace(std::path::MAIN_SEPARATOR, "/").bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{first_sentence, section, uri};

    #[test]
    fn a_file_name_becomes_a_reference() {
        assert_eq!(uri("boats/my boat: 2ä.yaml"), "boats/my%20boat%3A%202%C3%A4.yaml");
    }

    #[test]
    fn a_rule_is_described_by_the_first_sentence_of_its_page() {
        let page = "# x\n\n## What is wrong\n\nIt leaks\nbadly. And more.\n\nLast.\n\n## Cure\n\nNo.\n";
        assert_eq!(first_sentence(section(page, "What is wrong")).as_deref(), Some("It leaks badly."));
        assert_eq!(first_sentence(section("# x", "What is wrong")), None);
    }
}
