//! §7: stent thrombosis.

use super::{D, Lacks, Met, No, O, P, Table};

pub fn tables() -> Vec<Table> {
    vec![certainty(), time()]
}

/// Nothing on angiography, nothing at autopsy.
const NO_PROOF: &str = "angiography no; tissue no; territory_infarction no";

fn certainty() -> Table {
    let death = |more: &str| format!("stent-thrombosis: {NO_PROOF}; unexplained_death yes; {more}");
    Table::of("stent-thrombosis", "ARC table in J Am Coll Cardiol; Cutlip et al., Circulation 2007;115:2344 (from memory)")
        .row(P, &death("since 30 d"), Met("probable"))
        .row(P, &death("since 31 d"), Met("possible"))
        .row(D, &death("since 30.000001 d"), Met("possible"))
        .row(D, &death("since 31 d"), No)
        .when("possible-stent-thrombosis", "dropped")
        .row(O, &death(""), Lacks(&["since"]))
        .row(P, "stent-thrombosis: angiography yes; rest_symptoms yes; tissue no", Met("definite"))
        .row(P, "stent-thrombosis: angiography no; tissue yes", Met("definite"))
        .row(P, "stent-thrombosis: angiography yes; rest_symptoms no; ecg_change no; biomarkers no; tissue no; unexplained_death no; territory_infarction no", No)
        .says("by chance")
        .row(P, "stent-thrombosis: angiography no; tissue no; territory_infarction yes", Met("probable"))
        .row(O, "stent-thrombosis: angiography yes; tissue no", Lacks(&["rest_symptoms", "ecg_change", "biomarkers"]))
        .row(O, "stent-thrombosis: unexplained_death yes; since 3 d", Lacks(&["tissue", "angiography", "rest_symptoms", "ecg_change", "biomarkers"]))
        .row(O, "stent-thrombosis: angiography no; tissue no; territory_infarction no; since 31 d", Lacks(&["unexplained_death"]))
        .row(D, "stent-thrombosis: angiography no; tissue no; territory_infarction no; unexplained_death no", No)
}

fn time() -> Table {
    let since = |text: &str| format!("stent-thrombosis: in_laboratory no; since {text}");
    Table::of("stent-thrombosis-time", "ARC table in J Am Coll Cardiol; 24 h from memory")
        .row(D, &since("24.0 h"), Met("acute"))
        .row(D, &since("1 d"), Met("acute"))
        .row(D, &since("24.1 h"), Met("subacute"))
        .row(D, &since("24.000001 h"), Met("subacute"))
        .row(D, &since("30 d"), Met("subacute"))
        .row(D, &since("31 d"), Met("late"))
        .row(O, &since("365 d"), Met("late"))
        .row(O, &since("1 y"), Met("late"))
        .row(O, &since("366 d"), Met("very-late"))
        .row(O, "stent-thrombosis: angiography yes", Lacks(&["since"]))
        .row(O, "stent-thrombosis: in_laboratory yes", Met("intraprocedural"))
}
