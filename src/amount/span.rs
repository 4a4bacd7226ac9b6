//! Ranges that stay ranges, and computed values with their two ends.

/// A range as written: both ends, equal when one value was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span<T> {
    /// The lower end.
    pub low: T,
    /// The upper end.
    pub high: T,
}

impl<T: Clone> Span<T> {
    /// One value at both ends.
    pub fn one(value: T) -> Self {
        Span { low: value.clone(), high: value }
    }

    /// The same done to both ends.
    pub fn map<U>(self, mut f: impl FnMut(T) -> U) -> Span<U> {
        Span { low: f(self.low), high: f(self.high) }
    }

    /// The same tried on both ends.
    pub fn try_map<U, E>(self, mut f: impl FnMut(T) -> Result<U, E>) -> Result<Span<U>, E> {
        Ok(Span { low: f(self.low)?, high: f(self.high)? })
    }
}

impl<T: PartialEq> Span<T> {
    /// Whether both ends are the same value.
    pub fn is_one(&self) -> bool {
        self.low == self.high
    }
}

/// A computed quantity with an uncertainty: the best value and both ends.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Estimate<Q> {
    /// The value to work with.
    pub best: Q,
    /// The lowest value the inputs allow.
    pub low: Q,
    /// The highest value the inputs allow.
    pub high: Q,
}

impl<Q: Copy> Estimate<Q> {
    /// A value taken as exact.
    pub fn exact(value: Q) -> Self {
        Estimate { best: value, low: value, high: value }
    }

    /// The same done to all three.
    pub fn map<R>(self, f: impl Fn(Q) -> R) -> Estimate<R> {
        Estimate { best: f(self.best), low: f(self.low), high: f(self.high) }
    }
}
