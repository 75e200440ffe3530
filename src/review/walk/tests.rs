use super::{Answer, Answers, Page, RoomChoice, Walk, in_words, room_choices};
use crate::case::{Case, Decision, DecisionOption, Lesson, LessonKind, OptionNumber, StoredCase};
use crate::conference::votes::{Hands, Phase, Poll, PollCode, Tally};

fn of<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

fn decision(key: &str, at: &str, options: &[&str], chosen: Option<usize>) -> Decision {
    let option =
        |text: &&str| DecisionOption { text: of(text), reasons_for: Vec::new(), reasons_against: Vec::new() };
    Decision {
        key: of(key),
        at: of(at),
        question: of("What next?"),
        options: options.iter().map(option).collect(),
        chosen: chosen.and_then(OptionNumber::of_index),
        chosen_by: None,
        followed: None,
    }
}

fn case() -> StoredCase {
    let mut case = Case::first_entry(of("Known later"), of("2026-01"), of("flow-no-reflow"), None);
    case.decisions = vec![
        decision("d1", "+9:00", &["Look", "Go"], Some(1)),
        decision("d2", "+12:00", &["Only this"], Some(0)),
        decision("d3", "+20:00", &["Stop", "Stent"], Some(0)),
        decision("d4", "+30:00", &["Leave", "Reopen"], None),
    ];
    case.lessons = vec![Lesson {
        kind: LessonKind::Prevent,
        text: of("Look first."),
        event: None,
        decision: Some(of("d1")),
        reference: None,
        recurring: None,
        signed_by: None,
        signed_on: None,
    }];
    StoredCase::of_file(case, of("2026-001"))
}

fn answer(key: &str, option: &str) -> Answer {
    Answer { decision: of(key), option: of(option), reason: None, on: of("2026-03-01") }
}

fn answers(now: &[(&str, &str)]) -> Answers {
    Answers { now: now.iter().map(|(key, option)| answer(key, option)).collect(), first: Vec::new() }
}

/// What a page is, in a word.
fn kind(page: Option<Page>) -> String {
    match page {
        None => "nothing".to_owned(),
        Some(Page::Asked(question)) => format!("asked {}", question.key),
        Some(Page::Told(told)) => format!("told {}", told.decision.key),
        Some(Page::Open) => "open".to_owned(),
        Some(Page::First(number)) => format!("first {number}"),
    }
}

#[test]
fn nothing_behind_an_unanswered_question_is_given_out() {
    let case = case();
    let all = [("d1", "Go"), ("d3", "Stop"), ("d4", "Leave")];
    for (given, expected) in [
        (&all[..0], ["nothing", "asked d1", "first 1", "first 1", "first 1", "nothing"]),
        (&all[..1], ["nothing", "told d1", "asked d3", "first 2", "first 2", "nothing"]),
        // A later answer opens nothing while an earlier one is missing.
        (&all[1..], ["nothing", "asked d1", "first 1", "first 1", "first 1", "nothing"]),
        (&all[..], ["nothing", "told d1", "told d3", "told d4", "open", "nothing"]),
    ] {
        let answers = answers(given);
        let walk = Walk::of(&case, &answers);
        let found: Vec<String> = (0..6).map(|number| kind(walk.page(number))).collect();
        assert_eq!(found, expected, "{given:?}");
        assert_eq!(walk.is_done(), given.len() == 3);
        assert_eq!(walk.compared(&[]).is_empty(), given.len() < 3);
    }
}

#[test]
fn a_case_without_a_choice_is_open_at_once() {
    let mut case = case();
    case.decisions.retain(|row| row.value.options.len() < 2);
    let answers = Answers::default();
    let walk = Walk::of(&case, &answers);
    assert_eq!((walk.len(), walk.is_done(), walk.is_begun()), (0, true, false));
    assert_eq!(kind(walk.page(1)), "open");
    assert_eq!(kind(walk.page(2)), "nothing");
}

