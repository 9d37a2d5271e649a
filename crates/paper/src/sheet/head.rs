//! The top of the first page: what this sheet is of, its code, what to be careful about.

use serde_json::Value;

use super::ink::{At, Ink, wide};
use super::orders::{ORDERS, OrderLabels};
use super::say::Say;
use crate::fingerprint::Code;
use crate::labels::text;
use crate::labels::text::sheet::head;
use crate::render::RenderError;
use crate::render::font::{self, Weight};
use crate::setup::Setup;
use crate::words::frequency;
use crate::workshop::Workshop;

const QR: f64 = 23.0;
const WHAT: f64 = 11.0;
const SIZE: f64 = 8.5;
const LABEL: f64 = 30.0;
const GAP: f64 = 6.0;

/// Room for the workshop's logo, in millimetres.
const LOGO_ROOM: [f64; 2] = [45.0, 14.0];
/// Size of the lines of contact beside it.
const CONTACT: f64 = 8.0;

/// The workshop's logo on the left and its lines of contact on the right, over a thin line.
pub(super) fn letterhead(workshop: &Workshop, width: f64) -> Result<(f64, Vec<Value>), RenderError> {
    let mut ink = Ink::default();
    let (mut bottom, mut left) = (0.0, 0.0);
    if let Some(size) = workshop.logo_in(LOGO_ROOM) {
        ink.logo([0.0, 0.0], size);
        (bottom, left) = (size.height, size.width + GAP);
    }
    let mut y = 0.0;
    for line in &workshop.contact {
        for line in font::wrap(line, CONTACT, Weight::Regular, width - left)? {
            ink.text([width, y + font::line_height(CONTACT) / 2.0], &line, CONTACT, At::Right, false);
            y += font::line_height(CONTACT);
        }
    }
    bottom = f64::max(bottom, y);
    if bottom > 0.0 {
        bottom += 2.0;
        ink.line([0.0, bottom], [width, bottom], 0.2);
    }
    Ok((bottom, ink.items))
}

/// Name and facts in two columns, the code as words and as a QR code on the right.
pub(super) fn drawing(say: &Say<'_>, code: Code, width: f64) -> Result<(f64, Vec<Value>), RenderError> {
    let mut ink = Ink::default();
    let room = width - QR - GAP;
    let name = &say.setup.boat.name;
    let (mut y, name_size) = (0.0, 22.0);
    for line in font::wrap(name, name_size, Weight::Bold, room)? {
        ink.text([0.0, y + 4.0], &line, name_size, At::Left, true);
        y += font::line_height(name_size);
    }
    let (what, beside) = (say.get(head::WHAT), wide(name, name_size, true)? + 4.0);
    // Behind a short name there is room on its line.
    if beside + wide(what, WHAT, false)? <= room {
        ink.text([beside, y - 3.8], what, WHAT, At::Left, false);
    } else {
        for line in font::wrap(what, WHAT, Weight::Regular, room)? {
            ink.text([0.0, y + 2.0], &line, WHAT, At::Left, false);
            y += font::line_height(WHAT);
        }
    }
    y += 1.5;
    let facts = facts(say);
    let column = (room - GAP) / 2.0;
    let half = facts.len().div_ceil(2);
    let mut bottom = y;
    for (n, some) in facts.chunks(half.max(1)).enumerate() {
        let (x, mut at) = (n as f64 * (column + GAP), y);
        for (label, value) in some {
            let labels = font::wrap(label, SIZE, Weight::Regular, LABEL - 1.0)?;
            let values = font::wrap(value, SIZE, Weight::Bold, column - LABEL)?;
            let high = font::line_height(SIZE);
            for (k, line) in labels.iter().enumerate() {
                ink.text([x, at + high * (k as f64 + 0.5)], line, SIZE, At::Left, false);
            }
            for (k, line) in values.iter().enumerate() {
                ink.text([x + LABEL, at + high * (k as f64 + 0.5)], line, SIZE, At::Left, true);
            }
            at += high * labels.len().max(values.len()) as f64 + 0.3;
        }
        bottom = f64::max(bottom, at);
    }
    let code = code.to_string();
    ink.qr([width - QR, 0.0], QR, &code);
    ink.text([width - QR / 2.0, QR + 1.2], say.get(head::CODE), 8.0, At::Centre, false);
    ink.text([width - QR / 2.0, QR + 5.0], &code, 12.0, At::Centre, true);
    Ok((f64::max(bottom, QR + 7.4), ink.items))
}

fn facts(say: &Say<'_>) -> Vec<(String, String)> {
    let (boat, set) = (&say.setup.boat, &say.setup.transmitter);
    let scale = &set.pulse.scale;
    let pulse = say.fill(head::PulseIs {
        rest: &scale.rest.0.to_decimal(0),
        shorter: &scale.shorter.0.to_decimal(0),
        longer: &scale.longer.0.to_decimal(0),
        accuracy: &say.micros(&set.pulse.accuracy.0),
    });
    // On the set's own pulse a percent is what one expects.
    let axis = &say.setup.axis;
    let other_axis = (axis != scale).then(|| {
        say.fill(head::AxisIs {
            rest: &axis.rest.0.to_decimal(0),
            shorter: &axis.shorter.0.to_decimal(0),
            longer: &axis.longer.0.to_decimal(0),
        })
    });
    let region = set.region.map(|r| say.labels.word(text::sheet::REGIONS, r.word()).to_owned());
    let facts = [
        (head::REFERENCE, boat.reference.clone()),
        (head::REVISION, boat.revision.clone()),
        (head::DATE, boat.date.clone()),
        (head::WORKSHOP, boat.workshop.clone()),
        (head::MEMORY, set.memory.clone()),
        (head::TRANSMITTER, set.name.clone()),
        (head::FREQUENCY, set.frequency.as_ref().map(|f| frequency(say.labels, f))),
        (head::REGION, region),
        (head::CHANNELS, Some(set.channels.to_string())),
        (head::PULSE, Some(pulse)),
        (head::AXIS, other_axis),
        (head::FURTHEST, Some(say.percent(&set.furthest))),
        (head::STEP, Some(say.percent(&set.step))),
    ];
    facts.into_iter().filter_map(|(label, value)| Some((say.get(label).to_owned(), value?))).collect()
}

/// How the set does its sums: each line with its word, or that nobody knows.
pub(super) fn order(say: &Say<'_>, setup: &Setup) -> Vec<[String; 2]> {
    let possible = crate::chain::Order::all(&setup.transmitter.order);
    let first = |index: usize| possible.first().map_or(0, |o| o.word_index(index));
    let open = |index: usize| possible.iter().any(|o| o.word_index(index) != first(index));
    if (0..ORDERS.len()).all(open) {
        return vec![say.all([text::sheet::orders::ALL, text::sheet::orders::OPEN])];
    }
    let line = |(index, line): (usize, &OrderLabels)| {
        say.all([line.name, if open(index) { text::sheet::orders::OPEN } else { line.ways[first(index)] }])
    };
    ORDERS.iter().enumerate().map(line).collect()
}
