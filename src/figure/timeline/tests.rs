use super::examples::{at, full, small, ugly};
use super::*;
use crate::figure::testing::{Drawn, check, overlapping_texts, parse, points};

mod any;

fn drawn(drawing: &TimelineDrawing) -> Vec<Drawn> {
    check(&drawing.draw("t").svg)
}

fn with_class<'a>(drawn: &'a [Drawn], class: &str) -> Vec<&'a Drawn> {
    drawn.iter().filter(|d| d.has_class(class)).collect()
}

/// The height of what fills a vessel that is seen at one grade all along.
fn filling(grade: i64) -> f64 {
    let flow = TimiFlow::try_from(grade).unwrap();
    let lane = Lane {
        label: "RCA".to_owned(),
        depth: 0,
        sights: vec![LaneSight { at: Offset::ZERO, flow: Some(flow), bounds: None }],
    };
    let drawn = drawn(&TimelineDrawing { lanes: vec![lane], ..TimelineDrawing::default() });
    let ys: Vec<f64> = with_class(&drawn, "lumen").iter().flat_map(|d| points(d)).map(|p| p.1).collect();
    ys.iter().copied().fold(f64::MIN, f64::max) - ys.iter().copied().fold(f64::MAX, f64::min)
}

#[test]
fn every_example_is_well_formed_named_and_inside_its_view_box() {
    for drawing in [small(), full(), ugly(), TimelineDrawing::default()] {
        drawn(&drawing);
    }
}

#[test]
fn no_text_overlaps_another_in_any_example() {
    for drawing in [small(), full(), ugly()] {
        assert_eq!(overlapping_texts(&drawn(&drawing)), None, "{}", drawing.title);
    }
}

#[test]
fn no_two_marks_of_the_ugly_example_overlap() {
    let drawn = drawn(&ugly());
    let boxes: Vec<(f64, f64, f64, f64)> = with_class(&drawn, "mark")
        .iter()
        .map(|mark| {
            let corners = points(mark);
            let edge = |pick: fn(f64, f64) -> f64, start: f64, of: fn(&(f64, f64)) -> f64| {
                corners.iter().map(of).fold(start, pick)
            };
            (
                edge(f64::min, f64::MAX, |p| p.0),
                edge(f64::min, f64::MAX, |p| p.1),
                edge(f64::max, f64::MIN, |p| p.0),
                edge(f64::max, f64::MIN, |p| p.1),
            )
        })
        .collect();
    assert_eq!(boxes.len(), 45);
    for (index, a) in boxes.iter().enumerate() {
        for b in &boxes[..index] {
            // The control points of the curved shapes reach 3 beyond what is drawn, up and down.
            let apart = a.0 >= b.2 || b.0 >= a.2 || a.1 + 3.0 >= b.3 - 3.0 || b.1 + 3.0 >= a.3 - 3.0;
            assert!(apart, "{a:?} {b:?}");
        }
    }
}

#[test]
fn each_flow_grade_fills_the_vessel_differently() {
    // Full, half of that, a hairline: TIMI Study Group grades, N Engl J Med 1985;312:932 (from
    // memory); how they are drawn is our own.
    let (full, half, hairline) = (filling(3), filling(2), filling(1));
    assert!((half - full / 2.0).abs() < 0.1, "{full} {half}");
    assert!(hairline > 0.0 && hairline <= 2.0);
    let closed = Lane {
        label: "RCA".to_owned(),
        depth: 0,
        sights: vec![LaneSight { at: Offset::ZERO, flow: Some(TimiFlow::ALL[0]), bounds: None }],
    };
    let unknown = Lane { sights: vec![], ..closed.clone() };
    let closed = drawn(&TimelineDrawing { lanes: vec![closed], ..TimelineDrawing::default() });
    assert_eq!(with_class(&closed, "lumen").len(), 0);
    assert_eq!(with_class(&closed, "hatch").len(), 1);
    let unknown = drawn(&TimelineDrawing { lanes: vec![unknown], ..TimelineDrawing::default() });
    assert_eq!(with_class(&unknown, "lumen").len() + with_class(&unknown, "hatch").len(), 0);
    assert_eq!(with_class(&unknown, "lumen-unknown").len(), 1);
}

