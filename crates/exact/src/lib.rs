//! Exact rational numbers.
//!
//! Everything a verdict rests on is decided with these: a file says `72 % ± 4 %` in decimals, and
//! a reach that only touches a threshold must count as touching it. Binary floating point gets
//! about one such touching case in seventeen wrong.
//!
//! Most values in a boat file are small fractions, so they are kept as a pair of `i128`; a result
//! that does not fit moves to unbounded integers by itself. No operation rounds.

mod big;

use big::Big;
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, ToPrimitive, Zero};
use std::borrow::Cow;
use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// An exact rational number. On the output axis 1 stands for 100 %.
#[derive(Clone, Debug)]
pub struct Exact(Repr);

#[derive(Clone, Debug)]
enum Repr {
    /// Numerator and a denominator > 0, in lowest terms.
    Small(i128, i128),
    /// Only for values that do not fit into `Small`.
    Big(Box<Big>),
}

fn gcd(a: u128, b: u128) -> u128 {
    if a == 0 || b == 0 {
        return a | b;
    }
    if let (Ok(a), Ok(b)) = (u64::try_from(a), u64::try_from(b)) {
        return u128::from(gcd_word(a, b));
    }
    let (mut a, mut b) = (a, b);
    while b != 0 {
        if let (Ok(a), Ok(b)) = (u64::try_from(a), u64::try_from(b)) {
            return u128::from(gcd_word(a, b));
        }
        (a, b) = (b, a % b);
    }
    a
}

fn gcd_word(mut a: u64, mut b: u64) -> u64 {
    if a == 0 || b == 0 {
        return a | b;
    }
    if a == 1 || b == 1 {
        return 1;
    }
    let twos = (a | b).trailing_zeros();
    a >>= a.trailing_zeros();
    loop {
        b >>= b.trailing_zeros();
        // Which of them is the greater nobody can guess: no branch hangs on it.
        (a, b) = (a.min(b), a.abs_diff(b));
        if b == 0 {
            return a << twos;
        }
    }
}

/// Two small values in half words, in which nearly everything of a boat file fits: a product of two of them never
/// outgrows a word, and to divide them takes a fraction of the time.
fn halves(a: &Exact, b: &Exact) -> Option<[i64; 4]> {
    let (Repr::Small(an, ad), Repr::Small(bn, bd)) = (&a.0, &b.0) else { return None };
    let half = |word: &i128| i64::try_from(*word).ok();
    Some([half(an)?, half(ad)?, half(bn)?, half(bd)?])
}

/// The greatest common divisor of a number and one above nought, which it does not exceed.
fn common(a: i64, b: i64) -> i64 {
    gcd_word(a.unsigned_abs(), b.unsigned_abs()) as i64
}

impl Exact {
    /// Nought.
    pub const ZERO: Self = Self(Repr::Small(0, 1));
    /// One: 100 % of the axis.
    pub const ONE: Self = Self(Repr::Small(1, 1));

    /// A whole number.
    pub fn int(value: i64) -> Self {
        Self(Repr::Small(i128::from(value), 1))
    }

    /// The fraction `numerator / denominator`.
    ///
    /// # Panics
    /// When the denominator is nought: a mistake in the program, never in a boat file.
    pub fn ratio(numerator: i64, denominator: i64) -> Self {
        Self::int(numerator) / Self::int(denominator)
    }

    /// `value` percent.
    pub fn percent(value: i64) -> Self {
        Self::ratio(value, 100)
    }

    /// Reads a plain decimal such as `-12.5`; `None` for anything else, also for exponents.
    pub fn from_decimal(text: &str) -> Option<Self> {
        let (negative, digits) = match text.as_bytes().first()? {
            b'-' => (true, &text[1..]),
            b'+' => (false, &text[1..]),
            _ => (false, text),
        };
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let ok = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if (whole.is_empty() && part.is_empty())
            || !ok(whole)
            || !ok(part)
            || (digits.contains('.') && part.is_empty())
        {
            return None;
        }
        // Up to here a word holds both the number and its power of ten.
        if whole.len() + part.len() <= 36 {
            let digits = whole.bytes().chain(part.bytes());
            let value = digits.fold(0, |value, byte| value * 10 + i128::from(byte - b'0'));
            let scale = part.bytes().fold(1, |scale: i128, _| scale * 10);
            return Some(Self::small(if negative { -value } else { value }, scale));
        }
        let mut value = BigInt::zero();
        for byte in whole.bytes().chain(part.bytes()) {
            value = value * 10 + (byte - b'0');
        }
        if negative {
            value = -value;
        }
        Some(Self::from_big(Big::of_decimal(value, u32::try_from(part.len()).ok()?)))
    }

