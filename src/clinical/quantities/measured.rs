//! A number with its unit, compared exactly, also across units.

use std::cmp::Ordering;
use std::fmt::{self, Write as _};
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::decimal::Decimal;
use crate::quantity::QuantityError;

/// The units in which one quantity is written. Made by the macro [`units`].
pub trait Unit: Copy + Eq + fmt::Debug + 'static {
    /// What is measured, as a sentence begins: `Creatinine`.
    const QUANTITY: &'static str;
    /// Every unit; the first is the one the others are counted in.
    const ALL: &'static [Self];
    /// The symbols of all units, in the same order.
    const SYMBOLS: &'static [&'static str];
    /// What [`Unit::numerator`] is divided by.
    const DENOMINATOR: i128;
    /// Whether the number is a count, without decimals.
    const WHOLE: bool;

    /// The symbol, as it is written after the number; empty for a bare number.
    fn symbol(self) -> &'static str;
    /// How many of the first unit this one is, times [`Unit::DENOMINATOR`].
    fn numerator(self) -> i128;
    /// The smallest and the largest value that is believed.
    fn limits(self) -> (Decimal, Decimal);
    /// Which units can be turned into each other: those with the same answer.
    fn kind(self) -> u8 {
        0
    }
}

/// A number with its unit, within the range that is believed for that unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Measured<U: Unit> {
    value: Decimal,
    unit: U,
}

impl<U: Unit> Measured<U> {
    /// A value in a unit.
    ///
    /// # Errors
    /// Outside the range that is believed, or with decimals where a count is meant.
    pub fn new(value: Decimal, unit: U) -> Result<Self, QuantityError> {
        let (low, high) = unit.limits();
        let space = if unit.symbol().is_empty() { "" } else { " " };
        if U::WHOLE && !value.is_whole() {
            return Err(QuantityError(format!("{} is a whole number.", U::QUANTITY)));
        }
        if value < low || value > high {
            let hint = if U::ALL.len() > 1 { " Check the unit." } else { "" };
            return Err(QuantityError(format!(
                "{} is {low} to {high}{space}{}; {value} is outside that.{hint}",
                U::QUANTITY,
                unit.symbol()
            )));
        }
        Ok(Self { value, unit })
    }

    /// A threshold, for constants; its range is not checked.
    #[must_use]
    pub const fn limit(value: Decimal, unit: U) -> Self {
        Self { value, unit }
    }

    /// Reads a number that may carry its unit; one without takes the unit given.
    ///
    /// # Errors
    /// A sentence that says what is allowed.
    pub fn parse_in(text: &str, usual: U) -> Result<Self, QuantityError> {
        let (number, symbol) = split(text, U::QUANTITY);
        let unit = if symbol.is_empty() { usual } else { read_unit(symbol)? };
        Self::new(Decimal::parse_typed(number)?, unit)
    }

    /// The number.
    #[must_use]
    pub const fn value(self) -> Decimal {
        self.value
    }

    /// The unit.
    #[must_use]
    pub const fn unit(self) -> U {
        self.unit
    }

    /// The value in the first unit, in millionths times [`Unit::DENOMINATOR`]: exact, for comparing.
    #[must_use]
    pub fn exact(self) -> i128 {
        self.value.wide() * self.unit.numerator()
    }

    /// The same value in another unit, rounded to six decimals; `None` when the units measure
    /// different things.
    #[must_use]
    pub fn to(self, unit: U) -> Option<Self> {
        if unit.kind() != self.unit.kind() {
            return None;
        }
        let millionths = Decimal::quotient(self.exact(), unit.numerator() * i128::from(Decimal::SCALE))?;
        Some(Self { value: millionths, unit })
    }

    /// As text that reads back, made in one piece.
    #[must_use]
    pub fn text(self) -> String {
        let mut text = String::with_capacity(24);
        // Writing into a text cannot fail.
        let _ = write!(text, "{self}");
        text
    }

    /// Exact comparison; `None` when the units measure different things.
    #[must_use]
    pub fn compare(self, other: Self) -> Option<Ordering> {
        (self.unit.kind() == other.unit.kind()).then(|| self.exact().cmp(&other.exact()))
    }

    /// Whether it is the limit or more.
    #[must_use]
    pub fn is_at_least(self, limit: Self) -> bool {
        self.compare(limit).is_some_and(Ordering::is_ge)
    }

    /// Whether it is more than the limit.
    #[must_use]
    pub fn is_above(self, limit: Self) -> bool {
        self.compare(limit).is_some_and(Ordering::is_gt)
    }

    /// Whether it is less than the limit.
    #[must_use]
    pub fn is_below(self, limit: Self) -> bool {
        self.compare(limit).is_some_and(Ordering::is_lt)
    }
}

