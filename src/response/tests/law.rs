//! What holds for every list and every case.

use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::{select, subsequence};

use super::ALLOWED;
use crate::quantity::TimiFlow;
use crate::response::{
    Answer, Condition, Course, LISTS, Near, Occurrence, Place, PromptList, Question, Said, Set, Sign, Since,
    Slug, Step, StepState, answers, follow, standard_lists,
};

// Few words, so that they meet.
const KINDS: [&str; 4] = ["balloon", "stent", "flow", "help"];
const DEVICES: [&str; 2] = ["compliant-balloon", "coil"];
const TEXTS: [&str; 4] = ["", "Echo made.", "Surgeon called, echo to come.", "Ausklang"];
const HINTS: [&str; 3] = ["echo*", "surgeon", "klang"];

fn slug(text: &str) -> Slug {
    text.parse().unwrap()
}

fn slugs(words: &'static [&'static str], least: usize) -> impl Strategy<Value = Vec<Slug>> {
    subsequence(words, least..=words.len()).prop_map(|words| words.into_iter().map(slug).collect())
}

fn flow() -> impl Strategy<Value = Option<TimiFlow>> {
    option::of(select(&TimiFlow::ALL[..]))
}

/// A sign; what it comes after, if anything, is one of the first `earlier` steps.
fn sign(earlier: usize) -> impl Strategy<Value = Sign> {
    let after = option::weighted(0.4, 0..earlier.max(1));
    let words = (slugs(&KINDS, 1), slugs(&DEVICES, 0));
    (words, select(Place::ALL), flow(), any::<bool>(), select(Since::ALL), after).prop_map(
        move |((kinds, devices), place, flow_at_least, after_lost_flow, from, after)| Sign {
            kinds,
            devices,
            place,
            flow_at_least,
            after_lost_flow,
            from,
            after_step: after.filter(|_| earlier > 0).map(|number| slug(&format!("step-{number}"))),
        },
    )
}

/// One line of text that is not only space.
fn line() -> impl Strategy<Value = String> {
    const AWKWARD: [char; 12] = ['a', 'ß', '"', '\\', '\'', '#', '=', '[', '{', ' ', '“', '\u{200b}'];
    vec(prop_oneof![3 => select(&AWKWARD[..]), 1 => any::<char>()], 1..12).prop_map(|characters| {
        let text: String = characters.into_iter().filter(|c| !c.is_control()).collect();
        if text.trim().is_empty() { "x".to_owned() } else { text.trim().to_owned() }
    })
}

fn condition(questions: usize) -> impl Strategy<Value = Option<Condition>> {
    let condition = (0..questions.max(1), select(Answer::ALL));
    option::of(condition).prop_map(move |found| {
        let (number, answer) = found.filter(|_| questions > 0)?;
        Some(Condition { question: slug(&format!("question-{number}")), answer })
    })
}

fn question(number: usize, steps: usize) -> impl Strategy<Value = Question> {
    let signs = || vec(sign(steps), 0..2);
    (line(), condition(number), signs(), signs(), 0..3).prop_map(
        move |(asks, only_if, yes_signs, no_signs, says)| {
            let mechanism = |wanted| if says == wanted { vec![slug("flow-air")] } else { Vec::new() };
            let (yes_mechanisms, no_mechanisms) = (mechanism(1), mechanism(2));
            let slug = slug(&format!("question-{number}"));
            Question { slug, asks, only_if, yes_mechanisms, no_mechanisms, yes_signs, no_signs }
        },
    )
}

fn step(number: usize, steps: usize, questions: usize) -> impl Strategy<Value = Step> {
    let signs = || vec(sign(number), 0..3);
    let words = (line(), line(), option::of(line()));
    let next = option::of(number + 1..steps.max(number + 2));
    let hints = subsequence(&HINTS[..], 0..=HINTS.len());
    (words, condition(questions), next, any::<bool>(), signs(), signs(), hints).prop_map(
        move |((text, why, source), only_if, next, may_precede, mut signs, mut suggests, hints)| {
            for sign in signs.iter_mut().chain(&mut suggests).filter(|_| may_precede) {
                sign.from = Since::AfterOnset;
            }
            Step {
                slug: slug(&format!("step-{number}")),
                text,
                why,
                source,
                only_if,
                before: next.filter(|next| *next < steps).map(|next| slug(&format!("step-{next}"))),
                may_precede,
                signs,
                suggests,
                hints: hints.into_iter().map(str::to_owned).collect(),
            }
        },
    )
}

fn list() -> impl Strategy<Value = PromptList> {
    (1..6usize, 0..4usize).prop_flat_map(|(steps, questions)| {
        let all_steps: Vec<_> = (0..steps).map(|number| step(number, steps, questions)).collect();
        let all_questions: Vec<_> = (0..questions).map(|number| question(number, steps)).collect();
        (line(), line(), all_questions, all_steps).prop_map(|(title, source, questions, steps)| PromptList {
            slug: slug("any-list"),
            title,
            source,
            mechanisms: vec![slug("flow-air"), slug("flow-slow")],
            questions,
            steps,
        })
    })
}

/// Events without their places.
fn event() -> impl Strategy<Value = Occurrence<'static>> {
    let near = select(&[Near::Same, Near::SameTree, Near::Elsewhere, Near::NotSaid][..]);
    (select(&KINDS[..]), option::of(select(&DEVICES[..])), near, flow(), select(&TEXTS[..]))
        .prop_map(|(kind, device, near, flow, text)| Occurrence { place: 0, kind, device, near, flow, text })
}

fn events() -> impl Strategy<Value = Vec<Occurrence<'static>>> {
    vec(event(), 1..12).prop_map(|mut events| {
        events.iter_mut().enumerate().for_each(|(place, event)| event.place = place);
        events
    })
}

