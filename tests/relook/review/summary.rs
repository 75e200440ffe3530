//! The teaching summary of a case that went through the database, as data and as it leaves the app.

use relook::department::{Department, PromptWords};
use relook::document::Block;
use relook::export::html::document_to_html;
use relook::export::markdown::document_to_markdown;
use relook::response::standard_lists;
use relook::review::summary::{CAUTION, index_complication, rate_mechanism, teaching_summary};

use super::{Bench, FIRST_ENTRY, FULL, with, without};

/// The summary without a rate, as Markdown.
async fn markdown(text: &str) -> String {
    let bench = Bench::new().await;
    let case = bench.store(text).await;
    document_to_markdown(&teaching_summary(&case, &bench.vocabulary, &Department::default(), None))
}

/// The text of one section, from its heading to the next.
pub(super) fn section<'a>(markdown: &'a str, heading: &str) -> &'a str {
    let head = format!("## {heading}\n");
    let start =
        markdown.find(&head).unwrap_or_else(|| panic!("no section {heading:?} in\n{markdown}")) + head.len();
    let end = markdown[start..].find("\n## ").map_or(markdown.len(), |end| start + end);
    &markdown[start..end]
}

pub(super) fn assert_says(text: &str, facts: &[&str]) {
    for fact in facts {
        assert!(text.contains(fact), "{fact:?} is not in\n{text}");
    }
}

#[tokio::test]
async fn before_decision_points_are_written_the_timeline_gives_its_questions_and_not_their_answers() {
    let (head, rest) = FULL.split_once("[[decisions]]").unwrap();
    let without = format!("{head}[[causes]]{}", rest.split_once("[[causes]]").unwrap().1);
    let text = markdown(&without).await;
    let told = section(&text, "What could be otherwise");
    assert_says(told, &["**Event 5:** Take the wire out, or keep it as a marker?"]);
    assert!(!told.contains("keep it."), "the answer stands in the table: {told}");
}

