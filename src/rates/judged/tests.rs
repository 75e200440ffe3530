//! Courses judged: which chart, which signals, and what the page says of them.

use super::*;
use crate::rates::course::Every;
use crate::rates::line::Subject;
use crate::rates::samples::month;

/// A course of months from January 2022, of events and procedures; `None` was not counted.
fn course(counts: &[(u32, Option<u32>)]) -> Course {
    let first = month("2022-01");
    let last = first.plus(i64::try_from(counts.len()).unwrap() - 1);
    let events = (0..).zip(counts).map(|(at, (events, _))| (first.plus(at), *events)).collect();
    let procedures = |at| counts[usize::try_from(first.until(at)).unwrap()].1;
    Course::of(
        &Subject::Whole,
        ("No-reflow".to_owned(), "All PCI".to_owned()),
        (Period::new(first, last).unwrap(), Every::Month),
        &events,
        procedures,
    )
    .unwrap()
}

fn steady(events: u32, procedures: u32, months: usize) -> Vec<(u32, Option<u32>)> {
    (0..months).map(|at| (events + u32::from(at % 2 == 0), Some(procedures))).collect()
}

fn judged(course: &Course) -> Judged {
    Judged::of(course, Chosen::Suited, None, Rules::Runs)
}

#[test]
fn the_chart_follows_the_expected_events_of_a_month_and_says_why() {
    for (events, procedures, kind, says) in [
        (6, 150, ChartKind::P, "enough for limits at 3 standard errors"),
        (2, 150, ChartKind::ExactP, "the limits are exact"),
        (0, 150, ChartKind::G, "procedures between events"),
    ] {
        let course = course(&steady(events, procedures, 40));
        let found = judged(&course);
        assert_eq!(found.kind, kind);
        assert!(found.why.contains(says), "{}", found.why);
        assert!(found.signals.is_empty(), "{:?}", found.signals);
        assert!(found.finding(&course).contains("no more than chance explains"));
    }
}

#[test]
fn a_month_far_above_the_others_is_a_signal_with_its_numbers() {
    let mut counts = steady(2, 150, 24);
    counts[22] = (14, Some(150));
    let course = course(&counts);
    let found = judged(&course);
    assert_eq!(found.signals.len(), 1, "{:?}", found.signals);
    let signal = &found.signals[0];
    assert_eq!(signal.points, [22]);
    assert_eq!(signal.worse, Some(true));
    assert!(
        signal.words.starts_with("November 2023: 14 of 150, 93.3 per 1,000, above the limit of"),
        "{}",
        signal.words
    );
    assert!(signal.words.ends_with("more events than the baseline explains."), "{}", signal.words);
    assert_eq!(found.finding(&course), "No-reflow: above its limit, November 2023");
}

#[test]
fn the_baseline_is_the_first_twenty_months_and_later_points_do_not_move_it() {
    let counts = steady(6, 150, 30);
    let whole = judged(&course(&counts));
    let mut changed = counts;
    changed[29] = (60, Some(150));
    let after = judged(&course(&changed));
    let limits = |judged: &Judged| judged.chart.as_ref().unwrap().points()[..29].to_vec();
    assert_eq!(limits(&whole), limits(&after));
    assert_eq!(whole.baseline, Some(Period::new(month("2022-01"), month("2023-08")).unwrap()));
}

#[test]
fn a_baseline_that_somebody_set_is_the_one_that_counts() {
    let counts: Vec<_> = steady(12, 150, 12).into_iter().chain(steady(4, 150, 24)).collect();
    let course = course(&counts);
    let fixed = Period::new(month("2023-01"), month("2024-12")).unwrap();
    let found = Judged::of(&course, Chosen::P, Some(fixed), Rules::Limits);
    assert_eq!(found.baseline, Some(fixed));
    assert!((found.chart.unwrap().centre() - 4.5 / 150.0).abs() < 1e-12);
}

#[test]
fn a_lasting_fall_is_found_by_its_run() {
    let mut counts: Vec<_> = (0..20).map(|at| (7 + [0, 3, 1, 4, 2][at % 5], Some(150))).collect();
    counts.extend([(6, Some(150)); 12]);
    let course = course(&counts);
    let found = judged(&course);
    let run = found.signals.iter().find(|signal| signal.words.contains("in a row below")).unwrap();
    assert_eq!(run.worse, Some(false));
    assert!(run.words.ends_with("it speaks for fewer events."), "{}", run.words);
}

#[test]
fn a_month_that_was_not_counted_is_left_out_and_named() {
    let mut counts = steady(6, 150, 24);
    counts[3].1 = None;
    let course = course(&counts);
    let found = judged(&course);
    let Points::Steps(places) = &found.points else { panic!("{:?}", found.points) };
    assert_eq!(places.len(), 23);
    assert!(!places.contains(&3));
    assert!(found.notes[0].contains("not counted in April 2022"), "{:?}", found.notes);
}

#[test]
fn days_between_events_cannot_be_counted_and_the_page_says_why() {
    let found = Judged::of(&course(&steady(2, 150, 24)), Chosen::T, None, Rules::Runs);
    assert!(found.chart.unwrap_err().contains("never its day"));
}

#[test]
fn too_little_to_tell_is_said_so() {
    let few = course(&steady(6, 150, 8));
    assert_eq!(
        judged(&few).finding(&few),
        "No-reflow: 8 months of data are too few to tell whether it changed"
    );
    let none = course(&[(0, None), (0, None)]);
    let found = Judged::of(&none, Chosen::P, None, Rules::Runs);
    assert_eq!(found.finding(&none), "No-reflow: no month of the period has procedures at risk");
    let one = course(&[(0, Some(100)), (1, Some(100))]);
    assert!(judged(&one).chart.unwrap_err().starts_with("It takes two events"));
}

#[test]
fn gaps_hold_every_procedure_between_the_first_event_and_the_last() {
    let counts = [(1, Some(100)), (0, Some(100)), (2, Some(100)), (0, None), (1, Some(50))];
    let course = course(&counts);
    let Points::Gaps(gaps) = Judged::of(&course, Chosen::G, None, Rules::Limits).points else { panic!() };
    let lengths: Vec<u64> = gaps.iter().map(|gap| gap.procedures).collect();
    // Events at 51, 226, 276 and 326 of 350: the middle of the part of the month that is theirs.
    assert_eq!(lengths, [174, 49, 49]);
    assert_eq!(gaps::open(&course), Some(24));
    assert_eq!((gaps[0].began, gaps[0].ended), (month("2022-01"), month("2022-03")));
}

#[test]
fn every_month_full_of_events_still_gives_gaps() {
    let course = course(&[(3, Some(3)), (2, Some(2))]);
    let Points::Gaps(gaps) = Judged::of(&course, Chosen::G, None, Rules::Limits).points else { panic!() };
    assert!(gaps.iter().all(|gap| gap.procedures == 0), "{gaps:?}");
    assert_eq!(gaps.len(), 4);
}

#[test]
fn the_open_gap_is_told_against_the_length_that_would_be_a_signal() {
    let mut counts = vec![(1, Some(100)); 20];
    counts.extend([(0, Some(100)); 12]);
    let found = Judged::of(&course(&counts), Chosen::G, None, Rules::Limits);
    assert!(found.notes.iter().any(|note| note.contains("already speaks for a fall")), "{:?}", found.notes);
    assert!(
        found.notes.iter().any(|note| note.contains("cannot show that it got worse")),
        "{:?}",
        found.notes
    );
}