fn course() -> impl Strategy<Value = Course<'static>> {
    let mechanism = select(&["flow-air", "flow-slow"][..]);
    (mechanism, option::weighted(0.8, 0..8usize), option::weighted(0.8, 0..4usize)).prop_map(
        |(mechanism, onset, later)| Course {
            mechanism,
            onset,
            recognised: later.map(|l| onset.unwrap_or(0) + l),
        },
    )
}

fn said() -> impl Strategy<Value = Vec<Said>> {
    let set = prop_oneof![
        (0..12usize).prop_map(Set::DoneAt),
        Just(Set::DoesNotApply("so".to_owned())),
        Just(Set::NotRecorded),
        Just(Set::Yes),
        Just(Set::No),
    ];
    let slug = prop_oneof![
        (0..6usize).prop_map(|number| format!("step-{number}")),
        (0..4usize).prop_map(|number| format!("question-{number}")),
    ];
    vec((slug, set).prop_map(|(slug, set)| Said { slug, set }), 0..5)
}

fn is_done(state: &StepState) -> bool {
    state.place().is_some()
}

proptest! {
    #[test]
    fn an_event_that_is_added_never_makes_a_done_step_unrecorded(
        list in list(), course in course(), events in events(), said in said(), left_out in any::<prop::sample::Index>()
    ) {
        let mut fewer = events.clone();
        fewer.remove(left_out.index(events.len()));
        let before = follow(&list, course, &fewer, &said);
        let after = follow(&list, course, &events, &said);
        for (before, after) in before.iter().zip(&after) {
            if is_done(&before.state) {
                let lost = matches!(after.state, StepState::NotRecorded { .. });
                prop_assert!(!lost, "{:?} became {:?}", before.state, after.state);
            }
        }
    }

    #[test]
    fn the_order_in_which_events_are_given_changes_nothing(
        list in list(), course in course(),
        (events, shuffled) in events().prop_flat_map(|events| (Just(events.clone()), Just(events).prop_shuffle())),
        said in said()
    ) {
        prop_assert_eq!(follow(&list, course, &events, &said), follow(&list, course, &shuffled, &said));
        prop_assert_eq!(answers(&list, course, &events, &said), answers(&list, course, &shuffled, &said));
    }

    #[test]
    fn words_and_suggestions_alone_never_make_a_step_done(
        list in list(), course in course(), events in events(), said in said()
    ) {
        let mut list = list;
        list.steps.iter_mut().for_each(|step| step.signs.clear());
        for result in follow(&list, course, &events, &said) {
            prop_assert!(result.set_by_person || !is_done(&result.state), "{:?}", result);
        }
    }

    #[test]
    fn what_a_person_set_is_what_is_told(
        list in list(), course in course(), events in events(), said in said(), at in 0..12usize
    ) {
        let mut said = said;
        let slug = list.steps[0].slug.to_string();
        said.push(Said { slug: slug.clone(), set: Set::DoneAt(at) });
        prop_assert_eq!(follow(&list, course, &events, &said)[0].state.place(), Some(at));
        said.push(Said { slug, set: Set::DoesNotApply("because".to_owned()) });
        let told = follow(&list, course, &events, &said)[0].state.clone();
        prop_assert_eq!(told, StepState::DoesNotApply { because: "because".to_owned() });
    }

    #[test]
    fn done_lies_at_or_after_the_onset_and_done_before_lies_before_it(
        list in list(), course in course(), events in events(), said in said()
    ) {
        for result in follow(&list, course, &events, &said) {
            match result.state {
                StepState::Done { at } => prop_assert!(course.onset.is_none_or(|onset| at >= onset)),
                StepState::DoneBefore { at } => prop_assert!(course.onset.is_some_and(|onset| at < onset)),
                StepState::NotRecorded { perhaps } => {
                    prop_assert!(perhaps.is_sorted_by(|a, b| a < b));
                    prop_assert!(perhaps.iter().all(|place| *place < events.len()));
                }
                _ => {}
            }
        }
    }

    #[test]
    fn a_list_that_is_written_reads_back_the_same(list in list()) {
        prop_assert_eq!(PromptList::parse(&list.to_toml(), &ALLOWED), Ok(list));
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}|[\\[\\]{}\"'=\\.,#\\\\\n a-z0-9]{0,200}") {
        places_are_in_the_file(&text)?;
    }

    #[test]
    fn no_damage_to_a_list_makes_the_reader_panic(
        which in 0..LISTS.len(), cut in any::<prop::sample::Index>(), length in 0..40usize, put in "[\\[\\]{}\"'=\\.,#\\\\\n a-z0-9é]{0,6}"
    ) {
        let characters: Vec<char> = LISTS[which].1.chars().collect();
        let from = cut.index(characters.len());
        let to = (from + length).min(characters.len());
        let damaged: String = characters[..from].iter().copied().chain(put.chars()).chain(characters[to..].iter().copied()).collect();
        places_are_in_the_file(&damaged)?;
    }
}

fn places_are_in_the_file(text: &str) -> Result<(), TestCaseError> {
    if let Err(problems) = PromptList::parse(text, &ALLOWED) {
        prop_assert!(!problems.is_empty());
        for problem in problems {
            let line = text.split('\n').nth(problem.line - 1);
            prop_assert!(
                line.is_some_and(|line| (1..=line.chars().count() + 1).contains(&problem.column)),
                "{}",
                problem
            );
        }
    }
    Ok(())
}

#[test]
fn the_lists_that_ship_read_back_the_same() {
    for list in standard_lists(&ALLOWED).unwrap() {
        assert_eq!(PromptList::parse(&list.to_toml(), &ALLOWED), Ok(list));
    }
}
