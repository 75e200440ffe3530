use proptest::prelude::*;

use super::*;

const HOUR: i64 = 3600;
const DAY: i64 = 24 * HOUR;

fn offset(seconds: i64) -> Offset {
    Offset::from_seconds(seconds).unwrap()
}

fn clock(text: &str) -> ClockTime {
    text.parse().unwrap()
}

#[test]
fn every_typed_form_of_an_offset_reads_as_its_seconds() {
    let forms: [(&str, i64); 40] = [
        ("0", 0),
        ("-0", 0),
        ("12", 720),
        ("+12", 720),
        ("  +12 ", 720),
        ("+ 12", 720),
        ("-3", -180),
        ("−3", -180),
        ("–3", -180),
        ("- 3", -180),
        ("120", 7200),
        ("12:30", 750),
        ("+12:30", 750),
        ("-0:05", -5),
        ("90:00", 5400),
        ("1:05:00", 3900),
        ("-1:05:09", -3909),
        ("336:00:00", 14 * DAY),
        ("1h05", 3900),
        ("1h5", 3900),
        ("1 h 5", 3900),
        ("1H05", 3900),
        ("2h", 7200),
        ("2 hours", 7200),
        ("1 hr", 3600),
        ("1 h 5 min", 3900),
        ("1h5m30s", 3930),
        ("1 hour 5 minutes 30 seconds", 3930),
        ("12 min", 720),
        ("12min", 720),
        ("12m", 720),
        ("12 min 30", 750),
        ("12 min 30 s", 750),
        ("90 min", 5400),
        ("45 s", 45),
        ("45 sec", 45),
        ("90 seconds", 90),
        ("1 second", 1),
        ("2 d", 2 * DAY),
        ("-1 day 2 h", -DAY - 2 * HOUR),
    ];
    for (text, seconds) in forms {
        assert_eq!(Offset::parse_typed(text), Ok(offset(seconds)), "{text}");
    }
}

#[test]
fn what_is_no_offset_is_refused_with_the_allowed_forms() {
    let wrong = [
        "",
        " ",
        "+",
        "-",
        "+-3",
        "--3",
        "++3",
        "12:5",
        "12:60",
        "12:300",
        ":30",
        "12:",
        "1:60:00",
        "1:5:00",
        "1:00:00:00",
        "12.5",
        "12,5",
        "1e3",
        "h",
        "5h h",
        "1h1h",
        "30 s 5 min",
        "5 min 5 min",
        "1h90",
        "1 h 60 min",
        "2 d 24 h",
        "5 min 60 s",
        "2 d 5",
        "12 30",
        "12 apples",
        "12 minuten",
        "five",
        "١٢",
        "１２",
        "0x10",
        "123456",
        "\u{0}",
        "12\u{0}",
        "<script>",
        "NaN",
        "noon",
        "14:05 Uhr",
        "1h-5",
        "+1h+5",
    ];
    for text in wrong {
        let problem = Offset::parse_typed(text).expect_err(text).to_string();
        assert!(problem.contains("12:30"), "{text}: {problem}");
    }
}

#[test]
fn an_offset_beyond_fourteen_days_is_refused() {
    for text in ["15 d", "337:00:00", "-20161", "14 d 1 s", "99999 d"] {
        let problem = Offset::parse_typed(text).expect_err(text).to_string();
        assert!(problem.contains("14 days"), "{text}: {problem}");
    }
    assert!(Offset::from_seconds(i64::MAX).is_err());
    assert!(Offset::from_seconds(i64::MIN).is_err());
    assert_eq!(offset(Offset::LIMIT).seconds(), 14 * DAY);
}

#[test]
fn a_long_wrong_text_is_quoted_in_part() {
    let problem = Offset::parse_typed(&"é".repeat(100_000)).unwrap_err().to_string();
    assert!(problem.chars().count() < 250 && problem.contains('…'));
}

