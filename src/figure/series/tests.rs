use super::examples::{at, chart, creatinine, crowd, haemoglobin, limit, platelets, span, troponin, ugly};
use super::*;
use crate::figure::testing;
use crate::figure::testing::{Drawn, check, overlapping_texts, points, text_box, texts, with_class};

mod any;
mod words;

fn drawn(chart: &SeriesChart) -> Vec<Drawn> {
    check(&chart.draw("s").svg)
}

fn column(chart: &SeriesChart, name: &str) -> Vec<String> {
    testing::column(&chart.draw("s").table, name)
}

fn examples() -> Vec<SeriesChart> {
    let empty = chart("Lactate", "mmol/L", &[]);
    let one = chart("Lactate", "mmol/L", &[(1.0, 4.2)]);
    let mut zero = chart("CK-MB", "µg/L", &[(-1.0, 0.0), (4.0, 0.0)]);
    zero.limits =
        vec![limit("upper limit", 5.0, "µg/L", None), limit("5 × the upper limit", 25.0, "µg/L", None)];
    let same = chart("Sodium", "mmol/L", &[(-1.0, 139.0), (4.0, 139.0), (8.0, 139.0)]);
    let no_number = chart("Lactate", "mmol/L", &[(1.0, f64::NAN), (2.0, f64::INFINITY)]);
    let signed = chart("Base excess", "mmol/L", &[(-0.1, -1.0), (0.2, -8.5), (0.5, -6.0), (1.5, 0.2)]);
    let (si, us) = (creatinine("µmol/L"), creatinine("mg/dL"));
    vec![
        troponin(),
        si,
        us,
        haemoglobin(),
        platelets(),
        crowd(),
        ugly(),
        empty,
        one,
        zero,
        same,
        no_number,
        signed,
    ]
}

#[test]
fn every_example_is_well_formed_inside_its_view_box_and_without_overlapping_texts() {
    for chart in examples() {
        assert_eq!(overlapping_texts(&drawn(&chart)), None, "{}", chart.title);
    }
}

#[test]
fn the_same_series_gives_the_same_drawing() {
    for chart in examples() {
        assert_eq!(chart.draw("s"), chart.draw("s"));
    }
}

#[test]
fn a_series_of_usual_length_is_low() {
    let root = &drawn(&troponin())[0];
    assert_eq!(root.get("viewBox"), Some("0 0 960 268"));
    assert!(root.has_class("fig-wide"));
}

#[test]
fn a_wide_range_has_a_log_scale_and_says_so() {
    let figure = troponin().draw("s");
    assert!(texts(&check(&figure.svg), "axis-title").contains(&"Troponin T, ng/L (log scale)".to_owned()));
    assert!(figure.description.contains("On the log scale"));
    assert!(!creatinine("µmol/L").draw("s").svg.contains("log scale"));
}

#[test]
fn an_axis_that_does_not_begin_at_0_says_so() {
    let figure = haemoglobin().draw("s");
    assert!(
        texts(&check(&figure.svg), "axis-title")
            .contains(&"Haemoglobin, g/dL (the axis begins at 8)".to_owned())
    );
    assert!(figure.description.contains("begins at 8, not at 0"));
}

#[test]
fn a_limit_far_above_the_values_is_told_and_not_drawn() {
    let mut series = chart("Troponin T", "ng/L", &[(3.0, 5.0), (6.0, 9.0)]);
    series.limits = vec![
        limit("the 99th percentile", 14.0, "ng/L", None),
        limit("5 × the 99th percentile", 70.0, "ng/L", None),
    ];
    let figure = series.draw("s");
    let drawn = check(&figure.svg);
    assert_eq!(with_class(&drawn, "limit-line").len(), 1);
    assert!(
        texts(&drawn, "limit-text")
            .contains(&"Above the scale: 5 × the 99th percentile, 70 ng/L.".to_owned())
    );
    assert!(figure.description.contains("Above the scale: 5 × the 99th percentile, 70 ng/L."));
}

