//! Charts as they come, and as nobody would wish them.

use super::*;

/// Numbers from 0 to 1 that look random and are always the same.
pub(in crate::figure::chart) fn noise(seed: u64) -> impl Iterator<Item = f64> {
    let mut state = seed;
    std::iter::repeat_with(move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from((state >> 33) as u32) / f64::from(u32::MAX >> 1)
    })
}

/// The names of so many months from a March on.
pub(in crate::figure::chart) fn months(count: usize) -> Vec<SlotName> {
    let months = (2..).take(count);
    months
        .map(|month: i32| SlotName::month(2021 + month / 12, u8::try_from(month % 12 + 1).unwrap()))
        .collect()
}

pub(in crate::figure::chart) fn action(at: f64, number: u32, label: &str) -> Marker {
    Marker { at, number, label: label.to_owned() }
}

pub(super) fn slot(name: SlotName, events: u32, procedures: u32) -> Slot {
    let (mean, n) = (7.8, f64::from(procedures));
    let wide = 3.0 * (mean * (1000.0 - mean) / n).sqrt();
    Slot {
        name,
        value: Some(1000.0 * f64::from(events) / n),
        centre: Some(mean),
        lower: Some((mean - wide).max(0.0)),
        upper: Some(mean + wide),
        counts: format!("{events} of {procedures}"),
    }
}

pub(super) fn none(name: SlotName, why: &str) -> Slot {
    Slot { name, value: None, centre: None, lower: None, upper: None, counts: why.to_owned() }
}

pub(super) fn chart(points: Vec<Slot>) -> ControlChart {
    ControlChart {
        title: "No-reflow has not changed".to_owned(),
        unit: "no-reflow per 1,000 procedures at risk".to_owned(),
        x_title: "month of the procedure".to_owned(),
        counted: "41 events in 5,230 procedures".to_owned(),
        points,
        centre_label: "mean 7.8".to_owned(),
        upper_label: "upper limit".to_owned(),
        lower_label: "lower limit".to_owned(),
        baseline: None,
        actions: Vec::new(),
        band: None,
        signals: Vec::new(),
        source_rule: "p-chart: the limits are the mean and three standard deviations of a binomial share of each month's procedures (common practice)".to_owned(),
    }
}

/// So many months of counts.
pub(super) fn steady(count: usize, seed: u64) -> ControlChart {
    let draws = noise(seed).zip(noise(seed + 9)).zip(months(count));
    let slots = draws.map(|((a, b), name)| {
        let (events, procedures) = ((a * a * 5.0).round() as u32, 110 + (b * 80.0) as u32);
        slot(name, events, procedures)
    });
    chart(slots.collect())
}

/// Three years with all that a chart can have.
pub(super) fn full() -> ControlChart {
    let mut chart = steady(36, 5);
    chart.points[7] = none(chart.points[7].name.clone(), "procedures not entered");
    chart.points[20] = slot(chart.points[20].name.clone(), 5, 150);
    chart.baseline = Some(Baseline { from: 0, to: 17, label: "baseline: the first 18 months".to_owned() });
    chart.actions = vec![
        action(18.3, 1, "Checklist before every rotational atherectomy, from 10 September 2022"),
        action(
            23.5,
            2,
            "Adenosine drawn up before the first balloon in a thrombotic lesion, from March 2023",
        ),
    ];
    chart.band = Some(Band { low: 6.0, high: 11.0, label: "a published registry, n = 12,345".to_owned() });
    chart.signals = vec![
        Signal {
            slots: vec![20],
            number: 1,
            words: "One month is above the upper limit: 33.3 where 28.1 is allowed".to_owned(),
        },
        Signal {
            slots: (26..34).collect(),
            number: 2,
            words: "Eight months in a row are below the mean".to_owned(),
        },
    ];
    chart
}

/// Twenty years, a month out of this world, and months without a count.
pub(super) fn long() -> ControlChart {
    let mut chart = steady(240, 11);
    chart.points[77] = Slot { value: Some(900.0), counts: "9 of 10".to_owned(), ..chart.points[77].clone() };
    for index in [30, 31, 32, 150] {
        chart.points[index] = none(chart.points[index].name.clone(), "");
    }
    chart.actions =
        (0_u32..9).map(|n| action(f64::from(n) * 27.0 + 4.0, n + 1, "One thing was changed")).collect();
    chart.signals = vec![Signal { slots: vec![77], number: 1, words: "Above the upper limit".to_owned() }];
    chart
}

/// Twelve signals, some on the same months, and actions on one day.
pub(super) fn crowded() -> ControlChart {
    let mut chart = steady(30, 3);
    chart.signals = (0..12)
        .map(|n| Signal {
            slots: if n < 6 { (n..n + 8).collect() } else { vec![2 * n] },
            number: u32::try_from(n).unwrap() + 1,
            words: "Two of three months in a row lie beyond two standard deviations on the same side of the mean, which chance alone does about once in forty years of months; look at the cases of these months together before you look for a cause".to_owned(),
        })
        .collect();
    chart.actions = vec![
        action(12.0, 1, "One"),
        action(12.1, 2, "Two"),
        action(12.2, 3, "Three"),
        action(29.9, 4, "After the end"),
        action(f64::NAN, 5, ""),
    ];
    chart.band =
        Some(Band { low: 90.0, high: 120.0, label: "a series of selected cases, n = 71".to_owned() });
    chart
}

/// Procedures between events.
pub(super) fn rare() -> ControlChart {
    let between = months(28).into_iter().step_by(2).zip(noise(8));
    let slots = between.map(|(name, a)| Slot {
        name,
        value: Some((-(1.0 - a * 0.999).ln() * 160.0).round()),
        centre: Some(112.0),
        lower: None,
        upper: Some(1050.0),
        counts: "procedures since the event before".to_owned(),
    });
    ControlChart {
        title: "14 events are as far apart as before".to_owned(),
        unit: "procedures between events".to_owned(),
        x_title: "month of the event that ends the gap".to_owned(),
        centre_label: "median 112".to_owned(),
        upper_label: "upper limit 1,050: events have become rarer".to_owned(),
        ..chart(slots.collect())
    }
}

pub(super) fn all() -> Vec<(&'static str, ControlChart)> {
    let excluded = months(18).into_iter().map(|name| none(name, "procedures not entered"));
    let mut outlier = steady(24, 2);
    outlier.points[10] = slot(outlier.points[10].name.clone(), 3, 4);
    let mut zero = steady(12, 2);
    for slot in &mut zero.points {
        (slot.value, slot.counts) = (Some(0.0), "0 of 120".to_owned());
    }
    let mut no_number = steady(5, 2);
    no_number.points[1].value = Some(f64::NAN);
    no_number.points[2].upper = Some(f64::INFINITY);
    no_number.points[3].value = Some(-4.0);
    vec![
        ("full", full()),
        ("long", long()),
        ("crowded", crowded()),
        ("rare", rare()),
        ("empty", chart(Vec::new())),
        ("one", steady(1, 4)),
        ("two", steady(2, 4)),
        ("excluded", chart(excluded.collect())),
        ("outlier", outlier),
        ("zero", zero),
        ("no_number", no_number),
        ("years_12", steady(144, 6)),
    ]
}
