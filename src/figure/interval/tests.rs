use proptest::prelude::*;

use super::*;
use crate::figure::testing::{check, overlapping_texts, parse};

fn interval(low: f64, estimate: f64, high: f64) -> Interval {
    Interval { low, estimate, high }
}

fn row(label: &str, now: Option<Interval>, previous: Option<Interval>, counts: &str) -> RateRow {
    RateRow { label: label.to_owned(), now, previous, counts: counts.to_owned() }
}

fn chart() -> RateChart {
    RateChart {
        title: "Side-branch loss has not changed".to_owned(),
        unit: "per 1,000 procedures at risk, 95 % interval".to_owned(),
        rows: vec![
            row(
                "Wire-induced dissection",
                Some(interval(2.6, 4.9, 9.3)),
                Some(interval(1.5, 3.0, 6.4)),
                "9 of 1,840",
            ),
            row(
                "Side-branch loss after stenting of a bifurcation lesion",
                Some(interval(8.3, 17.0, 34.7)),
                None,
                "7 of 412",
            ),
            row("Device entrapment", Some(interval(0.0, 0.0, 2.1)), None, "0 of 1,840"),
            row("Access-site bleed", None, None, "June lacks its count"),
        ],
    }
}

#[test]
fn a_shared_scale_reaches_the_highest_limit_at_a_round_number() {
    for (high, top) in [(34.7, 40.0), (9.3, 10.0), (10.0, 10.0), (0.21, 0.25), (0.0, 1.0), (f64::NAN, 1.0)] {
        let found = shared_top(&[interval(0.0, 0.0, high)]);
        assert!((found - top).abs() < 1e-9, "{high}: {found}");
    }
    assert!((shared_top([]) - 1.0).abs() < 1e-9);
}

#[test]
fn one_wide_interval_does_not_press_the_others_against_zero() {
    let narrow = interval(0.1, 0.8, 4.3);
    let wide = interval(3.5, 19.6, 103.0);
    let top = readable_top(&[narrow, narrow, narrow, wide]);
    // Six times 4.3 is 25.8, and the highest estimate is below that.
    assert!((top - 30.0).abs() < 1e-9, "{top}");
    // Every estimate is on the scale, whatever the limits are.
    assert!((readable_top(&[narrow, narrow, narrow, interval(50.0, 90.0, 140.0)]) - 100.0).abs() < 1e-9);
    // Intervals that are alike are held whole.
    for alike in [vec![], vec![wide], vec![narrow, narrow], vec![narrow, interval(1.0, 5.0, 12.0)]] {
        assert!((readable_top(&alike) - shared_top(&alike)).abs() < 1e-9, "{alike:?}");
    }
}

#[test]
fn an_interval_that_goes_on_beyond_the_scale_ends_in_an_arrow() {
    let wide = interval(3.5, 19.6, 103.0);
    let path = |top: f64| {
        let drawn = check(&inline_bar("r1", Some(&wide), Some(&wide), top, "wide"));
        let of =
            |class: &str| drawn.iter().find(|d| d.has_class(class)).unwrap().get("d").unwrap().to_owned();
        (of("interval-bar"), of("interval-previous-estimate"))
    };
    let ((whole, whole_before), (cut, cut_before)) = (path(150.0), path(30.0));
    // An arrow has a point in the middle: one line more than an end.
    assert_eq!(cut.matches('L').count(), whole.matches('L').count() + 1, "{cut} {whole}");
    assert_eq!(cut_before.matches('L').count(), whole_before.matches('L').count() + 2, "{cut_before}");
}

#[test]
fn a_bar_stands_where_the_scale_has_it() {
    let svg = inline_bar(
        "r1",
        Some(&interval(10.0, 20.0, 30.0)),
        Some(&interval(0.0, 10.0, 40.0)),
        40.0,
        "20 per 1,000",
    );
    let drawn = check(&svg);
    let dot = drawn.iter().find(|d| d.has_class("interval-dot")).unwrap();
    assert!((dot.num("cx") - 120.0).abs() < 0.01);
    let previous = drawn.iter().find(|d| d.has_class("interval-previous")).unwrap();
    assert!((previous.num("x1") - 8.0).abs() < 0.01 && (previous.num("x2") - 232.0).abs() < 0.01);
    assert_eq!(drawn[1].text, "20 per 1,000");
}

#[test]
fn a_row_without_a_rate_has_no_bar() {
    let drawn = parse(&inline_bar("r1", None, None, 40.0, "no rate"));
    assert!(!drawn.iter().any(|d| d.has_class("interval-bar") || d.has_class("interval-dot")));
}

#[test]
fn no_event_is_an_open_dot_and_an_event_a_full_one() {
    let drawn = check(&chart().draw("c").svg);
    let open: Vec<bool> =
        drawn.iter().filter(|d| d.has_class("interval-dot")).map(|d| d.has_class("none")).collect();
    assert_eq!(open, [false, false, true]);
}

#[test]
fn the_chart_says_in_its_table_and_words_what_it_draws() {
    let figure = chart().draw("c");
    assert_eq!(overlapping_texts(&check(&figure.svg)), None);
    assert_eq!(
        figure.table.rows[0],
        ["Wire-induced dissection", "9 of 1,840", "4.9 (2.6 to 9.3)", "3.0 (1.5 to 6.4)"]
    );
    assert_eq!(figure.table.rows[3], ["Access-site bleed", "June lacks its count", "no rate", "no rate"]);
    assert!(figure.summary.contains("Access-site bleed: no rate, June lacks its count."));
    assert!(figure.svg.contains("no rate"));
}

fn any_interval() -> impl Strategy<Value = Interval> {
    (any::<f64>(), any::<f64>(), any::<f64>()).prop_map(|(a, b, c)| interval(a, b, c))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 80, ..ProptestConfig::default() })]

    #[test]
    fn any_numbers_are_drawn_inside_the_view_box(
        rows in prop::collection::vec(("\\PC{0,90}", prop::option::of(any_interval()), prop::option::of(any_interval()), "\\PC{0,40}"), 0..12),
        top in any::<f64>(),
    ) {
        let rows: Vec<RateRow> = rows.iter().map(|(label, now, previous, counts)| row(label, *now, *previous, counts)).collect();
        for found in &rows {
            check(&inline_bar("r", found.now.as_ref(), found.previous.as_ref(), top, &found.label));
        }
        check(&RateChart { title: String::new(), unit: String::new(), rows }.draw("c").svg);
    }
}

#[test]
fn rates_for_a_room_are_narrower_and_as_sound() {
    let drawn = chart().draw_for(Distance::Room, "room");
    assert!(drawn.svg.contains("viewBox=\"0 0 600 "), "{}", &drawn.svg[..200]);
    assert_eq!(overlapping_texts(&check(&drawn.svg)), None);
}
