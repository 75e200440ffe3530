//! How many procedures a CUSUM runs, on average, until it signals.

use super::{CusumError, Lattice, Scores, Watch};

/// The run length from S = 0 with the event probability `p`, above 0 and below 1.
pub(super) fn exact(lattice: Lattice, limit: u32, p: f64) -> f64 {
    match lattice.watch() {
        Watch::Worsening => worsening(lattice.m as usize - 1, limit as usize, p),
        Watch::Improvement => {
            let levels = Levels::new(lattice.m as usize - 1, p);
            levels.take(limit as usize).sum()
        }
    }
}

/// The lowest limit whose run length at the acceptable rate is `procedures` or more. It exists: the
/// run length grows with the limit, without bound.
pub(super) fn lowest_limit(lattice: Lattice, procedures: f64) -> u32 {
    if lattice.watch() == Watch::Improvement {
        let mut run_length = 0.0;
        let levels = Levels::new(lattice.m as usize - 1, lattice.acceptable);
        // Every level takes a procedure at least, so a limit of `procedures` is enough.
        let below = levels.take_while(|level| {
            run_length += level;
            run_length < procedures
        });
        return u32::try_from(below.count() + 1).unwrap_or(u32::MAX);
    }
    let enough = |limit: u32| exact(lattice, limit, lattice.acceptable) >= procedures;
    let mut high = lattice.m;
    while !enough(high) {
        high = high.saturating_mul(2);
    }
    let mut low = 0;
    // Invariant: `low` is too low or 0, `high` is enough.
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if enough(middle) { high = middle } else { low = middle }
    }
    high
}

/// The mean time from each level of S to the next, from 0 on, for a sum that rises by 1 with each
/// procedure without an event and falls by `fall` with an event.
///
/// It cannot jump over a level, so the run length to a limit is the sum over the levels below it.
///
/// # Formula
/// ```text
/// T(i) = (1 + p Σ T(j), j from max(0, i − fall) to i−1) / (1−p)
/// ```
/// An event at level i costs the way back from `max(0, i − fall)`, and then T(i) again.
struct Levels {
    fall: usize,
    p: f64,
    times: Vec<f64>,
    way_back: f64,
}

impl Levels {
    const fn new(fall: usize, p: f64) -> Self {
        Self { fall, p, times: Vec::new(), way_back: 0.0 }
    }
}

impl Iterator for Levels {
    type Item = f64;

    fn next(&mut self) -> Option<f64> {
        let level = self.times.len();
        // Times never fall from level to level, so what is taken away is small beside what stays.
        if level > self.fall {
            self.way_back -= self.times[level - self.fall - 1];
        }
        let time = (1.0 + self.p * self.way_back) / (1.0 - self.p);
        self.times.push(time);
        self.way_back += time;
        Some(time)
    }
}

/// What happens between a level and the one reached below it: how long it takes until that level or
/// the limit is reached, and the probability that it is the limit.
#[derive(Debug, Clone, Copy)]
struct Fall {
    time: f64,
    signals: f64,
}

impl Fall {
    const NONE: Self = Self { time: 0.0, signals: 0.0 };

    /// This, and from where it ends the `next`.
    fn then(self, next: Self) -> Self {
        let goes_on = 1.0 - self.signals;
        Self { time: self.time + goes_on * next.time, signals: self.signals + goes_on * next.signals }
    }
}

/// The run length of a sum that rises by `rise` with an event and falls by 1 without, never below 0.
///
/// From the level below the limit down, the fall from each level to the next is found from those
/// above it; the last one, from `rise` to 0, closes the circle. Nothing is subtracted that is nearly
/// equal, so run lengths of a thousand million keep their digits.
///
/// # Formula
/// ```text
/// from i, with F the fall from i + rise to i (a signal when i + rise ≥ H):
/// stay = 1 − p + p F.signals;  time = (1 + p F.time) / stay;  signals = p F.signals / stay
/// run length = (1 + p F.time) / (p F.signals) with F the fall from `rise` to 0
/// ```
fn worsening(rise: usize, limit: usize, p: f64) -> f64 {
    let mut window = Window::default();
    for level in (1..limit).rev() {
        let above = fall_after_event(&window, level + rise >= limit);
        let goes_on = 1.0 - p + p * above.signals;
        window.push(Fall { time: (1.0 + p * above.time) / goes_on, signals: p * above.signals / goes_on });
        if window.len() > rise {
            window.drop_highest();
        }
    }
    let above = fall_after_event(&window, rise >= limit);
    (1.0 + p * above.time) / (p * above.signals)
}