#[test]
fn a_vessel_is_capped_where_it_closed() {
    let drawing = small();
    let drawn = drawn(&drawing);
    let cap = with_class(&drawn, "lumen-closed")[0].num("x");
    assert!((cap - drawing.axis(crate::figure::Distance::Desk).x(at("12:30"))).abs() < 0.01);
}

#[test]
fn a_side_branch_is_thinner_than_its_vessel_and_leaves_an_opening_in_its_wall() {
    let drawn = drawn(&full());
    let openings = |class: &str| -> usize {
        with_class(&drawn, class)
            .iter()
            .filter(|wall| !wall.has_class("branch"))
            .map(|wall| wall.get("d").unwrap().matches('M').count() - 1)
            .sum()
    };
    assert_eq!(openings("vessel-wall"), 2);
    assert_eq!(with_class(&drawn, "branch").iter().filter(|d| d.has_class("vessel-wall")).count(), 4);
}

#[test]
fn the_table_says_what_was_put_in() {
    let drawing = full();
    let table = drawing.draw("t").table;
    assert_eq!(table.columns, ["Event", "Time", "Kind", "Vessel", "What happened"]);
    assert_eq!(table.rows.len(), drawing.marks.len() + drawing.brackets.len());
    for (row, mark) in table.rows.iter().zip(&drawing.marks) {
        let vessel = mark.lane.map_or("", |lane| drawing.lanes[lane].label.as_str());
        assert_eq!(
            row,
            &[
                mark.number.to_string(),
                mark.at.to_string(),
                mark.family.word().to_owned(),
                vessel.to_owned(),
                mark.label.clone()
            ]
        );
    }
}

#[test]
fn every_number_of_the_table_stands_on_the_drawing_once() {
    let drawing = ugly();
    let drawn = drawn(&drawing);
    let mut numbers: Vec<u32> =
        with_class(&drawn, "mark-number").iter().map(|d| d.text.parse().unwrap()).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=45).collect::<Vec<u32>>());
}

#[test]
fn an_uncertain_time_is_told_apart_in_words_and_in_shape() {
    let figure = ugly().draw("t");
    assert!(figure.table.rows[1][1].starts_with("≈ "));
    assert_eq!(figure.table.rows[3][1], "order only");
    let uncertain = ugly().marks.iter().filter(|mark| mark.is_uncertain()).count();
    assert_eq!(with_class(&parse(&figure.svg), "mark-uncertain").len(), uncertain);
}

#[test]
fn the_summary_tells_the_loss_of_flow_from_timi_0_to_timi_3() {
    let summary = small().draw("t").summary;
    assert_eq!(
        summary,
        "6 events from −2:00 to +50:10. LAD: flow lost from +12:30 to +50:10 (38 min), TIMI 2 from +41:00; \
         TIMI 3 at the last look. Vessel closure: recognised after 40 s, controlled after 38 min."
    );
}

#[test]
fn the_summary_tells_what_was_not_restored_and_what_is_not_recorded() {
    let summary = full().draw("t").summary;
    assert!(summary.contains("D1: flow lost from +46:00, TIMI 2 from +1:11:00, not seen at TIMI 3 again"));
    assert!(summary.contains("Loss of D1: recognised after 30 s, control not recorded"));
    assert!(ugly().draw("t").summary.contains(": flow not recorded."));
}

#[test]
fn the_sentences_say_how_sure_a_time_of_flow_is() {
    let mut drawing = small();
    drawing.lanes[0].sights[1].bounds = Some((at("10"), at("15")));
    let summary = drawing.draw("t").summary;
    assert!(summary.contains("flow lost from ≈ +12:30 to +50:10 (about 38 min)"), "{summary}");
    drawing.marks[3].order_only = true;
    let summary = drawing.draw("t").summary;
    assert!(summary.contains("from +12:30 (order only) to +50:10 (length not known)"), "{summary}");
}

