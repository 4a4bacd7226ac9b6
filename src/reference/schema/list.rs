//! Lists and maps that can stand in a program as they are: nothing is built when it starts.

use databake::Bake;
use serde::{Deserialize, Deserializer};
use std::collections::BTreeMap;
use std::ops::Deref;

/// A list of a table.
#[derive(Debug, PartialEq, Bake)]
#[databake(path = crate::reference::schema)]
pub struct List<T: 'static>(pub &'static [T]);

impl<T> Clone for List<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for List<T> {}

impl<T> Default for List<T> {
    fn default() -> Self {
        Self(&[])
    }
}

impl<T> List<T> {
    /// Its items.
    pub fn iter(&self) -> std::slice::Iter<'static, T> {
        self.0.iter()
    }
}

impl<T> Deref for List<T> {
    type Target = [T];
    fn deref(&self) -> &[T] {
        self.0
    }
}

impl<T> From<Vec<T>> for List<T> {
    /// The list is kept for good: for the build script, which ends soon after.
    fn from(list: Vec<T>) -> Self {
        Self(list.leak())
    }
}

impl<T> FromIterator<T> for List<T> {
    fn from_iter<I: IntoIterator<Item = T>>(items: I) -> Self {
        items.into_iter().collect::<Vec<T>>().into()
    }
}

impl<T> IntoIterator for &List<T> {
    type Item = &'static T;
    type IntoIter = std::slice::Iter<'static, T>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for List<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Ok(Vec::deserialize(from)?.into())
    }
}

/// A map of a table, sorted by its keys.
#[derive(Debug, PartialEq, Bake)]
#[databake(path = crate::reference::schema)]
pub struct SortedMap<K: 'static, V: 'static>(pub List<(K, V)>);

impl<K, V> Clone for SortedMap<K, V> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<K, V> Copy for SortedMap<K, V> {}

impl<K, V> Default for SortedMap<K, V> {
    fn default() -> Self {
        Self(List::default())
    }
}

impl<'de, K: Deserialize<'de> + Ord, V: Deserialize<'de>> Deserialize<'de> for SortedMap<K, V> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let sorted = BTreeMap::<K, V>::deserialize(from)?;
        Ok(Self(sorted.into_iter().collect::<Vec<_>>().into()))
    }
}
