//! Where each work engages, is complete and lets go: crept up to several times. What lies beyond the
//! stick is reached with a servo tester, and afterwards the set is tried again.

use super::list::{List, Trial};
use super::never::never;
use super::read::{At, Being, PointOf, Reads, Test};
use crate::labels::text::sheet::settings;
use crate::labels::text::sheet::tests;
use crate::setup::{ChannelId, DeviceId, Toleranced, WorkRef};
use crate::sheet::axes::beyond_the_stick;
use crate::sheet::say::Say;
use crate::words::{self, listed, plain};

/// Where each work engages, is complete and lets go, creeping from rest.
pub(super) fn works(say: &Say<'_>, list: &mut List<'_>) {
    list.group(tests::works::TITLE, Some(tests::works::BEFORE));
    let works: Vec<WorkRef> = say.works().collect();
    for (n, work) in works.iter().enumerate() {
        let beyond = beyond_the_stick(say, *work).then(|| say.setup.channel_of(work.device)).flatten();
        points(say, list, *work, beyond);
        // The tester stays connected until the last work of the servo is done.
        let device = work.device;
        let last = works.get(n + 1).is_none_or(|next| next.device != device);
        let tested = works.iter().any(|w| w.device == device && beyond_the_stick(say, *w));
        if let Some(channel) = say.setup.channel_of(device).filter(|_| last && tested) {
            back_again(say, list, device, channel);
        }
    }
}

fn points(say: &Say<'_>, list: &mut List<'_>, reference: WorkRef, beyond: Option<ChannelId>) {
    let work = say.setup.work(reference);
    let name = &called(say, reference);
    let [creep, see] = creeping(say, reference, beyond);
    let reads = |being| Reads::Point(reference, PointOf::Engages, being);
    let pulse = &threshold(say, reference, &work.from);
    // What can hurt or sink her is read in every state in which she may be: fitted and closed it may have moved.
    if work.is_dangerous() {
        let mut rows = say.all([tests::works::FOUND_ROW, tests::works::INSTALLED_ROW]).to_vec();
        rows.extend(beyond.is_none().then(|| say.get(tests::works::CLOSED_ROW).to_owned()));
        let trial = Trial::seen(creep.clone(), see).expected(pulse.clone()).beside(rows);
        list.trial(trial.reads(reads(Being::Found)));
        if let Some(test) = list.tests.last_mut() {
            test.what = say.fill(tests::works::Found { what: &creep });
        }
        let installed = say.fill(tests::works::Installed { what: &creep });
        list.once_more(installed, reads(Being::Installed));
    } else {
        list.trial(Trial::seen(creep, see).expected(pulse.clone()).reads(reads(Being::Found)));
    }
    let mut also = |what: String, see: &dyn Fn(&str) -> String, at: &Option<Toleranced>, of: PointOf| {
        if let Some(at) = at {
            let trial = Trial::seen(what, see(&say.toleranced(at))).expected(threshold(say, reference, at));
            list.trial(trial.reads(Reads::Point(reference, of, Being::Found)));
        }
    };
    let complete = say.fill(tests::works::CompleteDo { work: name });
    also(complete, &|at| say.fill(tests::works::Complete { at }), &work.full, PointOf::Complete);
    let ends = say.fill(tests::works::EndsDo { work: name });
    also(ends, &|at| say.fill(tests::works::Ends { at }), &work.to, PointOf::Ends);
    let lets_go = say.fill(tests::works::LetsGoDo { work: name });
    also(lets_go, &|at| say.fill(tests::works::LetsGo { at }), &work.releases, PointOf::LetsGo);
}

/// Once more with her closed, where a stick reaches it: the tester has no lead into a hull that is shut.
pub(super) fn closed(say: &Say<'_>, list: &mut List<'_>) {
    let of = |test: &Test| match test.reads {
        Reads::Point(work, PointOf::Engages, Being::Found) => {
            (say.setup.work(work).is_dangerous() && !beyond_the_stick(say, work)).then_some(work)
        }
        _ => None,
    };
    let open: Vec<_> = list.tests.iter().filter_map(|test| Some((of(test)?, test.clone()))).collect();
    for (work, test) in open {
        let [creep, _] = creeping(say, work, None);
        let what = say.fill(tests::works::Closed { what: &creep });
        list.again(Test { what, reads: Reads::Point(work, PointOf::Engages, Being::Closed), ..test });
    }
}

/// What to do until it engages, and what to see then.
fn creeping(say: &Say<'_>, reference: WorkRef, beyond: Option<ChannelId>) -> [String; 2] {
    let work = say.setup.work(reference);
    let name = &called(say, reference);
    let side = say.get(if work.sign < 0 { settings::SHORTER } else { settings::LONGER });
    let engages = words::work_phrase(say.labels, say.setup, reference);
    let creep = match beyond {
        Some(channel) => {
            say.fill(tests::works::CreepBeyond { work: name, side, channel: &say.channel(channel) })
        }
        None => say.fill(tests::works::Creep { work: name, side }),
    };
    [creep, say.fill(tests::works::Engages { what: &engages, at: &say.toleranced(&work.from) })]
}

/// `pump (tank servo)`
fn called(say: &Say<'_>, reference: WorkRef) -> String {
    let work = say.setup.work(reference);
    format!("{} ({})", plain(&work.name), plain(&say.setup.devices[reference.device].name))
}

/// The lead back where it belongs, and every test that read this channel once more.
fn back_again(say: &Say<'_>, list: &mut List<'_>, device: DeviceId, channel: ChannelId) {
    let read_it = |reads: &Reads| match reads {
        Reads::Pulses(pulses) => pulses.iter().any(|p| p.channel == channel && p.at != At::Lost),
        Reads::Seen | Reads::Point(..) | Reads::Seconds(_) => false,
    };
    let again = listed(list.tests.iter().filter(|test| read_it(&test.reads)).map(|test| test.number.clone()));
    let name = plain(&say.setup.devices[device].name);
    let what =
        say.fill(tests::works::BackDo { device: &name, channel: &say.channel(channel), numbers: &again });
    let trial = Trial::seen(what, say.get(tests::works::BACK_SEE));
    list.trial(trial.never(never(say, &[channel], &[])));
}

/// The pulses between which a threshold has to lie, servo and meter included.
fn threshold(say: &Say<'_>, work: WorkRef, at: &Toleranced) -> String {
    let off = |sign: i32| {
        let (accuracy, _) = say.setup.slack_parts(work.device, sign, false);
        &at.off + accuracy
    };
    let sign = at.value.signum();
    let ends = [&at.value - off(sign), &at.value + off(sign)];
    say.band(&ends, &say.setup.transmitter.pulse.accuracy.0)
}
