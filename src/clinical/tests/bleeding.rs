//! §8 and the access site of §13.

use super::{D, Lacks, Met, No, O, P, Table};

pub fn tables() -> Vec<Table> {
    vec![barc(), haematoma(), access()]
}

const NO_MORE: &str =
    "tamponade no; surgery no; vasoactive no; intracranial no; vision_loss no; bypass_related no; fatal no";
const NO_ACTION: &str = "intervention no; higher_care no; evaluation no";

fn bleed(haemoglobin: [&str; 2], more: &str) -> String {
    let [before, lowest] = haemoglobin;
    format!("haemoglobin: -60 {before}; 600 {lowest} | bleeding: {NO_MORE}; {NO_ACTION}; {more}")
}

fn barc() -> Table {
    let none = "overt yes; transfused no";
    Table::of("bleeding-barc", "Mehran et al., Circulation 2011;123:2736, through Crit Care (cc12764) and Blood (8436409)")
        .row(D, &bleed(["14.0 g/dL", "11.1 g/dL"], "overt yes; transfused no; intervention yes; higher_care yes"), Met("2"))
        .row(D, &bleed(["14.0 g/dL", "11.0 g/dL"], none), Met("3a"))
        .says("3.0 g/dL")
        .row(D, &bleed(["14.0 g/dL", "11.000001 g/dL"], none), Met("1"))
        .row(D, &bleed(["14.0 g/dL", "9.0 g/dL"], none), Met("3b"))
        .row(D, &bleed(["14.0 g/dL", "9.000001 g/dL"], none), Met("3a"))
        .row(D, &bleed(["13.0 g/dL", "10.0 g/dL"], "overt yes; units_before_nadir 2"), Met("3b"))
        .says("5.0 g/dL")
        .row(D, &bleed(["13.0 g/dL", "12.0 g/dL"], "overt yes; units_before_nadir 1"), Met("3a"))
        .says("transfusion")
        .row(P, &bleed(["13.0 g/dL", "12.5 g/dL"], "overt yes; transfused no; tamponade yes"), Met("3b"))
        .says("amponade")
        .row(D, &bleed(["14.0 g/dL", "10.0 g/dL"], "overt no; transfused no"), No)
        .says("without overt bleeding")
        // The same falls in other units.
        .row(D, &bleed(["140 g/L", "90 g/L"], none), Met("3b"))
        .row(D, &bleed(["14.0 g/dL", "90 g/L"], none), Met("3b"))
        .row(D, &bleed(["8.69 mmol/L", "5.58 mmol/L"], none), Met("3b"))
        .row(D, &bleed(["8.69 mmol/L", "5.59 mmol/L"], none), Met("3a"))
        // Other clauses of the rule.
        .row(P, &bleed(["14 g/dL", "14 g/dL"], "overt yes; transfused no; surgery yes"), Met("3b"))
        .row(P, &bleed(["14 g/dL", "14 g/dL"], "overt yes; transfused no; intracranial yes"), Met("3c"))
        .row(P, &bleed(["14 g/dL", "14 g/dL"], "overt yes; transfused no; vision_loss yes"), Met("3c"))
        .row(P, &bleed(["14 g/dL", "8 g/dL"], "overt yes; transfused no; fatal yes; fatal_proved yes"), Met("5b"))
        .row(P, &bleed(["14 g/dL", "8 g/dL"], "overt yes; transfused no; fatal yes; fatal_proved no"), Met("5a"))
        .row(P, &bleed(["14 g/dL", "8 g/dL"], "overt yes; bypass_related yes; bypass_intracranial no; sternum_reopened no; bypass_units 5"), Met("4"))
        .row(P, &bleed(["14 g/dL", "8 g/dL"], "overt yes; bypass_related yes; bypass_intracranial no; sternum_reopened no; bypass_units 4; drain 2000"), Met("4"))
        .row(D, &bleed(["14 g/dL", "8 g/dL"], "overt yes; transfused no; bypass_related yes; bypass_intracranial no; sternum_reopened no; bypass_units 4; drain 1999"), No)
        .says("not scored")
        // What is missing stays open.
        .row(O, &bleed(["14.0 g/dL", "11.1 g/dL"], "overt yes"), Lacks(&["units_before_nadir", "transfused"]))
        .row(O, &format!("bleeding: {NO_MORE}; {NO_ACTION}; overt yes; transfused no; intervention yes"), Lacks(&["haemoglobin_before", "haemoglobin_after"]))
        .says("At least BARC 2")
        .row(O, &bleed(["14.0 g/dL", "13.0 g/dL"], "transfused no"), Lacks(&["overt"]))
        // A haemoglobin alone asks whether anything bled, and nothing else.
        .row(O, "haemoglobin: -60 14.0 g/dL; 600 9.0 g/dL", Lacks(&["overt"]))
        .row(O, "haemoglobin: 600 9.0 g/dL", Lacks(&["overt"]))
        .row(O, "haemoglobin: -60 14 g/dL; 600 9 g/dL | bleeding: overt yes; transfused no; intracranial no; vision_loss no; bypass_related no", Lacks(&["fatal", "fatal_proved"]))
        .says("At least BARC 3b")
}

fn haematoma() -> Table {
    let radial = |more: &str| format!("haematoma: site radial; above_elbow no; threatens_limb no; {more}");
    Table::of("haematoma", "Bertrand et al., 2010, EASY (from memory)")
        .row(D, &radial("size 5.0"), Met("I"))
        .row(D, &radial("size 5.1"), Met("II"))
        .row(D, &radial("size 5.000001"), Met("II"))
        .row(D, &radial("size 10"), Met("II"))
        .row(D, &radial("size 10.1"), Met("III"))
        .row(D, "haematoma: site radial; above_elbow yes; threatens_limb no; size 4", Met("IV"))
        .row(D, "haematoma: site radial; threatens_limb yes", Met("V"))
        .row(O, "haematoma: site radial; size 6", Lacks(&["threatens_limb"]))
        .row(D, "haematoma: site femoral; size 5", Met("reportable"))
        .row(D, "haematoma: site femoral; size 4.9", No)
        .row(O, "haematoma: size 4.9", Lacks(&["site"]))
}

fn access() -> Table {
    let kind = |more: &str| format!("access: harm pseudoaneurysm; {more}");
    Table::of("access-complication", "Généreux et al., Eur Heart J 2021;42:1825, VARC-3 (from memory)")
        .row(D, &kind("death no; bleeding yes"), Met("major"))
        .row(D, &kind("ischaemia yes"), Met("major"))
        .row(D, &kind("neurological_loss yes"), Met("major"))
        .row(D, &kind("death yes"), Met("major"))
        .row(D, &kind("death no; bleeding no; ischaemia no; neurological_loss no"), Met("minor"))
        .says("contained leak")
        .row(O, &kind("death no; bleeding no; ischaemia no"), Lacks(&["neurological_loss"]))
        .row(O, "access: death no", Lacks(&["harm"]))
}
