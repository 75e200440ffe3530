use proptest::prelude::*;

use super::*;
use crate::stats::proportion::Count;

fn count(events: u64, procedures: u64) -> Count {
    Count::new(events, procedures).unwrap()
}

fn months(events: &[u64], procedures: u64) -> Vec<Count> {
    events.iter().map(|&events| count(events, procedures)).collect()
}

type Maker = fn(&[Count], Baseline) -> Result<Chart, ChartError>;
const BY_SUBGROUP: [Maker; 3] = [p_chart, exact_p_chart, laney];

#[test]
fn a_baseline_is_the_first_20_or_all() {
    assert_eq!(Baseline::standard(24).positions(), 0..20);
    assert_eq!(Baseline::standard(7).positions(), 0..7);
    assert_eq!(Baseline::standard(0).positions(), 0..0);
}

#[test]
fn no_points_and_no_baseline_are_errors_that_say_what_to_do() {
    let series = months(&[1, 2, 3], 100);
    let reversed = Baseline { start: 2, end: 1 };
    for chart in BY_SUBGROUP {
        assert_eq!(chart(&[], Baseline::standard(0)), Err(ChartError::NoPoints));
        assert_eq!(chart(&series, Baseline::of(1..1)), Err(ChartError::EmptyBaseline));
        assert_eq!(chart(&series, reversed), Err(ChartError::EmptyBaseline));
        let outside = ChartError::BaselineOutside { end: 4, points: 3 };
        assert_eq!(chart(&series, Baseline::leading(4)), Err(outside));
    }
    assert_eq!(g_chart(&[], Baseline::leading(1)), Err(ChartError::NoPoints));
    assert!(ChartError::EmptyBaseline.to_string().contains("choose a period"));
}

#[test]
fn a_baseline_without_events_fixes_no_limits() {
    let series = months(&[0, 0, 3], 100);
    for chart in BY_SUBGROUP {
        assert_eq!(chart(&series, Baseline::leading(2)), Err(ChartError::NoEventsInBaseline));
    }
    let exposed = [Exposed::new(0, 3.0).unwrap(), Exposed::new(2, 3.0).unwrap()];
    assert_eq!(u_chart(&exposed, Baseline::leading(1)), Err(ChartError::NoEventsInBaseline));
    assert!(u_chart(&exposed, Baseline::leading(2)).is_ok());
    let full = months(&[4, 4], 4);
    assert_eq!(p_chart(&full, Baseline::leading(2)), Err(ChartError::EventInEveryProcedure));
    assert_eq!(g_chart(&[0, 0, 5], Baseline::leading(2)), Err(ChartError::EventInEveryProcedure));
}

#[test]
fn a_spread_between_neighbours_needs_two_points_that_differ() {
    let series = months(&[2, 2, 3], 100);
    assert_eq!(laney(&series, Baseline::leading(1)), Err(ChartError::TooFewPoints(1)));
    assert_eq!(laney(&series, Baseline::leading(2)), Err(ChartError::NoVariation));
    assert_eq!(t_chart(&[4.0, 4.0, 9.0], Baseline::leading(2)), Err(ChartError::NoVariation));
    assert_eq!(t_chart(&[4.0, 5.0], Baseline::leading(1)), Err(ChartError::TooFewPoints(1)));
}

#[test]
fn two_events_at_the_same_time_have_no_place_on_a_chart_of_days() {
    for bad in [0.0, -1.0, f64::INFINITY] {
        let found = t_chart(&[4.0, 9.0, bad], Baseline::leading(2));
        assert_eq!(found, Err(ChartError::BadTime(bad)));
    }
    assert!(t_chart(&[4.0, f64::NAN], Baseline::leading(1)).is_err());
    assert!(g_chart(&[4, 0, 9], Baseline::leading(3)).is_ok());
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Exposed::new(1, bad), Err(ChartError::BadExposure));
    }
}