    /// The value of a finite float, exactly; `None` for infinities and NaN.
    pub fn from_f64(value: f64) -> Option<Self> {
        BigRational::from_float(value).map(|ratio| Self::from_big(Big::of_ratio(&ratio)))
    }

    fn small(n: i128, d: i128) -> Self {
        if d == 1 {
            return Self(Repr::Small(n, d));
        }
        if let (Ok(n), Ok(d)) = (i64::try_from(n), i64::try_from(d)) {
            let g = common(n, d);
            return Self(Repr::Small(i128::from(n / g), i128::from(d / g)));
        }
        let g = gcd(n.unsigned_abs(), d.unsigned_abs());
        if g <= 1 {
            return Self(Repr::Small(n, d));
        }
        // The gcd of two values below 2^127 is below 2^127.
        let g = g as i128;
        Self(Repr::Small(n / g, d / g))
    }

    fn from_big(value: Big) -> Self {
        match value.to_words() {
            Some((n, d)) => Self(Repr::Small(n, d)),
            None => Self(Repr::Big(Box::new(value))),
        }
    }

    fn as_big(&self) -> Cow<'_, Big> {
        match &self.0 {
            Repr::Small(n, d) => Cow::Owned(Big::of_words(*n, *d)),
            Repr::Big(b) => Cow::Borrowed(b),
        }
    }

    fn to_ratio(&self) -> BigRational {
        self.as_big().to_ratio()
    }

    /// The nearest float; for display and drawing only.
    pub fn to_f64(&self) -> f64 {
        match &self.0 {
            Repr::Small(n, d) => *n as f64 / *d as f64,
            Repr::Big(b) => b.to_ratio().to_f64().unwrap_or(f64::NAN),
        }
    }

    /// A position counted from rest towards the side of `sign`.
    pub fn outward(&self, sign: i32) -> Exact {
        if sign < 0 { -self } else { self.clone() }
    }

    /// -1, 0 or +1.
    pub fn signum(&self) -> i32 {
        match &self.0 {
            Repr::Small(n, _) => n.signum() as i32,
            Repr::Big(b) => b.signum(),
        }
    }

    /// Whether this is nought.
    pub fn is_zero(&self) -> bool {
        self.signum() == 0
    }

    /// The distance from nought.
    pub fn abs(&self) -> Self {
        if self.signum() < 0 { -self } else { self.clone() }
    }

    /// The larger of two.
    pub fn max(self, other: Self) -> Self {
        if other > self { other } else { self }
    }

    /// The smaller of two.
    pub fn min(self, other: Self) -> Self {
        if other < self { other } else { self }
    }

    /// This value held within `low ..= high`; `low` must not exceed `high`.
    pub fn clamp(self, low: &Self, high: &Self) -> Self {
        if self < *low {
            low.clone()
        } else if self > *high {
            high.clone()
        } else {
            self
        }
    }

    /// The largest whole number not above this; `None` beyond 64 bits.
    pub fn floor(&self) -> Option<i64> {
        match &self.0 {
            Repr::Small(n, d) => i64::try_from(n.div_euclid(*d)).ok(),
            Repr::Big(b) => b.floor().to_i64(),
        }
    }

    /// The smallest whole number not below this; `None` beyond 64 bits.
    pub fn ceil(&self) -> Option<i64> {
        (-self).floor().map(|v| -v)
    }

    /// The nearest multiple of `grid` (> 0), halves away from nought.
    pub fn round_to(&self, grid: &Self) -> Self {
        let units = self.abs() / grid;
        let whole = (units + Self::ratio(1, 2)).floor().unwrap_or(0);
        let rounded = Self::int(whole) * grid;
        if self.signum() < 0 { -rounded } else { rounded }
    }

    /// The whole number, or `numerator/denominator` in lowest terms: nothing is lost.
    pub fn to_fraction(&self) -> String {
        let (n, d) = match &self.0 {
            Repr::Small(n, d) => (n.to_string(), d.to_string()),
            Repr::Big(b) => {
                let ratio = b.to_ratio();
                (ratio.numer().to_string(), ratio.denom().to_string())
            }
        };
        if d == "1" { n } else { format!("{n}/{d}") }
    }

    /// Decimal text with at most `places` digits behind the point, halves away from nought,
    /// without superfluous noughts. Same text on every machine: no float takes part.
    pub fn to_decimal(&self, places: u32) -> String {
        if let Repr::Small(n, d) = self.0
            && let Some(text) = long_division(n, d, places)
        {
            return text;
        }
        self.to_decimal_by_ratios(places)
    }

    /// The same for numbers of any length.
    fn to_decimal_by_ratios(&self, places: u32) -> String {
        let scale = num_traits::pow(BigInt::from(10), places as usize);
        let scaled = self.abs().to_ratio() * BigRational::from_integer(scale.clone());
        let half = BigRational::new(BigInt::one(), BigInt::from(2));
        let units = (scaled + half).floor().to_integer();
        let negative = self.signum() < 0 && !units.is_zero();
        let whole = &units / &scale;
        let part = (&units % &scale).to_string();
        let part = format!("{part:0>width$}", width = places as usize);
        let part = part.trim_end_matches('0');
        let sign = if negative { "-" } else { "" };
        if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
    }
}

