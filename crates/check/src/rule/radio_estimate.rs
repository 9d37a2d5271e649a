//! How deep the radio may reach: an estimate for warnings and for the owner's guide. It proves nothing.
//!
//! What the file leaves out is assumed, widely, and said: a pond of 100 to 900 µS/cm, a sea of 31.5 to
//! 38.5 g/kg, water of 4 to 22 °C (all common practice, no source). A conductivity without a tolerance is
//! taken as known to a fifth, a margin without one to 6 dB (likewise).

use crate::physics::domain::DomainError;
use crate::physics::radio::{Decibels, DecibelsPerMetre, Link, SiemensPerMetre, Water, attenuation, reach};
use crate::physics::units::{Between, Celsius, Hertz, Metres, figures};
use crate::setup::quantity::About;
use crate::setup::{Setup, Water as Kind};

/// Microsiemens per centimetre of a pond that nobody measured, and by what part of itself that is off.
const POND: (f64, f64) = (500.0, 0.8);
/// Grams of salt in a kilogram of the sea, and by what part of itself that is off.
const SEA: (f64, f64) = (35.0, 0.1);
/// The same of brackish water that nobody measured: from fresh up to the sea.
const BRACKISH: (f64, f64) = (15.0, 0.9);
/// Of a conductivity that was measured, where the file gives no tolerance.
const MEASURED_OFF: f64 = 0.2;
/// Decibels of a margin without a tolerance.
const MARGIN_OFF: f64 = 6.0;
/// Decibels of a margin that nobody measured, and how far that is off: from a set that is just in range to one
/// held above the boat.
const MARGIN: (f64, f64) = (40.0, 20.0);
/// Siemens per metre from which on fresh water is called salty: 2000 µS/cm.
const SALTY: f64 = 0.2;
/// The coldest and the warmest water where the file does not say.
const TEMPERATURES: [f64; 2] = [4.0, 22.0];
/// Temperatures tried between the two; what the loss does between is smooth.
const TRIED: u32 = 5;

/// An estimate with the two ends that the truth is expected between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate<T> {
    /// With everything in the middle.
    pub middle: T,
    /// The two ends.
    pub ends: Between<T>,
}

/// The water, as far as a wave minds it.
struct Medium {
    water: Water,
    salt_off: f64,
    temperatures: [f64; 2],
}

impl Medium {
    fn of(setup: &Setup) -> Self {
        let temperatures =
            setup.hull.water.as_ref().map_or(TEMPERATURES, |[cold, warm]| [cold.0.to_f64(), warm.0.to_f64()]);
        let (water, salt_off) = match setup.boat.water {
            Kind::Brackish if setup.boat.conductivity.is_none() => {
                (Water::Sea { salinity: BRACKISH.0 }, BRACKISH.1)
            }
            Kind::Fresh | Kind::Brackish => {
                let (value, off) = match &setup.boat.conductivity {
                    Some(About { value, off }) if off.0.is_zero() => (value.0.to_f64(), MEASURED_OFF),
                    // A reading of nought has no part of itself to be off by.
                    Some(About { value, off }) => {
                        (value.0.to_f64(), (off.0.to_f64() / value.0.to_f64().max(1e-3)).min(0.9))
                    }
                    None => POND,
                };
                (Water::Fresh(SiemensPerMetre::from_us_per_cm(value)), off)
            }
            Kind::Sea => (Water::Sea { salinity: SEA.0 }, SEA.1),
        };
        Self { water, salt_off, temperatures }
    }

    /// Temperatures from the coldest to the warmest, the middle first.
    fn temperatures(&self) -> impl Iterator<Item = Celsius> + '_ {
        let [cold, warm] = self.temperatures;
        let step = move |n: u32| Celsius(cold + (warm - cold) * f64::from(n) / f64::from(TRIED - 1));
        std::iter::once(step(TRIED / 2)).chain((0..TRIED).map(step))
    }

    fn salted(&self, by: f64) -> Water {
        match self.water {
            Water::Fresh(SiemensPerMetre(s)) => Water::Fresh(SiemensPerMetre(s * by)),
            Water::Sea { salinity } => Water::Sea { salinity: salinity * by },
        }
    }
}

