//! A case as screens: their order, and that no screen tells what came after a stop point that has
//! not been passed.

use std::fmt::Write as _;

use proptest::prelude::*;
use relook::case::reading::Reading;
use relook::case::{CaseCode, StoredCase};
use relook::clinical::Choices;
use relook::export::html::blocks_to_html;
use relook::review::deck::order::Notes;
use relook::review::deck::{
    Arranged, Material, RateShown, Screen, Seat, arrange, check, screens, segments, store,
};
use relook::review::findings::Findings;
use relook::vocabulary::Vocabulary;

use super::{Bench, FIRST_ENTRY, FULL};

fn stored(text: &str) -> StoredCase {
    let case = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    StoredCase::of_file(case, CaseCode::new(2026, 1).unwrap())
}

fn derived(case: &StoredCase, vocabulary: &Vocabulary) -> Vec<Screen> {
    let reading = Reading::of(&case.events, &case.complications);
    let findings = Findings::of(case, &reading, vocabulary, &Choices::default());
    let rate = RateShown {
        title: "Wire dissection: 5.3 in 1,000".to_owned(),
        sentences: vec!["5.3 per 1,000 (7 of 1,325; 95 % interval 2.6 to 10.9, Wilson).".to_owned()],
        figure: None,
    };
    screens(&Material {
        case,
        vocabulary,
        reading: &reading,
        findings: &findings,
        rate: Some(&rate),
        confidential: "Confidential. Peer review and teaching.",
    })
}

fn keys(screens: &[Screen]) -> Vec<&str> {
    screens.iter().map(|screen| screen.key.as_str()).collect()
}

/// Everything that a window could know of a screen: what is shown, its drawing, its notes, its options.
fn all_of(seat: &Seat) -> String {
    format!("{:?}\n{}\n{}", seat, blocks_to_html(&seat.screen.body), seat.notes())
}

const DECISIONS: &str = r#"
[[decisions]]
key = "d1"
at = "+10:00"
question = "Go on or look again?"
chosen = 1
chosen_by = "first operator"
followed = "The vessel closed."
[[decisions.options]]
text = "Go on"
for = ["The wire went far"]
against = ["One view only"]
[[decisions.options]]
text = "Look again"
[[decisions]]
key = "d2"
at = "+30:00"
question = "Reopen the branch?"
[[decisions.options]]
text = "Yes"
[[decisions.options]]
text = "No"
[[decisions]]
key = "d3"
at = "+40:00"
question = "Only one way?"
chosen = 1
[[decisions.options]]
text = "This one"
"#;

/// The full case less its decisions.
fn without_decisions() -> String {
    let causes = FULL.find("[[causes]]").expect("the full case has causes");
    let decisions = FULL.find("[[decisions]]").filter(|at| *at < causes).unwrap_or(causes);
    let rest = FULL[causes..].lines().filter(|line| !line.starts_with("decision = "));
    format!("{}{}\n", &FULL[..decisions], rest.collect::<Vec<_>>().join("\n"))
}

/// The full case with the decisions of these tests before its causes.
fn with_decisions() -> String {
    without_decisions().replacen("[[causes]]", &format!("{DECISIONS}\n[[causes]]"), 1)
}

#[tokio::test]
async fn the_screens_come_in_their_order_and_halt_at_each_decision() {
    let bench = Bench::new().await;
    let case = bench.store(&with_decisions()).await;
    let deck = derived(&case, &bench.vocabulary);
    let keys = keys(&deck);
    let order = [
        "title",
        "background",
        "lesions",
        "timeline-",
        "stop-d1",
        "stop-d1_option-1",
        "stop-d1_answer",
        "after-d1",
        "stop-d2",
        "situation",
        "decision-d3",
        "course",
        "harms",
        "outcome",
        "cause-",
        "rate",
        "lesson-",
        "actions",
        "end",
    ];
    let mut place = 0;
    for wanted in order {
        let found = keys[place..].iter().position(|key| key.starts_with(wanted));
        place += found.unwrap_or_else(|| panic!("no {wanted} from {place} on in {keys:?}"));
    }
    // Nothing was chosen at the second, and nothing is said to have followed.
    assert!(!keys.contains(&"after-d2") && !keys.contains(&"stop-d3"), "{keys:?}");
    assert!(!deck[0].title.contains(case.head.title.as_str()), "{}", deck[0].title);
    let stop = &deck[keys.iter().position(|key| *key == "stop-d1").unwrap()];
    assert_eq!(stop.title, "Go on or look again?");
    assert!(!format!("{stop:?}").contains("first operator"), "{stop:?}");
    let mut unique = keys.clone();
    unique.sort_unstable();
    unique.dedup();
    assert_eq!(unique.len(), keys.len());
}

