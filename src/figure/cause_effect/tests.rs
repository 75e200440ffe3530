use proptest::prelude::*;

use super::examples::{cause, class, usual};
use super::*;
use crate::figure::place::Area;
use crate::figure::testing::{Drawn, check_examples, check_figure, column, text_box, texts, with_class};
use CauseWeight::{Contributing, Incidental, Root};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |example| example.draw("c"));
}

fn titled(classes: Vec<CauseClass>) -> String {
    CauseEffect { effect: "Shock".to_owned(), classes }.draw("c").title
}

#[test]
fn the_title_counts_the_root_causes_and_says_where_they_are() {
    let with = |label: &str, roots: usize| class(label, vec![cause("A", Root, &[]); roots]);
    for (classes, title) in [
        (vec![], "No cause is named yet"),
        (vec![with("Task", 0)], "No cause is named yet"),
        (vec![with("Task", 1)], "One root cause, in task"),
        (vec![with("Thinking", 2)], "Two root causes, both in thinking"),
        (vec![with("Thinking", 3)], "Three root causes, all in thinking"),
        (vec![with("Task", 1), with("Thinking", 1)], "Two root causes, one in task and one in thinking"),
        (vec![with("A", 1), with("B", 1), with("C", 2), with("D", 1)], "Five root causes in four classes"),
        (
            vec![class("Team", vec![cause("A", Contributing, &[])])],
            "No root cause, one contributing cause, in team",
        ),
        (
            vec![class("Team", vec![cause("A", Incidental, &[]), cause("B", Incidental, &[])])],
            "No root cause, two incidental causes, both in team",
        ),
    ] {
        assert_eq!(titled(classes), title);
    }
}

#[test]
fn a_class_without_a_cause_has_no_rib() {
    let drawn = check_figure(&usual().draw("c"));
    assert_eq!(texts(&drawn, "cause-class"), ["Patient", "Task", "Thinking", "Team", "Place"]);
    assert_eq!(with_class(&drawn, "rib").len(), 5);
}

#[test]
fn ribs_alternate_above_and_below_the_spine_and_lead_towards_the_effect() {
    let drawn = check_figure(&usual().draw("c"));
    let spine = with_class(&drawn, "spine")[0].clone();
    let effect = with_class(&drawn, "effect")[0].clone();
    assert!(spine.num("x2") <= effect.num("x") && spine.num("x2") > effect.num("x") - 15.0);
    for (index, rib) in with_class(&drawn, "rib").into_iter().enumerate() {
        assert!((rib.num("y2") - spine.num("y1")).abs() < 0.02, "it meets the spine");
        assert_eq!(rib.num("y1") < spine.num("y1"), index % 2 == 0);
        assert!(rib.num("x1") < rib.num("x2"));
    }
}

#[test]
fn weight_is_told_by_shape_by_line_and_by_word() {
    let drawn = check_figure(&usual().draw("c"));
    let widths: Vec<f64> = ["root", "contributing", "incidental"]
        .iter()
        .map(|word| {
            let twig = with_class(&drawn, "twig").into_iter().find(|twig| twig.has_class(word)).unwrap();
            twig.num("stroke-width")
        })
        .collect();
    assert!(widths[0] > widths[1] && widths[1] > widths[2]);
    for mark in with_class(&drawn, "cause-mark") {
        assert_eq!(mark.name == "rect", mark.has_class("root"));
        assert_eq!(mark.get("stroke").is_some(), mark.has_class("incidental"));
    }
    let figure = usual().draw("c");
    assert_eq!(
        column(&figure.table, "Weight"),
        ["contributing", "root", "contributing", "root", "contributing", "incidental"]
    );
    let notes = texts(&drawn, "cause-note").join(" ");
    assert_eq!(notes.matches("root,").count(), 2, "{notes}");
    assert_eq!(notes.matches("no event shows this yet").count(), 2, "{notes}");
    assert!(notes.contains("root, events 4 and 7"), "{notes}");
}

#[test]
fn the_table_and_the_summary_say_the_same() {
    let figure = usual().draw("c");
    assert_eq!(figure.table.columns, ["Class", "Cause", "Weight", "Events"]);
    assert_eq!(figure.table.rows[1], ["Task", "No second plan prepared", "root", "4, 7"]);
    assert_eq!(figure.table.rows[5], ["Place", "Out of hours", "incidental", "no event shows this yet"]);
    assert!(figure.summary.starts_with(
        "Six causes of Vessel closure of the mid LAD, TIMI 0 for 14 min are named, in five classes. \
         Root: No second plan prepared (task; events 4 and 7); Carrying on"
    ));
    assert_eq!(CauseEffect::default().draw("c").summary, "No cause is named yet.");
}

#[test]
fn events_are_told_in_order_each_once_and_not_all_of_very_many() {
    let with = |events: &[u32]| words::events(&cause("A", Root, events));
    assert_eq!(with(&[7, 3, 7]), "events 3 and 7");
    assert_eq!(with(&[7]), "event 7");
    let many: Vec<u32> = (1..=9).collect();
    assert_eq!(with(&many), "events 1, 2, 3, 4, 5, 6 and 3 more");
    let figure =
        CauseEffect { effect: String::new(), classes: vec![class("A", vec![cause("B", Root, &many)])] };
    assert_eq!(figure.draw("c").table.rows[0][3], "1, 2, 3, 4, 5, 6, 7, 8, 9");
}

#[test]
fn nine_classes_have_their_leaves_whole() {
    for example in [examples::many(9, 18), examples::many(9, 60), usual()] {
        let drawn = check_figure(&example.draw("c"));
        assert!(texts(&drawn, "cause-text").iter().all(|text| !text.contains('…')));
        assert!(texts(&drawn, "cause-note").iter().all(|text| !text.contains('…')));
    }
}

/// A text that a rib runs through, or a twig that is not its own.
fn crossed(drawn: &[Drawn]) -> Option<String> {
    let lines: Vec<&Drawn> =
        drawn.iter().filter(|d| ["rib", "twig", "spine"].iter().any(|c| d.has_class(c))).collect();
    let texts = drawn.iter().filter(|d| d.name == "text");
    let mut found = texts.filter(|text| {
        let b = text_box(text);
        let area = Area(b.0, b.1, b.2, b.3);
        lines.iter().any(|l| area.clip(((l.num("x1"), l.num("y1")), (l.num("x2"), l.num("y2")))).is_some())
    });
    found.next().map(|text| text.text.clone())
}

fn any_cause() -> impl Strategy<Value = Cause> {
    let label = prop_oneof![3 => "[A-Za-z ,]{0,60}", 1 => "\\PC{0,90}"];
    let weight = prop::sample::select(CauseWeight::ALL.to_vec());
    (label, weight, prop::collection::vec(any::<u32>(), 0..12)).prop_map(|(label, weight, events)| Cause {
        label,
        weight,
        events,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_causes_are_drawn_inside_with_no_text_on_another_or_on_a_line(
        effect in "\\PC{0,120}",
        classes in prop::collection::vec(("\\PC{0,40}", prop::collection::vec(any_cause(), 0..14)), 0..14),
    ) {
        let classes: Vec<CauseClass> = classes.into_iter().map(|(label, causes)| CauseClass { label, causes }).collect();
        let count: usize = classes.iter().map(|class| class.causes.len()).sum();
        let figure = CauseEffect { effect, classes }.draw("c");
        let drawn = check_figure(&figure);
        prop_assert_eq!(crossed(&drawn), None);
        prop_assert_eq!(figure.table.rows.len(), count);
        prop_assert_eq!(with_class(&drawn, "cause-mark").len(), count);
    }
}
