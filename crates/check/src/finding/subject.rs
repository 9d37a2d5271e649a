//! What a finding is about, as a type: nothing that reads a finding has to take a name apart.

use crate::setup::{ChannelId, ControlId, DeviceId, Setup, Side, WorkRef};

/// A thing of a boat that a rule can judge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Subject {
    /// A function that a device works by travel.
    Function(WorkRef),
    /// A function, where a way of a channel may take the device that works it.
    FunctionByWay(WorkRef, ChannelId, Side),
    /// Two functions that exclude each other; a finding bears the name of the first.
    Pair(WorkRef, WorkRef),
    /// A function that a stage of the unit is there for, or has to leave alone.
    InStage(usize, WorkRef),
    /// The same, told with the device that works it.
    InStageOnDevice(usize, WorkRef),
    /// A device.
    Device(DeviceId),
    /// What lies on one side of a device's axis: -1 the shorter pulses, +1 the longer.
    DeviceSide(DeviceId, i32),
    /// A way of a channel's own control.
    Way(ChannelId, Side),
    /// A way of a control that drives a channel, by itself or mixed in.
    WayOf(ChannelId, ControlId, Side),
    /// A control that a module behind a device mixes in.
    MixedByModule(DeviceId, ControlId),
    /// A channel.
    Channel(ChannelId),
    /// A control.
    Control(ControlId),
    /// A battery, by index.
    Battery(usize),
    /// The fail-safe unit.
    Unit,
    /// The receiver.
    Receiver,
    /// The transmitter.
    Transmitter,
    /// The hull.
    Hull,
    /// The tank.
    Tank,
    /// The boat as a whole.
    Boat,
    /// A stage of the unit, by index.
    Stage(usize),
    /// An acceptance of the file, by index.
    Acceptance(usize),
}

impl Subject {
    /// What acts on a lost link: the unit, or without one the receiver.
    pub fn acting(setup: &Setup) -> Self {
        if setup.fail_safe.is_some() { Subject::Unit } else { Subject::Receiver }
    }

    /// As reports print it and `accept` names it: `tank_servo.gas`, `5/blow`, `fail_safe`.
    pub fn name(&self, setup: &Setup) -> String {
        let stage = |index: &usize| {
            let unit = setup.fail_safe.as_ref();
            unit.and_then(|unit| unit.stages.get(*index)).map_or("", |stage| stage.name.as_str())
        };
        match self {
            Subject::Function(function)
            | Subject::FunctionByWay(function, ..)
            | Subject::Pair(function, _) => setup.work_name(*function),
            Subject::InStage(index, function) => {
                format!("{}.{}", stage(index), setup.work(*function).name)
            }
            Subject::InStageOnDevice(index, function) => {
                format!("{}.{}", stage(index), setup.work_name(*function))
            }
            Subject::Device(device) | Subject::DeviceSide(device, _) => setup.devices[*device].name.clone(),
            Subject::Way(channel, side) => match setup.channels[*channel].control {
                Some(own) => Subject::WayOf(*channel, own, *side).name(setup),
                None => setup.channels[*channel].number.to_string(),
            },
            Subject::WayOf(channel, control, side) => {
                let way = &setup.controls[*control].ways[side.index()];
                format!("{}/{way}", setup.channels[*channel].number)
            }
            Subject::MixedByModule(device, control) => {
                format!("{}/{}", setup.devices[*device].name, setup.controls[*control].name)
            }
            Subject::Channel(channel) => setup.channels[*channel].number.to_string(),
            Subject::Control(control) => setup.controls[*control].name.clone(),
            Subject::Battery(battery) => setup.batteries[*battery].name.clone(),
            Subject::Unit => "fail_safe".to_owned(),
            Subject::Receiver => "receiver".to_owned(),
            Subject::Transmitter => "transmitter".to_owned(),
            Subject::Hull => "hull".to_owned(),
            Subject::Tank => "tank".to_owned(),
            Subject::Boat => "boat".to_owned(),
            Subject::Stage(index) => stage(index).to_owned(),
            Subject::Acceptance(index) => setup.accept[*index].about.clone(),
        }
    }
}
