//! The unit that a hospital gives a quantity in: the one that was typed last.

use std::collections::BTreeMap;

/// Usual units by the name of what is measured: a laboratory test or an input.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct UsualUnits(BTreeMap<String, String>);

impl UsualUnits {
    /// The usual units of these quantities.
    #[must_use]
    pub fn of(held: impl IntoIterator<Item = (String, String)>) -> Self {
        Self(held.into_iter().collect())
    }

    /// The usual unit of a quantity among those on offer; the first of them before one was used.
    #[must_use]
    pub fn usual(&self, quantity: &str, on_offer: &'static [&'static str]) -> &'static str {
        let held = self.0.get(quantity);
        let known = on_offer.iter().find(|unit| held.is_some_and(|held| held == *unit));
        known.or(on_offer.first()).copied().unwrap_or_default()
    }

    /// Whether a quantity is known to be given in this unit.
    #[must_use]
    pub fn holds(&self, quantity: &str, unit: &str) -> bool {
        self.0.get(quantity).is_some_and(|held| held == unit)
    }
}

/// The unit at the end of a quantity's text: `mg/dL` of `1.2 mg/dL`; empty when there is none.
#[must_use]
pub fn unit_of(text: &str) -> &str {
    text.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '−' | '-')).trim()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_unit_is_the_one_used_last_and_before_that_the_first_on_offer() {
        const UNITS: &[&str] = &["µmol/L", "mg/dL"];
        let none = UsualUnits::default();
        assert_eq!(none.usual("creatinine", UNITS), "µmol/L");
        let held = UsualUnits::of([("creatinine".to_owned(), "mg/dL".to_owned())]);
        assert_eq!(held.usual("creatinine", UNITS), "mg/dL");
        assert_eq!(held.usual("haemoglobin", &["g/dL", "g/L"]), "g/dL");
        // A unit that is not on offer any more is not offered.
        assert_eq!(held.usual("creatinine", &["g/L"]), "g/L");
    }

    #[test]
    fn a_unit_is_what_stands_behind_the_number() {
        for (text, unit) in
            [("1.2 mg/dL", "mg/dL"), ("72/min", "/min"), ("7.35", ""), ("180 ×10⁹/L", "×10⁹/L")]
        {
            assert_eq!(unit_of(text), unit);
        }
    }
}
