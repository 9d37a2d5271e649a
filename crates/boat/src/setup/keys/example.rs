//! The examples of keys, in the file around them.

use super::{Key, Part};

impl Part {
    /// A key as it stands in a file, with what has to be beside it.
    pub fn example(&self, key: &Key) -> String {
        self.example_with(key, key.example)
    }

    /// The same with another value behind the key.
    pub fn example_with(&self, key: &Key, value: &str) -> String {
        let mut pairs = key.beside.unwrap_or(self.least).to_vec();
        match pairs.iter_mut().find(|(name, _)| *name == key.name) {
            Some(pair) => pair.1 = value,
            None => pairs.push((key.name, value)),
        }
        let pairs: Vec<String> = pairs.iter().map(|(name, value)| format!("{name}: {value}")).collect();
        let pairs = pairs.join(", ");
        if self.around.is_empty() { pairs } else { self.around.replacen("...", &format!("{{{pairs}}}"), 1) }
    }
}
