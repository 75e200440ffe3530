//! Sums as they come.

use super::super::control::examples::{action, months, noise};
use super::*;

/// So many months; the rate doubles half-way.
pub(super) fn sums(count: usize, two_sided: bool) -> CusumChart {
    let (mut worse, mut better) = (0.0_f64, 0.0_f64);
    let mut signals: Vec<CusumSignal> = Vec::new();
    let mut points = Vec::new();
    for (slot, (name, a)) in months(count).into_iter().zip(noise(4)).enumerate() {
        let rises = if slot > count / 2 { 0.75 } else { -0.25 };
        worse = (worse + (a - 0.5) * 1.6 + rises).max(0.0);
        better = (better + (0.5 - a) * 1.6 - rises).max(0.0);
        points.push(CusumPoint {
            name,
            worse: Some(worse),
            better: two_sided.then_some(better),
            counts: "1 of 140".to_owned(),
        });
        let crossed = [(Side::Worse, worse), (Side::Better, better)];
        for (side, _) in
            crossed.into_iter().filter(|(side, sum)| *sum > 3.9 && (two_sided || *side == Side::Worse))
        {
            let words = "The sum crossed its limit: as if the rate had changed by a factor of two; it begins again at 0".to_owned();
            signals.push(CusumSignal {
                side,
                slot,
                number: u32::try_from(signals.len()).unwrap() + 1,
                words,
            });
        }
        if worse > 3.9 {
            worse = 0.0;
        }
        if better > 3.9 {
            better = 0.0;
        }
    }
    CusumChart {
        title: "Evidence of a doubling since 2023".to_owned(),
        unit: "sum of log-likelihood ratios (no unit)".to_owned(),
        x_title: "month of the procedure".to_owned(),
        counted: "41 events in 5,230 procedures".to_owned(),
        points,
        worse: Some(CusumLimit { value: 3.9, label: "limit 3.9, for a doubling".to_owned() }),
        better: two_sided.then(|| CusumLimit { value: 3.9, label: "limit 3.9, for a halving".to_owned() }),
        actions: vec![action(20.0, 1, "Checklist before atherectomy")],
        signals,
        source_rule: "CUSUM of log-likelihood ratios (common practice)".to_owned(),
    }
}

pub(super) fn all() -> Vec<(&'static str, CusumChart)> {
    let mut gaps = sums(24, true);
    for slot in [3, 4, 23] {
        (gaps.points[slot].worse, gaps.points[slot].better) = (None, None);
    }
    let mut far = sums(12, true);
    far.points[9].better = Some(400.0);
    far.points[10].worse = Some(f64::NAN);
    vec![
        ("both", sums(36, true)),
        ("one_sided", sums(36, false)),
        ("long", sums(240, true)),
        ("gaps", gaps),
        ("far", far),
        ("empty", sums(0, true)),
        ("one", sums(1, false)),
    ]
}
