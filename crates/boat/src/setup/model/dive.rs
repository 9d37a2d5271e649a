//! The boat as a body in water, and what empties her tank. All of it is for estimates, none for proofs.

use super::{Material, Water, WorkRef};
use crate::setup::exact::Exact;
use crate::setup::quantity::{
    About, Amperes, Bar, Celsius, Kilograms, Litres, LitresPerMinute, MetresPerSecond, MicrosiemensPerCm,
    Millimetres, Seconds, Volts,
};

/// The boat as a body in water.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hull {
    /// What she weighs on dry land, tank empty, ready to dive.
    pub weight: Option<About<Kilograms>>,
    /// How much heavier than the water she is with the tank full; below nought: lighter.
    pub heavy: Option<About<Kilograms>>,
    /// Her length, seen from above.
    pub length: Option<Millimetres>,
    /// Her breadth, seen from above.
    pub beam: Option<Millimetres>,
    /// The fastest she goes down under way.
    pub dives_at: Option<MetresPerSecond>,
    /// The coldest and the warmest water she is sailed in.
    pub water: Option<[Celsius; 2]>,
    /// How warm the water was in which `heavy` was weighed.
    pub weighed_at: Option<Celsius>,
    /// What water it was; else that of the boat.
    pub weighed_in: Option<Water>,
    /// How well that water conducts.
    pub weighed_conductivity: Option<About<MicrosiemensPerCm>>,
    /// What the hull is made of.
    pub material: Option<Material>,
    /// How much air is in it.
    pub air: Option<About<Litres>>,
    /// How fast she sails ahead, dived.
    pub sails_at: Option<MetresPerSecond>,
    /// How much water may come in.
    pub leaks: Option<Leaks>,
}

/// How water comes in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leaks {
    /// Through a round hole of this diameter.
    Hole(Millimetres),
    /// So much at every depth.
    Rate(LitresPerMinute),
}

/// The ballast tank.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tank {
    /// How much water it takes.
    pub volume: Option<About<Litres>>,
    /// What empties it, by the work that sets it going, in file order.
    pub emptied_by: Vec<(WorkRef, Emptier)>,
}

/// What empties a tank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Emptier {
    /// A pump or blower.
    Pump(Pump),
    /// Gas from a bottle.
    Gas(Gas),
}

/// A pump or blower.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pump {
    /// What it moves against a pressure: falling flow by rising pressure, two points or more.
    pub flow: Vec<(Bar, LitresPerMinute)>,
    /// By which part of itself the flow can be off.
    pub flow_off: Option<Exact>,
    /// By which part of themselves the pressures can be off; else as the flow.
    pub pressure_off: Option<Exact>,
    /// The volts at which the curve was found.
    pub measured_at: Option<Volts>,
    /// From the switch to the first water.
    pub starts_in: Option<Seconds>,
    /// The longest it may run.
    pub duty: Option<Seconds>,
    /// What it draws.
    pub current: Option<Amperes>,
    /// What it draws when it is held fast.
    pub stall: Option<Amperes>,
    /// Whether it takes its air through a snorkel, and moves nothing while that is under water; else it is
    /// that of the hull. See [`super::Setup::through_snorkel`].
    pub through_snorkel: Option<bool>,
}

/// Gas from a bottle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gas {
    /// What it is.
    pub kind: GasKind,
    /// Volume of the bottle.
    pub bottle: Option<Litres>,
    /// What is in it when it is full: the weight of a liquefied gas.
    pub charge: Option<About<Kilograms>>,
    /// What is in it when it is full: the pressure of compressed air.
    pub pressure: Option<About<Bar>>,
    /// Diameter of the narrowest hole on the way to the tank.
    pub hole: Option<Millimetres>,
}

/// What is in a bottle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum GasKind {
    /// Compressed air.
    Air,
    /// A liquefied gas, or parts of several by weight that make one whole.
    Liquefied(Vec<(LiquefiedGas, Exact)>),
}

/// A liquefied gas.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LiquefiedGas {
    /// C3H8.
    Propane,
    /// n-C4H10.
    Butane,
    /// i-C4H10.
    Isobutane,
    /// CF3CH2F.
    R134a,
    /// CHF2CH3.
    R152a,
    /// CF3CH=CHF.
    R1234ze,
}
