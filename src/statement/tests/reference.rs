//! The table and the innocent uses of our reference on review method, section 4: the five rules of
//! causation of RCA² (National Patient Safety Foundation 2015, restated from memory), with examples
//! of our own. The third column of each row there says what is wrong; here it is a rule and its words.

use super::super::Rule::{
    BrokenProcedure, CauseAndEffect, FailureToAct, Hindsight, HumanError, RoleBlamed, VagueWord,
};
use super::hold;

#[test]
fn each_questioned_statement_of_the_table_is_questioned_for_its_reason() {
    hold(&[
        // "vague; person"
        ("The operator was careless with the wire.", &[(RoleBlamed, "operator"), (VagueWord, "careless")]),
        // "vague; no link"
        ("Poor communication delayed surgery.", &[(VagueWord, "Poor"), (CauseAndEffect, "delayed")]),
        // "duty unclear; error without cause"
        ("The fellow failed to give heparin.", &[(HumanError, "failed"), (FailureToAct, "give")]),
        // "rule broken without cause"
        ("Protocol was not followed.", &[(BrokenProcedure, "Protocol was not followed")]),
        // "hindsight; no cause"
        (
            "The stent should have been longer.",
            &[(CauseAndEffect, "The stent should have been longer"), (Hindsight, "should have")],
        ),
        // "vague"
        ("Inadequate training.", &[(VagueWord, "Inadequate")]),
        // "says neither how nor in which event"
        ("Contrast injection caused extension.", &[(CauseAndEffect, "caused")]),
    ]);
}

#[test]
fn each_better_statement_of_the_table_passes() {
    hold(&[
        (
            "With the tip out of view in the single projection used, the wire's exit from the lumen was not visible, so advancing it lengthened the dissection.",
            &[],
        ),
        (
            "No number for the on-call surgeon was on the wall, so the call went through the switchboard and took eleven minutes.",
            &[],
        ),
        (
            "The dose was ordered aloud while two people were changing the table; neither repeated it, so it was not given and the clotting time was 180 s at stenting.",
            &[],
        ),
        (
            "The protocol asks for imaging that is locked away after 18:00, so the stent was sized by eye.",
            &[],
        ),
        ("The lesion's end was hidden by overlap in the view chosen, so the stent ended in disease.", &[]),
        (
            "The rescue had been practised by one of four people on the rota, so the second operator could not take over.",
            &[],
        ),
        (
            "The catheter was deeply seated and damped, so the force of a full injection entered the dissection and carried it past the second diagonal; flow then fell to TIMI 1.",
            &[],
        ),
        (
            "Because the branch was not wired before stenting, rewiring through struts took 14 min, during which the branch had no flow.",
            &[],
        ),
    ]);
}

/// The innocent uses that the reference lists, each in a statement that has its link.
#[test]
fn each_innocent_use_of_the_reference_passes() {
    hold(&[
        (
            "Left ventricular failure to eject followed the loss of the LAD, so pressure fell within a minute.",
            &[],
        ),
        (
            "Heart failure kept her from lying flat, so the procedure was done half seated and the views were few.",
            &[],
        ),
        ("Poor R-wave progression had been there for years, so the new ECG was read as an old infarct.", &[]),
        (
            "The assay showed inadequate platelet inhibition on assay day, so the stent clotted under one drug.",
            &[],
        ),
        ("The tear began just distal to the stent, so it lay outside the frame of the last run.", &[]),
        ("Wrong-way flow in the graft washed the contrast out, so the leak was not seen.", &[]),
        ("Because of a lack of collaterals, the wall had no flow from the moment the balloon was up.", &[]),
        ("Device failure left the plug half open, so the puncture bled under the drape.", &[]),
        ("The vessel was badly calcified, so the stent expanded to 60 % of its size.", &[]),
    ]);
}

/// Every word that the reference lists, in a sentence that has a link, is questioned.
#[test]
fn each_vague_word_of_the_reference_is_questioned() {
    const WORDS: &[&str] = &[
        "poor",
        "poorly",
        "inadequate",
        "inadequately",
        "insufficient",
        "insufficiently",
        "careless",
        "carelessly",
        "negligent",
        "negligently",
        "improper",
        "improperly",
        "inappropriate",
        "inappropriately",
        "bad",
        "badly",
        "wrong",
        "wrongly",
        "suboptimal",
        "suboptimally",
        "lack of",
        "sloppy",
        "complacent",
        "inattention",
        "unfortunately",
        "obviously",
        "simply",
        "just",
    ];
    for word in WORDS {
        let statement =
            format!("There was {word} teaching, so the snare came out of its box after ten minutes.");
        hold(&[(&statement, &[(VagueWord, word)])]);
    }
    hold(&[
        ("The noise hid the order, so the team forgot the dose.", &[(VagueWord, "forgot")]),
        (
            "The drape hid the wrist, so the task to watch it ended in failure to see the swelling.",
            &[(VagueWord, "failure to")],
        ),
        ("The list ran late, so the second view should have been taken.", &[(Hindsight, "should have")]),
    ]);
}
