//! Over what a question is asked: a range for every position and trim, and which settings count.
//!
//! A switch is one thing: where it stands and which setting is in force go together. Only while it is
//! thrown from one setting to the next does it pass what lies between, with either of the two in force.

use super::interval::Interval;
use super::reach::ControlPositions;
use crate::chain::Order;
use crate::setup::{ControlId, Exact, Setup, Side};
use std::cell::OnceCell;
use std::ops::Deref;

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
    /// Whether a switch may be caught while it is thrown.
    pub thrown: bool,
    /// The orders of operations that count, where not all do.
    pub orders: Option<Vec<Order>>,
    /// Where each control is when nobody touches it, as far as its range allows.
    calm: Vec<Exact>,
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
            thrown: true,
            orders: None,
            calm: setup.controls.iter().map(|c| c.setting_position(0)).collect(),
        }
    }

    /// With every switch in one of its settings: nobody holds one between two.
    #[must_use]
    pub fn settled(mut self) -> Self {
        self.thrown = false;
        self
    }

    /// Under these orders of operations only.
    #[must_use]
    pub fn under(mut self, orders: Vec<Order>) -> Self {
        self.orders = Some(orders);
        self
    }

    /// With a control held at one place or left there, and no switch just being thrown.
    #[must_use]
    pub fn with_position(mut self, control: ControlId, position: Exact) -> Self {
        self.positions[control] = Interval::point(position);
        self.held.push(control);
        self.settled()
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
        self.settled()
    }

    /// With every control at rest; a switch has none and may be anywhere.
    #[must_use]
    pub fn with_all_at_rest(mut self, setup: &Setup) -> Self {
        for (range, control) in self.positions.iter_mut().zip(&setup.controls) {
            if control.settings.is_empty() {
                *range = Interval::point(Exact::ZERO);
            }
        }
        self.settled()
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

    /// The place nearest to where nobody touches anything.
    pub fn middle(&self) -> ControlPositions {
        let nearest = |(range, calm): (&Interval, &Exact)| calm.clone().clamp(&range.low, &range.high);
        ControlPositions {
            positions: self.positions.iter().zip(&self.calm).map(nearest).collect(),
            trims: self.trims.iter().map(|range| Exact::ZERO.clamp(&range.low, &range.high)).collect(),
        }
    }

    /// Whether every setting and every order counts.
    pub fn has_no_conditions(&self) -> bool {
        self.only.is_empty() && self.never.is_empty() && self.orders.is_none()
    }

    /// Whether the conditions on settings allow these.
    pub fn allows(&self, settings: &[usize]) -> bool {
        self.only.iter().all(|&(c, s)| settings[c] == s) && self.never.iter().all(|&(c, s)| settings[c] != s)
    }

    /// The same with these settings in force on some switches: each stands at its setting, or while it
    /// is thrown between that and its neighbours. `None` where that leaves a switch no place.
    pub fn in_settings(&self, setup: &Setup, switches: &[ControlId], settings: &[usize]) -> Option<Self> {
        if !self.allows(settings) {
            return None;
        }
        let mut inside = self.clone();
        for &switch in switches {
            match self.place(setup, switch, settings[switch]) {
                Place::None => return None,
                Place::AnySetting => {}
                Place::Within(range) => {
                    inside.positions[switch] = range;
                    inside.calm[switch] = setup.controls[switch].setting_position(settings[switch]);
                }
            }
        }
        Some(inside)
    }

    /// Whether [`Domain::in_settings`] leaves anything.
    pub(super) fn has_place(&self, setup: &Setup, switches: &[ControlId], settings: &[usize]) -> bool {
        let has_place = |switch: ControlId| {
            self.positions[switch].is_whole()
                || !matches!(self.place(setup, switch, settings[switch]), Place::None)
        };
        self.allows(settings) && switches.iter().all(|&switch| has_place(switch))
    }

    /// Where a switch is while a setting is in force.
    fn place(&self, setup: &Setup, switch: ControlId, setting: usize) -> Place {
        let (control, range) = (&setup.controls[switch], &self.positions[switch]);
        let last = control.settings.len() - 1;
        // A sprung switch may rest where no setting lies; any may be in force there.
        let no_setting_there =
            range.is_point() && (0..=last).all(|other| control.setting_position(other) != range.low);
        if no_setting_there {
            return Place::AnySetting;
        }
        let allowed = if self.thrown && !self.held.contains(&switch) {
            let neighbour = |other: usize| control.setting_position(other);
            Interval::between(neighbour(setting.saturating_sub(1)), neighbour((setting + 1).min(last)))
        } else {
            Interval::point(control.setting_position(setting))
        };
        let (low, high) = (range.low.clone().max(allowed.low), range.high.clone().min(allowed.high));
        if low > high { Place::None } else { Place::Within(Interval { low, high }) }
    }
}

/// Where a switch is while a setting is in force.
enum Place {
    /// Nowhere in the domain.
    None,
    /// Wherever the domain has it.
    AnySetting,
    /// Within a range.
    Within(Interval),
}

/// What of a domain remains where some settings are in force: worked out for those who look inside.
pub struct Inside<'a> {
    domain: &'a Domain,
    setup: &'a Setup,
    switches: &'a [ControlId],
    settings: &'a [usize],
    known: OnceCell<Option<Domain>>,
}

impl<'a> Inside<'a> {
    /// `None` where nothing remains.
    pub(super) fn of(
        domain: &'a Domain,
        setup: &'a Setup,
        switches: &'a [ControlId],
        settings: &'a [usize],
    ) -> Option<Self> {
        let inside = Self { domain, setup, switches, settings, known: OnceCell::new() };
        domain.has_place(setup, switches, settings).then_some(inside)
    }
}

impl Deref for Inside<'_> {
    type Target = Domain;

    fn deref(&self) -> &Domain {
        if self.switches.is_empty() {
            return self.domain;
        }
        let known =
            self.known.get_or_init(|| self.domain.in_settings(self.setup, self.switches, self.settings));
        // Something remains, or there were no such thing; the whole would be the careful side.
        known.as_ref().unwrap_or(self.domain)
    }
}
