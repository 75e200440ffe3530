//! Scales and the steps at which their ticks stand.

/// A linear scale from values to coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linear {
    /// Value and coordinate at the start.
    pub from: (f64, f64),
    /// Value and coordinate at the end.
    pub to: (f64, f64),
}

impl Linear {
    /// The coordinate of a value, kept between the ends of the scale.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let span = self.to.0 - self.from.0;
        if !value.is_finite() || span.abs() < f64::EPSILON {
            return f64::midpoint(self.from.1, self.to.1);
        }
        let share = ((value - self.from.0) / span).clamp(0.0, 1.0);
        self.from.1 + share * (self.to.1 - self.from.1)
    }

    /// The coordinate of a value, which goes on beyond the ends of the scale.
    pub(super) fn beyond(&self, value: f64) -> f64 {
        let span = self.to.0 - self.from.0;
        self.from.1 + (value - self.from.0) / span * (self.to.1 - self.from.1)
    }
}

/// A small count as a number to draw with.
#[expect(clippy::cast_precision_loss, reason = "what is drawn is counted in thousands at most")]
pub(super) const fn float(count: usize) -> f64 {
    count as f64
}

/// The step of 1, 2 or 5 times a power of ten that gives at most so many ticks over a range.
#[must_use]
pub fn nice_step(range: f64, at_most: f64) -> f64 {
    if !(range.is_finite() && range > 0.0 && at_most >= 1.0) {
        return 1.0;
    }
    let rough = range / at_most;
    let power = 10_f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= rough * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

/// The ticks from 0 to `top` at a nice step.
#[must_use]
pub fn nice_ticks(top: f64, at_most: f64) -> Vec<f64> {
    let step = nice_step(top, at_most);
    let mut ticks = Vec::new();
    let mut count = 0.0;
    while count * step <= top * (1.0 + 1e-9) && ticks.len() < 100 {
        ticks.push(count * step);
        count += 1.0;
    }
    ticks
}

/// The least round number of seconds that is not below `seconds`: half minutes, minutes, hours,
/// days, as people read them off a clock.
#[must_use]
pub fn time_step(seconds: f64) -> i64 {
    const STEPS: [i64; 18] = [
        10, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400, 172_800, 345_600,
        604_800, 1_209_600,
    ];
    #[expect(clippy::cast_precision_loss, reason = "at most 1.3 million")]
    STEPS.into_iter().find(|step| *step as f64 >= seconds).unwrap_or(2_419_200)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_linear_scale_maps_its_ends_and_keeps_within_them() {
        let scale = Linear { from: (0.0, 100.0), to: (10.0, 200.0) };
        assert!((scale.at(5.0) - 150.0).abs() < 1e-9);
        assert!((scale.at(-5.0) - 100.0).abs() < 1e-9);
        assert!((scale.at(50.0) - 200.0).abs() < 1e-9);
        assert!(scale.at(f64::NAN).is_finite());
        let flat = Linear { from: (3.0, 0.0), to: (3.0, 8.0) };
        assert!((flat.at(3.0) - 4.0).abs() < 1e-9);
    }

    #[test]
    fn steps_are_one_two_or_five_times_a_power_of_ten() {
        for (range, at_most, step) in
            [(10.0, 5.0, 2.0), (1.0, 5.0, 0.2), (37.0, 5.0, 10.0), (0.04, 4.0, 0.01), (5.0, 5.0, 1.0)]
        {
            assert!(
                (nice_step(range, at_most) - step).abs() < 1e-9,
                "{range}: {}",
                nice_step(range, at_most)
            );
        }
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!((nice_step(bad, 5.0) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn ticks_run_from_nothing_to_the_top() {
        let ticks = nice_ticks(20.0, 5.0);
        assert_eq!(ticks.len(), 5);
        assert!((ticks[4] - 20.0).abs() < 1e-9);
    }

    #[test]
    fn time_steps_are_those_of_a_clock() {
        for (seconds, step) in
            [(0.0, 10), (11.0, 30), (61.0, 120), (1000.0, 1800), (4000.0, 7200), (90_000.0, 172_800)]
        {
            assert_eq!(time_step(seconds), step);
        }
    }
}
