//! Control charts against limits written out in numpy and scipy, and reproduced in R.

use relook::stats::chart::{
    Baseline, Beyond, Chart, Detail, Exposed, GLimits, RANGE_OF_TWO, exact_p_chart, g_chart, laney, p_chart,
    t_chart, u_chart,
};
use relook::stats::proportion::Count;

use super::{Row, Worst, rows};

fn counts(rows: &[Row]) -> Vec<Count> {
    rows.iter().map(|row| Count::new(row.count("events"), row.count("procedures")).unwrap()).collect()
}

fn all<T>(series: &[T]) -> Baseline {
    Baseline::leading(series.len())
}

/// Compares both limits of every point; a limit that cannot signal stands as 0 in the file.
fn compare_limits(worst: &mut Worst, chart: &Chart, rows: &[Row], columns: [&str; 2]) {
    assert_eq!(chart.points().len(), rows.len());
    for (at, (point, row)) in chart.points().iter().zip(rows).enumerate() {
        let place = format!("point {}", at + 1);
        worst.compare(&place, point.lower.unwrap_or(0.0), row.number(columns[0]));
        worst.compare(&place, point.upper.unwrap(), row.number(columns[1]));
    }
}

#[test]
fn p_and_u_limits_are_those_of_numpy() {
    let rows = rows("p_u_laney_chart.csv", 24);
    let series = counts(&rows);
    let mut worst = Worst::of("p-chart", 1e-12);
    let chart = p_chart(&series, all(&series)).unwrap();
    compare_limits(&mut worst, &chart, &rows, ["p_lcl", "p_ucl"]);
    for (point, row) in chart.points().iter().zip(&rows) {
        worst.compare("value", point.value, row.number("p"));
        worst.compare("centre", chart.centre(), row.number("centre"));
    }
    worst.report();

    let exposed: Vec<Exposed> =
        rows.iter().map(|row| Exposed::new(row.count("events"), row.number("procedures")).unwrap()).collect();
    let mut worst = Worst::of("u-chart", 1e-12);
    let chart = u_chart(&exposed, all(&exposed)).unwrap();
    compare_limits(&mut worst, &chart, &rows, ["u_lcl", "u_ucl"]);
    worst.report();
}

fn check_laney(file: &str, points: usize, sigma_column: &str, with_exact_range: Option<&str>) {
    let rows = rows(file, points);
    let series = counts(&rows);
    let mut worst = Worst::of("Laney's chart", 1e-11);
    let chart = laney(&series, all(&series)).unwrap();
    compare_limits(&mut worst, &chart, &rows, ["laney_lcl", "laney_ucl"]);
    let Detail::Laney(detail) = chart.detail() else { panic!("{:?}", chart.detail()) };
    for (z, row) in detail.z.iter().zip(&rows) {
        worst.compare("z", *z, row.number("z"));
        worst.compare("sigma z", detail.sigma_z, row.number(sigma_column));
        if let Some(column) = with_exact_range {
            // The same with the exact mean range of two, 2/√π, in place of the printed 1.128.
            let exact = detail.sigma_z * RANGE_OF_TWO / 2.0 * std::f64::consts::PI.sqrt();
            worst.compare("sigma z, exact range", exact, row.number(column));
        }
    }
    worst.report();
}

#[test]
fn laney_limits_are_those_of_numpy() {
    check_laney("p_u_laney_chart.csv", 24, "sigma_z", None);
    check_laney("extra_laney_overdispersed.csv", 12, "sigma_z_1.128", Some("sigma_z_exact_d2"));
    let rows = rows("extra_laney_overdispersed.csv", 12);
    let series = counts(&rows);
    let mut worst = Worst::of("p-chart, overdispersed", 1e-12);
    compare_limits(&mut worst, &p_chart(&series, all(&series)).unwrap(), &rows, ["p_lcl", "p_ucl"]);
    worst.report();
}

