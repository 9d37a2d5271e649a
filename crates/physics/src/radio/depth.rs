//! How deep a stated margin reaches.

use super::loss::{attenuation, surface_loss};
use super::permittivity::Water;
use super::units::{Decibels, SiemensPerMetre};
use crate::domain::{DomainError, within};
use crate::units::{Between, Celsius, Hertz, Metres};

/// What a link has to spare at the surface, and how well that and the water are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// The carrier.
    pub frequency: Hertz,
    /// Water temperature.
    pub temperature: Celsius,
    /// The water.
    pub water: Water,
    /// What the signal may lose before the link breaks, just above the surface.
    pub margin: Decibels,
    /// How far the margin may be off.
    pub margin_off: Decibels,
    /// By what part of itself the conductivity or the salinity may be off: 0.2 for a fifth.
    pub salt_off: f64,
}

/// The part by which the formula for the loss may be off: 1 % in fresh water, 3 % in salty and sea water (see the
/// folder's documentation).
fn formula_off(water: Water) -> f64 {
    match water {
        Water::Fresh(sigma) if sigma.0 <= 0.2 => 0.01,
        Water::Fresh(_) => 0.03,
        Water::Sea { .. } => 0.03,
    }
}

fn salted(water: Water, factor: f64) -> Water {
    match water {
        Water::Fresh(SiemensPerMetre(s)) => Water::Fresh(SiemensPerMetre(s * factor)),
        Water::Sea { salinity } => Water::Sea { salinity: salinity * factor },
    }
}

fn at(link: &Link, margin: f64, salt: f64, formula: f64) -> Result<Metres, DomainError> {
    let water = salted(link.water, salt);
    let left = margin - surface_loss(link.frequency, link.temperature, water)?.0;
    let per_metre = attenuation(link.frequency, link.temperature, water)?.0 * formula;
    // The least loss in range is pure water's at 1 MHz and 40 degrees, which is above nought.
    Ok(Metres(left.max(0.0) / per_metre))
}

/// The depth at which the margin is used up: at the values given, and the two ends.
///
/// # Errors
/// As [`super::permittivity()`], also where the salt's uncertainty leaves the range; and for a margin beyond
/// 200 dB or a salt uncertainty beyond nine tenths.
pub fn reach(link: &Link) -> Result<(Metres, Between<Metres>), DomainError> {
    let margin = within("margin of the link", link.margin.0, 0.0, 200.0, "dB")?;
    let off = within("uncertainty of the margin", link.margin_off.0, 0.0, 200.0, "dB")?;
    let salt = within("uncertainty of the water's salt", link.salt_off, 0.0, 0.9, "")?;
    let formula = formula_off(link.water);
    let nominal = at(link, margin, 1.0, 1.0)?;
    let least = at(link, margin - off, 1.0 + salt, 1.0 + formula)?;
    let greatest = at(link, margin + off, 1.0 - salt, 1.0 - formula)?;
    Ok((nominal, Between { low: least, high: greatest }))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn link(mhz: f64, margin: f64) -> Link {
        Link {
            frequency: Hertz(mhz * 1e6),
            temperature: Celsius(10.0),
            water: Water::Fresh(SiemensPerMetre::from_us_per_cm(500.0)),
            margin: Decibels(margin),
            margin_off: Decibels(6.0),
            salt_off: 0.2,
        }
    }

    /// 40 MHz at 10 degrees and 0.05 S/m lose 8.9544 dB/m: of 40 dB, some 4.5 go at the surface.
    #[test]
    fn forty_decibels_at_40_mhz_reach_about_four_metres_down() {
        let (depth, ends) = reach(&link(40.0, 40.0)).unwrap();
        assert!((3.8..4.1).contains(&depth.0), "{depth:?}");
        assert!(ends.low.0 < depth.0 - 0.6 && depth.0 + 0.6 < ends.high.0, "{ends:?}");
    }

    #[test]
    fn at_2_4_ghz_the_same_margin_is_gone_within_a_hand() {
        let (depth, ends) = reach(&link(2400.0, 40.0)).unwrap();
        assert!(ends.high.0 < 0.15 && depth.0 < 0.11, "{depth:?} {ends:?}");
    }

    #[test]
    fn a_margin_that_the_surface_uses_up_reaches_nowhere() {
        assert_eq!(reach(&link(40.0, 2.0)).unwrap().0, Metres(0.0));
    }
}
