//! The parts of the overview, as the page shows them.

use super::gather::{ACTIONS_AT_MOST, Gathered, LESSONS_AT_MOST, NotCounted};
use crate::accounts::Role;
use crate::case::list::{COUNT_AT_MOST, Listed, Page};
use crate::case::reading::words::{count, join, shorten};
use crate::case::store::UnsignedLesson;
use crate::case::{Action, CaseCode, Day, Row, Sight};
use crate::conference::Conference;
use crate::review::stage::NextStep;
use crate::vocabulary::Vocabulary;

/// How many rows a part shows; the rest is a link away.
const SHOWN: usize = 8;

/// A link with what it says.
#[derive(Clone)]
pub(super) struct Link {
    pub(super) href: String,
    pub(super) label: String,
}

impl Link {
    pub(super) fn new(href: impl Into<String>, label: impl Into<String>) -> Self {
        Self { href: href.into(), label: label.into() }
    }
}

/// A case in a list.
pub(super) struct CaseItem {
    pub(super) href: String,
    pub(super) title: String,
    pub(super) meta: String,
    /// What it still lacks, and where to do it.
    pub(super) step: Option<(String, Link)>,
}

/// A list of cases.
pub(super) struct CasesPart {
    pub(super) items: Vec<CaseItem>,
    pub(super) more: Option<Link>,
}

impl CasesPart {
    /// The first cases of a page; `all` is the list of all of them.
    pub(super) fn of(
        page: &Page,
        step: Option<&(CaseCode, NextStep)>,
        vocabulary: &Vocabulary,
        suffix: &str,
        all: &str,
    ) -> Self {
        let items =
            page.rows.iter().take(SHOWN).map(|row| case_item(row, step, vocabulary, suffix)).collect();
        let more = (page.rows.len() > SHOWN).then(|| Link::new(all, "More in the list of cases"));
        Self { items, more }
    }
}

fn case_item(
    row: &Listed,
    step: Option<&(CaseCode, NextStep)>,
    vocabulary: &Vocabulary,
    suffix: &str,
) -> CaseItem {
    let path = format!("/cases/{}", row.code);
    let step = step.filter(|(code, _)| *code == row.code).map(|(_, step)| {
        (step.sentence.clone(), Link::new(format!("{path}{}", step.href), step.label.clone()))
    });
    let mechanisms: Vec<String> =
        row.mechanisms.iter().map(|slug| vocabulary.mechanism_label(slug)).collect();
    // The sentence of the step begins with the stage.
    let stage = step.is_none().then(|| row.stage.label().to_owned());
    let meta: Vec<String> = std::iter::once(row.code.to_string()).chain(stage).chain(mechanisms).collect();
    CaseItem { href: format!("{path}{suffix}"), title: row.title.clone(), meta: meta.join(" · "), step }
}

/// `3 cases`, `more than 1,000 cases`.
pub(super) fn total_in_words(total: i64) -> String {
    match total {
        1 => "one case".to_owned(),
        total if total > COUNT_AT_MOST => "more than 1,000 cases".to_owned(),
        total => format!(
            "{} cases",
            usize::try_from(total).map_or_else(|_| total.to_string(), |n| count(n).to_lowercase())
        ),
    }
}

