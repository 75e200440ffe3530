//! How long each function of the statistics takes at sizes that a department meets.
//!
//! `cargo bench --bench statistics`. It prints and fails on nothing.

#![allow(missing_docs, clippy::unwrap_used)]

use std::hint::black_box;
use std::time::Instant;

use relook::stats::agreement::{Scale, fleiss_kappa, krippendorff_alpha};
use relook::stats::association::{Table, mantel_haenszel, odds_ratio};
use relook::stats::chart::{Baseline, Exposed, exact_p_chart, g_chart, laney, p_chart, t_chart, u_chart};
use relook::stats::comparison::{fisher_exact, newcombe, risk_ratio};
use relook::stats::cusum::{AfterSignal, Cusum, Lattice};
use relook::stats::fell::probability_fell;
use relook::stats::funnel::{Target, limits};
use relook::stats::many::benjamini_hochberg;
use relook::stats::poisson::{Exposure, garwood, rate_ratio};
use relook::stats::proportion::{Count, Level, clopper_pearson, jeffreys, wilson};
use relook::stats::runs::{anhoej, number_of_runs, shift};
use relook::stats::shrinkage::{Prior, fit};
use relook::stats::times::{Waited, median_interval, median_of_waits, quartiles};

/// Calls so often that at least a tenth of a second passes, and prints the time of one call.
fn time<T>(name: &str, call: impl Fn() -> T) {
    let mut calls = 1_u32;
    loop {
        let started = Instant::now();
        for _ in 0..calls {
            black_box(call());
        }
        let taken = started.elapsed();
        if taken.as_millis() >= 100 || calls > 10_000_000 {
            let microseconds = taken.as_secs_f64() * 1e6 / f64::from(calls);
            println!("{name:<58} {microseconds:>12.3} µs");
            return;
        }
        calls = calls.saturating_mul(4);
    }
}

fn count(events: u64, procedures: u64) -> Count {
    Count::new(events, procedures).unwrap()
}

fn main() {
    let (one, other, level) = (count(21, 1_840), count(14, 1_795), Level::NINETY_FIVE);
    let exposure = |count: Count| Exposure::new(count.events(), count.procedures()).unwrap();
    time("Wilson, 21 of 1,840", || wilson(black_box(one), level));
    time("Clopper–Pearson, 21 of 1,840", || clopper_pearson(black_box(one), level));
    time("Jeffreys, 21 of 1,840", || jeffreys(black_box(one), level));
    time("Garwood, 21 in 1,840", || garwood(exposure(black_box(one)), level));
    time("rate ratio", || rate_ratio(exposure(one), exposure(black_box(other)), level));
    time("Newcombe's difference", || newcombe(one, black_box(other), level));
    time("Fisher's exact test", || fisher_exact(one, black_box(other)));
    time("risk ratio", || risk_ratio(one, black_box(other), level));
    time("probability that a rate fell", || probability_fell(one, black_box(other)));
    let table = Table::new([8, 32, 30, 110]).unwrap();
    time("odds ratio with exact limits, 180 cases", || odds_ratio(black_box(table), level));
    time("Mantel–Haenszel, 6 strata", || mantel_haenszel(&[black_box(table); 6], level));
    let p: Vec<f64> = (1..=60).map(|at| f64::from(at) / 61.0).collect();
    time("Benjamini–Hochberg, 60 values", || benjamini_hochberg(black_box(&p)));
    let months: Vec<Count> = (0..180).map(|at| count(2 + at % 4, 150)).collect();
    let baseline = Baseline::standard(180);
    time("p-chart, 180 months", || p_chart(black_box(&months), baseline));
    time("exact p-chart, 180 months", || exact_p_chart(black_box(&months), baseline));
    time("Laney p′, 180 months", || laney(black_box(&months), baseline));
    let exposed: Vec<Exposed> = (0..180).map(|at| Exposed::new(2 + at % 4, 150.0).unwrap()).collect();
    time("u-chart, 180 months", || u_chart(black_box(&exposed), baseline));
    let gaps: Vec<u64> = (0..180).map(|at| 40 + at * 7 % 50).collect();
    time("g-chart, 180 gaps", || g_chart(black_box(&gaps), baseline));
    let days: Vec<f64> = (0_u32..180).map(|at| f64::from(3 + at * 7 % 50)).collect();
    time("t-chart, 180 times", || t_chart(black_box(&days), baseline));
    let values: Vec<f64> = months.iter().map(|count| count.proportion()).collect();
    time("longest run and crossings, 180 months", || anhoej(black_box(&values), 0.0233));
    time("shift of six, 180 months", || shift(black_box(&values), 0.0233));
    time("number of runs, 180 months", || number_of_runs(black_box(&values), 0.0233));
    let lattice = Lattice::near(0.02, 2.0).unwrap();
    time("CUSUM limit from a run length of 9,000", || Cusum::with_run_length(black_box(lattice), 9_000.0));
    let cusum = Cusum::with_run_length(lattice, 9_000.0).unwrap();
    time("CUSUM run length", || cusum.run_length(black_box(0.04)));
    time("CUSUM over 180 months", || cusum.follow(black_box(&months), AfterSignal::Restart));
    let target = Target::new(0.02).unwrap();
    time("funnel limits, n = 1,840, 99.8 %", || limits(black_box(1_840), target, Level::NINETY_NINE_EIGHT));
    let units: Vec<Count> = (0..30).map(|at| count(at % 9, 150 + at * 20)).collect();
    time("beta-binomial fit, 30 units", || fit(black_box(&units)));
    let prior = Prior::new(2.0, 98.0).unwrap();
    time("shrunken rate of one unit", || prior.shrink(black_box(one), level));
    let ratings: Vec<Vec<u32>> = (0..60).map(|at| vec![at % 4, 5 - at % 4, 1]).collect();
    time("Fleiss' kappa, 60 cases", || fleiss_kappa(black_box(&ratings)));
    let judged: Vec<Vec<f64>> =
        (0_u32..60).map(|at| (0..6).map(|by| f64::from(1 + (at + by) % 5)).collect()).collect();
    time("Krippendorff's alpha, 60 cases, 6 raters", || {
        krippendorff_alpha(black_box(&judged), Scale::Ordinal)
    });
    let times: Vec<f64> = (0_u32..500).map(|at| f64::from(at * 7_919 % 3_000)).collect();
    time("quartiles, 500 times", || quartiles(black_box(&times)));
    time("interval of the median, 500 times", || median_interval(black_box(&times), level));
    let waits: Vec<Waited> = times.iter().map(|time| Waited::Until(*time)).collect();
    time("Kaplan–Meier median, 500 times", || median_of_waits(black_box(&waits)));
}
