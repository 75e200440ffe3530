//! Forms of a clock time and of a date, and what looks like one and is none.

use super::super::{LogError, TimeZero, holds_clock, read_log};

/// The offset of the first entry of a line from 14:00 on the same day, in seconds, and its words.
fn read(line: &str) -> (Option<i64>, String) {
    let log = format!("14:00 start\n{line}");
    let rows = read_log(&log, &TimeZero::Line(1)).unwrap_or_else(|error| panic!("{line}: {error}"));
    let row = rows.get(1).unwrap_or_else(|| panic!("no entry: {line}"));
    (row.at.map(|at| at.seconds()), row.words.clone())
}

#[test]
fn each_form_at_the_start_of_a_line_is_read() {
    let quarter = [
        "14:15 wire out",
        "14:15:00 wire out",
        "14:15:00.250 wire out",
        "14:15: wire out",
        "14:15 - wire out",
        "14:15 – wire out",
        "14:15\twire out",
        "14:15;wire out",
        "14:15,wire out",
        "14:15 | wire out",
        "\"14:15\",\"wire out\"",
        "[14:15] wire out",
        "(14:15) wire out",
        "<14:15> wire out",
        "- 14:15 wire out",
        "* 14:15 wire out",
        "• 14:15 wire out",
        "1. 14:15 wire out",
        "2) 14:15 wire out",
        "Time: 14:15 wire out",
        "at 14:15 wire out",
        "1415 wire out",
        "1415h wire out",
        "1415 hrs wire out",
        "1415: wire out",
        "14.15 wire out",
        "14.15 Uhr wire out",
        "14:15 Uhr wire out",
        "14:15 h wire out",
        "14h15 wire out",
        "14H15 wire out",
        "14 h 15 wire out",
        "2:15 pm wire out",
        "2:15pm wire out",
        "2:15 PM wire out",
        "2:15 p.m. wire out",
        "02:15 PM wire out",
        "2.15 pm wire out",
        "~14:15 wire out",
        "~ 14:15 wire out",
        "ca. 14:15 wire out",
        "about 14:15 wire out",
        "wire out [14:15]",
        "wire out (14:15)",
        "wire out 14:15",
        "wire out\t14:15",
        "wire out,14:15",
    ];
    for line in quarter {
        let (at, words) = read(line);
        assert_eq!(at, Some(900), "{line}");
        assert_eq!(words, "wire out", "{line}");
    }
    assert_eq!(read("14:15:30 wire out").0, Some(930));
    assert_eq!(read("14h wire out").0, Some(0));
    assert_eq!(read("3 pm wire out").0, Some(3600));
    assert_eq!(read("noon wire out").0, Some(-7200));
}

#[test]
fn dates_before_or_behind_the_time_are_taken_with_it() {
    let zero: TimeZero = "03/03/2024 14:00".parse().unwrap();
    let lines = [
        "03/03/2024 14:15 wire out",
        "03/03/24 14:15 wire out",
        "3.3.2024 14:15 wire out",
        "03.03.2024, 14:15 wire out",
        "03-03-2024 14:15 wire out",
        "2024-03-03 14:15 wire out",
        "2024-03-03T14:15 wire out",
        "2024-03-03T14:15:00 wire out",
        "2024-03-03T14:15:00.123 wire out",
        "2024/03/03 14:15 wire out",
        "3 March 2024 14:15 wire out",
        "3 Mar 2024 at 14:15 wire out",
        "03-Mar-2024 14:15 wire out",
        "March 3, 2024 14:15 wire out",
        "Sun 3 Mar 2024 14:15 wire out",
        "Sunday, 3 March 2024, 14:15 wire out",
        "3rd March 14:15 wire out",
        "03/03 14:15 wire out",
        "14:15 03/03/2024 wire out",
        "03/03/2024\t14:15\twire out",
        "2024-03-03;14:15;wire out",
        "\"2024-03-03\",\"14:15\",\"wire out\"",
        "03/03/2024 2:15 PM wire out",
        "[2024-03-03 14:15] wire out",
        "03/03/2024 1415 wire out",
    ];
    for line in lines {
        let rows = read_log(&format!("2024-03-03 14:00 start\n{line}"), &zero).unwrap();
        assert_eq!(rows[1].at.map(|at| at.seconds()), Some(900), "{line}");
        assert_eq!(rows[1].words, "wire out", "{line}");
    }
}

