//! A change from one value to another, for a sentence.

use std::fmt;

use super::measured::{Measured, Unit};

impl<U: Unit> Measured<U> {
    /// A change for a sentence: `from 93 µmol/L to 97 µmol/L`. Both stand in one unit; a value that
    /// was entered in another is turned into the one that the others are counted in, and says so.
    #[must_use]
    pub fn from_to(self, later: Self) -> impl fmt::Display {
        let unit = if self.unit() == later.unit() { self.unit() } else { first_unit(self.unit()) };
        fmt::from_fn(move |f| {
            for (word, value) in [("from", self), (" to", later)] {
                match value.to(unit).filter(|_| value.unit() != unit) {
                    Some(turned) => {
                        let shown = Self::limit(turned.value().rounded(1), unit);
                        write!(f, "{word} {shown} (entered as {value})")?;
                    }
                    None => write!(f, "{word} {value}")?,
                }
            }
            Ok(())
        })
    }
}

/// The unit that the others of a quantity are counted in.
fn first_unit<U: Unit>(any: U) -> U {
    U::ALL.first().copied().unwrap_or(any)
}
