use proptest::prelude::*;

use super::*;
use crate::figure::testing::{check, overlapping_texts, points};

fn node(label: &str, vessel: &str, began: &str) -> ChainNode {
    ChainNode {
        label: label.to_owned(),
        vessel: (!vessel.is_empty()).then(|| vessel.to_owned()),
        began: began.parse().ok(),
    }
}

fn nodes() -> Vec<ChainNode> {
    vec![
        node("Wire dissection, type D", "mid LAD", "9:30"),
        node("Vessel closure, TIMI 0", "mid LAD", "12:30"),
        node("Side-branch loss after stenting of the main vessel", "first diagonal", "46"),
        node("Cardiogenic shock", "", "18"),
        node("Contrast-related kidney injury", "", "2 d"),
        node("Late effusion", "", ""),
    ]
}

fn chain(count: usize, edges: &[(usize, usize)]) -> Chain {
    Chain {
        title: "One harm led to another".to_owned(),
        nodes: nodes()[..count].to_vec(),
        edges: edges.to_vec(),
    }
}

fn columns(chain: &Chain) -> Vec<f64> {
    let mut xs: Vec<f64> =
        check(&chain.draw("c").svg).iter().filter(|d| d.has_class("node")).map(|d| d.num("x")).collect();
    xs.sort_by(f64::total_cmp);
    xs.dedup();
    xs
}

#[test]
fn a_chain_of_three_runs_from_left_to_right_in_three_columns() {
    let chain = chain(3, &[(0, 1), (1, 2)]);
    assert_eq!(columns(&chain).len(), 3);
    assert_eq!(
        chain.draw("c").summary,
        "Wire dissection, type D led to Vessel closure, TIMI 0. Vessel closure, TIMI 0 led to Side-branch loss after \
         stenting of the main vessel."
    );
}

#[test]
fn a_long_chain_runs_from_top_to_bottom() {
    assert_eq!(columns(&chain(6, &[(0, 1), (1, 2), (2, 3), (3, 4), (4, 5)])).len(), 1);
}

#[test]
fn the_table_names_what_each_led_to() {
    let table = chain(4, &[(0, 1), (1, 2), (1, 3)]).draw("c").table;
    assert_eq!(table.rows[0], ["Wire dissection, type D", "mid LAD", "+9:30", "Vessel closure, TIMI 0"]);
    assert_eq!(table.rows[1][3], "Side-branch loss after stenting of the main vessel; Cardiogenic shock");
    assert_eq!(table.rows[3][1], "");
}

#[test]
fn an_edge_that_passes_over_a_node_goes_round_it() {
    let chain = chain(3, &[(0, 1), (1, 2), (0, 2)]);
    let drawn = check(&chain.draw("c").svg);
    let highest =
        drawn.iter().filter(|d| d.has_class("edge")).flat_map(points).map(|p| p.1).fold(f64::MAX, f64::min);
    let nodes_top = drawn.iter().filter(|d| d.has_class("node")).map(|d| d.num("y")).fold(f64::MAX, f64::min);
    assert!(highest < nodes_top - 10.0);
}

#[test]
fn what_is_no_edge_and_what_goes_in_circles_is_drawn_without_fault() {
    for edges in
        [&[(0, 0)][..], &[(0, 9), (9, 0)], &[(0, 1), (1, 0)], &[(0, 1), (1, 2), (2, 0)], &[(0, 1), (0, 1)]]
    {
        check(&chain(3, edges).draw("c").svg);
    }
    check(&Chain::default().draw("c").svg);
    assert_eq!(Chain::default().draw("c").summary, "No complication is recorded yet.");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_forest_is_drawn_inside_without_overlapping_text(
        labels in prop::collection::vec("[A-Za-z <&]{0,90}", 0..9),
        parents in prop::collection::vec(prop::option::of(0_usize..9), 9),
    ) {
        // Each complication follows from at most one that was recorded before it.
        let edges = (0..labels.len())
            .filter_map(|node| parents[node].filter(|&parent| parent < node).map(|parent| (parent, node)))
            .collect();
        let nodes = labels.iter().map(|label| node(label, "mid LAD", "12:30")).collect();
        let drawn = check(&Chain { title: String::new(), nodes, edges }.draw("c").svg);
        prop_assert_eq!(overlapping_texts(&drawn), None);
    }
}

#[test]
fn a_chain_for_a_room_is_narrower_and_as_sound() {
    for chain in [chain(3, &[(0, 1), (1, 2)]), chain(5, &[(0, 1), (1, 2), (2, 3), (3, 4)])] {
        let drawn = chain.draw_for(Distance::Room, "room");
        assert!(drawn.svg.contains("viewBox=\"0 0 600 "), "{}", &drawn.svg[..200]);
        assert_eq!(overlapping_texts(&check(&drawn.svg)), None);
    }
}
