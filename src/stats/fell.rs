//! Before and after: how probable it is that a rate fell.

use std::f64::consts::FRAC_PI_2;

use super::proportion::Count;

/// Neither period had an event.
///
/// The formula would answer all the same, and mislead: with 0 of 200 before and 0 of 600 after it
/// gives 0.67, merely because more procedures were done after.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no events before and none after: nothing shows whether the rate fell")]
pub struct NoEventsAtAll;

/// The probability, 0 to 1, that the rate after is lower than the rate before, with a Jeffreys
/// posterior for each. Good to 1e-12, as far as it is checked: 5,000 procedures a period.
///
/// A page that shows it states the period left out between, and says when the period before ended
/// in a signal: an action taken at a peak looks effective by itself.
///
/// # Formula
/// ```text
/// P(X₂ < X₁), Xᵢ from Beta(kᵢ+½, nᵢ−kᵢ+½), independent
/// ```
/// In the angle θ with x = sin²θ the density is sin²ᵏθ · cos²⁽ⁿ⁻ᵏ⁾θ up to a factor: smooth to both
/// ends and, for large n, about as wide everywhere. The integral is taken over θ in pieces, by
/// Gauss–Legendre's rule with 16 points.
/// # Source
/// Common practice; the prior is that of Brown, Cai & DasGupta, Stat Sci 2001;16:101 (from memory).
/// # Errors
/// [`NoEventsAtAll`] when both counts are without events.
pub fn probability_fell(before: Count, after: Count) -> Result<f64, NoEventsAtAll> {
    if before.events() == 0 && after.events() == 0 {
        return Err(NoEventsAtAll);
    }
    let (before, after) = (Posterior::of(before), Posterior::of(after));
    let mut cuts: Vec<f64> = before.cuts().chain(after.cuts()).collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    // Mass of "after" up to the piece at hand; of "before" in all; of "after lower than before".
    let (mut below, mut all, mut fell) = (0.0, 0.0, 0.0);
    for piece in cuts.windows(2) {
        let &[from, to] = piece else { continue };
        all += integral(from, to, |angle| before.density(angle));
        fell += integral(from, to, |angle| {
            let density = before.density(angle);
            if density == 0.0 {
                return 0.0;
            }
            density * (below + integral(from, angle, |lower| after.density(lower)))
        });
        below += integral(from, to, |angle| after.density(angle));
    }
    Ok((fell / (all * below)).clamp(0.0, 1.0))
}

/// A posterior as a density of the angle, up to a factor: 1 at its peak.
struct Posterior {
    /// Procedures with the event, and without.
    with: f64,
    without: f64,
    /// Where the density is highest, in radians, 0 to π/2.
    peak: f64,
    /// Beyond this distance from the peak the density is below e⁻⁴⁵.
    reach: f64,
}

impl Posterior {
    fn of(count: Count) -> Self {
        let (k, n) = count.both();
        let without = n - k;
        // The second derivative of the logarithm is −2k/sin² − 2(n−k)/cos², never above −2n.
        Self { with: k, without, peak: k.sqrt().atan2(without.sqrt()), reach: (45.0 / n).sqrt() }
    }

    /// The ends of 40 equal pieces over the part that counts.
    fn cuts(&self) -> impl Iterator<Item = f64> {
        let from = (self.peak - self.reach).max(0.0);
        let to = (self.peak + self.reach).min(FRAC_PI_2);
        (0..=40_u32).map(move |cut| if cut == 40 { to } else { from + (to - from) * f64::from(cut) / 40.0 })
    }

    /// From the distance to the peak: powers of the sine itself would lose digits at large counts.
    fn density(&self, angle: f64) -> f64 {
        let away = angle - self.peak;
        if away.abs() > self.reach {
            return 0.0;
        }
        let (sine, bend) = (away.sin(), -2.0 * (away / 2.0).sin().powi(2));
        let slope = self.peak.tan();
        // ln(sin/sin at the peak) and ln(cos/cos at the peak), by the addition theorems.
        let up = if self.with > 0.0 { self.with * (bend + sine / slope).ln_1p() } else { 0.0 };
        let down = if self.without > 0.0 { self.without * (bend - sine * slope).ln_1p() } else { 0.0 };
        (2.0 * (up + down)).exp()
    }
}