#[tokio::test]
async fn every_fact_of_a_full_case_stands_in_its_section() {
    let text = markdown(FULL).await;
    assert_says(
        text.split("## Background").next().unwrap(),
        &[
            "# Vessel closed after a wire left the lumen",
            "Confidential. Peer review and teaching. Case 2025-014, March 2025, made from the record. Draft: the case is still being prepared.",
            "A wire left the lumen at a bend and the artery closed. It was recrossed and stented, and a branch was lost.",
        ],
    );
    assert_says(
        section(&text, "Background"),
        &[
            "67 years, female, NSTEMI, eGFR 54 mL/min/1.73 m², 71 kg. History: diabetes, earlier PCI.",
            "LAD mid, 24 mm long, reference 2.75 mm, severe calcification, no tortuosity, Medina 1,1,1 (true bifurcation).",
            "Urgent, radial access. Plan: provisional stenting with the branch wired.",
        ],
    );
    assert_says(
        section(&text, "What happened"),
        &[
            "The LAD was closed for 38 min; D1 was not restored",
            "Time zero: guide wire enters the left main.",
            "| 3 | `+9:30` | **Workhorse wire advanced, LAD mid.** Loop pushed past the bend. |",
            "| 4 | `+12:30` | **Flow change, LAD mid, TIMI 0.** No flow past the bend. 92/54 mmHg, 96/min. |",
            "| 6 | `order only` | **Call for help.** A second operator is called. |",
            "| 7 | `≈ +43:00` | **Drug-eluting stent, LAD mid.** Across the bend. ±3\u{a0}min. |",
        ],
    );
    assert_says(
        section(&text, "What it was"),
        &[
            "Wire dissection led to jailed branch",
            "**Wire dissection, type D, TIMI 0 at worst, LAD mid.** Began at +9:30 (event 3), recognised **after 3 min** (event 4), controlled **after 41 min** (event 8).",
            "**Jailed branch, first diagonal.** Began at ≈ +43:00 (event 7), recognised **after 7 min 30 s (4 min 30 s to 11 min)** (event 9)",
            "Flow in the LAD was lost for 38 min, from +12:30 to TIMI 3 at +50:30. Last seen open before at +2:00, so up to 49 min to TIMI 3.",
            "Flow in D1 was lost at +50:30 and was not seen at TIMI 3 by the last event of the procedure (+58:00): at least 7 min 30 s.",
            "**How it ended.** Home on day 4 with an ejection fraction of 48 %. Degree of harm: **moderate**.",
        ],
    );
    assert_says(
        section(&text, "Why"),
        &[
            "The second catheter was kept in another room, so recrossing began late. Events 5 and 6.",
            "**Equipment: ",
        ],
    );
    assert_says(
        section(&text, "What could be otherwise"),
        &[
            "- `+13:00` **The vessel is closed and the wire is outside it. What next?** Chosen by the first operator, of two options: leave it as a marker and use a second wire. The second wire stayed in the lumen, and flow came back with the stent.",
        ],
    );
    assert_says(
        section(&text, "Lessons"),
        &[
            "1. **Recognise.** A looped tip that moves freely past a bend proves nothing. Event 3.",
            "2. **Organise.** Keep the rescue catheter where the rescue is.",
            "Signed: lessons 1 and 2 by Interventional attending, 10 April 2025.",
        ],
    );
    assert_says(
        section(&text, "Actions"),
        &[
            "**Cath-lab lead nurse, by 30 June 2025:** dual-lumen catheter in every bifurcation set. Measure: sets complete at the monthly check, target 6 of 6. Stronger action, open.",
        ],
    );
    // What the open definitions lack is folded away, a line each.
    let told =
        text.lines().filter(|line| !line.contains(":** Not recorded: ")).collect::<Vec<_>>().join("\n");
    assert_eq!(
        told.matches("ot recorded").count(),
        2,
        "the rate, and the word of the drawing's key:\n{text}"
    );
    assert_says(&text, &[CAUTION]);
}

#[tokio::test]
async fn sources_are_named_for_the_definitions_in_use_and_for_no_others() {
    let text = markdown(FULL).await;
    let sources = text.split("**Definitions.**").nth(1).unwrap();
    assert_says(
        sources,
        &[
            "TIMI Study Group, N Engl J Med 1985;312:932",
            "Huber, Am J Cardiol 1991;68:467",
            "Medina, Rev Esp Cardiol 2006;59:183",
        ],
    );
    assert!(!sources.contains("Ellis") && !sources.contains("Wilson"), "{sources}");
    let perforated = markdown(&with(FULL, "dissection = \"D\"", "perforation = \"III\"")).await;
    let sources = perforated.split("**Definitions.**").nth(1).unwrap();
    assert!(sources.contains("Ellis, Circulation 1994;90:2725") && !sources.contains("Huber"), "{sources}");
}

#[tokio::test]
async fn what_a_first_entry_lacks_is_named_as_missing_where_it_would_stand() {
    let text = markdown(FIRST_ENTRY).await;
    assert_says(&text, &["*Not recorded: the situation in two sentences*"]);
    assert_says(
        section(&text, "Background"),
        &[
            "age not recorded",
            "sex not recorded",
            "presentation not recorded",
            "eGFR not recorded",
            "weight not recorded",
            "history not recorded",
            "lesion not recorded",
            "urgency not recorded",
            "access not recorded",
            "Plan not recorded",
        ],
    );
    assert_says(section(&text, "What happened"), &["Not recorded: the events of the timeline"]);
    assert_says(
        section(&text, "What it was"),
        &[
            "Began: not recorded",
            "recognised: not recorded",
            "controlled: not recorded",
            "State at discharge not recorded.",
            "Degree of harm not recorded.",
        ],
    );
    for (heading, what) in [
        ("Why", "a cause"),
        ("What could be otherwise", "a decision point"),
        ("Lessons", "a lesson"),
        ("Actions", "an action"),
        ("How often", "the department's rate for “Access-site bleed or haematoma”"),
    ] {
        assert_says(section(&text, heading), &[&format!("Not recorded: {what}")]);
    }
}

