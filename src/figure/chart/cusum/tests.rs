use proptest::prelude::*;

use super::examples::{self, sums};
use super::*;
use crate::figure::chart::control::tests::any::{any_action, any_name, any_value};
use crate::figure::testing::{check_examples, check_figure, column, points, texts, with_class};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |chart| chart.draw("c"));
}

#[test]
fn worse_goes_up_from_zero_and_better_goes_down() {
    let chart = sums(36, true);
    let drawn = check_figure(&chart.draw("c"));
    let zero = with_class(&drawn, "centre-line")[0].num("y1");
    let lines = with_class(&drawn, "value-line");
    let (worse, better) = (points(lines[0]), points(lines[1]));
    for (point, ((_, up), (_, down))) in chart.points.iter().zip(worse.iter().zip(&better)) {
        let (rise, fall) = ((zero - up).max(0.0), (down - zero).max(0.0));
        // The same scale on both sides: the heights are as the sums.
        let scale = (zero - with_class(&drawn, "limit-line")[0].num("y1")) / 3.9;
        assert!((rise - scale * point.worse.unwrap()).abs() < 0.05, "{point:?}");
        assert!((fall - scale * point.better.unwrap()).abs() < 0.05, "{point:?}");
    }
}

#[test]
fn a_one_sided_chart_has_one_line_and_no_words_of_the_other() {
    let figure = sums(36, false).draw("c");
    let drawn = check_figure(&figure);
    assert_eq!(with_class(&drawn, "value-line").len(), 1);
    assert_eq!(texts(&drawn, "limit-text"), ["limit 3.9, for a doubling"]);
    assert_eq!(figure.table.columns[2..4], ["Sum for worse".to_owned(), "Signals".to_owned()]);
    assert!(!figure.summary.contains("better") && !figure.description.contains("better"));
}

#[test]
fn a_signal_is_a_ring_where_the_sum_crossed_its_limit() {
    let chart = sums(36, true);
    let figure = chart.draw("c");
    let drawn = check_figure(&figure);
    let rings: Vec<f64> = with_class(&drawn, "signal-ring")
        .iter()
        .filter(|ring| ring.name == "circle")
        .map(|ring| ring.num("cy"))
        .collect();
    let limits: Vec<f64> = with_class(&drawn, "limit-line").iter().map(|line| line.num("y1")).collect();
    assert_eq!(rings.len(), chart.signals.len());
    for (y, signal) in rings.iter().zip(&chart.signals) {
        assert!(if signal.side == Side::Worse { *y < limits[0] } else { *y > limits[1] }, "{signal:?}");
    }
    let numbers: Vec<String> = chart.signals.iter().map(|signal| signal.number.to_string()).collect();
    assert_eq!(texts(&drawn, "signal-number"), numbers);
    let told = column(&figure.table, "Signals");
    assert!(chart.signals.iter().all(|signal| told[signal.slot].contains(&signal.words)));
}

#[test]
fn what_is_not_counted_is_hatched_and_never_zero() {
    let mut chart = sums(12, true);
    (chart.points[4].worse, chart.points[4].better) = (None, None);
    let figure = chart.draw("c");
    let drawn = check_figure(&figure);
    assert_eq!(with_class(&drawn, "gap-hatch").len(), 1);
    assert_eq!(with_class(&drawn, "chart-dot").len(), 22);
    assert_eq!(figure.table.rows[4][2..4], ["not counted".to_owned(), "not counted".to_owned()]);
}

#[test]
fn the_summary_says_where_the_sums_stand() {
    let mut chart = CusumChart { signals: Vec::new(), ..sums(3, true) };
    (chart.points[2].worse, chart.points[2].better) = (Some(1.25), Some(0.0));
    let summary = chart.draw("c").summary;
    assert!(
        summary.contains(
            "After May 2021: the sum for worse 1.25 (limit 3.90), the sum for better 0 (limit 3.90)."
        )
    );
    assert!(summary.contains("No sum has crossed its limit."), "{summary}");
    assert!(sums(0, true).draw("c").summary.contains("No values yet."));
}

prop_compose! {
    fn any_point()(
        name in any_name(),
        worse in prop::option::of(any_value()),
        better in prop::option::of(any_value()),
        counts in "\\PC{0,30}",
    ) -> CusumPoint {
        CusumPoint { name, worse, better, counts }
    }
}

fn any_limit() -> impl Strategy<Value = Option<CusumLimit>> {
    prop::option::of((any_value(), "\\PC{0,90}").prop_map(|(value, label)| CusumLimit { value, label }))
}

prop_compose! {
    fn any_chart()(
        [title, unit, x_title, counted, source_rule] in prop::array::uniform5("\\PC{0,90}"),
        points in prop::collection::vec(any_point(), 0..60),
        worse in any_limit(),
        better in any_limit(),
        actions in prop::collection::vec(any_action(), 0..6),
        signals in prop::collection::vec((any::<bool>(), 0..70_usize, any::<u32>(), "\\PC{0,90}"), 0..8),
    ) -> CusumChart {
        let signals = signals.into_iter().map(|(is_worse, slot, number, words)| {
            CusumSignal { side: if is_worse { Side::Worse } else { Side::Better }, slot, number, words }
        });
        CusumChart { title, unit, x_title, counted, points, worse, better, actions, signals: signals.collect(), source_rule }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn any_chart_is_sound(chart in any_chart()) {
        let figure = chart.draw("c");
        check_figure(&figure);
        prop_assert_eq!(figure.table.rows.len(), chart.points.len());
    }
}
