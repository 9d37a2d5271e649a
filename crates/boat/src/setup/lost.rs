//! What a lost link leaves on the channels, and whether the unit notices it.

use super::exact::Exact;
use super::model::{ChannelId, Notices, OnLoss, Others, Setup};
use super::quantity::Seconds;

/// Whether there is a unit and whether it is sure to notice a lost link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitActs {
    /// None.
    Absent,
    /// It is sure to act.
    Sure,
    /// It may never notice.
    Unsure,
}

impl Setup {
    /// Whether the receiver sends no pulses on a channel while the link is lost.
    pub fn falls_silent(&self, channel: ChannelId) -> bool {
        match &self.receiver.on_loss {
            OnLoss::NoPulses => true,
            OnLoss::Hold | OnLoss::Noise => false,
            OnLoss::Preset { values, others, .. } => {
                *others == Others::NoPulses && !values.iter().any(|(c, _)| *c == channel)
            }
        }
    }

    /// When the unit begins each of its stages, in seconds from the loss of the link or from power on without a
    /// transmitter: receiver, wait and the stages before.
    pub fn stages_begin(&self) -> Vec<Exact> {
        let Some(unit) = &self.fail_safe else { return Vec::new() };
        let seconds = |time: &Option<Seconds>| time.as_ref().map_or(Exact::ZERO, |s| s.0.clone());
        let mut clock = seconds(&self.receiver.after) + seconds(&unit.wait);
        let mut all = Vec::new();
        for stage in &unit.stages {
            all.push(clock.clone());
            clock += seconds(&stage.lasts);
        }
        all
    }

    /// When its last stage is over, in seconds likewise, if it ends.
    pub fn unit_ends(&self) -> Option<Exact> {
        let lasts = self.fail_safe.as_ref()?.stages.last()?.lasts.as_ref()?;
        Some(self.stages_begin().last()? + &lasts.0)
    }

    /// Judges the unit: silence has to fall on all its channels, or a preset to lie surely beyond the
    /// position that it watches for, by the pulse's accuracy.
    pub fn unit(&self) -> UnitActs {
        let Some(unit) = &self.fail_safe else { return UnitActs::Absent };
        let sure = match (&unit.notices, &self.receiver.on_loss) {
            // Whether a unit tells noise from a signal, and silence too, only trials tell.
            (Notices::InvalidPulses, OnLoss::Noise | OnLoss::NoPulses) => unit.tells_noise,
            (Notices::InvalidPulses, _) => false,
            (Notices::NoPulses, _) => unit.channels.iter().all(|&c| self.falls_silent(c)),
            (Notices::Channel { channel, beyond }, OnLoss::Preset { values, .. }) => {
                let sign = beyond.value.signum();
                let accuracy = &self.transmitter.pulse.accuracy;
                let (needed, slack) = (beyond.farthest(sign), self.axis.width(accuracy, sign));
                let at = values.iter().find(|(c, _)| c == channel).map(|(_, at)| at);
                at.is_some_and(|at| if sign < 0 { *at <= needed - slack } else { *at >= needed + slack })
            }
            (Notices::Channel { .. }, _) => false,
        };
        if sure { UnitActs::Sure } else { UnitActs::Unsure }
    }
}
