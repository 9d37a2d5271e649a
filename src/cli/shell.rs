//! `lidcard completions` and `lidcard man`: what a shell and `man` know of the commands, from their one
//! description.

use super::Streams;
use super::args::{Args, Completions, Man};
use super::outcome::{Failure, Outcome};
use clap::CommandFactory;

/// Prints the script that completes commands and options in a shell.
pub(super) fn completions(args: &Completions, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let mut script = Vec::new();
    let mut command = Args::command();
    let name = command.get_name().to_owned();
    clap_complete::generate(args.shell, &mut command, name, &mut script);
    streams.hand_out(&script)?;
    Ok(Outcome::Clean)
}

/// Prints the manual page of the program or of one command.
pub(super) fn man(args: &Man, streams: &mut Streams<'_>) -> Result<Outcome, Failure> {
    let mut program = Args::command();
    program.build();
    if args.list {
        let names = program.get_subcommands().map(clap::Command::get_name).filter(|name| *name != "help");
        streams.say(names.map(|name| format!("{name}\n")).collect::<String>())?;
        return Ok(Outcome::Clean);
    }
    let command = match &args.command {
        None => program,
        Some(name) => program.find_subcommand(name).cloned().ok_or_else(|| {
            let known: Vec<_> = program.get_subcommands().map(clap::Command::get_name).collect();
            Failure(format!("there is no command `{name}`: take one of {}", known.join(", ")))
        })?,
    };
    let mut page = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut page)
        .map_err(|error| Failure(format!("cannot write the manual page: {error}")))?;
    streams.hand_out(&page)?;
    Ok(Outcome::Clean)
}