#[test]
fn the_lessons_about_a_decision_come_with_its_answer() {
    let case = case();
    let answers = answers(&[("d1", "Go"), ("d3", "Stop")]);
    let walk = Walk::of(&case, &answers);
    let lessons = |number| match walk.page(number) {
        Some(Page::Told(told)) => told.lessons.len(),
        page => panic!("{page:?}"),
    };
    assert_eq!((lessons(1), lessons(2)), (1, 0));
}

#[test]
fn the_fingerprint_of_a_question_does_not_depend_on_what_was_chosen() {
    let print = |case: &StoredCase| match Walk::of(case, &Answers::default()).page(1) {
        Some(Page::Asked(question)) => question.fingerprint(),
        page => panic!("{page:?}"),
    };
    let (case, mut other) = (case(), case());
    let before = print(&case);
    other.decisions[0].value.chosen = OptionNumber::of_index(0);
    other.decisions[0].value.followed = Some(of("It closed."));
    assert_eq!(print(&other), before);
    other.decisions[0].value.options[1].text = of("Go on");
    assert_ne!(print(&other), before);
}

#[test]
fn choices_are_compared_with_what_was_chosen_and_with_the_room() {
    let case = case();
    let mut given = answers(&[("d1", "Look"), ("d3", "Stop"), ("d4", "Leave")]);
    given.first = vec![answer("d1", "Go"), answer("d3", "Stop")];
    let walk = Walk::of(&case, &given);
    let room = [RoomChoice { decision: of("d4"), option: "Reopen".to_owned() }];
    let compared = walk.compared(&room);
    let firsts: Vec<Option<&str>> =
        compared.iter().map(|each| each.first.map(|line| line.as_str())).collect();
    assert_eq!(firsts, [Some("Go"), None, None], "only where the first answer was another");
    assert_eq!(
        in_words(&compared),
        [
            "At one of two stops you chose what was chosen then.",
            "You chose something other than what was the room's first choice."
        ]
    );
    assert_eq!(in_words(&walk.compared(&[])).len(), 1);
    let said = |stops: &[bool]| super::alike(stops, "was chosen then").unwrap_or_default();
    for (stops, words) in [
        (&[][..], ""),
        (&[true], "You chose what was chosen then."),
        (&[true, true], "At all two stops you chose what was chosen then."),
        (&[false, false], "At each of the two stops you chose something other than what was chosen then."),
        (&[true, true, false], "At two of three stops you chose what was chosen then."),
    ] {
        assert_eq!(said(stops), words);
    }
}

#[test]
fn the_room_has_a_first_choice_when_its_vote_is_closed_and_not_level() {
    let case = case();
    let votes = |open: bool, phones: [u32; 2]| Poll {
        case_id: 0,
        decision: of("d1"),
        phase: Phase::Before,
        question: "What next?".to_owned(),
        code: PollCode::generate().unwrap(),
        opened_at: jiff::Timestamp::UNIX_EPOCH,
        closed_at: (!open).then_some(jiff::Timestamp::UNIX_EPOCH),
        options: ["Look", "Go"]
            .iter()
            .zip(phones)
            .map(|(text, phones)| Tally { text: (*text).to_owned(), hands: Hands::default(), phones })
            .collect(),
    };
    let first = |polls: &[Poll]| room_choices(&case, polls).pop().map(|choice| choice.option);
    assert_eq!(first(&[votes(false, [2, 5])]).as_deref(), Some("Go"));
    assert_eq!(
        first(&[votes(false, [2, 5]), votes(false, [4, 1])]).as_deref(),
        Some("Look"),
        "the latest counts"
    );
    assert_eq!(first(&[votes(true, [2, 5])]), None, "open");
    assert_eq!(first(&[votes(false, [3, 3])]), None, "level");
    assert_eq!(first(&[votes(false, [0, 0])]), None, "nobody answered");
    let after = Poll { phase: Phase::After, ..votes(false, [2, 5]) };
    assert_eq!(first(&[after]), None, "after the discussion it is no first choice");
}
