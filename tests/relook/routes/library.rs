//! The library: presented cases and their lessons, asked by words, by what it was, by why, and by what a
//! lesson helps to do; each answer against a count by hand.

use relook::case::list::PAGE;
use relook::case::{CaseCode, Stage, StoredCase};

use crate::support::{CaseBuilder, Client, Page, Role, StatusCode, TestApp, of};

const MECHANISMS: [&str; 4] =
    ["wire-subintimal", "wire-distal-perforation", "flow-no-reflow", "branch-jailed"];
const CAUSES: [&str; 3] = ["th-premature-closure", "tk-checklist-absent", "tm-voice"];
const KINDS: [&str; 4] = ["prevent", "recognise", "respond", "organise"];
const STAGES: [Stage; 5] =
    [Stage::Recorded, Stage::Presented, Stage::InPreparation, Stage::Closed, Stage::Ready];

/// Cases that mix mechanisms, causes, kinds, words and stages in steps that have no common divisor.
async fn with_cases() -> (TestApp, Vec<StoredCase>) {
    let app = TestApp::init().await;
    let mut cases = Vec::new();
    for number in 0..60_usize {
        let word = ["lantern", "anchor", "harbour"][number % 3];
        let mut builder = CaseBuilder::new(&format!("Case number {number}"))
            .month(&format!("2025-{:02}", number % 12 + 1))
            .stage(STAGES[number % 5])
            .mechanism(MECHANISMS[number % 4])
            .cause(CAUSES[number % 3], "Because of this, that happened.");
        if number % 7 == 0 {
            builder = builder.mechanism(MECHANISMS[(number + 1) % 4]);
        }
        builder = if number % 2 == 0 {
            builder.signed_lesson(KINDS[number % 4], &format!("Look for the {word} first."))
        } else {
            builder.lesson(KINDS[(number / 2) % 4], &format!("Keep the {word} in view."))
        };
        let code = builder.insert(&app).await.code;
        cases.push(app.case(code).await);
    }
    (app, cases)
}

fn is_presented(case: &StoredCase) -> bool {
    [Stage::Presented, Stage::Closed].contains(&case.head.stage)
}

/// The codes of the cases that a page lists.
fn codes(page: &Page) -> Vec<String> {
    let mut codes: Vec<String> = page
        .texts(".library > li > .result-meta")
        .iter()
        .map(|meta| meta.split(" · ").next().unwrap_or_default().to_owned())
        .collect();
    codes.sort();
    codes
}

/// What a case must hold.
type Holds = Box<dyn Fn(&StoredCase) -> bool>;

fn branch_of(app: &TestApp, case: &StoredCase, branch: &str) -> bool {
    let vocabulary = app.app.vocabulary();
    case.complications
        .iter()
        .any(|row| vocabulary.mechanism(&row.value.mechanism).is_some_and(|leaf| leaf.branch == branch))
}

