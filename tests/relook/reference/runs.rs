//! Run rules against numpy, scipy and R.

use relook::stats::runs::{RunRule, RunsLimits, anhoej, longest_trend, number_of_runs, shift, trend};

use super::{Row, rows};

fn values(row: &Row) -> Vec<f64> {
    row.text("values").split(' ').map(|text| text.parse().unwrap()).collect()
}

fn number(row: &Row, column: &str) -> usize {
    usize::try_from(row.count(column)).unwrap()
}

#[test]
fn longest_runs_and_crossings_are_those_of_scipy() {
    for row in rows("run_chart_anhoej.csv", 4) {
        let found = anhoej(&values(&row), row.number("median")).unwrap();
        let series = row.text("series");
        assert_eq!(found.useful, number(&row, "useful"), "{series}");
        assert_eq!(found.longest_run, number(&row, "longest_run"), "{series}");
        assert_eq!(found.longest_limit, number(&row, "longest_limit"), "{series}");
        assert_eq!(found.crossings, number(&row, "crossings"), "{series}");
        assert_eq!(found.crossings_limit, number(&row, "crossings_limit"), "{series}");
        assert_eq!(!found.signals.is_empty(), row.count("signal") == 1, "{series}");
    }
}

#[test]
fn shifts_trends_and_runs_are_those_counted_by_numpy() {
    for row in rows("extra_run_rules.csv", 8) {
        let (values, median, series) = (values(&row), row.number("median"), row.text("series"));
        let runs = number_of_runs(&values, median).unwrap();
        assert_eq!(runs.useful, number(&row, "useful"), "{series}");
        assert_eq!(runs.runs, number(&row, "runs"), "{series}");
        let limits = match row.text("fewest") {
            "" => None,
            _ => Some(RunsLimits { fewest: number(&row, "fewest"), most: number(&row, "most") }),
        };
        assert_eq!(runs.limits, limits, "{series}");
        let rule = runs.signal.map(|signal| signal.rule);
        assert_eq!(rule == Some(RunRule::TooFewRuns), row.count("too_few") == 1, "{series}");
        assert_eq!(rule == Some(RunRule::TooManyRuns), row.count("too_many") == 1, "{series}");
        assert_eq!(anhoej(&values, median).unwrap().longest_run, number(&row, "longest_run"), "{series}");
        assert_eq!(longest_trend(&values), number(&row, "longest_trend"), "{series}");
        assert_eq!(!shift(&values, median).unwrap().is_empty(), row.count("shift6") == 1, "{series}");
        assert_eq!(!trend(&values).unwrap().is_empty(), row.count("trend5") == 1, "{series}");
    }
}

#[test]
fn limits_of_the_number_of_runs_are_those_counted_exactly() {
    for row in rows("extra_runs_limits.csv", 51) {
        let useful = number(&row, "useful_points");
        let limits =
            RunsLimits { fewest: number(&row, "fewest_ordinary"), most: number(&row, "most_ordinary") };
        assert_eq!(RunsLimits::of(useful), Some(limits), "{useful} points");
        let expected = row.number("expected_runs");
        assert!((limits.fewest as f64) < expected && expected < limits.most as f64, "{useful} points");
    }
}
