use super::*;

#[test]
fn the_table_has_a_row_for_each_value_in_the_order_given() {
    let figure = troponin().draw("s");
    assert_eq!(figure.table.columns, ["No.", "Drawn", "Came back", "Value", "Against the limits"]);
    assert_eq!(
        figure.table.rows,
        [
            ["1", "−2:00:00", "−54:00", "9 ng/L", "below the 99th percentile"],
            [
                "2",
                "+6:00:00",
                "+6:54:00",
                "220 ng/L",
                "above 5 × the 99th percentile, below 35 × the 99th percentile"
            ],
            ["3", "+12:00:00", "+13:36:00", "1480 ng/L", "above 70 × the 99th percentile"],
            [
                "4",
                "+36:00:00",
                "+37:00:00",
                "900 ng/L",
                "above 35 × the 99th percentile, below 70 × the 99th percentile"
            ],
        ]
    );
    for chart in examples() {
        let table = chart.draw("s").table;
        let numbers: Vec<String> = chart.points.iter().map(|point| point.number.to_string()).collect();
        assert_eq!(table.rows.iter().map(|row| row[0].clone()).collect::<Vec<_>>(), numbers);
        assert!(table.rows.iter().all(|row| row.len() == table.columns.len()));
    }
}

#[test]
fn columns_that_would_be_empty_are_left_out() {
    assert_eq!(platelets().draw("s").table.columns, ["No.", "Drawn", "Came back", "Value"]);
    assert_eq!(column(&platelets(), "Came back")[0], "not recorded");
    assert_eq!(column(&haemoglobin(), "Note"), ["", "", "", "", "after two units"]);
}

/// More than 5 times the 99th percentile is asked for in type 4a infarction, so 5 times itself is
/// not yet above: Fourth Universal Definition, Circulation 2018;138:e618 (from memory).
#[test]
fn a_value_equal_to_a_limit_is_at_it_and_neither_above_nor_below() {
    let mut series = troponin();
    let values = [14.0, 13.9, 70.0, 70.1];
    for (point, value) in series.points.iter_mut().zip(values) {
        point.value = value;
    }
    assert_eq!(
        column(&series, "Against the limits"),
        [
            "at the 99th percentile",
            "below the 99th percentile",
            "at 5 × the 99th percentile",
            "above 5 × the 99th percentile, below 35 × the 99th percentile",
        ]
    );
    // 0.9 + 0.3 in floats is a little under 1.2 or not, and still the limit of 1.2.
    let mut rise = chart("Creatinine", "mg/dL", &[(24.0, 0.9 + 0.3), (30.0, 1.200_001)]);
    rise.limits = vec![limit("0.3 mg/dL above baseline", 1.2, "mg/dL", None)];
    assert_eq!(
        column(&rise, "Against the limits"),
        ["at 1.2 mg/dL (0.3 mg/dL above baseline)", "above 1.2 mg/dL (0.3 mg/dL above baseline)"]
    );
}

#[test]
fn a_limit_counts_from_and_until_its_moments_and_at_both() {
    let mut series = chart("Lactate", "mmol/L", &[(1.0, 3.0), (2.0, 3.0), (6.0, 3.0), (6.1, 3.0)]);
    series.limits = vec![SeriesLimit { from: Some(at(2.0)), ..limit("2 mmol/L", 2.0, "mmol/L", Some(6.0)) }];
    let words = column(&series, "Against the limits");
    assert_eq!(words, ["no limit counts then", "above 2 mmol/L", "above 2 mmol/L", "no limit counts then"]);
}

#[test]
fn limits_of_one_value_are_named_together_and_those_that_are_no_number_not_at_all() {
    let mut series = chart("Creatinine", "µmol/L", &[(24.0, 80.0)]);
    series.limits =
        ["1.5 × baseline", "the limit of the ward"].map(|label| limit(label, 79.5, "µmol/L", None)).to_vec();
    series.limits.push(limit("unknown", f64::NAN, "?", None));
    assert_eq!(column(&series, "Against the limits"), ["above 1.5 × baseline and the limit of the ward"]);
    assert!(series.draw("s").svg.contains("Not drawn, as it is no number: unknown, NaN ?."));
}

#[test]
fn a_value_recorded_in_another_unit_stands_with_both() {
    assert_eq!(column(&ugly(), "Value")[2], "0.095 µg/L = 95 ng/L");
    assert_eq!(column(&platelets(), "Value")[0], "241 × 10⁹/L");
    assert!(texts(&drawn(&ugly()), "point-text").contains(&"(3) 95".to_owned()));
}

#[test]
fn the_summary_says_how_many_values_and_where_they_stand() {
    assert_eq!(
        troponin().draw("s").summary,
        "4 values from −2:00:00 to +36:00:00; the highest is 1480 ng/L at +12:00:00, above 70 × the 99th percentile. The lowest is 9 ng/L at −2:00:00, below the 99th percentile. Limits: multiples of the assay's 99th percentile, Fourth Universal Definition of MI."
    );
    let of = |values: &[(f64, f64)]| chart("Lactate", "mmol/L", values).draw("s").summary;
    assert_eq!(of(&[]), "No values yet.");
    assert_eq!(of(&[(1.0, 4.2)]), "One value, at +1:00:00: 4.2 mmol/L.");
    assert_eq!(of(&[(1.0, 2.0), (1.0, 2.0)]), "2 values, all at +1:00:00: all 2 mmol/L.");
    assert_eq!(of(&[(1.0, f64::NAN)]), "One value, at +1:00:00, which is no number that a scale can hold.");
    // Of equal values the earliest is named.
    assert_eq!(
        of(&[(3.0, 5.0), (2.0, 5.0), (1.0, 1.0), (4.0, 1.0)]),
        "4 values from +1:00:00 to +4:00:00; the highest is 5 mmol/L at +2:00:00. The lowest is 1 mmol/L at +1:00:00."
    );
}

#[test]
fn what_is_no_number_is_told_and_does_not_break_the_line() {
    let figure = ugly().draw("s");
    assert_eq!(column(&ugly(), "Against the limits")[3], "not compared: no number");
    assert!(figure.description.contains("(4) haemolysed is not drawn: no number that a scale can hold."));
    assert!(!drawn(&ugly()).iter().any(|d| d.has_class("point-text") && d.text.starts_with("(4)")));
}