/// [`Exact::to_decimal`] digit by digit; `None` where a remainder outgrows its word.
fn long_division(n: i128, d: i128, places: u32) -> Option<String> {
    let (top, under) = (n.unsigned_abs(), d.unsigned_abs());
    let (whole, mut rest) = (top / under, top % under);
    let mut digits = whole.to_string().into_bytes();
    let mut point = digits.len();
    for _ in 0..places {
        if rest == 0 {
            break;
        }
        rest = rest.checked_mul(10)?;
        digits.push(b'0' + u8::try_from(rest / under).ok()?);
        rest %= under;
    }
    if rest.checked_mul(2)? >= under {
        match digits.iter().rposition(|digit| *digit != b'9') {
            Some(last) => {
                digits[last] += 1;
                digits[last + 1..].fill(b'0');
            }
            None => {
                digits.fill(b'0');
                digits.insert(0, b'1');
                point += 1;
            }
        }
    }
    let mut text = String::from_utf8(digits).ok()?;
    if text.len() > point {
        text.insert(point, '.');
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if n < 0 && text != "0" {
        text.insert(0, '-');
    }
    Some(text)
}

fn add_ref(a: &Exact, b: &Exact) -> Exact {
    if let Some([an, ad, bn, bd]) = halves(a, b) {
        if ad == bd {
            return Exact::small(i128::from(an) + i128::from(bn), i128::from(ad));
        }
        // Only what divides both denominators can be left in common (D. E. Knuth, The Art of Computer Programming,
        // volume 2, 4.5.1).
        let g = common(ad, bd);
        let top = i128::from(an) * i128::from(bd / g) + i128::from(bn) * i128::from(ad / g);
        if g == 1 {
            return Exact(Repr::Small(top, i128::from(ad) * i128::from(bd)));
        }
        let left = match i64::try_from(top) {
            Ok(top) => common(top, g),
            Err(_) => common((top % i128::from(g)) as i64, g),
        };
        return Exact(Repr::Small(top / i128::from(left), i128::from(ad / g) * i128::from(bd / left)));
    }
    if let (Repr::Small(an, ad), Repr::Small(bn, bd)) = (&a.0, &b.0) {
        if ad == bd {
            if let Some(n) = an.checked_add(*bn)
                && n != i128::MIN
            {
                return Exact::small(n, *ad);
            }
        } else if let (Some(x), Some(y), Some(d)) =
            (an.checked_mul(*bd), bn.checked_mul(*ad), ad.checked_mul(*bd))
            && let Some(n) = x.checked_add(y)
            && n != i128::MIN
        {
            return Exact::small(n, d);
        }
    }
    Exact::from_big(a.as_big().plus(&b.as_big()))
}

fn mul_ref(a: &Exact, b: &Exact) -> Exact {
    if let Some([an, ad, bn, bd]) = halves(a, b) {
        // Either fraction is in lowest terms: only the one's numerator and the other's denominator have a common divisor.
        let (g, h) = (common(an, bd), common(bn, ad));
        let top = i128::from(an / g) * i128::from(bn / h);
        return Exact(Repr::Small(top, i128::from(ad / h) * i128::from(bd / g)));
    }
    if let (Repr::Small(an, ad), Repr::Small(bn, bd)) = (&a.0, &b.0)
        && let (Some(n), Some(d)) = (an.checked_mul(*bn), ad.checked_mul(*bd))
        && n != i128::MIN
    {
        return Exact::small(n, d);
    }
    Exact::from_big(a.as_big().times(&b.as_big()))
}

fn neg_ref(a: &Exact) -> Exact {
    match &a.0 {
        Repr::Small(n, d) => Exact(Repr::Small(-n, *d)),
        Repr::Big(b) => Exact::from_big(b.negated()),
    }
}

fn sub_ref(a: &Exact, b: &Exact) -> Exact {
    add_ref(a, &neg_ref(b))
}

fn div_ref(a: &Exact, b: &Exact) -> Exact {
    assert!(!b.is_zero(), "division by nought");
    let inverse = match &b.0 {
        Repr::Small(n, d) if *n > 0 => Exact(Repr::Small(*d, *n)),
        Repr::Small(n, d) => Exact(Repr::Small(-d, -n)),
        Repr::Big(b) => Exact::from_big(b.inverse()),
    };
    mul_ref(a, &inverse)
}

macro_rules! operator {
    ($trait:ident, $method:ident, $by:ident) => {
        impl $trait<&Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                $by(self, other)
            }
        }
        impl $trait<Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                $by(&self, &other)
            }
        }
        impl $trait<&Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                $by(&self, other)
            }
        }
        impl $trait<Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                $by(self, &other)
            }
        }
    };
}
operator!(Add, add, add_ref);
operator!(Sub, sub, sub_ref);
operator!(Mul, mul, mul_ref);
operator!(Div, div, div_ref);

