//! Ratios as they come.

use super::*;

pub(super) fn row(label: &str, ratio: Option<(f64, f64, f64)>, stands: bool) -> OddsRow {
    OddsRow {
        label: label.to_owned(),
        ratio: ratio.map(|(low, estimate, high)| Interval { low, estimate, high }),
        counts: "9 of 310 with it, 12 of 2,104 without".to_owned(),
        chance: "p 0.003, corrected 0.018".to_owned(),
        stands,
    }
}

pub(super) fn chart(rows: Vec<OddsRow>) -> OddsChart {
    OddsChart {
        title: "Calcification goes with no-reflow".to_owned(),
        unit: "odds ratio, exact 95 % interval".to_owned(),
        what: "feature".to_owned(),
        counted: "41 events in 5,230 procedures".to_owned(),
        less: "less often with it".to_owned(),
        more: "more often with it".to_owned(),
        stands_label: "stands after correction for 6 features looked at".to_owned(),
        rows,
        source_rule: "Only complicated cases carry features unless the procedures are counted by feature: then a ratio says what goes with what, and not why".to_owned(),
    }
}

pub(super) fn all() -> Vec<(&'static str, OddsChart)> {
    let rows = vec![
        row("Heavily calcified lesion", Some((2.1, 4.9, 11.8)), true),
        row("Tortuous vessel proximal to the lesion that is treated", Some((0.7, 1.6, 3.4)), false),
        row("Bifurcation", Some((0.2, 0.55, 1.3)), false),
        row("Rotational atherectomy", Some((1.4, f64::INFINITY, f64::INFINITY)), false),
        row("Radial access", Some((0.0, 0.0, 2.2)), false),
        row("Urgent", None, false),
    ];
    let far = vec![
        row("A", Some((30.0, 1e6, 1e9)), true),
        row("B", Some((1e-9, 1e-7, 0.01)), true),
        row("C", Some((f64::NAN, f64::NAN, f64::NAN)), true),
        row("D", Some((0.01, 45.0, 2e5)), true),
    ];
    vec![
        ("plain", chart(rows)),
        ("far", chart(far)),
        ("empty", chart(Vec::new())),
        ("one", chart(vec![row("Urgent", Some((0.98, 1.0, 1.02)), false)])),
    ]
}