#[tokio::test]
async fn a_case_without_decisions_opens_with_its_situation_and_is_one_segment() {
    let bench = Bench::new().await;
    let case = bench.store(&without_decisions()).await;
    let deck = derived(&case, &bench.vocabulary);
    assert_eq!(deck[0].title, case.head.title.to_string());
    assert_eq!(keys(&deck)[1], "situation");
    assert_eq!(segments(&arrange(deck, &[])).len(), 1);
}

#[tokio::test]
async fn a_case_of_which_little_is_known_has_few_screens() {
    let bench = Bench::new().await;
    let case = bench.store(FIRST_ENTRY).await;
    assert_eq!(keys(&derived(&case, &bench.vocabulary)), ["title", "harms", "rate", "end"]);
}

#[tokio::test]
async fn what_a_person_typed_is_only_ever_text() {
    let bench = Bench::new().await;
    let hostile = r#"<script>alert(1)</script> & "quoted" </svg> ]]>"#;
    let text = with_decisions()
        .replace("Go on or look again?", hostile)
        .replace("The vessel closed.", &hostile.repeat(40))
        .replace("The wire went far", hostile)
        .replace("A wire left the lumen at a bend", hostile);
    // A TOML string in double quotes holds its own quotation marks escaped.
    let text = text.replace(r#""quoted""#, r#"\"quoted\""#);
    let case = bench.store(&text).await;
    for screen in derived(&case, &bench.vocabulary) {
        let html = blocks_to_html(&screen.body);
        assert!(!html.contains("<script") && !html.contains("</svg> ]]"), "{}: {html}", screen.key);
    }
}

#[tokio::test]
async fn the_order_and_the_notes_that_were_given_are_kept_and_new_screens_find_their_place() {
    let bench = Bench::new().await;
    let case = bench.store(&with_decisions()).await;
    let deck = derived(&case, &bench.vocabulary);
    let mut seats = arrange(deck.clone(), &[]);
    seats.swap(1, 2);
    let given: Vec<Arranged> = (0..)
        .zip(&seats)
        .filter(|(_, seat)| seat.screen.key.as_str() != "rate")
        .map(|(position, seat)| Arranged {
            screen: seat.screen.key.clone(),
            position: Some(position),
            hidden: seat.screen.key.as_str() == "harms",
            notes: match seat.screen.key.as_str() {
                "end" => Notes::typed("Thank the team", "").unwrap(),
                "title" => Notes::None,
                _ => Notes::Suggested,
            },
        })
        .collect();
    let mut tx = bench.database.write().await.unwrap();
    store::save(&mut tx, case.id, &given).await.unwrap();
    let read = store::load(&mut tx, case.id).await.unwrap();
    assert_eq!(read, given);
    // A save of fewer screens forgets none.
    store::save(&mut tx, case.id, &given[..3]).await.unwrap();
    assert_eq!(store::load(&mut tx, case.id).await.unwrap().len(), given.len());
    store::save(&mut tx, case.id, &given).await.unwrap();

    let again = arrange(deck.clone(), &read);
    assert_eq!(again[1].screen.key, deck[2].key);
    let place = |key: &str| again.iter().position(|seat| seat.screen.key.as_str() == key).unwrap();
    assert_eq!(place("rate"), place("lesson-1") - 1, "a new screen stands where the record puts it");
    assert!(again[place("harms")].hidden);
    assert_eq!(again[place("end")].notes(), "Thank the team");
    assert_eq!(again[place("title")].notes(), "");
    assert!(segments(&again).iter().flatten().all(|seat| seat.screen.key.as_str() != "harms"));

    store::forget_order(&mut tx, case.id).await.unwrap();
    let reset = arrange(deck.clone(), &store::load(&mut tx, case.id).await.unwrap());
    let order: Vec<&str> = reset.iter().map(|seat| seat.screen.key.as_str()).collect();
    assert_eq!(order, keys(&deck));
    assert_eq!(reset.last().unwrap().notes(), "Thank the team");
}

#[tokio::test]
async fn a_screen_that_would_tell_too_much_is_refused_and_waits() {
    let bench = Bench::new().await;
    let deck = derived(&bench.store(&with_decisions()).await, &bench.vocabulary);
    let mut seats = arrange(deck.clone(), &[]);
    check(&seats).unwrap();
    let place =
        |seats: &[Seat], key: &str| seats.iter().position(|seat| seat.screen.key.as_str() == key).unwrap();
    let (stop, after) = (place(&seats, "stop-d1"), place(&seats, "after-d1"));
    let early = seats.remove(after);
    seats.insert(stop, early);
    let refused = check(&seats).unwrap_err();
    assert!(refused.to_string().contains("Go on or look again?"), "{refused}");
    // Should it stand so in the database, the question still comes first.
    let given: Vec<Arranged> = (0..)
        .zip(&seats)
        .map(|(position, seat)| Arranged {
            screen: seat.screen.key.clone(),
            position: Some(position),
            hidden: false,
            notes: Notes::Suggested,
        })
        .collect();
    let again = arrange(deck, &given);
    check(&again).unwrap();
    assert!(place(&again, "stop-d1") < place(&again, "after-d1"));
}

#[tokio::test]
async fn a_stop_point_holds_back_while_its_question_is_shown_once() {
    let bench = Bench::new().await;
    let deck = derived(&bench.store(&with_decisions()).await, &bench.vocabulary);
    let mut seats = arrange(deck, &[]);
    let hide = |seats: &mut [Seat], key: &str| {
        seats.iter_mut().find(|seat| seat.screen.key.as_str() == key).unwrap().hidden = true;
    };
    let with_what_was_chosen = |seats: &[Seat]| {
        segments(seats).iter().position(|part| part.iter().any(|seat| seat.screen.key.as_str() == "after-d1"))
    };
    assert_eq!(with_what_was_chosen(&seats), Some(1));
    hide(&mut seats, "stop-d1");
    assert_eq!(with_what_was_chosen(&seats), Some(1), "the room still answers on stop-d1_answer");
    hide(&mut seats, "stop-d1_answer");
    assert_eq!(with_what_was_chosen(&seats), Some(0));
}

/// An event of a generated case.
#[derive(Debug, Clone)]
struct Happened {
    at: i64,
    certainty: u8,
    kind: u8,
    flow: Option<u8>,
    words: usize,
}

const KINDS: [&str; 5] = ["wire", "flow", "decision", "symptom", "stent"];

fn happened() -> impl Strategy<Value = Happened> {
    (-60_i64..200, 0_u8..4, 0_u8..5, proptest::option::of(0_u8..4), 0_usize..60)
        .prop_map(|(at, certainty, kind, flow, words)| Happened { at: at * 30, certainty, kind, flow, words })
}

fn clock(seconds: i64) -> String {
    let sign = if seconds < 0 { "-" } else { "+" };
    format!("{sign}{}:{:02}", seconds.abs() / 60, seconds.abs() % 60)
}

/// A generated case: each thing that could tell too early has a word of its own.
fn generated(events: &[Happened], decisions: &[(i64, usize)]) -> String {
    let mut text = "format = 1\ntitle = \"zqtitle\"\nmonth = \"2026-01\"\nstage = \"recorded\"\nsituation = \"zqsituation\"\nnarrative = \"zqnarrative\"\n".to_owned();
    for (number, event) in events.iter().enumerate() {
        let kind = KINDS[usize::from(event.kind)];
        let time = match event.certainty {
            0 => "time = \"within 3 min\"\n",
            1 => "time = \"order only\"\n",
            _ => "",
        };
        let flow =
            event.flow.map_or_else(String::new, |flow| format!("segment = \"lad-mid\"\nflow = {flow}\n"));
        let words = "and so on ".repeat(event.words);
        let _ = write!(
            text,
            "[[events]]\nkey = \"e{number}\"\nat = \"{}\"\n{time}kind = \"{kind}\"\n{flow}text = \"zqevent{number}x {words}\"\n",
            clock(event.at)
        );
    }
    if !events.is_empty() {
        let last = events.len() - 1;
        let _ = write!(
            text,
            "[[complications]]\nkey = \"c1\"\nmechanism = \"wire-subintimal\"\nsegment = \"lad-mid\"\nrecognised = \"e{last}\"\ndissection = \"F\"\n"
        );
    }
    for (number, (at, options)) in decisions.iter().enumerate() {
        let _ = write!(
            text,
            "[[decisions]]\nkey = \"d{number}\"\nat = \"{}\"\nquestion = \"zqquestion{number}x?\"\nchosen = 1\nchosen_by = \"zqrole{number}x\"\nfollowed = \"zqfollowed{number}x\"\n",
            clock(*at)
        );
        for option in 0..*options {
            let _ = write!(
                text,
                "[[decisions.options]]\ntext = \"Option zqoption{number}x{option}\"\nfor = [\"Because\"]\n"
            );
        }
    }
    text.push_str("[[causes]]\ncause = \"tk-plan-single\"\nstatement = \"zqcause\"\n[[lessons]]\nkind = \"prevent\"\ntext = \"zqlesson\"\n[outcome]\ndischarge = \"zqoutcome\"\n");
    text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, ..ProptestConfig::default() })]

    /// What came after a stop point stands in no segment before it, whatever the case; and whatever
    /// happened is told.
    #[test]
    fn no_segment_tells_what_came_after_its_stop_point(
        events in proptest::collection::vec(happened(), 0..14),
        mut decisions in proptest::collection::vec((-40_i64..150, 1_usize..4), 0..4),
    ) {
        static VOCABULARY: std::sync::LazyLock<Vocabulary> = std::sync::LazyLock::new(|| {
            std::thread::spawn(|| {
                tokio::runtime::Runtime::new().unwrap().block_on(async { Bench::new().await.vocabulary })
            })
            .join()
            .unwrap()
        });
        decisions.sort_unstable();
        decisions.dedup_by_key(|(at, _)| *at);
        let decisions: Vec<(i64, usize)> = decisions.into_iter().map(|(at, options)| (at * 30, options)).collect();
        let mut events = events;
        events.sort_by_key(|event| event.at);
        let case = stored(&generated(&events, &decisions));
        let seats = arrange(derived(&case, &VOCABULARY), &[]);
        check(&seats).unwrap();
        let told: Vec<String> =
            segments(&seats).iter().map(|part| part.iter().map(|seat| all_of(seat)).collect()).collect();
        let stops: Vec<(usize, i64)> =
            decisions.iter().enumerate().filter(|(_, (_, options))| *options > 1).map(|(n, (at, _))| (n, *at)).collect();
        let last = told.len() - 1;
        prop_assert_eq!(last, stops.len());
        let first_told = |word: &str| told.iter().position(|text| text.contains(word));
        for word in ["zqtitle", "zqsituation", "zqcause", "zqlesson", "zqoutcome"] {
            prop_assert_eq!(first_told(word), Some(last), "{}", word);
        }
        prop_assert_eq!(first_told("zqnarrative"), None);
        for (place, (number, at)) in stops.iter().enumerate() {
            prop_assert_eq!(first_told(&format!("zqquestion{number}x")), Some(place));
            for word in [format!("zqfollowed{number}x"), format!("zqrole{number}x")] {
                prop_assert_eq!(first_told(&word), Some(place + 1), "{}", word);
            }
            for (event, happened) in events.iter().enumerate() {
                let slack = if happened.certainty == 0 { 180 } else { 0 };
                let surely_later = happened.certainty != 1 && happened.at - slack > *at;
                let is_answer = happened.at == *at && KINDS[usize::from(happened.kind)] == "decision";
                let first = first_told(&format!("zqevent{event}x"));
                if surely_later || is_answer {
                    prop_assert!(first.is_some_and(|first| first > place), "event {event} at stop {number}: {first:?}");
                }
                let surely_known = happened.certainty >= 2 && happened.at <= *at && !is_answer;
                if surely_known {
                    prop_assert!(first.is_some_and(|first| first <= place), "event {event} is missing at stop {number}");
                }
            }
        }
        for event in 0..events.len() {
            prop_assert!(first_told(&format!("zqevent{event}x")).is_some(), "event {event} is told nowhere");
        }
    }
}
