//! Whole logs.

use super::super::{LogNote, LogRow, read_log};
use crate::quantity::Certainty;

fn read(log: &str, zero: &str) -> Vec<LogRow> {
    read_log(log, &zero.parse().unwrap()).unwrap_or_else(|error| panic!("{error}:\n{log}"))
}

/// Offsets in minutes.
fn minutes(rows: &[LogRow]) -> Vec<Option<i64>> {
    rows.iter().map(|row| row.at.map(|at| at.seconds() / 60)).collect()
}

fn words(rows: &[LogRow]) -> Vec<&str> {
    rows.iter().map(|row| row.words.as_str()).collect()
}

#[test]
fn lines_without_a_time_go_on_with_the_one_before() {
    let rows = read("14:05 Wire out of the lumen\n  seen in two views\n\n14:20 Covered stent", "14:05");
    assert_eq!(words(&rows), ["Wire out of the lumen seen in two views", "Covered stent"]);
    assert_eq!(minutes(&rows), [Some(0), Some(15)]);
    assert_eq!(rows[1].line, 4);
}

#[test]
fn a_line_before_the_first_time_has_none() {
    let rows = read("Time,Event\n14:05,Wire\n14:10,Balloon", "14:05");
    assert_eq!(minutes(&rows), [None, Some(0), Some(5)]);
    assert_eq!(rows[0].notes, [LogNote::NoTime]);
}

#[test]
fn midnight_is_counted_on_and_told() {
    let rows = read("23:50 wire\n00:10 stent\n00:20 out", "23:50");
    assert_eq!(minutes(&rows), [Some(0), Some(20), Some(30)]);
    assert_eq!(rows[1].notes, [LogNote::Midnight]);
    assert!(rows[2].notes.is_empty());
    let rows = read("11:50 pm wire\n12:10 am stent", "11:50 pm");
    assert_eq!(minutes(&rows), [Some(0), Some(20)]);
}

#[test]
fn a_time_that_runs_backwards_is_kept_and_told() {
    let rows = read("14:05 wire\n13:50 angiogram\n14:10 balloon", "14:05");
    assert_eq!(minutes(&rows), [Some(0), Some(-15), Some(5)]);
    assert_eq!(rows[1].notes, [LogNote::Backwards]);
    assert!(rows[2].notes.is_empty());
}

#[test]
fn a_clock_of_twelve_hours_goes_on_past_noon_and_says_so() {
    let rows = read("11:55 wire\n12:40 balloon\n1:05 stent\n1:20 out", "11:55");
    assert_eq!(minutes(&rows), [Some(0), Some(45), Some(70), Some(85)]);
    assert_eq!(rows[2].notes, [LogNote::TwelveHours]);
    // Once an hour past noon is counted, the log counts to 24.
    let rows = read("11:55 wire\n13:05 stent\n1:20 out", "11:55");
    assert_eq!(rows[2].notes, [LogNote::Backwards]);
    let rows = read("11:55 am wire\n1:05 pm stent\n1:20 out", "11:55 am");
    assert_eq!(minutes(&rows), [Some(0), Some(70), Some(85)]);
}

#[test]
fn dates_count_days_in_the_order_that_makes_the_log_shorter() {
    let rows = read("03/04/2024 23:50 wire\n04/04/2024 00:10 stent", "line 1");
    assert_eq!(minutes(&rows), [Some(0), Some(20)]);
    let rows = read("04/03/2024 23:50 wire\n04/04/2024 00:10 stent", "line 1");
    assert_eq!(minutes(&rows), [Some(0), Some(20)]);
    let rows = read("12/31/2023 23:50 wire\n01/01/2024 00:10 stent", "line 1");
    assert_eq!(minutes(&rows), [Some(0), Some(20)]);
    let rows = read("31 Dec 23:50 wire\n1 Jan 00:10 stent", "line 1");
    assert_eq!(minutes(&rows), [Some(0), Some(20)]);
}

#[test]
fn a_heading_names_the_day_of_what_follows() {
    let rows = read("Date: 03/03/2024\n23:50 wire\n04/03/2024\n09:00 echo", "23:50");
    assert_eq!(minutes(&rows), [Some(0), Some(550)]);
    assert_eq!(words(&rows), ["wire", "echo"]);
}

#[test]
fn a_date_that_does_not_fit_is_told() {
    let rows = read("2024-03-03 14:05 wire\n2024-03-01 14:10 balloon\n32/13/2024 14:20 stent", "line 1");
    assert_eq!(rows[1].notes[0], LogNote::DateDoesNotFit);
    assert!(rows[2].notes.contains(&LogNote::DateDoesNotFit));
    let rows = read("2024-03-03 14:05 wire\n2024-03-05 15:00 echo\n2024-04-05 15:00 clinic", "line 1");
    assert!(rows[1].notes.contains(&LogNote::OverADay));
    assert_eq!(rows[2].at, None);
    assert!(rows[2].notes.contains(&LogNote::TooFar));
}

#[test]
fn dates_among_the_words_become_days_or_go() {
    let rows = read("2024-03-03 14:05 admitted on 1 March 2024, echo on 4 March 2024", "14:05");
    assert_eq!(words(&rows), ["admitted on day −2, echo on day +1"]);
    let rows = read("14:05 admitted on 1 March 2024\n14:10 seen the night of the 14th", "14:05");
    assert_eq!(words(&rows)[0], "admitted on [date]");
    assert!(rows[0].notes.contains(&LogNote::DateTakenOut));
    assert!(!words(&rows)[1].contains("14th"), "{:?}", rows[1]);
}

#[test]
fn several_entries_on_a_line_are_parted_at_clauses() {
    let rows = read("14:05 wire in; 14:10 balloon, 14:20 stent. 14:25 TIMI 3", "14:05");
    assert_eq!(words(&rows), ["wire in", "balloon", "stent.", "TIMI 3"]);
    assert_eq!(minutes(&rows), [Some(0), Some(5), Some(15), Some(20)]);
}

#[test]
fn a_time_inside_a_line_is_its_time_and_said_so() {
    let rows = read("14:05 wire\nThe stent went in at 14:20 without trouble", "14:05");
    assert_eq!(words(&rows)[1], "The stent went in at +15 min without trouble");
    assert_eq!(minutes(&rows)[1], Some(15));
    assert_eq!(rows[1].notes, [LogNote::TimeInside]);
}

#[test]
fn about_is_kept_as_an_estimate() {
    let rows = read("14:05 wire\n~14:20 stent\naround 14:30 out", "14:05");
    assert_eq!(rows[0].sure, Certainty::Exact);
    assert_eq!(rows[1].sure, Certainty::Within(5));
    assert_eq!(rows[2].sure, Certainty::Within(5));
    assert_eq!(words(&rows), ["wire", "stent", "out"]);
}

#[test]
fn time_zero_need_not_be_a_line() {
    let rows = read("14:05 wire\n14:20 stent", "14:10");
    assert_eq!(minutes(&rows), [Some(-5), Some(10)]);
    let rows = read("23:55 wire\n00:20 stent", "00:05");
    assert_eq!(minutes(&rows), [Some(-10), Some(15)]);
}

#[test]
fn columns_are_read_in_any_order() {
    let rows = read("Wire\t14:05\tout of lumen\nStent;14:20;covered", "14:05");
    assert_eq!(words(&rows), ["Wire, out of lumen", "Stent;covered"]);
    assert_eq!(minutes(&rows), [Some(0), Some(15)]);
}
