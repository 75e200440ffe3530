use proptest::prelude::*;

use super::*;

/// Any value: mostly a plausible one.
pub(in crate::figure::chart) fn any_value() -> impl Strategy<Value = f64> {
    prop_oneof![6 => 0.0..60.0, 1 => any::<f64>(), 1 => Just(0.0), 1 => 0.0..1e6]
}

pub(in crate::figure::chart) fn any_name() -> impl Strategy<Value = SlotName> {
    let wild = ("\\PC{0,30}", "\\PC{0,40}", "\\PC{0,40}");
    prop_oneof![
        (2000..2040_i32, 0..14_u8).prop_map(|(year, month)| SlotName::month(year, month)),
        wild.prop_map(|(whole, short, group)| SlotName { whole, short, group }),
        "[0-9]{1,4}".prop_map(|short| SlotName { whole: short.clone(), short, group: String::new() }),
    ]
}

pub(in crate::figure::chart) fn any_action() -> impl Strategy<Value = Marker> {
    let at = prop_oneof![8 => -2.0..60.0_f64, 1 => any::<f64>()];
    (at, any::<u32>(), "\\PC{0,60}").prop_map(|(at, number, label)| Marker { at, number, label })
}

prop_compose! {
    fn any_slot()(
        name in any_name(),
        [value, centre, lower, upper] in prop::array::uniform4(prop::option::of(any_value())),
        counts in "\\PC{0,30}",
    ) -> Slot {
        Slot { name, value, centre, lower, upper, counts }
    }
}

prop_compose! {
    fn any_signal()(slots in prop::collection::vec(0..60_usize, 0..9), number in any::<u32>(), words in "\\PC{0,120}") -> Signal {
        Signal { slots, number, words }
    }
}

prop_compose! {
    fn any_chart()(
        [title, unit, x_title, counted, centre_label, upper_label, lower_label, source_rule] in prop::array::uniform8("\\PC{0,90}"),
        points in prop::collection::vec(any_slot(), 0..60),
        baseline in prop::option::of((0..70_usize, 0..70_usize, "\\PC{0,90}")),
        actions in prop::collection::vec(any_action(), 0..12),
        band in prop::option::of((any_value(), any_value(), "\\PC{0,90}")),
        signals in prop::collection::vec(any_signal(), 0..12),
    ) -> ControlChart {
        ControlChart {
            title, unit, x_title, counted, points, centre_label, upper_label, lower_label, actions, signals, source_rule,
            baseline: baseline.map(|(from, to, label)| Baseline { from, to, label }),
            band: band.map(|(low, high, label)| Band { low, high, label }),
        }
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

    #[test]
    fn a_higher_value_never_stands_lower(values in prop::collection::vec(0.0..100.0_f64, 2..40)) {
        let slots = months(values.len()).into_iter().zip(&values);
        let chart = chart(slots.map(|(name, value)| Slot { value: Some(*value), ..none(name, "") }).collect());
        let drawn = drawn(&chart);
        let mut heights: Vec<(f64, f64)> = with_class(&drawn, "chart-dot").iter().map(|dot| (dot.num("cx"), dot.num("cy"))).collect();
        heights.sort_by(|a, b| a.0.total_cmp(&b.0));
        // Values beyond the scale are no dots; then which dot has which value is not known.
        if heights.len() == values.len() {
            for (a, b) in (0..values.len()).flat_map(|a| (0..a).map(move |b| (a, b))) {
                prop_assert!(values[a] <= values[b] || heights[a].1 <= heights[b].1 + 0.01);
            }
        } else {
            prop_assert!(heights.len() + (values.len() / 20).max(1) >= values.len());
        }
    }
}