#[test]
fn a_bad_month_is_above_and_a_point_on_the_limit_is_ordinary() {
    let mut series = months(&[3; 20], 150);
    let limits = |chart: &Chart, at: usize| match chart.detail() {
        Detail::Exact(limits) => limits[at],
        other => panic!("{other:?}"),
    };
    let chart = exact_p_chart(&series, Baseline::standard(20)).unwrap();
    let most = limits(&chart, 0).largest_ordinary;
    series.push(count(most, 150));
    series.push(count(most + 1, 150));
    let chart = exact_p_chart(&series, Baseline::standard(series.len())).unwrap();
    assert_eq!(chart.signals().collect::<Vec<_>>(), [(21, Beyond::Above)]);
    assert!(limits(&chart, 21).tail_high <= TAIL && limits(&chart, 20).tail_high > TAIL);
    assert!(!chart.baseline_has_signal());
}

#[test]
fn few_procedures_cannot_show_an_improvement_and_many_can() {
    // 6.6/p̄ procedures; p̄ = 0.02: 330. The rule is in the reference text, from (1−p̄)ⁿ = 0.00135.
    for (procedures, can) in [(320, false), (330, true)] {
        let mut series = months(&[20; 20], 1_000);
        series.push(count(0, procedures));
        let chart = exact_p_chart(&series, Baseline::standard(21)).unwrap();
        let last = chart.points()[20];
        assert_eq!(last.lower.is_some(), can, "{procedures}");
        assert_eq!(last.beyond, can.then_some(Beyond::Below), "{procedures}");
    }
}

#[test]
fn a_single_short_gap_signals_only_from_a_mean_gap_of_about_740() {
    assert!((SHORT_GAP_CAN_SIGNAL_FROM - 739.7).abs() < 0.1);
    for (mean, can) in [(739, false), (740, true)] {
        let chart = g_chart(&[mean, mean, 0], Baseline::leading(2)).unwrap();
        assert_eq!(chart.points()[2].beyond, can.then_some(Beyond::Below), "{mean}");
        assert_eq!(chart.kind().worse(), Beyond::Below);
        let Detail::G(limits) = chart.detail() else { panic!() };
        assert_eq!(limits.short_gap_can_signal(), can, "{mean}");
    }
}

#[test]
fn a_long_gap_is_above_from_the_length_that_the_limits_name() {
    let chart = g_chart(&[80, 84, 541, 542, 600], Baseline::leading(2)).unwrap();
    let Detail::G(limits) = chart.detail() else { panic!() };
    let first = limits.shortest_long_gap;
    let p = 1.0 / 83.0_f64;
    let longer = |gap: u64| (1.0 - p).powi(i32::try_from(gap).unwrap());
    assert!(longer(first) <= TAIL && longer(first - 1) > TAIL);
    for (point, gap) in chart.points().iter().zip([80, 84, 541, 542, 600]) {
        assert_eq!(point.beyond == Some(Beyond::Above), gap >= first, "{gap}");
    }
}

#[test]
fn the_chart_follows_how_many_events_are_expected() {
    let kind = |expected, sigma_z| choose(expected, sigma_z).kind;
    assert_eq!(kind(5.0, None), ChartKind::P);
    assert_eq!(kind(500.0, Some(1.1)), ChartKind::P);
    assert_eq!(kind(500.0, Some(3.5)), ChartKind::Laney);
    assert_eq!(kind(4.9, Some(3.5)), ChartKind::ExactP);
    assert_eq!(kind(1.0, None), ChartKind::ExactP);
    assert_eq!(kind(0.99, None), ChartKind::G);
    assert_eq!(kind(0.0, None), ChartKind::G);
    assert_eq!(kind(f64::NAN, None), ChartKind::G);
    assert!(choose(3.0, None).why.to_string().contains("the limits are exact"));
    assert!(choose(0.2, None).why.to_string().starts_with("About 0.20 events"));
}