#[test]
fn a_limit_stops_where_it_no_longer_counts() {
    let series = creatinine("µmol/L");
    let drawn = drawn(&series);
    // The third value was drawn at 48 h, until which the lowest limit counts.
    let dot = with_class(&drawn, "interval-dot")[2].num("cx");
    let lines = with_class(&drawn, "limit-line");
    let lowest = lines.iter().max_by(|a, b| a.num("y1").total_cmp(&b.num("y1"))).unwrap();
    assert!((lowest.num("x2") - dot).abs() < 0.01);
    assert_eq!(lines.iter().filter(|line| line.num("x2") > dot + 100.0).count(), 3);
}

#[test]
fn a_value_above_a_limit_is_drawn_above_its_line() {
    for series in [troponin(), creatinine("mg/dL"), haemoglobin()] {
        let drawn = drawn(&series);
        let mut lines: Vec<f64> =
            with_class(&drawn, "limit-line").iter().map(|line| line.num("y1")).collect();
        lines.sort_by(f64::total_cmp);
        let mut limits: Vec<f64> = series.limits.iter().map(|limit| limit.value).collect();
        limits.sort_by(|a, b| b.total_cmp(a));
        for (dot, point) in with_class(&drawn, "interval-dot").iter().zip(&series.points) {
            let over = lines.iter().filter(|y| dot.num("cy") < **y).count();
            assert_eq!(over, limits.iter().filter(|limit| point.value > **limit).count(), "{point:?}");
        }
    }
}

#[test]
fn names_of_limits_that_lie_on_one_another_do_not_overlap() {
    let mut series = chart("Lactate", "mmol/L", &[(1.0, 2.0), (4.0, 3.0)]);
    series.limits = (1..=14).map(|number| limit(&format!("limit {number}"), 2.5, "mmol/L", None)).collect();
    let drawn = drawn(&series);
    assert_eq!(overlapping_texts(&drawn), None);
    let names = texts(&drawn, "limit-text");
    assert_eq!(names.iter().filter(|name| name.ends_with(", 2.5 mmol/L")).count(), 11);
    assert!(
        names.contains(
            &"Not drawn, for want of room: limit 12, 2.5 mmol/L; limit 13, 2.5 mmol/L; limit 14, 2.5 mmol/L."
                .to_owned()
        )
    );
}

#[test]
fn zero_on_a_log_scale_is_a_mark_at_the_edge_that_no_line_runs_to() {
    let series =
        chart("Troponin I", "ng/L", &[(1.0, 10.0), (2.0, 500.0), (3.0, 0.0), (4.0, 400.0), (5.0, 300.0)]);
    let drawn = drawn(&series);
    assert_eq!(with_class(&drawn, "interval-dot").len(), 4);
    let [mark] = with_class(&drawn, "mark")[..] else { panic!("one mark") };
    let axis = with_class(&drawn, "axis-line").iter().map(|line| line.num("y2")).fold(0.0, f64::max);
    assert!(points(mark).iter().any(|(_, y)| (y - axis).abs() < 0.01));
    let line = with_class(&drawn, "series-1")[0].get("d").unwrap();
    assert_eq!((line.matches('M').count(), line.matches('L').count()), (2, 2), "{line}");
    let note = "(3) 0 ng/L stands at the bottom edge: a log scale has no place for 0 or less.";
    assert!(texts(&drawn, "limit-text").contains(&note.to_owned()));
}

#[test]
fn values_are_joined_in_the_order_in_which_they_were_drawn_and_upright_at_one_time() {
    let drawn = drawn(&chart("Lactate", "mmol/L", &[(4.0, 3.0), (1.0, 2.0), (4.0, 5.0)]));
    let path = points(with_class(&drawn, "series-1")[0]);
    assert_eq!(path.len(), 3);
    assert!(path[0].0 < path[1].0 && (path[1].0 - path[2].0).abs() < 0.01, "{path:?}");
    assert!(path[1].1 > path[2].1, "3 comes before 5: {path:?}");
}

