//! The order in which a transmitter does its sums, as far as it is known.

/// The six lines of `transmitter.order`; `None` where the file leaves one open.
#[derive(Clone, Debug, Default)]
pub struct OrderLines {
    /// What a stick signal beyond full does.
    pub past_full_stick: Option<PastFull>,
    /// What an endpoint does.
    pub endpoint: Option<EndpointDoes>,
    /// By what an endpoint is named.
    pub endpoint_side: Option<EndpointSide>,
    /// Where the trim comes in.
    pub trim: Option<OrderPlace>,
    /// Where mixes come in.
    pub mix: Option<OrderPlace>,
    /// What the sub-trim does to the ends.
    pub sub_trim: Option<SubTrimDoes>,
}

/// What happens to a signal past full stick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PastFull {
    /// It is held at full stick.
    CutOff,
    /// It goes on.
    CarriesOn,
}

/// What an endpoint does to the signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EndpointDoes {
    /// It multiplies the side.
    Scales,
    /// It limits the side.
    Clamps,
}

/// What side an endpoint belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EndpointSide {
    /// The way of the stick, whatever the sense.
    Stick,
    /// The side of the pulse.
    Pulse,
}

/// Before or after the endpoint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum OrderPlace {
    /// Before the endpoint acts.
    Before,
    /// After it.
    After,
}

/// What the sub-trim does to the ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SubTrimDoes {
    /// Both ends move along.
    ShiftsEnds,
    /// The ends stay, the travel is cut.
    KeepsEnds,
}
