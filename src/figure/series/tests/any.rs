use proptest::prelude::*;

use super::*;

fn any_offset() -> impl Strategy<Value = Offset> {
    (-Offset::LIMIT..=Offset::LIMIT).prop_map(|seconds| Offset::from_seconds(seconds).unwrap())
}

fn any_value() -> impl Strategy<Value = f64> {
    prop_oneof![4 => 0.0..2000.0, 1 => any::<f64>(), 1 => Just(0.0), 1 => -5.0..5.0]
}

fn any_point() -> impl Strategy<Value = SeriesPoint> {
    (any::<u32>(), any_offset(), prop::option::of(any_offset()), any_value(), "\\PC{0,20}", "\\PC{0,20}")
        .prop_map(|(number, at, returned, value, written, note)| SeriesPoint {
            number,
            at,
            returned,
            value,
            written,
            note,
        })
}

fn any_limit() -> impl Strategy<Value = SeriesLimit> {
    let times = (prop::option::of(any_offset()), prop::option::of(any_offset()));
    ("\\PC{0,90}", any_value(), "\\PC{0,60}", times)
        .prop_map(|(label, value, written, (from, until))| SeriesLimit { label, value, written, from, until })
}

prop_compose! {
    fn any_chart()(
        (title, quantity, unit, source) in ("\\PC{0,30}", "\\PC{0,90}", "\\PC{0,90}", "\\PC{0,30}"),
        points in prop::collection::vec(any_point(), 0..30),
        limits in prop::collection::vec(any_limit(), 0..16),
        spans in prop::collection::vec(("\\PC{0,60}", any_offset(), any_offset()), 0..8),
    ) -> SeriesChart {
        let spans = spans.into_iter().map(|(label, from, to)| SeriesSpan { label, from, to }).collect();
        SeriesChart { title, quantity, unit, points, limits, spans, source }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_series_is_drawn_inside_its_view_box_without_overlapping_texts(chart in any_chart()) {
        let figure = chart.draw("s");
        prop_assert_eq!(overlapping_texts(&check(&figure.svg)), None);
        prop_assert_eq!(figure.table.rows.len(), chart.points.len());
        prop_assert!(figure.table.rows.iter().all(|row| row.len() == figure.table.columns.len()));
    }

    #[test]
    fn a_higher_value_never_stands_lower_against_the_limits(
        low in 0.0..100.0_f64, more in 0.01..50.0_f64, limits in prop::collection::vec(0.0..150.0_f64, 1..6),
    ) {
        let mut series = chart("Lactate", "mmol/L", &[(1.0, low), (2.0, low + more)]);
        series.limits = limits.iter().map(|value| limit(&format!("L{value}"), *value, "", None)).collect();
        let reached = |words: &str| {
            let first = words.split(", ").next().unwrap();
            let name = first.strip_prefix("above L").or_else(|| first.strip_prefix("at L"))?;
            // A name without a unit goes before its value, which is written with a space.
            name.split(' ').next()?.parse::<f64>().ok()
        };
        let words = column(&series, "Against the limits");
        prop_assert!(reached(&words[0]) <= reached(&words[1]), "{:?}", words);
    }
}
