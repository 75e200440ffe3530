//! Unit tests of the report over inputs that need no database.

use super::*;
use crate::document::Block;
use crate::rates::AtRisk;
use crate::vocabulary::Stratum;

fn of<T: std::str::FromStr>(text: &str) -> T
where
    T::Err: std::fmt::Debug,
{
    text.parse().unwrap()
}

fn action(due: &str, state: ActionState, done_on: Option<&str>) -> ReportedAction {
    ReportedAction {
        code: CaseCode::new(2026, 4).unwrap(),
        what: of("A second wire on the table"),
        owner: of("cath-lab lead nurse"),
        due: of(due),
        state,
        done_on: done_on.map(of),
        mechanisms: Vec::new(),
    }
}

fn report(quarter: &str, inputs: &Inputs) -> Document {
    let vocabulary = Vocabulary {
        strata: vec![
            Stratum { slug: of("all-pci"), label: "All PCI".to_owned(), definition: String::new() },
            Stratum { slug: of("radial-pci"), label: "Radial PCI".to_owned(), definition: String::new() },
            Stratum { slug: of("femoral-pci"), label: "Femoral PCI".to_owned(), definition: String::new() },
        ],
        ..Vocabulary::default()
    };
    quarterly_report(of(quarter), &vocabulary, of("2026-07-10"), inputs)
}

/// What a reader would read, line by line; tables as cells between bars.
fn text(document: &Document) -> String {
    let mut lines = vec![document.standing().unwrap_or_default().to_owned()];
    for block in document.blocks() {
        match block {
            Block::Heading(heading) => lines.push(format!("# {}", heading.text)),
            Block::Paragraph(phrase) | Block::Note(phrase) | Block::Caution(phrase) => {
                lines.push(phrase.to_text());
            }
            Block::List { items, .. } => lines.extend(items.iter().map(|item| item.to_text())),
            Block::Table(table) => lines.extend(
                table
                    .rows()
                    .iter()
                    .map(|row| row.iter().map(|cell| cell.to_text()).collect::<Vec<_>>().join(" | ")),
            ),
            Block::Missing(what) => lines.push(format!("Not recorded: {what}")),
            Block::Figure(figure) => lines.push(figure.svg.as_str().to_owned()),
            Block::Picture(_) | Block::Facts(_) | Block::Markdown(_) | Block::Details { .. } => {}
        }
    }
    lines.join("\n")
}

fn counted(cells: &[(&str, &str, u32)]) -> Inputs {
    let cell = |&(month, stratum, procedures): &(&str, &str, u32)| AtRisk {
        month: of(month),
        stratum: of(stratum),
        procedures: Some(procedures),
    };
    let rates = RatesInputs { denominators: cells.iter().map(cell).collect(), ..RatesInputs::default() };
    Inputs { rates, ..Inputs::default() }
}

#[test]
fn an_action_is_overdue_when_it_was_due_by_the_end_of_the_quarter_and_not_done_by_then() {
    use ActionState::{Done, Dropped, Open};
    let (quarter, today) = (of::<Quarter>("2026-Q2").period(), of("2026-07-10"));
    for (due, state, done_on, expected) in [
        ("2026-06-30", Open, None, true),
        ("2026-07-01", Open, None, false),
        ("2025-01-15", Open, None, true),
        ("2026-06-30", Done, Some("2026-06-30"), false),
        ("2026-06-30", Done, Some("2026-07-01"), true),
        ("2026-06-30", Done, None, false),
        ("2026-06-30", Dropped, None, false),
    ] {
        let found = action(due, state, done_on).overdue(quarter, today);
        assert_eq!(found, expected, "{due} {state:?} {done_on:?}");
    }
    // While the quarter runs, today decides.
    let running = of::<Quarter>("2026-Q3").period();
    assert!(action("2026-07-09", Open, None).overdue(running, today));
    assert!(!action("2026-07-10", Open, None).overdue(running, today));
}

#[test]
fn an_action_is_done_in_the_months_of_its_day() {
    let quarter = of::<Quarter>("2026-Q2").period();
    let done = |day: &str| action("2026-05-01", ActionState::Done, Some(day)).done_in(quarter);
    assert!(done("2026-04-01") && done("2026-06-30"));
    assert!(!done("2026-03-31") && !done("2026-07-01"));
    assert!(!action("2026-05-01", ActionState::Open, None).done_in(quarter));
}

#[test]
fn an_empty_record_has_every_section_and_says_what_is_missing() {
    let text = text(&report("2026-Q2", &Inputs::default()));
    let heads: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix("# ")).collect();
    assert_eq!(
        heads,
        [
            "Volumes",
            "Rates",
            "Signals",
            "Mechanisms that moved",
            "Lessons signed",
            "Actions",
            "Done in the quarter",
            "Overdue at its end",
            "After finished actions",
            "Cautions"
        ]
    );
    for part in [
        "Confidential. Peer review and teaching. 2026-Q2, made from the record.",
        "No case is recorded yet, so nothing has moved. No chart or watch speaks for more or fewer events; no lesson signed,",
        "Not recorded: procedures at risk of the quarter",
        "No mechanism had an event in the quarter or the one before.",
        "There is no chart yet",
        "No lesson was signed",
        "No action was finished",
        "Small numbers never rank people.",
        "Local law",
        "seems to move by chance alone",
        "Counts from 1 to 4 are hidden",
        CAUTION,
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

#[test]
fn the_first_quarter_of_the_calendar_has_none_before_it() {
    let text = text(&report("1990-Q1", &counted(&[("1990-01", "all-pci", 100)])));
    assert!(text.contains("There is no quarter before it in the record's calendar."), "{text}");
    assert!(text.contains("All PCI | 100 | none"), "{text}");
}

#[test]
fn a_quarter_that_runs_is_a_draft() {
    let text = text(&report("2026-Q3", &Inputs::default()));
    assert!(text.contains("Draft: the quarter is not over."), "{text}");
    assert!(text.contains("# Overdue today"), "{text}");
    assert!(text.contains("hand on only the finished report"), "{text}");
}

#[test]
fn months_that_were_not_counted_are_named_and_a_stratum_never_counted_too() {
    let inputs = counted(&[
        ("2026-04", "all-pci", 60),
        ("2026-06", "all-pci", 70),
        ("2026-04", "radial-pci", 50),
        ("2026-05", "radial-pci", 0),
        ("2026-06", "radial-pci", 0),
    ]);
    let text = text(&report("2026-Q2", &inputs));
    assert!(text.contains("All PCI | 130 | not counted\nRadial PCI | 50 | not counted"), "{text}");
    assert!(text.contains("Not counted in May 2026, and left out: All PCI."), "{text}");
    assert!(text.contains("Counted in neither quarter: Femoral PCI."), "{text}");
}

#[test]
fn few_procedures_are_hidden_and_so_is_what_leaves_few_of_all() {
    let inputs = counted(&[
        ("2026-04", "all-pci", 103),
        ("2026-04", "radial-pci", 100),
        ("2026-04", "femoral-pci", 3),
    ]);
    let text = text(&report("2026-Q2", &inputs));
    assert!(
        text.contains("All PCI | 103 | not counted\nRadial PCI | hidden | not counted\nFemoral PCI | hidden"),
        "{text}"
    );
    let mut all = inputs;
    all.settings.smallest = SmallestCount::HIDES_NOTHING;
    assert!(self::text(&report("2026-Q2", &all)).contains("Radial PCI | 100 | not counted\nFemoral PCI | 3"));
}
