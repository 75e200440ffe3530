//! Which event makes a step done, and which is only offered.

use super::{COURSE, done, event, late, list, perhaps, said, state};
use crate::response::{Course, Near, Occurrence, PromptList, Set, StepState, follow};

/// A list with one step that has this sign.
fn one_sign(sign: &str) -> PromptList {
    list(&format!("[[steps]]\nslug = \"step\"\ntext = \"T\"\nwhy = \"W\"\nsigns = [{{ {sign} }}]\n"))
}

fn states(list: &PromptList, course: Course, events: &[Occurrence]) -> StepState {
    state(list, course, events, &[], "step")
}

#[test]
fn kind_device_and_flow_all_have_to_fit() {
    let balloon = "kinds = [\"balloon\"]";
    let sized = "kinds = [\"balloon\", \"stent\"], devices = [\"compliant-balloon\"]";
    let flow = "kinds = [\"flow\"], flow_at_least = 2";
    for (sign, occurrence, expected) in [
        (balloon, event(30, "balloon", "", None, ""), done(30)),
        (balloon, event(30, "balloon", "other", None, ""), done(30)),
        (balloon, event(30, "stent", "", None, ""), perhaps(&[])),
        (sized, event(30, "balloon", "compliant-balloon", None, ""), done(30)),
        (sized, event(30, "stent", "compliant-balloon", None, ""), done(30)),
        (sized, event(30, "balloon", "noncompliant-balloon", None, ""), perhaps(&[])),
        (sized, event(30, "balloon", "", None, ""), perhaps(&[])),
        (flow, event(30, "flow", "", Some(3), ""), done(30)),
        (flow, event(30, "flow", "", Some(2), ""), done(30)),
        (flow, event(30, "flow", "", Some(1), ""), perhaps(&[])),
        (flow, event(30, "flow", "", None, ""), perhaps(&[])),
    ] {
        assert_eq!(states(&one_sign(sign), COURSE, &[occurrence]), expected, "{sign}: {occurrence:?}");
    }
}

#[test]
fn a_place_that_is_not_said_is_offered_and_another_vessel_is_not() {
    use Near::{Elsewhere, NotSaid, Same, SameTree};
    for (place, near, expected) in [
        ("any", Elsewhere, done(30)),
        ("any", NotSaid, done(30)),
        ("same-vessel", Same, done(30)),
        ("same-vessel", SameTree, perhaps(&[])),
        ("same-vessel", NotSaid, perhaps(&[30])),
        ("same-tree", Same, done(30)),
        ("same-tree", SameTree, done(30)),
        ("same-tree", Elsewhere, perhaps(&[])),
        ("same-tree", NotSaid, perhaps(&[30])),
        ("other-in-tree", Same, perhaps(&[])),
        ("other-in-tree", SameTree, done(30)),
        ("other-in-tree", Elsewhere, perhaps(&[])),
    ] {
        let list = one_sign(&format!("kinds = [\"balloon\"], place = \"{place}\""));
        let occurrence = Occurrence { near, ..event(30, "balloon", "", None, "") };
        assert_eq!(states(&list, COURSE, &[occurrence]), expected, "{place} {near:?}");
    }
}

/// Began at 10, recognised at 20, unless the row says otherwise.
#[test]
fn an_event_counts_from_the_moment_that_its_sign_names() {
    let (both, began, seen, neither) =
        ((Some(10), Some(20)), (Some(10), None), (None, Some(20)), (None, None));
    for (from, known, place, expected) in [
        ("at-onset", both, 9, perhaps(&[])),
        ("at-onset", both, 10, done(10)),
        ("after-onset", both, 10, perhaps(&[])),
        ("after-onset", both, 11, done(11)),
        ("at-recognition", both, 19, perhaps(&[])),
        ("at-recognition", both, 20, done(20)),
        ("after-recognition", both, 20, perhaps(&[])),
        ("after-recognition", both, 21, done(21)),
        ("after-onset", began, 11, done(11)),
        // Nobody said when it was recognised: what may have come before is only offered.
        ("after-recognition", began, 30, perhaps(&[30])),
        ("after-recognition", began, 9, perhaps(&[])),
        // Nobody said when it began: what comes after the recognition comes after that too.
        ("after-onset", seen, 21, done(21)),
        ("after-onset", seen, 20, perhaps(&[20])),
        ("at-onset", seen, 20, done(20)),
        ("after-onset", seen, 5, perhaps(&[5])),
        ("after-recognition", seen, 5, perhaps(&[])),
        ("after-onset", neither, 30, perhaps(&[30])),
        ("after-recognition", neither, 30, perhaps(&[30])),
        // Recognised by the event that it began with.
        ("at-recognition", (Some(10), Some(10)), 10, done(10)),
        ("after-recognition", (Some(10), Some(10)), 10, perhaps(&[])),
        // A recognition that is put before the onset lets nothing before the onset count.
        ("after-recognition", (Some(10), Some(5)), 8, perhaps(&[])),
        ("after-recognition", (Some(10), Some(5)), 10, perhaps(&[])),
    ] {
        let list = one_sign(&format!("kinds = [\"balloon\"], from = \"{from}\""));
        let course = Course { onset: known.0, recognised: known.1, ..COURSE };
        let found = states(&list, course, &[event(place, "balloon", "", None, "")]);
        assert_eq!(found, expected, "{from}, {known:?}, event at {place}");
    }
}