#[test]
fn a_tail_runs_to_where_the_result_came_back() {
    let mut series = chart("Lactate", "mmol/L", &[(0.0, 2.0), (4.0, 3.0), (6.0, 3.0), (8.0, 1.0)]);
    // In the table's order: at the next value's time, not recorded, before it was drawn, days later.
    series.points[0].returned = Some(at(4.0));
    series.points[2].returned = Some(at(5.0));
    series.points[3].returned = Some(at(200.0));
    let figure = series.draw("s");
    let drawn = check(&figure.svg);
    let dots = with_class(&drawn, "interval-dot");
    let tails: Vec<Vec<(f64, f64)>> =
        with_class(&drawn, "range-end").iter().map(|tail| points(tail)).collect();
    assert_eq!(tails.len(), 2);
    assert!(
        (tails[0][0].0 - dots[0].num("cx")).abs() < 0.01 && (tails[0][1].0 - dots[1].num("cx")).abs() < 0.01
    );
    // The second ends in an arrow, which points right.
    let (tip, back) = (tails[1][1].0, tails[1][2].0);
    assert!(tip > dots[3].num("cx") + 10.0 && back < tip);
    assert!(figure.description.contains("The short tail of a dot"));
    assert!(!platelets().draw("s").description.contains("tail"));
}

#[test]
fn time_zero_has_its_line_at_its_tick() {
    let drawn = drawn(&troponin());
    let zero = with_class(&drawn, "zero-line")[0].num("x1");
    let tick = with_class(&drawn, "axis-text").into_iter().find(|d| d.text == "0").unwrap();
    assert!((tick.num("x") - zero).abs() < 0.01);
    assert!(texts(&drawn, "axis-title").contains(&"hours from time zero".to_owned()));
}

#[test]
fn a_band_runs_over_its_time_and_a_moment_is_a_line() {
    let mut series = chart("Lactate", "mmol/L", &[(0.0, 2.0), (2.0, 3.0), (6.0, 3.0)]);
    series.spans = vec![span("procedure", 0.0, 2.0), span("look", 6.0, 6.0), span("30 d", 300.0, 300.0)];
    let drawn = drawn(&series);
    let dots: Vec<f64> = with_class(&drawn, "interval-dot").iter().map(|dot| dot.num("cx")).collect();
    let [band] = with_class(&drawn, "span-band")[..] else { panic!("one band") };
    assert!(
        (band.num("x") - dots[0]).abs() < 0.01 && (band.num("x") + band.num("width") - dots[1]).abs() < 0.02
    );
    let moment = with_class(&drawn, "leader").into_iter().find(|d| d.name == "line").unwrap();
    assert!((moment.num("x1") - dots[2]).abs() < 0.01);
    assert!(texts(&drawn, "limit-text").contains(&"Not within what is drawn: 30 d, +300:00:00.".to_owned()));
}

#[test]
fn no_line_that_leads_to_a_name_runs_through_one() {
    let mut series = chart("Lactate", "mmol/L", &[(0.0, 2.0), (48.0, 3.0)]);
    let labels = [("procedure", 0.0, 2.0), ("transfer to the ward", 1.0, 1.0), ("second look", 4.0, 5.0)];
    series.spans = labels.map(|(label, from, to)| span(label, from, to)).to_vec();
    series.spans.push(span("48 h after the procedure", 48.0, 48.0));
    let drawn = drawn(&series);
    let upright: Vec<&Drawn> =
        with_class(&drawn, "leader").into_iter().filter(|d| d.name == "line").collect();
    assert_eq!(upright.len(), 6, "four that lead, two moments");
    for title in with_class(&drawn, "axis-title") {
        let (left, top, right, bottom) = text_box(title);
        for line in &upright {
            let (x, from, to) = (line.num("x1"), line.num("y1"), line.num("y2"));
            assert!(x <= left || x >= right || from >= bottom || to <= top, "{line:?} through {title:?}");
        }
    }
}

#[test]
fn each_dot_has_its_number_and_value_while_there_is_room() {
    let words = texts(&drawn(&troponin()), "point-text");
    assert_eq!(words, ["(1) 9", "(2) 220", "(3) 1480", "(4) 900"]);
    // Sixty values: all drawn, and the first, the last, the highest and the lowest named.
    let drawn = drawn(&crowd());
    assert_eq!(with_class(&drawn, "interval-dot").len(), 60);
    let words = texts(&drawn, "point-text");
    for named in ["(1)", "(12)", "(34)", "(60)"] {
        assert!(words.contains(&named.to_owned()), "{named} of {words:?}");
    }
}
