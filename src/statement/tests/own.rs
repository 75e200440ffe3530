//! Statements of our own, from invented cases: what passes, and what is questioned under which rule.
//! The words and situations are common practice of the trade.

use super::super::Rule::{
    BrokenProcedure, CauseAndEffect, FailureToAct, Hindsight, HumanError, RoleBlamed, VagueWord,
};
use super::super::check;
use super::{found, hold, pass};

#[test]
fn good_statements_pass() {
    const GOOD: &[&str] = &[
        "Coils are kept two floors down, so the leak was held by balloon for 19 minutes.",
        "The guide was 8 mm deep and its trace was flat, so the full injection went under the intima.",
        "One hand held the guide and the other the balloon, so nobody felt the wire go forward into the septal branch.",
        "The two syringes looked alike and lay side by side, so the wrong one was picked up.",
        "The protocol sheet hangs in the other room and the lights were down, so the protocol was not followed at the second dose.",
        "The order for heparin was given while the table was moving, so the nurse did not give it and the clotting time was 170 s.",
        "The monitor faced away from the table, so the operator did not see the pressure fall.",
        "The fellow pulled the balloon and the wire together because one pair of hands had both.",
        "Since the imaging catheter would not turn into the branch, the stent was sized by eye and was half a millimetre too large.",
        "As no second operator was on the rota, nobody was free to question the reading.",
        "While two people moved the table, the order was spoken once, so the dose was not given.",
        "The scrub nurse was fetching the covered stent, so the tray had no hands at it for four minutes.",
        "The operator was alone at the table, which left the wire unwatched during the exchange.",
        "One nurse covered two rooms after 16:00, so the echo machine came late.",
        "The team had placed two covered stents in three years, so the steps were read from the leaflet.",
        "Flow fell to TIMI 1 because clot from the stented segment went into the small vessels.",
        "The drape covered the groin, so a swelling of 12 cm was first seen on the ward.",
        "The second view was not taken because the arm board blocked the gantry.",
        "The lead shield kept the nurse from seeing the screen, so the ST change was first read at 14 minutes.",
        "Handover had no line for the antiplatelet drug. So the ward did not know that the dose was still due.",
        "The contrast line had been opened for the new bottle, and the check of the syringe comes before that step, so air reached the left main.",
        "Deep seating of the guide led to a dissection that ran from the ostium to the second diagonal.",
        "The stent caught on a strut when it was pulled back, which stripped it from its balloon.",
        "Noise from the suction was loud, therefore the call for protamine was not repeated.",
        "The wire was left in place as the next case was waiting and an exchange counts as a delay.",
        "The balloon was inflated to 22 atm against calcium on one side, forcing the tear through the thin wall opposite.",
        "The fellow held the sheath while the nurse opened the closure device, so the wire moved.",
        "The technician left at 16:00 and no one took over the second console, so imaging stopped.",
        "The consultant was called at once, so the drain was in within nine minutes.",
        "The nurse called out the pressure twice, but the music was on, so the fall was not heard.",
        "The agreed plan named no one for the clotting time, so each side of the table took it as done.",
    ];
    pass(GOOD);
}

#[test]
fn terms_of_the_trade_pass() {
    const TERMS: &[&str] = &[
        "Renal failure ruled out a second injection, so the result was judged by ultrasound alone.",
        "The balloon failed to cross the ring of calcium, so the guide was pushed deep.",
        "Failure of the balloon to cross led to a smaller one and then to atherectomy, so the case took two hours.",
        "Poor distal run-off kept the contrast in the stent, so clot and small-vessel obstruction looked alike.",
        "Left ventricular function was poor, so ninety seconds of ischaemia took the pressure to 50.",
        "There was insufficient anticoagulation (ACT 180 s), so clot formed on the wire.",
        "Poor echo windows hid the effusion, so it was first seen from below the ribs.",
        "The drug failed to reach the distal bed because flow in the artery had stopped.",
        "The pacemaker failed to capture, so the pressure fell during each run.",
        "The puncture was just below the ligament and the sheath just short of the bend, so the closure caught the wall.",
        "The balloon had just been deflated, so the artery was still empty at the first picture.",
        "Badly angulated, calcified segments held the stent back, so a guide extension went in.",
        "Lack of flow beyond the stent hid the tear, so it was found at the second ultrasound run.",
        "An inappropriate shock moved the table, so the wire lost its place.",
        "Inadequate stent expansion was seen on ultrasound after the first balloon, so a larger one was chosen.",
        "The valve failure had raised the wedge pressure, so lying flat for an hour was not possible.",
        "A standard error of 5 % in the display means that two readings alike can differ by 10 mL.",
        "The patient was a poor responder to the first drug, so the assay was repeated before the stent.",
        "An exchange would have meant five minutes with the vessel closed, so the wire stayed in.",
        "The tear could not have been seen in that view, so the next step was a balloon.",
        "Two of three people would have wired the branch and nobody asked them, so it stayed without a wire.",
        "Alarm failure on the second pump went without a sound, so the pressure had fallen for two minutes before it was read.",
    ];
    pass(TERMS);
}

