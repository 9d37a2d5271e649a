//! The states of a boat, as a type.

use crate::setup::Setup;

/// What goes on while a rule judges.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StateId {
    /// A hand on every control.
    Piloting,
    /// Link lost, nothing done yet.
    Waiting,
    /// A stage of the unit after a lost link, by index.
    Stage(usize),
    /// The same stage after low battery or a leak: the pilot still has the channels outside.
    StageWhilePiloting(usize),
    /// Link lost and not coming back.
    LostForGood,
    /// Receiver on, transmitter off, nothing heard yet.
    PowerUp,
    /// The battery down to where the unit acts.
    LowBattery,
    /// What stands in the file, whatever the boat does.
    OnPaper,
}

impl StateId {
    /// As reports print it: `piloting`, `stage blow`, `lost for good`.
    pub fn name(self, setup: &Setup) -> String {
        let unit = setup.fail_safe.as_ref();
        let stage = |index: usize| {
            let name = unit.and_then(|unit| unit.stages.get(index)).map_or("", |stage| stage.name.as_str());
            format!("stage {name}")
        };
        match self {
            StateId::Piloting => "piloting".to_owned(),
            StateId::Waiting => "waiting".to_owned(),
            StateId::Stage(index) => stage(index),
            StateId::StageWhilePiloting(index) => {
                let cause = match unit.map(|unit| (unit.low_battery.is_some(), unit.leak)) {
                    Some((true, true)) => "low battery or leak",
                    Some((true, false)) => "low battery",
                    _ => "leak",
                };
                format!("{} ({cause})", stage(index))
            }
            StateId::LostForGood => "lost for good".to_owned(),
            StateId::PowerUp => "power-up".to_owned(),
            StateId::LowBattery => "low battery".to_owned(),
            StateId::OnPaper => "on paper".to_owned(),
        }
    }
    /// As a sentence ends with it: `motor_esc may keep running with the link lost for good`.
    pub fn clause(self, setup: &Setup) -> String {
        match self {
            StateId::Piloting => "with a hand on the sticks".to_owned(),
            StateId::Waiting if setup.fail_safe.is_some() => {
                "after a lost link, before the unit acts".to_owned()
            }
            StateId::Waiting => "after a lost link".to_owned(),
            StateId::Stage(_) | StateId::StageWhilePiloting(_) => format!("in {}", self.name(setup)),
            StateId::LostForGood => "with the link lost for good".to_owned(),
            StateId::PowerUp => "at power-up without a transmitter".to_owned(),
            StateId::LowBattery => "with the battery low".to_owned(),
            StateId::OnPaper => "by what the file says".to_owned(),
        }
    }
}
