//! §6: infarction and injury around the procedure, four definitions side by side.

use super::{D, Expect, Lacks, Met, No, O, Table};

const UNIVERSAL: &str = "Thygesen et al., Circulation 2018;138:e618 (from memory)";
const INJURY: &str = "Bulluck et al., Eur Heart J 2021;42:2630 (from memory)";
const SCAI: &str = "Moussa et al., J Am Coll Cardiol 2013;62:1563 (from memory)";
const ARC2: &str = "Garcia-Garcia et al., Circulation 2018;137:2635 (from memory)";

/// No evidence at all.
const NONE: &str = "ischaemia: ecg no; st_shift no; q_waves no; lbbb no; imaging_loss no; flow_limiting no; heart_failure no; hypotension no | outcome: death no";
/// A flow-limiting complication and nothing else.
const FLOW: &str = "ischaemia: ecg no; st_shift no; q_waves no; lbbb no; imaging_loss no; flow_limiting yes; heart_failure no; hypotension no | outcome: death no";
/// New Q waves in two contiguous leads.
const Q_WAVES: &str =
    "ischaemia: q_waves_contiguous yes; lbbb no; imaging_loss no; flow_limiting no | outcome: death no";
/// CK-MB was not measured.
const NO_CK_MB: &str = "labs: ck_mb_measured no";

/// Multiples of a 99th percentile of 10 ng/L: samples before, then one at 10 h.
fn troponin(before: &[&str], peak: &str) -> String {
    let mut text = "troponin: ".to_owned();
    for (place, value) in before.iter().enumerate() {
        text += &format!("{} {value} ng/L (limit 10 ng/L); ", place as i64 * 60 - 300);
    }
    text + &format!("600 {peak} ng/L (limit 10 ng/L)")
}

/// What is recorded, then 4a, injury, SCAI, ARC-2.
struct Case(String, [Expect; 4]);

/// The rows of the reference table, in its order.
fn published() -> Vec<Case> {
    let row = |before: &[&str], peak: &str, more: &[&str], expect: [Expect; 4]| {
        Case(format!("{} | {}", troponin(before, peak), more.join(" | ")), expect)
    };
    vec![
        row(&["5"], "50", &[FLOW, NO_CK_MB], [No, Met("minor"), No, No]),
        row(&["5"], "51", &[FLOW, NO_CK_MB], [Met("4a"), Met("infarction"), No, No]),
        row(&["5"], "60", &[NONE, "ck_mb: 600 6 ng/mL (limit 5 ng/mL)"], [No, Met("major"), No, No]),
        row(&["5"], "400", &[FLOW, NO_CK_MB], [Met("4a"), Met("infarction"), No, Met("infarction")]),
        row(
            &["5"],
            "400",
            &[Q_WAVES, NO_CK_MB],
            [Met("4a"), Met("infarction"), Met("infarction"), Met("infarction")],
        ),
        row(
            &["5"],
            "720",
            &[NONE, "ck_mb: 600 40 ng/mL (limit 5 ng/mL)"],
            [No, Met("major"), No, Met("injury")],
        ),
        row(&["5"], "720", &[NONE, NO_CK_MB], [No, Met("major"), Met("infarction"), Met("injury")]),
        row(&["45", "45"], "53", &[FLOW, NO_CK_MB], [No, No, No, No]),
        row(&["45", "45"], "55", &[FLOW, NO_CK_MB], [Met("4a"), Met("infarction"), No, No]),
        row(&["60", "80"], "200", &[FLOW, NO_CK_MB], [Lacks(&[]), Lacks(&[]), No, No]),
        row(&["60", "80"], "500", &[FLOW, NO_CK_MB], [Lacks(&[]), Lacks(&[]), No, Lacks(&[])]),
    ]
}

pub fn tables() -> Vec<Table> {
    let mut tables = [
        Table::of("infarction-universal", UNIVERSAL),
        Table::of("myocardial-injury", INJURY),
        Table::of("infarction-scai", SCAI),
        Table::of("infarction-arc2", ARC2),
    ];
    for Case(given, expect) in published() {
        for (table, expect) in tables.iter_mut().zip(expect) {
            let taken = std::mem::replace(table, Table::of(table.definition, table.source));
            *table = taken.row(D, &given, expect);
        }
    }
    let [universal, injury, scai, arc2] = tables;
    vec![more_universal(universal), more_injury(injury), more_scai(scai), more_arc2(arc2)]
}

/// Baseline 0.5, no peak, new Q waves.
const NO_PEAK: &str = "troponin: -300 5 ng/L (limit 10 ng/L) | ischaemia: q_waves yes";

