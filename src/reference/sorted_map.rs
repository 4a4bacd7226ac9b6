//! Looking things up in a map of a table.

use super::schema::SortedMap;
use std::borrow::Borrow;

impl<K, V> SortedMap<K, V> {
    /// The value of a key.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&'static V>
    where
        K: Borrow<Q>,
    {
        let list = self.0.0;
        list.binary_search_by(|(k, _)| k.borrow().cmp(key)).ok().map(|at| &list[at].1)
    }

    /// Whether there is such a key.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.get(key).is_some()
    }

    /// Keys and values, in the order of the keys.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&'static K, &'static V)> + use<K, V> {
        self.0.0.iter().map(|(k, v)| (k, v))
    }

    /// The keys, in order.
    pub fn keys(&self) -> impl Iterator<Item = &'static K> + use<K, V> {
        self.iter().map(|(k, _)| k)
    }

    /// The values, in the order of their keys.
    pub fn values(&self) -> impl Iterator<Item = &'static V> + use<K, V> {
        self.iter().map(|(_, v)| v)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// Keys and values of a [`SortedMap`].
pub type Pairs<K, V> =
    std::iter::Map<std::slice::Iter<'static, (K, V)>, fn(&'static (K, V)) -> (&'static K, &'static V)>;

impl<K, V> IntoIterator for &SortedMap<K, V> {
    type Item = (&'static K, &'static V);
    type IntoIter = Pairs<K, V>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.0.iter().map(|(k, v)| (k, v))
    }
}