#[test]
fn zones_count_from_the_first_one() {
    let log = "2024-03-31T01:50:00+01:00 wire\n2024-03-31T03:10:00+02:00 balloon\n2024-03-31T01:20:00Z stent";
    let rows = read_log(log, &TimeZero::Line(1)).unwrap();
    let at: Vec<i64> = rows.iter().map(|row| row.at.unwrap().seconds()).collect();
    assert_eq!(at, [0, 20 * 60, 30 * 60]);
}

#[test]
fn times_among_the_words_become_offsets() {
    let rows = [
        ("14:05 stent at 14:20", "stent at +20 min"),
        ("14:05 stent at 14:20:30", "stent at +20 min 30 s"),
        ("14:05 stent at 1420", "stent at +20 min"),
        ("14:05 stent at 14.20", "stent at +20 min"),
        ("14:05 stent at 14h20", "stent at +20 min"),
        ("14:05 stent at 2:20 pm", "stent at +20 min"),
        ("14:05 stent at 2 pm", "stent at time zero"),
        ("14:05 called at 13:50, came at 15:10", "called at −10 min, came at +1 h 10 min"),
        ("14:05–14:20 occluded", "until +20 min occluded"),
        ("14:05-14:20 occluded", "until +20 min occluded"),
        ("14:05 to 14:20 occluded", "until +20 min occluded"),
        ("14:05 occluded from 14:06 to 14:20", "occluded from +6 min to +20 min"),
        ("14:05 (called 13:58) help came", "(called −2 min) help came"),
        ("14:05 seen before noon", "seen before −2 h"),
    ];
    for (line, words) in rows {
        assert_eq!(read(line).1, words, "{line}");
    }
}

#[test]
fn what_is_no_clock_time_is_left_alone() {
    let rows = [
        "3.0 x 28 mm stent at 14 atm",
        "2.50 x 15 mm balloon",
        "ratio 1:1, dilution 1:10 000",
        "adrenaline 1:1000",
        "TIMI 3, Ellis III, Medina 1,1,1, Killip II",
        "ACT 287 s, Hb 11.2, creatinine 1.4",
        "BP 92/54, heart rate 110",
        "heparin 5000 U, then 2000 U",
        "inflated for 12:30 min",
        "inflated for 00:30",
        "balloon 20 s at 12 atm",
        "+12:30 no flow",
        "7 Fr guide, EBU 3.5",
        "RAO 30 caudal 20",
        "contrast 180 mL, air kerma 1.4 Gy",
        "vessel 2 may close",
        "flap at 3 o'clock",
        "type B dissection, 12 mm",
        "2 h later",
    ];
    for words in rows {
        assert_eq!(read(&format!("14:05 {words}")).1, words, "{words}");
        assert!(!holds_clock(words), "{words}");
    }
}

#[test]
fn sizes_and_doses_at_the_start_of_a_line_begin_no_entry() {
    for line in [
        "3.50 x 18 mm stent",
        "3.50 balloon",
        "2000 U heparin",
        "1200 mg",
        "12 atm",
        "92/54",
        "2 h later",
        "1.1.1",
    ] {
        let rows = read_log(&format!("14:00 start\n{line}"), &TimeZero::Line(1)).unwrap();
        assert_eq!(rows.len(), 1, "{line}");
        assert_eq!(rows[0].words, format!("start {line}"));
    }
}

#[test]
fn what_is_no_log_or_no_time_zero_is_refused_without_repeating_it() {
    let zero = |text: &str| text.parse::<TimeZero>();
    assert_eq!(read_log(" \n", &TimeZero::Line(1)), Err(LogError::Empty));
    assert_eq!(read_log("wire out\nstent 3.0 x 28", &TimeZero::Line(1)), Err(LogError::NoTimes));
    assert_eq!(read_log(&"14:00 x\n".repeat(151), &TimeZero::Line(1)), Err(LogError::TooLong));
    assert_eq!(read_log("14:00 wire", &TimeZero::Line(2)), Err(LogError::ZeroLine));
    assert_eq!(read_log("heading\n14:00 wire", &TimeZero::Line(1)), Err(LogError::ZeroLine));
    assert_eq!(read_log("14:00 wire", &zero("2:00").unwrap()), Err(LogError::ZeroHalf));
    assert!(read_log("14:00 wire", &zero("2:00 pm").unwrap()).is_ok());
    for wrong in ["", "when it closed", "25:10", "line", "line 0", "#x", "12", "14:00 or 14:05", "12 min"] {
        assert_eq!(zero(wrong), Err(LogError::ZeroUnread), "{wrong}");
    }
    for right in
        ["14:05", "2:05 pm", "1405", "14h05", "14.05", "line 3", "#3", "03/03/2024 14:05", "2024-03-03T14:05"]
    {
        assert!(zero(right).is_ok(), "{right}");
    }
}
