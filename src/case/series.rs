//! The laboratory values of a case as drawings: one for each test, against the limits that decide.

use super::lab::{Lab, LabResult, LabTest};
use super::reading::words;
use super::stored::{Row, StoredCase};
use crate::clinical::quantities::{Measured, Unit};
use crate::clinical::thresholds::{self, Threshold};
use crate::clinical::{Facts, definition};
use crate::figure::series::{SeriesChart, SeriesLimit, SeriesPoint, SeriesSpan};

/// The drawings of a case's laboratory values, in the order of the tests. One value is no series:
/// the table holds it.
#[must_use]
pub fn charts(case: &StoredCase, facts: &Facts) -> Vec<(LabTest, SeriesChart)> {
    LabTest::ALL.iter().filter_map(|test| Some((*test, chart(*test, case, facts)?))).collect()
}

fn chart(test: LabTest, case: &StoredCase, facts: &Facts) -> Option<SeriesChart> {
    let rows: Vec<(u32, &Row<Lab>)> =
        (1..).zip(&case.labs).filter(|(_, row)| row.value.result.test() == test).collect();
    let limits = limits(test, facts);
    let last = rows.last()?.1;
    let unit = limits.first().map_or_else(|| unit_of(&last.value.result), |limit| limit.unit);
    let points: Vec<SeriesPoint> =
        rows.iter().filter_map(|&(number, row)| point(number, &row.value, unit)).collect();
    if points.len() < 2 {
        return None;
    }
    let title = title(test, &points, &limits, rows.len())?;
    Some(SeriesChart {
        title,
        quantity: test.label().to_owned(),
        unit: unit.to_owned(),
        points,
        limits: limits.iter().map(limit).collect(),
        spans: spans(facts),
        source: source(test).to_owned(),
    })
}

fn limits(test: LabTest, facts: &Facts) -> Vec<Threshold> {
    match test {
        LabTest::Troponin => thresholds::troponin(facts),
        LabTest::CkMb => thresholds::ck_mb(facts),
        LabTest::Creatinine => thresholds::creatinine(facts),
        LabTest::Haemoglobin => thresholds::haemoglobin(facts),
        LabTest::Platelets => Vec::new(),
    }
}

/// A value in the unit of the drawing; none when its unit measures something else.
fn point(number: u32, lab: &Lab, unit: &str) -> Option<SeriesPoint> {
    let value = match lab.result {
        LabResult::Troponin(result) => in_unit(result.value(), unit),
        LabResult::CkMb(result) => in_unit(result.value(), unit),
        LabResult::Creatinine(value) => in_unit(value, unit),
        LabResult::Haemoglobin(value) => in_unit(value, unit),
        LabResult::Platelets(value) => in_unit(value, unit),
    }?;
    Some(SeriesPoint {
        number,
        at: lab.drawn,
        returned: lab.returned,
        value,
        written: lab.result.value(),
        note: String::new(),
    })
}

fn in_unit<U: Unit>(value: Measured<U>, unit: &str) -> Option<f64> {
    let unit = U::ALL.iter().find(|one| one.symbol() == unit)?;
    value.to(*unit).map(|value| value.value().approximate())
}

fn unit_of(result: &LabResult) -> &'static str {
    match result {
        LabResult::Troponin(result) => result.value().unit().symbol(),
        LabResult::CkMb(result) => result.value().unit().symbol(),
        LabResult::Creatinine(value) => value.unit().symbol(),
        LabResult::Haemoglobin(value) => value.unit().symbol(),
        LabResult::Platelets(value) => value.unit().symbol(),
    }
}

fn limit(threshold: &Threshold) -> SeriesLimit {
    SeriesLimit {
        label: threshold.label.clone(),
        value: threshold.value.approximate(),
        written: format!("{} {}", threshold.value.rounded(2), threshold.unit),
        from: None,
        until: threshold.until,
    }
}

/// The procedure, whose end the windows count from.
fn spans(facts: &Facts) -> Vec<SeriesSpan> {
    let times = facts.procedure.started.zip(facts.procedure.ended);
    times.map(|(from, to)| SeriesSpan { label: "procedure".to_owned(), from, to }).into_iter().collect()
}

/// What the values do, in a line: how far they went, from where.
fn title(test: LabTest, points: &[SeriesPoint], limits: &[Threshold], all: usize) -> Option<String> {
    let first = points.first()?;
    let falls = matches!(test, LabTest::Haemoglobin | LabTest::Platelets);
    let order = |a: &&SeriesPoint, b: &&SeriesPoint| a.value.total_cmp(&b.value);
    let extreme = if falls { points.iter().min_by(order)? } else { points.iter().max_by(order)? };
    let left_out = all - points.len();
    let more = if left_out > 0 { format!("; not drawn, in another unit: {left_out}") } else { String::new() };
    let name = test.label();
    let text = if extreme.number == first.number {
        let word = if falls { "did not fall below" } else { "did not rise above" };
        format!("{name} {word} the first value of {}", first.written)
    } else {
        let word = if falls { "fell" } else { "rose" };
        format!("{name} {word} from {} to {}", first.written, extreme.written)
    };
    let passed = limits.iter().rev().find(|limit| {
        let at = limit.value.approximate();
        if falls { extreme.value <= at } else { extreme.value > at }
    });
    let passed = passed.filter(|_| extreme.number != first.number);
    Some(match passed {
        Some(limit) if falls => {
            format!("{text}, {} or more{more}", limit.label.trim_end_matches(" the value before"))
        }
        Some(limit) => format!("{text}, above {}{more}", words::lower_first(&limit.label)),
        None => format!("{text}{more}"),
    })
}

