//! The limits that a series of laboratory values is drawn against.

use super::facts::{Facts, Sample, split};
use super::quantities::{
    AgainstLimit, CreatinineUnit, Decimal, Haemoglobin, HaemoglobinUnit, Measured, Unit,
};
use crate::quantity::Offset;

/// One limit in the chart of a series.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Threshold {
    /// What it is: `5 × the 99th percentile`.
    pub label: String,
    /// Where it lies, in the unit of the series.
    pub value: Decimal,
    /// The unit.
    pub unit: &'static str,
    /// Until when it counts; `None` for the whole series.
    pub until: Option<Offset>,
}

const TWO_DAYS_S: i64 = 48 * 3_600;
const WEEK_S: i64 = 7 * 24 * 3_600;

/// The multiples of the 99th percentile that decide, in the unit and of the assay of the last sample.
#[must_use]
pub fn troponin(facts: &Facts) -> Vec<Threshold> {
    multiples(&facts.labs.troponin, "the 99th percentile", &[1, 5, 35, 70], window_end(facts, TWO_DAYS_S))
}

/// The multiples of the upper limit of CK-MB that decide.
#[must_use]
pub fn ck_mb(facts: &Facts) -> Vec<Threshold> {
    multiples(&facts.labs.ck_mb, "the upper limit", &[1, 5, 10], window_end(facts, TWO_DAYS_S))
}

/// The limits of kidney injury that follow from the baseline, in its unit.
#[must_use]
pub fn creatinine(facts: &Facts) -> Vec<Threshold> {
    let cut = split(&facts.labs.creatinine, &facts.procedure);
    let Some(baseline) = cut.before.last() else {
        return Vec::new();
    };
    let (value, unit) = (baseline.value.value(), baseline.value.unit());
    let (rise, level) = match unit {
        CreatinineUnit::MgPerDl => (Decimal::thousandths(300), Decimal::whole(4)),
        CreatinineUnit::MicromolPerL => (Decimal::thousandths(26_500), Decimal::thousandths(353_600)),
    };
    let line = |label: String, value: Decimal, within: i64| Threshold {
        label,
        value,
        unit: unit.symbol(),
        until: window_end(facts, within),
    };
    let times = |tenths: i128| Decimal::quotient(value.wide() * tenths, 10 * i128::from(Decimal::SCALE));
    let mut lines =
        vec![line(format!("{rise} {} above baseline", unit.symbol()), value.plus(rise), TWO_DAYS_S)];
    for (tenths, label) in [(15, "1.5 × baseline"), (20, "2 × baseline"), (30, "3 × baseline")] {
        lines.extend(times(tenths).map(|at| line(label.to_owned(), at, WEEK_S)));
    }
    lines.push(line("stage 3 once injured".to_owned(), level, WEEK_S));
    lines
}

/// The falls of haemoglobin that decide, from the last value before the procedure and without
/// transfusion, in its unit.
#[must_use]
pub fn haemoglobin(facts: &Facts) -> Vec<Threshold> {
    let cut = split(&facts.labs.haemoglobin, &facts.procedure);
    let Some(before) = cut.before.last() else {
        return Vec::new();
    };
    let before: Haemoglobin = before.value;
    let falls = [(3, "3 g/dL below the value before"), (5, "5 g/dL below the value before")];
    let unit = before.unit();
    falls
        .into_iter()
        .filter_map(|(g_per_dl, label)| {
            let fall = Haemoglobin::limit(Decimal::whole(g_per_dl), HaemoglobinUnit::GPerDl).to(unit)?;
            let value = before.value().minus(fall.value());
            (value > Decimal::ZERO).then(|| Threshold {
                label: label.to_owned(),
                value,
                unit: unit.symbol(),
                until: None,
            })
        })
        .collect()
}

/// The end of a window after the procedure.
fn window_end(facts: &Facts, within: i64) -> Option<Offset> {
    facts.procedure.counted_from().and_then(|from| Offset::from_seconds(from.seconds() + within).ok())
}

fn multiples<U: Unit>(
    samples: &[Sample<AgainstLimit<U>>],
    of: &str,
    times: &[i64],
    until: Option<Offset>,
) -> Vec<Threshold> {
    let Some(last) = samples.iter().max_by_key(|sample| sample.drawn) else {
        return Vec::new();
    };
    let unit = last.value.value().unit();
    let Some(limit) = last.value.limit().to(unit) else {
        return Vec::new();
    };
    let limit: Measured<U> = limit;
    times
        .iter()
        .filter_map(|&times| {
            let value =
                Decimal::quotient(limit.value().wide() * i128::from(times), i128::from(Decimal::SCALE))?;
            let label = if times == 1 { of.to_owned() } else { format!("{times} × {of}") };
            Some(Threshold { label, value, unit: unit.symbol(), until })
        })
        .collect()
}