fn more_universal(table: Table) -> Table {
    table
        .row(O, &format!("{NO_PEAK} | outcome: death no"), Lacks(&["troponin_after"]))
        .row(O, &format!("troponin: 600 60 ng/L (limit 10 ng/L) | {FLOW}"), Lacks(&["troponin_before"]))
        .row(O, &format!("{} | {FLOW}", troponin(&["45"], "60")), Lacks(&["troponin_trend"]))
        // Whatever the baseline was, no evidence settles it.
        .row(D, &format!("troponin: 600 60 ng/L (limit 10 ng/L) | {NONE}"), No)
        // Later than 48 h does not count.
        .row(D, &format!("troponin: -60 5 ng/L (limit 10 ng/L); 2881 900 ng/L (limit 10 ng/L) | {FLOW}"), Lacks(&["troponin_after"]))
        .says("later than 48 h")
        .row(D, &format!("troponin: -60 5 ng/L (limit 10 ng/L); 2880 900 ng/L (limit 10 ng/L) | {FLOW}"), Met("4a"))
        // A falling baseline is settled.
        .row(D, &format!("{} | {FLOW}", troponin(&["90", "45"], "55")), Met("4a"))
        // Exactly 20 % is not above it.
        .row(D, &format!("{} | {FLOW}", troponin(&["50", "50"], "60")), No)
        .row(D, &format!("{} | {FLOW}", troponin(&["50", "50"], "60.000001")), Met("4a"))
        // Q waves with a raised troponin below 5 times.
        .row(D, &format!("{} | {Q_WAVES}", troponin(&["5"], "20")), Met("4a"))
        .says("Q waves")
        .row(D, &format!("{} | {NONE} | ischaemia: thrombus_post_mortem yes", troponin(&["5"], "8")), Met("4a"))
        .row(O, &format!("{} | ischaemia: flow_limiting no; q_waves no; imaging_loss no", troponin(&["5"], "60")), Lacks(&["death", "thrombus_post_mortem", "ecg"]))
        // Two assays cannot be taken from one another.
        .row(O, &format!("troponin: -300 45 ng/L (limit 10 ng/L); -240 45 ng/L (limit 10 ng/L); 600 90 ng/L (limit 15 ng/L) | {FLOW}"), Lacks(&[]))
        .says("different limits")
        // A stent thrombosis on the ward makes a type 4b.
        .row(D, &format!("{} | {FLOW} | stent-thrombosis: angiography yes", troponin(&["5"], "60")), Met("4a"))
        .says("type 4b")
        // The same assay in two units is one assay.
        .row(D, &format!("troponin: -300 45 ng/L (limit 10 ng/L); -240 0.045 ng/mL (limit 0.01 ng/mL); 600 55 ng/L (limit 10 ng/L) | {FLOW}"), Met("4a"))
}

fn more_injury(table: Table) -> Table {
    table
        .row(O, &format!("{NO_PEAK} | outcome: death no"), Lacks(&["troponin_after"]))
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "10")), No)
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "10.000001")), Met("minor"))
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "50")), Met("minor"))
        .from("pooled analysis of 9,081 elective procedures, Eur Heart J (PMC7850039)")
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "50")), Met("major"))
        .when("major-injury", "at-least-5")
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "49.999999")), Met("minor"))
        .when("major-injury", "at-least-5")
}

fn more_scai(table: Table) -> Table {
    let ck_mb = |value: &str, signs: &str| {
        format!("troponin: -60 5 ng/L (limit 10 ng/L) | ck_mb: 600 {value} U/L (limit 10 U/L) | {signs}")
    };
    table
        .row(O, NO_PEAK, Lacks(&["ck_mb_measured", "troponin_after"]))
        .row(D, &ck_mb("100", NONE), Met("infarction"))
        .row(D, &ck_mb("99", NONE), No)
        .row(D, &ck_mb("99.999999", NONE), No)
        .row(D, &ck_mb("50", "ischaemia: q_waves no; lbbb yes"), Met("infarction"))
        .row(D, &ck_mb("49.999999", "ischaemia: q_waves no; lbbb yes"), No)
        .row(D, &ck_mb("50", "ischaemia: q_waves no"), Lacks(&["lbbb"]))
        // Elevated and neither stable nor falling: the rise, a new shift of ST and failure.
        .row(D, &format!("{} | labs: ck_mb_measured no | ischaemia: st_shift yes; heart_failure yes; q_waves no; lbbb no", troponin(&["60", "80"], "780")), Met("infarction"))
        .row(D, &format!("{} | labs: ck_mb_measured no | ischaemia: st_shift yes; heart_failure no; hypotension no; q_waves no; lbbb no", troponin(&["60", "80"], "780")), No)
        .row(D, &format!("{} | labs: ck_mb_measured no | {NONE}", troponin(&["80", "80"], "780")), Met("infarction"))
        .row(D, &format!("{} | labs: ck_mb_measured no | {NONE}", troponin(&["80", "80"], "779.999999")), No)
        .row(O, &format!("{} | {NONE}", troponin(&["5"], "720")), Lacks(&["ck_mb_measured"]))
        .row(O, &format!("troponin: 600 720 ng/L (limit 10 ng/L) | labs: ck_mb_measured no | {NONE}"), Lacks(&["troponin_before"]))
        .row(O, "labs: ck_mb_measured yes", Lacks(&["ck_mb_after"]))
}

fn more_arc2(table: Table) -> Table {
    table
        .row(O, NO_PEAK, Lacks(&["troponin_after"]))
        .row(D, &format!("{} | {FLOW}", troponin(&["5"], "355")), Met("infarction"))
        .row(D, &format!("{} | {FLOW}", troponin(&["5"], "354.999999")), No)
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "705")), Met("injury"))
        .row(D, &format!("{} | {NONE}", troponin(&["5"], "704.999999")), No)
        .row(D, &format!("troponin: 600 349 ng/L (limit 10 ng/L) | {FLOW}"), No)
        .row(O, &format!("troponin: 600 400 ng/L (limit 10 ng/L) | {FLOW}"), Lacks(&["troponin_before"]))
        .row(
            O,
            &format!("{} | ischaemia: q_waves no; flow_limiting no", troponin(&["5"], "400")),
            Lacks(&["imaging_substantial"]),
        )
}
