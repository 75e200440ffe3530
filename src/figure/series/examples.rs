//! Invented series for the tests.

use super::*;

pub(super) fn at(hours: f64) -> Offset {
    Offset::parse_typed(&format!("{} min", (hours * 60.0).round())).unwrap()
}

pub(super) fn point(number: u32, hours: f64, value: f64, unit: &str) -> SeriesPoint {
    SeriesPoint {
        number,
        at: at(hours),
        returned: None,
        value,
        written: format!("{value} {unit}"),
        note: String::new(),
    }
}

pub(super) fn limit(label: &str, value: f64, unit: &str, until: Option<f64>) -> SeriesLimit {
    SeriesLimit {
        label: label.to_owned(),
        value,
        written: format!("{value} {unit}"),
        from: None,
        until: until.map(at),
    }
}

pub(super) fn span(label: &str, from: f64, to: f64) -> SeriesSpan {
    SeriesSpan { label: label.to_owned(), from: at(from), to: at(to) }
}

/// Values in the order of the table; each with its time in hours.
pub(super) fn chart(quantity: &str, unit: &str, values: &[(f64, f64)]) -> SeriesChart {
    let points = (1..).zip(values).map(|(number, (hours, value))| point(number, *hours, *value, unit));
    SeriesChart {
        title: format!("{quantity} over time"),
        quantity: quantity.to_owned(),
        unit: unit.to_owned(),
        points: points.collect(),
        limits: Vec::new(),
        spans: Vec::new(),
        source: String::new(),
    }
}

pub(super) fn troponin() -> SeriesChart {
    let mut chart = chart("Troponin T", "ng/L", &[(-2.0, 9.0), (6.0, 220.0), (12.0, 1480.0), (36.0, 900.0)]);
    chart.title = "Troponin rose to 106 times the 99th percentile within 12 hours".to_owned();
    for (point, wait) in chart.points.iter_mut().zip([1.1, 0.9, 1.6, 1.0]) {
        point.returned = Offset::from_seconds(point.at.seconds() + (wait * 3600.0) as i64).ok();
    }
    for times in [1.0, 5.0, 35.0, 70.0] {
        let label = if times > 1.0 {
            format!("{times} × the 99th percentile")
        } else {
            "the 99th percentile".into()
        };
        chart.limits.push(limit(&label, 14.0 * times, "ng/L", Some(48.9)));
    }
    chart.spans = vec![span("procedure", -0.4, 0.9), span("48 h after the procedure", 48.9, 48.9)];
    chart.source =
        "Limits: multiples of the assay's 99th percentile, Fourth Universal Definition of MI".to_owned();
    chart
}

/// The rise of 26.5 µmol/L or 0.3 mg/dL and the multiples of the baseline: KDIGO 2012.
pub(super) fn creatinine(unit: &str) -> SeriesChart {
    let in_unit =
        |micromol: f64| if unit == "mg/dL" { (micromol / 88.4 * 100.0).round() / 100.0 } else { micromol };
    let values = [(-20.0, 89.0), (24.0, 104.0), (48.0, 128.0), (72.0, 151.0), (120.0, 122.0)];
    let values: Vec<(f64, f64)> = values.iter().map(|(hours, value)| (*hours, in_unit(*value))).collect();
    let mut chart = chart("Creatinine", unit, &values);
    chart.title = "Creatinine rose by two thirds by day 3 and is falling".to_owned();
    let (base, rise) = (values[0].1, if unit == "mg/dL" { 0.3 } else { 26.5 });
    let rounded = |value: f64| (value * 1000.0).round() / 1000.0;
    chart.limits = vec![
        limit(&format!("{rise} {unit} above baseline"), rounded(base + rise), unit, Some(48.0)),
        limit("1.5 × baseline", rounded(base * 1.5), unit, Some(168.0)),
        limit("2 × baseline", rounded(base * 2.0), unit, Some(168.0)),
        limit("3 × baseline", rounded(base * 3.0), unit, Some(168.0)),
        limit("stage 3 once injured", if unit == "mg/dL" { 4.0 } else { 353.6 }, unit, Some(168.0)),
    ];
    chart.spans = vec![span("procedure", 0.0, 1.4), span("48 h", 48.0, 48.0), span("7 d", 168.0, 168.0)];
    chart.source = "Limits: KDIGO 2012.".to_owned();
    chart
}

pub(super) fn haemoglobin() -> SeriesChart {
    let mut chart =
        chart("Haemoglobin", "g/dL", &[(-3.0, 14.2), (4.0, 12.1), (9.0, 10.3), (16.0, 8.9), (26.0, 9.6)]);
    chart.title = "Haemoglobin fell by more than 5 g/dL in the first 16 hours".to_owned();
    chart.limits = vec![
        limit("3 g/dL below the value before", 11.2, "g/dL", None),
        limit("5 g/dL below the value before", 9.2, "g/dL", None),
    ];
    chart.points[4].note = "after two units".to_owned();
    chart.spans = vec![span("procedure", 0.0, 1.1)];
    chart
}

pub(super) fn platelets() -> SeriesChart {
    let mut chart = chart(
        "Platelets",
        "10⁹/L",
        &[(-4.0, 241.0), (20.0, 228.0), (44.0, 190.0), (68.0, 121.0), (116.0, 84.0), (164.0, 132.0)],
    );
    chart.title = "Platelets fell by two thirds by day 5".to_owned();
    for point in &mut chart.points {
        point.written = format!("{} × 10⁹/L", point.value);
    }
    chart
}

/// Sixty values an hour apart that climb and fall.
pub(super) fn crowd() -> SeriesChart {
    let values: Vec<(f64, f64)> = (0..60)
        .map(|index| {
            let hours = f64::from(index);
            (hours - 2.0, (100.0 + 80.0 * (hours / 7.0).sin()).round())
        })
        .collect();
    let mut chart = chart("Lactate dehydrogenase", "U/L", &values);
    chart.limits = vec![limit("upper limit", 120.0, "U/L", None)];
    chart
}

/// What nobody would record on purpose: zero, below zero, no number, another unit, equal times.
pub(super) fn ugly() -> SeriesChart {
    let mut chart = chart(
        "Troponin I",
        "ng/L",
        &[
            (-1.0, 0.0),
            (3.0, 40.0),
            (3.0, 95.0),
            (8.0, f64::NAN),
            (12.0, 2600.0),
            (20.0, -3.0),
            (24.0, 1900.0),
        ],
    );
    chart.title = "Troponin was above 70 times the 99th percentile for half a day".to_owned();
    chart.points[2].written = "0.095 µg/L".to_owned();
    chart.points[3].written = "haemolysed".to_owned();
    chart.points[4].returned = Some(at(200.0));
    for times in [1.0, 5.0, 35.0, 70.0, 3000.0] {
        chart.limits.push(limit(
            &format!("{times} × the 99th percentile of a sex-specific assay"),
            26.0 * times,
            "ng/L",
            Some(48.0),
        ));
    }
    chart.limits.push(SeriesLimit {
        from: Some(at(4.0)),
        until: Some(at(10.0)),
        ..limit("delta of the rule-in", 52.0, "ng/L", None)
    });
    chart.limits.push(SeriesLimit { from: Some(at(90.0)), ..limit("late limit", 60.0, "ng/L", None) });
    chart.limits.push(limit("assay's floor", f64::NAN, "ng/L", None));
    chart.spans = vec![
        span("procedure", 0.0, 1.2),
        span("second look at the vessel", 0.5, 1.5),
        span("transfer", 2.0, 2.0),
        span("48 h after the procedure", 49.2, 49.2),
    ];
    chart
}
