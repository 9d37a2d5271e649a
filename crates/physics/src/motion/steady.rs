//! Motion under a constant net force, in closed form.
//!
//! `M dv/dt = F - q v |v|` with `M` the mass and the added mass and `q = rho Cd A / 2`: with `V = sqrt(F/q)`
//! and `T = M V / F` the speed from rest is `V tanh(t/T)`, the way `V T ln cosh(t/T)`; a boat that moves
//! against the force stops after `T atan(v/V)` and `V T / 2 ln(1 + v²/V²)` (textbook integrals).

use crate::domain::{DomainError, not_negative, positive};
use crate::units::{KgPerM3, Kilograms, Metres, MetresPerSecond, Newtons, Seconds, SquareMetres};

/// A boat as far as rising and sinking go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boat {
    /// Her mass with all water in her.
    pub mass: Kilograms,
    /// The water carried along.
    pub added: Kilograms,
    /// Drag coefficient for moving up and down, by `area`.
    pub drag: f64,
    /// The area the drag coefficient belongs to: her shadow from above.
    pub area: SquareMetres,
    /// Density of the water.
    pub water: KgPerM3,
}

/// How far and how long a boat moves on against a force before she stops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overshoot {
    /// Way until she stops.
    pub way: Metres,
    /// Time until she stops.
    pub time: Seconds,
}

/// `ln cosh x`, also where `cosh` is beyond every number, and without losing digits near nought.
fn ln_cosh(x: f64) -> f64 {
    let x = x.abs();
    if x < 1.0 {
        let s = libm::sinh(x / 2.0);
        libm::log1p(2.0 * s * s)
    } else {
        x + libm::log1p(libm::exp(-2.0 * x)) - std::f64::consts::LN_2
    }
}

/// `acosh(exp x)`, likewise.
fn acosh_exp(x: f64) -> f64 {
    // acosh(e^x) = ln(e^x + sqrt(e^2x - 1)) = x + ln(1 + sqrt(1 - e^-2x)).
    x + libm::log1p((-libm::expm1(-2.0 * x)).sqrt())
}

impl Boat {
    /// Checks what all formulas need, and gives mass with added mass, and `rho Cd A / 2`.
    pub(super) fn checked(&self) -> Result<(f64, f64), DomainError> {
        let mass = positive("mass of the boat", self.mass.0, "kg")?;
        let added = not_negative("added mass", self.added.0, "kg")?;
        let drag = positive("drag coefficient", self.drag, "")?;
        let area = positive("area from above", self.area.0, "m²")?;
        let water = positive("density of water", self.water.0, "kg/m³")?;
        Ok((mass + added, water * drag * area / 2.0))
    }

    /// The speed at which drag balances a force; and the time in which it is nearly reached.
    fn scales(&self, force: Newtons) -> Result<(f64, f64), DomainError> {
        let (mass, q) = self.checked()?;
        let force = positive("net force", force.0, "N")?;
        let speed = (force / q).sqrt();
        Ok((speed, mass * speed / force))
    }

    /// The speed she tends to under a constant net force.
    ///
    /// # Errors
    /// For a force, mass, area or density that is not above nought.
    pub fn terminal_speed(&self, force: Newtons) -> Result<MetresPerSecond, DomainError> {
        Ok(MetresPerSecond(self.scales(force)?.0))
    }

    /// Way made and speed from rest after a time under a constant net force.
    ///
    /// # Errors
    /// As [`Self::terminal_speed`], and for a time below nought.
    pub fn from_rest(&self, force: Newtons, time: Seconds) -> Result<(Metres, MetresPerSecond), DomainError> {
        let (speed, scale) = self.scales(force)?;
        let t = not_negative("time", time.0, "s")? / scale;
        Ok((Metres(speed * scale * ln_cosh(t)), MetresPerSecond(speed * libm::tanh(t))))
    }

