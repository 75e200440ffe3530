//! §1 to §4: flow, frame count, blush, thrombus, dissection, perforation, no-reflow.

use super::{D, Lacks, Met, No, O, P, Refused, Table};

pub fn tables() -> Vec<Table> {
    vec![flow(), frame_count(), blush(), thrombus(), dissection(), perforation(), no_reflow()]
}

fn flow() -> Table {
    Table::of("timi-flow", "TIMI Study Group, N Engl J Med 1985;312:932 (from memory)")
        .row(P, "vessel: contrast_passes yes; bed_fills no", Met("1"))
        .row(P, "vessel: contrast_passes yes; bed_fills yes; as_prompt no", Met("2"))
        .row(P, "vessel: contrast_passes no", Met("0"))
        .row(P, "vessel: contrast_passes yes; bed_fills yes; as_prompt yes", Met("3"))
        .row(O, "vessel: worst 2.5", Refused)
        .row(O, "vessel: worst 4", Refused)
        .row(O, "vessel: leaving 3", Lacks(&["worst", "contrast_passes"]))
        .row(O, "vessel: worst 2; contrast_passes no", Met("2"))
        .says("The description fits TIMI 0")
}

fn frame_count() -> Table {
    Table::of("timi-frame-count", "Gibson et al., Circulation 1996;93:879 (from memory)")
        .row(D, "frame-count: coronary lad; first 0; last 36; frame_rate 30", No)
        .says("frame count 21.2")
        .row(D, "frame-count: coronary rca; first 0; last 20; frame_rate 30", No)
        .says("frame count 20.0")
        .row(D, "frame-count: coronary lcx; first 0; last 20; frame_rate 15", Met("slow"))
        .says("frame count 40.0")
        .row(D, "frame-count: coronary lad; first 0; last 23; frame_rate 15", Met("slow"))
        .says("frame count 27.1")
        .row(D, "frame-count: coronary rca; first 10; last 37; frame_rate 30", No)
        .says("frame count 27.0")
        .row(O, "frame-count: coronary lad; first 0; last 36", Lacks(&["frame_rate"]))
        .row(O, "frame-count: coronary lad; first 36; last 0; frame_rate 30", Lacks(&[]))
        .says("The last frame is before the first")
        .row(D, "frame-count: flow 1", Lacks(&[]))
        .says("no landmark is reached")
        .row(D, "frame-count: flow 0", Met("slow"))
        .when("frame-count-without-flow", "hundred")
        .says("set to 100")
}

fn blush() -> Table {
    Table::of("myocardial-blush", "van 't Hof et al., Circulation 1998;97:2302 (from memory)")
        .row(P, "vessel: stain_persists yes; blush normal", Met("0"))
        .row(P, "vessel: stain_persists no; blush normal", Met("3"))
        .row(P, "vessel: stain_persists no; blush minimal", Met("1"))
        .row(P, "vessel: stain_persists no; blush moderate", Met("2"))
        .row(P, "vessel: blush none", Met("0"))
        .row(O, "vessel: blush normal", Lacks(&["stain_persists"]))
        .row(O, "vessel: stain_persists no", Lacks(&["blush"]))
}

fn thrombus() -> Table {
    Table::of(
        "timi-thrombus",
        "Gibson et al., Circulation 2001;103:2550, through WikiDoc and johnsonfrancis.org",
    )
    .row(D, "thrombus: look definite; size 1.5; vessel 3.0", Met("2"))
    .row(D, "thrombus: look definite; size 1.6; vessel 3.0", Met("3"))
    .row(D, "thrombus: look definite; size 1,500001; vessel 3.0", Met("3"))
    .row(D, "thrombus: look definite; size 5.9; vessel 3.0", Met("3"))
    .says("1.97")
    .row(D, "thrombus: look definite; size 6.0; vessel 3.0", Met("4"))
    .row(P, "thrombus: look recent-occlusion", Met("5"))
    .row(P, "thrombus: look none", Met("0"))
    .row(P, "thrombus: look possible", Met("1"))
    .row(O, "thrombus: look definite; size 2.0", Lacks(&["vessel"]))
    .row(O, "thrombus: size 2.0; vessel 3.0", Lacks(&["look"]))
    .row(D, "thrombus: look chronic-occlusion", No)
    .row(D, "thrombus: look chronic-occlusion", Met("6"))
    .when("thrombus-top", "six")
}