#[test]
fn each_kind_says_its_unit_and_which_side_is_worse() {
    for kind in [ChartKind::P, ChartKind::ExactP, ChartKind::Laney] {
        assert_eq!((kind.unit(), kind.worse()), (Unit::Proportion, Beyond::Above));
    }
    assert_eq!(ChartKind::U.unit(), Unit::EventsByExposure);
    assert_eq!((ChartKind::G.unit(), ChartKind::T.unit()), (Unit::ProceduresBetween, Unit::Days));
    assert_eq!(ChartKind::T.worse(), Beyond::Below);
}

prop_compose! {
    /// Months with some events, but not only events.
    fn any_months()(
        series in prop::collection::vec((0_u64..30, 31_u64..2_000), 3..40)
    ) -> Vec<Count> {
        let mut series: Vec<Count> = series.into_iter().map(|(k, n)| count(k, n)).collect();
        series[0] = count(1, 50);
        series[1] = count(2, 50);
        series
    }
}

fn limits_hold_the_centre(chart: &Chart) -> bool {
    chart.points().iter().all(|point| {
        point.lower.is_none_or(|lower| lower <= chart.centre())
            && point.upper.is_none_or(|upper| upper >= chart.centre())
    })
}

fn judged_by_its_limits(point: &Point) -> bool {
    let above = point.upper.is_some_and(|upper| point.value > upper);
    let below = point.lower.is_some_and(|lower| point.value < lower);
    point.beyond == above.then_some(Beyond::Above).or(below.then_some(Beyond::Below))
}

proptest! {
    #[test]
    fn later_points_leave_the_earlier_ones_as_they_were(series in any_months(), cut in 2_usize..=3) {
        let baseline = Baseline::leading(cut);
        for chart in BY_SUBGROUP {
            let whole = chart(&series, baseline).unwrap();
            for known in cut..=series.len() {
                let earlier = chart(&series[..known], baseline).unwrap();
                prop_assert_eq!(earlier.centre(), whole.centre());
                prop_assert_eq!(earlier.points(), &whole.points()[..known]);
            }
        }
    }

    #[test]
    fn the_order_within_the_baseline_moves_no_limit_of_a_proportion(series in any_months()) {
        let mut swapped = series.clone();
        swapped.reverse();
        for chart in [p_chart as Maker, exact_p_chart] {
            let there = chart(&series, Baseline::leading(series.len())).unwrap();
            let back = chart(&swapped, Baseline::leading(series.len())).unwrap();
            prop_assert!(there.points().iter().eq(back.points().iter().rev()));
        }
    }

    #[test]
    fn limits_hold_the_centre_and_judge_each_point(series in any_months()) {
        for chart in BY_SUBGROUP {
            let chart = chart(&series, Baseline::standard(series.len())).unwrap();
            prop_assert!(limits_hold_the_centre(&chart), "{chart:?}");
            prop_assert!(chart.points().iter().all(judged_by_its_limits), "{chart:?}");
        }
    }

    #[test]
    fn exact_counts_end_where_their_tails_do(series in any_months()) {
        let chart = exact_p_chart(&series, Baseline::standard(series.len())).unwrap();
        let Detail::Exact(limits) = chart.detail() else { panic!() };
        for (point, limits) in chart.points().iter().zip(limits) {
            prop_assert_eq!(point.beyond == Some(Beyond::Above), limits.tail_high <= TAIL);
            prop_assert_eq!(point.beyond == Some(Beyond::Below), limits.tail_low <= TAIL);
        }
    }

    #[test]
    fn limits_between_events_hold_the_centre(
        gaps in prop::collection::vec(0_u64..3_000, 2..40), first in 1_u64..3_000
    ) {
        let mut gaps = gaps;
        gaps[0] = first;
        let chart = g_chart(&gaps, Baseline::standard(gaps.len())).unwrap();
        prop_assert!(limits_hold_the_centre(&chart) && chart.points().iter().all(judged_by_its_limits));
        let days: Vec<f64> = (0..gaps.len()).map(|at| gaps[at] as f64 + 0.5 + at as f64 / 64.0).collect();
        let chart = t_chart(&days, Baseline::standard(days.len())).unwrap();
        prop_assert!(limits_hold_the_centre(&chart) && chart.points().iter().all(judged_by_its_limits));
    }
}
