//! The page of the overview: its heading, its state and the one thing to do next, then its parts.

use askama::Template;

use super::gather::{Gathered, LESSONS_AT_MOST, NotCounted};
use super::parts::{
    ActionsPart, CasesPart, ConferencePart, LessonsPart, Link, MissingPart, total_in_words, year_path,
};
use crate::accounts::Role;
use crate::case::list::COUNT_AT_MOST;
use crate::case::reading::words::{count, lower_first, upper_first};
use crate::vocabulary::Vocabulary;
use crate::web::drafts::how_many;
use crate::web::frame::Frame;
use crate::web::rates::AT_RISK_PATH;

/// The page.
#[derive(Template)]
#[template(path = "overview/overview.html")]
pub(super) struct OverviewPage {
    frame: Frame,
    role: Role,
    heading: &'static str,
    state: String,
    next: Link,
    also: Option<Link>,
    /// What the person typed and did not save; none when all is saved.
    drafts: Option<String>,
    /// Nothing is recorded yet: the page says how it goes.
    new_house: bool,
    ever_counted: bool,
    mine: Option<CasesPart>,
    lessons: Option<LessonsPart>,
    ready: Option<CasesPart>,
    presented: Option<CasesPart>,
    missing: Option<MissingPart>,
    actions: Option<ActionsPart>,
    conference: Option<ConferencePart>,
    finding: String,
    moved: Vec<String>,
    cautions: Vec<String>,
    stages: Vec<(Link, String)>,
}

/// Where a complication is recorded.
const RECORD: &str = "/record";

impl OverviewPage {
    pub(super) fn of(frame: Frame, gathered: &Gathered, vocabulary: &Vocabulary, role: Role) -> Self {
        let cases = |page: &Option<_>, suffix: &str, all: &str| {
            page.as_ref().map(|page| CasesPart::of(page, gathered.step.as_ref(), vocabulary, suffix, all))
        };
        let movements = &gathered.movements;
        let next = next(gathered, role);
        Self {
            frame,
            role,
            heading: if role.writes() { "What waits for you" } else { "What the department has looked at" },
            state: state(gathered, role),
            also: (role.writes() && next.href != RECORD).then(|| Link::new(RECORD, "Record a complication")),
            next,
            drafts: (gathered.drafts > 0).then(|| how_many(gathered.drafts)),
            new_house: !gathered.any_case,
            ever_counted: gathered.ever_counted,
            mine: cases(&gathered.mine, "", "/cases"),
            lessons: (role == Role::Attending).then(|| LessonsPart::of(&gathered.lessons)),
            ready: cases(&gathered.ready, "", "/cases?stage=ready"),
            presented: cases(&gathered.presented, "/summary", "/cases"),
            missing: (role == Role::QualityLead).then(|| MissingPart::of(&gathered.not_counted)),
            actions: role.writes().then(|| ActionsPart::of(&gathered.actions, gathered.today)),
            conference: gathered
                .conference
                .as_ref()
                .map(|conference| ConferencePart::of(conference, gathered.today, (role, gathered.sight))),
            finding: movements.finding.clone(),
            moved: match movements.moved.as_slice() {
                [_, _, ..] => movements.moved.iter().map(|one| one.sentence.clone()).collect(),
                _ => Vec::new(),
            },
            cautions: movements.cautions.clone(),
            stages: stages(gathered),
        }
    }

    fn at_risk_path(&self) -> &'static str {
        AT_RISK_PATH
    }
}

fn stages(gathered: &Gathered) -> Vec<(Link, String)> {
    gathered
        .stages
        .iter()
        .map(|(stage, number)| {
            let number =
                if *number > COUNT_AT_MOST { "more than 1,000".to_owned() } else { number.to_string() };
            (Link::new(format!("/cases?stage={}", stage.slug()), stage.label()), number)
        })
        .collect()
}

