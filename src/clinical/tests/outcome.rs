//! §12: harm and composite outcome.

use super::{D, Lacks, Met, No, O, P, Refused, Table};
use crate::clinical::facts::HarmDegree;

pub fn tables() -> Vec<Table> {
    vec![harm(), composite()]
}

fn harm() -> Table {
    Table::of("harm", "WHO Conceptual Framework for the ICPS, version 1.1, 2009 (from memory)")
        .row(P, "outcome: death no; major_harm no; intervention no; minor_harm no", Met("none"))
        .row(P, "outcome: death no; major_harm no; intervention no; minor_harm yes", Met("mild"))
        .row(P, "outcome: death no; major_harm no; intervention yes", Met("moderate"))
        .row(P, "outcome: death no; major_harm yes", Met("severe"))
        .row(P, "outcome: death yes; death_by_event yes", Met("death"))
        .row(D, "outcome: death yes; death_by_event no; major_harm yes", Met("severe"))
        .row(O, "outcome: judged moderate", Met("moderate"))
        .row(O, "outcome: judged mild; death no; major_harm yes", Met("mild"))
        .says("Check which is right")
        .row(O, "outcome: judged unknown", Refused)
        .row(O, "outcome: death no", Lacks(&["judged", "major_harm"]))
}

fn composite() -> Table {
    let row = |death: &str, stroke: &str, infarction: &str, again: &str| {
        format!("outcome: death {death}; stroke {stroke}; infarction {infarction}; revascularisation {again}")
    };
    Table::of("composite-outcome", "Serruys et al., N Engl J Med 2009;360:961 (from memory)")
        .row(D, &row("no", "no", "no", "no"), No)
        .row(D, &row("no", "yes", "", "no"), Met("MACCE"))
        .says("death, stroke, infarction, repeat revascularisation")
        .row(D, &row("no", "no", "", "no"), Lacks(&["infarction"]))
        .row(D, &row("no", "yes", "no", "no"), No)
        .when("composite", "mace")
        .says("Parts of MACE here: death, infarction, repeat revascularisation.")
}

#[test]
fn degrees_of_harm_are_ordered_from_none_to_death() {
    use HarmDegree::{Death, Mild, Moderate, None, Severe};
    let mut degrees = vec![Death, None, Severe, Mild, Moderate];
    degrees.sort();
    assert_eq!(degrees, [None, Mild, Moderate, Severe, Death]);
}