#[test]
fn exact_limits_are_those_of_scipy() {
    let rows = rows("extra_p_chart_exact.csv", 24);
    let series = counts(&rows);
    let chart = exact_p_chart(&series, all(&series)).unwrap();
    let Detail::Exact(limits) = chart.detail() else { panic!("{:?}", chart.detail()) };
    let mut worst = Worst::of("exact p-chart", 1e-11);
    assert_eq!(limits.len(), rows.len());
    for ((point, limits), row) in chart.points().iter().zip(limits).zip(&rows) {
        let month = row.text("month");
        worst.compare(month, chart.centre(), row.number("centre"));
        worst.compare(month, limits.tail_high, row.number("tail_high"));
        worst.compare(month, limits.tail_low, row.number("tail_low"));
        assert_eq!(limits.largest_ordinary, row.count("count_ucl"), "month {month}");
        assert_eq!(point.beyond.is_some(), row.count("signal") == 1, "month {month}");
        // From the rule of the reference: the low side is dumb below about 6.6/p̄ procedures.
        let few = (1.0 - chart.centre()).powf(row.number("procedures")) > 0.00135;
        assert_eq!(limits.can_signal_low(), !few, "month {month}");
        assert_eq!(point.lower.is_some(), !few, "month {month}");
    }
    worst.report();
}

fn g_limits(chart: &Chart) -> GLimits {
    let Detail::G(limits) = chart.detail() else { panic!("{:?}", chart.detail()) };
    *limits
}

#[test]
fn gap_limits_are_those_of_the_geometric_distribution() {
    let rows = rows("g_chart.csv", 20);
    let gaps: Vec<u64> = rows.iter().map(|row| row.count("between")).collect();
    let chart = g_chart(&gaps, all(&gaps)).unwrap();
    let limits = g_limits(&chart);
    let mut worst = Worst::of("g-chart", 1e-11);
    for row in &rows {
        let place = row.text("index");
        worst.compare(place, chart.centre(), row.number("mean"));
        worst.compare(place, limits.three_sigma_lower, row.number("sd_limits_lcl"));
        worst.compare(place, limits.three_sigma_upper, row.number("sd_limits_ucl"));
        worst.compare(place, limits.median, row.number("prob_median"));
        worst.compare(place, limits.probability_lower, row.number("prob_lo_0.00135"));
        worst.compare(place, limits.probability_upper, row.number("prob_hi_0.99865"));
    }
    worst.report();
}

#[test]
fn whole_gap_limits_are_those_computed_by_counting() {
    let mut worst = Worst::of("g-chart by mean gap", 1e-12);
    for row in rows("extra_g_limits.csv", 5) {
        let mean = row.number("mean_gap");
        // Ten gaps with that mean: nine of the whole part, one of the rest.
        let mut gaps = vec![mean.floor() as u64; 9];
        gaps.push((mean * 10.0).round() as u64 - 9 * mean.floor() as u64);
        let chart = g_chart(&gaps, all(&gaps)).unwrap();
        let limits = g_limits(&chart);
        let place = row.text("mean_gap");
        worst.compare(place, chart.centre(), mean);
        worst.compare(place, limits.event_probability, row.number("p_hat"));
        worst.compare(place, limits.three_sigma_lower, row.number("sd_lcl"));
        worst.compare(place, limits.three_sigma_upper, row.number("sd_ucl"));
        assert_eq!(limits.shortest_long_gap, row.count("smallest_gap_signalling_long"), "{place}");
        assert_eq!(limits.shortest_ordinary_gap, row.count("smallest_ordinary_gap"), "{place}");
        assert_eq!(limits.short_gap_can_signal(), row.number("P_gap_0") <= 0.00135, "{place}");
        // P(G ≤ 1) from the estimated probability, by its definition.
        let p = limits.event_probability;
        worst.compare(place, p, row.number("P_gap_0"));
        worst.compare(place, p + p * (1.0 - p), row.number("P_gap_le_1"));
    }
    worst.report();
}

#[test]
fn day_limits_are_those_of_numpy() {
    let rows = rows("t_chart.csv", 20);
    let days: Vec<f64> = rows.iter().map(|row| row.number("days")).collect();
    let chart = t_chart(&days, all(&days)).unwrap();
    let mut worst = Worst::of("t-chart", 1e-11);
    compare_limits(&mut worst, &chart, &rows, ["lcl", "ucl"]);
    let Detail::T(limits) = chart.detail() else { panic!("{:?}", chart.detail()) };
    let transformed: f64 = rows.iter().map(|row| row.number("y")).sum();
    worst.compare("mean of y", limits.mean, transformed / 20.0);
    worst.compare("centre", chart.centre(), rows[0].number("centre"));
    worst.report();
    assert!(chart.signals().all(|(_, side)| side == Beyond::Above));
}
