//! Simulations with a fixed seed: how soon each rule sees that the odds of a complication have
//! doubled, how often it raises a false alarm, and whether run lengths are those that were solved for.
//!
//! 150 procedures a month; 20 months of baseline at an acceptable rate, then 24 months at that rate or
//! at doubled odds. The CUSUM knows the acceptable rate; the other two learn it from the baseline.

use relook::stats::chart::{Baseline, Beyond, Detail, OVERDISPERSED, exact_p_chart, laney};
use relook::stats::cusum::{AfterSignal, Cusum, Lattice};
use relook::stats::proportion::Count;
use relook::stats::runs::anhoej;
use relook::stats::times::median;

const A_MONTH: u64 = 150;
const BASELINE: usize = 20;
const MONTHS: usize = 24;
const DEPARTMENTS: usize = 200;

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014; from memory): small and the same everywhere.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn lot(&mut self, procedures: u64, p: f64) -> Count {
        let events = (0..procedures).filter(|_| self.next() < p).count();
        Count::new(events as u64, procedures).unwrap()
    }

    fn months(&mut self, number: usize, p: f64) -> Vec<Count> {
        (0..number).map(|_| self.lot(A_MONTH, p)).collect()
    }
}

/// After how many later months each rule first signals a worse rate; `None` within 24 months.
struct Seen {
    cusum: Option<usize>,
    limits: Option<usize>,
    runs: Option<usize>,
}

fn watch(cusum: Cusum, baseline: &[Count], later: &[Count]) -> Seen {
    let track = cusum.follow(later, AfterSignal::Restart);
    let series = [baseline, later].concat();
    let limits = exact_p_chart(&series, Baseline::leading(BASELINE)).ok().and_then(|chart| {
        let worse = |(at, side): (usize, Beyond)| (at >= BASELINE && side == Beyond::Above).then_some(at);
        chart.signals().find_map(worse).map(|at| at + 1 - BASELINE)
    });
    let values: Vec<f64> = series.iter().map(|count| count.proportion()).collect();
    let median = median(&values[..BASELINE]).unwrap();
    // Signals only once later months are in; a signal of the baseline itself is not theirs.
    let signals = |months: usize| {
        anhoej(&values[..BASELINE + months], median).is_ok_and(|found| !found.signals.is_empty())
    };
    let runs = if signals(0) { None } else { (1..=later.len()).find(|&months| signals(months)) };
    Seen { cusum: track.signals.first().map(|signal| signal.lot + 1), limits, runs }
}

/// Of many departments: the middle one's months until a signal, and the share that signal at all.
#[derive(Debug, Clone, Copy)]
struct Summary {
    middle: Option<usize>,
    share: f64,
}

fn summary(mut months: Vec<Option<usize>>) -> Summary {
    let share = months.iter().flatten().count() as f64 / months.len() as f64;
    months.sort_by_key(|month| month.unwrap_or(usize::MAX));
    Summary { middle: months[months.len() / 2], share }
}

/// CUSUM, exact p-chart and runs, over so many departments; the rates of the baseline and after it.
fn departments(cusum: Cusum, rates: [f64; 2], number: usize, seed: u64) -> [Summary; 3] {
    let mut chance = Chance(seed);
    let seen: Vec<Seen> = (0..number)
        .map(|_| {
            let baseline = chance.months(BASELINE, rates[0]);
            watch(cusum, &baseline, &chance.months(MONTHS, rates[1]))
        })
        .collect();
    [
        summary(seen.iter().map(|seen| seen.cusum).collect()),
        summary(seen.iter().map(|seen| seen.limits).collect()),
        summary(seen.iter().map(|seen| seen.runs).collect()),
    ]
}

/// The CUSUM for doubled odds whose false alarm comes after five years of 150 a month.
fn five_years(acceptable: f64) -> Cusum {
    let lattice = Lattice::near(acceptable, 2.0).unwrap();
    Cusum::with_run_length(lattice, 5.0 * 12.0 * A_MONTH as f64).unwrap()
}

