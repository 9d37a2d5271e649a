//! Numbers that outgrew two machine words.
//!
//! Nearly all of them are decimals that were multiplied and added, so what divides them are twos and
//! fives. Those are only counted; whatever else divides stands apart and is mostly one. As long as it is,
//! no common divisor has to be looked for, which is what makes long fractions slow.

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{One, Signed, ToPrimitive, Zero};
use std::cmp::Ordering;

/// Powers of five up to this one fit into a word.
const FIVES_IN_A_WORD: u32 = 27;
/// With more fives a float no longer holds what is compared first.
const MOST_FIVES_ENCLOSED: u32 = 2_000;

/// `top / (2^twos · 5^fives · rest)` in lowest terms; `rest` is positive and has no factor two or five.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Big {
    top: BigInt,
    twos: u32,
    fives: u32,
    rest: BigInt,
}

fn power_of_five(power: u32) -> BigInt {
    if power <= FIVES_IN_A_WORD {
        return BigInt::from(5u64.pow(power));
    }
    BigInt::from(5u32).pow(power)
}

/// How often two and five divide a number above nought, and what is left of it.
fn split(mut number: BigInt) -> (u32, u32, BigInt) {
    let twos = number.trailing_zeros().unwrap_or(0);
    number >>= twos;
    let mut fives = 0;
    while (&number % 5u32).is_zero() {
        number /= 5u32;
        fives += 1;
    }
    (u32::try_from(twos).unwrap_or(u32::MAX), fives, number)
}

impl Big {
    /// The fraction of two machine words, the lower one above nought and both in lowest terms.
    pub(crate) fn of_words(top: i128, under: i128) -> Self {
        let twos = under.trailing_zeros();
        let mut rest = under >> twos;
        let mut fives = 0;
        while rest % 5 == 0 {
            rest /= 5;
            fives += 1;
        }
        Self { top: BigInt::from(top), twos, fives, rest: BigInt::from(rest) }
    }

    /// From a fraction in lowest terms.
    pub(crate) fn of_ratio(ratio: &BigRational) -> Self {
        let (twos, fives, rest) = split(ratio.denom().clone());
        Self { top: ratio.numer().clone(), twos, fives, rest }
    }

    /// `top / 10^places`
    pub(crate) fn of_decimal(top: BigInt, places: u32) -> Self {
        Self::reduced(top, places, places, BigInt::one())
    }

    fn reduced(mut top: BigInt, mut twos: u32, mut fives: u32, mut rest: BigInt) -> Self {
        if top.is_zero() {
            return Self { top, twos: 0, fives: 0, rest: BigInt::one() };
        }
        if !rest.is_one() {
            let common = top.gcd(&rest);
            if !common.is_one() {
                top /= &common;
                rest /= &common;
            }
        }
        let spare = u64::from(twos).min(top.trailing_zeros().unwrap_or(0));
        if spare > 0 {
            top >>= spare;
            twos -= spare as u32;
        }
        while fives > 0 && (&top % 5u32).is_zero() {
            top /= 5u32;
            fives -= 1;
        }
        Self { top, twos, fives, rest }
    }

    /// Both words, if they fit.
    pub(crate) fn to_words(&self) -> Option<(i128, i128)> {
        // 2^127 and 5^55 are too large already.
        if self.twos > 126 || self.fives > 54 || self.rest.bits() > 126 {
            return None;
        }
        let top = self.top.to_i128().filter(|top| *top != i128::MIN)?;
        let under = self.rest.to_i128()?.checked_mul(5i128.checked_pow(self.fives)?)?;
        Some((top, under.checked_mul(1i128.checked_shl(self.twos)?)?))
    }

    fn under(&self) -> BigInt {
        (&self.rest * power_of_five(self.fives)) << self.twos
    }

    pub(crate) fn to_ratio(&self) -> BigRational {
        BigRational::new_raw(self.top.clone(), self.under())
    }

    pub(crate) fn signum(&self) -> i32 {
        match self.top.sign() {
            num_bigint::Sign::Minus => -1,
            num_bigint::Sign::NoSign => 0,
            num_bigint::Sign::Plus => 1,
        }
    }

    pub(crate) fn negated(&self) -> Self {
        Self { top: -&self.top, ..self.clone() }
    }

    /// The reciprocal of a number that is not nought.
    pub(crate) fn inverse(&self) -> Self {
        let (twos, fives, rest) = split(self.top.abs());
        let top = if self.top.is_negative() { -self.under() } else { self.under() };
        Self { top, twos, fives, rest }
    }

    pub(crate) fn floor(&self) -> BigInt {
        self.top.div_floor(&self.under())
    }

    pub(crate) fn plus(&self, other: &Self) -> Self {
        let (twos, fives) = (self.twos.max(other.twos), self.fives.max(other.fives));
        let raised = |a: &Self| (&a.top * power_of_five(fives - a.fives)) << (twos - a.twos);
        if self.rest == other.rest {
            return Self::reduced(raised(self) + raised(other), twos, fives, self.rest.clone());
        }
        let top = raised(self) * &other.rest + raised(other) * &self.rest;
        Self::reduced(top, twos, fives, &self.rest * &other.rest)
    }

