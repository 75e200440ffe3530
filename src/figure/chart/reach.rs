//! How far an axis reaches: to what is usual, so that one value far above the rest does not press
//! all others against 0.

use crate::figure::number;
use crate::figure::scale::nice_step;

/// From this many times all the others on, a value lies far above them.
const FAR: f64 = 3.0;
/// From so many values on, one can lie far above the rest.
const ENOUGH: usize = 6;
/// At most one value in so many is cut off.
const ONE_IN: usize = 20;
/// How many times what is usual a limit or a band may be and still be held whole.
const STRETCH: f64 = 1.8;
/// How many times the highest value the usual limit may be and still be drawn.
const LIMIT_REACH: f64 = 6.0;
/// The share of room above the highest.
const HEADROOM: f64 = 1.08;

/// The height that holds `values` but for the few that lie far above the rest, the usual one of
/// `lines` (centres and limits), and all other `lines` and `also` that are not much higher. 1 when
/// nothing is over 0.
pub(super) fn reach(values: &[f64], lines: &[f64], also: &[f64]) -> f64 {
    let (values, lines) = (falling(values), falling(lines));
    let usual_line = lines.get(lines.len() / 4).copied().unwrap_or(0.0);
    let highest = values.first().copied().unwrap_or(0.0);
    let usual_line = if highest > 0.0 && usual_line > LIMIT_REACH * highest { 0.0 } else { usual_line };
    let kept = values.get(far_above(&values, usual_line)).copied().unwrap_or(0.0);
    let usual = kept.max(usual_line);
    let others = lines.iter().chain(also).filter_map(|line| number::plotted(*line));
    let high = match usual {
        0.0 => others.fold(0.0, f64::max),
        usual => others.filter(|line| *line <= STRETCH * usual).fold(usual, f64::max),
    };
    if high > 0.0 { high * HEADROOM } else { 1.0 }
}

/// How many of the values, from the highest down, lie far above all others and the usual limit.
fn far_above(values: &[f64], usual_line: f64) -> usize {
    if values.len() < ENOUGH {
        return 0;
    }
    let most = (values.len() / ONE_IN).max(1);
    let is_far = |count: &usize| {
        let rest = values[*count].max(usual_line);
        rest > 0.0 && values[count - 1] > FAR * rest
    };
    (1..=most).rev().find(is_far).unwrap_or(0)
}

/// What can be drawn, from the highest down.
fn falling(values: &[f64]) -> Vec<f64> {
    let mut values: Vec<f64> = values.iter().filter_map(|value| number::plotted(*value)).collect();
    values.sort_by(|a, b| b.total_cmp(a));
    values
}

/// The ends of an axis, moved out to the next round numbers, and its ticks.
pub(super) fn round_ends(from: f64, to: f64, at_most: f64) -> (f64, f64, Vec<f64>) {
    let step = nice_step(to - from, at_most);
    let (first, last) = ((from / step + 1e-9).floor(), (to / step - 1e-9).ceil());
    let mut ticks = vec![first * step];
    let mut count = first;
    while count < last && ticks.len() < 20 {
        count += 1.0;
        ticks.push(count * step);
    }
    (first * step, count * step, ticks)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn is(found: f64, high: f64) -> bool {
        (found - high * HEADROOM).abs() < 1e-9
    }

    #[test]
    fn an_axis_holds_its_values_and_limits() {
        assert!(is(reach(&[3.0, 8.0, 5.0], &[12.0, 12.0], &[]), 12.0));
        assert!(is(reach(&[3.0, 14.0, 5.0], &[12.0, 12.0], &[]), 14.0));
        assert!(is(reach(&[0.0, 0.0], &[], &[4.0]), 4.0));
        for nothing in [vec![], vec![0.0; 9], vec![f64::NAN, f64::INFINITY, 1e300]] {
            assert!((reach(&nothing, &[], &[]) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn one_value_far_above_the_rest_is_cut_off_and_a_few_high_ones_are_not() {
        let mut values = vec![4.0, 6.0, 5.0, 7.0, 3.0, 5.0, 6.0, 4.0];
        assert!(is(reach(&values, &[12.0], &[]), 12.0));
        values.push(400.0);
        assert!(is(reach(&values, &[12.0], &[]), 12.0));
        values.push(390.0);
        assert!(is(reach(&values, &[12.0], &[]), 400.0));
        // Twice the limit is a signal, not a slip.
        assert!(is(reach(&[4.0, 6.0, 5.0, 7.0, 3.0, 24.0], &[12.0], &[]), 24.0));
        // Above nothing at all, one event is no outlier.
        assert!(is(reach(&[0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 9.0], &[], &[]), 9.0));
    }

    #[test]
    fn the_limit_of_a_month_with_few_procedures_does_not_stretch_the_axis() {
        let mut limits = vec![12.0; 11];
        limits.push(300.0);
        assert!(is(reach(&[3.0, 8.0], &limits, &[]), 12.0));
        limits.push(15.0);
        assert!(is(reach(&[3.0, 8.0], &limits, &[20.0, 90.0]), 20.0));
    }

    #[test]
    fn the_ends_are_round() {
        assert_eq!(round_ends(0.0, 13.0, 6.0), (0.0, 15.0, vec![0.0, 5.0, 10.0, 15.0]));
        assert_eq!(round_ends(-3.2, 5.0, 6.0), (-4.0, 6.0, vec![-4.0, -2.0, 0.0, 2.0, 4.0, 6.0]));
        assert_eq!(round_ends(0.0, 20.0, 5.0).1.to_string(), "20");
    }
}