#[tokio::test]
async fn every_filter_answers_what_a_count_by_hand_gives() {
    let (app, cases) = with_cases().await;
    let reader = app.with_reader().await;
    let by_mechanism = |slug: &'static str| -> Holds {
        Box::new(move |case| case.complications.iter().any(|row| row.value.mechanism.as_str() == slug))
    };
    let by_cause = |slug: &'static str| -> Holds {
        Box::new(move |case| case.causes.iter().any(|row| row.value.cause.as_str() == slug))
    };
    let by_kind = |slug: &'static str| -> Holds {
        Box::new(move |case| case.lessons.iter().any(|row| row.value.kind.slug() == slug))
    };
    let by_word = |word: &'static str| -> Holds {
        Box::new(move |case| case.lessons.iter().any(|row| row.value.text.as_str().contains(word)))
    };
    let vocabulary = app.app.vocabulary();
    let branch = |slug: &str| vocabulary.mechanism(&of(slug)).unwrap().branch.clone();
    let cause_branch = vocabulary.cause(&of("tm-voice")).unwrap().branch.clone();
    let mut asked: Vec<(String, Holds)> = vec![(String::new(), Box::new(|_| true))];
    for slug in MECHANISMS {
        asked.push((format!("mechanism={slug}"), by_mechanism(slug)));
    }
    for slug in CAUSES {
        asked.push((format!("cause={slug}"), by_cause(slug)));
    }
    for slug in KINDS {
        asked.push((format!("lesson={slug}"), by_kind(slug)));
    }
    asked.push(("q=anchor".to_owned(), by_word("anchor")));
    asked.push(("q=harb".to_owned(), by_word("harbour")));
    asked.push((format!("cause=branch:{cause_branch}"), by_cause("tm-voice")));
    let (one, two, three) = (by_mechanism("flow-no-reflow"), by_kind("respond"), by_word("lantern"));
    let all_three = Box::new(move |case: &StoredCase| one(case) && two(case) && three(case));
    asked.push(("mechanism=flow-no-reflow&lesson=respond&q=lantern".to_owned(), all_three));
    let mut seen = 0;
    for (query, holds) in asked {
        let mut expected: Vec<String> = cases
            .iter()
            .filter(|case| is_presented(case) && holds(case))
            .map(|case| case.code.to_string())
            .collect();
        expected.sort();
        let page = reader.get(&format!("/library?{query}")).await;
        page.expect(StatusCode::OK);
        assert_eq!(codes(&page), expected, "{query}");
        seen += expected.len();
    }
    assert!(seen > 60, "the questions had {seen} answers, so they prove little");
    let wire = branch("wire-subintimal");
    let mut expected: Vec<String> = cases
        .iter()
        .filter(|case| is_presented(case) && branch_of(&app, case, &wire))
        .map(|case| case.code.to_string())
        .collect();
    expected.sort();
    let page = reader.get(&format!("/library?mechanism=branch:{wire}")).await;
    assert_eq!(codes(&page), expected);
    assert_eq!(page.value("mechanism"), format!("branch:{wire}"), "the form holds the question");
}

#[tokio::test]
async fn signed_lessons_are_listed_by_themselves() {
    let (app, cases) = with_cases().await;
    let client = app.with_fellow().await;
    for (query, kind, word) in [
        ("", "", ""),
        ("&lesson=respond", "respond", ""),
        ("&q=anchor", "", "anchor"),
        ("&q=no", "", "no such"),
    ] {
        let mut expected: Vec<String> = cases
            .iter()
            .filter(|case| is_presented(case))
            .flat_map(|case| &case.lessons)
            .map(|row| &row.value)
            .filter(|lesson| lesson.signed_by.is_some())
            .filter(|lesson| kind.is_empty() || lesson.kind.slug() == kind)
            .filter(|lesson| lesson.text.as_str().contains(word))
            .map(|lesson| format!("{}. {}", lesson.kind.label(), lesson.text))
            .collect();
        expected.sort();
        let page = client.get(&format!("/library?view=lessons{query}")).await;
        let mut found = page.texts(".lesson-text");
        found.sort();
        assert_eq!(found, expected, "{query}");
        let signed = page.texts(".lesson .signed");
        assert!(
            signed.iter().all(|text| text.contains("Signed by Ada Attending, 10 February 2026.")),
            "{page}"
        );
    }
}

/// Goes from page to page and gives what each lists.
async fn all_pages(client: &Client, first: &str, selector: &str) -> Vec<Vec<String>> {
    let mut pages = Vec::new();
    let mut next = Some(first.to_owned());
    while let Some(path) = next {
        let page = client.get(&path).await;
        page.expect(StatusCode::OK);
        pages.push(page.texts(selector));
        next = page.attr("a[rel=next]", "href");
        assert!(pages.len() < 10, "the pages have no end");
    }
    pages
}