/// The middle of the first, and the ends of all.
fn over<T: Copy + PartialOrd>(
    all: impl Iterator<Item = Result<(T, Between<T>), DomainError>>,
) -> Option<Estimate<T>> {
    let mut found: Option<Estimate<T>> = None;
    for one in all {
        // Outside what the formula was made for, no figure is better than a wrong one.
        let (middle, ends) = one.ok()?;
        found = Some(match found {
            None => Estimate { middle, ends },
            Some(Estimate { middle, ends: Between { low, high } }) => {
                let low = if ends.low < low { ends.low } else { low };
                let high = if ends.high > high { ends.high } else { high };
                Estimate { middle, ends: Between { low, high } }
            }
        });
    }
    found
}

/// What each metre of the boat's water takes off her radio; nothing without a frequency, or where the
/// formula does not reach.
pub fn loss(setup: &Setup) -> Option<Estimate<DecibelsPerMetre>> {
    let frequency = Hertz(setup.transmitter.hertz? as f64);
    let medium = Medium::of(setup);
    over(medium.temperatures().map(|t| {
        let by = |factor: f64| attenuation(frequency, t, medium.salted(factor));
        let ends = Between { low: by(1.0 - medium.salt_off)?, high: by(1.0 + medium.salt_off)? };
        Ok((by(1.0)?, ends))
    }))
}

/// How deep the stated margin reaches; nothing without a margin or a frequency, or where the formula does not
/// reach.
pub fn depth(setup: &Setup) -> Option<Estimate<Metres>> {
    let margin = setup.transmitter.margin.as_ref()?;
    let off = if margin.off.0.is_zero() { MARGIN_OFF } else { margin.off.0.to_f64() };
    depth_by(setup, margin.value.0.to_f64(), off)
}

/// The same, with a margin of [`MARGIN`] where the file states none.
pub fn depth_at_most(setup: &Setup) -> Option<Estimate<Metres>> {
    depth(setup).or_else(|| depth_by(setup, MARGIN.0, MARGIN.1))
}

/// Whether it is salt that a meter found in water which is not the sea.
pub fn salty(setup: &Setup) -> bool {
    let brackish = setup.boat.water == Kind::Brackish;
    brackish || matches!(Medium::of(setup).water, Water::Fresh(sigma) if sigma.0 > SALTY)
}

fn depth_by(setup: &Setup, margin: f64, off: f64) -> Option<Estimate<Metres>> {
    let medium = Medium::of(setup);
    let frequency = Hertz(setup.transmitter.hertz? as f64);
    over(medium.temperatures().map(|temperature| {
        reach(&Link {
            frequency,
            temperature,
            water: medium.water,
            margin: Decibels(margin),
            margin_off: Decibels(off),
            salt_off: medium.salt_off,
        })
    }))
}

/// `3.9 m (2.6 m to 5.2 m)`
pub fn told(depth: &Estimate<Metres>) -> String {
    format!("{:.2} ({:.2} to {:.2})", depth.middle, depth.ends.low, depth.ends.high)
}

