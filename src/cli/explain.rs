//! `lidcard explain`: the page of a rule, of a key of the boat file or of a word, as plain text; or the list
//! of all rules, or of all keys.

mod words;

use super::Streams;
use super::args::{Args, Explain, TextFormat};
use super::outcome::{Failure, Outcome};
use crate::report::text::{hanging, wrapped};
use crate::rule::{self, page};
use crate::setup::lower::{near, shown};
use clap::CommandFactory;
use std::fmt::Write;

/// The one page that belongs to no rule.
const FAULTS: &str = "faults";
/// The list of all keys.
const KEYS: &str = "keys";
/// The page of everything that is neither a rule nor a key.
const WORDS: &str = "words";

/// Prints the page, or the list when no rule is named.
pub(super) fn run(args: &Explain, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let width = streams.screen.width;
    let text = match (args.format, args.word.as_deref()) {
        (TextFormat::Human, None) => list(width),
        (TextFormat::Human, Some(KEYS)) => words::list(width),
        (TextFormat::Human, Some(word)) => plain(&page_of(word)?, width),
        (TextFormat::Markdown, None) => rule::ALL.iter().map(|rule| format!("{}\n", rule.name)).collect(),
        (TextFormat::Markdown, Some(KEYS)) => words::all_keys(),
        (TextFormat::Markdown, Some(word)) => page_of(word)?,
    };
    streams.say(text)?;
    Ok(Outcome::Clean)
}

fn page_of(word: &str) -> Result<String, Failure> {
    if word == FAULTS {
        return Ok(rule::faults::PAGE.to_owned());
    }
    if word == WORDS {
        return Ok(words::all_words());
    }
    if let Some(rule) = rule::ALL.iter().find(|rule| rule.name == word) {
        return Ok(rule.text.to_owned());
    }
    if let Some(page) = words::page(word).or_else(|| of_command(word)) {
        return Ok(page);
    }
    let rules = rule::ALL.iter().map(|rule| rule.name.to_owned());
    let known: Vec<String> =
        rules.chain(words::known()).chain([FAULTS, KEYS, WORDS].map(str::to_owned)).collect();
    let meant = match near(word, &known) {
        Some(near) => format!("; did you mean `{near}`?"),
        None => with_the_word(word, &known).map_or(String::new(), |names| format!("; there is {names}")),
    };
    let word = shown(word);
    Err(Failure(format!(
        "there is no rule, key or term `{word}`{meant}\n  help: `lidcard explain` lists all rules, \
         `lidcard explain keys` all keys"
    )))
}

/// What a command does, and where its options are told.
fn of_command(word: &str) -> Option<String> {
    let all = Args::command();
    let plain = word.to_lowercase().replace(['-', ' '], "");
    let command = all.get_subcommands().find(|command| command.get_name() == plain)?;
    let about = command.get_about().map(ToString::to_string).unwrap_or_default();
    Some(format!("# {word}\n\nA command. {about}.\n\n```sh example\n$ lidcard {plain} --help\n```\n"))
}

/// Names of several words of which this is one: of `valve` the kinds of valves.
fn with_the_word(word: &str, known: &[String]) -> Option<String> {
    let of_several = known.iter().filter(|name| name.contains(' ') || name.contains('_'));
    let has_it = |name: &&String| name.split([' ', '_']).any(|part| part.eq_ignore_ascii_case(word));
    let names: Vec<String> = of_several.filter(has_it).map(|name| format!("`{name}`")).collect();
    (!names.is_empty()).then(|| names.join(", "))
}

fn list(width: usize) -> String {
    let name_width = rule::ALL.iter().map(|rule| rule.name.len()).max().unwrap_or(0);
    let mut out = String::new();
    for rule in rule::ALL {
        let severity = page::severity(rule.text).unwrap_or_default();
        let lead = format!("{:name_width$}  {severity:7}  ", rule.name);
        hanging(&mut out, &lead, &page::summary(rule.text).unwrap_or_default(), width);
    }
    out.push_str("\n`lidcard explain RULE` prints a rule's page, `lidcard explain faults` what a\n");
    out.push_str("file can reveal and what only the bench can, `lidcard explain keys` the keys of\n");
    out.push_str("the boat file, `lidcard explain KEY` what one of them means.\n");
    out
}

/// As much of Markdown as the pages use: headings, paragraphs, lists and fenced blocks.
fn plain(markdown: &str, width: usize) -> String {
    let mut out = String::new();
    // A paragraph or an entry of a list, with what leads it in; it ends where something else begins.
    let mut open: Option<(String, String)> = None;
    let mut fenced = false;
    for line in markdown.lines() {
        if let Some(label) = line.strip_prefix("```") {
            close(&mut out, &mut open, width);
            fenced = !fenced;
            if let Some((_, label)) = label.split_once(' ') {
                let _ = writeln!(out, "{label}:\n");
            }
        } else if fenced {
            // Never wrapped: it is meant to be copied.
            let _ = writeln!(out, "    {line}");
        } else if line.is_empty() {
            close(&mut out, &mut open, width);
            out.push('\n');
        } else if let Some((under, title)) = heading(line) {
            close(&mut out, &mut open, width);
            let _ = writeln!(out, "{title}\n{}", under.repeat(title.chars().count()));
        } else if let Some((lead, text)) = entry(line) {
            close(&mut out, &mut open, width);
            open = Some((lead, text.to_owned()));
        } else {
            let (_, text) = open.get_or_insert_default();
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(line.trim_start());
        }
    }
    close(&mut out, &mut open, width);
    out
}

fn close(out: &mut String, open: &mut Option<(String, String)>, width: usize) {
    match open.take() {
        Some((lead, text)) if lead.is_empty() => {
            for line in wrapped(&text, width) {
                let _ = writeln!(out, "{line}");
            }
        }
        Some((lead, text)) => hanging(out, &lead, &text, width),
        None => {}
    }
}

fn heading(line: &str) -> Option<(&'static str, &str)> {
    let found = |mark: &str, under| line.strip_prefix(mark).map(|title| (under, title));
    found("# ", "=").or_else(|| found("## ", "-"))
}

/// `- ` or `12. ` at the start of a line; numbers are set flush right.
fn entry(line: &str) -> Option<(String, &str)> {
    if let Some(text) = line.strip_prefix("- ") {
        return Some(("- ".to_owned(), text));
    }
    let (number, text) = line.split_once(". ")?;
    let is_number = !number.is_empty() && number.len() < 4 && number.bytes().all(|b| b.is_ascii_digit());
    is_number.then(|| (format!("{number:>3}. "), text))
}