#[test]
fn the_first_event_after_the_onset_wins_over_one_before_it() {
    let list = list(
        "[[steps]]\nslug = \"step\"\ntext = \"T\"\nwhy = \"W\"\nmay_precede = true\nsigns = [{ kinds = [\"help\"] }]\n",
    );
    let help = |place| event(place, "help", "", None, "");
    assert_eq!(states(&list, COURSE, &[help(40), help(30), help(5)]), done(30));
    assert_eq!(states(&list, COURSE, &[help(10)]), done(10));
    assert_eq!(states(&list, COURSE, &[help(3), help(5)]), StepState::DoneBefore { at: 5 });
    let unknown = Course { onset: None, recognised: None, ..COURSE };
    assert_eq!(states(&list, unknown, &[help(7)]), done(7), "done, whenever it began; without a time");
}

#[test]
fn a_sign_after_a_step_counts_only_after_that_step() {
    let list = list(
        "[[steps]]\nslug = \"first\"\ntext = \"T\"\nwhy = \"W\"\nsigns = [{ kinds = [\"wire\"] }]\n\
         [[steps]]\nslug = \"step\"\ntext = \"T\"\nwhy = \"W\"\nsigns = [{ kinds = [\"stent\"], after_step = \"first\" }]\n",
    );
    let (stent, wire) = (event(30, "stent", "", None, ""), |at| event(at, "wire", "", None, ""));
    assert_eq!(states(&list, COURSE, &[wire(25), stent]), done(30));
    assert_eq!(states(&list, COURSE, &[wire(35), stent]), perhaps(&[]));
    assert_eq!(
        states(&list, COURSE, &[stent]),
        perhaps(&[30]),
        "the first step may be missing from the record"
    );
    let set = [said("first", Set::DoneAt(28))];
    assert_eq!(
        state(&list, COURSE, &[wire(35), stent], &set, "step"),
        done(30),
        "what a person set orders too"
    );
    let set = [said("first", Set::DoneAt(30))];
    assert_eq!(state(&list, COURSE, &[stent], &set, "step"), perhaps(&[]), "one event is not after itself");
    let set = [said("first", Set::DoesNotApply("one stent".to_owned()))];
    assert_eq!(state(&list, COURSE, &[wire(25), stent], &set, "step"), perhaps(&[30]));
}

/// The first step was done before the onset and again later; what follows it may follow either.
#[test]
fn a_sign_after_a_step_looks_at_the_earliest_time_that_the_step_was_done() {
    let list = list(
        "[[steps]]\nslug = \"first\"\ntext = \"T\"\nwhy = \"W\"\nmay_precede = true\nsigns = [{ kinds = [\"wire\"] }]\n\
         [[steps]]\nslug = \"step\"\ntext = \"T\"\nwhy = \"W\"\nsigns = [{ kinds = [\"stent\"], after_step = \"first\" }]\n",
    );
    let (stent, wire) = (event(15, "stent", "", None, ""), |at| event(at, "wire", "", None, ""));
    assert_eq!(states(&list, COURSE, &[wire(3), stent]), done(15));
    assert_eq!(states(&list, COURSE, &[wire(3), stent, wire(30)]), done(15));
    assert_eq!(state(&list, COURSE, &[wire(3), stent, wire(30)], &[], "first"), done(30));
}