/// The number at the start of a text and the unit after it.
fn split<'t>(text: &'t str, quantity: &str) -> (&'t str, &'t str) {
    let text = text.trim();
    let text = text.strip_prefix(quantity).map_or(text, str::trim_start);
    let mut end = 0;
    let mut rest = text.char_indices().peekable();
    while let Some((at, letter)) = rest.next() {
        let next_is_digit = rest.peek().is_some_and(|(_, next)| next.is_ascii_digit());
        let belongs = letter.is_ascii_digit()
            || matches!(letter, '.' | ',' | '+' | '<' | '>' | '≤' | '≥' | '-' | '−')
            || (letter.is_whitespace() && next_is_digit);
        if !belongs {
            break;
        }
        end = at + letter.len_utf8();
    }
    if end == 0 { (text, "") } else { (text[..end].trim(), text[end..].trim()) }
}

/// A unit without what people write differently: case, dots, spaces, the two Greek mus.
fn plain(symbol: &str) -> String {
    symbol
        .to_lowercase()
        .chars()
        .filter_map(|letter| match letter {
            'µ' | 'μ' => Some('u'),
            '²' => Some('2'),
            '⁹' => Some('9'),
            '×' => Some('x'),
            '·' | '⋅' | '.' | '*' | '^' => None,
            letter if letter.is_whitespace() => None,
            letter => Some(letter),
        })
        .collect::<String>()
        .replace("mcg", "ug")
}

fn read_unit<U: Unit>(symbol: &str) -> Result<U, QuantityError> {
    U::ALL.iter().copied().find(|unit| plain(unit.symbol()) == plain(symbol)).ok_or_else(|| {
        let short: String = symbol.chars().take(20).collect();
        QuantityError(format!("“{short}” is not a unit of this value. {}", ask_for_unit::<U>()))
    })
}

fn ask_for_unit<U: Unit>() -> String {
    match U::SYMBOLS {
        [] | [""] => format!("{} has no unit.", U::QUANTITY),
        [one] => format!("{} is in {one}.", U::QUANTITY),
        [many @ .., last] => format!("{} is in {} or {last}.", U::QUANTITY, many.join(", ")),
    }
}

impl<U: Unit> fmt::Display for Measured<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.value, f)?;
        let symbol = self.unit.symbol();
        if !symbol.is_empty() && !symbol.starts_with('/') {
            f.write_str(" ")?;
        }
        f.write_str(symbol)
    }
}

impl<U: Unit> FromStr for Measured<U> {
    type Err = QuantityError;
    /// Reads a number with its unit; the unit may be left out when there is only one.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (number, symbol) = split(text, U::QUANTITY);
        match U::ALL {
            [one] if symbol.is_empty() => Self::new(Decimal::parse_typed(number)?, *one),
            _ if symbol.is_empty() => {
                Decimal::parse_typed(number)?;
                Err(QuantityError(format!("Say the unit. {}", ask_for_unit::<U>())))
            }
            _ => Self::new(Decimal::parse_typed(number)?, read_unit(symbol)?),
        }
    }
}

impl<U: Unit> Serialize for Measured<U> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de, U: Unit> Deserialize<'de> for Measured<U> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

impl<U: Unit> schemars::JsonSchema for Measured<U> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        let words = U::QUANTITY.split_whitespace().map(|word| {
            let mut letters = word.chars();
            letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
        });
        words.collect::<String>().into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": format!("{} as a number with its unit. {}", U::QUANTITY, ask_for_unit::<U>())
        })
    }
}

/// Declares the units of one quantity: the variant, its symbol, how many of the first unit it is
/// (over the denominator), and the smallest and largest value that is believed, in thousandths.
macro_rules! units {
    ($(#[$meta:meta])* $name:ident, $quantity:literal, over $denominator:literal, whole $whole:literal, {
        $($variant:ident = $symbol:literal, $numerator:literal, $low:literal to $high:literal $(, kind $kind:literal)?;)+
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $name { $(#[doc = concat!("Written “", $symbol, "”.")] $variant,)+ }

        impl $crate::clinical::quantities::Unit for $name {
            const QUANTITY: &'static str = $quantity;
            const ALL: &'static [Self] = &[$(Self::$variant,)+];
            const SYMBOLS: &'static [&'static str] = &[$($symbol,)+];
            const DENOMINATOR: i128 = $denominator;
            const WHOLE: bool = $whole;
            fn symbol(self) -> &'static str {
                match self { $(Self::$variant => $symbol,)+ }
            }
            fn numerator(self) -> i128 {
                match self { $(Self::$variant => $numerator,)+ }
            }
            fn limits(self) -> ($crate::clinical::quantities::Decimal, $crate::clinical::quantities::Decimal) {
                use $crate::clinical::quantities::Decimal;
                match self { $(Self::$variant => (Decimal::thousandths($low), Decimal::thousandths($high)),)+ }
            }
            fn kind(self) -> u8 {
                match self { $(Self::$variant => 0 $(+ $kind)?,)+ }
            }
        }
    };
}
pub(in crate::clinical) use units;
