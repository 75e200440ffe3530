use super::examples::{self, action, chart, full, long, months, none, slot, steady};
use super::*;
use crate::figure::testing::{Drawn, check_examples, check_figure, column, points, texts, with_class};

pub(in crate::figure::chart) mod any;

fn drawn(chart: &ControlChart) -> Vec<Drawn> {
    check_figure(&chart.draw("c"))
}

/// The height of the bottom of the plot.
fn bottom(drawn: &[Drawn]) -> f64 {
    with_class(drawn, "axis-line").iter().map(|line| line.num("y2")).fold(0.0, f64::max)
}

#[test]
fn every_example_is_sound_and_always_the_same() {
    check_examples(examples::all(), |chart| chart.draw("c"));
}

#[test]
fn the_table_has_every_value_with_its_counts_and_limits() {
    let table = full().draw("c").table;
    assert_eq!(
        table.rows[20],
        [
            "November 2022",
            "5 of 150",
            "33.3",
            "7.80",
            "0",
            "29.3",
            "1: One month is above the upper limit: 33.3 where 28.1 is allowed.",
            ""
        ]
    );
    assert_eq!(column(&table, "Counts")[7], "procedures not entered");
    assert_eq!(column(&table, "No-reflow per 1,000 procedures at risk")[7], "not counted");
    let signals = column(&table, "Signals");
    assert_eq!(signals.iter().filter(|words| words.starts_with("2:")).count(), 8);
}

#[test]
fn a_dot_stands_between_the_ticks_of_its_value() {
    let drawn = drawn(&steady(12, 2));
    let tick = |words: &str| {
        let ticks = with_class(&drawn, "axis-text");
        ticks.iter().find(|tick| tick.text == words).unwrap().num("y") - 4.5
    };
    let (zero, ten) = (tick("0"), tick("10"));
    let dots = with_class(&drawn, "chart-dot");
    for (dot, slot) in dots.iter().zip(&steady(12, 2).points) {
        let value = (zero - dot.num("cy")) / (zero - ten) * 10.0;
        assert!((value - slot.value.unwrap()).abs() < 0.05, "{value} {slot:?}");
    }
}

#[test]
fn a_slot_without_a_value_breaks_the_line_and_is_hatched() {
    let drawn = drawn(&full());
    assert_eq!(with_class(&drawn, "chart-dot").len(), 35);
    let line = with_class(&drawn, "value-line")[0].get("d").unwrap();
    assert_eq!((line.matches('M').count(), line.matches('L').count()), (2, 33));
    let hatch = points(with_class(&drawn, "gap-hatch")[0]);
    let dots: Vec<f64> = with_class(&drawn, "chart-dot").iter().map(|dot| dot.num("cx")).collect();
    assert!(hatch.iter().all(|(x, _)| *x > dots[6] && *x < dots[7]));
    assert!(
        texts(&drawn, "note-soft")
            .contains(&"Hatched: not counted, 1 of 36: October 2021 (procedures not entered).".to_owned())
    );
}

#[test]
fn a_chart_without_any_value_says_so() {
    assert!(texts(&drawn(&chart(Vec::new())), "point-text").contains(&"no values yet".to_owned()));
    let excluded = chart(months(18).into_iter().map(|name| none(name, "")).collect());
    let figure = excluded.draw("c");
    assert!(texts(&check_figure(&figure), "point-text").contains(&"not counted".to_owned()));
    assert!(figure.summary.contains("No values yet. Not counted, 18 of 18: March 2021, April 2021"));
    assert!(!figure.summary.contains("No signal"));
}

#[test]
fn a_value_far_above_the_rest_is_an_arrow_with_its_value() {
    let chart = long();
    let figure = chart.draw("c");
    let drawn = check_figure(&figure);
    assert_eq!(with_class(&drawn, "mark").len(), 1);
    assert!(texts(&drawn, "point-text").contains(&"900".to_owned()));
    assert!(figure.description.contains("Arrow: beyond the scale (August 2027, 900)."));
    // The others keep the height that they would have without it.
    let lowest = with_class(&drawn, "chart-dot").iter().map(|dot| dot.num("cy")).fold(f64::MAX, f64::min);
    assert!(bottom(&drawn) - lowest > 0.7 * HEIGHT);
}

#[test]
fn twenty_years_of_months_have_small_dots_and_the_years_named() {
    let drawn = drawn(&long());
    let dots = with_class(&drawn, "chart-dot");
    assert_eq!(dots.len(), 235);
    assert!(dots.iter().all(|dot| dot.num("r") < 2.5));
    let names = texts(&drawn, "axis-text");
    assert!((2022..=2040).all(|year| names.contains(&year.to_string())), "{names:?}");
    assert!(!names.contains(&"Mar".to_owned()));
}

#[test]
fn each_ring_is_around_a_dot_and_each_signal_has_its_number_and_sentence() {
    let (chart, drawn) = (full(), drawn(&full()));
    let dots: Vec<(f64, f64)> =
        with_class(&drawn, "chart-dot").iter().map(|dot| (dot.num("cx"), dot.num("cy"))).collect();
    let rings: Vec<&Drawn> =
        with_class(&drawn, "signal-ring").into_iter().filter(|ring| ring.name == "circle").collect();
    assert_eq!(rings.len(), 9);
    assert!(rings.iter().all(|ring| dots.contains(&(ring.num("cx"), ring.num("cy")))));
    assert_eq!(texts(&drawn, "signal-number"), ["1", "2"]);
    for signal in &chart.signals {
        assert!(texts(&drawn, "note-text").contains(&format!("{}.", signal.words)));
    }
}

