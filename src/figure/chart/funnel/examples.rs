//! Funnels as they come.

use super::super::control::examples::noise;
use super::*;

/// A pair of limits, so many standard deviations of a binomial share wide.
fn limit(label: &str, wide: f64) -> FunnelLimit {
    let sizes = || (1..=80).map(|step| f64::from(step) * 10.0);
    let deviation = move |size: f64| wide * (7.8 * 992.2 / size).sqrt();
    FunnelLimit {
        label: label.to_owned(),
        lower: sizes().map(|size| (size, (7.8 - deviation(size)).max(0.0))).collect(),
        upper: sizes().map(|size| (size, 7.8 + deviation(size))).collect(),
    }
}

pub(super) fn unit(number: u32, procedures: u32, events: u32) -> FunnelUnit {
    let rate = 1000.0 * f64::from(events) / f64::from(procedures);
    let shrunken = f64::midpoint(rate, 7.8);
    FunnelUnit {
        name: format!("Operator {number}"),
        procedures,
        rate,
        counts: format!("{events} of {procedures}"),
        shrunken: Some(Interval { low: shrunken * 0.6, estimate: shrunken, high: shrunken * 1.5 }),
        standing: if rate > 30.0 { "above the 99.8 % limit" } else { "between the limits" }.to_owned(),
        is_outside: rate > 30.0,
    }
}

pub(super) fn funnel(units: Vec<FunnelUnit>) -> FunnelChart {
    FunnelChart {
        title: "No operator is outside the limits".to_owned(),
        unit: "no-reflow per 1,000 procedures at risk".to_owned(),
        x_title: "procedures at risk".to_owned(),
        what: "operator".to_owned(),
        counted: "41 events in 5,230 procedures".to_owned(),
        target: 7.8,
        target_label: "the department, 7.8".to_owned(),
        limits: vec![limit("95 %", 1.96), limit("99.8 %", 3.09)],
        units,
        minimum: 50,
        source_rule: "Limits of a binomial share around the department's rate (common practice)".to_owned(),
    }
}

pub(super) fn all() -> Vec<(&'static str, FunnelChart)> {
    let some = [
        (10, 620, 4),
        (2, 310, 2),
        (1, 480, 5),
        (3, 305, 3),
        (4, 150, 6),
        (5, 90, 0),
        (6, 44, 3),
        (7, 300, 2),
    ];
    let units: Vec<FunnelUnit> =
        some.into_iter().map(|(n, procedures, events)| unit(n, procedures, events)).collect();
    let crowd = noise(6).zip(noise(7)).zip(1..=40);
    let crowd = crowd.map(|((a, b), n)| unit(n, 55 + (a * 120.0) as u32, (b * 3.0) as u32));
    let mut far = units.clone();
    far[2].rate = 700.0;
    far[3].rate = f64::NAN;
    vec![
        ("plain", funnel(units)),
        ("crowd", funnel(crowd.collect())),
        ("far", funnel(far)),
        ("empty", funnel(Vec::new())),
        ("one", funnel(vec![unit(1, 60, 1)])),
        ("small", funnel(vec![unit(1, 6, 1), unit(2, 7, 2)])),
    ]
}
