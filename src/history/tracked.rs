//! Which tables are the record, and how a row leads to its case.

/// Where changes of a table are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// On the page of the case's history, and brought back when an earlier version is restored.
    Content,
    /// On the page of the case's history. A restored version leaves it as it is: what was signed, promised,
    /// voted or arranged stays.
    Around,
    /// On no page: closed to some of those who may see the case, or of no case.
    Nowhere,
}

/// A table whose changes are kept.
#[derive(Debug)]
pub struct Tracked {
    /// The table.
    pub table: &'static str,
    /// The case of a row, as an expression in which `ROW` stands for the row; none for tables of no case.
    pub case: Option<&'static str>,
    /// Where its changes are shown.
    pub shown: Shown,
    /// The columns that are kept; empty for all. What is not kept is secret.
    pub only: &'static [&'static str],
}

const fn whole(table: &'static str, case: &'static str, shown: Shown) -> Tracked {
    Tracked { table, case: Some(case), shown, only: &[] }
}

const fn content(table: &'static str) -> Tracked {
    whole(table, "ROW.case_id", Shown::Content)
}

const fn around(table: &'static str) -> Tracked {
    whole(table, "ROW.case_id", Shown::Around)
}

const fn house(table: &'static str) -> Tracked {
    Tracked { table, case: None, shown: Shown::Nowhere, only: &[] }
}

/// The tables of the record, each after those that it points to.
pub const TRACKED: &[Tracked] = &[
    Tracked {
        table: "users",
        case: None,
        shown: Shown::Nowhere,
        only: &["id", "name", "role", "ended_at", "created_at"],
    },
    house("strata"),
    house("mechanism_branches"),
    house("mechanisms"),
    house("cause_branches"),
    house("cause_leaves"),
    whole("case_records", "ROW.id", Shown::Content),
    content("case_history_terms"),
    content("case_accesses"),
    content("lesions"),
    content("events"),
    content("complications"),
    content("labs"),
    content("observations"),
    whole(
        "observation_answers",
        "(select case_id from observations where id = ROW.observation_id)",
        Shown::Content,
    ),
    content("prompt_remarks"),
    content("decisions"),
    whole("decision_options", "(select case_id from decisions where id = ROW.decision_id)", Shown::Content),
    whole("decision_reasons", "(select case_id from decisions where id = ROW.decision_id)", Shown::Content),
    content("pictures"),
    content("causes"),
    whole("cause_events", "(select case_id from causes where id = ROW.cause_id)", Shown::Content),
    house("recurring_lessons"),
    around("lessons"),
    whole("lesson_versions", "(select case_id from lessons where id = ROW.lesson_id)", Shown::Around),
    whole("booklet_left_out", "(select case_id from lessons where id = ROW.lesson_id)", Shown::Around),
    around("actions"),
    whole("action_states", "(select case_id from actions where id = ROW.action_id)", Shown::Around),
    whole("option_judgements", "(select case_id from decisions where id = ROW.decision_id)", Shown::Nowhere),
    whole("case_judgements", "ROW.case_id", Shown::Nowhere),
    around("dismissed_identifiers"),
    around("deck_screens"),
    house("conferences"),
    around("conference_cases"),
    house("conference_attendance"),
    whole("action_remarks", "(select case_id from actions where id = ROW.action_id)", Shown::Around),
    whole("conference_lessons", "(select case_id from lessons where id = ROW.lesson_id)", Shown::Around),
    whole("conference_actions", "(select case_id from actions where id = ROW.action_id)", Shown::Around),
    around("polls"),
    whole("poll_options", "(select case_id from polls where id = ROW.poll_id)", Shown::Around),
    house("procedures_at_risk"),
    house("prompt_lists"),
    house("baselines"),
    house("operators"),
    house("operator_procedures"),
    whole("case_operators", "ROW.case_id", Shown::Nowhere),
    house("settings"),
    house("purged_cases"),
];

/// Tables whose changes are not kept, each with the reason.
pub const UNTRACKED: &[(&str, &str)] = &[
    ("sessions", "a secret's digest that comes and goes with a person"),
    ("sign_in_links", "a secret's digest that comes and goes with a person"),
    ("sign_in_steps", "a secret's digest that comes and goes with a person"),
    ("second_factors", "a secret"),
    ("recovery_codes", "secrets' digests"),
    ("poll_votes", "who voted for what is kept from everybody"),
    ("walks", "kept for one person alone"),
    ("walk_answers", "kept for one person alone"),
    ("case_traits", "worked out from the case"),
    ("complication_times", "worked out from the case"),
    ("case_findings", "worked out from the case"),
    ("case_findings_read", "says when the case was looked through"),
    ("own_words", "digests of the department's own names, which no copy of the list should outlive"),
    ("own_words_salt", "what makes those digests the department's own"),
    ("kept_counts", "worked out from the record"),
    ("rates_version", "counts up with the record"),
    ("case_search", "worked out from the case"),
    ("lesson_search", "worked out from the case"),
    ("history_revisions", "the history itself"),
    ("history_changes", "the history itself"),
    ("drafts", "what a person has not saved yet"),
    ("slides_template", "how slides look, not what they say; a large file"),
    ("picture_bytes", "pixels that are erased are to be gone; a picture’s row has their digest"),
];

impl Tracked {
    /// The table of this name.
    #[must_use]
    pub fn find(table: &str) -> Option<&'static Self> {
        TRACKED.iter().find(|tracked| tracked.table == table)
    }
}