impl Neg for Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        neg_ref(&self)
    }
}

impl Neg for &Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        neg_ref(self)
    }
}

impl AddAssign<Exact> for Exact {
    fn add_assign(&mut self, other: Exact) {
        *self = add_ref(self, &other);
    }
}

impl std::iter::Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(terms: I) -> Exact {
        terms.fold(Exact::ZERO, |a, b| a + b)
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Self) -> Ordering {
        if let Some([an, ad, bn, bd]) = halves(self, other) {
            return (i128::from(an) * i128::from(bd)).cmp(&(i128::from(bn) * i128::from(ad)));
        }
        if let (Repr::Small(an, ad), Repr::Small(bn, bd)) = (&self.0, &other.0) {
            if ad == bd {
                return an.cmp(bn);
            }
            if let (Some(x), Some(y)) = (an.checked_mul(*bd), bn.checked_mul(*ad)) {
                return x.cmp(&y);
            }
        }
        self.as_big().cmp(&other.as_big())
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Exact {}

impl std::hash::Hash for Exact {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        match &self.0 {
            Repr::Small(n, d) => (n, d).hash(state),
            Repr::Big(b) => b.hash(state),
        }
    }
}

impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.to_decimal(f.precision().unwrap_or(6) as u32))
    }
}

#[cfg(test)]
mod tests {
    use super::Exact;
    use proptest::prelude::*;

    #[test]
    fn a_decimal_is_read_exactly_and_printed_without_superfluous_noughts() {
        assert_eq!(Exact::from_decimal("-12.50"), Some(Exact::ratio(-25, 2)));
        assert_eq!(Exact::ratio(-25, 2).to_decimal(3), "-12.5");
        assert_eq!(Exact::ratio(1, 3).to_decimal(2), "0.33");
        assert_eq!(Exact::ratio(-1, 1000).to_decimal(2), "0");
        assert_eq!(Exact::ratio(-1999, 1000).to_decimal(2), "-2");
        assert_eq!(Exact::ratio(9995, 1000).to_decimal(2), "10");
        assert_eq!(Exact::ratio(120, 1).to_decimal(2), "120");
        for bad in ["", "-", ".", "1.", "1e3", "0x1", "1 2", "١"] {
            assert_eq!(Exact::from_decimal(bad), None, "{bad}");
        }
    }