fn fall_after_event(window: &Window, at_limit: bool) -> Fall {
    if at_limit { Fall { time: 0.0, signals: 1.0 } } else { window.whole() }
}

/// The falls of the levels just above the present one, joined from the highest down. Two stacks
/// keep the joined fall at hand while levels come in below and go out above, without taking one out
/// of a sum.
#[derive(Default)]
struct Window {
    /// Highest level last; each joined with all below it in this stack.
    upper: Vec<Fall>,
    /// Lowest level last, each by itself.
    lower: Vec<Fall>,
    /// The lower stack, joined.
    lower_joined: Option<Fall>,
}

impl Window {
    fn len(&self) -> usize {
        self.upper.len() + self.lower.len()
    }

    fn push(&mut self, lowest: Fall) {
        self.lower_joined = Some(self.lower_joined.unwrap_or(Fall::NONE).then(lowest));
        self.lower.push(lowest);
    }

    fn drop_highest(&mut self) {
        if self.upper.is_empty() {
            let mut joined = Fall::NONE;
            while let Some(fall) = self.lower.pop() {
                joined = fall.then(joined);
                self.upper.push(joined);
            }
            self.lower_joined = None;
        }
        self.upper.pop();
    }

    fn whole(&self) -> Fall {
        let upper = self.upper.last().copied().unwrap_or(Fall::NONE);
        upper.then(self.lower_joined.unwrap_or(Fall::NONE))
    }
}

/// The run length of a CUSUM for worsening with any scores, from S = 0 to S ≥ `limit` (in natural
/// logarithms), with the event probability `p`. Approximate: S moves on a lattice that holds the
/// score of no event in `cells` cells exactly, and rounds that of an event. 100 cells are good to
/// 1 % of the run length.
///
/// # Formula
/// ```text
/// from the level after an event, until 0 or the limit: time T, probability of the limit G;
/// run length = (1/p + T) / G
/// ```
/// T and G by sweeps, each of which follows one event more, until they stay.
///
/// # Errors
/// [`CusumError::Probability`]; [`CusumError::Limit`] for a limit or cells that are 0 or no number,
/// and for more than ten million cells in all; [`CusumError::OddsRatio`] for scores of an improvement.
pub fn run_length_of_scores(scores: Scores, limit: f64, p: f64, cells: u16) -> Result<f64, CusumError> {
    if scores.none >= 0.0 {
        return Err(CusumError::OddsRatio);
    }
    if !(p > 0.0 && p < 1.0) {
        return Err(CusumError::Probability);
    }
    let width = -scores.none / f64::from(cells);
    let count = (limit / width - 1e-9).ceil();
    if !(1.0..=1e7).contains(&count) {
        return Err(CusumError::Limit);
    }
    let (levels, fall, rise) = (count as usize, usize::from(cells), (scores.event / width).round() as usize);
    if rise >= levels {
        return Ok(1.0 / p);
    }
    let mut paths = vec![Fall::NONE; levels];
    loop {
        let before = paths[rise];
        sweep(&mut paths, fall, rise, p);
        let now = paths[rise];
        let still = |old: f64, new: f64| new - old <= 1e-12 * new;
        if now.signals > 0.0 && still(before.signals, now.signals) && still(before.time, now.time) {
            return Ok((1.0 / p + now.time) / now.signals);
        }
    }
}

/// One more event followed, from every level.
fn sweep(paths: &mut [Fall], fall: usize, rise: usize, p: f64) {
    for level in 1..paths.len() {
        let down = if level > fall { paths[level - fall] } else { Fall::NONE };
        let up = paths.get(level + rise).copied().unwrap_or(Fall { time: 0.0, signals: 1.0 });
        paths[level] = Fall {
            time: 1.0 + (1.0 - p) * down.time + p * up.time,
            signals: (1.0 - p) * down.signals + p * up.signals,
        };
    }
}
