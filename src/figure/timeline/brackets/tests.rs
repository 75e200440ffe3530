use crate::figure::testing::{Drawn, check, overlapping_texts, points};
use crate::figure::timeline::examples::{at, full, small};
use crate::figure::timeline::{Bracket, LaneSight, TimelineDrawing, words};

fn with_class<'a>(drawn: &'a [Drawn], class: &str) -> Vec<&'a Drawn> {
    drawn.iter().filter(|d| d.has_class(class)).collect()
}

#[test]
fn a_bracket_writes_the_words_it_is_given() {
    let mut drawing = small();
    drawing.brackets[0].to_control = Some("38 min (34 to 42)".to_owned());
    let svg = drawing.draw("t").svg;
    assert!(svg.contains("Vessel closure: recognised after 40 s, controlled after 38 min (34 to 42)"));
}

#[test]
fn a_length_that_is_not_known_is_not_taken_from_the_offsets() {
    let mut drawing = small();
    drawing.brackets[0].to_control = None;
    let summary = drawing.draw("t").summary;
    assert!(
        summary.contains("recognised after 40 s, controlled after a time that is not known"),
        "{summary}"
    );
}

#[test]
fn the_first_response_is_drawn_and_told_in_all_words() {
    let mut drawing = small();
    drawing.brackets[0].responded = Some(at("16"));
    drawing.brackets[0].to_response = Some("3 min 30 s (2 min to 5 min)".to_owned());
    let figure = drawing.draw("t");
    let words = "Vessel closure: recognised after 40 s, first response after 3 min 30 s (2 min to 5 min), \
                 controlled after 38 min";
    assert!(figure.summary.ends_with(&format!(" {words}.")), "{}", figure.summary);
    assert_eq!(figure.table.rows.last().unwrap(), &["", "+12:30", "complication", "", words]);
    assert!(figure.description.contains("a solid triangle where the first thing was done about it"));
    let drawn = check(&figure.svg);
    assert!(with_class(&drawn, "bracket-text").iter().any(|text| text.text == words));
    let tip = points(with_class(&drawn, "bracket-response")[0])[0];
    assert!((tip.0 - drawing.axis(crate::figure::Distance::Desk).x(at("16"))).abs() < 0.01);
}

#[test]
fn of_a_response_that_is_not_recorded_nothing_is_said() {
    let figure = small().draw("t");
    assert_eq!(with_class(&check(&figure.svg), "bracket-response").len(), 0);
    assert!(!figure.summary.contains("response") && !format!("{:?}", figure.table).contains("response"));
}

#[test]
fn a_response_whose_time_is_not_known_is_not_taken_from_the_offsets() {
    let mut drawing = small();
    drawing.brackets[0].responded = Some(at("16"));
    let summary = drawing.draw("t").summary;
    assert!(summary.contains("first response after a time that is not known"), "{summary}");
    drawing.brackets[0].began = None;
    let summary = drawing.draw("t").summary;
    assert!(summary.contains("beginning not recorded, recognised at +13:10, first response at +16:00"));
}

#[test]
fn a_stop_point_hides_a_response_that_came_after_it() {
    let response = |offset: Option<&str>| {
        let mut drawing = full();
        drawing.veil_from = Some(at("14:30"));
        for bracket in &mut drawing.brackets {
            bracket.responded = offset.map(at);
            bracket.to_response = offset.map(|_| "2 min".to_owned());
        }
        drawing.draw("t")
    };
    // As if nobody had ever recorded one.
    assert_eq!(response(Some("14:31")), response(None));
    let told = response(Some("14:30"));
    assert!(told.summary.contains("first response after 2 min, not controlled yet"), "{}", told.summary);
}

#[test]
fn a_response_before_anybody_recognised_the_harm_does_not_give_it_away() {
    let mut drawing = full();
    drawing.brackets[1].responded = Some(at("13"));
    drawing.veil_from = Some(at("13:30"));
    let figure = drawing.draw("t");
    assert!(!format!("{figure:?}").contains("Closure of the LAD"));
}

#[test]
fn a_response_at_the_moment_of_recognition_stands_over_its_ring() {
    let mut drawing = small();
    drawing.brackets[0].responded = drawing.brackets[0].recognised;
    let drawn = check(&drawing.draw("t").svg);
    let ring = points(with_class(&drawn, "bracket-dot")[0]);
    let triangle = points(with_class(&drawn, "bracket-response")[0]);
    assert!((triangle[0].0 - f64::midpoint(ring[0].0, ring[1].0)).abs() < 0.01);
    assert!(triangle.iter().all(|corner| corner.1 < ring[0].1), "{triangle:?} {ring:?}");
}

#[test]
fn words_too_long_for_one_line_go_on_in_a_second_and_lose_nothing() {
    let mut drawing = full();
    let long = |minutes: &str| Some(format!("{minutes} min 30 s ({minutes} min to 2 h 15 min)"));
    let bracket = &mut drawing.brackets[0];
    bracket.label = "Dissection by a wire, in the middle of the left anterior descending".to_owned();
    (bracket.to_recognition, bracket.to_response, bracket.to_control) = (long("3"), long("5"), long("40"));
    let drawn = check(&drawing.draw("t").svg);
    assert_eq!(overlapping_texts(&drawn), None);
    let lines: Vec<&str> = with_class(&drawn, "bracket-text").iter().map(|d| d.text.as_str()).collect();
    assert_eq!(lines.len(), 4, "{lines:?}");
    assert_eq!(format!("{} {}", lines[0], lines[1]), words::bracket(&drawing, &drawing.brackets[0]));
}

#[test]
fn a_response_after_control_keeps_its_room_in_the_row() {
    let mut drawing = small();
    drawing.lanes[0].sights.extend(["70", "95", "110", "119"].map(|text| LaneSight {
        at: at(text),
        flow: None,
        bounds: None,
    }));
    let bracket = |began: &str, responded: Option<&str>, controlled: &str| Bracket {
        label: String::new(),
        began: Some(at(began)),
        recognised: None,
        responded: responded.map(at),
        controlled: Some(at(controlled)),
        to_recognition: None,
        to_response: responded.map(|_| "70 min".to_owned()),
        to_control: Some("1 min".to_owned()),
    };
    let heights = |responded: Option<&str>| {
        let brackets = vec![bracket("0", responded, "1"), bracket("69", None, "70")];
        let drawn = check(&TimelineDrawing { brackets, ..drawing.clone() }.draw("t").svg);
        with_class(&drawn, "bracket").iter().map(|d| points(d)[1].1).collect::<Vec<f64>>()
    };
    let (beside, under) = (heights(None), heights(Some("70")));
    assert!((beside[0] - beside[1]).abs() < 0.01, "{beside:?}");
    assert!(under[1] - under[0] > 30.0, "{under:?}");
}

#[test]
fn the_axis_reaches_to_a_response_at_which_no_event_stands() {
    let mut drawing = small();
    drawing.brackets[0].responded = Some(at("80"));
    let drawn = check(&drawing.draw("t").svg);
    let (end, tip) =
        (points(with_class(&drawn, "bracket")[0]), points(with_class(&drawn, "bracket-response")[0]));
    assert!(tip[0].0 > end[2].0 + 100.0, "{tip:?} {end:?}");
}