    #[test]
    fn a_tenth_three_times_is_three_tenths() {
        let tenth = Exact::ratio(1, 10);
        assert_eq!(&tenth + &tenth + &tenth, Exact::ratio(3, 10));
    }

    #[test]
    fn values_too_large_for_words_go_on_exactly() {
        let mut value = Exact::ratio(7, 3);
        for _ in 0..8 {
            value = &value * &value;
        }
        let mut back = value.clone();
        for _ in 0..256 {
            back = back / Exact::ratio(7, 3);
        }
        assert_eq!(back, Exact::ONE);
        assert!(value > Exact::int(i64::MAX));
    }

    proptest! {
        #[test]
        fn digit_by_digit_comes_to_the_same_as_by_ratios(a in any::<i64>(), b in 1i64.., c in 1i64..2000, places in 0u32..24) {
            for number in [Exact::ratio(a, b), Exact::ratio(a % 100_000, c), Exact::ratio(a % 100_000, 1000)] {
                prop_assert_eq!(number.to_decimal(places), number.to_decimal_by_ratios(places));
            }
        }

        #[test]
        fn a_decimal_of_any_length_is_read_as_written(n in "-?[0-9]{1,60}(\\.[0-9]{1,60})?") {
            let read = Exact::from_decimal(&n).expect("a decimal");
            let plain = n.trim_start_matches('-').trim_start_matches('0');
            let plain = if plain.contains('.') { plain.trim_end_matches('0').trim_end_matches('.') } else { plain };
            let plain = if plain.is_empty() || plain.starts_with('.') { format!("0{plain}") } else { plain.to_owned() };
            let sign = if n.starts_with('-') && plain != "0" { "-" } else { "" };
            prop_assert_eq!(read.to_decimal(60), format!("{sign}{plain}"));
        }

        #[test]
        fn arithmetic_agrees_with_unbounded_integers(a in any::<i64>(), b in 1i64.., c in any::<i64>(), d in 1i64..) {
            let (x, y) = (Exact::ratio(a, b), Exact::ratio(c, d));
            let (bx, by) = (x.to_ratio(), y.to_ratio());
            prop_assert_eq!((&x + &y).to_ratio(), &bx + &by);
            prop_assert_eq!((&x - &y).to_ratio(), &bx - &by);
            prop_assert_eq!((&x * &y).to_ratio(), &bx * &by);
            prop_assert_eq!(x.cmp(&y), bx.cmp(&by));
        }

        /// Denominators that have much in common, numbers next to the ends of a half word, and what goes beyond it.
        #[test]
        fn whatever_comes_out_is_in_lowest_terms(a in edge(), b in 1i64..400, c in edge(), d in 1i64..400, far in any::<bool>()) {
            let [b, d] = if far { [i64::MAX - b, i64::MAX - d] } else { [b, d] };
            let (x, y) = (Exact::ratio(a, b), Exact::ratio(c, d));
            let told = |ratio: num_rational::BigRational| ratio.to_string();
            let (bx, by) = (x.to_ratio(), y.to_ratio());
            prop_assert_eq!((&x + &y).to_fraction(), told(&bx + &by));
            prop_assert_eq!((&x - &y).to_fraction(), told(&bx - &by));
            prop_assert_eq!((&x * &y).to_fraction(), told(&bx * &by));
            if c != 0 {
                prop_assert_eq!((&x / &y).to_fraction(), told(&bx / &by));
            }
            prop_assert_eq!(x.cmp(&y), bx.cmp(&by));
        }
    }

    fn edge() -> impl Strategy<Value = i64> {
        prop_oneof![-1000i64..1000, any::<i64>(), Just(i64::MIN), Just(i64::MAX), Just(0)]
    }
}
