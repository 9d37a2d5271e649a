//! A place in the boat file.

/// A place in the file, as keys from the top: `["devices", "tank_servo", "stops"]`.
///
/// A list item is its index in decimal. A path that does not exist in the file is looked up as far
/// as it does, so a rule may name a key that was left out.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Path(pub Vec<String>);

impl Path {
    /// A path from its keys.
    pub fn of<I: IntoIterator<Item = S>, S: ToString>(keys: I) -> Self {
        Self(keys.into_iter().map(|k| k.to_string()).collect())
    }

    /// This path with one more key.
    #[must_use]
    pub fn then(&self, key: impl ToString) -> Self {
        let mut keys = self.0.clone();
        keys.push(key.to_string());
        Self(keys)
    }

    /// `devices.tail_b.stops`: as reports and papers name a key.
    pub fn dotted(&self) -> String {
        self.0.join(".")
    }
}