#[test]
fn the_cusum_sees_doubled_odds_months_before_the_other_rules() {
    for (acceptable, months) in [(0.02, 5), (0.005, 10)] {
        let cusum = five_years(acceptable);
        let [sum, limits, runs] = departments(cusum, [acceptable, cusum.lattice().changed()], DEPARTMENTS, 2);
        println!("{acceptable} doubles: CUSUM {sum:?}, exact p-chart {limits:?}, runs {runs:?}");
        assert!(sum.middle.is_some_and(|middle| middle <= months), "{sum:?}");
        let sooner = |other: Option<usize>| other.unwrap_or(usize::MAX) >= sum.middle.unwrap() + 3;
        assert!(sooner(limits.middle) && sooner(runs.middle), "{limits:?} {runs:?}");
        // The run length is in procedures one after the other; months round it up.
        let solved = cusum.run_length_at_odds_ratio() / A_MONTH as f64;
        assert!(sum.middle.unwrap() as f64 <= 1.5 * solved, "{sum:?} {solved}");
    }
}

#[test]
fn false_alarms_are_no_more_than_the_rules_promise() {
    for acceptable in [0.02, 0.005] {
        let cusum = five_years(acceptable);
        let [sum, limits, runs] = departments(cusum, [acceptable; 2], DEPARTMENTS, 1);
        println!("{acceptable} stays: CUSUM {sum:?}, exact p-chart {limits:?}, runs {runs:?}");
        // Run lengths are nearly exponential: of a mean of 60 months, 1 − e^(−24/60) fall within 24.
        let within = -(-(MONTHS as f64) * A_MONTH as f64 / cusum.run_length_in_control()).exp_m1();
        assert!(sum.share > 0.0 && sum.share <= within, "{sum:?}, at most {within}");
        // 0.00135 a month over 24 months is 3 %; a centre learnt from 20 months adds some.
        assert!(limits.share <= 0.08, "{limits:?}");
        // Every month is one more look; each look holds back about 5 % of them.
        assert!(runs.share <= 0.3, "{runs:?}");
    }
}

/// Compares the mean of simulated run lengths with the solved one, within four standard errors.
fn check_run_length(cusum: Cusum, p: f64, seed: u64) {
    let mut chance = Chance(seed);
    let lots: Vec<Count> = (0..400_000).map(|_| chance.lot(1, p)).collect();
    let signals = cusum.follow(&lots, AfterSignal::Restart).signals;
    let ends = signals.iter().map(|signal| signal.procedure as f64);
    let starts = std::iter::once(0.0).chain(ends.clone());
    let lengths: Vec<f64> = starts.zip(ends).map(|(start, end)| end - start).collect();
    assert!(lengths.len() > 100, "{} signals", lengths.len());
    let number = lengths.len() as f64;
    let mean = lengths.iter().sum::<f64>() / number;
    let spread = lengths.iter().map(|length| (length - mean).powi(2)).sum::<f64>() / (number - 1.0);
    let solved = cusum.run_length(p).unwrap();
    assert!((mean - solved).abs() < 4.0 * (spread / number).sqrt(), "simulated {mean}, solved {solved}");
}

#[test]
fn run_lengths_of_both_watches_are_those_of_a_simulation() {
    for (acceptable, ratio) in [(0.05, 2.0), (0.05, 0.5)] {
        let cusum = Cusum::with_run_length(Lattice::near(acceptable, ratio).unwrap(), 1_000.0).unwrap();
        check_run_length(cusum, acceptable, 4);
        check_run_length(cusum, cusum.lattice().changed(), 5);
    }
}

#[test]
fn chance_alone_seldom_looks_overdispersed() {
    let mut chance = Chance(6);
    let baselines = 400;
    let wide = (0..baselines)
        .filter(|_| {
            let series = chance.months(BASELINE, 0.05);
            let chart = laney(&series, Baseline::leading(BASELINE)).unwrap();
            matches!(chart.detail(), Detail::Laney(limits) if limits.sigma_z >= OVERDISPERSED)
        })
        .count();
    // Stated: fewer than 1 in 100.
    assert!(wide * 100 < baselines, "{wide} of {baselines}");
}
