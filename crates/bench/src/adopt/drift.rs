//! What was read of one point in several states of her and at either end of warmth. Those are no sample of one thing:
//! what they lie apart is for `accuracy` to span.

use super::{Proposals, Put, entry_of, micros, put};
use crate::record::{Record, Run, Test as Taken};
use crate::setup::{Exact, Figure, Setup, WorkRef};
use crate::source::Source;

/// A mean that lies farther from what is put into the file than `accuracy` of the device spans.
pub(super) struct Drift {
    /// In words.
    told: String,
    /// The `accuracy` that would span it, a share of the axis.
    needs: Exact,
    /// Whether there are readings enough on either side to say so.
    sure: bool,
}

/// What one state of her at one warmth shows.
struct Sample<'a> {
    run: &'a Run,
    test: &'a Taken,
    mean: Exact,
}

/// A file may state no more (`setup/unknown.rs` has the ends).
const MOST: i64 = 20;

/// What lies farthest from these readings of a point, where that is too far. One step is left to chance: with five readings
/// a mean is hardly known better.
pub(super) fn of(setup: &Setup, work: WorkRef, read: &Taken, record: &Record, code: &str) -> Option<Drift> {
    let samples = samples(setup, &read.of, record, code);
    let centre = samples.iter().find(|sample| std::ptr::eq(sample.test, read))?;
    let apart = |sample: &Sample| (&sample.mean - &centre.mean).abs();
    let farthest = samples.iter().max_by(|a, b| apart(a).cmp(&apart(b)))?;
    let sign = setup.work(work).sign;
    let span = setup.axis.span(sign);
    let spans = setup.slack_parts(work.device, sign, false).0 * &span;
    let set = &setup.transmitter;
    let step = &set.step * set.pulse.scale.span(sign);
    let apart = apart(farthest);
    (apart > &spans + step).then(|| {
        let us = |value: &Exact| format!("{} us", value.to_decimal(1));
        let device = &setup.devices[work.device];
        let spanned = match setup.unknown.iter().any(|u| u.figure == Figure::Accuracy(work.device)) {
            true => "the file has none".to_owned(),
            false => format!("that of {} spans {} either side", device.name, us(&spans)),
        };
        Drift {
            told: format!(
                "{}: in the mean {} {}, and {} {}: {} apart, for `accuracy` to span; {spanned}",
                read.of,
                us(&centre.mean),
                when(centre.run, centre.test),
                us(&farthest.mean),
                when(farthest.run, farthest.test),
                us(&apart),
            ),
            needs: apart / span,
            sure: [centre, farthest].iter().all(|s| s.test.read.len() >= lidcard_spread::FEWEST),
        }
    })
}

/// Of each state at each warmth what was read last.
fn samples<'a>(setup: &Setup, name: &str, record: &'a Record, code: &str) -> Vec<Sample<'a>> {
    let mut all: Vec<Sample<'a>> = Vec::new();
    for (run, test) in record.answers(code).into_iter().filter(|(_, test)| test.of == name) {
        let Some(read) = micros(test, setup) else { continue };
        let sum: Exact = read.iter().map(|(_, us)| us.clone()).sum();
        let mean = sum / Exact::int(read.len().max(1) as i64);
        all.retain(|known| (&known.run.extreme, &known.test.once_more) != (&run.extreme, &test.once_more));
        all.push(Sample { run, test, mean });
    }
    all
}

/// Offers the `accuracy` of a device that spans all of it; what too few readings show, or no `accuracy` may span,
/// contradicts the file.
pub(super) fn spanned(
    all: &mut Proposals,
    source: &Source,
    setup: &Setup,
    device: usize,
    drifts: Vec<Drift>,
) {
    let most = Exact::percent(MOST);
    let (takes, other): (Vec<Drift>, Vec<Drift>) =
        drifts.into_iter().partition(|drift| drift.sure && drift.needs <= most);
    all.contradictions.extend(other.into_iter().map(|drift| drift.told));
    let Some(needs) = takes.iter().map(|drift| drift.needs.clone()).max() else { return };
    let name = &setup.devices[device].name;
    // In tenths of a percent, outwards.
    let tenths = Exact::int((needs * Exact::int(1000)).ceil().unwrap_or(MOST * 10));
    let new = format!("accuracy: {} %", (tenths / Exact::int(10)).to_decimal(1));
    let parent = ["devices", name.as_str()];
    let path = ["devices", name.as_str(), "accuracy"];
    let entry = entry_of(source, &parent, "accuracy");
    let why = takes.into_iter().map(|drift| drift.told).collect();
    put(all, source, entry, Put { name, of: name.clone(), why, path: &path, new });
}

/// `closed, at the coldest`
fn when(run: &Run, test: &Taken) -> String {
    let being = if test.once_more.is_empty() { "as she was found" } else { &test.once_more };
    if run.extreme.is_empty() { being.to_owned() } else { format!("{being}, at the {}", run.extreme) }
}
