//! `lidcard verify`: whether a card or a certificate in hand was made for this boat file.

use super::args::{Colour, TableFormat, Verify};
use super::outcome::{Failure, Outcome};
use super::{Streams, boat, check};
use crate::fingerprint::{Code, Difference, differences};
use crate::report::human;
use crate::report::text::hanging;
use crate::source::Source;
use serde::Serialize;
use std::path::{Path, PathBuf};

mod certificate;

/// So few characters apart, a code was more likely misread than made for another file: of a thousand
/// codes of other files not even one comes so near by chance.
const NEAR: usize = 2;

/// The answer, version 1; frozen like the report of `check`.
#[derive(Serialize)]
struct VerifyV1<'a> {
    version: u8,
    file: &'a str,
    /// The code of the file.
    code: String,
    /// The code on the card, if one was given.
    card: Option<String>,
    belongs: Option<bool>,
    /// The older file that the card was made for.
    older: Option<&'a str>,
    /// What changed since then.
    differences: Vec<DifferenceV1<'a>>,
    /// A file whose code is nearly that of the card.
    nearly: Option<&'a str>,
}

#[derive(Serialize)]
struct DifferenceV1<'a> {
    path: &'a str,
    before: Option<&'a str>,
    after: Option<&'a str>,
}

/// Compares the code of the card with that of the file, and where they differ with older files.
pub(super) fn run(args: &Verify, colour: Colour, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let look = streams.screen.look_of_stderr(colour);
    let (source, setup) = match boat::load_one(&args.file, streams.stdin)? {
        Ok(loaded) => loaded,
        Err(report) => {
            streams.complain_drawn(&human::file(&report, look, false), look)?;
            return Ok(Outcome::Failed);
        }
    };
    if let Some(file) = &args.certificate {
        let width = streams.screen.look_of_stdout(colour).width;
        return certificate::verified(file, (&source, &setup), args, width, streams);
    }
    let code = Code::of(&source);
    let belongs = args.code.map(|card| card == code);
    let mut search = Search::default();
    if let Some(card) = args.code.filter(|card| *card != code) {
        search.note_near(card, code, &source.name);
        search.look_for(card, &args.older, streams)?;
    }
    let changed = search.found.as_ref().map(|older| differences(older, &source)).unwrap_or_default();
    let text = match args.format {
        TableFormat::Json => check::json(&VerifyV1 {
            version: 1,
            file: &source.name,
            code: code.to_string(),
            card: args.code.map(|c| c.to_string()),
            belongs,
            older: search.found.as_ref().map(|s| s.name.as_str()),
            differences: changed.iter().map(difference).collect(),
            nearly: search.nearly.as_ref().map(|(_, name)| name.as_str()),
        })?,
        TableFormat::Human => match args.code {
            None => format!("{code}  {}\n", source.name),
            Some(card) if card == code => format!("{card} belongs to {}\n", source.name),
            Some(card) => {
                let width = streams.screen.look_of_stdout(colour).width;
                other(card, code, &source.name, &search, &changed, width)
            }
        },
    };
    streams.say(text)?;
    Ok(if belongs == Some(false) { Outcome::Found } else { Outcome::Clean })
}

/// What older files gave.
#[derive(Default)]
struct Search {
    /// The one with the code of the card.
    found: Option<Source>,
    /// The one that comes nearest to it, and how far it is off.
    nearly: Option<(usize, String)>,
    /// How many were read.
    read: usize,
}

impl Search {
    fn note_near(&mut self, card: Code, code: Code, name: &str) {
        let distance = card.distance(code);
        if distance <= NEAR && self.nearly.as_ref().is_none_or(|(nearest, _)| distance < *nearest) {
            self.nearly = Some((distance, name.to_owned()));
        }
    }

    /// Looks into older files and folders of them.
    fn look_for(&mut self, card: Code, older: &[PathBuf], streams: &mut Streams<'_>) -> Result<(), Failure> {
        for file in older_files(older)? {
            self.look_into(card, file, streams)?;
        }
        Ok(())
    }

    fn look_into(&mut self, card: Code, file: Older, streams: &mut Streams<'_>) -> Result<(), Failure> {
        let name = file.path.display();
        let source = match Source::load(&file.path) {
            Ok(source) => source,
            Err(unreadable) => {
                let (_, mistake) = unreadable.into_parts();
                let why = format!("cannot read {name}: {}", mistake.message);
                // One bad file in a folder of many must not hide the one that is looked for.
                return if file.named { Err(Failure(why)) } else { streams.complain(why + "\n") };
            }
        };
        self.read += 1;
        let code = Code::of(&source);
        if code == card {
            self.found.get_or_insert(source);
        } else {
            self.note_near(card, code, &source.name);
        }
        Ok(())
    }
}

/// A file to look into, and whether it was named itself or lies in a folder that was.
struct Older {
    path: PathBuf,
    named: bool,
}

fn older_files(names: &[PathBuf]) -> Result<Vec<Older>, Failure> {
    let mut all = Vec::new();
    for name in names {
        if !name.is_dir() {
            all.push(Older { path: name.clone(), named: true });
            continue;
        }
        let why = |error| Failure(format!("cannot look into {}: {error}", name.display()));
        let mut inside = Vec::new();
        for entry in std::fs::read_dir(name).map_err(why)? {
            let path = entry.map_err(why)?.path();
            if is_yaml(&path) {
                inside.push(path);
            }
        }
        // A folder lists its files in any order it likes.
        inside.sort();
        all.extend(inside.into_iter().map(|path| Older { path, named: false }));
    }
    Ok(all)
}

fn is_yaml(path: &Path) -> bool {
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or_default();
    path.is_file() && (ending.eq_ignore_ascii_case("yaml") || ending.eq_ignore_ascii_case("yml"))
}

fn other(
    card: Code,
    code: Code,
    file: &str,
    search: &Search,
    changed: &[Difference],
    width: usize,
) -> String {
    let mut out = format!("{card} does not belong to {file}: its code is {code}\n");
    match (&search.found, search.read) {
        (Some(older), _) => {
            out.push_str(&format!("it belongs to {}; since then changed:\n", older.name));
            tell_changes(&mut out, changed);
            hanging(&mut out, "  help: ", "print a new card, and take the old one out of the lid", width);
            return out;
        }
        (None, 0) => {
            hanging(&mut out, "  help: ", "to see what changed, name older files behind --older", width);
        }
        (None, 1) => out.push_str("nor does it belong to the older file\n"),
        (None, many) => out.push_str(&format!("nor does it belong to any of the {many} older files\n")),
    }
    if let Some((distance, name)) = &search.nearly {
        let places = if *distance == 1 { "one character" } else { "two characters" };
        let text = format!("it differs from the code of {name} in {places} only: read it again");
        hanging(&mut out, "  help: ", &text, width);
    }
    out
}

fn tell_changes(out: &mut String, changed: &[Difference]) {
    for Difference { path, before, after } in changed {
        let shown = |value: &Option<String>| value.clone().unwrap_or_else(|| "(not given)".to_owned());
        out.push_str(&format!("  {path}: {} -> {}\n", shown(before), shown(after)));
    }
}

fn difference(d: &Difference) -> DifferenceV1<'_> {
    DifferenceV1 { path: &d.path, before: d.before.as_deref(), after: d.after.as_deref() }
}
