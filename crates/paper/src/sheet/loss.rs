//! What comes after a lost link, moment by moment, with the pulses that are set.

use super::say::Say;
use crate::labels::text::common;
use crate::labels::text::sheet::stages;
use crate::setup::{ChannelId, Exact, Figure, OnLoss, Others, Stage, When, WorkRef};
use crate::words::{listed, plain, when, work_phrase};

/// A moment after a lost link.
pub(super) struct Moment {
    /// `after 4 s`
    pub(super) when: String,
    /// The same as a number, where every delay before it is given.
    pub(super) seconds: Option<Exact>,
    /// What happens, without the positions.
    pub(super) what: String,
    /// Which channels are set to what.
    pub(super) sets: Vec<(ChannelId, Exact)>,
    /// Whether the unit makes the pulses.
    pub(super) by_unit: bool,
    /// What is meant to be engaged then.
    pub(super) works: Vec<WorkRef>,
}

/// Receiver first, then each stage of the unit.
pub(super) fn moments(say: &Say<'_>) -> Vec<Moment> {
    let receiver = &say.setup.receiver;
    let (what, sets, meant) = match &receiver.on_loss {
        _ if say.setup.lacks(Figure::OnLoss) => {
            (say.get(stages::NOT_KNOWN).to_owned(), Vec::new(), Vec::new())
        }
        OnLoss::NoPulses => (say.get(stages::NO_PULSES).to_owned(), Vec::new(), Vec::new()),
        OnLoss::Hold => (say.get(stages::HOLD).to_owned(), Vec::new(), Vec::new()),
        OnLoss::Noise => (say.get(stages::NOISE).to_owned(), Vec::new(), Vec::new()),
        OnLoss::Preset { values, others, works } => {
            let meant = works.clone();
            let works = works.iter().map(|w| work_phrase(say.labels, say.setup, *w));
            let others = say.labels.get(match others {
                Others::NoPulses => common::loss::OTHERS_NO_PULSES,
                Others::Hold => common::loss::OTHERS_HOLD,
                Others::Noise => common::loss::OTHERS_NOISE,
            });
            let works = listed(works);
            let preset = say.fill(stages::Preset { others });
            (listed([works, preset]), values.clone(), meant)
        }
    };
    let receiver_does = say.fill(stages::Receiver { what: &what });
    let mut all = vec![moment(say, &say.setup.receiver_acts(), receiver_does, sets, meant)];
    if let Some(unit) = &say.setup.fail_safe {
        for (stage, begins) in unit.stages.iter().zip(say.setup.stages_begin()) {
            let by_unit =
                moment(say, &begins, stage_does(say, stage), stage.set.clone(), stage.works.clone());
            all.push(Moment { by_unit: true, ..by_unit });
        }
    }
    all
}

fn moment(
    say: &Say<'_>,
    at: &When,
    what: String,
    sets: Vec<(ChannelId, Exact)>,
    works: Vec<WorkRef>,
) -> Moment {
    Moment { when: when(say.labels, at), seconds: at.seconds().cloned(), what, sets, by_unit: false, works }
}

fn stage_does(say: &Say<'_>, stage: &Stage) -> String {
    let name = plain(&stage.name);
    let long = match &stage.lasts {
        Some(lasts) => say.labels.fill(common::loss::Lasts { stage: &name, time: &say.seconds(&lasts.0) }),
        None => say.labels.fill(common::loss::Stays { stage: &name }),
    };
    let works = listed(stage.works.iter().map(|w| work_phrase(say.labels, say.setup, *w)));
    let text = if works.is_empty() {
        long
    } else {
        say.labels.fill(common::loss::Details { stage: &long, details: &works })
    };
    say.fill(stages::Unit { what: &text })
}
