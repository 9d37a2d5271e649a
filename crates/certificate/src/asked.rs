//! What was asked and what makes the answer true, from the notes of the engine.

use super::table::Table;
use super::{ESTIMATE, moves, spans, steps, told};
use crate::finding::Outcome;
use crate::question::asks::EdgeKind;
use crate::question::notes::{Note, Step};
use crate::question::states::PulsePlace;
use crate::question::{Answered, Asks, Detail};
use crate::setup::WorkRef;
use serde_json::{Map, Value, json};

/// What stands behind an answer.
pub(super) enum Why {
    /// Everything that makes it true.
    Carried(Value),
    /// It stands in the file and hangs on no output.
    Fact,
    /// An estimate, of which nothing is proved.
    Estimate,
    /// Several answers, and one of them is an estimate.
    PartlyEstimate(Value),
    /// Figures that it hangs on are missing.
    Missing,
    /// Nothing is claimed, for this reason.
    Undecided(&'static str),
    /// This kind of answer is not written down yet.
    NotCarried(&'static str),
}

/// What makes the answer of a note true.
pub(super) fn why(table: &mut Table, note: &Note) -> Why {
    // Without a worst case the switches can be combined in too many ways.
    let setup = table.engine.setup;
    if note.answered.outcome() == Outcome::Undecided
        && note.asks.channels(setup).iter().any(|channel| table.engine.cases(*channel).too_many)
    {
        return Why::Undecided("too many settings");
    }
    told(table, &note.asks, &note.answered, &note.steps)
}

fn told(table: &mut Table, asks: &Asks, answered: &Answered, taken: &[Step]) -> Why {
    match asks {
        Asks::Fact(_) | Asks::Unsaid(_) => return Why::Fact,
        Asks::Moves { way, at_all } => return moves::why(table, way, *at_all, answered),
        Asks::Varies { channel, over } => return spans::varies(table, *channel, over, answered),
        Asks::Narrow { .. } => return spans::narrow(table, asks, answered),
        Asks::All(_) => return put_together(table, taken, "all_of", Outcome::Proved),
        Asks::Any(_) => return put_together(table, taken, "any_of", Outcome::Broken),
        Asks::Estimated => return Why::Estimate,
        Asks::Engages { .. }
        | Asks::Misses { .. }
        | Asks::Together { .. }
        | Asks::Leaves { .. }
        | Asks::StaysWithin { .. }
        | Asks::Passes { .. }
        | Asks::FallsShort { .. }
        | Asks::Trips { .. }
        | Asks::CutsOff { .. } => {}
    }
    let asked = asked(table, asks, answered);
    match taken.iter().map(|step| steps::told(table, step)).collect::<Result<Vec<Value>, _>>() {
        Ok(steps) => Why::Carried(json!({ "asks": asked, "steps": steps })),
        Err(kind) => Why::NotCarried(kind),
    }
}

/// Several answers, of which one that comes out in this way is enough.
fn put_together(table: &mut Table, taken: &[Step], word: &str, enough: Outcome) -> Why {
    let decides = |step: &&Step| matches!(step, Step::Part { answered, .. } if answered.outcome() == enough);
    let needed: Vec<&Step> = match taken.iter().find(decides) {
        Some(step) => vec![step],
        None => taken.iter().collect(),
    };
    let mut parts = Vec::with_capacity(needed.len());
    let mut estimated = false;
    for step in needed {
        let Step::Part { asks, answered, steps } = step else { continue };
        match told(table, asks, answered, steps) {
            Why::Carried(value) => parts.push(value),
            Why::PartlyEstimate(value) => {
                estimated = true;
                parts.push(value);
            }
            Why::Estimate => {
                estimated = true;
                parts.push(ESTIMATE.into());
            }
            other => return other,
        }
    }
    let said = Map::from_iter([(word.to_owned(), Value::from(parts))]).into();
    if estimated { Why::PartlyEstimate(said) } else { Why::Carried(said) }
}

pub(super) fn function(table: &Table, function: WorkRef) -> Value {
    let setup = table.engine.setup;
    json!([setup.devices[function.device].name, setup.work(function).name])
}

pub(super) fn place(place: &PulsePlace) -> Value {
    match place {
        PulsePlace::Pilot => json!("pilot"),
        PulsePlace::Still => json!("still"),
        PulsePlace::Fixed { at, by_unit } => json!({ "at": told::number(at), "by_unit": by_unit }),
        PulsePlace::Within(low, high) => json!([told::number(low), told::number(high)]),
    }
}

/// What a question asks, in one record.
fn asked(table: &mut Table, asks: &Asks, answered: &Answered) -> Value {
    let mut said = Map::new();
    let mut put = |key: &str, value: Value| said.insert(key.to_owned(), value);
    let setup = table.engine.setup;
    match asks {
        Asks::Engages { function: f, place: at, over } => {
            if setup.work(*f).releases.is_some() {
                table.engaged_before(*f);
            }
            put("kind", "engages".into());
            put("function", function(table, *f));
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Misses { function: f, place: at, over, fully } => {
            put("kind", "misses".into());
            put("function", function(table, *f));
            put("fully", (*fully).into());
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Leaves { device, place: at, over, band: [low, high] } => {
            put("kind", "leaves".into());
            put("device", setup.devices[*device].name.clone().into());
            put("band", json!([told::number(low), told::number(high)]));
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::StaysWithin { device, place: at, over, band } => {
            put("kind", "stays within".into());
            put("device", setup.devices[*device].name.clone().into());
            put(
                "band",
                band.as_ref().map_or(Value::Null, |[l, h]| json!([told::number(l), told::number(h)])),
            );
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Passes { device, place: at, over, edge } => {
            put("kind", "passes".into());
            put("device", setup.devices[*device].name.clone().into());
            let what = match edge.what {
                EdgeKind::Stop => "stop",
                EdgeKind::DeadCentre => "dead centre",
                EdgeKind::Rest => "rest",
            };
            // Where bounds are not exact it is surely passed only further out, or nowhere.
            let surely = edge.surely.as_ref().map(|at| at.iter().map(told::number).collect::<Vec<_>>());
            put(
                "edge",
                json!({
                    "what": what,
                    "side": edge.sign,
                    "at": told::number(&edge.at),
                    "touching": edge.touching,
                    "surely": surely,
                }),
            );
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::FallsShort { device, place: at, over, sign, needed } => {
            put("kind", "falls short".into());
            put("device", setup.devices[*device].name.clone().into());
            put("side", (*sign).into());
            put("needed", told::number(needed));
            put("place", place(at));
            put("over", table.hands(over).into());
        }
        Asks::Trips { channel, over, beyond } => {
            put("kind", "trips".into());
            put("channel", setup.channels[*channel].number.into());
            put("beyond", json!([told::number(&beyond.value), told::number(&beyond.off)]));
            put("over", table.hands(over).into());
        }
        Asks::Together { functions: [a, b], places, over } => {
            table.engaged_before(*a);
            table.engaged_before(*b);
            put("kind", "together".into());
            put("functions", json!([function(table, *a), function(table, *b)]));
            put("places", places.each_ref().map(place).to_vec().into());
            put("over", table.hands(over).into());
        }
        Asks::CutsOff { channel, side } => {
            put("kind", "cuts off".into());
            put("channel", setup.channels[*channel].number.into());
            put("side", side.sign().into());
            if let Detail::Asked(most) = &answered.detail {
                put("most", told::number(most));
            }
        }
        // Those are told elsewhere.
        Asks::Varies { .. }
        | Asks::Moves { .. }
        | Asks::Narrow { .. }
        | Asks::All(_)
        | Asks::Any(_)
        | Asks::Fact(_)
        | Asks::Unsaid(_)
        | Asks::Estimated => {}
    }
    said.into()
}
