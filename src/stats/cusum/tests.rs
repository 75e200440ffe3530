use proptest::prelude::*;

use super::*;
use crate::stats::proportion::Count;

fn lot(events: u64, procedures: u64) -> Count {
    Count::new(events, procedures).unwrap()
}

fn single(events: &[bool]) -> Vec<Count> {
    events.iter().map(|&event| lot(u64::from(event), 1)).collect()
}

/// The run length by Gauss's elimination of the full system: another way than the module's.
fn solved(cusum: Cusum, p: f64) -> f64 {
    let (size, event) = (cusum.limit() as usize, cusum.lattice().m() as usize - 1);
    let worsening = cusum.lattice().watch() == Watch::Worsening;
    let mut rows = vec![vec![0.0; size + 1]; size];
    for (s, row) in rows.iter_mut().enumerate() {
        let (up, down, p_up) = if worsening { (event, 1, p) } else { (1, event, 1.0 - p) };
        row[s] += 1.0;
        row[s.saturating_sub(down)] -= 1.0 - p_up;
        if s + up < size {
            row[s + up] -= p_up;
        }
        row[size] = 1.0;
    }
    // From the last unknown to the first: the matrix is an M-matrix, so no pivots are needed.
    for last in (1..size).rev() {
        let pivot = rows[last].clone();
        for row in rows.iter_mut().take(last) {
            let factor = row[last] / pivot[last];
            for (cell, other) in row.iter_mut().zip(&pivot) {
                *cell -= factor * other;
            }
        }
    }
    rows[0][size] / rows[0][0]
}

#[test]
fn run_lengths_are_those_of_the_full_linear_system() {
    for (acceptable, ratio) in [(0.02, 2.0), (0.05, 3.0), (0.1, 1.5), (0.02, 0.5), (0.05, 0.3), (0.1, 0.7)] {
        let lattice = Lattice::near(acceptable, ratio).unwrap();
        for limit in [1, 2, lattice.m() - 1, lattice.m(), 3 * lattice.m() + 5] {
            let cusum = Cusum::with_limit(lattice, limit).unwrap();
            for p in [acceptable, lattice.changed(), 1.3 * acceptable] {
                let (found, expected) = (cusum.run_length(p).unwrap(), solved(cusum, p));
                assert!((found / expected - 1.0).abs() < 1e-8, "{lattice:?} {limit} {p}: {found} {expected}");
            }
        }
    }
}

#[test]
fn run_lengths_with_a_closed_form_are_that_form() {
    let worse = Lattice::near(0.02, 2.0).unwrap();
    // Up to m−1 the first event signals: 1/p. For the other watch, H procedures in a row without
    // an event when any event returns to 0: (q^−H − 1)/p.
    for limit in [1, worse.m() - 1] {
        let found = Cusum::with_limit(worse, limit).unwrap().run_length(0.04).unwrap();
        assert!((found - 25.0).abs() < 1e-9, "{limit}: {found}");
    }
    let better = Lattice::near(0.02, 0.5).unwrap();
    for limit in [1, 10, better.m() - 1] {
        let found = Cusum::with_limit(better, limit).unwrap().run_length(0.04).unwrap();
        let expected = (0.96_f64.powi(-i32::try_from(limit).unwrap()) - 1.0) / 0.04;
        assert!((found / expected - 1.0).abs() < 1e-12, "{limit}: {found}");
    }
}

#[test]
fn an_improvement_mirrors_a_worsening() {
    // An event for one is no event for the other: improvement at p is worsening at 1−p, where
    // nearly every procedure would be an event. Same root equation, other side of 1/p₀.
    let (worse, better) = (Lattice::near(0.02, 2.0).unwrap(), Lattice::near(0.02, 0.5).unwrap());
    assert_eq!((worse.watch(), better.watch()), (Watch::Worsening, Watch::Improvement));
    assert!(worse.m() < 50 && better.m() > 50);
    for lattice in [worse, better] {
        let scores = Scores::new(0.02, lattice.odds_ratio()).unwrap();
        let event = f64::from(lattice.m() - 1) * lattice.step();
        assert!((scores.none().abs() / lattice.step() - 1.0).abs() < 1e-12);
        assert!((scores.event().abs() / event - 1.0).abs() < 1e-12);
        assert!(scores.none() * scores.event() < 0.0);
        assert!((lattice.odds_ratio() / if scores.event() > 0.0 { 2.0 } else { 0.5 } - 1.0).abs() < 0.05);
    }
}

#[test]
fn the_lowest_limit_reaches_the_run_length_and_one_step_less_does_not() {
    for ratio in [2.0, 0.5] {
        for acceptable in [0.001, 0.005, 0.02, 0.1] {
            let lattice = Lattice::near(acceptable, ratio).unwrap();
            for wanted in [1.0, 500.0, 9_000.0, 1e6] {
                let cusum = Cusum::with_run_length(lattice, wanted).unwrap();
                assert!(cusum.run_length_in_control() >= wanted, "{lattice:?} {wanted}");
                if let Ok(lower) = Cusum::with_limit(lattice, cusum.limit() - 1) {
                    assert!(lower.run_length_in_control() < wanted, "{lattice:?} {wanted}");
                }
            }
        }
    }
}

