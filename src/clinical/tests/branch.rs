//! §5: closure, side branch, bifurcation.

use super::{D, Lacks, Met, No, O, P, Table};

pub fn tables() -> Vec<Table> {
    vec![closure(), threatened(), side_branch(), medina()]
}

fn closure() -> Table {
    let table = Table::of("vessel-closure", "“Abrupt closure during coronary intervention”, WikiDoc");
    let flows = |before: &str, worst: &str, leaving: &str| {
        format!("vessel: treated yes; before {before}; worst {worst}; leaving {leaving}")
    };
    table
        .row(D, &flows("3", "0", "3"), Met("transient"))
        .row(D, &flows("2", "1", "1"), Met("sustained"))
        .row(P, &flows("1", "0", "2"), Met("transient"))
        .row(D, &flows("0", "0", "3"), No)
        .says("closed already")
        .row(D, &flows("3", "2", "2"), No)
        .row(D, &flows("1", "1", "1"), No)
        .row(O, "vessel: treated yes; worst 0; leaving 0", Lacks(&["before"]))
        .row(O, "vessel: before 3; worst 0; leaving 0", Lacks(&["treated"]))
        .row(O, "vessel: treated yes; before 3; worst 0", Met("closure"))
        .says("not recorded")
        .row(O, "vessel: worst 3", No)
}

fn threatened() -> Table {
    Table::of("threatened-closure", "common practice (from memory)")
        .row(D, "vessel: treated yes; dissection yes; worst 3; residual_percent 50", Met("threatened"))
        .row(
            D,
            "vessel: treated yes; dissection no; thrombus yes; worst 2; residual_percent 20",
            Met("threatened"),
        )
        .row(D, "vessel: treated yes; dissection yes; worst 3; residual_percent 49.999999", No)
        .row(D, "vessel: treated yes; dissection no; thrombus no; worst 2", No)
        .row(D, "vessel: treated yes; dissection yes; worst 1", No)
        .says("closed")
        .row(O, "vessel: treated yes; dissection yes; worst 3", Lacks(&["residual_percent"]))
}

fn side_branch() -> Table {
    let mut table = Table::of(
        "side-branch-occlusion",
        "Hahn et al., J Am Coll Cardiol 2013;62:1654; RESOLVE (from memory)",
    );
    // Before, after, diameter; then the rules R1 to R4.
    let rows = [
        ("3", "0", "2.5", [true, true, true, true]),
        ("3", "1", "2.5", [false, true, true, true]),
        ("3", "2", "2.3", [false, false, true, true]),
        ("3", "2", "2.2", [false, false, false, true]),
    ];
    for (before, after, size, rules) in rows {
        for (rule, met) in [("r1", "r1"), ("r2", "r2"), ("r3", "r3"), ("r4", "r4")].into_iter().zip(rules) {
            let given = format!("side-branch: before {before}; after {after}; diameter {size}");
            table = table.row(D, &given, if met { Met(rule.1) } else { No }).when("side-branch", rule.0);
        }
    }
    table = table
        .row(D, "side-branch: before 3; after 2; diameter 2.2", No)
        .when("side-branch", "r3")
        .says("outside the size of the study");
    for rule in ["r1", "r2", "r3", "r4"] {
        table = table.row(O, "side-branch: before 0; after 0; diameter 2.5", No).when("side-branch", rule);
    }
    table
        .row(O, "side-branch: before 0; after 0; diameter 2.5", No)
        .says("not new")
        .row(O, "side-branch: after 0; diameter 2.5", Lacks(&["before"]))
        .row(O, "side-branch: before 3", Lacks(&["after"]))
        .row(O, "side-branch: before 3; after 2", Lacks(&["diameter"]))
        .when("side-branch", "r3")
        .row(O, "side-branch: before 3; after 1", Met("r2"))
        .says("R1 no, R2 yes, R3 not decidable, R4 yes")
}

fn medina() -> Table {
    let percent = |proximal: &str, distal: &str, side: &str| {
        format!("bifurcation: proximal {proximal}; distal {distal}; side {side}")
    };
    let mut table = Table::of("medina", "Medina et al., Rev Esp Cardiol 2006;59:183 (from memory)")
        .row(D, &percent("70", "60", "50"), Met("1,1,1"))
        .says(", true bifurcation")
        .row(D, &percent("70", "60", "50"), Met("1,1,0"))
        .when("medina", "more-than-50")
        .row(D, &percent("70", "60", "50.000001"), Met("1,1,1"))
        .when("medina", "more-than-50")
        .row(D, &percent("70", "40", "80"), Met("1,0,1"))
        .says(", true bifurcation")
        .row(D, &percent("30", "55", "75"), Met("0,1,1"))
        .says(", true bifurcation")
        .row(D, &percent("80", "80", "49"), Met("1,1,0"))
        .says("not a true bifurcation")
        .row(D, &percent("0", "0", "90"), Met("0,0,1"))
        .says("not a true bifurcation")
        .row(D, &percent("0", "0", "0"), No)
        .row(O, "bifurcation: proximal 70; distal 60", Lacks(&["side"]));
    for class in ["1,1,0", "1,0,0", "0,1,0", "0,0,1"] {
        table =
            table.row(P, &format!("bifurcation: judged {class}"), Met(class)).says("not a true bifurcation");
    }
    table
}