/// How things stand, in a sentence or two.
fn state(gathered: &Gathered, role: Role) -> String {
    if !gathered.any_case {
        return "Nothing is recorded yet.".to_owned();
    }
    let first = match role {
        Role::Fellow => match gathered.mine.as_ref().map_or(0, |page| page.total) {
            0 => "None of your cases waits for you.".to_owned(),
            1 => "One of your cases is not ready yet.".to_owned(),
            total => format!("{} of yours are not ready yet.", upper_first(&total_in_words(total))),
        },
        Role::Attending => attending(gathered),
        Role::QualityLead => quality_lead(gathered),
        Role::Reader => match gathered.presented.as_ref().map_or(0, |page| page.total) {
            0 => "No case has been presented yet.".to_owned(),
            1 => "One case has been presented.".to_owned(),
            total => format!("{} have been presented.", upper_first(&total_in_words(total))),
        },
    };
    format!("{first} {}", conference(gathered))
}

fn attending(gathered: &Gathered) -> String {
    let lessons = match gathered.lessons.len() {
        0 => "No lesson waits for a signature".to_owned(),
        1 => "One lesson waits for a signature".to_owned(),
        many if many > LESSONS_AT_MOST => format!("More than {LESSONS_AT_MOST} lessons wait for a signature"),
        some => format!("{} lessons wait for a signature", count(some)),
    };
    let ready = match gathered.ready.as_ref().map_or(0, |page| page.total) {
        0 => "no case is ready to be presented".to_owned(),
        1 => "one case is ready to be presented".to_owned(),
        total => format!("{} are ready to be presented", total_in_words(total)),
    };
    format!("{lessons}; {ready}.")
}

fn quality_lead(gathered: &Gathered) -> String {
    let missing = match gathered.not_counted.as_slice() {
        [] if !gathered.ever_counted => "No procedures at risk are counted yet".to_owned(),
        [] => "No procedures at risk are missing".to_owned(),
        [only] => format!("Procedures at risk are missing for {}", only.in_words()),
        several => {
            let months: usize = several.iter().map(NotCounted::months).sum();
            format!("Procedures at risk are missing for {} months", lower_first(&count(months)))
        }
    };
    let overdue = match ActionsPart::overdue(gathered) {
        0 => "no action is overdue".to_owned(),
        1 => "one action is overdue".to_owned(),
        some => format!("{} actions are overdue", lower_first(&count(some))),
    };
    format!("{missing}; {overdue}.")
}

fn conference(gathered: &Gathered) -> String {
    let Some(next) = &gathered.conference else {
        return "No conference is set.".to_owned();
    };
    let cases = match next.cases.len() {
        0 => "nothing on its agenda yet".to_owned(),
        1 => "one case on its agenda".to_owned(),
        some => format!("{} cases on its agenda", lower_first(&count(some))),
    };
    let away = crate::web::conference::days_away(next.held_on(), gathered.today);
    format!("The next conference is on {}, {away}, with {cases}.", next.held_on().in_words())
}

/// The one thing to do next.
fn next(gathered: &Gathered, role: Role) -> Link {
    let rates = || Link::new("/rates", "See the rates");
    let agenda = |label: &str| {
        gathered.conference.as_ref().map(|next| Link::new(format!("/conferences/{}", next.id), label))
    };
    match role {
        Role::Fellow => gathered.mine.as_ref().and_then(|page| page.rows.first()).map_or_else(
            || Link::new(RECORD, "Record a complication"),
            |row| Link::new(format!("/cases/{}", row.code), format!("Go on with {}", row.code)),
        ),
        Role::Attending => {
            let lesson = gathered.lessons.first().map(|lesson| {
                Link::new(
                    format!("/cases/{}#lessons", lesson.code),
                    format!("Read the lessons of {}", lesson.code),
                )
            });
            let nothing = || {
                if gathered.any_case {
                    Link::new("/conferences/new", "Set a conference")
                } else {
                    Link::new(RECORD, "Record a complication")
                }
            };
            lesson.or_else(|| agenda("Open the next agenda")).unwrap_or_else(nothing)
        }
        Role::QualityLead => match gathered.not_counted.first() {
            Some(months) => Link::new(year_path(months), format!("Count {}", months.first.in_words())),
            None if !gathered.ever_counted => Link::new(AT_RISK_PATH, "Enter procedures at risk"),
            None if ActionsPart::overdue(gathered) > 0 => Link::new("#actions", "See what is overdue"),
            None => rates(),
        },
        Role::Reader => {
            gathered.presented.as_ref().and_then(|page| page.rows.first()).map_or_else(rates, |row| {
                Link::new(format!("/cases/{}/summary", row.code), format!("Read the latest, {}", row.code))
            })
        }
    }
}
