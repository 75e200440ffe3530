//! §9: kidney injury, eGFR, contrast; contrast nephropathy of §13.

use super::{D, Lacks, Met, No, O, P, Table, finding, given};
use crate::clinical::{Choices, Verdict};

pub fn tables() -> Vec<Table> {
    vec![injury(), nephropathy(), egfr(), ratio(), limit()]
}

/// Creatinine before, and one so many hours after the procedure.
fn creatinine(before: &str, hours: i64, after: &str) -> String {
    format!("creatinine: -60 {before}; {} {after}", hours * 60)
}

fn injury() -> Table {
    let row = |before: &str, after: &str, hours: i64| {
        format!("{} | kidney: replacement no", creatinine(before, hours, after))
    };
    Table::of(
        "kidney-injury",
        "KDIGO, Kidney Int Suppl 2012;2:1, through PMC4943672 and html.scirp.org 9-2070538_7",
    )
    .row(D, &row("0.9 mg/dL", "1.2 mg/dL", 40), Met("1"))
    .row(D, &row("0,9 mg/dL", "1,2 mg/dL", 40), Met("1"))
    .row(D, &row("0.9 mg/dL", "1.199999 mg/dL", 40), No)
    .row(D, &row("1.0 mg/dL", "1.29 mg/dL", 40), No)
    .row(D, &row("1.0 mg/dL", "1.3 mg/dL", 72), No)
    .says("No creatinine within 48 h")
    .row(D, &row("1.0 mg/dL", "1.5 mg/dL", 144), Met("1"))
    .row(D, &row("1.0 mg/dL", "1.499999 mg/dL", 144), No)
    .row(D, &row("1.0 mg/dL", "2.0 mg/dL", 72), Met("2"))
    .row(D, &row("1.0 mg/dL", "1.999999 mg/dL", 72), Met("1"))
    .row(D, &row("1.0 mg/dL", "3.0 mg/dL", 72), Met("3"))
    .row(D, &row("1.0 mg/dL", "2.999999 mg/dL", 72), Met("2"))
    .row(D, &row("3.7 mg/dL", "4.0 mg/dL", 36), Met("3"))
    .row(D, &row("3.9 mg/dL", "4.1 mg/dL", 36), No)
    .row(D, &row("80 µmol/L", "106.5 µmol/L", 24), Met("1"))
    .row(D, &row("80 µmol/L", "106.499999 µmol/L", 24), No)
    .says("a later rise would not be seen")
    // 80 µmol/L is 0.904777 mg/dL: 26.5 µmol/L turned into mg/dL first would miss the rise.
    .row(D, &row("327.1 umol/l", "353.6 umol/l", 24), Met("3"))
    .row(D, &row("1.0 mg/dL", "115 µmol/L", 24), Met("1"))
    .says("two units")
    // A rise by 26.51 µmol/L counts, whatever a higher value in the other unit comes to.
    .row(
        D,
        "creatinine: -60 1.0 mg/dL; 1440 114.93 µmol/L; 1500 1.2999 mg/dL | kidney: replacement no",
        Met("1"),
    )
    .row(P, "creatinine: -60 1.0 mg/dL; 600 1.0 mg/dL | kidney: replacement yes", Met("3"))
    // A later window of 48 h between two samples counts by KDIGO's wording.
    .row(D, "creatinine: -60 1.0 mg/dL; 1440 1.0 mg/dL; 4000 1.3 mg/dL | kidney: replacement no", Met("1"))
    // Counted between samples, a baseline two days old is too old for the fixed rise.
    .row(D, "creatinine: -2880 1.0 mg/dL; 600 1.3 mg/dL | kidney: replacement no", No)
    .when("kidney-window", "samples")
    .row(O, "creatinine: -2880 1.0 mg/dL; 600 1.3 mg/dL | kidney: replacement no", Met("1"))
    // Urine.
    .row(P, &format!("{} ; urine_below_half 6 h", row("1.0 mg/dL", "1.0 mg/dL", 24)), Met("1"))
    .row(P, &format!("{} ; urine_below_half 12 h", row("1.0 mg/dL", "1.0 mg/dL", 24)), Met("2"))
    .row(P, &format!("{} ; urine_below_third 24 h", row("1.0 mg/dL", "1.0 mg/dL", 24)), Met("3"))
    .row(P, &format!("{} ; anuria 12 h", row("1.0 mg/dL", "1.0 mg/dL", 24)), Met("3"))
    .row(D, &format!("{} ; urine_below_half 359 min", row("1.0 mg/dL", "1.0 mg/dL", 24)), No)
    // What is missing.
    .row(O, "creatinine: -60 1.0 mg/dL | kidney: replacement no", Lacks(&["creatinine_after"]))
    .row(O, "creatinine: 600 1.0 mg/dL | kidney: replacement no", Lacks(&["creatinine_before"]))
    .row(
        O,
        "creatinine: -60 1.0 mg/dL; 10140 1.6 mg/dL | kidney: replacement no",
        Lacks(&["creatinine_after"]),
    )
    .says("later than 7 days")
    .row(O, "creatinine: -60 1.0 mg/dL; 600 1.6 mg/dL", Lacks(&["replacement"]))
    .says("At least stage 1")
}