/// Half of the points of Gauss–Legendre's rule of 16 points on −1 to 1, with their weights; the
/// other half mirrors them. From Abramowitz & Stegun, table 25.4 (from memory).
const POINTS: [(f64, f64); 8] = [
    (0.095_012_509_837_637_44, 0.189_450_610_455_068_5),
    (0.281_603_550_779_258_9, 0.182_603_415_044_923_6),
    (0.458_016_777_657_227_4, 0.169_156_519_395_002_54),
    (0.617_876_244_402_643_7, 0.149_595_988_816_576_73),
    (0.755_404_408_355_003, 0.124_628_971_255_533_87),
    (0.865_631_202_387_831_7, 0.095_158_511_682_492_78),
    (0.944_575_023_073_232_6, 0.062_253_523_938_647_894),
    (0.989_400_934_991_649_9, 0.027_152_459_411_754_095),
];

fn integral(from: f64, to: f64, function: impl Fn(f64) -> f64) -> f64 {
    let (centre, half) = (f64::midpoint(from, to), (to - from) / 2.0);
    let sum: f64 = POINTS
        .iter()
        .map(|(point, weight)| weight * (function(centre - half * point) + function(centre + half * point)))
        .sum();
    sum * half
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn fell(before: (u64, u64), after: (u64, u64)) -> f64 {
        probability_fell(Count::new(before.0, before.1).unwrap(), Count::new(after.0, after.1).unwrap())
            .unwrap()
    }

    #[test]
    fn the_rule_is_exact_for_polynomials_up_to_degree_31() {
        for degree in 0..=31 {
            let found = integral(0.0, 1.0, |x| x.powi(degree));
            assert!((found * f64::from(degree + 1) - 1.0).abs() < 1e-14, "{degree}");
        }
    }

    #[test]
    fn without_any_event_there_is_no_answer_but_a_reason() {
        let none = |procedures| Count::new(0, procedures).unwrap();
        let refused = probability_fell(none(200), none(600)).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "no events before and none after: nothing shows whether the rate fell"
        );
        assert!(fell((1, 200), (0, 600)) > 0.9);
    }

    #[test]
    fn one_procedure_with_and_one_without_have_a_closed_form() {
        // Beta(3/2, 1/2) before, Beta(1/2, 3/2) after. In the angle their densities are
        // 4/π·sin²θ and 4/π·cos²θ; the double integral is 1/2 + 4/π² by hand.
        let expected = 0.5 + 4.0 / (std::f64::consts::PI * std::f64::consts::PI);
        assert!((fell((1, 1), (0, 1)) - expected).abs() < 1e-13);
    }

    #[test]
    fn very_unequal_periods_are_told_apart() {
        assert!((fell((500_000, 1_000_000), (1, 2)) - 0.5).abs() < 1e-6);
        assert!(fell((5_000_000, 10_000_000), (4_980_000, 10_000_000)) > 0.999_999);
        assert!(fell((10_000_000, 10_000_000), (0, 1)) > 0.9);
    }

    prop_compose! {
        fn any_count()(n in prop_oneof![1_u64..40, 1_u64..1_000_000])
            (k in prop_oneof![0..=n.min(3), 0..=n, n - n.min(3)..=n], n in Just(n)) -> (u64, u64) {
            (k, n)
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn falling_and_rising_make_1(one in any_count(), two in any_count()) {
            prop_assume!(one.0 + two.0 > 0);
            let both = fell(one, two) + fell(two, one);
            prop_assert!((both - 1.0).abs() < 1e-12, "{both}");
        }

        #[test]
        fn the_same_count_twice_is_even(one in any_count()) {
            prop_assume!(one.0 > 0);
            prop_assert!((fell(one, one) - 0.5).abs() < 1e-12);
        }

        #[test]
        fn a_rate_fell_as_probably_as_its_complement_rose(one in any_count(), two in any_count()) {
            let mirrored = |(k, n): (u64, u64)| (n - k, n);
            prop_assume!(one.0 + two.0 > 0 && mirrored(one).0 + mirrored(two).0 > 0);
            let there = fell(one, two);
            prop_assert!((there - fell(mirrored(two), mirrored(one))).abs() < 1e-11);
        }
    }
}
