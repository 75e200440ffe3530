use super::*;
use crate::timeline::moments;
use crate::timeline::testing::{about, exact, placed};

fn words(elapsed: Option<Elapsed>) -> Option<String> {
    elapsed.map(|elapsed| elapsed.to_string())
}

#[test]
fn a_span_gives_its_five_intervals() {
    let found = moments(&[exact(12), exact(16), about(19, 2), about(50, 2)]);
    let [began, recognised, responded, controlled] = found[..] else { panic!("four moments") };
    let span = Span::new(Some(began), Some(recognised), Some(responded), Some(controlled)).unwrap();
    assert_eq!(words(span.to_recognition()).unwrap(), "4 min");
    assert_eq!(words(span.to_response()).unwrap(), "7 min (5 to 9)");
    assert_eq!(words(span.to_control()).unwrap(), "38 min (36 to 40)");
    assert_eq!(words(span.recognition_to_response()).unwrap(), "3 min (1 to 5)");
    assert_eq!(words(span.recognition_to_control()).unwrap(), "34 min (32 to 36)");
    let moments = [span.began(), span.recognised(), span.responded(), span.controlled()];
    assert_eq!(moments, [Some(began), Some(recognised), Some(responded), Some(controlled)]);
}

#[test]
fn a_span_lacks_the_intervals_whose_ends_it_lacks() {
    let found = moments(&[exact(12), exact(15)]);
    let span = Span::new(Some(found[0]), None, None, None).unwrap();
    assert_eq!(span.to_recognition(), None);
    assert_eq!(span.to_response(), None);
    assert_eq!(span.to_control(), None);
    let span = Span::new(None, None, Some(found[1]), None).unwrap();
    assert_eq!((span.to_response(), span.recognition_to_response()), (None, None));
    assert_eq!(Span::default().recognition_to_control(), None);
}

#[test]
fn a_response_of_which_only_the_order_is_known_lies_between_its_neighbours() {
    let found = moments(&[exact(12), placed(14), exact(20)]);
    let span = Span::new(Some(found[0]), None, Some(found[1]), Some(found[2])).unwrap();
    assert_eq!(span.to_response().unwrap().stated(), None);
    assert_eq!(words(span.to_response()).unwrap(), "between 0 and 8 min");
    // Without a timed event after it nothing says how long it took.
    let found = moments(&[exact(12), placed(14)]);
    let span = Span::new(Some(found[0]), None, Some(found[1]), None).unwrap();
    assert_eq!(span.to_response(), None);
}

#[test]
fn what_lies_before_the_beginning_is_refused_with_a_sentence() {
    let found = moments(&[exact(1), exact(2)]);
    let (early, began) = (Some(found[0]), Some(found[1]));
    let cases = [
        (Span::new(began, early, None, None), SpanError::RecognisedBeforeBegan, "It was recognised before"),
        (
            Span::new(began, None, early, None),
            SpanError::RespondedBeforeBegan,
            "The first response came before",
        ),
        (Span::new(began, None, None, early), SpanError::ControlledBeforeBegan, "It was controlled before"),
    ];
    for (span, error, sentence) in cases {
        assert_eq!(span, Err(error));
        assert_eq!(error.to_string(), format!("{sentence} it began. Check the order of the two events."));
    }
}

#[test]
fn of_two_events_at_the_same_time_the_one_recorded_first_comes_first() {
    let found = moments(&[exact(5), exact(5)]);
    assert!(Span::new(Some(found[0]), None, Some(found[1]), None).is_ok());
    assert_eq!(Span::new(Some(found[1]), None, Some(found[0]), None), Err(SpanError::RespondedBeforeBegan));
    // One event can be the beginning and the first response.
    let span = Span::new(Some(found[0]), None, Some(found[0]), None).unwrap();
    assert_eq!(span.to_response(), Some(Elapsed::NONE));
}

#[test]
fn after_the_beginning_every_order_is_allowed_and_gives_no_negative_time() {
    let found = moments(&[exact(1), exact(2), exact(3), exact(4)]);
    let orders = [[1, 2, 3], [1, 3, 2], [2, 1, 3], [2, 3, 1], [3, 1, 2], [3, 2, 1]];
    for [recognised, responded, controlled] in orders {
        let span = Span::new(
            Some(found[0]),
            Some(found[recognised]),
            Some(found[responded]),
            Some(found[controlled]),
        )
        .unwrap();
        let minutes =
            |elapsed: Option<Elapsed>| elapsed.and_then(Elapsed::stated).map(|seconds| seconds / 60);
        let later = |from: usize, to: usize| {
            i64::try_from(to)
                .ok()
                .zip(i64::try_from(from).ok())
                .map(|(to, from)| to - from)
                .filter(|&gap| gap >= 0)
        };
        assert_eq!(minutes(span.to_recognition()), later(0, recognised));
        assert_eq!(minutes(span.to_response()), later(0, responded));
        assert_eq!(minutes(span.to_control()), later(0, controlled));
        assert_eq!(minutes(span.recognition_to_response()), later(recognised, responded));
        assert_eq!(minutes(span.recognition_to_control()), later(recognised, controlled));
    }
}
