//! The rod does not join what it should join at rest.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{Driven, Path};

pub(super) const NAME: &str = "rod-does-not-fit";

/// Once for each linkage.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    for (id, device) in engine.setup.devices.iter().enumerate() {
        let Some(linkage) = &device.facts.linkage else { continue };
        let driven = linkage.driven_name();
        let fits = linkage.free_travel(1).is_ok();
        let range = match &linkage.driven {
            Driven::Lever(parts) => parts.rods_that_join(),
            Driven::Slide(parts) => parts.rods_that_join(),
        };
        let joins = match range {
            (shortest, Some(longest)) => {
                format!("longer than {shortest:.1} mm and shorter than {longest:.1} mm")
            }
            (shortest, None) => format!("longer than {shortest:.1} mm"),
        };
        questions.push(
            Draft::new(NAME, Severity::Error, Subject::Device(id), StateId::Piloting)
                .at(
                    Path::of(["devices", &device.name, "linkage", "rod"]),
                    format!("by the other figures it has to be {joins}, with room to spare for every tolerance"),
                )
                .help("make the rod as long as that, take another hole in horn or lever, or turn the horn on its spline")
                .fact(
                    !fits,
                    format!(
                        "the rod of {} may not join horn and {driven} at rest, or stands at a dead centre there",
                        device.name
                    ),
                    format!("the rod of {} joins horn and {driven} at rest", device.name),
                ),
        );
    }
}
