//! A few readings prove nothing of all that follow.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Severity, StateId, Subject};

pub(super) const NAME: &str = "readings-too-few";

/// Once for each point that rests on too few readings.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    for (function, w) in engine.works() {
        for (key, readings) in [("clicks", &w.clicks), ("releases", &w.releasing)] {
            let Some(readings) = readings.as_ref().filter(|readings| !readings.enough()) else { continue };
            let (count, name) = (readings.taken.len(), engine.setup.work_name(function));
            let more = match lidcard_spread::FEWEST.saturating_sub(count) {
                1 => "once".to_owned(),
                more => format!("{more} times"),
            };
            findings.push(
                Draft::new(NAME, Severity::Warning, Subject::Function(function), StateId::OnPaper)
                    .at(
                        say::work_path(engine.setup, function).then(key),
                        format!("{count} where five are the least"),
                    )
                    .gap("count", Gap::Name(count.to_string()))
                    .help(format!(
                        "creep up to it {more} more, always from the same side, and add each reading"
                    ))
                    .help(format!(
                        "or write the most it can be off yourself: `{}: +37 % ± 3 %`",
                        key.replace("clicks", "from")
                    ))
                    .close_plain(
                        true,
                        &format!("`{key}` of {name}: from {count} readings nothing is proved of the next"),
                        "",
                    ),
            );
        }
    }
}
