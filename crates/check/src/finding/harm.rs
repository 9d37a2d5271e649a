//! What comes of a mistake that nobody mends, the worst first: the order in which people are told.

/// The worst that usually comes of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Harm {
    /// Somebody can be hurt: gas, fire, contacts, current, and motors that nobody asked for.
    People,
    /// She goes down or stays there.
    Sinks,
    /// She does not do what the hand asks, or something breaks.
    Lost,
    /// Nothing yet: something is missing, doubtful or not in order.
    Untidy,
}

impl Harm {
    /// All of them, the worst first.
    pub const ALL: [Self; 4] = [Self::People, Self::Sinks, Self::Lost, Self::Untidy];
}
