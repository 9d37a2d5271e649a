//! The commands that make documents: one for each line of `document::ALL`.

use super::super::args::{Annexed, FromRecord, Pages, Sized};
use super::super::later::keeping_about;
use super::Wanted;
use crate::document::{self, Document};
use clap::{ArgMatches, Args, Command, Error, FromArgMatches, Subcommand};

/// One of them, with what it was asked for.
pub struct DocumentCommand {
    /// What to make.
    pub document: &'static dyn Document,
    /// Of which boats, and how.
    pub pages: Pages,
    /// In which size.
    pub shape: Wanted,
}

impl std::fmt::Debug for DocumentCommand {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct(self.document.name()).field("pages", &self.pages).field("shape", &self.shape).finish()
    }
}

fn named(name: &str) -> Option<&'static dyn Document> {
    document::ALL.iter().find(|document| document.name() == name).copied()
}

fn command_of(document: &dyn Document) -> Command {
    let about = format!("Check a boat file, then make {}", document.about());
    Command::new(document.name()).about(about).defer(filled)
}

/// The command with what its document takes.
fn filled(command: Command) -> Command {
    let Some(document) = named(command.get_name()) else { return command };
    keeping_about(command, |command| {
        let command = match (document.of_any_size(), document.has_an_annex()) {
            (true, _) => Sized::augment_args(command),
            // A blank form needs no boat.
            (_, true) => Annexed::augment_args(command)
                .mut_arg("files", |files| files.required(false).required_unless_present("blank")),
            _ => Pages::augment_args(command),
        };
        if document.reads_the_record() { FromRecord::augment_args(command) } else { command }
    })
}

impl Subcommand for DocumentCommand {
    fn augment_subcommands(command: Command) -> Command {
        document::ALL.iter().fold(command, |all, document| all.subcommand(command_of(*document)))
    }

    fn augment_subcommands_for_update(command: Command) -> Command {
        Self::augment_subcommands(command)
    }

    fn has_subcommand(name: &str) -> bool {
        named(name).is_some()
    }
}

impl FromArgMatches for DocumentCommand {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        let asked = matches.subcommand();
        let found = asked.and_then(|(name, matches)| Some((named(name)?, matches)));
        let (document, matches) =
            found.ok_or_else(|| Error::new(clap::error::ErrorKind::MissingSubcommand))?;
        let record = match document.reads_the_record() {
            true => FromRecord::from_arg_matches(matches)?.record,
            false => None,
        };
        if document.has_an_annex() {
            let Annexed { pages, annex, blank, kind } = Annexed::from_arg_matches(matches)?;
            let document = document.blank().filter(|_| blank).unwrap_or(document);
            return Ok(Self { document, pages, shape: Wanted { annex, kind, record, ..Wanted::default() } });
        }
        if !document.of_any_size() {
            let pages = Pages::from_arg_matches(matches)?;
            return Ok(Self { document, pages, shape: Wanted { record, ..Wanted::default() } });
        }
        let Sized { pages, size, fold } = Sized::from_arg_matches(matches)?;
        Ok(Self { document, pages, shape: Wanted { size_mm: size, fold, record, ..Wanted::default() } })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}