#[tokio::test]
async fn a_long_library_comes_in_pages_and_each_row_once() {
    let app = TestApp::init().await;
    for number in 0..=PAGE {
        CaseBuilder::new(&format!("Number {number}"))
            .stage(Stage::Presented)
            .signed_lesson("prevent", &format!("Count to {number}, then look."))
            .insert(&app)
            .await;
    }
    let client = app.with_reader().await;
    for (path, selector) in [
        ("/library", ".library > li > h2"),
        ("/library?q=look", ".library > li > h2"),
        ("/library?view=lessons", ".lesson-text"),
        ("/library?view=lessons&q=then+look", ".lesson-text"),
    ] {
        let pages = all_pages(&client, path, selector).await;
        assert_eq!(pages.iter().map(Vec::len).collect::<Vec<_>>(), [PAGE, 1], "{path}");
        let mut rows: Vec<String> = pages.concat();
        rows.sort();
        rows.dedup();
        assert_eq!(rows.len(), PAGE + 1, "{path}");
    }
}

#[tokio::test]
async fn what_was_looked_for_is_marked_and_the_lessons_that_hold_it_come_first() {
    let app = TestApp::init().await;
    CaseBuilder::new("Marked")
        .stage(Stage::Presented)
        .narrative("The lantern stood in the corridor.")
        .signed_lesson("prevent", "Nothing of it here.")
        .signed_lesson("respond", "Hold the Lantern <script>alert(1)</script> & \"keep\" it.")
        .lesson("organise", "Anchor only.")
        .insert(&app)
        .await;
    let client = app.with_reader().await;
    let page = client.get("/library?q=lantern").await;
    assert_eq!(page.texts(".lesson-text mark"), ["Lantern"]);
    let lessons = page.texts(".lesson-text");
    assert!(lessons[0].starts_with("Respond. Hold the Lantern <script>"), "{lessons:?}");
    assert!(!page.html.contains("<script>alert"), "{page}");
    assert_eq!(page.handlers(), Vec::<String>::new());
    assert!(!page.html.contains(['\u{1}', '\u{2}']), "a mark of the search is left in the page");
    // Two words, of which a lesson holds one each: both are marked, and the case is found.
    let page = client.get("/library?q=anchor+lantern").await;
    assert_eq!(page.texts(".lesson-text mark"), ["Anchor", "Lantern"].map(str::to_owned).to_vec());
    // A hit in the story is shown where no lesson shows it.
    let page = client.get("/library?q=corridor").await;
    assert_eq!(page.texts(".excerpt mark"), ["corridor"]);
    // A kind that was asked for comes first.
    let page = client.get("/library?lesson=organise").await;
    assert!(page.texts(".lesson-text")[0].starts_with("Organise."), "{page}");
    let signed = page.texts(".lesson .signed");
    assert_eq!(signed[0], "Not signed yet.");
}