fn dissection() -> Table {
    Table::of("dissection-type", "“Coronary artery dissection classification”, WikiDoc")
        .row(P, "dissection: look double-lumen; contrast_stays no", Met("B"))
        .says("Not complex")
        .row(P, "dissection: look lumen-lucency; contrast_stays no", Met("A"))
        .row(P, "dissection: look outside-contrast; contrast_stays yes", Met("C"))
        .row(P, "dissection: look spiral", Met("D"))
        .says("complex")
        .row(P, "dissection: look filling-defect", Met("E"))
        .row(P, "dissection: look none; flow_impaired yes", Met("F"))
        .row(O, "dissection: judged D; flow_impaired yes", Met("D"))
        .row(O, "dissection: judged G", Refused)
        .row(O, "dissection: judged none", No)
        .row(O, "dissection: judged A; look spiral", Met("A"))
        .says("The look fits type D")
        .row(O, "dissection: look double-lumen", Lacks(&["contrast_stays"]))
        .row(O, "dissection: look none", Lacks(&["flow_impaired"]))
        .row(O, "dissection: flow_impaired yes", Lacks(&["judged", "look"]))
        .row(O, "dissection: look double-lumen; contrast_stays yes", Lacks(&[]))
}

fn perforation() -> Table {
    Table::of("perforation-type", "Ellis et al., Circulation 1994;90:2725, through johnsonfrancis.org")
        .row(P, "perforation: crater yes; blush no; jet no; cavity no", Met("I"))
        .row(P, "perforation: blush yes; jet no; cavity no", Met("II"))
        .row(D, "perforation: jet yes; hole 1.0; cavity no", Met("III"))
        .row(D, "perforation: jet yes; hole 1.0; cavity no; blush yes", Met("II"))
        .when("perforation-hole", "more-than-1-mm")
        .row(D, "perforation: jet yes; hole 1.000001; cavity no", Met("III"))
        .when("perforation-hole", "more-than-1-mm")
        .row(D, "perforation: jet yes; hole 1.5; cavity yes", Met("III-CS"))
        .row(O, "perforation: blush yes; jet yes; hole 0.8; cavity no", Met("II"))
        .says("Jet below 1 mm")
        .row(O, "perforation: jet yes; cavity no", Met("III"))
        .says("not measured")
        .row(O, "perforation: jet yes; hole 1.5", Lacks(&["cavity"]))
        .row(O, "perforation: crater yes; cavity no; jet no", Lacks(&["blush"]))
        .row(P, "perforation: crater no; blush no; jet no; cavity no", No)
        .row(O, "perforation: blush yes; jet no; cavity no; distal_wire yes", Met("II"))
        .says("type V")
        .row(O, "perforation: jet yes; hole 0.8; blush no; cavity no", Lacks(&[]))
}

const EXCLUDED: &str = "dissection no; thrombus no; spasm no; residual_stenosis no; cut_off no; air no; damping no; treated yes; lesion_open yes";

fn no_reflow() -> Table {
    let excluded = |more: &str| format!("vessel: {EXCLUDED}; {more}");
    Table::of("no-reflow", "Alidoosti et al., J Tehran Heart Cent; Kim et al., Korean Circ J 2016;46:490")
        .row(D, &excluded("worst 1"), Met("no-reflow"))
        .row(D, &excluded("worst 2"), Met("slow-flow"))
        .row(D, &excluded("worst 2"), Met("no-reflow"))
        .when("no-reflow", "flow-below-3")
        .row(D, &excluded("worst 3; blush minimal; stain_persists no"), No)
        .row(D, "vessel: worst 1; treated yes; lesion_open yes; dissection yes", No)
        .says("dissection was seen")
        .row(O, "vessel: worst 1; treated yes; lesion_open yes; dissection no; spasm no; residual_stenosis no; cut_off no; air no; damping no", Lacks(&["thrombus"]))
        .says("not excluded")
        .row(P, &excluded("worst 1; leaving 3"), Met("no-reflow"))
        .says("transient")
        .row(P, &excluded("worst 1; leaving 2"), Met("no-reflow"))
        .says("persistent")
        .row(O, &excluded("leaving 3"), Lacks(&["worst"]))
        // While nothing is said of a cause, whether the lesion was open is asked first.
        .row(O, "vessel: worst 1; treated yes", Lacks(&["lesion_open"]))
        .row(O, "vessel: worst 1; treated yes; lesion_open yes", Lacks(&["dissection", "thrombus", "spasm", "residual_stenosis", "cut_off", "air", "damping"]))
        .says("not excluded")
        .row(D, "vessel: worst 1; treated yes; lesion_open no", No)
        .row(O, "vessel: worst 3", No)
        .row(D, &excluded("worst 3; blush minimal; stain_persists no"), Met("no-reflow"))
        .when("no-reflow", "flow-or-blush")
        .says("by blush")
        .from("Egypt Heart J 2018;70:421")
}