#[tokio::test]
async fn unsigned_lessons_are_named_as_unsigned() {
    let text = with(
        FULL,
        "is.\"\nsigned_by = \"Interventional attending\"\nsigned_on = \"2025-04-10\"\n",
        "is.\"\n",
    );
    let text = markdown(&text).await;
    assert_says(
        section(&text, "Lessons"),
        &[
            "Signed: lesson 1 by Interventional attending, 10 April 2025.",
            "Not signed by an attending: lesson 2.",
        ],
    );
}

#[tokio::test]
async fn a_contradiction_in_the_record_is_said() {
    let text = markdown(&with(FULL, "recognised = \"closed\"", "recognised = \"open\"")).await;
    assert_says(
        section(&text, "What it was"),
        &["The record contradicts itself.", "recognised before it began"],
    );
}

#[tokio::test]
async fn a_case_from_ready_on_is_no_draft() {
    let text = markdown(&with(FULL, "in-preparation", "presented")).await;
    assert!(!text.contains("Draft"));
}

#[tokio::test]
async fn the_index_harm_is_the_one_that_follows_from_no_other() {
    let bench = Bench::new().await;
    let turned = with(FULL, "dissection = \"D\"", "consequence_of = \"loss\"\ndissection = \"D\"");
    let turned = with(
        &turned,
        "controlled = \"accepted\"\nconsequence_of = \"tear\"\n",
        "controlled = \"accepted\"\n",
    );
    let case = bench.store(&turned).await;
    assert_eq!(index_complication(&case).unwrap().key.as_str(), "loss");
    assert_eq!(rate_mechanism(&case).unwrap().as_str(), "branch-jailed");
    let none = without(&without(FULL, "[[complications]]"), "[[complications]]");
    let case = bench.store(&with(&none, "2025-014", "2025-015")).await;
    assert!(index_complication(&case).is_none());
    let text =
        document_to_markdown(&teaching_summary(&case, &bench.vocabulary, &Department::default(), None));
    assert_says(section(&text, "How often"), &["Not recorded: a mechanism, so there is no rate"]);
}

/// Everything that a user can type, with markup in it that must not come through.
fn hostile() -> String {
    let mut text = FULL.to_owned();
    for plain in [
        "Vessel closed after a wire",
        "Guide wire enters",
        "A wire left the lumen at a bend",
        "earlier PCI",
        "Provisional stenting",
        "Loop pushed past",
        "No flow past the bend",
        "Take the wire out",
        "The second catheter",
        "A looped tip",
        "Interventional attending",
        "Dual-lumen catheter in",
        "cath-lab lead nurse",
        "Sets complete",
        "Home on day 4",
    ] {
        text = with(&text, plain, &format!("<script>alert(1)</script><img src=x onerror=y>{plain}"));
    }
    text
}

#[tokio::test]
async fn markup_that_a_user_typed_is_text_in_the_page_and_in_the_file() {
    let bench = Bench::new().await;
    let case = bench.store(&hostile()).await;
    let summary = teaching_summary(&case, &bench.vocabulary, &Department::default(), None);
    let html = document_to_html(&summary);
    assert!(!html.contains("<script") && !html.contains("<img"), "{html}");
    assert!(html.matches("&lt;script&gt;").count() >= 15);
    // Read as Markdown by a general reader, the file must give no HTML of the user's either.
    let markdown = document_to_markdown(&summary);
    let raw: Vec<pulldown_cmark::Event> =
        pulldown_cmark::Parser::new_ext(&markdown, pulldown_cmark::Options::ENABLE_TABLES)
            .filter(|event| {
                matches!(event, pulldown_cmark::Event::Html(_) | pulldown_cmark::Event::InlineHtml(_))
            })
            .collect();
    assert!(raw.is_empty(), "{raw:?}");
}