#[test]
fn signals_on_the_same_slots_share_rings_and_numbers() {
    let mut chart = steady(9, 2);
    let signal = |number| Signal { slots: vec![3, 4], number, words: String::new() };
    chart.signals = vec![signal(1), signal(2)];
    // What is about no slot, or one that is not there, has its sentence alone.
    chart.signals.push(Signal { slots: vec![99], number: 3, words: "Elsewhere".to_owned() });
    let drawn = drawn(&chart);
    let rings = with_class(&drawn, "signal-ring");
    assert_eq!(rings.iter().filter(|ring| ring.name == "circle").count(), 2);
    assert_eq!(texts(&drawn, "signal-number"), ["1, 2"]);
    assert_eq!(texts(&drawn, "note-text"), ["", "", "Elsewhere."]);
}

#[test]
fn an_action_stands_at_its_time_with_its_flag() {
    let mut chart = steady(12, 2);
    chart.actions = vec![action(5.5, 1, "Checklist"), action(40.0, 2, "Later")];
    let figure = chart.draw("c");
    let drawn = check_figure(&figure);
    let [line] = with_class(&drawn, "action-line")[..] else { panic!("one line") };
    let dots: Vec<f64> = with_class(&drawn, "chart-dot").iter().map(|dot| dot.num("cx")).collect();
    let x = points(line).last().unwrap().0;
    assert!((x - f64::midpoint(dots[5], dots[6])).abs() < 0.02);
    assert_eq!(texts(&drawn, "flag-text"), ["A1", "A1", "A2"]);
    assert!(texts(&drawn, "note-text").contains(&"Later (outside the time that is drawn).".to_owned()));
    let actions = column(&figure.table, "Actions");
    assert_eq!((actions[6].as_str(), actions[11].as_str()), ("A1: Checklist.", "A2: Later."));
}

#[test]
fn flags_on_one_day_stand_beside_one_another() {
    let mut chart = steady(12, 2);
    chart.actions = (1..=9).map(|number| action(5.0, number, "One thing")).collect();
    let drawn = drawn(&chart);
    let flags: Vec<(f64, f64)> = with_class(&drawn, "flag")
        .iter()
        .filter(|flag| flag.num("y") < 100.0)
        .map(|flag| (flag.num("x"), flag.num("x") + flag.num("width")))
        .collect();
    assert_eq!(flags.len(), 9);
    assert!(flags.windows(2).all(|pair| pair[0].1 <= pair[1].0), "{flags:?}");
}

#[test]
fn limits_are_steps_that_break_where_there_are_none() {
    let chart = full();
    let drawn = drawn(&chart);
    let upper = with_class(&drawn, "limit-line")[0];
    let path = upper.get("d").unwrap();
    assert_eq!(path.matches('M').count(), 2);
    // Level within a slot: the points come in pairs of one height.
    assert!(points(upper).chunks(2).all(|pair| (pair[0].1 - pair[1].1).abs() < 0.01));
    let names = texts(&drawn, "limit-text");
    for name in ["upper limit", "mean 7.8", "lower limit", "baseline: the first 18 months"] {
        assert!(names.contains(&name.to_owned()), "{name} of {names:?}");
    }
}

#[test]
fn the_name_of_a_line_stands_at_the_height_of_its_end() {
    let drawn = drawn(&steady(24, 2));
    let end = points(with_class(&drawn, "limit-line")[0]).last().unwrap().1;
    let name = with_class(&drawn, "limit-text").into_iter().find(|name| name.text == "upper limit").unwrap();
    assert!((name.num("y") - 4.0 - end).abs() < 0.01);
}

#[test]
fn a_chart_without_limits_names_none() {
    let bare =
        steady(6, 2).points.into_iter().map(|slot| Slot { centre: None, lower: None, upper: None, ..slot });
    let figure = chart(bare.collect()).draw("c");
    assert!(texts(&check_figure(&figure), "limit-text").is_empty());
    assert_eq!(figure.table.columns.len(), 3);
}

#[test]
fn a_band_is_drawn_as_far_as_it_is_on_the_scale_and_told_whole() {
    let mut chart = full();
    let band = |chart: &ControlChart| {
        let figure = chart.draw("c");
        let drawn = check_figure(&figure);
        let heights = with_class(&drawn, "reference-band").iter().map(|band| band.num("height")).collect();
        (heights, figure.description.contains("Not wholly on the scale"))
    };
    let (heights, is_cut): (Vec<f64>, bool) = band(&chart);
    assert!((heights[0] - 5.0 / 50.0 * HEIGHT).abs() < 0.01 && !is_cut);
    chart.band = Some(Band { low: 20.0, high: 400.0, label: "a series".to_owned() });
    let (heights, is_cut) = band(&chart);
    assert!((heights[0] - 30.0 / 50.0 * HEIGHT).abs() < 0.01 && is_cut);
    chart.band = Some(Band { low: 300.0, high: 400.0, label: "a series".to_owned() });
    let (heights, is_cut) = band(&chart);
    assert!(heights.is_empty() && is_cut);
}

#[test]
fn the_summary_says_the_last_the_highest_the_signals_and_the_rule() {
    let mut points: Vec<Slot> =
        months(3).into_iter().zip([1, 3, 2]).map(|(name, events)| slot(name, events, 100)).collect();
    points[2].lower = None;
    let summary = chart(points).draw("c").summary;
    for part in [
        "41 events in 5,230 procedures.",
        "The last value is 20 no-reflow per 1,000 procedures at risk in May 2021 (2 of 100); centre line 7.80; upper limit 34.2.",
        "The highest is 30 no-reflow per 1,000 procedures at risk in April 2021 (3 of 100).",
        "No signal.",
        "p-chart: the limits are",
    ] {
        assert!(summary.contains(part), "{part} of {summary}");
    }
}
