//! What a hull is made of, as far as it grows with warmth.

/// What a hull is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Material {
    /// Acrylic, PMMA.
    Acrylic,
    /// Polycarbonate.
    Polycarbonate,
    /// PVC, as pipes are.
    Pvc,
    /// ABS, as most kits are.
    Abs,
    /// Polystyrene.
    Polystyrene,
    /// Resin with glass.
    Glass,
    /// Resin with carbon.
    Carbon,
    /// Aluminium.
    Aluminium,
    /// Brass.
    Brass,
    /// Stainless steel.
    Steel,
    /// Wood.
    Wood,
}

impl Material {
    /// How much longer it gets by a kelvin, in millionths: about the middle of what handbooks and makers' data
    /// sheets give (from memory; a plastic may be a fifth off).
    pub fn grows(self) -> f64 {
        match self {
            Self::Acrylic | Self::Polystyrene => 70.0,
            Self::Polycarbonate => 68.0,
            Self::Pvc => 65.0,
            Self::Abs => 85.0,
            Self::Glass => 25.0,
            Self::Carbon => 2.0,
            Self::Aluminium => 23.5,
            Self::Brass => 19.0,
            Self::Steel => 16.5,
            // Along the grain 3 to 5, across it 30 to 50.
            Self::Wood => 20.0,
        }
    }
}
