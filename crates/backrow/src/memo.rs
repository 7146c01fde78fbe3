//! Remembering what was worked out, by what it was worked out from.

/// One remembered answer and its key.
#[derive(Debug)]
pub struct Memo<K, V>(Option<(K, V)>);

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self(None)
    }
}

impl<K: PartialEq, V> Memo<K, V> {
    /// The answer for `key`, worked out anew only when the key has changed.
    pub fn get(&mut self, key: K, make: impl FnOnce() -> V) -> &V {
        if self.0.as_ref().is_none_or(|(old, _)| *old != key) {
            self.0 = None;
        }
        &self.0.get_or_insert_with(|| (key, make())).1
    }

    /// The answer that is remembered now.
    pub fn held(&self) -> Option<&V> {
        self.0.as_ref().map(|(_, value)| value)
    }
}

#[cfg(test)]
mod tests {
    use super::Memo;

    #[test]
    fn works_out_once_a_key() {
        let mut memo = Memo::default();
        let mut made = 0;
        for key in [1, 1, 2, 2, 1] {
            let value = *memo.get(key, || {
                made += 1;
                key * 10
            });
            assert_eq!(value, key * 10);
        }
        assert_eq!(made, 3);
    }
}
