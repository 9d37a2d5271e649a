//! One reading to be taken: what is dialled in for it, and where the hands are.

use crate::chain::rounded::{Held, Range, output, point};
use crate::chain::{Inputs, Order};
use crate::setup::{ChannelId, Exact, Setup};

/// What a hand holds while a pulse is read, and what was dialled in on that channel before.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shot {
    /// The channel that is read.
    pub channel: ChannelId,
    /// Endpoints of the low and the high way.
    pub endpoints: [Exact; 2],
    /// Sub-trim.
    pub sub_trim: Exact,
    /// Where the hands are.
    pub held: Held,
}

/// Where a stick is that is said to be about half way.
pub const HALF_WAY: [i64; 2] = [40, 60];

/// Nothing touched.
pub fn at_rest(setup: &Setup) -> Held {
    held(&Inputs::at_rest(setup))
}

fn held(inputs: &Inputs) -> Held {
    let positions = inputs.positions.iter().map(point).collect();
    Held { positions, trims: inputs.trims.clone(), settings: inputs.settings.clone() }
}

impl Shot {
    /// Nothing touched, nothing dialled.
    pub fn at_rest(setup: &Setup, channel: ChannelId) -> Self {
        let c = &setup.channels[channel];
        Self { channel, endpoints: c.endpoints.clone(), sub_trim: c.sub_trim.clone(), held: at_rest(setup) }
    }

    /// Hands there, nothing dialled.
    pub fn with_hands(setup: &Setup, channel: ChannelId, hands: &Inputs) -> Self {
        Self { held: held(hands), ..Self::at_rest(setup, channel) }
    }

    /// Whether something has to be dialled in for it, and back afterwards.
    pub fn dials(&self, setup: &Setup) -> bool {
        let c = &setup.channels[self.channel];
        c.endpoints != self.endpoints || c.sub_trim != self.sub_trim
    }

    /// The set-up with what is dialled in for it.
    pub fn dialled(&self, setup: &Setup) -> Setup {
        let mut changed = setup.clone();
        changed.channels[self.channel].endpoints = self.endpoints.clone();
        changed.channels[self.channel].sub_trim = self.sub_trim.clone();
        changed
    }

    /// What comes out before the furthest, as a share of the set's full pulse.
    pub fn output(&self, dialled: &Setup, order: &Order, grain: &Exact) -> Range {
        output(dialled, self.channel, &self.held, order, grain)
    }

    /// Its name in the record, from which [`Shot::named`] has it back.
    pub fn name(&self, setup: &Setup) -> String {
        let rest = at_rest(setup);
        let mut parts = vec![format!("probe channel {}", setup.channels[self.channel].number)];
        for (id, control) in setup.controls.iter().enumerate() {
            if !control.settings.is_empty() {
                if self.held.settings[id] != rest.settings[id] {
                    parts.push(format!("{}={}", control.name, control.settings[self.held.settings[id]]));
                }
            } else if self.held.positions[id] != rest.positions[id] {
                parts.push(format!("{}={}", control.name, place(&self.held.positions[id], &control.ways)));
            }
        }
        for (id, control) in setup.controls.iter().enumerate() {
            if !self.held.trims[id].is_zero() {
                parts.push(format!("trim of {}={}", control.name, percent(&self.held.trims[id])));
            }
        }
        let c = &setup.channels[self.channel];
        if self.endpoints != c.endpoints {
            let [low, high] = &self.endpoints;
            parts.push(format!("endpoints={}/{}", percent(low), percent(high)));
        }
        if self.sub_trim != c.sub_trim {
            parts.push(format!("sub-trim={}", percent(&self.sub_trim)));
        }
        parts.join(", ")
    }

    /// The shot of a name; `None` where it is not one of this set-up.
    pub fn named(setup: &Setup, name: &str) -> Option<Self> {
        let mut parts = name.split(", ");
        let number: u8 = parts.next()?.strip_prefix("probe channel ")?.parse().ok()?;
        let channel = setup.channels.iter().position(|c| c.number == number)?;
        let mut shot = Self::at_rest(setup, channel);
        for part in parts {
            let (what, at) = part.split_once('=')?;
            if what == "endpoints" {
                let (low, high) = at.split_once('/')?;
                shot.endpoints = [share(low)?, share(high)?];
            } else if what == "sub-trim" {
                shot.sub_trim = share(at)?;
            } else if let Some(control) = what.strip_prefix("trim of ") {
                let control = setup.controls.iter().position(|c| c.name == control)?;
                shot.held.trims[control] = share(at)?;
            } else {
                let id = setup.controls.iter().position(|c| c.name == what)?;
                let control = &setup.controls[id];
                if let Some(setting) = control.settings.iter().position(|s| s == at) {
                    shot.held.settings[id] = setting;
                    shot.held.positions[id] = point(&control.setting_position(setting));
                } else {
                    shot.held.positions[id] = placed(at, &control.ways)?;
                }
            }
        }
        // What was written by another hand, or of another file, is none of ours.
        (shot.name(setup) == name).then_some(shot)
    }
}

/// `port`, `about half port`
fn place(at: &Range, ways: &[String; 2]) -> String {
    let way = &ways[usize::from(at[1].signum() > 0)];
    if at[0] == at[1] { way.clone() } else { format!("about half {way}") }
}

fn placed(text: &str, ways: &[String; 2]) -> Option<Range> {
    let (half, word) = match text.strip_prefix("about half ") {
        Some(way) => (true, way),
        None => (false, text),
    };
    let way = ways.iter().position(|way| way == word)?;
    Some(if half { half_way(way) } else { point(&Exact::int(2 * way as i64 - 1)) })
}

/// About half way to the low (0) or the high way.
pub fn half_way(way: usize) -> Range {
    let [near, far] = HALF_WAY.map(Exact::percent);
    if way == 0 { [-far, -near] } else { [near, far] }
}

/// `-3 %`
pub fn percent(share: &Exact) -> String {
    format!("{} %", (share * Exact::int(100)).to_decimal(3))
}

fn share(text: &str) -> Option<Exact> {
    Some(Exact::from_decimal(text.strip_suffix('%')?.trim())? / Exact::int(100))
}
