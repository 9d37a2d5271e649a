//! Tried in the water: whether she comes up by herself, against a stopwatch.

use super::list::{List, Trial};
use super::read::{Gate, Reads};
use crate::labels::text::sheet::tests;
use crate::rises::Rises;
use crate::sheet::say::Say;
use crate::words::{function_name, listed};

/// One test, where something is there to bring her up, when all else is done.
pub(super) fn alone(say: &Say<'_>, list: &mut List<'_>) {
    let Some(rises) = Rises::of(say.setup) else { return };
    list.gate = Gate::Itself;
    let depth = say.depth(&rises.depth);
    let what = match say.setup.has_bottle() {
        true => say.fill(tests::alone::DoGas { depth: &depth }),
        false => say.fill(tests::alone::Do { depth: &depth }),
    };
    let hung = say.setup.works().filter(|work| say.setup.work(*work).kind.drops);
    let what = match listed(hung.map(|work| function_name(say.setup, work))).as_str() {
        "" => what,
        works => say.fill(tests::alone::HangAgain { what: &what, works }),
    };
    let trial = Trial::seen(what, say.get(tests::alone::SEE));
    let trial = match &rises.estimate {
        Some(band) => trial.expected(say.stopwatch(band)),
        None => trial.beside(vec![say.get(tests::alone::SECONDS).to_owned()]),
    };
    list.trial(trial.reads(Reads::Seconds(rises)));
}
