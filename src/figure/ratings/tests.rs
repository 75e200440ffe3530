use proptest::prelude::*;

use super::examples::{avoidability, care};
use super::*;
use crate::figure::testing::{check_examples, check_figure, column, points, texts, with_class};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |example| example.draw("r"));
}

#[test]
fn the_title_says_where_the_middle_is_and_how_far_the_judgements_lie_apart() {
    for (counts, title) in [
        ([0; 6], "Avoidability: nobody has judged yet"),
        ([0, 1, 0, 0, 0, 0], "Avoidability: the one judgement is “slight evidence”"),
        ([0, 2, 0, 0, 0, 0], "Avoidability: both judge “slight evidence”"),
        ([0, 5, 0, 0, 0, 0], "Avoidability: all five judge “slight evidence”"),
        ([0, 1, 0, 0, 0, 1], "Avoidability: the two judge “slight evidence” and “definitely avoidable”"),
        (
            [0, 1, 1, 2, 1, 0],
            "Avoidability: the median of five is “probably, more than even”, from “slight evidence” to “strong evidence”",
        ),
        (
            [1, 0, 2, 0, 3, 0],
            "Avoidability: the median of six is between “possibly, less than even” and “strong evidence”, from \
             “definitely not” to “strong evidence”",
        ),
    ] {
        assert_eq!(avoidability(counts).draw("r").title, title);
    }
}

#[test]
fn there_is_a_dot_for_each_judgement_over_its_step() {
    let drawn = check_figure(&avoidability([0, 1, 1, 2, 1, 0]).draw("r"));
    let dots = with_class(&drawn, "rating-dot");
    assert_eq!(dots.len(), 5);
    let labels = with_class(&drawn, "rating-label");
    let probably = labels.iter().find(|label| label.text.starts_with("probably")).unwrap().num("x");
    assert_eq!(dots.iter().filter(|dot| (dot.num("cx") - probably).abs() < 0.02).count(), 2);
    assert_eq!(texts(&drawn, "rating-n"), ["n = 5"]);
    assert_eq!(texts(&drawn, "rating-count"), ["1", "1", "2", "1"]);
}

#[test]
fn the_diamond_stands_over_the_median_and_the_bracket_over_the_range() {
    let plot = Plot::of(&avoidability([0; 6]));
    for (counts, median, range) in [
        ([0, 1, 1, 2, 1, 0], plot.middle(3), Some((1, 4))),
        ([1, 0, 2, 0, 3, 0], plot.middle(3), Some((0, 4))),
        ([0, 0, 2, 2, 0, 0], f64::midpoint(plot.middle(2), plot.middle(3)), Some((2, 3))),
        ([0, 0, 4, 0, 0, 0], plot.middle(2), None),
    ] {
        let drawn = check_figure(&avoidability(counts).draw("r"));
        let between = texts(&drawn, "rating-word")[0].contains("between two steps");
        assert_eq!(between, [[1, 0, 2, 0, 3, 0], [0, 0, 2, 2, 0, 0]].contains(&counts));
        let diamond = points(with_class(&drawn, "rating-median")[0]);
        assert!((f64::midpoint(diamond[0].0, diamond[2].0) - median).abs() < 0.02, "{counts:?}");
        let ends = with_class(&drawn, "rating-range").first().map(|bracket| {
            let corners = points(bracket);
            (corners[1].0, corners[2].0)
        });
        match (ends, range) {
            (Some((from, to)), Some((first, last))) => {
                assert!((from - plot.middle(first)).abs() < 0.02 && (to - plot.middle(last)).abs() < 0.02);
            }
            (ends, range) => assert!(ends.is_none() && range.is_none(), "{counts:?}"),
        }
    }
}

#[test]
fn the_table_and_the_summary_say_the_same() {
    let figure = care([2, 1, 1]).draw("r");
    assert_eq!(figure.table.columns, ["Care", "Judgements (n = 4)", "Median"]);
    assert_eq!(column(&figure.table, "Median"), ["beside the median", "beside the median", ""]);
    assert_eq!(
        figure.summary,
        "Care, n = 4: “as most peers would” 2; “some peers differently” 1; “most peers differently” 1. Median: between \
         “as most peers would” and “some peers differently”. Range: from “as most peers would” to “most peers differently”."
    );
    let figure = care([1, 2, 0]).draw("r");
    assert_eq!(column(&figure.table, "Median"), ["", "median", ""]);
    assert_eq!(care([0, 1, 0]).draw("r").summary, "Care, n = 1: “some peers differently” 1.");
    assert!(care([0, 3, 0]).draw("r").summary.ends_with("Median: “some peers differently”. All agree."));
}

#[test]
fn very_many_are_columns_as_high_as_their_counts() {
    let drawn = check_figure(&avoidability([1, 30, 15, 0, 0, 0]).draw("r"));
    assert!(with_class(&drawn, "rating-dot").is_empty());
    let heights: Vec<f64> = with_class(&drawn, "rating-column").iter().map(|c| c.num("height")).collect();
    assert!((heights[1] - 2.0 * heights[2]).abs() < 0.02 && (heights[1] - 30.0 * heights[0]).abs() < 0.5);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_judgements_are_drawn_inside_without_overlapping_texts(
        scale in "\\PC{0,60}",
        steps in prop::collection::vec(("\\PC{0,60}", prop_oneof![4 => 0..9_u32, 1 => 0..60_u32, 1 => any::<u32>()]), 0..12),
    ) {
        let steps: Vec<RatingStep> = steps.into_iter().map(|(label, count)| RatingStep { label, count }).collect();
        let count = steps.len();
        let figure = RatingChart { scale, steps }.draw("r");
        let drawn = check_figure(&figure);
        prop_assert_eq!(figure.table.rows.len(), count);
        prop_assert!(with_class(&drawn, "rating-median").len() <= 1);
    }
}
