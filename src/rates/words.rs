//! How numbers of rates are written.

/// Thousands with a comma: `1,840`.
#[must_use]
pub fn whole_number(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (index, digit) in digits.char_indices() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// A number per 1,000 with one decimal, and below 0.5 with as many more as keep the rounding within
/// a tenth of the number: `11.4`, `0.14`, `0.0008`; `0` only for zero. A minus is typographic.
#[must_use]
pub fn per_1000(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let (mut decimals, mut enough) = (1, 0.5);
    while value.abs() < enough && decimals < 8 {
        decimals += 1;
        enough /= 10.0;
    }
    format!("{value:.decimals$}").replace('-', "−")
}

/// A difference per 1,000 with its sign: `+2.9`, `−3.9`, `0`.
#[must_use]
pub fn signed(value: f64) -> String {
    let words = per_1000(value);
    if value > 0.0 { format!("+{words}") } else { words }
}

/// A count as a number to reckon with.
#[expect(clippy::cast_precision_loss, reason = "counts stay below 2⁵³")]
pub(super) const fn float(number: u64) -> f64 {
    number as f64
}

/// `1 event`, `3 events`, `1,840 procedures`.
#[must_use]
pub fn counted(number: u64, one: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{} {one}{plural}", whole_number(number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_set_apart() {
        for (number, text) in [
            (0, "0"),
            (12, "12"),
            (999, "999"),
            (1_000, "1,000"),
            (12_345, "12,345"),
            (1_234_567, "1,234,567"),
        ] {
            assert_eq!(whole_number(number), text);
        }
    }

    #[test]
    fn a_small_rate_keeps_its_size_and_is_never_written_as_zero() {
        for (value, text) in [
            (0.0, "0"),
            (11.413, "11.4"),
            (1000.0, "1000.0"),
            (0.5, "0.5"),
            (0.14, "0.14"),
            (0.05, "0.05"),
            (0.0472, "0.047"),
            (0.0008, "0.0008"),
            (-8.26, "−8.3"),
            (-0.014, "−0.014"),
        ] {
            assert_eq!(per_1000(value), text, "{value}");
        }
    }

    #[test]
    fn one_is_not_a_plural() {
        assert_eq!(counted(1, "event"), "1 event");
        assert_eq!(counted(0, "event"), "0 events");
        assert_eq!(counted(1_840, "procedure"), "1,840 procedures");
    }
}
