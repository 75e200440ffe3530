//! The other complications of §13.

use super::{D, Lacks, Met, No, O, P, Table};

pub fn tables() -> Vec<Table> {
    vec![stroke(), reaction(), anaphylaxis(), platelets(), air(), systemic(), device(), aorta()]
}

fn stroke() -> Table {
    let row = |more: &str| format!("neurology: deficit yes; {more}");
    Table::of("stroke", "common definition (from memory)")
        .row(D, &row("lasted 24 h; lesion no"), Met("stroke"))
        .row(D, &row("lasted 23.999999 h; lesion no"), Met("TIA"))
        .row(D, &row("lasted 1 h; lesion yes"), Met("stroke"))
        .row(D, "neurology: deficit no", No)
        .row(O, &row("lasted 1 h"), Lacks(&["lesion"]))
        .row(O, &row("lesion no"), Lacks(&["lasted"]))
        .row(O, &row("lesion yes"), Met("stroke"))
        .row(O, "neurology: lasted 1 h; lesion no", Lacks(&["deficit"]))
        .from("Aggarwal et al., Am J Cardiol 2009;104:349")
        .row(D, &row("lasted 72 h; lesion yes"), No)
        .when("stroke", "72-h")
        .row(D, &row("lasted 72.000001 h"), Met("stroke"))
        .when("stroke", "72-h")
}

fn reaction() -> Table {
    Table::of("allergic-reaction", "Ring and Messmer (from memory)")
        .row(P, "reaction: arrest no; shock no; bronchospasm no; moderate no; skin yes", Met("I"))
        .row(P, "reaction: arrest no; shock no; bronchospasm no; moderate yes", Met("II"))
        .row(P, "reaction: arrest no; shock yes", Met("III"))
        .row(P, "reaction: arrest no; shock no; bronchospasm yes", Met("III"))
        .row(P, "reaction: arrest yes", Met("IV"))
        .row(D, "reaction: arrest no; shock no; bronchospasm no; moderate no; skin no", No)
        .row(O, "reaction: skin yes", Lacks(&["arrest"]))
}

fn anaphylaxis() -> Table {
    Table::of("anaphylaxis", "World Allergy Organization guidance, 2020 (from memory)")
        .row(D, "reaction: sudden yes; several_systems yes", Met("anaphylaxis"))
        .row(D, "reaction: sudden yes; several_systems no; threat yes", Met("anaphylaxis"))
        .row(D, "reaction: sudden yes; several_systems no; threat no", No)
        .row(D, "reaction: sudden no", No)
        .row(O, "reaction: sudden yes; several_systems no", Lacks(&["threat"]))
}

fn platelets() -> Table {
    // Day 6 is 8,640 minutes after the start.
    Table::of("heparin-platelets", "common practice (from memory)")
        .row(D, "platelets: -60 200; 8640 100", Met("halved"))
        .row(D, "platelets: -60 200; 8640 100.000001", No)
        .row(D, "platelets: -60 200; 14400 90", Met("halved"))
        .row(O, "platelets: -60 200; 1440 90", Lacks(&["platelets_after"]))
        .row(O, "platelets: 8640 90", Lacks(&["platelets_before"]))
}

fn air() -> Table {
    Table::of("air-embolism", "common definition (from memory)")
        .row(D, "embolism: bubbles yes; extent haemodynamic", Met("air"))
        .says("haemodynamic")
        .row(D, "embolism: bubbles no; flow_loss yes; other_cause no", Met("air"))
        .row(D, "embolism: bubbles no; flow_loss yes; other_cause yes", No)
        .row(D, "embolism: bubbles no; flow_loss no", No)
        .row(O, "embolism: bubbles no; flow_loss yes", Lacks(&["other_cause"]))
}

fn systemic() -> Table {
    Table::of("systemic-embolism", "common definition (from memory)")
        .row(D, "embolism: end_organ yes", Met("embolism"))
        .row(D, "embolism: end_organ no", No)
        .row(D, "embolism: end_organ no; bubbles yes", No)
        .row(O, "embolism: bubbles yes", Lacks(&["end_organ"]))
}

fn device() -> Table {
    let none = "off_balloon no; loose no; stuck no; broken no";
    let row = |more: &str| format!("device: {none}; {more}");
    Table::of("device", "common definitions (from memory); PMC11264035")
        .row(D, &row("shortening 2; distorted no"), No)
        .row(D, &row("shortening 2.000001; distorted no"), Met("longitudinal-deformation"))
        .row(D, &row("distorted yes"), Met("longitudinal-deformation"))
        .row(D, "device: off_balloon yes; stuck yes", Met("stent-loss"))
        .says("Also device entrapment")
        .row(D, "device: loose yes", Met("embolisation"))
        .row(D, "device: stuck yes", Met("entrapment"))
        .row(D, "device: broken yes", Met("fracture"))
        .row(O, &row("distorted no"), Lacks(&["shortening"]))
        // What is no stent is not asked about a stent; what it is, is asked first.
        .row(O, "device: kind wire; loose no; stuck no; broken no", No)
        .row(O, "device: kind wire; loose no; stuck no", Lacks(&["broken"]))
        .row(O, "device: loose no; stuck no; broken no", Lacks(&["kind"]))
        .row(O, "device: off_balloon no; loose no; stuck no", Lacks(&["broken", "kind"]))
        .row(
            O,
            "device: kind stent; loose no; stuck no; broken no",
            Lacks(&["off_balloon", "distorted", "shortening"]),
        )
        .row(O, "device: kind balloon; distorted yes", Met("longitudinal-deformation"))
}

fn aorta() -> Table {
    Table::of("aortic-dissection", "Dunning's classes (from memory); Baumann et al., BMC Med Imaging 2017")
        .row(D, "aorta: reach cusp", Met("I"))
        .row(D, "aorta: reach ascending; extent 39.999999", Met("II"))
        .row(D, "aorta: reach ascending; extent 40", Met("III"))
        .row(D, "aorta: reach ascending; extent 40", Met("II"))
        .when("dunning", "class-ii")
        .row(D, "aorta: reach ascending; extent 40.000001", Met("III"))
        .when("dunning", "class-ii")
        .row(O, "aorta: reach ascending", Lacks(&["extent"]))
        .row(O, "aorta: extent 20", Lacks(&["reach"]))
}
