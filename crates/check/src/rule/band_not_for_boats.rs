//! The transmitter is in a band that the region keeps for aircraft.

use super::engine::Engine;
use super::frequency_not_in_table::unsaid;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::radio::{DEFER, Use, shown};
use crate::setup::{BoatKind, Path};

pub(super) const NAME: &str = "band-not-for-boats";

/// Once for a boat whose frequency lies in a band of its region. Of any other model the file does
/// not say whether it flies, so nothing is said.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let (set, boat) = (&engine.setup.transmitter, &engine.setup.boat);
    let (Some(hertz), Some(region)) = (set.hertz, set.region) else {
        let holds = "her frequency is not in a band kept for aircraft";
        questions.extend(unsaid(engine, NAME, holds).filter(|_| boat.kind != BoatKind::Other));
        return;
    };
    let Some(band) = region.band_at(hertz).filter(|_| boat.kind != BoatKind::Other) else { return };
    let broken = band.usage == Use::AirOnly;
    let [low, high] = band.edges.map(shown);
    let label = if broken {
        format!("for aircraft only from {low} to {high}")
    } else {
        format!("the {} band is open to boats", band.name)
    };
    questions.push(
        Draft::new(NAME, Severity::Error, Subject::Transmitter, StateId::Piloting)
            .at(Path::of(["transmitter", "frequency"]), label)
            .and_at(Path::of(["transmitter", "region"]), "by this table")
            .help(format!(
                "take a band that is open to boats, as this one is not ({}), and {DEFER}",
                band.origin()
            ))
            .fact(
                broken,
                format!(
                    "in {} the {} band is for aircraft: a boat on {} can bring one down",
                    region.word(),
                    band.name,
                    shown(hertz)
                ),
                format!("{} is not in a band kept for aircraft", shown(hertz)),
            ),
    );
}
