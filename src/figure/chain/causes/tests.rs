use proptest::prelude::*;

use super::*;
use crate::figure::chain::ChainNode;
use crate::figure::place::Area;
use crate::figure::testing::{
    Drawn, check, check_examples, check_figure, points, text_box, texts, with_class,
};
use CauseWeight::{Contributing, Incidental, Root};

fn node(label: &str, vessel: &str, began: &str) -> ChainNode {
    ChainNode {
        label: label.to_owned(),
        vessel: (!vessel.is_empty()).then(|| vessel.to_owned()),
        began: began.parse().ok(),
    }
}

fn chain(count: usize, edges: &[(usize, usize)]) -> Chain {
    let nodes = [
        node("Wire dissection, type D", "mid LAD", "9:30"),
        node("Vessel closure, TIMI 0", "mid LAD", "12:30"),
        node("Side-branch loss after stenting of the main vessel", "first diagonal", "46"),
        node("Cardiogenic shock", "", "18"),
        node("Contrast-related kidney injury", "", "2 d"),
        node("Late effusion", "", ""),
    ];
    Chain {
        title: "One harm led to another".to_owned(),
        nodes: nodes[..count].to_vec(),
        edges: edges.to_vec(),
    }
}

fn cause(label: &str, weight: CauseWeight, harm: Option<usize>) -> ChainCause {
    ChainCause { label: label.to_owned(), weight, harm }
}

fn causes() -> Vec<ChainCause> {
    vec![
        cause("View or result missing at the decision", Contributing, Some(0)),
        cause("Stiffer tools, same strategy", Root, Some(0)),
        cause("Help called late", Contributing, Some(1)),
        cause("No pause before a risky step", Root, Some(2)),
        cause("Out of hours", Incidental, None),
    ]
}

const LINE: [(usize, usize); 5] = [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5)];

#[test]
fn every_example_is_sound_and_always_the_same() {
    let examples = vec![
        ("three", chain(3, &[(0, 1), (1, 2)])),
        ("branching", chain(4, &[(0, 1), (1, 2), (1, 3), (0, 3)])),
        ("passing", chain(4, &[(0, 1), (1, 2), (2, 3), (0, 2), (0, 3)])),
        ("long", chain(6, &[LINE.as_slice(), &[(0, 2), (1, 4)]].concat())),
        ("apart", chain(3, &[])),
        ("empty", Chain::default()),
    ];
    check_examples(examples, |example| example.draw_with_causes("c", &causes()));
}

#[test]
fn without_causes_the_drawing_stays_as_it_is() {
    for (count, edges) in
        [(0, &[][..]), (3, &[(0, 1), (1, 2), (0, 2)]), (6, &LINE), (4, &[(0, 1), (1, 2), (1, 3)])]
    {
        let chain = chain(count, edges);
        assert_eq!(chain.draw_with_causes("c", &[]), chain.draw("c"));
    }
}

#[test]
fn causes_stand_above_their_harm_in_a_short_chain_and_to_its_left_in_a_long_one() {
    let short = check_figure(&chain(3, &[(0, 1), (1, 2)]).draw_with_causes("c", &causes()));
    let boxes = with_class(&short, "node");
    let help =
        with_class(&short, "cause-text").into_iter().find(|text| text.text == "Help called late").unwrap();
    assert!(help.num("y") < boxes[1].num("y"));
    assert!((boxes[1].num("x")..boxes[1].num("x") + boxes[1].num("width")).contains(&help.num("x")));

    let long = check_figure(&chain(6, &LINE).draw_with_causes("c", &causes()));
    let boxes = with_class(&long, "node");
    let help =
        with_class(&long, "cause-text").into_iter().find(|text| text.text == "Help called late").unwrap();
    assert!(help.num("x") < boxes[1].num("x"));
    assert!((boxes[1].num("y")..boxes[1].num("y") + boxes[1].num("height")).contains(&help.num("y")));
}

#[test]
fn a_thin_line_leads_into_each_harm_that_has_a_cause() {
    let drawn = check_figure(&chain(4, &[(0, 1), (1, 2), (1, 3)]).draw_with_causes("c", &causes()));
    let boxes = with_class(&drawn, "node");
    let stems = with_class(&drawn, "cause-stem");
    assert_eq!(stems.len(), 3);
    for (stem, node) in stems.iter().zip(&boxes) {
        let (x, y) = *points(stem).last().unwrap();
        assert!((node.num("y") - y - 5.0).abs() < 0.02 && x > node.num("x"));
    }
    assert_eq!(with_class(&drawn, "cause-stem-head").len(), 3);
}

#[test]
fn each_cause_has_the_mark_and_the_word_of_its_weight_and_the_heavier_comes_first() {
    let drawn = check_figure(&chain(3, &[(0, 1), (1, 2)]).draw_with_causes("c", &causes()));
    assert_eq!(with_class(&drawn, "cause-mark").len(), 5);
    assert_eq!(texts(&drawn, "cause-note"), ["root", "contributing", "contributing", "root", "incidental"]);
    assert_eq!(texts(&drawn, "cause-head"), ["Not tied to one harm"]);
}

