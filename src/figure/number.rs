//! Which numbers can be drawn, how they compare and how they are written.

/// Beyond this size a value is a slip of the keyboard; a scale to it would show nothing else.
const LARGEST: f64 = 1e12;
/// Below this size a value is drawn as 0.
const SMALLEST: f64 = 1e-9;

/// A value as it is drawn; `None` when it has no place on any scale.
pub(super) fn plotted(value: f64) -> Option<f64> {
    if !value.is_finite() || value.abs() > LARGEST {
        return None;
    }
    Some(if value.abs() < SMALLEST { 0.0 } else { value })
}

/// Whether two values are the same but for what arithmetic with floats loses, as in 0.9 + 0.3.
pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs())
}

/// A number without needless zeros, at most six decimals, in groups of three if asked; in powers of
/// ten where that would be too long.
pub(super) fn tick(value: f64, in_groups: bool) -> String {
    if value != 0.0 && !(1e-4..1e7).contains(&value.abs()) {
        return format!("{value:.0e}").replace('-', "−");
    }
    let text = trim(&format!("{value:.6}"));
    let (sign, size) = text.strip_prefix('-').map_or(("", text.as_str()), |size| ("−", size));
    let (whole, part) = size.split_once('.').map_or((size, String::new()), |(w, p)| (w, format!(".{p}")));
    let grouped = if in_groups { groups(whole) } else { whole.to_owned() };
    format!("{sign}{grouped}{part}")
}

/// Digits in groups of three.
fn groups(digits: &str) -> String {
    let mut grouped = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// A value to four significant digits, whole numbers whole.
pub(super) fn short(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e7).contains(&size) {
        return format!("{value:.1e}").replace('-', "−");
    }
    let decimals = [1000.0, 100.0, 10.0, 1.0].iter().filter(|&&bound| size < bound).count();
    let decimals = if size < 0.1 { 6 } else { decimals };
    trim(&format!("{value:.decimals$}")).replace('-', "−")
}

/// A value with the decimals that a reader wants: two below 10, one below 100, more where it would
/// otherwise be lost; whole numbers whole, thousands in groups. What is not finite has a word.
pub(super) fn read(value: f64) -> String {
    if !value.is_finite() {
        return if value.is_nan() { "unknown" } else { "without end" }.to_owned();
    }
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e7).contains(&size) {
        return format!("{value:.1e}").replace('-', "−");
    }
    if same(value, value.round()) || size >= 100.0 {
        return tick(value.round(), true);
    }
    let decimals = [10.0, 0.1, 0.01, 0.001].iter().filter(|&&bound| size < bound).count() + 1;
    format!("{value:.decimals$}").replace('-', "−")
}

fn trim(text: &str) -> String {
    let short = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text };
    if short == "-0" { "0" } else { short }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_written_without_what_it_does_not_need() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (0.5, "0.5"),
            (1.0, "1"),
            (9999.0, "9999"),
            (50_000.0, "50000"),
            (-20.0, "−20"),
            (0.001, "0.001"),
            (1e9, "1e9"),
            (1e-6, "1e−6"),
        ] {
            assert_eq!(tick(value, false), text);
        }
        for (value, text) in [(100.0, "100"), (1000.0, "1,000"), (500_000.0, "500,000"), (-2e4, "−20,000")]
        {
            assert_eq!(tick(value, true), text);
        }
        for (value, text) in
            [(1480.0, "1480"), (114.92, "114.9"), (1.1312, "1.131"), (14.0, "14"), (0.0123, "0.0123")]
        {
            assert_eq!(short(value), text);
        }
    }

    #[test]
    fn a_number_is_read_with_the_decimals_that_matter() {
        for (value, text) in [
            (0.0, "0"),
            (7.0, "7"),
            (7.8125, "7.81"),
            (7.8, "7.80"),
            (12.345, "12.3"),
            (152.4, "152"),
            (1234.5, "1,235"),
            (0.55, "0.55"),
            (0.0712, "0.071"),
            (0.003_21, "0.0032"),
            (1_234_567.0, "1,234,567"),
            (-1.5, "−1.50"),
            (1e9, "1.0e9"),
            (f64::INFINITY, "without end"),
            (f64::NAN, "unknown"),
        ] {
            assert_eq!(read(value), text);
        }
    }

    #[test]
    fn what_no_scale_can_hold_is_not_drawn() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e13] {
            assert_eq!(plotted(value), None);
        }
        assert_eq!(plotted(1e-300), Some(0.0));
        assert_eq!(plotted(-2.5), Some(-2.5));
    }

    #[test]
    fn floats_that_mean_the_same_decimal_are_the_same() {
        assert!(same(0.1 + 0.2, 0.3) && same(0.0, 0.0) && same(5.0 * 14.0, 70.0));
        assert!(!same(70.000_001, 70.0) && !same(0.0, 1e-9) && !same(1e9, 1e9 + 0.01));
    }
}