#[test]
fn flow_that_came_back_was_lost_before() {
    let list =
        one_sign("kinds = [\"flow\"], place = \"same-vessel\", flow_at_least = 2, after_lost_flow = true");
    let flow = |place, grade| event(place, "flow", "", Some(grade), "");
    assert_eq!(states(&list, COURSE, &[flow(15, 0), flow(30, 2)]), done(30));
    assert_eq!(states(&list, COURSE, &[flow(10, 1), flow(30, 2)]), done(30));
    assert_eq!(states(&list, COURSE, &[flow(5, 0), flow(30, 2)]), perhaps(&[30]));
    assert_eq!(states(&list, COURSE, &[flow(15, 2), flow(30, 3)]), perhaps(&[15, 30]));
    let branch = Occurrence { near: Near::SameTree, ..flow(15, 0) };
    assert_eq!(states(&list, COURSE, &[branch, flow(30, 3)]), perhaps(&[30]));
}

#[test]
fn words_are_offered_and_never_count() {
    let list = list(
        "[[steps]]\nslug = \"step\"\ntext = \"T\"\nwhy = \"W\"\nhints = [\"Echo*\", \"ACT\", \"clotting time\"]\n\
         suggests = [{ kinds = [\"drug\"] }]\n",
    );
    for (kind, text, offered) in [
        ("imaging", "Bedside echocardiogram: fluid.", true),
        ("imaging", "ECHO.", true),
        ("imaging", "A re-echo was made.", true),
        ("imaging", "No techo here.", false),
        ("finding", "ACT 288 s", true),
        ("finding", "action taken, exact value", false),
        ("finding", "Clotting\u{a0}time", false),
        ("finding", "Clotting time: 288 s.", true),
        ("finding", "", false),
        ("drug", "anything", true),
    ] {
        let expected = if offered { perhaps(&[30]) } else { perhaps(&[]) };
        assert_eq!(states(&list, COURSE, &[event(30, kind, "", None, text)]), expected, "{kind}: {text}");
    }
    let early = event(9, "imaging", "", None, "echo");
    assert_eq!(states(&list, COURSE, &[early]), perhaps(&[]), "before the onset it is no response");
}

#[test]
fn what_a_person_set_wins() {
    let list = one_sign("kinds = [\"balloon\"]");
    let events = [event(30, "balloon", "", None, ""), event(40, "stent", "", None, "")];
    for (set, expected) in [
        (Set::DoneAt(40), done(40)),
        (Set::DoneAt(4), StepState::DoneBefore { at: 4 }),
        (Set::DoesNotApply("small".to_owned()), StepState::DoesNotApply { because: "small".to_owned() }),
        (Set::NotRecorded, perhaps(&[])),
        // An answer is no state of a step.
        (Set::Yes, done(30)),
    ] {
        assert_eq!(state(&list, COURSE, &events, &[said("step", set.clone())], "step"), expected, "{set:?}");
    }
    let twice =
        [said("step", Set::NotRecorded), said("step", Set::DoneAt(40)), said("nowhere", Set::DoneAt(1))];
    assert_eq!(state(&list, COURSE, &events, &twice, "step"), done(40), "the last one holds");
    assert!(follow(&list, COURSE, &events, &twice)[0].set_by_person);
    assert!(!follow(&list, COURSE, &events, &[])[0].set_by_person);
}

#[test]
fn a_step_that_came_after_the_one_it_precedes_is_late() {
    let list = list(
        "[[steps]]\nslug = \"proof\"\ntext = \"T\"\nwhy = \"W\"\nbefore = \"stent\"\nsigns = [{ kinds = [\"imaging\"] }]\n\
         [[steps]]\nslug = \"stent\"\ntext = \"T\"\nwhy = \"W\"\nsigns = [{ kinds = [\"stent\"] }]\n",
    );
    let (proof, stent) = (|at| event(at, "imaging", "", None, ""), event(30, "stent", "", None, ""));
    assert_eq!(late(&list, COURSE, &[proof(25), stent], &[], "proof"), None);
    assert_eq!(late(&list, COURSE, &[proof(35), stent], &[], "proof"), Some("stent".to_owned()));
    assert_eq!(late(&list, COURSE, &[proof(35)], &[], "proof"), None, "there was no stent");
    assert_eq!(late(&list, COURSE, &[stent], &[], "proof"), None, "not recorded is not late");
    let set = [said("stent", Set::DoesNotApply("none".to_owned()))];
    assert_eq!(late(&list, COURSE, &[proof(35), stent], &set, "proof"), None);
    let set = [said("proof", Set::DoneAt(30))];
    assert_eq!(late(&list, COURSE, &[stent], &set, "proof"), None, "one event that shows both");
}
