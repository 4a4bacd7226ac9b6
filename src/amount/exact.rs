//! Exact numbers as people write them: a reduced ratio of two decimals.

use rust_decimal::Decimal;
use std::cmp::Ordering;

/// A reduced ratio of two decimals: `1/3` stays `1/3`, and scaling by 3 and by 1/3 gives back what was written.
///
/// The denominator is positive. Every operation is checked: an overflow of the 96-bit decimals is `None`, never a
/// rounded result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Exact {
    numerator: Decimal,
    denominator: Decimal,
}

/// The greatest common divisor. Nearly always both fit in one machine word, where a division costs far less.
fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        if let (Ok(mut a), Ok(mut b)) = (u64::try_from(a), u64::try_from(b)) {
            while b != 0 {
                (a, b) = (b, a % b);
            }
            return u128::from(a);
        }
        (a, b) = (b, a % b);
    }
    a
}

/// A whole number as a decimal; `None` beyond its 96 bits.
fn decimal(whole: u128) -> Option<Decimal> {
    match u64::try_from(whole) {
        Ok(small) => Some(Decimal::from(small)),
        Err(_) => Decimal::try_from_i128_with_scale(i128::try_from(whole).ok()?, 0).ok(),
    }
}

impl Exact {
    /// Zero.
    pub const ZERO: Exact = Exact { numerator: Decimal::ZERO, denominator: Decimal::ONE };
    /// One.
    pub const ONE: Exact = Exact { numerator: Decimal::ONE, denominator: Decimal::ONE };

    /// `numerator / denominator`, reduced. `None` when the denominator is zero or the reduction overflows.
    pub fn new(numerator: Decimal, denominator: Decimal) -> Option<Self> {
        if denominator.is_zero() {
            return None;
        }
        // Nearly all numbers are whole, and those are reduced.
        if denominator == Decimal::ONE && numerator.scale() == 0 && !numerator.is_zero() {
            return Some(Exact { numerator, denominator: Decimal::ONE });
        }
        // Bring both to whole numbers of the same scale, then divide by the greatest common divisor.
        let (n, d) = (numerator.normalize(), denominator.normalize());
        let scale = n.scale().max(d.scale());
        let whole = |x: Decimal| -> Option<u128> {
            let mantissa = x.mantissa().unsigned_abs();
            match scale - x.scale() {
                0 => Some(mantissa),
                more => mantissa.checked_mul(10u128.checked_pow(more)?),
            }
        };
        let (nm, dm) = (whole(n)?, whole(d)?);
        let (nm, dm) = match gcd(nm, dm) {
            0 | 1 => (nm, dm),
            g => (nm / g, dm / g),
        };
        let negative = n.is_sign_negative() != d.is_sign_negative() && nm != 0;
        let (mut numerator, denominator) = (decimal(nm)?, decimal(dm)?);
        numerator.set_sign_negative(negative);
        Some(Exact { numerator, denominator })
    }

    /// From a decimal.
    pub fn from_decimal(value: Decimal) -> Option<Self> {
        Self::new(value, Decimal::ONE)
    }

    /// From a whole number.
    pub fn whole(value: i64) -> Self {
        Exact { numerator: Decimal::from(value), denominator: Decimal::ONE }
    }

    /// The ratio of two whole numbers; `None` when the second is zero.
    pub fn ratio(numerator: i64, denominator: i64) -> Option<Self> {
        Self::new(Decimal::from(numerator), Decimal::from(denominator))
    }

    /// The sum, or `None` on overflow.
    pub fn checked_add(self, other: Self) -> Option<Self> {
        let a = self.numerator.checked_mul(other.denominator)?;
        let b = other.numerator.checked_mul(self.denominator)?;
        Self::new(a.checked_add(b)?, self.denominator.checked_mul(other.denominator)?)
    }

    /// The difference, or `None` on overflow.
    pub fn checked_sub(self, other: Self) -> Option<Self> {
        self.checked_add(Exact { numerator: -other.numerator, denominator: other.denominator })
    }

    /// The product, or `None` on overflow.
    pub fn checked_mul(self, other: Self) -> Option<Self> {
        if self.is_zero() || other.is_zero() {
            return Some(Self::ZERO);
        }
        // Reduced crosswise, the product needs no reduction, and does not overflow needlessly.
        let a = Self::new(self.numerator, other.denominator)?;
        let b = Self::new(other.numerator, self.denominator)?;
        let (numerator, denominator) =
            (a.numerator.checked_mul(b.numerator)?, a.denominator.checked_mul(b.denominator)?);
        Some(Exact { numerator, denominator })
    }

    /// The quotient, or `None` on overflow or division by zero.
    pub fn checked_div(self, other: Self) -> Option<Self> {
        if other.is_zero() {
            return None;
        }
        let (mut numerator, mut denominator) = (other.denominator, other.numerator);
        numerator.set_sign_negative(denominator.is_sign_negative());
        denominator.set_sign_negative(false);
        self.checked_mul(Exact { numerator, denominator })
    }

    /// Whether this is zero.
    pub fn is_zero(self) -> bool {
        self.numerator.is_zero()
    }

    /// Whether this is below zero.
    pub fn is_negative(self) -> bool {
        self.numerator.is_sign_negative() && !self.is_zero()
    }

    /// The reduced ratio, numerator and denominator whole numbers.
    pub fn parts(self) -> (Decimal, Decimal) {
        (self.numerator, self.denominator)
    }

    /// As a binary number, for physics.
    pub fn to_f64(self) -> f64 {
        // Both are whole, so that the mantissa is all there is to them; nearly always it fits in one machine word.
        let binary = |whole: Decimal| match i64::try_from(whole.mantissa()) {
            Ok(small) => small as f64,
            Err(_) => whole.mantissa() as f64,
        };
        binary(self.numerator) / binary(self.denominator)
    }

    /// The nearest exact number to a binary one, to twelve significant figures; `None` when not finite or too large.
    pub fn from_f64(value: f64) -> Option<Self> {
        let d = Decimal::from_f64_retain(value)?;
        Self::from_decimal(d.round_sf(12)?)
    }

    /// Turned to one decimal, only for printing: rounded half away from zero to `places`.
    pub fn to_decimal(self, places: u32) -> Option<Decimal> {
        let q = self.numerator.checked_div(self.denominator)?;
        Some(q.round_dp_with_strategy(places, rust_decimal::RoundingStrategy::MidpointAwayFromZero))
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Self) -> Ordering {
        if self.denominator == other.denominator {
            return self.numerator.cmp(&other.numerator);
        }
        match (self.numerator.checked_mul(other.denominator), other.numerator.checked_mul(self.denominator)) {
            (Some(a), Some(b)) => a.cmp(&b),
            // The products overflow: the quotients to 28 figures settle it.
            _ => (self.numerator / self.denominator).cmp(&(other.numerator / other.denominator)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_third_times_three_is_one() {
        let third = Exact::ratio(1, 3).unwrap();
        assert_eq!(third.checked_mul(Exact::whole(3)), Some(Exact::ONE));
        assert_eq!(third.checked_mul(Exact::whole(3)).and_then(|x| x.checked_div(Exact::whole(3))), Some(third));
    }

    #[test]
    fn order_and_sum_are_exact() {
        let a = Exact::ratio(1, 3).unwrap();
        let b = Exact::from_decimal(Decimal::new(333_333, 6)).unwrap();
        assert!(a > b);
        assert_eq!(a.checked_add(a).and_then(|x| x.checked_add(a)), Some(Exact::ONE));
        assert_eq!(Exact::ratio(-2, 4), Exact::ratio(1, -2));
    }
}