#[test]
fn an_offset_is_written_with_its_sign_and_its_hours_from_one_on() {
    let forms: [(i64, &str, &str); 8] = [
        (0, "+0:00", "+0:00"),
        (750, "+12:30", "+12:30"),
        (-180, "−3:00", "-3:00"),
        (-5, "−0:05", "-0:05"),
        (3599, "+59:59", "+59:59"),
        (3600, "+1:00:00", "+1:00:00"),
        (-3909, "−1:05:09", "-1:05:09"),
        (Offset::LIMIT, "+336:00:00", "+336:00:00"),
    ];
    for (seconds, page, file) in forms {
        assert_eq!(offset(seconds).to_string(), page);
        assert_eq!(offset(seconds).to_file_text(), file);
    }
}

#[test]
fn a_clock_time_becomes_an_offset_across_midnight() {
    let rows: [(&str, &str, i64); 12] = [
        ("14:05", "14:05", 0),
        ("14:05", "14:17", 12 * 60),
        ("14:05", "14:17:30", 12 * 60 + 30),
        ("14:05", "14:02", -180),
        ("23:50", "0:20", 30 * 60),
        ("23:50", "00:20:10", 30 * 60 + 10),
        ("0:10", "23:55", -15 * 60),
        ("14:00", "8:00", -6 * HOUR),
        ("14:00", "7:59:59", 18 * HOUR - 1),
        ("14:00", "13:59:59", -1),
        ("0:00", "23:59:59", -1),
        ("23:59:59", "0:00", 1),
    ];
    for (zero, time, seconds) in rows {
        assert_eq!(clock(time).offset_from(clock(zero)), offset(seconds), "{time} from {zero}");
    }
}

#[test]
fn a_clock_time_reads_with_colons_or_points() {
    for text in ["9:05", "09:05", " 09.05 ", "9:05:00"] {
        assert_eq!(clock(text), clock("09:05"), "{text}");
    }
}

#[test]
fn what_is_no_time_of_day_is_refused() {
    let wrong = [
        "",
        ":",
        "14",
        "1405",
        "24:00",
        "14:60",
        "14:05:60",
        "14:5",
        "14:5:00",
        "14:05:0",
        "14:005",
        "-1:00",
        "14:05:",
        "14::05",
        "14:05:00:00",
        "2 pm",
        "14:05 h",
        "noon",
        "１４:０５",
        "+14:05",
        "14: 05",
        "99999999999:00",
    ];
    for text in wrong {
        let problem = text.parse::<ClockTime>().expect_err(text).to_string();
        assert!(problem.contains("14:05"), "{text}: {problem}");
    }
}

#[test]
fn a_certainty_gives_the_bounds_of_its_time() {
    let at = offset(600);
    assert_eq!(Certainty::Exact.bounds(at), Some((at, at)));
    assert_eq!(Certainty::within(5).unwrap().bounds(at), Some((offset(300), offset(900))));
    assert_eq!(Certainty::OrderOnly.bounds(at), None);
}

#[test]
fn bounds_stay_within_the_fourteen_days() {
    let (_, latest) = Certainty::within(240).unwrap().bounds(offset(Offset::LIMIT)).unwrap();
    let (earliest, _) = Certainty::within(240).unwrap().bounds(offset(-Offset::LIMIT)).unwrap();
    assert_eq!(latest.seconds(), Offset::LIMIT);
    assert_eq!(earliest.seconds(), -Offset::LIMIT);
}

#[test]
fn what_is_no_certainty_is_refused() {
    for minutes in [0, -1, 241, 255, 256, i64::MAX] {
        assert!(Certainty::within(minutes).is_err(), "{minutes}");
    }
    for text in [
        "",
        "Exact",
        "sure",
        "within",
        "within min",
        "within 0 min",
        "within 241 min",
        "within -5 min",
        "within 5",
        "within 5.5 min",
        "within 5 minutes",
        "order",
        "orderonly",
    ] {
        assert!(text.parse::<Certainty>().is_err(), "{text}");
    }
}

