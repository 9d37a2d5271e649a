//! Why a formula gives no number: what was put in lies outside what it was made for.

use super::units::figures;
use std::fmt;

/// A formula was asked outside the range it holds in. No physics here returns NaN instead.
#[derive(Clone, Debug, PartialEq)]
pub enum DomainError {
    /// A quantity is outside the range of the formula or table.
    Outside {
        /// The quantity, as a noun phrase: "water temperature".
        what: &'static str,
        /// What was given.
        value: f64,
        /// The least value allowed.
        least: f64,
        /// The greatest value allowed, infinite where there is no upper bound.
        most: f64,
        /// The unit of all three.
        unit: &'static str,
    },
    /// A quantity has to be greater than zero.
    NotPositive {
        /// The quantity, as a noun phrase.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// Several values do not fit together: a curve that rises, fractions that do not add up to one.
    Inconsistent {
        /// What does not fit, as a sentence without its full stop.
        what: &'static str,
    },
}

impl fmt::Display for DomainError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Outside { what, value, least, most, unit } => {
                let (value, least) = (figures(value, 5), figures(least, 5));
                if most.is_infinite() {
                    write!(f, "{what} is {value} {unit}: the formula holds from {least} {unit} up")
                } else {
                    let most = figures(most, 5);
                    write!(f, "{what} is {value} {unit}: the formula holds from {least} to {most} {unit}")
                }
            }
            Self::NotPositive { what, value, unit } => {
                write!(f, "{what} is {} {unit}: it has to be more than zero", figures(value, 5))
            }
            Self::Inconsistent { what } => f.write_str(what),
        }
    }
}

impl std::error::Error for DomainError {}

/// Gives `value` back if it lies in `least..=most`; NaN never does.
///
/// # Errors
///
/// [`DomainError::Outside`] when it does not.
pub fn within(
    what: &'static str,
    value: f64,
    least: f64,
    most: f64,
    unit: &'static str,
) -> Result<f64, DomainError> {
    if value.is_finite() && (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(DomainError::Outside { what, value, least, most, unit })
    }
}

/// Gives `value` back if it is finite and greater than zero.
///
/// # Errors
///
/// [`DomainError::NotPositive`] when it is not.
pub fn positive(what: &'static str, value: f64, unit: &'static str) -> Result<f64, DomainError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(DomainError::NotPositive { what, value, unit })
    }
}

/// Gives `value` back if it is finite and not less than zero.
///
/// # Errors
///
/// [`DomainError::Outside`] when it is not.
pub fn not_negative(what: &'static str, value: f64, unit: &'static str) -> Result<f64, DomainError> {
    within(what, value, 0.0, f64::INFINITY, unit)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn nan_is_refused_everywhere() {
        assert!(within("depth", f64::NAN, 0.0, 1.0, "m").is_err());
        assert!(positive("depth", f64::NAN, "m").is_err());
        assert!(not_negative("depth", f64::NAN, "m").is_err());
        assert!(not_negative("depth", f64::INFINITY, "m").is_err());
    }

    #[test]
    fn the_message_names_the_quantity_and_the_range() {
        let error = within("water temperature", 55.0, 0.0, 40.0, "°C").unwrap_err();
        assert_eq!(error.to_string(), "water temperature is 55 °C: the formula holds from 0 to 40 °C");
        let error = positive("ballast volume", -0.5, "m³").unwrap_err();
        assert_eq!(error.to_string(), "ballast volume is -0.5 m³: it has to be more than zero");
    }
}
