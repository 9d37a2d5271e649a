//! The figures of what empties a tank, as the laws of physics take them.

use super::{Exact, LiquefiedGas, Pump};
use crate::physics::domain::DomainError;
use crate::physics::gas::fluid::Liquid;
use crate::physics::pump::PumpCurve;
use crate::physics::units::{CubicMetresPerSecond, Pascals};

impl Pump {
    /// By which part of themselves its pressures can be off: as the flow where the file does not say.
    pub fn pressures_off(&self) -> Exact {
        self.pressure_off.clone().unwrap_or_else(|| self.off())
    }

    /// The pressure against which it moves nothing, with everything against it.
    ///
    /// # Errors
    /// Those of [`Self::curve`].
    pub fn gives_up_at(&self) -> Result<Pascals, DomainError> {
        Ok(self.curve()?.shut_off() * (1.0 - self.pressures_off().to_f64()).max(0.0))
    }

    /// By which part of itself its flow can be off; nought where the file does not say.
    pub fn off(&self) -> Exact {
        self.flow_off.clone().unwrap_or(Exact::ZERO)
    }

    /// What it moves against which pressure, as written.
    ///
    /// # Errors
    /// Points of which no falling curve can be made.
    pub fn curve(&self) -> Result<PumpCurve, DomainError> {
        let points = self.flow.iter().map(|(pressure, flow)| {
            let flow = CubicMetresPerSecond::from_litres_per_minute(flow.0.to_f64());
            (Pascals::from_bar(pressure.0.to_f64()), flow)
        });
        PumpCurve::new(&points.collect::<Vec<_>>())
    }
}

impl LiquefiedGas {
    /// The liquid with its properties.
    pub fn liquid(self) -> Liquid {
        match self {
            Self::Propane => Liquid::Propane,
            Self::Butane => Liquid::NButane,
            Self::Isobutane => Liquid::Isobutane,
            Self::R134a => Liquid::R134a,
            Self::R152a => Liquid::R152a,
            Self::R1234ze => Liquid::R1234zeE,
        }
    }
}
