//! The sheet's turns of phrase: labels filled in, pulses and positions in words.

use crate::chain::{self, Inputs, Order};
use crate::labels::text;
use crate::labels::text::common;
use crate::labels::{Gaps, Labels, Text};
use crate::rule::Engine;
use crate::setup::{ChannelId, ControlId, Exact, Setup, Side, Toleranced, WorkRef};
use crate::words::{self, plain};

/// What everything on the sheet is worded with.
pub(crate) struct Say<'a> {
    pub(crate) labels: &'a Labels,
    pub(crate) setup: &'a Setup,
    pub(crate) engine: &'a Engine<'a>,
}

impl Say<'_> {
    pub(crate) fn get(&self, text: Text) -> &str {
        self.labels.get(text)
    }

    pub(super) fn all<const N: usize>(&self, texts: [Text; N]) -> [String; N] {
        texts.map(|text| self.get(text).to_owned())
    }

    pub(super) fn fill(&self, text: impl Gaps) -> String {
        self.labels.fill(text)
    }

    pub(super) fn percent(&self, value: &Exact) -> String {
        words::percent(self.labels, value)
    }

    pub(super) fn signed(&self, value: &Exact) -> String {
        words::signed(self.labels, value)
    }

    /// `+36.4 % ± 2 %`
    pub(super) fn toleranced(&self, at: &Toleranced) -> String {
        if at.off.is_zero() {
            return self.signed(&at.value);
        }
        let off = self.percent(&at.off);
        self.fill(text::sheet::Toleranced { value: &self.signed(&at.value), off: &off })
    }

    pub(super) fn seconds(&self, value: &Exact) -> String {
        words::seconds(self.labels, value)
    }

    /// A length of pulse in whole microseconds.
    pub(super) fn micros(&self, value: &Exact) -> String {
        let number = value.to_decimal(0).replace('-', &words::MINUS.to_string());
        self.fill(text::sheet::Micros { number: &number })
    }

    /// The pulse between two outputs, as it is worked out: `1500 µs`, `1640–1656 µs`.
    pub(super) fn pulse(&self, [low, high]: &[Exact; 2]) -> String {
        let scale = &self.setup.axis;
        self.between(&scale.pulse_at(low).0.to_decimal(0), &scale.pulse_at(high).0.to_decimal(0))
    }

    /// What a meter may show between two outputs, with what the pulse itself can be off.
    pub(super) fn band(&self, [low, high]: &[Exact; 2], off: &Exact) -> String {
        let scale = &self.setup.axis;
        // Rounded outwards: a good boat must never fail by a rounding.
        let whole = |v: Option<i64>| v.map_or_else(|| "?".to_owned(), |v| v.to_string());
        let low = (scale.pulse_at(low).0 - off).floor();
        let high = (scale.pulse_at(high).0 + off).ceil();
        self.between(&whole(low), &whole(high))
    }

    fn between(&self, low: &str, high: &str) -> String {
        let number = if low == high { low.to_owned() } else { format!("{low}\u{2013}{high}") };
        self.fill(text::sheet::Micros { number: &number })
    }

    /// The least and greatest output with everything where it is, over every order left open.
    pub(super) fn outputs(&self, channel: ChannelId, inputs: &Inputs) -> [Exact; 2] {
        let at = |order: &Order| chain::output(self.setup, channel, inputs, order);
        let mut span: Option<[Exact; 2]> = None;
        for order in &self.engine.orders {
            let out = at(order);
            span = Some(match span {
                None => [out.clone(), out],
                Some([low, high]) => [low.min(out.clone()), high.max(out)],
            });
        }
        span.unwrap_or([Exact::ZERO, Exact::ZERO])
    }

    /// `channel 4, ballast`
    pub(crate) fn channel(&self, id: ChannelId) -> String {
        let channel = &self.setup.channels[id];
        let number = self.labels.fill(common::Channel { number: &channel.number.to_string() });
        match &channel.name {
            Some(name) => format!("{number}, {}", plain(name)),
            None => number,
        }
    }

    /// `tank (rear left)`
    pub(super) fn control(&self, id: ControlId) -> String {
        let control = &self.setup.controls[id];
        match &control.at {
            Some(at) => {
                let place = self.labels.word(common::PLACES, at);
                format!("{} ({place})", plain(&control.name))
            }
            None => plain(&control.name),
        }
    }

    /// `rear left`, or what sort of control it is.
    pub(super) fn place(&self, id: ControlId) -> String {
        let control = &self.setup.controls[id];
        match &control.at {
            Some(at) => self.labels.word(common::PLACES, at).to_owned(),
            None => String::new(),
        }
    }

    /// The builder's word for a way of a channel.
    pub(super) fn way(&self, channel: ChannelId, side: Side) -> String {
        match self.setup.channels[channel].control {
            Some(id) => plain(&self.setup.controls[id].ways[side.index()]),
            None => self.labels.get([common::LOW, common::HIGH][side.index()]).to_owned(),
        }
    }

    /// `emergency gas valve`
    pub(super) fn kind(&self, work: WorkRef) -> String {
        let kind = self.setup.work(work).kind.name;
        self.labels.word(common::WORKS, kind).to_owned()
    }

    /// Every work of every device.
    pub(super) fn works(&self) -> impl Iterator<Item = WorkRef> + '_ {
        self.engine.works().map(|(work, _)| work)
    }
}

/// Every control at rest, and one of them where it is held.
pub(super) fn held(setup: &Setup, control: ControlId, position: Exact, setting: usize) -> Inputs {
    let mut inputs = Inputs::at_rest(setup);
    inputs.positions[control] = position;
    inputs.settings[control] = setting;
    inputs
}

/// The same with a switch set.
pub(super) fn switched(setup: &Setup, mut inputs: Inputs, switch: ControlId, setting: usize) -> Inputs {
    inputs.positions[switch] = setup.controls[switch].setting_position(setting);
    inputs.settings[switch] = setting;
    inputs
}
