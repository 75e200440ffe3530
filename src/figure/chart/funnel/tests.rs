use proptest::prelude::*;

use super::examples::{self, funnel, unit};
use super::*;
use crate::figure::chart::control::tests::any::any_value;
use crate::figure::testing::{check_examples, check_figure, column, points, texts, with_class};

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |chart| chart.draw("c"));
}

#[test]
fn the_table_is_in_the_order_of_the_names_whatever_the_rates_are() {
    let figure = funnel(vec![unit(10, 300, 9), unit(2, 300, 0), unit(1, 300, 4)]).draw("c");
    assert_eq!(column(&figure.table, "Operator"), ["Operator 1", "Operator 2", "Operator 10"]);
    assert_eq!(column(&figure.table, "Counts"), ["4 of 300", "0 of 300", "9 of 300"]);
    assert_eq!(column(&figure.table, "Procedures at risk"), ["300", "300", "300"]);
    assert_eq!(column(&figure.table, "No-reflow per 1,000 procedures at risk"), ["13.3", "0", "30"]);
    assert_eq!(column(&figure.table, "Shrunken rate (interval)")[1], "3.90 (2.34 to 5.85)");
    assert_eq!(column(&figure.table, "Against the limits"), vec!["between the limits"; 3]);
}

#[test]
fn who_has_too_few_procedures_is_nowhere() {
    let mut units = vec![unit(1, 300, 4), unit(2, 49, 5), unit(3, 50, 0)];
    units[1].name = "Hidden one".to_owned();
    let figure = funnel(units).draw("c");
    check_figure(&figure);
    let everything = format!("{figure:?}");
    assert!(!everything.contains("Hidden one") && !everything.contains("5 of 49"));
    assert_eq!(column(&figure.table, "Operator"), ["Operator 1", "Operator 3"]);
    assert!(figure.summary.contains("1 with fewer than 50 is neither drawn nor listed."));
    // Nor does its rate stretch the axis.
    assert_eq!(check_figure(&figure).len(), {
        let without = funnel(vec![unit(1, 300, 4), unit(3, 50, 0)]).draw("c");
        check_figure(&without).len() + 1
    });
}

#[test]
fn each_dot_has_its_name_beside_it_and_a_ring_when_it_is_outside() {
    let drawn = check_figure(&funnel(vec![unit(1, 300, 2), unit(2, 305, 2), unit(3, 150, 6)]).draw("c"));
    let dots = with_class(&drawn, "chart-dot");
    assert_eq!(dots.len(), 3);
    for (dot, name) in dots.iter().zip(["Operator 1", "Operator 2", "Operator 3"]) {
        let label = with_class(&drawn, "point-text").into_iter().find(|text| text.text == name).unwrap();
        let away = (label.num("x") - dot.num("cx")).abs().max((label.num("y") - dot.num("cy")).abs());
        assert!(away < 60.0, "{name}: {away}");
    }
    let [ring] = with_class(&drawn, "signal-ring")[..] else { panic!("one ring") };
    assert!((ring.num("cx") - dots[2].num("cx")).abs() < 0.01);
}

#[test]
fn limits_stay_within_the_plot_and_are_named_at_their_ends() {
    let drawn = check_figure(&funnel(vec![unit(1, 300, 2), unit(2, 700, 5)]).draw("c"));
    let names = texts(&drawn, "limit-text");
    assert_eq!(names.iter().filter(|name| *name == "95 %").count(), 2);
    assert_eq!(names.iter().filter(|name| *name == "99.8 %").count(), 2);
    assert!(names.contains(&"the department, 7.8".to_owned()));
    let target = with_class(&drawn, "centre-line")[0];
    for class in ["funnel-inner", "funnel-outer"] {
        for curve in with_class(&drawn, class) {
            for (x, y) in points(curve) {
                assert!(x >= target.num("x1") - 1.01 && x <= target.num("x2") + 1.01);
                assert!((ABOVE - 0.02..=ABOVE + HEIGHT + 1.02).contains(&y));
            }
        }
    }
    // The outer limits lie outside the inner.
    let end = |class: &str| points(with_class(&drawn, class)[0]).last().unwrap().1;
    assert!(end("funnel-outer") < end("funnel-inner") && end("funnel-inner") < target.num("y1"));
}

#[test]
fn names_without_room_are_listed_beneath() {
    let crowd = (1..=60).map(|number| unit(number, 100, 1)).collect();
    let figure = funnel(crowd).draw("c");
    let drawn = check_figure(&figure);
    let written = texts(&drawn, "point-text").len();
    assert!(written > 0 && written < 60);
    assert!(figure.description.contains("Without room for the name: "));
    assert_eq!(figure.table.rows.len(), 60);
}

#[test]
fn no_verdict_is_passed() {
    let figure = funnel(vec![unit(4, 150, 6)]).draw("c");
    assert!(figure.description.contains("it is no verdict"));
    assert!(figure.summary.contains("Operator 4 is above the 99.8 % limit."));
    assert!(funnel(vec![unit(1, 300, 2)]).draw("c").summary.contains("None is outside the outer limits."));
}

#[test]
fn a_height_on_a_curve_lies_between_its_points() {
    let curve = [(10.0, 4.0), (20.0, 2.0), (20.0, 1.0), (30.0, 1.0)];
    assert_eq!(
        [5.0, 15.0, 25.0, 31.0].map(|size| curves::at(&curve, size)),
        [None, Some(3.0), Some(1.0), None]
    );
}

fn any_limit() -> impl Strategy<Value = FunnelLimit> {
    let curve = || prop::collection::vec((any_value(), any_value()), 0..12);
    ("\\PC{0,90}", curve(), curve()).prop_map(|(label, lower, upper)| FunnelLimit { label, lower, upper })
}

prop_compose! {
    fn any_unit()(
        name in "\\PC{0,40}",
        procedures in prop_oneof![0..400_u32, any::<u32>()],
        [rate, low, estimate, high] in prop::array::uniform4(any_value()),
        has_shrunken in any::<bool>(),
        [counts, standing] in prop::array::uniform2("\\PC{0,40}"),
        is_outside in any::<bool>(),
    ) -> FunnelUnit {
        let shrunken = has_shrunken.then_some(Interval { low, estimate, high });
        FunnelUnit { name, procedures, rate, counts, shrunken, standing, is_outside }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn any_funnel_is_sound(
        [title, unit, x_title, what, counted, target_label, source_rule] in prop::array::uniform7("\\PC{0,90}"),
        target in any_value(),
        limits in prop::collection::vec(any_limit(), 0..4),
        units in prop::collection::vec(any_unit(), 0..30),
        minimum in prop_oneof![0..200_u32, any::<u32>()],
    ) {
        let shown = units.iter().filter(|unit| unit.procedures >= minimum).count();
        let chart = FunnelChart { title, unit, x_title, what, counted, target, target_label, limits, units, minimum, source_rule };
        let figure = chart.draw("c");
        check_figure(&figure);
        prop_assert_eq!(figure.table.rows.len(), shown);
    }
}
