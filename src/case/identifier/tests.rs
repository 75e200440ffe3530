//! A case's words, looked through and written anew.

use super::*;
use crate::case::stored::Row;
use crate::case::text::Title;
use crate::case::{Case, CaseCode, Picture, PictureDigest, Still};

fn case() -> StoredCase {
    let case: Case = toml::from_str(
        r#"
format = 1
title = "Vessel closed after a Judkins left 4 guide"
month = "2025-03"
stage = "recorded"
narrative = "Dr Marlow asked for a second view. TIMI 3 after a 3.0 x 28 mm stent at 14 atm."
situation = "Seen by Dr Tolland."
time_zero = "first wire"
[patient]
history = ["earlier stent", "diabetes"]
[procedure]
strategy = "one stent"
[outcome]
discharge = "well"
[[events]]
key = "e1"
at = "+1:00"
kind = "stent"
text = "a stent"
[[complications]]
key = "c1"
mechanism = "no-reflow"
[[observations]]
family = "haematoma"
label = "the right groin"
[observations.answers]
size = "6 cm"
[[prompts]]
complication = "c1"
list = "no-reflow"
step = "check"
because = "flow came back"
[[causes]]
cause = "tk-plan-single"
statement = "one plan"
weight = "contributing"
[[decisions]]
key = "d1"
at = "+1:10"
question = "stop?"
chosen = 1
chosen_by = "operator"
followed = "flow"
[[decisions.options]]
text = "stop"
for = ["calm"]
against = ["flow"]
[[lessons]]
kind = "respond"
text = "Take a second view."
recurring = "Look twice"
signed_by = "Dr Attending"
signed_on = "2025-04-01"
[[actions]]
what = "a list"
owner = "lead"
due = "2025-06-01"
strength = "weaker"
measure = "count"
target = "ten"
state = "open"
"#,
    )
    .unwrap();
    let mut case = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
    let picture = Picture {
        event: None,
        caption: Some("Before".parse().unwrap()),
        shows: "A vessel.".parse().unwrap(),
        view: None,
        still: Still { width: 1, height: 1, digest: PictureDigest::of(b"") },
        confirmed_by: "Fellow".parse().unwrap(),
        confirmed_on: "2025-03-01".parse().unwrap(),
    };
    case.pictures.push(Row { id: 1, value: picture });
    case
}

/// Review-method, the strings of de-identification after 45 CFR 164.514(b)(2).
#[test]
fn a_name_is_found_where_it_stands_and_the_trades_words_are_left_alone() {
    let told: Vec<_> = case().identifiers.into_iter().map(|one| (one.place, one.words, one.kind)).collect();
    assert_eq!(
        told,
        [
            (Place::Situation, "Dr Tolland".to_owned(), "Name".to_owned()),
            (Place::Narrative, "Dr Marlow".to_owned(), "Name".to_owned()),
        ]
    );
}

#[test]
fn a_dismissal_holds_for_the_words_wherever_in_the_case_they_stand_and_for_no_others() {
    let case = case();
    let own = OwnWords::default();
    let dismissal = Dismissal {
        id: 1,
        everywhere: false,
        digest: own.digest_of_words("dr  marlow"),
        kind: "Name".to_owned(),
        because: "Nobody of that name exists.".parse().unwrap(),
        by: "Attending".to_owned(),
        at: jiff::Timestamp::UNIX_EPOCH,
    };
    let dismissals = [dismissal];
    let open: Vec<String> = open(&case, &own, &dismissals).into_iter().map(|one| one.words).collect();
    assert_eq!(open, ["Dr Tolland"]);
}

/// Every text has an address that is read back, and takes another text; nothing else of the case changes.
#[test]
fn every_text_can_be_written_anew_and_only_it() {
    let case = case();
    let before: Vec<(Place, String)> =
        texts(&case).into_iter().map(|(place, text)| (place, text.to_owned())).collect();
    // All the kinds of places are in the case.
    let mut kinds: Vec<String> =
        before.iter().map(|(place, _)| place.to_string().split('.').next().unwrap().to_owned()).collect();
    kinds.sort();
    kinds.dedup();
    assert_eq!(kinds.len(), 20, "{kinds:?}");
    for (place, _) in &before {
        assert_eq!(place.to_string().parse(), Ok(place.clone()));
        let mut changed = case.clone();
        match with_text(&case, place, "other words").unwrap() {
            Change::Head(head) => changed.head = *head,
            Change::Row(id, value) => put(&mut changed, id, *value),
            Change::Remark(remark) => changed.prompts[0].value = remark,
            Change::Recurring { to, .. } => changed.lessons[0].value.recurring = Some(to),
        }
        let expected: Vec<(Place, String)> = before
            .iter()
            .map(|(other, text)| {
                (other.clone(), if other == place { "other words".to_owned() } else { text.clone() })
            })
            .collect();
        let after: Vec<(Place, String)> =
            texts(&changed).into_iter().map(|(place, text)| (place, text.to_owned())).collect();
        assert_eq!(after, expected, "{place}");
    }
}

fn put(case: &mut StoredCase, id: i64, value: crate::case::store::RowValue) {
    use crate::case::store::RowValue::{Action, Cause, Decision, Event, Lesson, Observation, Picture};
    assert_eq!(id, 1);
    match value {
        Event(value) => case.events[0].value = value,
        Observation(value) => case.observations[0].value = value,
        Picture(value) => case.pictures[0].value = value,
        Cause(value) => case.causes[0].value = value,
        Decision(value) => case.decisions[0].value = value,
        Lesson(value) => case.lessons[0].value = value,
        Action(value) => case.actions[0].value = value,
        other => panic!("no text in {other:?}"),
    }
}

#[test]
fn what_identifies_is_covered_and_nothing_else() {
    let own = OwnWords::default();
    assert_eq!(covered("Then Dr Marlow saw TIMI 3.", &own, &[]), "Then [name] saw TIMI 3.");
    assert_eq!(covered("TIMI 3 at 14 atm", &own, &[]), "TIMI 3 at 14 atm");
}

#[test]
fn a_text_that_does_not_fit_or_is_gone_is_refused() {
    let case = case();
    assert_eq!(with_text(&case, &Place::Event(9), "x"), Err(WriteError::Gone));
    assert!(matches!(with_text(&case, &Place::Title, " "), Err(WriteError::Text(_))));
    assert!(with_text(&case, &Place::Title, &"x".repeat(200)).is_err());
    assert!(
        "x".parse::<Title>().is_ok()
            && "event".parse::<Place>().is_err()
            && "decision.1.x".parse::<Place>().is_err()
    );
}
