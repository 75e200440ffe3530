//! Rule 3: a human error has a cause that came before it. Rule 5: a failure to act is a cause only
//! where there was a duty to act.
//!
//! "The fellow failed to give heparin" raises both questions: at "failed", what made it so; at
//! "give", whose task it was.

use super::finding::{Finding, Rule};
use super::links::Links;
use super::text::Text;

/// Words and phrases that name an error.
#[rustfmt::skip]
const ERRORS: &[&str] = &[
    "human|operator|user|judgement|judgment|technical|medication|communication|cognitive|nursing|procedural error|errors|mistake|mistakes",
    "error|errors of|in judgement|judgment|technique", "lapse|lapses of|in? attention|concentration|judgement",
    "error|mistake|mistakes|mistook|mistaken|mistakenly|misjudged|misjudgement|misjudgment|misread|misinterpreted|misinterpretation",
    "miscalculated|miscalculation|misdiagnosed|misidentified|mislabelled|mislabeled|mishandled|miscounted|misheard|misunderstood",
    "misunderstanding|miscommunication|overlooked|ignored|neglected|forgot|forgotten|forgetting|disregarded",
    "mixed up", "confused ..2 with", "human factor|factors",
];

/// Words that look like an error and are none; the star is on the first of the phrase.
#[rustfmt::skip]
const NO_ERRORS: &[&str] = &[
    "standard|sampling|measurement|trial|without|no|rounding|system|software|device|console *error|errors",
    "trial and *error", "*error|errors bar|bars|message|messages|code|margin|rate|log", "not|never *ignored|overlooked|neglected|mistaken|forgotten",
];

/// A miss: by somebody, or told without saying by whom. A wire that missed the ostium is neither.
const MISSES: &[&str] = &["$role --1 missed", "i|we missed", "was|were|been missed"];

/// Words that state a duty.
#[rustfmt::skip]
const DUTIES: &[&str] = &[
    "order|orders|ordered|protocol|protocols|policy|policies|checklist|checklists|agreed|agreement|task|tasks",
    "asked|requested|request|requests|prescribed|prescription|rota|assigned|named|routine|rule|rules|plan|planned",
    "pathway|pathways|guideline|guidelines|standing|requires|required|due|instructed|instruction|instructions",
    "duty|duties|responsible|job|briefing|asks|says|expects|expected|role|roles",
];

const ASK_ERROR: &str = "What came before it: what could be seen and heard, what else was going on, what looked alike, how was the day arranged?";
const ASK_DUTY: &str =
    "Who was to do it, by which order, protocol or agreed task? If nobody, the missing task is the cause.";

/// Finds errors without a cause, and omissions without a duty.
pub(super) fn check(text: &Text<'_>, links: &Links) -> Vec<Finding> {
    let duty = (0..text.tokens.len()).any(|at| states_duty(text, at));
    let mut found = Vec::new();
    for at in 0..text.tokens.len() {
        let caused = links.cause_precedes(at);
        if let Some(omission) = Omission::at(text, at) {
            if !caused {
                found.push(error(text, omission.not_doing.clone()));
            }
            if omission.is_an_act && !duty {
                found.push(without_duty(text, omission.act));
            }
        } else if let Some(end) = text.phrase_at(at, "nobody|no-one|none $acted").filter(|_| !caused && !duty)
        {
            found.push(without_duty(text, at..end));
        } else if let Some(end) = error_at(text, at).filter(|_| !caused) {
            found.push(error(text, at..end));
        }
    }
    found
}

fn states_duty(text: &Text<'_>, at: usize) -> bool {
    // "Due to" tells a cause; "due at noon" a duty.
    text.any_at(at, DUTIES).is_some() && text.phrase_at(at, "due to").is_none()
}

fn error(text: &Text<'_>, tokens: std::ops::Range<usize>) -> Finding {
    let why = format!(
        "“{}” is where a person comes in, and no cause stands before it yet. People err for reasons that can be changed.",
        text.phrase(tokens.clone())
    );
    text.finding(Rule::HumanError, tokens, why, ASK_ERROR)
}

fn without_duty(text: &Text<'_>, tokens: std::ops::Range<usize>) -> Finding {
    let why = format!(
        "That nobody did it (“{}”) is a cause only if it was somebody's to do, and the statement does not say so.",
        text.phrase(tokens.clone())
    );
    text.finding(Rule::FailureToAct, tokens, why, ASK_DUTY)
}

fn error_at(text: &Text<'_>, at: usize) -> Option<usize> {
    if NO_ERRORS.iter().any(|pattern| text.around(at, pattern)) {
        return None;
    }
    text.any_at(at, ERRORS).or_else(|| text.any_at(at, MISSES))
}

/// An act that was not done: "failed to give", "the nurse did not call".
struct Omission {
    not_doing: std::ops::Range<usize>,
    act: std::ops::Range<usize>,
    /// An act that can be a duty, and not something seen or understood.
    is_an_act: bool,
}

impl Omission {
    fn at(text: &Text<'_>, at: usize) -> Option<Self> {
        Self::failed_to(text, at).or_else(|| Self::did_not(text, at))
    }

    fn failed_to(text: &Text<'_>, at: usize) -> Option<Self> {
        const FORMS: &[&str] = &[
            "failed|fails|fail|failing|neglected|omitted to",
            "failure|failures of|by --3 to",
            "failure|failures to",
        ];
        let mut verb = text.any_at(at, FORMS)?;
        if text.word(verb).ends_with("ly") {
            verb += 1;
        }
        text.tokens.get(verb).filter(|token| token.is_word)?;
        let of_a_thing = text.around(at, "$thing had|has? --1 *failed|fails|fail|failing|neglected to")
            || text.around(at, "$thing 's? *failure|failures to")
            || text.around(at, "$organ *failure|failures to")
            || text.around(at, "*failure of --3 $thing ..2 to");
        if of_a_thing || text.phrase_at(verb, "$mechanical").is_some() {
            return None;
        }
        let perceived = text.phrase_at(verb, "$perceive").is_some();
        let not_doing = if perceived { at..verb + 1 } else { at..at + 1 };
        Some(Self { not_doing, act: verb..verb + 1, is_an_act: !perceived })
    }

    fn did_not(text: &Text<'_>, at: usize) -> Option<Self> {
        let did = text.phrase_at(at, "did|does|do not")?;
        let by_staff = ["$role --1 *did|does|do", "$role who? *did|does|do", "we|i|nobody *did|does|do"];
        if !by_staff.iter().any(|pattern| text.around(at, pattern)) {
            return None;
        }
        let verb = if text.word(did).ends_with("ly") { did + 1 } else { did };
        if let Some(end) = text.phrase_at(verb, "$perceive") {
            return Some(Self { not_doing: at..end, act: verb..end, is_an_act: false });
        }
        let end = text.phrase_at(verb, "$act")?;
        Some(Self { not_doing: at..did, act: verb..end, is_an_act: true })
    }
}