/// What the estimate rests on, in a sentence.
pub fn assumed(setup: &Setup) -> String {
    let medium = Medium::of(setup);
    let two = |x: f64| figures(x, 2);
    let off = 100.0 * medium.salt_off;
    let water = match medium.water {
        Water::Fresh(SiemensPerMetre(s)) => {
            let kind = if s > SALTY { "salty" } else { "fresh" };
            format!("{kind} water of {} uS/cm", two(s * 1e4))
        }
        Water::Sea { salinity } if setup.boat.water == Kind::Brackish => {
            format!("brackish water of {} g/kg", two(salinity))
        }
        Water::Sea { salinity } => format!("a sea of {} g/kg", two(salinity)),
    };
    let said =
        if setup.boat.conductivity.is_none() || setup.boat.water == Kind::Sea { " (assumed)" } else { "" };
    let [cold, warm] = medium.temperatures;
    let warmth = if setup.hull.water.is_none() { " (assumed)" } else { "" };
    let none = || format!("a margin of {} ± {} dB (assumed), ", two(MARGIN.0), two(MARGIN.1));
    let margin = setup.transmitter.margin.as_ref().map_or_else(none, |margin| {
        let (off, said) = match &margin.off {
            off if off.0.is_zero() => (two(MARGIN_OFF), " (tolerance assumed)"),
            off => (off.0.to_decimal(1), ""),
        };
        format!("a margin of {:.1} ± {off} dB{said}, ", margin.value)
    });
    format!(
        "estimate by ITU-R P.527: {margin}{water} ± {} %{said}, {} to {} degC{warmth}, a wave going straight down",
        two(off),
        figures(cold, 3),
        figures(warm, 3)
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn boat(of_boat: &str, of_set: &str, rest: &str) -> Setup {
        let text = format!(
            "lidcard: 1\nboat: {{name: Elver{of_boat}}}\ntransmitter: {{channels: 1{of_set}}}\n\
             controls: {{helm: {{at: right stick, ways: {{left: port, right: starboard}}}}}}\n\
             channels: {{1: {{control: helm}}}}\ndevices: {{rudder: {{kind: servo, channel: 1}}}}\n{rest}"
        );
        lower(&Source::from_text("elver.yaml", &text).unwrap()).unwrap()
    }

    const BAND: &str = ", frequency: 40 MHz";

    /// 40 MHz, 10 degrees, 0.05 S/m: 8.9544 dB a metre by a script apart from this program.
    #[test]
    fn a_measured_pond_at_one_temperature_loses_what_a_second_reading_says() {
        let of_boat = ", conductivity: 500 uS/cm ± 100 uS/cm";
        let found = loss(&boat(of_boat, BAND, "hull: {water: [10 degC, 10 degC]}")).unwrap();
        assert!((found.middle.0 - 8.9544).abs() < 1e-3, "{found:?}");
        assert!(found.ends.low.0 < 7.4 && found.ends.high.0 > 10.5, "{found:?}");
    }

    /// 40 dB less some 4.5 at the surface, by 8.95 dB a metre.
    #[test]
    fn a_margin_of_forty_decibels_reaches_about_four_metres_and_what_is_not_known_widens_it() {
        let known = ", conductivity: 500 uS/cm ± 50 uS/cm";
        let set = ", frequency: 40 MHz, margin: 40 dB ± 3 dB";
        let near = depth(&boat(known, set, "hull: {water: [10 degC, 10 degC]}")).unwrap();
        assert!((near.middle.0 - 3.96).abs() < 0.1, "{near:?}");
        let wide = depth(&boat("", set, "")).unwrap();
        assert!(wide.ends.low < near.ends.low && wide.ends.high > near.ends.high, "{wide:?}");
        // Five times as much salt, about five times as much loss.
        assert!(wide.ends.low.0 < 2.2 && wide.ends.high.0 > 12.0, "{wide:?}");
    }

    #[test]
    fn without_a_margin_or_a_frequency_nothing_is_estimated() {
        assert_eq!(depth(&boat("", BAND, "")), None);
        assert_eq!(depth(&boat("", ", margin: 40 dB", "")), None);
        assert_eq!(loss(&boat("", "", "")), None);
    }

    #[test]
    fn what_was_assumed_is_said() {
        let text = assumed(&boat("", ", frequency: 40 MHz, margin: 40 dB", ""));
        assert!(
            text.contains("40 ± 6 dB (tolerance assumed)") || text.contains("± 6 dB (tolerance assumed)"),
            "{text}"
        );
        assert!(
            text.contains("500 uS/cm ± 80 % (assumed)") && text.contains("4 to 22 degC (assumed)"),
            "{text}"
        );
        let text = assumed(&boat(", conductivity: 300 uS/cm", BAND, "hull: {water: [6 degC, 18 degC]}"));
        assert!(text.contains("300 uS/cm ± 20 %,") && text.contains("6 to 18 degC,"), "{text}");
    }
}