#[test]
fn the_table_and_the_summary_name_the_causes() {
    let figure = chain(3, &[(0, 1)]).draw_with_causes("c", &causes());
    assert_eq!(figure.table.columns, ["Complication", "Vessel", "Began", "Led to", "Causes"]);
    assert_eq!(
        figure.table.rows[0][4],
        "Stiffer tools, same strategy (root); View or result missing at the decision (contributing)"
    );
    assert_eq!(figure.table.rows[3], ["Not tied to one harm", "", "", "", "Out of hours (incidental)"]);
    assert!(figure.summary.starts_with("Wire dissection, type D led to Vessel closure, TIMI 0."));
    assert!(figure.summary.contains("Causes of Vessel closure, TIMI 0: Help called late (contributing)."));
    assert!(figure.summary.ends_with("Not tied to one harm: Out of hours (incidental)."));
    // An index of no complication is tied to none.
    let figure = chain(1, &[]).draw_with_causes("c", &[cause("Fatigue", Root, Some(7))]);
    assert_eq!(figure.table.rows[1][4], "Fatigue (root)");
}

/// A cause on which something else lies: a box, or an arrow in straight lines.
fn covered(drawn: &[Drawn]) -> Option<String> {
    let boxes: Vec<Area> = with_class(drawn, "node")
        .iter()
        .map(|d| Area(d.num("x"), d.num("y"), d.num("x") + d.num("width"), d.num("y") + d.num("height")))
        .collect();
    let edges: Vec<Vec<(f64, f64)>> = with_class(drawn, "edge").into_iter().map(points).collect();
    let of_causes = |d: &&Drawn| d.has_class("cause-text") || d.has_class("cause-note");
    let mut found = drawn.iter().filter(of_causes).filter(|text| {
        let b = text_box(text);
        let area = Area(b.0, b.1, b.2, b.3);
        let on_box = boxes.iter().any(|o| o.0 < b.2 && b.0 < o.2 && o.1 < b.3 && b.1 < o.3);
        // A curve stays within the hull of its points, so the lines between them will do.
        on_box || edges.iter().any(|edge| edge.windows(2).any(|ends| area.clip((ends[0], ends[1])).is_some()))
    });
    found.next().map(|text| text.text.clone())
}

#[test]
fn arrows_that_pass_a_harm_go_round_it_and_its_causes() {
    for (count, edges) in [
        (3, &[(0, 1), (1, 2), (0, 2)][..]),
        (4, &[(0, 1), (1, 2), (2, 3), (0, 3), (1, 3)]),
        (6, &[(0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (0, 5), (1, 3)]),
    ] {
        let many: Vec<ChainCause> =
            (0..count).flat_map(|harm| vec![cause("Help called late", Root, Some(harm)); 3]).collect();
        let drawn = check_figure(&chain(count, edges).draw_with_causes("c", &many));
        assert_eq!(covered(&drawn), None);
        assert_eq!(with_class(&drawn, "edge").len(), edges.len());
    }
}

fn any_cause() -> impl Strategy<Value = ChainCause> {
    let weight = prop::sample::select(CauseWeight::ALL.to_vec());
    ("\\PC{0,70}", weight, prop::option::weighted(0.9, 0..10_usize))
        .prop_map(|(label, weight, harm)| ChainCause { label, weight, harm })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_forest_with_causes_is_drawn_inside_without_overlapping_text(
        labels in prop::collection::vec("[A-Za-z <&]{0,90}", 0..9),
        parents in prop::collection::vec(prop::option::of(0_usize..9), 9),
        causes in prop::collection::vec(any_cause(), 0..30),
    ) {
        let edges = (0..labels.len())
            .filter_map(|node| parents[node].filter(|&parent| parent < node).map(|parent| (parent, node)))
            .collect();
        let nodes = labels.iter().map(|label| node(label, "mid LAD", "12:30")).collect();
        let drawn = check_figure(&Chain { title: String::new(), nodes, edges }.draw_with_causes("c", &causes));
        prop_assert_eq!(covered(&drawn), None);
        prop_assert_eq!(with_class(&drawn, "cause-mark").len(), causes.len());
    }

    #[test]
    fn any_edges_leave_the_causes_readable(
        count in 0_usize..9,
        edges in prop::collection::vec((0_usize..9, 0_usize..9), 0..20),
        causes in prop::collection::vec(any_cause(), 1..30),
    ) {
        let nodes = (0..count).map(|_| node("Vessel closure", "mid LAD", "12:30")).collect();
        let drawn = check(&Chain { title: String::new(), nodes, edges }.draw_with_causes("c", &causes).svg);
        prop_assert_eq!(covered(&drawn), None);
    }
}
