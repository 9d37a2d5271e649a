//! What must not happen while a test is made: gas that opens, things that fire, heat or let go.

use crate::chain::Inputs;
use crate::setup::{ChannelId, ControlId, Setup, Side, WorkRef};
use crate::sheet::say::Say;
use crate::words::{can_hurt, listed, reached_by, work_off};

/// What on these channels can hurt and is not meant to act now, as it has to stay: `gas shut`.
/// It says what the file means to happen and judges nothing.
pub(super) fn never(say: &Say<'_>, channels: &[ChannelId], meant: &[WorkRef]) -> String {
    let setup = say.setup;
    let here = |work: &WorkRef| setup.channel_of(work.device).is_some_and(|on| channels.contains(&on));
    let works = setup.works().filter(here).filter(|work| can_hurt(setup, *work) && !meant.contains(work));
    listed(works.map(|work| work_off(say.labels, setup, work)))
}

/// What a way is there to work with everything else as it is, and what was accepted within its reach.
pub(super) fn way_wants(say: &Say<'_>, control: ControlId, side: Side, inputs: &Inputs) -> Vec<WorkRef> {
    let setup: &Setup = say.setup;
    let own = setup.channels.iter().filter(|channel| channel.control == Some(control));
    let wants = own.flat_map(|channel| &channel.wants[side.index()]);
    let now = wants.filter(|want| want.needs.iter().all(|(switch, n)| inputs.settings[*switch] == *n));
    now.map(|want| want.work).chain(reached_by(setup, control, side)).collect()
}

/// The same for a setting of a switch: only its first and last lie at an end of its travel.
pub(super) fn setting_wants(say: &Say<'_>, control: ControlId, n: usize, inputs: &Inputs) -> Vec<WorkRef> {
    let last = say.setup.controls[control].settings.len().saturating_sub(1);
    let sides = [(0, Side::Low), (last, Side::High)];
    let here = sides.into_iter().filter(|(end, _)| *end == n);
    here.flat_map(|(_, side)| way_wants(say, control, side, inputs)).collect()
}