    pub(crate) fn times(&self, other: &Self) -> Self {
        let rest = match (self.rest.is_one(), other.rest.is_one()) {
            (true, _) => other.rest.clone(),
            (_, true) => self.rest.clone(),
            _ => &self.rest * &other.rest,
        };
        Self::reduced(&self.top * &other.top, self.twos + other.twos, self.fives + other.fives, rest)
    }

    /// The size as a float and a power of two, off by no more than the share that stands beside it;
    /// `None` where it cannot be told so.
    fn enclosed(&self) -> Option<(f64, i64, f64)> {
        if self.fives > MOST_FIVES_ENCLOSED {
            return None;
        }
        let leading = |number: &BigInt| {
            let spare = number.bits().saturating_sub(63);
            let word = (number.magnitude() >> spare).to_u64()?;
            Some((word as f64, i64::try_from(spare).ok()?))
        };
        let (top, top_power) = leading(&self.top)?;
        let (rest, rest_power) = leading(&self.rest)?;
        // 5 = 5/4 · 4, and 5/4 is a float: each product is off by half of the last place at the most.
        let (mut fives, mut square, mut left) = (1.0, 1.25, self.fives);
        while left > 0 {
            if left & 1 == 1 {
                fives *= square;
            }
            left >>= 1;
            if left > 0 {
                square *= square;
            }
        }
        let power = top_power - rest_power - i64::from(self.twos) - 2 * i64::from(self.fives);
        // Two words cut off and rounded, a division, a product, and as many roundings as there are fives.
        let off = f64::from(self.fives + 16) * f64::EPSILON;
        Some((top / (rest * fives), power, off))
    }

    /// How two sizes compare, where their enclosures lie apart.
    fn apart(&self, other: &Self) -> Option<Ordering> {
        let (mut a, a_power, a_off) = self.enclosed()?;
        let (b, b_power, b_off) = other.enclosed()?;
        let by = a_power - b_power;
        // Beyond what a float holds the digits decide.
        if by.abs() > 900 {
            return None;
        }
        // A power of two changes no digit as long as nothing overflows or vanishes.
        a *= f64::from_bits(u64::try_from(1023 + by).ok()? << 52);
        if !(a.is_normal() && b.is_normal()) {
            return None;
        }
        let off = (a + b) * (a_off + b_off);
        if (a - b).abs() <= off { None } else { a.partial_cmp(&b) }
    }
}

impl Ord for Big {
    /// Bounds that are rounded outwards decide first; all digits are looked at only where it is close.
    fn cmp(&self, other: &Self) -> Ordering {
        let (sign, others) = (self.signum(), other.signum());
        if sign != others || sign == 0 {
            return sign.cmp(&others);
        }
        if let Some(order) = self.apart(other) {
            return if sign < 0 { order.reverse() } else { order };
        }
        let (twos, fives) = (self.twos.max(other.twos), self.fives.max(other.fives));
        let raised =
            |a: &Self, b: &Self| (&a.top * power_of_five(fives - a.fives) * &b.rest) << (twos - a.twos);
        raised(self, other).cmp(&raised(other, self))
    }
}

impl PartialOrd for Big {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

#[cfg(test)]
mod tests {
    use super::Big;
    use num_bigint::BigInt;
    use num_rational::BigRational;
    use num_traits::Zero;
    use proptest::prelude::*;

    fn number() -> impl Strategy<Value = BigRational> {
        let top = proptest::collection::vec(any::<u32>(), 1..12);
        let rest = prop_oneof![3 => Just(1u64), 1 => 1u64..5000];
        (any::<bool>(), top, 0u32..400, 0u32..400, rest).prop_map(|(minus, top, twos, fives, rest)| {
            let sign = if minus { num_bigint::Sign::Minus } else { num_bigint::Sign::Plus };
            let under = BigInt::from(2).pow(twos) * BigInt::from(5).pow(fives) * BigInt::from(rest);
            BigRational::new(BigInt::from_slice(sign, &top), under)
        })
    }

    proptest! {
        #[test]
        fn everything_comes_to_the_same_as_with_plain_ratios(a in number(), b in number()) {
            let (x, y) = (Big::of_ratio(&a), Big::of_ratio(&b));
            prop_assert_eq!(x.plus(&y), Big::of_ratio(&(&a + &b)));
            prop_assert_eq!(x.times(&y), Big::of_ratio(&(&a * &b)));
            prop_assert_eq!(x.cmp(&y), a.cmp(&b));
            prop_assert_eq!(x.floor(), a.floor().to_integer());
            prop_assert_eq!(x.to_ratio(), a.clone());
            if !a.is_zero() {
                prop_assert_eq!(x.inverse(), Big::of_ratio(&a.recip()));
            }
        }

        #[test]
        fn what_differs_in_the_last_digit_only_is_told_apart(a in number(), last in -3i64..=3, place in 20u32..400) {
            let b = &a + BigRational::new(BigInt::from(last), BigInt::from(10).pow(place));
            prop_assert_eq!(Big::of_ratio(&a).cmp(&Big::of_ratio(&b)), a.cmp(&b));
        }
    }
}