fn nephropathy() -> Table {
    let row =
        |before: &str, after: &str| format!("{} | kidney: other_cause no", creatinine(before, 60, after));
    Table::of(
        "contrast-nephropathy",
        "“Contrast-induced nephropathy in a high-risk population”, Interv Cardiol Rev",
    )
    .row(D, &row("1.0 mg/dL", "1.25 mg/dL"), Met("nephropathy"))
    .row(D, &row("1.0 mg/dL", "1.24 mg/dL"), No)
    .row(D, &row("2.4 mg/dL", "2.9 mg/dL"), Met("nephropathy"))
    .row(D, &row("2.4 mg/dL", "2.899999 mg/dL"), No)
    .row(D, &row("200 µmol/L", "244 µmol/L"), Met("nephropathy"))
    .row(D, &row("200 µmol/L", "243.999999 µmol/L"), No)
    .row(O, &creatinine("1.0 mg/dL", 60, "1.5 mg/dL"), Lacks(&["other_cause"]))
    .row(D, &format!("{} | kidney: other_cause yes", creatinine("1.0 mg/dL", 60, "1.5 mg/dL")), No)
    .row(
        O,
        &format!("{} | kidney: other_cause no", creatinine("1.0 mg/dL", 73, "1.5 mg/dL")),
        Lacks(&["creatinine_after"]),
    )
    .row(
        D,
        &format!("{} | kidney: other_cause no", creatinine("1.0 mg/dL", 24, "1.5 mg/dL")),
        Met("nephropathy"),
    )
    .row(
        O,
        &format!("{} | kidney: other_cause no", creatinine("1.0 mg/dL", 24, "1.5 mg/dL")),
        Lacks(&["creatinine_after"]),
    )
    .when("nephropathy-window", "48-to-72-h")
}

/// The ten worked values: creatinine in mg/dL, age, sex, eGFR.
const WORKED: [(&str, &str, &str, &str); 10] = [
    ("0.7", "40", "female", "112.1"),
    ("0.8", "65", "male", "98.2"),
    ("0.9", "40", "male", "110.7"),
    ("1.5", "70", "male", "49.8"),
    ("1.0", "60", "male", "86.2"),
    ("1.5", "70", "female", "37.3"),
    ("1.0", "60", "female", "64.5"),
    ("2.0", "80", "male", "33.1"),
    ("0.6", "50", "female", "109.3"),
    ("4.0", "75", "female", "11.1"),
];

fn egfr() -> Table {
    let mut table = Table::of(
        "egfr",
        "Inker et al., N Engl J Med 2021;385:1737; coefficients from the National Kidney Foundation",
    );
    for (creatinine, age, sex, expected) in WORKED {
        table = table.row(
            D,
            &format!("creatinine: -60 {creatinine} mg/dL | patient: age {age}; sex {sex}"),
            Met(expected),
        );
    }
    table
        .row(D, "creatinine: -60 88.42 µmol/L | patient: age 60; sex male", Met("86.2"))
        .row(D, "creatinine: -60 0.9 mg/dL | patient: age 55; sex female", Met("75.5"))
        .from("a worked example printed elsewhere: about 76")
        .row(O, "creatinine: -60 1.0 mg/dL | patient: sex male", Lacks(&["age"]))
        .row(O, "patient: age 60; sex male", Lacks(&["creatinine_before"]))
        .row(O, "patient: age 17", super::Refused)
}