/// A case with lessons that wait for a signature.
pub(super) struct LessonsOfCase {
    pub(super) href: String,
    pub(super) title: String,
    pub(super) code: String,
    /// What each helps to do, and its text.
    pub(super) lessons: Vec<(&'static str, String)>,
}

/// Lessons that wait for a signature, case by case.
pub(super) struct LessonsPart {
    pub(super) cases: Vec<LessonsOfCase>,
    pub(super) more: Option<String>,
}

impl LessonsPart {
    pub(super) fn of(lessons: &[UnsignedLesson]) -> Self {
        let mut cases: Vec<LessonsOfCase> = Vec::new();
        for lesson in lessons.iter().take(SHOWN) {
            let code = lesson.code.to_string();
            let entry = (lesson.kind.label(), shorten(lesson.text.as_str(), 240));
            match cases.iter_mut().find(|case| case.code == code) {
                Some(case) => case.lessons.push(entry),
                None => cases.push(LessonsOfCase {
                    href: format!("/cases/{code}#lessons"),
                    title: lesson.title.to_string(),
                    code,
                    lessons: vec![entry],
                }),
            }
        }
        Self { cases, more: more(lessons.len(), LESSONS_AT_MOST, "waits", "wait") }
    }
}

/// How many more there are than are shown, of those that were read: one more than `read` means
/// that nobody counted on.
fn more(number: usize, read: usize, one: &str, several: &str) -> Option<String> {
    let more = number.checked_sub(SHOWN).filter(|more| *more > 0)?;
    Some(match more {
        more if number > read => format!("More than {} more {several}.", more - 1),
        1 => format!("One more {one}."),
        more => format!("{} more {several}.", count(more)),
    })
}

/// An open action.
pub(super) struct ActionItem {
    pub(super) what: String,
    pub(super) owner: String,
    pub(super) due: String,
    pub(super) overdue: bool,
    pub(super) code: String,
}

/// Open actions, the one due first at the top.
pub(super) struct ActionsPart {
    pub(super) items: Vec<ActionItem>,
    pub(super) more: Option<String>,
}

impl ActionsPart {
    pub(super) fn of(actions: &[(CaseCode, Row<Action>)], today: Day) -> Self {
        let items = actions
            .iter()
            .take(SHOWN)
            .map(|(code, row)| ActionItem {
                what: row.value.what.to_string(),
                owner: row.value.owner.to_string(),
                due: row.value.due.in_words(),
                overdue: row.value.due < today,
                code: code.to_string(),
            })
            .collect();
        let more = more(actions.len(), ACTIONS_AT_MOST, "is open and due later", "are open and due later");
        Self { items, more }
    }

    /// How many are overdue; the list is by due day, so those come first.
    pub(super) fn overdue(gathered: &Gathered) -> usize {
        gathered.actions.iter().take_while(|(_, row)| row.value.due < gathered.today).count()
    }
}

/// A case on the agenda of the next conference.
pub(super) struct AgendaItem {
    pub(super) href: String,
    pub(super) title: String,
    pub(super) meta: String,
}

/// The next conference.
pub(super) struct ConferencePart {
    pub(super) href: String,
    pub(super) title: String,
    pub(super) day: String,
    pub(super) away: String,
    pub(super) cases: Vec<AgendaItem>,
    pub(super) empty: bool,
    /// What is to be done before it can be held, for who prepares it.
    pub(super) to_hold: Option<String>,
}

impl ConferencePart {
    pub(super) fn of(conference: &Conference, today: Day, (role, sight): (Role, Sight)) -> Self {
        Self {
            href: format!("/conferences/{}", conference.id),
            title: conference.plan.title.to_string(),
            day: conference.held_on().in_words(),
            away: crate::web::conference::days_away(conference.held_on(), today),
            cases: conference
                .cases
                .iter()
                .filter(|case| case.is_in(sight))
                .map(|case| AgendaItem {
                    href: format!("/cases/{}", case.code),
                    title: case.title.to_string(),
                    meta: format!("{} · {}", case.code, case.stage.label()),
                })
                .collect(),
            empty: conference.cases.is_empty(),
            to_hold: (role.writes() && !conference.cases.is_empty())
                .then(|| crate::web::conference::what_is_missing(conference)),
        }
    }
}

/// Months whose procedures at risk are missing.
pub(super) struct MissingPart {
    /// Months in a row, and what they lack.
    pub(super) months: Vec<(Link, String)>,
    pub(super) more: Option<String>,
}

impl MissingPart {
    pub(super) fn of(missing: &[NotCounted]) -> Self {
        let months = missing
            .iter()
            .take(SHOWN)
            .map(|months| {
                let strata = months
                    .strata
                    .as_ref()
                    .map_or_else(|| "nothing is counted".to_owned(), |strata| join(strata));
                (Link::new(year_path(months), months.in_words()), strata)
            })
            .collect();
        let later: usize = missing.iter().skip(SHOWN).map(NotCounted::months).sum();
        let more = match later {
            0 => None,
            1 => Some("One later month as well.".to_owned()),
            later => Some(format!("{} later months as well.", count(later))),
        };
        Self { months, more }
    }
}

/// Where the procedures at risk of the first of these months are entered.
pub(super) fn year_path(months: &NotCounted) -> String {
    format!("{}?year={}", crate::web::rates::AT_RISK_PATH, months.first.year())
}
