use proptest::prelude::*;

use super::examples::{self, causes};
use super::*;
use crate::figure::testing::{check_examples, check_figure, column, texts, with_class};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |chart| chart.draw("c"));
}

#[test]
fn bars_are_ranked_and_equal_counts_keep_their_order() {
    let bars = [("A", Some(2)), ("B", None), ("C", Some(7)), ("D", Some(2)), ("E", Some(0))];
    let figure = causes(8, &bars).draw("c");
    assert_eq!(column(&figure.table, "Cause"), ["C", "A", "D", "E", "B"]);
    assert_eq!(column(&figure.table, "Cases"), ["7", "2", "2", "0", "not shown"]);
    assert_eq!(column(&figure.table, "Share of cases (n = 8)"), ["88 %", "25 %", "25 %", "0 %", "not shown"]);
    assert_eq!(column(&figure.table, "Note"), ["", "", "", "", "fewer than 5"]);
}

#[test]
fn a_bar_is_as_long_as_its_share() {
    let drawn = check_figure(&causes(8, &[("A", Some(4)), ("B", Some(2)), ("C", Some(0))]).draw("c"));
    let widths: Vec<f64> = with_class(&drawn, "bar").iter().map(|bar| bar.num("width")).collect();
    assert_eq!(widths.len(), 2);
    assert!((widths[0] - 2.0 * widths[1]).abs() < 0.02);
    // The end of the longest stands over the tick of its share.
    let ticks = with_class(&drawn, "axis-text");
    let half = ticks.iter().find(|tick| tick.text == "50 %").unwrap().num("x");
    assert!((with_class(&drawn, "bar")[0].num("x") + widths[0] - half).abs() < 0.02);
    assert_eq!(texts(&drawn, "bar-text"), ["4, 50 %", "2, 25 %", "0, 0 %"]);
}

#[test]
fn shares_that_add_up_to_more_than_all_are_said_to_and_no_line_adds_them() {
    let figure = causes(10, &[("A", Some(9)), ("B", Some(8))]).draw("c");
    let drawn = check_figure(&figure);
    let axis = &texts(&drawn, "axis-title")[0];
    assert!(axis.starts_with("share of cases (n = 10)") && axis.ends_with("more than 100 %"));
    assert!(figure.summary.contains("can add up to more than 100 %"));
    assert!(!drawn.iter().any(|element| element.name == "path"));
}

#[test]
fn one_of_a_great_many_is_not_none() {
    let figure = causes(1000, &[("A", Some(3))]).draw("c");
    assert_eq!(figure.table.rows[0][2], "0.3 %");
}

#[test]
fn of_nothing_there_is_no_share() {
    let figure = causes(0, &[("A", Some(0))]).draw("c");
    assert!(with_class(&check_figure(&figure), "bar").is_empty());
    assert!(texts(&check_figure(&causes(0, &[]).draw("c")), "point-text").contains(&"none yet".to_owned()));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn any_chart_is_sound(
        [title, what, unit, source_rule] in prop::array::uniform4("\\PC{0,90}"),
        all in prop_oneof![0..50_u32, any::<u32>()],
        bars in prop::collection::vec(("\\PC{0,90}", prop::option::of(prop_oneof![0..50_u32, any::<u32>()]), "\\PC{0,30}"), 0..14),
    ) {
        let bars: Vec<Bar> = bars.into_iter().map(|(label, count, note)| Bar { label, count, note }).collect();
        let count = bars.len();
        let figure = ParetoChart { title, what, unit, all, bars, source_rule }.draw("c");
        check_figure(&figure);
        prop_assert_eq!(figure.table.rows.len(), count);
    }
}
