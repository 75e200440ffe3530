//! §11 and the circulation of §13.

use super::{D, Lacks, Met, No, O, P, Refused, Table};

pub fn tables() -> Vec<Table> {
    vec![shock(), killip(), hypotension(), bradycardia(), ventricular(), arrest(), vasovagal(), tamponade()]
}

const CALM: &str = "arrest no; maximal_support no; acidity 7.35; cold no; low_urine no; worsening no; device no; mean 70; fall 10; pulse 80";

fn shock() -> Table {
    let row = |more: &str| format!("circulation: {CALM}; {more}");
    Table::of("shock-stage", "Naidu et al., J Am Coll Cardiol 2022;79:933, through PMC9381657")
        .row(D, &row("systolic 85; lactate 1.2; drugs 0"), Met("B"))
        .says("suggest")
        .row(D, &row("systolic 85; lactate 3.0; drugs 1"), Met("C"))
        .row(D, &row("systolic 85; lactate 5; drugs 2; worsening yes"), Met("D"))
        .row(P, "circulation: arrest yes", Met("E"))
        .row(D, &row("systolic 120; lactate 1.0; drugs 0"), Met("A"))
        .row(D, &row("systolic 90; lactate 1.999999; drugs 0"), Met("A"))
        .row(D, &row("systolic 89.999999; lactate 1.999999; drugs 0"), Met("B"))
        .row(D, &row("systolic 120; lactate 2; drugs 1"), Met("C"))
        .row(D, &row("systolic 120; lactate 8; drugs 1"), Met("E"))
        .row(D, &row("systolic 120; lactate 7.999999; drugs 1"), Met("C"))
        .row(D, "circulation: arrest no; maximal_support no; lactate 1; acidity 7.2", Met("E"))
        .row(O, "circulation: judged C; arrest yes", Met("C"))
        .says("suggests stage E")
        .row(O, "circulation: judged F", Refused)
        .row(O, "circulation: systolic 85", Lacks(&["arrest", "maximal_support", "lactate", "acidity"]))
        .row(O, &row("systolic 85; lactate 3.0; drugs 0"), Lacks(&[]))
}

fn killip() -> Table {
    let row = |more: &str| format!("circulation: systolic 120; cold no; {more}");
    Table::of("killip", "Killip and Kimball, Am J Cardiol 1967;20:457 (from memory)")
        .row(P, &row("oedema no; rales no; third_sound no"), Met("I"))
        .row(P, &row("oedema no; rales yes"), Met("II"))
        .row(P, &row("oedema no; rales no; third_sound yes"), Met("II"))
        .row(P, &row("oedema yes"), Met("III"))
        .row(P, "circulation: systolic 85; cold yes", Met("IV"))
        .row(D, "circulation: systolic 90; cold yes; oedema yes", Met("III"))
        .row(O, &row("oedema no"), Lacks(&["rales", "third_sound"]))
}

fn hypotension() -> Table {
    Table::of("hypotension", "common definition (from memory)")
        .row(D, "circulation: systolic 90", No)
        .row(D, "circulation: systolic 89; low_for 30 min; pressure_support no", Met("sustained"))
        .row(D, "circulation: systolic 89; low_for 29 min; pressure_support no", Met("transient"))
        .row(D, "circulation: systolic 89; low_for 5 min; pressure_support yes", Met("sustained"))
        .row(O, "circulation: systolic 89; low_for 5 min", Lacks(&["pressure_support"]))
        .row(O, "circulation: low_for 5 min", Lacks(&["systolic"]))
}

fn bradycardia() -> Table {
    Table::of("bradycardia", "common definition (from memory)")
        .row(D, "rhythm: slowest 49; slow_treated yes", Met("bradycardia"))
        .row(D, "rhythm: slowest 50; slow_treated yes", No)
        .row(D, "rhythm: slowest 30; slow_treated no", No)
        .row(O, "rhythm: slowest 49", Lacks(&["slow_treated"]))
}

fn ventricular() -> Table {
    Table::of("ventricular-arrhythmia", "common definition (from memory)")
        .row(D, "rhythm: ventricular yes; ventricular_treated yes", Met("ventricular"))
        .row(D, "rhythm: ventricular yes; ventricular_treated no", No)
        .row(D, "rhythm: ventricular no", No)
        .row(O, "rhythm: ventricular yes", Lacks(&["ventricular_treated"]))
}

fn arrest() -> Table {
    Table::of("arrest", "common definition (from memory)")
        .row(D, "rhythm: compressions yes", Met("arrest"))
        .row(D, "rhythm: compressions no; defibrillation yes", Met("arrest"))
        .row(D, "rhythm: compressions no; defibrillation no", No)
        .row(O, "rhythm: compressions no", Lacks(&["defibrillation"]))
}

fn vasovagal() -> Table {
    Table::of("vasovagal", "common definition (from memory)")
        .row(D, "circulation: vagal yes", Met("vasovagal"))
        .row(D, "circulation: vagal no", No)
        .row(D, "circulation: vagal no; systolic 70", No)
        .row(O, "circulation: systolic 70", Lacks(&["vagal"]))
}

fn tamponade() -> Table {
    Table::of("tamponade", "common definition (from memory)")
        .row(D, "pericardium: effusion yes; compromised yes", Met("tamponade"))
        .row(D, "pericardium: effusion yes; compromised no; drained yes", Met("tamponade"))
        .row(D, "pericardium: effusion yes; compromised no; drained no", No)
        .row(D, "pericardium: effusion no", No)
        .row(O, "pericardium: effusion yes; compromised no", Lacks(&["drained"]))
}