fn ratio() -> Table {
    let row = |volume: &str, clearance: &str| format!("kidney: contrast {volume}; clearance {clearance}");
    Table::of("contrast-ratio", "Gurm et al. 2011; Laskey et al. 2007 (from memory)")
        .row(D, &row("180", "90"), No)
        .says("2.00")
        .row(D, &row("180.000001", "90"), Met(">2"))
        .row(D, &row("200", "60"), Met(">3"))
        .says("3.33")
        .row(D, &row("222", "60"), Met(">3"))
        .says("3.70")
        .row(D, &row("222.000001", "60"), Met(">3.7"))
        .row(D, &row("200", "50"), Met(">3.7"))
        .says("4.00")
        // Cockcroft and Gault: (140 − 60) × 72 ÷ (72 × 1.0) is 80 mL/min, and 68 for a woman.
        .row(D, "creatinine: -60 1.0 mg/dL | kidney: contrast 160 | patient: age 60; weight 72; sex male", No)
        .row(D, "creatinine: -60 1.0 mg/dL | kidney: contrast 160.000001 | patient: age 60; weight 72; sex male", Met(">2"))
        .row(D, "creatinine: -60 88.42 µmol/L | kidney: contrast 136 | patient: age 60; weight 72; sex female", No)
        .row(D, "creatinine: -60 88.42 µmol/L | kidney: contrast 136.000001 | patient: age 60; weight 72; sex female", Met(">2"))
        .row(D, "kidney: contrast 178; egfr 100", Met("≥1.78"))
        .when("contrast-ratio", "egfr")
        .row(D, "kidney: contrast 177.999999; egfr 100", No)
        .when("contrast-ratio", "egfr")
        .row(O, "kidney: clearance 90", Lacks(&["contrast"]))
        .row(O, "kidney: contrast 90", Lacks(&["creatinine_before", "age", "weight", "sex"]))
}

fn limit() -> Table {
    let row = |kg: &str, creatinine: &str, volume: &str| {
        format!("creatinine: -60 {creatinine} mg/dL | patient: weight {kg} | kidney: contrast {volume}")
    };
    Table::of("contrast-limit", "Cigarroa et al., Am J Med 1989;86:649 (from memory)")
        .row(D, &row("70", "1.0", "300"), No)
        .says("300 mL allowable")
        .row(D, &row("70", "1.0", "300.000001"), Met("exceeded"))
        .row(D, &row("80", "2.0", "200"), No)
        .says("200 mL allowable")
        .row(D, &row("80", "2.0", "201"), Met("exceeded"))
        .row(D, &row("60", "1.0", "300"), No)
        .says("300 mL allowable")
        .row(D, &row("70", "1.5", "233.3"), No)
        .says("233.3 mL allowable")
        .row(D, &row("70", "1.5", "233.4"), Met("exceeded"))
        .row(D, "creatinine: -60 176.84 µmol/L | patient: weight 80 | kidney: contrast 200", No)
        .row(D, "kidney: contrast 301", Met("exceeded"))
        .row(O, "kidney: contrast 300", Lacks(&["creatinine_before", "weight"]))
        .row(O, "creatinine: -60 1.5 mg/dL | patient: weight 70", Lacks(&["contrast"]))
        .says("233.3 mL")
}

#[test]
fn egfr_agrees_with_the_ten_worked_values_to_a_tenth() {
    for (creatinine, age, sex, expected) in WORKED {
        let (facts, _) =
            given(&format!("creatinine: -60 {creatinine} mg/dL | patient: age {age}; sex {sex}"));
        let found = finding("egfr", &facts, &Choices::default());
        let Verdict::Met { grade, .. } = found.verdict else {
            panic!("{creatinine} {age} {sex}: {:?}", found.verdict)
        };
        let (got, wanted): (f64, f64) = (grade.code.parse().unwrap(), expected.parse().unwrap());
        assert!((got - wanted).abs() < 0.05, "{creatinine} mg/dL, {age}, {sex}: {got}, expected {wanted}");
    }
}
