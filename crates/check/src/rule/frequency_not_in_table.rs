//! The transmitter is on a frequency that the region's table does not have.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::radio::{Band, DEFER, Use, shown};
use crate::setup::{BoatKind, Path};

pub(super) const NAME: &str = "frequency-not-in-table";

/// Once, if the file names frequency and region. A boat in an aircraft band has a rule of its own:
/// there the answer is not the next channel but another band.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let (set, boat) = (&engine.setup.transmitter, &engine.setup.boat);
    let (Some(hertz), Some(region)) = (set.hertz, set.region) else {
        questions.extend(unsaid(engine, NAME, "her frequency is a channel in the table of the region"));
        return;
    };
    let band = region.band_at(hertz);
    if boat.kind != BoatKind::Other && band.is_some_and(|b| b.usage == Use::AirOnly) {
        return;
    }
    let known = band.filter(|b| b.has(hertz));
    let near: Vec<(i64, &Band)> = region.nearest_for_boats(hertz).into_iter().flatten().collect();
    let spots: Vec<String> = near.iter().map(|(f, _)| shown(*f)).collect();
    let spots = spots.join(" and ");
    let label = match known {
        Some(band) => format!("a channel of the {} band", band.name),
        None if near.len() == 1 => format!("the nearest is {spots}"),
        None => format!("the nearest are {spots}"),
    };
    let mut sources: Vec<String> = near.iter().map(|(_, band)| band.origin()).collect();
    sources.dedup();
    questions.push(
        Draft::new(NAME, Severity::Error, Subject::Transmitter, StateId::Piloting)
            .at(Path::of(["transmitter", "frequency"]), label)
            .and_at(Path::of(["transmitter", "region"]), "by this table")
            .help(format!(
                "read the crystal or the set's screen again; go by the table ({}), and {DEFER}",
                sources.join("; ")
            ))
            .fact(
                known.is_none(),
                format!("{} is no channel for models in the table of {}", shown(hertz), region.word()),
                format!("{} is a channel in the table of {}", shown(hertz), region.word()),
            ),
    );
}

/// A table says nothing of a frequency without its region, nor of a set without its frequency.
pub(super) fn unsaid<'a>(engine: &Engine<'a>, rule: &'static str, holds: &str) -> Option<Question<'a>> {
    let set = &engine.setup.transmitter;
    let (key, bench) = match (set.hertz, set.region) {
        (Some(_), None) => ("region", "write where she is sailed: the table of that region applies"),
        (None, Some(_)) => ("frequency", "read it off the crystal or the set's screen"),
        _ => return None,
    };
    let missing = Missing {
        path: Path::of(["transmitter", key]),
        bench: bench.to_owned(),
        holds: None,
        said: false,
        decides: None,
    };
    let draft = Draft::new(rule, Severity::Error, Subject::Transmitter, StateId::Piloting);
    Some(draft.asks(Asks::Unsaid(vec![missing]), String::new(), holds))
}
