//! What has to be repeated after a change, and what is still good.

use super::clock;
use super::item::Item;
use super::walk::Walk;
use crate::bench::record::{Changed, Entry, Record};
use crate::cli::Streams;
use crate::cli::outcome::Failure;
use crate::report::text::{counted, hanging};
use crate::setup::Setup;
use std::collections::BTreeSet;

/// The entry that voids whatever rests on something.
///
/// # Errors
/// When nothing of this boat is called so.
pub(super) fn changed(what: &str, items: &[Item], record: &Record, setup: &Setup) -> Result<Entry, Failure> {
    let known: BTreeSet<&str> =
        items.iter().flat_map(|item| item.rests.things.iter().map(String::as_str)).collect();
    if !known.contains(what) {
        let all: Vec<&str> = known.into_iter().collect();
        return Err(Failure(format!("no test rests on `{what}`: take one of {}", all.join(", "))));
    }
    let mut void: Vec<String> = items
        .iter()
        .filter(|item| item.rests.things.iter().any(|thing| thing == what))
        .map(|item| item.of.clone())
        .collect();
    // What was read for `probe` rests on the set, and on the channel that was read.
    let number = what.strip_prefix("channel ");
    let of_set = ["transmitter", "receiver"].contains(&what) || setup.controls.iter().any(|c| c.name == what);
    for entry in &record.entries {
        if let Entry::Test(test) = entry
            && let Some(rest) = test.of.strip_prefix("probe channel ")
            && (of_set || number.is_some_and(|n| rest.split(',').next() == Some(n)))
        {
            void.push(test.of.clone());
        }
    }
    void.dedup();
    Ok(Entry::Changed(Changed { at: clock::now(), what: what.to_owned(), void }))
}

/// Tells what is to be done and what is still good; whether there is anything to do.
pub(super) fn told(walk: &Walk, record: &Record, streams: &mut Streams<'_>) -> Result<bool, Failure> {
    let open: Vec<&Item> = walk.items.iter().filter(|item| !walk.is_good(record, item)).collect();
    let still = walk.items.iter().filter(|item| walk.still_good(record, item).is_some()).count();
    let done = walk.items.len() - open.len() - still;
    let mut text = String::new();
    // What only keeps people from harm is done before each of the others, and by itself never due.
    let due: Vec<&&Item> = open.iter().filter(|item| !item.is_gate()).collect();
    if due.is_empty() {
        text.push_str("Nothing has to be repeated.\n");
    } else {
        let count = counted(due.len(), "step has", "steps have");
        text.push_str(&format!("{count} to be repeated, beside what guards them:\n"));
        for item in &due {
            hanging(&mut text, &format!("  {}  ", item.test.number), &item.listed(), streams.screen.width);
        }
    }
    let good = counted(
        still,
        "reading of an earlier state of the file is",
        "readings of earlier states of the file are",
    );
    text.push_str(&format!(
        "{good} still good; {} done with the file as it is.\n",
        counted(done, "step is", "steps are")
    ));
    streams.say(text)?;
    Ok(!due.is_empty())
}
