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

/// A moment of what she does by herself, from the loss of the link or from power on without a transmitter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct When {
    seconds: Exact,
    missing: Vec<&'static str>,
}

impl When {
    /// When it comes, in seconds; `None` where a delay before it is not given: that is no time to be told.
    pub fn seconds(&self) -> Option<&Exact> {
        self.missing.is_empty().then_some(&self.seconds)
    }

    /// The keys of the delays that are not given.
    pub fn missing(&self) -> &[&'static str] {
        &self.missing
    }

    /// A delay later.
    fn then(mut self, delay: Option<&Seconds>, key: &'static str) -> Self {
        match delay {
            Some(delay) => self.seconds += delay.0.clone(),
            None => self.missing.push(key),
        }
        self
    }
}

/// The delay of the receiver, and that of the unit.
const DELAYS: [&str; 2] = ["receiver.after", "fail_safe.wait"];

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

    /// When the receiver does what it does on a lost link.
    pub fn receiver_acts(&self) -> When {
        When { seconds: Exact::ZERO, missing: Vec::new() }.then(self.receiver.after.as_ref(), DELAYS[0])
    }

    /// When the unit begins each of its stages: after the receiver, its own wait and the stages before.
    pub fn stages_begin(&self) -> Vec<When> {
        let Some(unit) = &self.fail_safe else { return Vec::new() };
        let mut clock = self.receiver_acts().then(unit.wait.as_ref(), DELAYS[1]);
        let mut all = Vec::new();
        for stage in &unit.stages {
            all.push(clock.clone());
            // Only the last may be without an end, and nothing comes after that.
            clock.seconds += stage.lasts.as_ref().map_or(Exact::ZERO, |lasts| lasts.0.clone());
        }
        all
    }

    /// When its last stage is over, if it ends.
    pub fn unit_ends(&self) -> Option<When> {
        let lasts = self.fail_safe.as_ref()?.stages.last()?.lasts.as_ref()?;
        let mut last = self.stages_begin().pop()?;
        last.seconds += lasts.0.clone();
        Some(last)
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
