//! A decimal number kept exactly, because a threshold may decide on its last digit.

use std::fmt;
use std::str::FromStr;

use crate::quantity::QuantityError;

/// A number with at most six decimals, kept in millionths, so that 1.2 − 0.9 is 0.3.
///
/// Range: 0 to a thousand million ([`Decimal::LARGEST`]) when typed; differences may be negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Decimal(i64);

impl Decimal {
    /// Millionths in one.
    pub const SCALE: i64 = 1_000_000;
    /// The largest whole number that may be typed.
    pub const LARGEST: i64 = 1_000_000_000;
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// A whole number, for constants.
    #[must_use]
    pub const fn whole(number: i64) -> Self {
        Self(number * Self::SCALE)
    }

    /// So many thousandths, for constants: 26,500 is 26.5.
    #[must_use]
    pub const fn thousandths(number: i64) -> Self {
        Self(number * 1_000)
    }

    /// The number in millionths.
    #[must_use]
    pub const fn millionths(self) -> i64 {
        self.0
    }

    /// The number in millionths, wide enough to multiply.
    #[must_use]
    pub const fn wide(self) -> i128 {
        self.0 as i128
    }

    /// Whether there is nothing behind the point.
    #[must_use]
    pub const fn is_whole(self) -> bool {
        self.0 % Self::SCALE == 0
    }

    /// The sum; kept within the range of the type.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// The difference, which may be negative.
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// `over ÷ under`, rounded half up to six decimals; `None` when `under` is not positive or the
    /// result is out of range.
    #[must_use]
    pub fn quotient(over: i128, under: i128) -> Option<Self> {
        if under <= 0 {
            return None;
        }
        let scaled = over.checked_mul(i128::from(Self::SCALE))?;
        let rounded = (2 * scaled + under).div_euclid(2 * under);
        i64::try_from(rounded).ok().map(Self)
    }