#[test]
fn at_a_stop_point_nothing_later_is_drawn_listed_or_told() {
    let mut drawing = full();
    drawing.veil_from = Some(at("15"));
    let figure = drawing.draw("t");
    let drawn = check(&figure.svg);
    // Nine events and the two complications that are recognised by then.
    assert_eq!(figure.table.rows.len(), 9 + 2);
    assert_eq!(with_class(&drawn, "mark").len(), 9);
    assert_eq!(with_class(&drawn, "veil").len(), 1);
    let all = format!("{figure:?}");
    for later in ["Loss of D1", "lost the first diagonal", "+50:10", "38 min", "Second operator", "D1 lost"] {
        assert!(!all.contains(later), "{later}");
    }
    assert!(figure.summary.contains("not controlled yet"));
}

#[test]
fn a_stop_point_looks_the_same_whatever_comes_after_it() {
    let mut long = full();
    long.veil_from = Some(at("10"));
    let mut short = long.clone();
    short.marks.retain(|mark| mark.at <= at("10"));
    for lane in &mut short.lanes {
        lane.sights.retain(|sight| sight.at <= at("10"));
    }
    short.brackets.clear();
    assert_eq!(long.draw("t"), short.draw("t"));
}

#[test]
fn a_harm_that_nobody_has_recognised_yet_is_not_shown() {
    let mut drawing = full();
    drawing.veil_from = Some(at("11"));
    let figure = drawing.draw("t");
    assert!(!figure.svg.contains("Wire dissection") && !figure.summary.contains("Wire dissection"));
}

#[test]
fn the_order_of_marks_and_sights_does_not_matter() {
    let drawing = full();
    let mut reversed = drawing.clone();
    reversed.marks.reverse();
    for lane in &mut reversed.lanes {
        lane.sights.reverse();
    }
    assert_eq!(drawing.draw("t"), reversed.draw("t"));
}

#[test]
fn the_legend_explains_every_family_and_every_flow() {
    let figure = legend("l", &MarkFamily::ALL);
    let drawn = check(&figure.svg);
    assert_eq!(overlapping_texts(&drawn), None);
    for family in MarkFamily::ALL {
        assert!(drawn.iter().any(|d| d.text == family.word()), "{family:?}");
    }
    for words in [
        "TIMI 3",
        "TIMI 2",
        "TIMI 1",
        "TIMI 0, closed",
        "flow not known",
        "complication recognised",
        "first response",
    ] {
        assert!(drawn.iter().any(|d| d.text == words), "{words}");
    }
    assert_eq!(figure.table.rows.len(), 7 + 5 + 2 + 2);
}

#[test]
fn each_family_has_its_own_shape() {
    let shapes: std::collections::BTreeSet<String> = MarkFamily::ALL
        .iter()
        .map(|family| {
            let drawn = parse(&family.draw(50.0, 50.0, "1", true, "").write());
            let mut shape = drawn[1].clone();
            shape.attributes.retain(|(name, _)| name != "class");
            format!("{shape:?}")
        })
        .collect();
    assert_eq!(shapes.len(), MarkFamily::ALL.len());
}

/// On a wall the drawing is narrower in its own units, so that its words are larger, and nothing
/// runs over another thing or out of it.
#[test]
fn what_is_drawn_for_a_room_is_as_sound_as_for_a_page() {
    for mut drawing in [full(), small()] {
        drawing.brackets.clear();
        drawing.marks.truncate(3);
        for veil in [None, Some(at("12:30"))] {
            let drawing = TimelineDrawing { veil_from: veil, ..drawing.clone() };
            let drawn = drawing.draw_for(crate::figure::Distance::Room, "room");
            let shapes = check(&drawn.svg);
            assert!(drawn.svg.contains("viewBox=\"0 0 600 "), "{}", &drawn.svg[..200]);
            assert_eq!(overlapping_texts(&shapes), None);
        }
    }
}