    /// Time and speed when she has made a way from rest under a constant net force.
    ///
    /// # Errors
    /// As [`Self::terminal_speed`], and for a way below nought.
    pub fn over_way(&self, force: Newtons, way: Metres) -> Result<(Seconds, MetresPerSecond), DomainError> {
        let (speed, scale) = self.scales(force)?;
        let t = acosh_exp(not_negative("way", way.0, "m")? / (speed * scale));
        Ok((Seconds(scale * t), MetresPerSecond(speed * libm::tanh(t))))
    }

    /// How far a boat that sinks at a speed goes on once a constant net force lifts her.
    ///
    /// # Errors
    /// As [`Self::terminal_speed`], and for a speed below nought.
    pub fn stopping(&self, force: Newtons, speed: MetresPerSecond) -> Result<Overshoot, DomainError> {
        let (terminal, scale) = self.scales(force)?;
        let ratio = not_negative("speed", speed.0, "m/s")? / terminal;
        Ok(Overshoot {
            way: Metres(terminal * scale / 2.0 * libm::log1p(ratio * ratio)),
            time: Seconds(scale * libm::atan(ratio)),
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn boat() -> Boat {
        Boat {
            mass: Kilograms(5.0),
            added: Kilograms(0.918 * 5.0),
            drag: 1.1,
            area: SquareMetres(0.06),
            water: KgPerM3(1000.0),
        }
    }

    /// scipy 1.17.1, `solve_ivp` to 1e-11 on the equation of motion: 5 kg, 1 N.
    #[test]
    fn a_rise_from_rest_is_what_scipy_integrates() {
        for (t, way, speed) in [
            (1.0, 0.049_288_860, 0.093_366_367),
            (5.0, 0.669_682_063, 0.173_208_307),
            (20.0, 3.280_120_348, 0.174_077_656),
        ] {
            let found = boat().from_rest(Newtons(1.0), Seconds(t)).unwrap();
            assert!((found.0.0 - way).abs() < 1e-8 && (found.1.0 - speed).abs() < 1e-8, "{found:?}");
        }
        for (way, time) in [(0.5, 4.015_893_287_593), (2.0, 12.646_268_029_120), (5.0, 29.879_956_407_998)] {
            assert!((boat().over_way(Newtons(1.0), Metres(way)).unwrap().0.0 - time).abs() < 1e-9);
        }
    }

    /// A 10 mm steel ball in water with Cd 0.44: textbook arithmetic, 1.4230 m/s; fluids 1.3.1, whose Cd
    /// follows the Reynolds number, says 1.446.
    #[test]
    fn a_steel_ball_sinks_at_its_textbook_speed() {
        let volume = std::f64::consts::PI / 6.0 * 1e-6;
        let ball = Boat {
            mass: Kilograms(7800.0 * volume),
            added: Kilograms(0.5 * 998.2 * volume),
            drag: 0.44,
            area: SquareMetres(std::f64::consts::PI / 4.0 * 1e-4),
            water: KgPerM3(998.2),
        };
        let weight = Newtons((7800.0 - 998.2) * volume * crate::pressure::GRAVITY);
        assert!((ball.terminal_speed(weight).unwrap().0 - 1.423_005_3).abs() < 1e-6);
    }

    /// By energy: without drag the way would be M v²/2F; here v is small against the terminal speed.
    #[test]
    fn a_slow_boat_stops_as_if_there_were_no_drag() {
        let found = boat().stopping(Newtons(4.0), MetresPerSecond(0.001)).unwrap();
        assert!((found.way.0 / (9.59 * 1e-6 / 8.0) - 1.0).abs() < 1e-4);
        assert!((found.time.0 / (9.59 * 1e-3 / 4.0) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn a_boat_that_nothing_lifts_is_refused() {
        assert!(boat().terminal_speed(Newtons(0.0)).is_err());
        assert!(boat().from_rest(Newtons(1.0), Seconds(f64::NAN)).is_err());
        assert!(Boat { drag: 0.0, ..boat() }.terminal_speed(Newtons(1.0)).is_err());
    }
}
