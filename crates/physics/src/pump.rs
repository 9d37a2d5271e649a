//! What a pump moves against a pressure.
//!
//! **Assumed:** the curve holds at the voltage it was measured at; air locks, kinked hoses and a worn
//! impeller are not in it. Between points the flow runs straight. Pump curves bend outwards, so the
//! straight line lies below them and times come out long rather than short.
//! **Range:** the curve's own; beyond its last point the pump moves nothing.
//! **Uncertainty:** that of the curve: makers' curves of small pumps are often 20 % too good (common
//! practice, no source). Measuring one's own takes a bucket, a watch and a staircase.

use super::domain::{DomainError, not_negative, positive};
use super::gas::species::AIR;
use super::integrate::simpson;
use super::pressure;
use super::units::{Between, CubicMetres, CubicMetresPerSecond, KgPerM3, Metres, Pascals, Seconds, Watts};

/// Flow against gauge pressure, falling.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpCurve {
    points: Vec<(Pascals, CubicMetresPerSecond)>,
}

/// The space a pump empties.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tank {
    /// Open to the air inside the boat, or a bag: nothing but the water's pressure works against it.
    Vented,
    /// Shut, with this much air in it at the start and at this absolute pressure. The air thins out
    /// as water leaves, and holds the water back.
    Shut {
        /// Volume of the air at the start.
        air: CubicMetres,
        /// Its absolute pressure at the start.
        pressure: Pascals,
    },
}

/// Pairs of intervals in the integral over the volume.
const PAIRS: u32 = 500;

impl PumpCurve {
    /// A curve through measured points, in order of pressure.
    ///
    /// # Errors
    /// Fewer than two points, pressures that do not rise, flows that rise or are negative, a first flow
    /// of nothing.
    pub fn new(points: &[(Pascals, CubicMetresPerSecond)]) -> Result<Self, DomainError> {
        let Some(&(_, most)) = points.first() else {
            return Err(DomainError::Inconsistent { what: "a pump curve without points says nothing" });
        };
        if points.len() < 2 {
            return Err(DomainError::Inconsistent { what: "a pump curve needs at least two points" });
        }
        positive("pump flow at the first point", most.0, CubicMetresPerSecond::SIGN)?;
        for (p, q) in points {
            not_negative("pressure of a pump point", p.0, Pascals::SIGN)?;
            not_negative("flow of a pump point", q.0, CubicMetresPerSecond::SIGN)?;
        }
        for pair in points.windows(2) {
            if pair[1].0 <= pair[0].0 {
                return Err(DomainError::Inconsistent {
                    what: "the pressures of a pump curve have to rise from point to point",
                });
            }
            if pair[1].1 > pair[0].1 {
                return Err(DomainError::Inconsistent {
                    what: "a pump that moves more against more pressure is measured wrongly",
                });
            }
        }
        Ok(Self { points: points.to_vec() })
    }

    /// The straight line from free flow to the pressure at which nothing moves any more.
    ///
    /// # Errors
    /// Either of them not positive.
    pub fn straight(free_flow: CubicMetresPerSecond, shut_off: Pascals) -> Result<Self, DomainError> {
        Self::new(&[(Pascals(0.0), free_flow), (shut_off, CubicMetresPerSecond(0.0))])
    }

    /// Flow against a gauge pressure. With suction (below the first point) that of the first point.
    pub fn flow(&self, pressure: Pascals) -> CubicMetresPerSecond {
        if pressure <= self.points[0].0 {
            return self.points[0].1;
        }
        let pair = self.points.windows(2).find(|pair| pressure <= pair[1].0);
        pair.map_or(CubicMetresPerSecond(0.0), |pair| {
            let share = (pressure - pair[0].0) / (pair[1].0 - pair[0].0);
            pair[0].1 + (pair[1].1 - pair[0].1) * share
        })
    }

    /// The pressure from which on it moves nothing.
    pub fn shut_off(&self) -> Pascals {
        let dry = self.points.iter().find(|(_, q)| q.0 <= 0.0);
        dry.unwrap_or(&self.points[self.points.len() - 1]).0
    }

    /// The depth at which a vented tank can no longer be emptied; for a blower fed through a snorkel,
    /// the depth of the ballast tank from which it no longer blows.
    ///
    /// # Errors
    /// A density that is not positive.
    pub fn greatest_depth(&self, density: KgPerM3) -> Result<Metres, DomainError> {
        pressure::depth_of_gauge(density, self.shut_off())
    }

    /// Time to pump `volume` out of `tank` against the water's gauge pressure `outside`, with the air in
    /// a shut tank between taking up all heat and none. `None` where the pump stalls before the end.
    ///
    /// # Errors
    /// A negative volume or pressure, air in a shut tank that is not positive.
    pub fn time_to_move(
        &self,
        volume: CubicMetres,
        outside: Pascals,
        tank: Tank,
    ) -> Result<Between<Option<Seconds>>, DomainError> {
        not_negative("volume to pump", volume.0, CubicMetres::SIGN)?;
        not_negative("water pressure", outside.0, Pascals::SIGN)?;
        if let Tank::Shut { air, pressure } = tank {
            positive("air in the tank", air.0, CubicMetres::SIGN)?;
            positive("pressure in the tank", pressure.0, Pascals::SIGN)?;
        }
        // Air that takes up no heat thins out faster in pressure, so it is always the slower bound.
        Ok(Between {
            low: self.time_with(volume, outside, tank, 1.0),
            // The bound in which the tank's air takes up no heat.
            high: self.time_with(volume, outside, tank, AIR.gamma),
        })
    }

