//! What flows out of a battery, what carries it, and how long it lasts, in the reader's language.

use super::Labels;
use crate::labels::text::common;
use crate::physics::units::figures_below;
use crate::rehearsal::{Endurance, endurance};
use crate::setup::{Exact, Link, Path, Setup};

/// The name of something that carries a current.
pub(crate) fn link(labels: &Labels, link: Link) -> String {
    let text = match link {
        Link::Plug => common::links::PLUG,
        Link::Switch => common::links::SWITCH,
        Link::Fuse => common::links::FUSE,
        Link::Pack => common::links::PACK,
        Link::Controller => common::links::CONTROLLER,
    };
    labels.get(text).to_owned()
}

/// An amount of amperes.
pub(crate) fn amperes(labels: &Labels, value: &Exact) -> String {
    labels.fill(common::Amperes { number: &labels.decimal(&value.to_decimal(2)) })
}

/// A battery as it is known beside how long it lasts.
pub(crate) struct Lasting {
    /// Full minutes, two figures, on the safe side.
    pub(crate) minutes: String,
    /// At which voltage that ends.
    pub(crate) volts: String,
    /// Whether the unit acts there.
    pub(crate) alarm: bool,
}

/// How long a full battery lasts, or the keys that are missing.
pub(crate) fn lasting(labels: &Labels, setup: &Setup, battery: usize) -> Result<Lasting, Vec<Path>> {
    let Endurance { lasts, until, alarm } = endurance(setup, battery)?;
    let minutes = (lasts.low.0 / 60.0).floor();
    let minutes = labels.decimal(&figures_below(minutes, 2));
    let volts = Exact::from_f64(until.0).unwrap_or(Exact::ZERO).to_decimal(2);
    let volts = labels.fill(common::Volts { number: &labels.decimal(&volts) });
    Ok(Lasting { minutes, volts, alarm })
}