    /// A computed number, rounded to six decimals; `None` when it is not finite or out of range.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "checked to be in range"
    )]
    pub fn from_computed(number: f64) -> Option<Self> {
        let scaled = (number * Self::SCALE as f64).round();
        (scaled.abs() < 9.0e15).then_some(Self(scaled as i64))
    }

    /// The number as a float, for a formula that no threshold hangs on.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "typed numbers have at most fifteen digits")]
    pub fn approximate(self) -> f64 {
        self.0 as f64 / Self::SCALE as f64
    }

    /// Rounded half up to so many decimals, 0 to 6.
    #[must_use]
    pub const fn rounded(self, decimals: u32) -> Self {
        let step = 10_i64.pow(6_u32.saturating_sub(decimals));
        Self((self.0 + step / 2).div_euclid(step) * step)
    }

    /// With exactly so many decimals, rounded half up: `20.0`.
    #[must_use]
    pub fn with_decimals(self, decimals: u32) -> String {
        let mut text = String::with_capacity(24);
        self.rounded(decimals).write_into(&mut text);
        let have = text.find('.').map_or(0, |point| text.len() - point - 1);
        let wanted = usize::try_from(decimals).unwrap_or(0);
        if have == 0 && wanted > 0 {
            text.push('.');
        }
        text.extend(std::iter::repeat_n('0', wanted.saturating_sub(have)));
        text
    }

    /// With so many decimals, or more where it would look as if it met one of the limits: 27.04 is
    /// not shown as 27.0, which would not be above 27.
    #[must_use]
    pub fn with_decimals_apart(self, decimals: u32, limits: &[Self]) -> String {
        self.with_decimals(self.rounded_apart(decimals, limits).1)
    }

    /// Writes it behind a text.
    fn write_into(self, text: &mut impl fmt::Write) {
        // Writing into a text cannot fail.
        let _ = write!(text, "{self}");
    }

    /// For a sentence: as it is where two decimals say it, else “about” and rounded to one decimal, or
    /// to as many as keep it apart from the limits, so that nothing looks as if it met one.
    #[must_use]
    pub fn spoken(self, limits: &[Self]) -> impl fmt::Display {
        fmt::from_fn(move |f| {
            if self.rounded(2) == self {
                return write!(f, "{self}");
            }
            write!(f, "about {}", self.rounded_apart(1, limits).0)
        })
    }

    /// Rounded to so many decimals, or to as many more as keep it apart from the limits; with how
    /// many decimals that are.
    fn rounded_apart(self, decimals: u32, limits: &[Self]) -> (Self, u32) {
        let apart = |near: Self| near == self || !limits.contains(&near);
        let found = (decimals..6).map(|decimals| (self.rounded(decimals), decimals));
        found.into_iter().find(|(near, _)| apart(*near)).unwrap_or((self, 6))
    }

    /// Reads what a person types: `1.2`, `1,2`, `50 000`.
    ///
    /// A comma is a decimal comma. `1,234` could be read in two ways and is refused.
    ///
    /// # Errors
    /// A sentence that says what is allowed.
    pub fn parse_typed(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim();
        let problem = |says: &str| {
            let short: String = trimmed.chars().take(40).collect();
            QuantityError(format!("“{short}” {says}"))
        };
        if trimmed.starts_with(['<', '>', '≤', '≥']) {
            return Err(problem("is a limit. Type the number alone; a result reported as “<5” counts as 5."));
        }
        let plain =
            join_groups(trimmed).ok_or_else(|| problem("is not a number. Write it as 1.2 or 1,2."))?;
        let plain = plain.strip_prefix('+').unwrap_or(&plain);
        let (whole, part) = plain.split_once(['.', ',']).unwrap_or((plain, ""));
        let all_digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || !all_digits(whole) || !all_digits(part) || plain.ends_with(['.', ',']) {
            return Err(problem("is not a number. Write it as 1.2 or 1,2, without thousands separators."));
        }
        if plain.contains(',') && part.len() == 3 && whole.len() <= 3 && !whole.starts_with('0') {
            return Err(problem("could be a thousand or a decimal. Write 1.234 or 1234."));
        }
        if part.len() > 6 {
            return Err(problem("has more than six decimals."));
        }
        let number: i64 = whole
            .parse()
            .ok()
            .filter(|n| *n <= Self::LARGEST)
            .ok_or_else(|| problem("is larger than any value that is recorded here."))?;
        let millionths: i64 = format!("{part:0<6}").parse().unwrap_or(0);
        Ok(Self(number * Self::SCALE + millionths))
    }
}

/// Takes the spaces out of `50 000`; `None` when a space does not stand before three digits.
fn join_groups(text: &str) -> Option<String> {
    let mut groups = text.split(char::is_whitespace);
    let mut joined = groups.next().unwrap_or_default().to_owned();
    for group in groups {
        let digits = group.split(['.', ',']).next().unwrap_or_default();
        if digits.len() != 3 || joined.contains(['.', ',']) {
            return None;
        }
        joined.push_str(group);
    }
    Some(joined)
}

impl fmt::Display for Decimal {
    /// As few digits as say the same number: `1.2`, `300`, `−0.05`.
    ///
    /// Numbers stand in nearly every sentence, so the digits are put in their places here, which is
    /// several times as quick as a format.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const ROOM: usize = 24;
        let (mut digits, mut start) = ([0_u8; ROOM], ROOM);
        let mut put = |digit: u8| {
            start -= 1;
            digits[start] = digit;
        };
        let (all, scale) = (self.0.unsigned_abs(), Self::SCALE.unsigned_abs());
        let (mut whole, mut part) = (all / scale, all % scale);
        let digit_of = |number: u64| b'0' + u8::try_from(number % 10).unwrap_or(0);
        if part > 0 {
            let mut width = 6;
            while part % 10 == 0 {
                (part, width) = (part / 10, width - 1);
            }
            for _ in 0..width {
                put(digit_of(part));
                part /= 10;
            }
            put(b'.');
        }
        loop {
            put(digit_of(whole));
            whole /= 10;
            if whole == 0 {
                break;
            }
        }
        if self.0 < 0 {
            f.write_str("−")?;
        }
        f.write_str(std::str::from_utf8(&digits[start..]).unwrap_or_default())
    }
}

impl FromStr for Decimal {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse_typed(text)
    }
}
