//! The fields of a boat that has a file: first what nobody has measured, then everything that the bench reads.

use super::fields::{Boxes, Field, Section, boxes_for};
use crate::Job;
use crate::labels::text::form;
use crate::labels::text::sheet::tests::{alone, orders};
use crate::render::RenderError;
use crate::setup::WorkRef;
use crate::sheet::unjudged::{self, Open};
use crate::sheet::{Being, Reads, Say, Test, axes, readings_said};
use crate::words::plain;

/// What a boat lacks, and the tests of her sheet that have figures, in their order and with their numbers.
pub(super) fn sections(say: &Say<'_>, job: &Job<'_>, width: f64) -> Result<Vec<Section>, RenderError> {
    let mut all = vec![not_measured(say, job)];
    let windows = job.windows.of(job.setup);
    let mut drawn = None;
    for test in readings_said(say) {
        let Some(boxes) = boxes_of(say, &test) else { continue };
        if all.last().is_none_or(|section| section.title != test.group) {
            let before =
                if matches!(test.reads, Reads::Point(..)) { say.get(form::CREEP) } else { &test.before };
            all.push(Section { title: test.group.clone(), before: before.to_owned(), fields: Vec::new() });
        }
        // What is seen of a point says where it should be, and the form does not.
        let bare = test.choice.is_empty() || matches!(test.reads, Reads::Point(..) | Reads::Seconds(_));
        let how = if bare { test.what.clone() } else { format!("{} {}", test.what, test.see) };
        let mut field = Field::new(named(say, &test), how, &boxes, say.labels);
        // What lies where on a servo stands above the first of its fields.
        if let Reads::Point(WorkRef { device, .. }, ..) = test.reads
            && drawn != Some(device)
        {
            drawn = Some(device);
            if let Some(axis) = axes::of_device(say, device, windows, width)? {
                field = field.with_drawing(axis.drawn());
            }
        }
        if let Some(section) = all.last_mut() {
            section.fields.push(field);
        }
    }
    all.retain(|section| !section.fields.is_empty());
    Ok(all)
}

fn not_measured(say: &Say<'_>, job: &Job<'_>) -> Section {
    let field = |open: Open<'_>| {
        let how = unjudged::bench(say, open.missing);
        let how = if open.hurts() { format!("{} {how}", say.get(form::HURTS)) } else { how };
        let word = unjudged::word(say, &open.missing.path.0);
        Field::new(plain(&open.missing.path.0.join(", ")), how, &boxes_for(&word), say.labels)
    };
    Section {
        title: say.get(form::open::TITLE).to_owned(),
        before: say.get(form::open::BEFORE).to_owned(),
        fields: unjudged::open(job.findings).into_iter().map(field).collect(),
    }
}

/// Its number, and where it is read once more under the same one in which state of her: nobody may write a reading of the
/// closed boat into a field of the open one.
fn named(say: &Say<'_>, test: &Test) -> String {
    match test.reads {
        Reads::Point(_, _, Being::Installed) => say.labels.fill(form::Installed { number: &test.number }),
        Reads::Point(_, _, Being::Closed) => say.labels.fill(form::Closed { number: &test.number }),
        _ => test.number.clone(),
    }
}

/// The boxes of a test; none where it is only looked at.
fn boxes_of(say: &Say<'_>, test: &Test) -> Option<Boxes> {
    match &test.reads {
        Reads::Point(..) => Some(Boxes::Crept),
        Reads::Pulses(pulses) if pulses.len() > 1 => {
            Some(Boxes::Each(pulses.iter().map(|pulse| say.channel(pulse.channel)).collect()))
        }
        Reads::Pulses(_) => Some(Boxes::Both),
        Reads::Seconds(_) => Some(Boxes::Of(vec![say.get(alone::SECONDS).to_owned(); 3])),
        Reads::Seen if !test.choice.is_empty() => Some(if test.group == say.get(orders::TITLE) {
            Boxes::One
        } else {
            Boxes::Of(test.choice.clone())
        }),
        Reads::Seen => (!test.expected.is_empty()).then_some(Boxes::One),
    }
}
