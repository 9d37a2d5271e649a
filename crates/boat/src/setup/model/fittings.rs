//! What the boat carries beyond its channels: it moves nothing by radio, but sheet and guide tell of it.

/// What the boat carries beyond its channels. All of it may be absent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fittings {
    /// How she is switched on and off.
    pub power: Option<Power>,
    /// Where the switch or plug is, in the builder's words.
    pub power_at: Option<String>,
    /// A pipe through which she takes air near the surface.
    pub snorkel: Option<Snorkel>,
    /// Where the receiver's aerial runs, in the builder's words.
    pub aerial: Option<String>,
    /// Where the tube for the leak test is, in the builder's words.
    pub leak_test: Option<String>,
    /// What comes apart when the cylinder is opened and must be joined again.
    pub couplings: Vec<String>,
    /// In which order her compartments are closed.
    pub closing: Vec<String>,
    /// Indicator lights and what they mean, in file order.
    pub lights: Vec<IndicatorLight>,
}

/// How a boat is switched on and off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Power {
    /// A switch that a hand reaches from outside.
    Switch,
    /// A switch worked through the hull, by magnet or by radio.
    RemoteSwitch,
    /// A plug that is put in.
    Plug,
}

/// A pipe through which a boat takes air near the surface.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Snorkel {
    /// A float closes it when it goes under.
    pub float_valve: bool,
}

/// An indicator light.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IndicatorLight {
    /// What is seen, such as "red, blinking".
    pub shows: String,
    /// What it means.
    pub means: String,
}
