//! Any timeline that there can be.

use proptest::prelude::*;

use super::*;

/// Any moment, with most of them close together.
fn any_moment() -> impl Strategy<Value = Offset> {
    prop_oneof![
        6 => -600_i64..5400,
        2 => -7200_i64..90_000,
        1 => -Offset::LIMIT..=Offset::LIMIT,
    ]
    .prop_map(|seconds| Offset::from_seconds(seconds).unwrap())
}

fn any_bounds(moment: Offset) -> impl Strategy<Value = Option<(Offset, Offset)>> {
    prop_oneof![
        2 => Just(None),
        1 => (1_i64..=240).prop_map(move |m| crate::quantity::Certainty::within(m).unwrap().bounds(moment)),
    ]
}

fn any_mark() -> impl Strategy<Value = Mark> {
    let family = prop::sample::select(MarkFamily::ALL.to_vec());
    any_moment().prop_flat_map(move |moment| {
        let parts = (
            1_u32..1000,
            any_bounds(moment),
            any::<bool>(),
            family.clone(),
            prop::option::of(0_usize..9),
            "\\PC{0,40}",
        );
        parts.prop_map(move |(number, bounds, order_only, family, lane, label)| Mark {
            number,
            at: moment,
            bounds,
            order_only,
            family,
            lane,
            label,
        })
    })
}

fn any_lane() -> impl Strategy<Value = Lane> {
    let sight = any_moment().prop_flat_map(|moment| {
        let flow = prop::option::of(prop::sample::select(TimiFlow::ALL.to_vec()));
        (flow, any_bounds(moment)).prop_map(move |(flow, bounds)| LaneSight { at: moment, flow, bounds })
    });
    ("[A-Za-z0-9 <&]{0,60}", 0_u8..3, prop::collection::vec(sight, 0..8))
        .prop_map(|(label, depth, sights)| Lane { label, depth, sights })
}

fn any_bracket() -> impl Strategy<Value = Bracket> {
    let moment = || prop::option::of(any_moment());
    let words = prop::option::of("[0-9a-z ()]{1,60}");
    ("[A-Za-z ]{0,90}", moment(), moment(), moment(), moment(), words).prop_map(
        |(label, began, recognised, responded, controlled, words)| Bracket {
            label,
            began,
            recognised,
            responded,
            controlled,
            to_recognition: words.clone(),
            to_response: words.clone(),
            to_control: words,
        },
    )
}

fn any_drawing() -> impl Strategy<Value = TimelineDrawing> {
    (
        "\\PC{0,80}",
        prop::collection::vec(any_lane(), 0..9),
        prop::collection::vec(any_mark(), 0..70),
        prop::collection::vec(any_bracket(), 0..8),
        prop::option::weighted(0.2, any_moment()),
    )
        .prop_map(|(title, lanes, marks, brackets, veil_from)| TimelineDrawing {
            title,
            lanes,
            marks,
            brackets,
            veil_from,
        })
}

/// A mark or the words of a bracket.
fn is_on_a_bracket(drawn: &Drawn) -> bool {
    ["bracket-dot", "bracket-response", "bracket-text"].iter().any(|class| drawn.has_class(class))
}

/// Left, top, right and bottom of what is drawn between straight lines.
fn bounding_box(drawn: &Drawn) -> (f64, f64, f64, f64) {
    points(drawn).iter().fold((f64::MAX, f64::MAX, f64::MIN, f64::MIN), |b, p| {
        (b.0.min(p.0), b.1.min(p.1), b.2.max(p.0), b.3.max(p.1))
    })
}

fn apart(a: (f64, f64, f64, f64), b: (f64, f64, f64, f64)) -> bool {
    a.0 >= b.2 || b.0 >= a.2 || a.1 >= b.3 || b.1 >= a.3
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn any_timeline_is_drawn_inside_its_view_box_without_overlapping_text(drawing in any_drawing()) {
        let figure = drawing.draw("t");
        let drawn = check(&figure.svg);
        prop_assert_eq!(overlapping_texts(&drawn), None);
        prop_assert!(figure.table.rows.iter().all(|row| row.len() == figure.table.columns.len()));
        // No triangle covers a ring, and nothing of a bracket lies on its words or another's.
        let boxes: Vec<_> = drawn.iter().filter(|d| is_on_a_bracket(d)).map(bounding_box).collect();
        for (index, a) in boxes.iter().enumerate() {
            for b in &boxes[..index] {
                prop_assert!(apart(*a, *b), "{:?} {:?}", a, b);
            }
        }
        let complications = drawing.known().brackets.len();
        prop_assert_eq!(figure.table.rows.len(), with_class(&drawn, "mark").len() + complications);
    }
}