#[test]
fn a_flow_grade_is_0_to_3_and_lost_below_2() {
    // TIMI Study Group, N Engl J Med 1985;312:932 (from memory): four grades; whole numbers only.
    let lost: Vec<bool> = TimiFlow::ALL.iter().map(|flow| flow.is_lost()).collect();
    assert_eq!(lost, [true, true, false, false]);
    for grade in [-1, 4, 256, i64::MIN, i64::MAX] {
        assert!(TimiFlow::try_from(grade).is_err(), "{grade}");
    }
    for text in ["", "4", "-1", "2.5", "03", "TIMI", "TIMI 4", "III", "two", "２"] {
        assert!(text.parse::<TimiFlow>().is_err(), "{text}");
    }
}

#[test]
fn a_quantity_reads_back_from_its_json() {
    let at: Offset = serde_json::from_str(r#""-1:05:09""#).unwrap();
    assert_eq!(serde_json::to_string(&at).unwrap(), r#""-1:05:09""#);
    let certainty: Certainty = serde_json::from_str(r#""within 5 min""#).unwrap();
    assert_eq!(serde_json::to_string(&certainty).unwrap(), r#""within 5 min""#);
    let flow: TimiFlow = serde_json::from_str("2").unwrap();
    assert_eq!(serde_json::to_string(&flow).unwrap(), "2");
}

#[test]
fn json_of_another_shape_is_refused() {
    for json in ["12", "null", "[]", r#""""#, r#""15 d""#, "true", "{}"] {
        assert!(serde_json::from_str::<Offset>(json).is_err(), "{json}");
    }
    for json in ["4", "-1", "2.5", r#""2""#, "null", "99999999999999999999"] {
        assert!(serde_json::from_str::<TimiFlow>(json).is_err(), "{json}");
    }
    for json in ["5", r#""within 0 min""#, "null"] {
        assert!(serde_json::from_str::<Certainty>(json).is_err(), "{json}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_offset_reads_back_from_the_page_and_the_file(seconds in -Offset::LIMIT..=Offset::LIMIT) {
        let at = offset(seconds);
        prop_assert_eq!(at.to_string().parse(), Ok(at));
        prop_assert_eq!(at.to_file_text().parse(), Ok(at));
        prop_assert!(at.to_file_text().is_ascii());
        let json = serde_json::to_string(&at).unwrap();
        prop_assert_eq!(serde_json::from_str::<Offset>(&json).unwrap(), at);
    }

    #[test]
    fn a_certainty_and_a_flow_grade_read_back(minutes in 1_i64..=240, grade in 0_i64..=3) {
        for certainty in [Certainty::Exact, Certainty::OrderOnly, Certainty::within(minutes).unwrap()] {
            prop_assert_eq!(certainty.to_string().parse(), Ok(certainty));
        }
        let flow = TimiFlow::try_from(grade).unwrap();
        prop_assert_eq!(flow.to_string().parse(), Ok(flow));
        prop_assert_eq!(i64::from(flow).to_string().parse(), Ok(flow));
    }

    #[test]
    fn any_text_is_read_or_refused_and_never_breaks(text in "\\PC*") {
        if let Ok(at) = Offset::parse_typed(&text) {
            prop_assert!(at.seconds().abs() <= Offset::LIMIT);
        }
        let _ = (text.parse::<ClockTime>().is_ok(), text.parse::<Certainty>().is_ok(), text.parse::<TimiFlow>().is_ok());
    }

    #[test]
    fn a_clock_time_lies_from_six_hours_before_to_eighteen_after(zero in 0..DAY, time in 0..DAY) {
        let seconds = ClockTime(time).offset_from(ClockTime(zero)).seconds();
        prop_assert!((-6 * HOUR..18 * HOUR).contains(&seconds));
        prop_assert_eq!((seconds - (time - zero)).rem_euclid(DAY), 0);
    }
}
