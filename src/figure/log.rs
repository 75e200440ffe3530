//! Where a log scale begins, ends and has its ticks.

/// The factors of a power of ten at which a log scale begins, ends and has its ticks.
const FACTORS: [f64; 3] = [1.0, 2.0, 5.0];

fn decade(value: f64) -> i32 {
    // Between −9 and 12 for any value that is drawn.
    (-12..=13).rev().find(|power| 10_f64.powi(*power) <= value * (1.0 + 1e-9)).unwrap_or(-12)
}

/// The next of these numbers that is not above a value.
pub(super) fn round_down(value: f64) -> f64 {
    let power = 10_f64.powi(decade(value));
    let factor = FACTORS.into_iter().rev().find(|factor| factor * power <= value * (1.0 + 1e-9));
    factor.unwrap_or(1.0) * power
}

/// The next of these numbers that is not below a value.
pub(super) fn round_up(value: f64) -> f64 {
    let power = 10_f64.powi(decade(value));
    let factor = FACTORS.into_iter().find(|factor| factor * power >= value * (1.0 - 1e-9));
    factor.unwrap_or(10.0) * power
}

/// The ticks of a log scale of a length: 1, 2 and 5 of each power of ten, or as many powers as have
/// the room from one tick to the next.
pub(super) fn log_ticks(from: f64, to: f64, length: f64, room: f64) -> Vec<f64> {
    let decade_length = length / (to / from).log10();
    let factors: &[f64] = if 0.3 * decade_length >= room { &FACTORS } else { &FACTORS[..1] };
    let every = (1..=30).find(|every| f64::from(*every) * decade_length >= room).unwrap_or(1);
    let powers = (decade(from)..=decade(to)).filter(|power| power.rem_euclid(every) == 0);
    powers
        .flat_map(|power| factors.iter().map(move |factor| factor * 10_f64.powi(power)))
        .filter(|tick| *tick >= from * (1.0 - 1e-9) && *tick <= to * (1.0 + 1e-9))
        .map(|tick| tick.clamp(from, to))
        .collect()
}