/// Where the limits of a test come from, by the definitions that use them.
fn source(test: LabTest) -> String {
    let slugs: &[&str] = match test {
        LabTest::Troponin | LabTest::CkMb => &["infarction-universal", "infarction-scai", "infarction-arc2"],
        LabTest::Creatinine => &["kidney-injury"],
        LabTest::Haemoglobin => &["bleeding-barc"],
        LabTest::Platelets => &[],
    };
    let names: Vec<&str> = slugs.iter().filter_map(|slug| definition(slug)).map(|one| one.name).collect();
    if names.is_empty() {
        return String::new();
    }
    format!("Limits of {}; the handbook has their sources.", words::join(&names))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::reading::Reading;
    use crate::case::{Case, CaseCode, evidence};
    use crate::vocabulary::Vocabulary;

    fn charts_of(labs: &str) -> Vec<(LabTest, SeriesChart)> {
        let text = format!(
            "format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n\
             [[events]]\nkey = \"a\"\nat = \"+0:00\"\nkind = \"access\"\n\
             [[events]]\nkey = \"b\"\nat = \"+60:00\"\nkind = \"outcome\"\n{labs}"
        );
        let case: Case = toml::from_str(&text).unwrap();
        let case = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
        let reading = Reading::of(&case.events, &case.complications);
        let facts = evidence::facts(&case, &reading, &Vocabulary::default());
        charts(&case, &facts)
    }

    fn lab(test: &str, drawn: &str, value: &str, limit: &str) -> String {
        let limit = if limit.is_empty() { String::new() } else { format!("limit = \"{limit}\"\n") };
        format!("[[labs]]\ntest = \"{test}\"\ndrawn = \"{drawn}\"\nvalue = \"{value}\"\n{limit}")
    }

    #[test]
    fn troponin_is_drawn_in_one_unit_against_the_multiples_of_its_limit() {
        let labs = [
            lab("troponin", "-30:00", "0.009 µg/L", "14 ng/L"),
            lab("troponin", "+6:00:00", "600 ng/L", "14 ng/L"),
        ];
        let found = charts_of(&labs.concat());
        let [(LabTest::Troponin, chart)] = found.as_slice() else { panic!("{found:?}") };
        assert_eq!(chart.title, "Troponin rose from 0.009 µg/L to 600 ng/L, above 35 × the 99th percentile");
        assert!((chart.points[0].value - 9.0).abs() < 1e-9);
        assert_eq!(chart.limits.len(), 4);
        assert!(chart.limits.iter().all(|limit| limit.until.is_some()));
        assert_eq!(chart.spans.len(), 1);
    }

    #[test]
    fn a_fall_of_haemoglobin_says_how_far() {
        let labs =
            [lab("haemoglobin", "-30:00", "13 g/dL", ""), lab("haemoglobin", "+6:00:00", "9.5 g/dL", "")];
        let (_, chart) = charts_of(&labs.concat()).remove(0);
        assert_eq!(chart.title, "Haemoglobin fell from 13 g/dL to 9.5 g/dL, 3 g/dL below or more");
    }

    #[test]
    fn a_value_in_a_unit_that_measures_something_else_is_left_out_and_said_so() {
        let labs = [
            lab("ck-mb", "-30:00", "20 U/L", "25 U/L"),
            lab("ck-mb", "+6:00:00", "12 ng/mL", "5 ng/mL"),
            lab("ck-mb", "+9:00:00", "14 ng/mL", "5 ng/mL"),
        ];
        let (_, chart) = charts_of(&labs.concat()).remove(0);
        assert_eq!(chart.points.len(), 2);
        assert!(chart.title.ends_with("; not drawn, in another unit: 1"), "{}", chart.title);
    }

    #[test]
    fn one_value_is_no_series_and_no_rise_has_its_own_words() {
        assert!(charts_of(&lab("platelets", "-30:00", "180 ×10⁹/L", "")).is_empty());
        let labs =
            [lab("creatinine", "-30:00", "99 µmol/L", ""), lab("creatinine", "+24:00:00", "90 µmol/L", "")];
        let (_, flat) = charts_of(&labs.concat()).remove(0);
        assert_eq!(flat.title, "Creatinine did not rise above the first value of 99 µmol/L");
    }
}