#[tokio::test]
async fn the_drawings_in_the_summary_have_ids_that_no_other_has() {
    let bench = Bench::new().await;
    let case = bench.store(FULL).await;
    let html = document_to_html(&teaching_summary(&case, &bench.vocabulary, &Department::default(), None));
    let mut ids: Vec<&str> = html.split(" id=\"").skip(1).filter_map(|part| part.split('"').next()).collect();
    let count = ids.len();
    assert!(count > 8, "{ids:?}");
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
}

#[tokio::test]
async fn the_caution_ends_the_document() {
    let bench = Bench::new().await;
    let case = bench.store(FIRST_ENTRY).await;
    let summary = teaching_summary(&case, &bench.vocabulary, &Department::default(), None);
    assert!(matches!(summary.blocks().last(), Some(Block::Caution(text)) if text.to_text() == CAUTION));
}

/// A closure with its laboratory values and what was observed.
const GRADED: &str = r#"
format = 1
code = "2025-020"
title = "Closure with values"
month = "2025-03"
stage = "recorded"
[[lesions]]
segment = "lad-mid"
[[events]]
key = "in"
at = "-20:00"
kind = "access"
[[events]]
key = "open"
at = "-10:00"
kind = "flow"
segment = "lad-mid"
flow = 3
[[events]]
key = "shut"
at = "+12:00"
kind = "flow"
segment = "lad-mid"
flow = 0
[[events]]
key = "again"
at = "+30:00"
kind = "flow"
segment = "lad-mid"
flow = 3
[[complications]]
key = "closure"
mechanism = "balloon-dissection"
segment = "lad-mid"
began = "shut"
recognised = "shut"
responded = "shut"
controlled = "again"
[[labs]]
test = "creatinine"
drawn = "-1:00:00"
value = "1.0 mg/dL"
[[labs]]
test = "creatinine"
drawn = "+24:00:00"
value = "1.5 mg/dL"
[[observations]]
family = "kidney"
[observations.answers]
replacement = "no"
contrast = "180 mL"
"#;

#[tokio::test]
async fn grades_are_read_aloud_with_what_they_rest_on_and_what_the_open_ones_lack() {
    let bench = Bench::new().await;
    let case = bench.store(GRADED).await;
    let words = PromptWords::of(&bench.vocabulary);
    let prompts = standard_lists(&words.allowed()).unwrap();
    let department = Department { prompts, ..Department::default() };
    let text = document_to_markdown(&teaching_summary(&case, &bench.vocabulary, &department, None));
    let was = section(&text, "What it was");
    assert_says(
        was,
        &[
            "LAD: vessel closure, transient. Flow fell from TIMI 3 to TIMI 0",
            // KDIGO, Kidney Int Suppl 2012;2:1: 1.5 times the baseline is stage 1.
            "Acute kidney injury, KDIGO stage 1.",
            "first response **at once**",
            "**Not decidable with what is recorded:**",
            "Rule: ",
            "Source: ",
            "Not recorded: ",
        ],
    );
    assert_says(&text, &["Common practice; a teaching aid, not a protocol.", "Final TIMI grade recorded."]);
}

#[tokio::test]
async fn the_department_choice_is_printed_with_the_grade() {
    let bench = Bench::new().await;
    let case = bench.store(GRADED).await;
    let mut department = Department::default();
    department.choices.take("kidney-window", "samples").unwrap();
    let text = document_to_markdown(&teaching_summary(&case, &bench.vocabulary, &department, None));
    let words = "The department's choice, what the 48 h and 7 days of kidney injury count from:";
    assert_says(section(&text, "What it was"), &[&format!("{words} the earlier of two samples")]);
    let by_default = markdown(GRADED).await;
    assert_says(section(&by_default, "What it was"), &[&format!("{words} the procedure")]);
}
