//! Over what a question is asked: a range for every position and trim, and which settings count.

use super::interval::Interval;
use super::reach::Hand;
use crate::setup::{ControlId, Exact, Setup, Side};

/// Ranges of positions and trims by control, and conditions on switch settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Domain {
    /// By control, within [-1, +1].
    pub positions: Vec<Interval>,
    /// By control.
    pub trims: Vec<Interval>,
    /// Settings that must be in force.
    pub only: Vec<(ControlId, usize)>,
    /// Settings that must not be in force.
    pub never: Vec<(ControlId, usize)>,
    /// Controls that are held at one place; a switch that has a setting there is in it.
    pub held: Vec<ControlId>,
}

impl Domain {
    /// Everything a hand can do.
    pub fn everything(setup: &Setup) -> Self {
        let whole = Interval::between(Exact::int(-1), Exact::ONE);
        Self {
            positions: vec![whole; setup.controls.len()],
            trims: setup
                .controls
                .iter()
                .map(|c| Interval { low: -&c.trim[0], high: c.trim[1].clone() })
                .collect(),
            only: Vec::new(),
            never: Vec::new(),
            held: Vec::new(),
        }
    }

    /// With a control at one place.
    #[must_use]
    pub fn with_position(mut self, control: ControlId, position: Exact) -> Self {
        self.positions[control] = Interval::point(position);
        self.held.push(control);
        self
    }

    /// With a control on one side of rest, rest and end included.
    #[must_use]
    pub fn with_side(mut self, control: ControlId, side: Side) -> Self {
        self.positions[control] = Interval::between(Exact::ZERO, side.position());
        self
    }

    /// With every trim at nought.
    #[must_use]
    pub fn with_trims_at_nought(mut self) -> Self {
        self.trims.fill(Interval::point(Exact::ZERO));
        self
    }

    /// With every control at rest that springs back.
    #[must_use]
    pub fn with_springing_at_rest(mut self, setup: &Setup) -> Self {
        for (range, control) in self.positions.iter_mut().zip(&setup.controls) {
            if control.springs_back {
                *range = Interval::point(Exact::ZERO);
            }
        }
        self
    }

    /// With every control at rest; a switch has none and may be anywhere.
    #[must_use]
    pub fn with_all_at_rest(mut self, setup: &Setup) -> Self {
        for (range, control) in self.positions.iter_mut().zip(&setup.controls) {
            if control.settings.is_empty() {
                *range = Interval::point(Exact::ZERO);
            }
        }
        self
    }

    /// With settings in force.
    #[must_use]
    pub fn with_settings(mut self, settings: &[(ControlId, usize)]) -> Self {
        self.only.extend_from_slice(settings);
        self
    }

    /// Without a setting.
    #[must_use]
    pub fn without_setting(mut self, control: ControlId, setting: usize) -> Self {
        self.never.push((control, setting));
        self
    }

    /// The place nearest to rest.
    pub fn middle(&self) -> Hand {
        let nearest = |range: &Interval| Exact::ZERO.clamp(&range.low, &range.high);
        Hand {
            positions: self.positions.iter().map(nearest).collect(),
            trims: self.trims.iter().map(nearest).collect(),
        }
    }

    /// Whether settings are allowed.
    pub fn allows(&self, setup: &Setup, settings: &[usize]) -> bool {
        self.only.iter().all(|&(c, s)| settings[c] == s)
            && self.never.iter().all(|&(c, s)| settings[c] != s)
            && self.held.iter().all(|&c| {
                let control = &setup.controls[c];
                let there = |s: usize| control.setting_position(s) == self.positions[c].low;
                !(0..control.settings.len()).any(there) || there(settings[c])
            })
    }
}
