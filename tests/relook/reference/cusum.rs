//! The CUSUM against numpy's and scipy's linear solvers and against their simulation.

use relook::stats::cusum::{AfterSignal, Cusum, Lattice, Scores, run_length_of_scores};
use relook::stats::proportion::Count;

use super::{Worst, rows};

#[test]
fn exact_run_lengths_are_those_of_the_linear_system() {
    let mut worst = Worst::of("CUSUM, exact lattice", 1e-9);
    for row in rows("extra_cusum_exact.csv", 20) {
        let m = u32::try_from(row.count("m")).unwrap();
        let limit = u32::try_from(row.count("H")).unwrap();
        let lattice = Lattice::with_steps(row.number("p0"), m).unwrap();
        let cusum = Cusum::with_limit(lattice, limit).unwrap();
        let place = format!("p0 {} H {limit}", row.text("p0"));
        worst.compare(&place, lattice.odds_ratio(), row.number("odds_ratio"));
        worst.compare(&place, -lattice.step(), row.number("w_none"));
        worst.compare(&place, f64::from(m - 1) * lattice.step(), row.number("w_event"));
        worst.compare(&place, cusum.limit_in_logarithms(), row.number("h"));
        worst.compare(&place, cusum.run_length_in_control(), row.number("arl_in_control"));
        worst.compare(&place, cusum.run_length_at_odds_ratio(), row.number("arl_at_odds_ratio"));
        // The same scores by Steiner's formula, and the limit back from its own run length.
        let scores = Scores::new(row.number("p0"), lattice.odds_ratio()).unwrap();
        worst.compare(&place, scores.event(), row.number("w_event"));
        let again = Cusum::with_run_length(lattice, row.number("arl_in_control") * (1.0 - 1e-9)).unwrap();
        assert_eq!(again.limit(), limit, "{place}");
    }
    worst.report();
}

#[test]
fn run_lengths_of_any_scores_are_those_of_the_fine_lattice_and_near_the_simulated() {
    let mut same = Worst::of("CUSUM, 100 cells", 1e-6);
    let mut near = Worst::of("CUSUM, 100 cells against simulation", 0.01);
    for row in rows("extra_cusum_arl.csv", 12) {
        let (p0, h, ratio) = (row.number("p0"), row.number("h"), row.number("odds_ratio"));
        let place = format!("p0 {p0} h {h}");
        let scores = Scores::new(p0, ratio).unwrap();
        let shifted = ratio * p0 / (1.0 - p0 + ratio * p0);
        let run = |p: f64, cells: u16| run_length_of_scores(scores, h, p, cells).unwrap();
        let (in_control, after) = (run(p0, 100), run(shifted, 100));
        same.compare(&place, run(p0, 25), row.number("in_control_c25"));
        same.compare(&place, run(p0, 50), row.number("in_control_c50"));
        same.compare(&place, in_control, row.number("in_control_c100"));
        same.compare(&place, after, row.number("shifted_c100"));
        near.compare(&place, in_control, row.number("sim_in_control"));
        near.compare(&place, after, row.number("sim_shifted"));
    }
    same.report();
    near.report();
}

#[test]
fn a_series_of_single_procedures_is_that_of_numpy() {
    let rows = rows("cusum_series.csv", 300);
    let scores = Scores::new(0.02, 2.0).unwrap();
    let mut worst = Worst::of("CUSUM series", 1e-9);
    let (mut s, mut signals) = (0.0, Vec::new());
    for row in &rows {
        s = scores.next(s, row.count("event") == 1);
        worst.compare(row.text("procedure"), s, row.number("S"));
        assert_eq!(s >= 2.0, row.count("signal_reset") == 1, "{}", row.text("procedure"));
        if s >= 2.0 {
            signals.push(row.count("procedure"));
            s = 0.0;
        }
    }
    worst.report();

    // The lattice next to an odds ratio of 2 (2.0003) signals at the same procedure.
    let lattice = Lattice::near(0.02, 2.0).unwrap();
    let limit = (2.0 / lattice.step()).ceil() as u32;
    let lots: Vec<Count> = rows.iter().map(|row| Count::new(row.count("event"), 1).unwrap()).collect();
    let track = Cusum::with_limit(lattice, limit).unwrap().follow(&lots, AfterSignal::Restart);
    let found: Vec<u64> = track.signals.iter().map(|signal| signal.procedure).collect();
    assert_eq!(found, signals);
}
