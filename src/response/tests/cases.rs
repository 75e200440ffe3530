//! Two invented cases, worked through by hand: a perforation, and a closure in which the wire had left
//! the true lumen.

use super::{done, event, late, perhaps, question, said, standard, state};
use crate::response::{Answer, Course, Near, Occurrence, QuestionState, Set, SettledBy, StepState};

fn tree<'a>(occurrence: Occurrence<'a>) -> Occurrence<'a> {
    Occurrence { near: Near::SameTree, ..occurrence }
}

fn nowhere<'a>(occurrence: Occurrence<'a>) -> Occurrence<'a> {
    Occurrence { near: Near::NotSaid, ..occurrence }
}

/// A non-compliant balloon ruptures the mid LAD (5), a jet is seen (6).
fn perforation() -> Vec<Occurrence<'static>> {
    vec![
        event(3, "stent", "drug-eluting-stent", None, "Indented on the calcium side."),
        event(5, "balloon", "noncompliant-balloon", None, "Indentation yields."),
        event(6, "finding", "", None, "Free jet through a hole."),
        event(7, "balloon", "noncompliant-balloon", Some(0), "Back up across the hole."),
        nowhere(event(8, "help", "", None, "Surgeon, anaesthetist, echo by one call.")),
        nowhere(event(13, "imaging", "", None, "Echo: 14 mm effusion.")),
        nowhere(event(14, "support", "pericardial-drain", None, "Pigtail, 260 mL.")),
        tree(event(15, "guide", "guide-catheter", None, "Second guide at the ostium.")),
        event(17, "stent", "covered-stent", None, "Deployed over the hole."),
        event(20, "flow", "", Some(3), "No extravasation."),
        nowhere(event(21, "drug", "", None, "Protamine after removal of both guides.")),
    ]
}

#[test]
fn a_perforation_of_a_large_vessel_reads_as_it_was_treated() {
    let list = standard("perforation");
    let course = Course { mechanism: "balloon-perforation", onset: Some(5), recognised: Some(6) };
    let events = perforation();
    let by_cover = QuestionState::Settled { answer: Answer::Yes, by: SettledBy::Event { at: 17 } };
    assert_eq!(question(&list, course, &events, &[], "large-vessel"), by_cover);
    for (step, expected) in [
        // Not the balloon at 5, which made the hole.
        ("balloon-up", done(7)),
        ("help-called", done(8)),
        ("surgeon-echo-anaesthesia", perhaps(&[8])),
        ("echo-for-effusion", perhaps(&[8, 13])),
        ("drained", done(14)),
        ("way-for-covered-stent", done(15)),
        ("covered-stent", done(17)),
        (
            "distal-vessel-closed",
            StepState::OtherBranch { question: "large-vessel".parse().unwrap(), answer: Answer::Yes },
        ),
        ("reversal-weighed", perhaps(&[21])),
        ("surgery", StepState::Waits { question: "uncontrolled".parse().unwrap() }),
        ("monitored-bed", perhaps(&[])),
    ] {
        assert_eq!(state(&list, course, &events, &[], step), expected, "{step}");
    }
}

/// A balloon over a subintimal wire (10) closes the LAD (11).
fn closure() -> Vec<Occurrence<'static>> {
    vec![
        event(6, "wire", "polymer-jacketed-wire", None, "Past the bend without resistance."),
        event(10, "balloon", "compliant-balloon", None, "Two inflations."),
        event(11, "flow", "", Some(0), "No passage beyond the bend."),
        nowhere(event(14, "help", "", None, "Occlusion specialist called.")),
        nowhere(event(15, "decision", "", None, "Chosen: leave it as a marker, no more contrast.")),
        event(16, "wire", "dual-lumen-catheter", None, "Over the marker wire. Clotting time 304 s."),
        event(17, "wire", "tapered-wire", None, "Gives, and slips on to the apex."),
        event(18, "flow", "", Some(2), "A small contrast test fills the vessel slowly."),
        event(19, "imaging", "intravascular-imaging", None, "Second wire inside three layers."),
        event(20, "stent", "drug-eluting-stent", None, "Below the bend."),
        event(22, "flow", "", Some(3), "Fills and clears promptly."),
    ]
}

const CLOSURE: Course = Course { mechanism: "balloon-dissection", onset: Some(10), recognised: Some(11) };

#[test]
fn a_closure_waits_for_the_wire_and_follows_its_branch() {
    let list = standard("acute-vessel-closure");
    let events = closure();
    let waits = StepState::Waits { question: "wired-distally".parse().unwrap() };
    for step in ["seal-with-stent", "true-lumen-regained", "true-lumen-confirmed", "vessel-opened"] {
        assert_eq!(state(&list, CLOSURE, &events, &[], step), waits, "{step}");
    }

    let wired = [said("wired-distally", Set::Yes)];
    assert_eq!(
        state(&list, CLOSURE, &events, &wired, "seal-with-stent"),
        done(20),
        "the mechanism is a dissection"
    );

    let not_wired = [said("wired-distally", Set::No)];
    let other = StepState::OtherBranch { question: "wired-distally".parse().unwrap(), answer: Answer::No };
    assert_eq!(state(&list, CLOSURE, &events, &not_wired, "seal-with-stent"), other);
    assert_eq!(state(&list, CLOSURE, &events, &not_wired, "vessel-opened"), done(20));
    // An attempt with a wire is no lumen regained, nor an image of one confirmed, before a person says so.
    assert_eq!(state(&list, CLOSURE, &events, &not_wired, "true-lumen-regained"), perhaps(&[16, 17]));
    assert_eq!(state(&list, CLOSURE, &events, &not_wired, "true-lumen-confirmed"), perhaps(&[19]));
    let regained = [said("wired-distally", Set::No), said("true-lumen-regained", Set::DoneAt(17))];
    assert_eq!(state(&list, CLOSURE, &events, &regained, "true-lumen-confirmed"), done(19));
    assert_eq!(late(&list, CLOSURE, &events, &regained, "true-lumen-confirmed"), None);
}

#[test]
fn a_balloon_before_the_proof_makes_the_proof_late() {
    let list = standard("acute-vessel-closure");
    let mut events = closure();
    events.retain(|event| event.place != 18);
    events.push(event(18, "balloon", "compliant-balloon", None, "2.0 mm."));
    let regained = [said("wired-distally", Set::No), said("true-lumen-regained", Set::DoneAt(17))];
    let found = late(&list, CLOSURE, &events, &regained, "true-lumen-confirmed");
    assert_eq!(found, Some("vessel-opened".to_owned()));
}

#[test]
fn the_rest_of_the_closure_reads_from_its_events() {
    let list = standard("acute-vessel-closure");
    let events = closure();
    for (step, expected) in [
        ("wire-kept", perhaps(&[15, 16])),
        ("help-called", done(14)),
        ("clotting-time-checked", perhaps(&[16])),
        ("cause-sought", done(19)),
        ("no-forceful-injection", perhaps(&[15])),
        ("restoration-timed", done(18)),
        ("final-flow-recorded", done(22)),
        (
            "emergency-surgery",
            StepState::OtherBranch { question: "not-restored".parse().unwrap(), answer: Answer::No },
        ),
    ] {
        assert_eq!(state(&list, CLOSURE, &events, &[], step), expected, "{step}");
    }
}
