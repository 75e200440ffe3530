use proptest::prelude::*;

use super::examples::{chart, three, twice};
use super::*;
use crate::figure::testing::{check_examples, check_figure, column, texts, with_class};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |example| example.draw("v"));
}

#[test]
fn the_title_says_what_most_would_do() {
    for (now, title) in [
        ([11, 5, 3], "Eleven of nineteen would stop here"),
        (
            [1, 5, 3],
            "Five of nine chose “Re-enter with a second wire, guided by imaging from within the vessel”",
        ),
        ([0, 0, 19], "All nineteen would call the surgeon"),
        ([0, 0, 1], "The one vote is for “Call the surgeon”"),
        ([7, 0, 7], "A tie: “Stop here” and “Call the surgeon” have seven of fourteen votes each"),
        ([0, 0, 0], "Nobody has voted yet"),
        ([23, 2, 1], "23 of 26 would stop here"),
    ] {
        assert_eq!(three(now, [0; 3]).draw("v").title, title);
    }
    assert_eq!(VoteChart::default().draw("v").title, "Nobody has voted yet");
}

#[test]
fn the_title_of_two_rounds_says_what_changed() {
    for (now, before, title) in [
        ([11, 5, 3], [4, 2, 3], "Eleven of nineteen would stop here; four of nine before"),
        (
            [11, 5, 3],
            [1, 2, 6],
            "Eleven of nineteen would stop here; before, six of nine would call the surgeon",
        ),
        (
            [11, 5, 3],
            [3, 2, 3],
            "Eleven of nineteen would stop here; before, a tie of “Stop here” and “Call the surgeon”",
        ),
        ([11, 5, 3], [0, 0, 0], "Eleven of nineteen would stop here"),
        ([0, 0, 0], [2, 1, 0], "Nobody has voted yet; before, two of three would stop here"),
        (
            [2, 0, 2],
            [3, 0, 1],
            "A tie: “Stop here” and “Call the surgeon” have two of four votes each; before, three of four would stop here",
        ),
    ] {
        assert_eq!(twice(three(now, before)).draw("v").title, title);
    }
}

#[test]
fn shares_are_whole_percents_and_never_claim_none_or_all() {
    for (count, all, words) in [
        (11, 19, "58 %"),
        (1, 8, "13 %"),
        (1, 200, "1 %"),
        (1, 201, "under 1 %"),
        (199, 200, "over 99 %"),
        (0, 19, "0 %"),
        (19, 19, "100 %"),
        (u32::MAX, u64::from(u32::MAX) * 3, "33 %"),
    ] {
        assert_eq!(percent(count, all), words, "{count} of {all}");
    }
}

#[test]
fn below_ten_votes_there_are_counts_and_no_percentages() {
    let figure = three([4, 3, 2], [0; 3]).draw("v");
    let drawn = check_figure(&figure);
    assert_eq!(texts(&drawn, "vote-text"), ["4", "3", "2"]);
    assert_eq!(figure.table.columns, ["Option", "Votes (n = 9)"]);
    assert!(!figure.summary.contains('%') && !figure.svg.contains('%'));
    let figure = three([4, 4, 2], [0; 3]).draw("v");
    assert_eq!(texts(&check_figure(&figure), "vote-text"), ["4, 40 %", "4, 40 %", "2, 20 %"]);
    assert_eq!(column(&figure.table, "Share"), ["40 %", "40 %", "20 %"]);
    // Each time by its own votes.
    let figure = twice(three([4, 4, 2], [1, 2, 3])).draw("v");
    assert_eq!(
        figure.table.columns,
        ["Option", "Votes before (n = 6)", "Votes after (n = 10)", "Share after"]
    );
}

#[test]
fn a_bar_is_as_long_as_its_share_and_nothing_has_no_bar() {
    let drawn = check_figure(&three([10, 5, 0], [0; 3]).draw("v"));
    let widths: Vec<f64> = with_class(&drawn, "vote-bar").iter().map(|bar| bar.num("width")).collect();
    assert_eq!(widths.len(), 2);
    assert!((widths[0] - 2.0 * widths[1]).abs() < 0.02);
    let all = with_class(&drawn, "axis-text").iter().find(|tick| tick.text == "all").unwrap().num("x");
    assert!((widths[0] / (all - BARS) - 10.0 / 15.0).abs() < 1e-3);
}

#[test]
fn two_rounds_are_told_apart_by_form_and_word() {
    let drawn = check_figure(&twice(three([11, 5, 3], [4, 9, 5])).draw("v"));
    let bars = with_class(&drawn, "vote-bar");
    assert_eq!(bars.len(), 6);
    for (index, bar) in bars.iter().enumerate() {
        assert_eq!(bar.has_class("before"), index % 2 == 0);
        assert_eq!(bar.get("stroke").is_some(), index % 2 == 0);
    }
    assert_eq!(texts(&drawn, "vote-text")[..2], ["before: 4, 22 %", "after: 11, 58 %"]);
    assert_eq!(texts(&drawn, "axis-title"), ["18 votes before the discussion (outline), 19 after it (full)"]);
}

#[test]
fn what_was_chosen_is_marked_by_shape_and_word_and_only_when_told() {
    let mut shown = three([11, 5, 3], [0; 3]);
    let hidden = shown.draw("v");
    for text in [&hidden.svg, &hidden.summary, &hidden.description, &hidden.table.columns.join(" ")] {
        assert!(!text.contains("chosen") && !text.contains("In the case"));
    }
    shown.chosen = Some(1);
    let told = shown.draw("v");
    let drawn = check_figure(&told);
    assert_eq!(with_class(&drawn, "vote-chosen").len(), 1);
    assert_eq!(texts(&drawn, "vote-note"), ["chosen in the case"]);
    assert_eq!(column(&told.table, "In the case"), ["", "chosen in the case", ""]);
    assert!(told.summary.ends_with("from within the vessel” was chosen."));
    // What is no option is not marked.
    shown.chosen = Some(3);
    assert_eq!(shown.draw("v"), hidden);
}

#[test]
fn the_summary_has_every_count() {
    assert_eq!(
        twice(chart("What now?", &[("Stop", None, 2, 12), ("Go on", None, 1, 0)])).draw("v").summary,
        "What now? Before: 3 votes: Stop 2; Go on 1. After: 12 votes: Stop 12 (100 %); Go on 0 (0 %)."
    );
    assert_eq!(chart("What now", &[]).draw("v").summary, "What now. No votes.");
}

fn any_option() -> impl Strategy<Value = VoteOption> {
    let count = || prop_oneof![3 => 0..30_u32, 1 => any::<u32>()];
    ("\\PC{0,120}", prop::option::of("\\PC{0,20}"), count(), count())
        .prop_map(|(label, would, votes, before)| VoteOption { label, would, votes, before })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_answer_is_drawn_inside_without_overlapping_texts(
        question in "\\PC{0,90}",
        options in prop::collection::vec(any_option(), 0..9),
        between in prop::option::of("\\PC{0,90}"),
        chosen in prop::option::of(0..9_usize),
    ) {
        let asked = between.map_or(Asked::Once, Asked::BeforeAndAfter);
        let count = options.len();
        let figure = VoteChart { question, options, asked, chosen }.draw("v");
        check_figure(&figure);
        prop_assert_eq!(figure.table.rows.len(), count);
    }
}