#[test]
fn what_is_questioned_names_its_rule() {
    hold(&[
        // Rule 1: one thing, half a link, a claim.
        ("Flow fell to TIMI 1 after the stent", &[(CauseAndEffect, "Flow fell to TIMI 1 after the stent")]),
        ("Because the branch was not wired.", &[(CauseAndEffect, "Because")]),
        ("So the branch closed.", &[(CauseAndEffect, "So")]),
        ("Overinflation led to perforation.", &[(CauseAndEffect, "led to")]),
        ("The perforation was caused by the wire.", &[(CauseAndEffect, "was caused by")]),
        ("No-reflow due to spasm.", &[(CauseAndEffect, "due to")]),
        // Rule 2.
        (
            "Support from the guide was suboptimal, so the balloon jumped forward.",
            &[(VagueWord, "suboptimal")],
        ),
        ("Lack of teamwork meant that the coil came late.", &[(VagueWord, "Lack of")]),
        ("The wrong wire was used, so it went under the plaque.", &[(VagueWord, "wrong")]),
        ("The staff were not adequately trained.", &[(VagueWord, "not adequately")]),
        ("The operator lacked experience.", &[(RoleBlamed, "operator"), (VagueWord, "lacked")]),
        ("Obviously the view was too steep, so the tip was hidden.", &[(VagueWord, "Obviously")]),
        (
            "A failure of communication between ward and laboratory left the allergy unknown, so no drug was given before contrast.",
            &[(VagueWord, "failure of")],
        ),
        // Rule 3.
        ("Operator error.", &[(HumanError, "Operator error")]),
        ("The pressure was misread, so the guide was not moved.", &[(HumanError, "misread")]),
        ("The dissection was missed, so the sheath was taken out.", &[(HumanError, "was missed")]),
        ("The perforation grew due to human error.", &[(HumanError, "human error")]),
        ("We did not notice the swelling, so the sheath stayed in.", &[(HumanError, "did not notice")]),
        ("The nurse forgot the second dose, so the clotting time fell to 160 s.", &[(HumanError, "forgot")]),
        // Rule 4.
        (
            "The checklist was skipped, so the allergy came to light late.",
            &[(BrokenProcedure, "checklist was skipped")],
        ),
        (
            "Deviation from the puncture protocol led to a high entry and a bleed.",
            &[(BrokenProcedure, "Deviation from the puncture protocol")],
        ),
        (
            "The team ignored the time-out, so nobody named the spare wire.",
            &[(BrokenProcedure, "ignored the time-out")],
        ),
        (
            "The fellow didn't follow the protocol, so the dose was late.",
            &[(BrokenProcedure, "didn't follow the protocol")],
        ),
        // Rule 5.
        (
            "The nurse did not check the clotting time, so it was 160 s at stenting.",
            &[(HumanError, "did not"), (FailureToAct, "check")],
        ),
        ("Nobody called the surgeon, so an hour was lost.", &[(FailureToAct, "Nobody called")]),
        (
            "Failure to measure the vessel led to a stent of the next larger size.",
            &[(HumanError, "Failure"), (FailureToAct, "measure")],
        ),
        // "Due to" is no duty.
        (
            "The clot grew due to the nurse who did not check the clotting time.",
            &[(RoleBlamed, "nurse"), (HumanError, "did not"), (FailureToAct, "check")],
        ),
        // With its order stated, only the cause is asked for.
        ("Heparin was ordered and the fellow failed to give it.", &[(HumanError, "failed")]),
        // A role without its condition.
        ("The operator advanced the wire too far, so the tip left the vessel.", &[(RoleBlamed, "operator")]),
        ("The radiographer was inexperienced, so the gantry came late.", &[(RoleBlamed, "radiographer")]),
        ("The dissection grew because of the fellow.", &[(RoleBlamed, "fellow")]),
        (
            "The registrar’s technique tore the radial artery, so the forearm bled.",
            &[(RoleBlamed, "registrar")],
        ),
        (
            "The balloon was inflated too far by the attending, so the wall gave way.",
            &[(RoleBlamed, "attending")],
        ),
        // Hindsight.
        (
            "The branch could have been wired, so it would have stayed open.",
            &[(Hindsight, "could have"), (Hindsight, "would have")],
        ),
        ("In hindsight the guide was too large, so it closed the ostium.", &[(Hindsight, "In hindsight")]),
    ]);
}

#[test]
fn nothing_is_asked_of_an_empty_statement() {
    for empty in ["", "  ", "\n", "…", "?!"] {
        assert!(check(empty).is_empty(), "{empty:?}");
    }
}

#[test]
fn each_finding_says_why_and_asks() {
    for statement in ["Operator error.", "Poor view.", "The stent should have been longer.", "Nobody called."]
    {
        for finding in check(statement) {
            assert!(finding.why.ends_with('.'), "{finding:?}");
            assert!(finding.ask.ends_with('?') || finding.ask.ends_with('.'), "{finding:?}");
        }
        assert!(!found(statement).is_empty(), "{statement}");
    }
}
