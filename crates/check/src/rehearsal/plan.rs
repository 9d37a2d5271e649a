//! What is commanded when: receiver, unit, stages.

use super::missing::{Wanted, Wants};
use super::{Assumption, Cause, Event, What};
use crate::physics::units::Seconds;
use crate::setup::{ChannelId, Exact, OnLoss, Others, Path, Setup, UnitActs};

/// A channel is sent to a position.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Command {
    pub(super) at: f64,
    pub(super) channel: ChannelId,
    pub(super) to: Exact,
    /// The unit makes the pulse.
    pub(super) by_unit: bool,
}

/// What receiver and unit do after a cause.
#[derive(Clone, Debug, Default)]
pub(super) struct Plan {
    pub(super) events: Vec<Event>,
    pub(super) commands: Vec<Command>,
    /// When the receiver does what it does on a lost link.
    pub(super) receiver_at: Option<f64>,
    /// When the first command is given.
    pub(super) acts_at: Option<f64>,
    /// When the last stage is over, if it ends.
    pub(super) handed_back: Option<f64>,
    /// What becomes of the unit's channels then, as far as no preset says.
    pub(super) released: Vec<(ChannelId, Back)>,
}

/// What a channel is left to when the last stage is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Back {
    /// The pilot's controls, or where they were when the link was lost.
    ControlPositions,
    /// No pulses, or any: the servo may stay, and may be pushed anywhere.
    Nothing,
}

impl Plan {
    pub(super) fn of(setup: &Setup, cause: Cause, wants: &mut Wants, assumed: &mut Vec<Assumption>) -> Self {
        let mut plan = Self::default();
        plan.tell(0.0, What::Begins(cause));
        if !cause.applies(setup) {
            let key = if cause == Cause::Leak { "leak" } else { "low_battery" };
            wants.note(Wanted::Acting, Path::of(["fail_safe", key]));
            return plan;
        }
        let by_link = matches!(cause, Cause::Loss | Cause::PowerUp);
        let mut at = 0.0;
        if by_link {
            at = seconds(
                wants.need(setup.receiver.after.as_ref(), Wanted::Delay, || Path::of(["receiver", "after"])),
            );
            plan.receiver(setup, at);
        }
        let Some(unit) = &setup.fail_safe else { return plan };
        if by_link && setup.unit() != UnitActs::Sure {
            plan.tell(at, What::UnitUnaware);
            return plan;
        }
        let wait = seconds(wants.need(unit.wait.as_ref(), Wanted::Delay, || Path::of(["fail_safe", "wait"])));
        if !by_link && wait > 0.0 {
            assumed.push(Assumption::UnitWaits(Seconds(wait)));
        }
        plan.stages(setup, at + wait);
        for back in [Back::ControlPositions, Back::Nothing] {
            if plan.released.iter().any(|r| r.1 == back) {
                assumed.push(Assumption::Released { to_hand: back == Back::ControlPositions });
            }
        }
        plan
    }

    /// Channels that a hand holds at places from the beginning.
    pub(super) fn held(channels: &[(ChannelId, Exact)]) -> Self {
        let command = |(channel, to): &(ChannelId, Exact)| Command {
            at: 0.0,
            channel: *channel,
            to: to.clone(),
            by_unit: false,
        };
        Self { commands: channels.iter().map(command).collect(), ..Self::default() }
    }

    fn tell(&mut self, at: f64, what: What) {
        self.events.push(Event { at: Seconds(at), what });
    }

    fn receiver(&mut self, setup: &Setup, at: f64) {
        self.receiver_at = Some(at);
        self.tell(at, What::ReceiverActs);
        if let OnLoss::Preset { values, .. } = &setup.receiver.on_loss {
            let command = |(channel, to): &(ChannelId, Exact)| Command {
                at,
                channel: *channel,
                to: to.clone(),
                by_unit: false,
            };
            self.commands.extend(values.iter().map(command));
            self.acts_at = Some(at);
        }
    }

    fn stages(&mut self, setup: &Setup, first: f64) {
        let Some(unit) = &setup.fail_safe else { return };
        self.acts_at = Some(self.acts_at.map_or(first, |at| at.min(first)));
        let mut at = first;
        for (index, stage) in unit.stages.iter().enumerate() {
            self.tell(at, What::Stage(index));
            for (channel, to) in &stage.set {
                self.commands.push(Command { at, channel: *channel, to: to.clone(), by_unit: true });
            }
            // Only the last may be without an end.
            let Some(lasts) = &stage.lasts else { return };
            at += lasts.0.to_f64();
        }
        self.tell(at, What::HandedBack);
        self.handed_back = Some(at);
        self.back_to_receiver(setup, at);
    }

    /// With a lost link the unit's channels go back to the receiver's presets, where there are any; without
    /// one the pilot has them again.
    fn back_to_receiver(&mut self, setup: &Setup, at: f64) {
        let Some(unit) = &setup.fail_safe else { return };
        for &channel in &unit.channels {
            let back = match &setup.receiver.on_loss {
                _ if self.receiver_at.is_none() => Back::ControlPositions,
                OnLoss::Preset { values, others, .. } => {
                    if let Some((_, to)) = values.iter().find(|(c, _)| *c == channel) {
                        self.commands.push(Command { at, channel, to: to.clone(), by_unit: false });
                        continue;
                    }
                    if *others == Others::Hold { Back::ControlPositions } else { Back::Nothing }
                }
                OnLoss::Hold => Back::ControlPositions,
                OnLoss::NoPulses | OnLoss::Noise => Back::Nothing,
            };
            self.released.push((channel, back));
        }
    }
}

fn seconds(given: Option<&crate::setup::quantity::Seconds>) -> f64 {
    given.map_or(0.0, |s| s.0.to_f64())
}
