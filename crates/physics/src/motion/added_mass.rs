//! The water that has to be moved along with a hull.

use crate::domain::{DomainError, within};

/// Added mass as a part of the mass of water displaced.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AddedMass {
    /// For moving lengthwise.
    pub along: f64,
    /// For moving sideways, up or down.
    pub across: f64,
}

/// The added mass of a prolate spheroid by its length over its beam: H. Lamb, *Hydrodynamics*, articles
/// 114 and 373; table in Lamb, ARC R&M 623 (1918). A hull with a tower and planes has more.
///
/// # Errors
/// For a ratio below 1.01, where the closed form loses its digits, or above 1000.
pub fn spheroid(slenderness: f64) -> Result<AddedMass, DomainError> {
    let ratio = within("length over beam", slenderness, 1.01, 1000.0, "")?;
    let e2 = 1.0 - 1.0 / (ratio * ratio);
    let e = e2.sqrt();
    let half_log = libm::atanh(e);
    let alpha = 2.0 * (1.0 - e2) / (e2 * e) * (half_log - e);
    let beta = 1.0 / e2 - (1.0 - e2) / (e2 * e) * half_log;
    Ok(AddedMass { along: alpha / (2.0 - alpha), across: beta / (2.0 - beta) })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// Lamb, ARC R&M 623 (1918), the entries that were read. Its table is rounded, and at 1.50 more than
    /// half a unit too much; hence 0.002.
    #[test]
    fn the_table_of_lamb_1918_comes_out() {
        let along = [
            (1.5, 0.305),
            (2.0, 0.209),
            (2.51, 0.156),
            (2.99, 0.122),
            (3.99, 0.082),
            (4.99, 0.059),
            (6.01, 0.045),
            (6.97, 0.036),
            (8.01, 0.029),
            (9.02, 0.024),
            (9.97, 0.021),
        ];
        for (ratio, k) in along {
            assert!((spheroid(ratio).unwrap().along - k).abs() < 0.002, "{ratio}");
        }
        for (ratio, k) in [(3.99, 0.860), (9.02, 0.954)] {
            assert!((spheroid(ratio).unwrap().across - k).abs() < 0.002, "{ratio}");
        }
    }

    /// A sphere carries half its water along (any text); 1.01 is almost one.
    #[test]
    fn a_sphere_carries_half_and_a_long_cylinder_all() {
        assert!((spheroid(1.01).unwrap().across - 0.5).abs() < 0.004);
        assert!((spheroid(1000.0).unwrap().across - 1.0).abs() < 1e-4);
        assert!(spheroid(0.5).is_err() && spheroid(f64::NAN).is_err());
    }
}