#[test]
fn what_makes_no_cusum_is_refused() {
    for acceptable in [0.0, -0.1, 1e-6, 0.3, 1.0, f64::NAN] {
        assert_eq!(Lattice::near(acceptable, 2.0), Err(CusumError::AcceptableRate));
        assert_eq!(Lattice::with_steps(acceptable, 30), Err(CusumError::AcceptableRate));
    }
    for ratio in [0.0, 0.9, 1.0, 1.1, 11.0, f64::NAN] {
        assert_eq!(Lattice::near(0.02, ratio), Err(CusumError::OddsRatio));
        assert_eq!(Scores::new(0.02, ratio), Err(CusumError::OddsRatio));
    }
    for m in [0, 1, 50] {
        assert_eq!(Lattice::with_steps(0.02, m), Err(CusumError::Steps(m)));
    }
    let lattice = Lattice::near(0.02, 2.0).unwrap();
    assert_eq!(Cusum::with_limit(lattice, 0), Err(CusumError::Limit));
    for wanted in [0.0, 2e9, f64::NAN] {
        assert_eq!(Cusum::with_run_length(lattice, wanted), Err(CusumError::RunLength));
    }
    let cusum = Cusum::with_limit(lattice, 100).unwrap();
    for p in [0.0, 1.0, -0.1, f64::NAN] {
        assert_eq!(cusum.run_length(p), Err(CusumError::Probability));
    }
    let better = Scores::new(0.02, 0.5).unwrap();
    assert_eq!(run_length_of_scores(better, 2.0, 0.02, 100), Err(CusumError::OddsRatio));
    let worse = Scores::new(0.02, 2.0).unwrap();
    assert_eq!(run_length_of_scores(worse, 2.0, 0.02, 0), Err(CusumError::Limit));
    assert_eq!(run_length_of_scores(worse, f64::NAN, 0.02, 9), Err(CusumError::Limit));
    assert_eq!(run_length_of_scores(worse, 2.0, 0.0, 9), Err(CusumError::Probability));
}

#[test]
fn any_scores_on_the_exact_lattice_give_the_exact_run_length() {
    let lattice = Lattice::near(0.02, 2.0).unwrap();
    let scores = Scores::new(0.02, lattice.odds_ratio()).unwrap();
    for limit in [20, 70, 194] {
        let cusum = Cusum::with_limit(lattice, limit).unwrap();
        let found = run_length_of_scores(scores, cusum.limit_in_logarithms(), 0.02, 1).unwrap();
        assert!((found / cusum.run_length_in_control() - 1.0).abs() < 1e-8, "{limit}: {found}");
    }
}

#[test]
fn a_signal_is_placed_and_restarts_or_goes_on() {
    let cusum = Cusum::with_limit(Lattice::with_steps(0.02, 35).unwrap(), 60).unwrap();
    // +34 an event, −1 otherwise: 3 events in 10 are 102 − 7 = 95; then 50 quiet ones.
    let lots = [lot(0, 40), lot(3, 10), lot(1, 10), lot(0, 80), lot(2, 2)];
    let restarted = cusum.follow(&lots, AfterSignal::Restart);
    let s: Vec<u64> = restarted.lots.iter().map(|lot| lot.s).collect();
    assert_eq!(s, [0, 95, 25, 0, 68]);
    let places = [Signal { procedure: 50, lot: 1 }, Signal { procedure: 142, lot: 4 }];
    assert_eq!(restarted.signals, places);
    assert!(restarted.lots[1].signal && !restarted.lots[2].signal);
    let on = cusum.follow(&lots, AfterSignal::GoOn);
    assert_eq!(on.lots.iter().map(|lot| lot.s).collect::<Vec<_>>(), [0, 95, 120, 40, 108]);
    assert_eq!(on.signals, places);
    assert_eq!(cusum.follow(&[], AfterSignal::Restart), Track::default());
}

prop_compose! {
    fn any_cusum()(acceptable in 0.005_f64..0.1, worse in any::<bool>(), limit in 1_u32..400) -> Cusum {
        let lattice = Lattice::near(acceptable, if worse { 2.0 } else { 0.5 }).unwrap();
        Cusum::with_limit(lattice, limit).unwrap()
    }
}

proptest! {
    #[test]
    fn a_series_is_the_same_whole_or_continued(
        cusum in any_cusum(), events in prop::collection::vec(any::<bool>(), 1..200), cut in 0_usize..200
    ) {
        let lots = single(&events);
        let cut = cut.min(lots.len());
        for after in [AfterSignal::Restart, AfterSignal::GoOn] {
            let (whole, part) = (cusum.follow(&lots, after), cusum.follow(&lots[..cut], after));
            prop_assert_eq!(&whole.lots[..cut], &part.lots[..]);
            prop_assert!(whole.signals.starts_with(&part.signals));
        }
    }

    #[test]
    fn lots_never_signal_before_their_procedures_one_by_one(
        cusum in any_cusum(),
        months in prop::collection::vec(prop::collection::vec(prop::bool::weighted(0.15), 1..60), 1..12)
    ) {
        let known = cusum.follow(&single(&months.concat()), AfterSignal::GoOn);
        let counts: Vec<Count> = months
            .iter()
            .map(|month| lot(month.iter().filter(|event| **event).count() as u64, month.len() as u64))
            .collect();
        let lots = cusum.follow(&counts, AfterSignal::GoOn);
        if let Some(first) = lots.signals.first() {
            prop_assert!(known.signals[0].procedure <= first.procedure);
        }
        // S of a lot is never above S of the true order at its end.
        let mut end = 0;
        for (month, lot) in months.iter().zip(&lots.lots) {
            end += month.len();
            prop_assert!(lot.s <= known.lots[end - 1].s);
        }
    }

    #[test]
    fn run_lengths_grow_with_the_limit_and_fall_with_the_change(cusum in any_cusum()) {
        let higher = Cusum::with_limit(cusum.lattice(), cusum.limit() + 7).unwrap();
        prop_assert!(higher.run_length_in_control() > cusum.run_length_in_control() * (1.0 - 1e-12));
        prop_assert!(cusum.run_length_at_odds_ratio() < cusum.run_length_in_control());
    }
}
