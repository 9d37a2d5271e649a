//! The options of a command, made only when it is that command that is asked for: a check of a boat takes little longer than
//! putting together the options of all commands.

use clap::builder::Resettable;
use clap::{ArgMatches, Args, Command, Error, FromArgMatches};
use std::ops::Deref;

/// What a command takes, made late.
#[derive(Debug)]
pub struct Later<T>(T);

impl<T: Args> Later<T> {
    fn filled(command: Command) -> Command {
        keeping_about(command, T::augment_args)
    }
}

/// What the command is about stays as it is said where it is listed.
pub(super) fn keeping_about(command: Command, fill: impl FnOnce(Command) -> Command) -> Command {
    let about = command.get_about().cloned().map_or(Resettable::Reset, Resettable::Value);
    fill(command).about(about).long_about(Resettable::Reset)
}

impl<T: Args> Args for Later<T> {
    fn augment_args(command: Command) -> Command {
        command.defer(Self::filled)
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl<T: Args> FromArgMatches for Later<T> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        T::from_arg_matches(matches).map(Self)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        self.0.update_from_arg_matches(matches)
    }
}

impl<T> Deref for Later<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}