    fn time_with(&self, volume: CubicMetres, outside: Pascals, tank: Tank, gamma: f64) -> Option<Seconds> {
        let against = |moved: f64| match tank {
            Tank::Vented => outside,
            Tank::Shut { air, pressure } => {
                let inside = pressure * libm::pow(air.0 / (air.0 + moved), gamma);
                outside + pressure::ATMOSPHERE - inside
            }
        };
        // The pressure only rises with the volume moved: if the end flows, all of it does.
        if self.flow(against(volume.0)).0 <= 0.0 {
            return if volume.0 > 0.0 { None } else { Some(Seconds(0.0)) };
        }
        Some(Seconds(simpson(0.0, volume.0, PAIRS, |moved| 1.0 / self.flow(against(moved)).0)))
    }
}

/// Power that goes into the water: flow times pressure.
pub fn hydraulic_power(flow: CubicMetresPerSecond, pressure: Pascals) -> Watts {
    Watts(flow.0 * pressure.0)
}

/// Power taken from the battery for it.
///
/// # Errors
/// An efficiency that is not above 0 and at most 1.
pub fn electrical_power(hydraulic: Watts, efficiency: f64) -> Result<Watts, DomainError> {
    positive("pump efficiency", efficiency, "")?;
    super::domain::within("pump efficiency", efficiency, 0.0, 1.0, "")?;
    Ok(hydraulic / efficiency)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn litres_per_minute(flow: f64) -> CubicMetresPerSecond {
        CubicMetresPerSecond::from_litres_per_minute(flow)
    }

    fn bag() -> PumpCurve {
        PumpCurve::straight(litres_per_minute(3.0), Pascals::from_bar(0.6)).unwrap()
    }

    #[test]
    fn flow_falls_straight_to_nothing_and_stays_there() {
        for (bar, flow) in [(0.0, 3.0), (0.2, 2.0), (0.6, 0.0), (0.7, 0.0), (-0.1, 3.0)] {
            let got = bag().flow(Pascals::from_bar(bar)).litres_per_minute();
            assert!((got - flow).abs() < 1e-9, "{bar} bar: {got}");
        }
    }

    #[test]
    fn a_vented_tank_takes_volume_over_flow() {
        // 0.2 bar: 2 l/min, so half a litre takes 15 s.
        let time =
            bag().time_to_move(CubicMetres::from_litres(0.5), Pascals::from_bar(0.2), Tank::Vented).unwrap();
        assert!((time.low.unwrap().0 - 15.0).abs() < 1e-9);
        assert!((time.high.unwrap().0 - 15.0).abs() < 1e-9);
    }

    #[test]
    fn a_shut_tank_takes_the_time_of_the_closed_form() {
        // Isothermal, outside at the atmosphere p0, curve q = q0 (1 - p/ps), p = p0 v/(A+v) with A the air:
        // 1/q = (A+v) / (q0 (A + v (1-k))), k = p0/ps. With a = 1-k:
        // t = 1/q0 [ v/a + A (1 - 1/a)/a · ln((A + a v)/A) ].
        let (q0, ps, air, v) = (5e-5, 2e5, 1e-3, 0.5e-3);
        let a: f64 = 1.0 - 101_325.0 / ps;
        let want = (v / a + air * (1.0 - 1.0 / a) / a * libm::log((air + a * v) / air)) / q0;
        let curve = PumpCurve::straight(CubicMetresPerSecond(q0), Pascals(ps)).unwrap();
        let tank = Tank::Shut { air: CubicMetres(air), pressure: pressure::ATMOSPHERE };
        let time = curve.time_to_move(CubicMetres(v), Pascals(0.0), tank).unwrap();
        assert!((time.low.unwrap().0 / want - 1.0).abs() < 1e-9);
        assert!(time.high.unwrap().0 > want);
    }

    #[test]
    fn a_pump_too_deep_never_ends() {
        let time =
            bag().time_to_move(CubicMetres::from_litres(0.5), Pascals::from_bar(0.6), Tank::Vented).unwrap();
        assert_eq!(time, Between { low: None, high: None });
        // 0.6 bar / (1000 · 9.80665) = 6.118 m.
        assert!((bag().greatest_depth(KgPerM3(1000.0)).unwrap().0 - 6.1183).abs() < 1e-4);
    }

    #[test]
    fn power_is_flow_times_pressure_over_efficiency() {
        // 2 l/min against 0.3 bar: 3.333e-5 · 30 000 = 1 W; at a quarter of efficiency 4 W.
        let water = hydraulic_power(litres_per_minute(2.0), Pascals::from_bar(0.3));
        assert!((electrical_power(water, 0.25).unwrap().0 - 4.0).abs() < 1e-9);
        assert!(electrical_power(water, 1.2).is_err());
        assert!(electrical_power(water, 0.0).is_err());
    }

    #[test]
    fn curves_that_cannot_be_are_refused() {
        let p = Pascals::from_bar;
        let q = litres_per_minute;
        assert!(PumpCurve::new(&[]).is_err());
        assert!(PumpCurve::new(&[(p(0.0), q(1.0))]).is_err());
        assert!(PumpCurve::new(&[(p(0.0), q(1.0)), (p(0.0), q(0.5))]).is_err());
        assert!(PumpCurve::new(&[(p(0.0), q(1.0)), (p(0.5), q(1.5))]).is_err());
        assert!(PumpCurve::new(&[(p(0.0), q(0.0)), (p(0.5), q(0.0))]).is_err());
        assert!(PumpCurve::new(&[(p(0.0), q(f64::NAN)), (p(0.5), q(0.0))]).is_err());
    }
}
