//! Unit tests of tallies and rates.

use super::*;
use crate::rates::samples::{month, period};

fn tally(months: &[(u32, Option<u32>)]) -> Tally {
    let first = month("2024-01");
    let last = first.plus(i64::try_from(months.len()).unwrap() - 1);
    Tally {
        period: Period::new(first, last).unwrap(),
        months: (0..)
            .zip(months)
            .map(|(index, &(events, procedures))| MonthCount { month: first.plus(index), events, procedures })
            .collect(),
    }
}

/// One month with the whole count in it.
fn rate(events: u32, procedures: u32) -> Rate {
    tally(&[(events, Some(procedures))]).rate().unwrap()
}

#[test]
fn rates_have_the_wilson_and_exact_intervals_that_newcombe_printed() {
    // Newcombe, Stat Med 1998;17:857, Table I, methods 3 and 5, as proportions to four decimals.
    // From memory.
    for (events, procedures, wilson, exact) in [
        (81, 263, (0.2553, 0.3662), (0.2527, 0.3676)),
        (15, 148, (0.0624, 0.1605), (0.0578, 0.1617)),
        (0, 20, (0.0, 0.1611), (0.0, 0.1684)),
        (1, 29, (0.0061, 0.1718), (0.0009, 0.1776)),
    ] {
        let rate = rate(events, procedures);
        for (found, (lower, upper)) in [(rate.wilson(), wilson), (rate.exact(), exact)] {
            // Per 1,000, a fourth decimal is 0.1.
            assert!(
                (found.lower() - lower * 1_000.0).abs() <= 0.05 + 1e-9,
                "{events}/{procedures} {found:?}"
            );
            assert!(
                (found.upper() - upper * 1_000.0).abs() <= 0.05 + 1e-9,
                "{events}/{procedures} {found:?}"
            );
        }
    }
}

#[test]
fn the_rate_is_events_by_procedures_per_1000_over_all_counted_months() {
    let found = tally(&[(2, Some(100)), (0, Some(80)), (1, Some(220))]).rate().unwrap();
    assert_eq!((found.events(), found.procedures()), (3, 400));
    assert!((found.per_1000() - 7.5).abs() < 1e-12);
    assert_eq!(found.counts_in_words(), "3 of 400");
}

#[test]
fn no_event_gives_a_rate_of_zero_with_the_exact_97_5_percent_point_as_its_bound() {
    // Newcombe, Stat Med 1998;17:857: 0/20, exact upper limit 0.1684. From memory.
    let found = rate(0, 20);
    assert!(found.per_1000().abs() < f64::EPSILON);
    let upper = found.upper_without_events().unwrap();
    assert!((upper - 168.4).abs() <= 0.05 + 1e-9, "{upper}");
    // 1 − 0.025^(1/20), computed apart: it is neither the one-sided bound (139.1) nor 3/n (150).
    assert!((upper - (1.0 - 0.025_f64.powf(0.05)) * 1_000.0).abs() < 1e-9);
    assert_eq!(found.interval_in_words(), "at most 168.4");
    assert_eq!(found.per_1000_in_words(), "0");
}

#[test]
fn with_an_event_there_is_no_bound_for_none() {
    assert_eq!(rate(1, 20).upper_without_events(), None);
    assert_eq!(rate(1, 29).interval_in_words(), "6.1 to 171.8");
    assert_eq!(rate(1, 29).exact_in_words(), "0.9 to 177.6");
}

#[test]
fn a_month_without_a_denominator_is_left_out_with_its_events_and_named() {
    let found = tally(&[(1, Some(100)), (4, None), (2, Some(100)), (0, None)]);
    let rate = found.rate().unwrap();
    assert_eq!((rate.events(), rate.procedures()), (3, 200));
    assert_eq!(found.not_counted(), [month("2024-02"), month("2024-04")]);
    assert_eq!(found.events_not_counted(), 4);
    assert_eq!(found.events_in_all(), 7);
    assert_eq!(found.not_counted_in_words().unwrap(), "February 2024 and April 2024");
}

#[test]
fn a_month_counted_as_zero_is_not_a_month_without_a_denominator() {
    let found = tally(&[(0, Some(0)), (1, Some(50))]);
    assert_eq!(found.not_counted(), []);
    assert_eq!(found.rate().unwrap().procedures(), 50);
}

#[test]
fn without_any_denominator_there_is_no_rate_and_never_zero() {
    assert_eq!(tally(&[(3, None), (0, None)]).rate(), Err(NoRate::NotCounted));
    assert_eq!(tally(&[(0, None)]).rate(), Err(NoRate::NotCounted));
    assert_eq!(tally(&[(0, Some(0)), (0, None)]).rate(), Err(NoRate::NoProcedures));
}

#[test]
fn more_events_than_procedures_in_one_month_is_named_even_when_the_sum_would_pass() {
    let found = tally(&[(0, Some(500)), (3, Some(2)), (1, Some(0))]).rate().unwrap_err();
    let NoRate::MoreEventsThanProcedures(months) = &found else {
        panic!("{found:?}");
    };
    assert_eq!(months.len(), 2);
    assert_eq!(
        found.to_string(),
        "more events than procedures at risk in February 2024 (3 events, 2 procedures), March 2024 (1 event, 0 procedures)"
    );
}

#[test]
fn a_long_list_of_impossible_months_is_cut_short() {
    let found = tally(&[(1, Some(0)); 5]).rate().unwrap_err().to_string();
    assert!(found.ends_with("March 2024 (1 event, 0 procedures), and 2 more"), "{found}");
}

#[test]
fn more_procedures_than_can_be_worked_with_is_told_and_no_panic() {
    // 120 months of the most that a month can hold.
    let found = tally(&[(100_000, Some(crate::rates::AtRisk::MOST)); 120]);
    assert_eq!(found.rate(), Err(NoRate::TooManyProcedures));
    assert_eq!(found.procedures(), 12_000_000);
}

#[test]
fn a_tally_holds_every_month_of_its_period_in_order() {
    let events = ByMonth::from([(month("2024-02"), 2), (month("2023-12"), 9)]);
    let found = Tally::of(period("2024-01", "2024-03"), &events, |m| (m.month() < 3).then_some(10));
    let rows: Vec<(String, u32, Option<u32>)> =
        found.months.iter().map(|m| (m.month.to_string(), m.events, m.procedures)).collect();
    assert_eq!(
        rows,
        [
            ("2024-01".to_owned(), 0, Some(10)),
            ("2024-02".to_owned(), 2, Some(10)),
            ("2024-03".to_owned(), 0, None),
        ]
    );
}
