use proptest::prelude::*;

use super::examples::{self, chart, row};
use super::*;
use crate::figure::testing::{Drawn, check_examples, check_figure, column, points, texts, with_class};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |chart| chart.draw("c"));
}

fn drawn(ratios: &[(f64, f64, f64)]) -> Vec<Drawn> {
    check_figure(&chart(ratios.iter().map(|ratio| row("A", Some(*ratio), false)).collect()).draw("c"))
}

/// Left and right end of the lines of the intervals.
fn ends(drawn: &[Drawn]) -> Vec<(f64, f64)> {
    let lines = with_class(drawn, "interval-bar").into_iter().map(points);
    lines.map(|line| (line[0].0, line[1].0)).collect()
}

#[test]
fn equal_factors_are_equally_far_from_no_association() {
    let drawn = drawn(&[(0.25, 0.5, 1.0), (1.0, 2.0, 4.0)]);
    let one = with_class(&drawn, "one-line")[0].num("x1");
    let marks: Vec<f64> = with_class(&drawn, "ratio-open").iter().map(|mark| mark.num("cx")).collect();
    assert!(((one - marks[0]) - (marks[1] - one)).abs() < 0.02);
    let ends = ends(&drawn);
    assert!((ends[0].1 - one).abs() < 0.02 && (ends[1].0 - one).abs() < 0.02);
    assert!(((one - ends[0].0) - (ends[1].1 - one)).abs() < 0.02);
    let tick = with_class(&drawn, "axis-text").into_iter().find(|tick| tick.text == "1").unwrap().num("x");
    assert!((tick - one).abs() < 0.01);
}

#[test]
fn an_interval_that_leaves_the_scale_ends_in_an_arrow_and_is_told() {
    let figure = chart(vec![
        row("A", Some((0.0, 0.0, 2.2)), false),
        row("B", Some((1.4, f64::INFINITY, f64::INFINITY)), false),
    ])
    .draw("c");
    let drawn = check_figure(&figure);
    let tips: Vec<Vec<(f64, f64)>> =
        with_class(&drawn, "interval-bar").iter().map(|bar| points(bar)).collect();
    // The line, then an arrow of three points and a bar of two, in either order.
    assert_eq!([tips[0].len(), tips[1].len()], [7, 7]);
    assert!((tips[0][3].0 - NAMES).abs() < 0.01 && (tips[1][5].0 - RIGHT).abs() < 0.01);
    // No mark stands where the scale does not have it.
    assert!(with_class(&drawn, "ratio-open").is_empty());
    assert!(texts(&drawn, "ratio-text").contains(&"without end (1.40 to without end)".to_owned()));
    assert!(figure.description.contains("Arrow: the interval goes on beyond the scale"));
    assert!(!chart(vec![row("A", Some((0.5, 1.0, 2.0)), false)]).draw("c").description.contains("Arrow"));
}

#[test]
fn one_wild_interval_does_not_press_the_others_together() {
    let ends = ends(&drawn(&[(0.6, 1.2, 2.4), (0.002, 2.0, 4000.0)]));
    assert!(ends[0].1 - ends[0].0 > 0.2 * (RIGHT - NAMES));
    assert!((ends[1].0 - NAMES).abs() < 0.01 && (ends[1].1 - RIGHT).abs() < 0.01);
}

#[test]
fn what_stands_after_correction_has_its_own_shape_and_word() {
    let rows = vec![
        row("A", Some((2.1, 4.9, 11.8)), true),
        row("B", Some((0.7, 1.6, 3.4)), false),
        row("C", None, true),
    ];
    let figure = chart(rows).draw("c");
    let drawn = check_figure(&figure);
    let [square] = with_class(&drawn, "ratio-stands")[..] else { panic!("one square") };
    let [circle] = with_class(&drawn, "ratio-open")[..] else { panic!("one circle") };
    assert_eq!((square.name.as_str(), circle.name.as_str()), ("rect", "circle"));
    let words = texts(&drawn, "ratio-text");
    assert_eq!(words[..2], ["4.90 (2.10 to 11.8): stands", "1.60 (0.70 to 3.40)"]);
    assert_eq!(column(&figure.table, "After correction"), ["stands", "does not stand", "no ratio"]);
}

#[test]
fn the_table_has_counts_ratio_and_chance() {
    let figure = chart(vec![row("Bifurcation", Some((0.2, 0.55, 1.3)), false)]).draw("c");
    assert_eq!(
        figure.table.rows[0],
        [
            "Bifurcation",
            "9 of 310 with it, 12 of 2,104 without",
            "0.55 (0.20 to 1.30)",
            "p 0.003, corrected 0.018",
            "does not stand"
        ]
    );
    assert!(figure.summary.contains("Bifurcation: 0.55 (0.20 to 1.30), 9 of 310 with it"));
}

#[test]
fn what_is_no_number_is_no_ratio() {
    let figure = chart(vec![row("A", Some((f64::NAN, 1.0, 2.0)), true)]).draw("c");
    assert!(with_class(&check_figure(&figure), "interval-bar").is_empty());
    assert_eq!(column(&figure.table, "After correction"), ["no ratio"]);
}

fn any_ratio() -> impl Strategy<Value = Interval> {
    let end =
        || prop_oneof![6 => 0.01..100.0_f64, 1 => any::<f64>(), 1 => Just(0.0), 1 => Just(f64::INFINITY)];
    (end(), end(), end()).prop_map(|(low, estimate, high)| Interval { low, estimate, high })
}

prop_compose! {
    fn any_row()(
        [label, counts, chance] in prop::array::uniform3("\\PC{0,60}"),
        ratio in prop::option::of(any_ratio()),
        stands in any::<bool>(),
    ) -> OddsRow {
        OddsRow { label, ratio, counts, chance, stands }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn any_chart_is_sound(
        [title, unit, what, counted, less, more, stands_label, source_rule] in prop::array::uniform8("\\PC{0,90}"),
        rows in prop::collection::vec(any_row(), 0..12),
    ) {
        let count = rows.len();
        let figure = OddsChart { title, unit, what, counted, less, more, stands_label, rows, source_rule }.draw("c");
        check_figure(&figure);
        prop_assert_eq!(figure.table.rows.len(), count);
    }
}
