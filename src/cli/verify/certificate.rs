//! Whether a certificate is of a boat file, and as it would be written now.

use super::Search;
use crate::certificate::{self, Unread};
use crate::cli::args::{TableFormat, Verify};
use crate::cli::outcome::{Failure, Outcome};
use crate::cli::progress::during;
use crate::cli::write::sum;
use crate::cli::{Streams, check, read};
use crate::fingerprint::{Code, differences};
use crate::question::Engine;
use crate::report::text::hanging;
use crate::setup::Setup;
use crate::source::Source;
use crate::source::visible::visible;
use serde::Serialize;
use std::path::Path;

/// So many letters are shown before and behind the first that differs.
const AROUND: usize = 24;

/// Of a boat on which everything hangs it is a fraction of that.
const LONGEST: u64 = 16 << 20;

/// The answer, version 1; frozen like the report of `check`.
#[derive(Serialize)]
struct CertificateV1<'a> {
    version: u8,
    file: &'a str,
    code: String,
    certificate: String,
    sha256: String,
    /// It says that it is of this file.
    belongs: bool,
    /// It is, byte for byte, what would be written now.
    unchanged: bool,
}

/// Holds a certificate against the boat file, and where it is of another against older files.
pub(super) fn verified(
    path: &Path,
    (source, setup): (&Source, &Setup),
    args: &Verify,
    width: usize,
    streams: &mut Streams<'_>,
) -> Result<Outcome, Failure> {
    let shown = path.display().to_string();
    let bytes = read::bytes(path, LONGEST, "certificate of one boat")?;
    let text = String::from_utf8_lossy(&bytes);
    let of = certificate::code_in(&text).map_err(|why| Failure(no_certificate(&shown, &why)))?;
    let (code, name) = (Code::of(source), &source.name);
    let belongs = of == code;
    let judge = || if belongs { certificate::judged(source, Engine::new(setup)).1 } else { String::new() };
    let now = during(streams.screen, "checking", judge);
    let unchanged = belongs && now.as_bytes() == bytes;
    let sha256 = sum(&bytes);
    let said = match args.format {
        TableFormat::Json => check::json(&CertificateV1 {
            version: 1,
            file: name,
            code: code.to_string(),
            certificate: shown.clone(),
            sha256,
            belongs,
            unchanged,
        })?,
        TableFormat::Human if unchanged => {
            format!("{shown} is the certificate of {name}\n  SHA-256 {sha256}\n")
        }
        TableFormat::Human if belongs => {
            changed(&shown, name, (&text, &now), width) + &format!("  SHA-256 {sha256}\n")
        }
        TableFormat::Human => {
            let mut said =
                format!("{shown} is of another boat file: its code is {of}, that of {name} is {code}\n");
            let mut search = Search::default();
            search.look_for(of, &args.older, streams)?;
            foreign(&mut said, &search, source, width);
            said + &format!("  SHA-256 {sha256}\n")
        }
    };
    streams.say(said)?;
    Ok(if unchanged { Outcome::Clean } else { Outcome::Found })
}

/// What keeps a file from being a certificate, where, and what to do.
fn no_certificate(shown: &str, why: &Unread) -> String {
    let anew = "`lidcard check BOAT --certificate FILE` writes one";
    match why {
        Unread::NoJson { column: 0, .. } => format!("{shown} is no certificate: it is empty; {anew}"),
        Unread::NoJson { line, column, is_cut: true } => format!(
            "{shown} is no whole certificate: it ends in the middle, in line {line}, column {column}; copy it again, or \
             write it anew: {anew}"
        ),
        Unread::NoJson { line, column, is_cut: false } => {
            format!("{shown} is no certificate: line {line}, column {column} is no JSON; {anew}")
        }
        Unread::Lacks(key) => {
            format!("{shown} is no certificate: it has no `{key}`, or not such as a certificate has; {anew}")
        }
        Unread::Version(version) => format!(
            "{shown} is no certificate that this program knows: it says version {}, and this is version 1; verify it with \
             the program that wrote it, or write it anew: {anew}",
            visible(version)
        ),
    }
}

/// That it is not what would be written now, and where that begins.
fn changed(shown: &str, name: &str, (text, now): (&str, &str), width: usize) -> String {
    let mut said = format!("{shown} is of {name}, but not as it would be written now\n");
    if text.replace("\r\n", "\n") == now {
        let why = "only its line ends differ: a mail or an editor has changed them, and with them its sum; write it again";
        hanging(&mut said, "  help: ", why, width);
        return said;
    }
    let (line, there, here) = first_difference(text, now);
    let part = format!("from line {line} on: it says {there}, now it would say {here}");
    hanging(&mut said, "  ", &part, width);
    let help =
        "another version wrote it, or somebody changed it: have its checker follow it, or write it again";
    hanging(&mut said, "  help: ", help, width);
    said
}

/// The first line that differs, and what stands there in each, about the first letter that does.
fn first_difference(text: &str, now: &str) -> (usize, String, String) {
    let mut both = text.lines().zip(now.lines());
    let alike = both.by_ref().take_while(|(a, b)| a == b).count();
    let of = |text: &str| text.lines().nth(alike).map(str::to_owned);
    let (there, here) = (of(text), of(now));
    let letters = |line: &Option<String>| line.as_deref().unwrap_or_default().chars().collect::<Vec<char>>();
    let (a, b) = (letters(&there), letters(&here));
    let at = a.iter().zip(&b).take_while(|(a, b)| a == b).count();
    let excerpt = |line: &[char], is_there: bool| {
        if !is_there {
            return "nothing more".to_owned();
        }
        let (from, to) = (at.saturating_sub(AROUND).min(line.len()), (at + AROUND).min(line.len()));
        let before = if from > 0 { "…" } else { "" };
        let behind = if to < line.len() { "…" } else { "" };
        let part: String = line[from..to].iter().collect();
        format!("`{before}{}{behind}`", visible(part.trim()))
    };
    (alike + 1, excerpt(&a, there.is_some()), excerpt(&b, here.is_some()))
}

/// Of which older file it is and what changed since then, or how to find that out.
fn foreign(said: &mut String, search: &Search, source: &Source, width: usize) {
    match (&search.found, search.read) {
        (Some(older), _) => {
            said.push_str(&format!("it is of {}; since then changed:\n", older.name));
            super::tell_changes(said, &differences(older, source));
            hanging(said, "  help: ", "write it again, and print the papers again that bear its sum", width);
        }
        (None, 0) => {
            let help = "to see what changed, name older files behind --older; or write it again";
            hanging(said, "  help: ", help, width);
        }
        (None, 1) => said.push_str("nor is it of the older file\n"),
        (None, many) => said.push_str(&format!("nor is it of any of the {many} older files\n")),
    }
}

#[cfg(test)]
mod tests {
    use super::first_difference;

    #[test]
    fn the_first_letter_that_differs_is_shown_with_some_about_it() {
        let (line, there, here) = first_difference("{\n\"a\": 1\n}", "{\n\"a\": 2\n}");
        assert_eq!((line, there.as_str(), here.as_str()), (2, "`\"a\": 1`", "`\"a\": 2`"));
        let (line, there, here) = first_difference("{\n", "{\n}\n");
        assert_eq!((line, there.as_str(), here.as_str()), (2, "nothing more", "`}`"));
        let long = format!("{}x{}", "a".repeat(40), "b".repeat(40));
        let (_, there, _) = first_difference(&long, &long.replace('x', "y"));
        assert_eq!(there, format!("`…{}x{}…`", "a".repeat(24), "b".repeat(23)));
    }
}