#[tokio::test]
async fn hostile_questions_are_answered_or_marked() {
    let (app, _) = with_cases().await;
    let client = app.with_reader().await;
    for (query, field) in [
        ("mechanism=no-such", "mechanism"),
        ("mechanism=branch:%3Cscript%3Ealert(1)%3C/script%3E", "mechanism"),
        ("cause=%27%20or%201=1", "cause"),
        ("lesson=teach", "lesson"),
    ] {
        let page = client.get(&format!("/library?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of(field).is_some(), "{query}: {page}");
        assert!(!page.html.contains("<script>alert"), "{page}");
    }
    for query in [
        "q=%22%20OR%20%2A",
        "q=)(",
        "q=NEAR(a%20b)",
        "q=title:x",
        "q=%00",
        "q=%3Cscript%3Ealert(1)%3C/script%3E",
    ] {
        for view in ["", "&view=lessons"] {
            let page = client.get(&format!("/library?{query}{view}")).await;
            page.expect(StatusCode::OK);
            assert!(!page.html.contains("<script>alert"), "{page}");
        }
    }
}

#[tokio::test]
async fn nobody_finds_a_case_in_the_library_before_it_is_presented() {
    let app = TestApp::init().await;
    for stage in Stage::ALL.iter().copied() {
        CaseBuilder::new(&format!("Zebra in stage {}", stage.slug()))
            .stage(stage)
            .signed_lesson("prevent", &format!("Stripes of {}.", stage.slug()))
            .insert(&app)
            .await;
    }
    for role in Role::ALL.iter().copied() {
        let client = app.as_role(role).await;
        for path in
            ["/library", "/library?q=zebra", "/library?view=lessons", "/library?view=lessons&q=stripes"]
        {
            let page = client.get(path).await;
            for stage in Stage::ALL.iter().copied() {
                let presented = [Stage::Presented, Stage::Closed].contains(&stage);
                let stripes = format!("Stripes of {}.", stage.slug());
                let title = format!("Zebra in stage {}", stage.slug());
                assert_eq!(page.text.contains(&title), presented, "{role:?} {path}");
                assert_eq!(page.text.contains(&stripes), presented, "{role:?} {path}");
            }
        }
    }
}

#[tokio::test]
async fn the_search_over_lessons_follows_what_is_changed_and_taken_out() {
    let app = TestApp::init().await;
    let code: CaseCode = CaseBuilder::new("Changing")
        .stage(Stage::Presented)
        .signed_lesson("prevent", "Look for the lantern.")
        .insert(&app)
        .await
        .code;
    let client = app.with_attending().await;
    let found =
        async |word: &str| client.get(&format!("/library?view=lessons&q={word}")).await.count(".lesson");
    assert_eq!((found("lantern").await, found("anchor").await), (1, 0));
    let path = format!("/cases/{code}/lessons/1");
    let form = client.get(&format!("{path}/edit")).await;
    client.submit(&form, &path, &[("text", "Look for the anchor.")]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(found("anchor").await, 0, "it has lost its signature");
    client.press(&client.get(&format!("/cases/{code}")).await, "Sign it").await.expect(StatusCode::SEE_OTHER);
    assert_eq!((found("lantern").await, found("anchor").await), (0, 1));
    // The words that it had stand under the lesson, folded away.
    let page = client.get(&format!("/cases/{code}")).await;
    assert_eq!(page.texts("#lessons details summary"), ["An earlier version"]);
    assert!(page.texts("#lessons details")[0].contains("Look for the lantern."), "{page}");
    client.post(&format!("{path}/remove"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(found("anchor").await, 0);
    client.post(&format!("{path}/put-back"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(found("anchor").await, 1);
}

#[tokio::test]
async fn an_empty_library_teaches_and_an_empty_answer_says_so() {
    let app = TestApp::init().await;
    let page = app.with_reader().await.get("/library").await;
    assert!(page.has_heading("The library is empty"), "{page}");
    let page = app.with_fellow().await.get("/library?q=zebra").await;
    assert!(page.has_heading("No presented case answers"), "{page}");
    assert_eq!(page.link("Look among all cases").as_deref(), Some("/cases?q=zebra"));
    let page = app.with_reader().await.get("/library?q=zebra").await;
    assert_eq!(page.link("Look among all cases"), None);
}

#[tokio::test]
async fn by_lesson_an_unsigned_one_is_looked_for_by_case() {
    let app = TestApp::init().await;
    CaseBuilder::new("Presented")
        .stage(Stage::Presented)
        .lesson("prevent", "Look for the lantern.")
        .insert(&app)
        .await;
    let client = app.with_reader().await;
    let page = client.get("/library?view=lessons").await;
    assert!(page.has_heading("No lesson is signed yet"), "{page}");
    let page = client.get("/library?view=lessons&q=lantern").await;
    assert!(page.has_heading("No signed lesson answers"), "{page}");
    assert_eq!(client.get("/library?q=lantern").await.count(".lesson"), 1);
}
