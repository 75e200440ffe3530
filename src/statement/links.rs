//! What leads to what in a statement: the words that join a cause to its effect.

use std::ops::Range;

use super::text::Text;

/// Which side of the link the effect stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    /// "cause, so effect"
    EffectAfter,
    /// "effect because cause", or "because cause, effect"
    CauseAfter,
}

use Order::{CauseAfter, EffectAfter};

/// The links, the longer phrase first where two begin alike.
#[rustfmt::skip]
const LINKS: &[(&str, Order)] = &[
    ("as a result of", CauseAfter), ("as a result", EffectAfter), ("with the result that", EffectAfter),
    ("so that", EffectAfter), ("so", EffectAfter), ("therefore|thus|hence|consequently|accordingly", EffectAfter),
    (", which", EffectAfter), (", whereby", EffectAfter), ("that|this is why", EffectAfter), ("such that", EffectAfter),
    ("meant|means|meaning that?", EffectAfter), ("led|leads|leading to", EffectAfter),
    ("resulted|results|resulting in", EffectAfter),
    (", leaving|making|causing|forcing|pushing|closing|opening|driving|carrying|turning|hiding|pulling|tearing|keeping|preventing|delaying|allowing|sending|dragging|lifting|bringing", EffectAfter),
    ("kept|keeps|stopped|prevented|hindered --3 from ~ing", EffectAfter),
    ("because of?", CauseAfter), ("since", CauseAfter), ("due to", CauseAfter), ("owing to", CauseAfter),
    ("on account of", CauseAfter), ("given that", CauseAfter), ("in that", CauseAfter), ("for want of", CauseAfter),
    (", with|without", CauseAfter),
    ("as the|a|an|no|it|its|there|this|that|these|nobody|neither|both|he|she|we|they|two|three|all|one", CauseAfter),
];

/// Phrases that look like a link and are none; the star is on the link's first word.
#[rustfmt::skip]
const NO_LINKS: &[&str] = &[
    "or|do|did|does|done|doing|not|even|ever|quite|think|thought *so", "*so far|called|much|many|on|as", "ever|long *since",
    "such|same|well|read|known|seen|regarded|used|accepted|soon|far|taken|treated|counted|just|twice *as",
    "as --2 *as", "*as a rule|whole|routine",
];

/// Links that begin with these join a thing, and not a sentence; each side has to say more.
const JOINS_A_THING: &[&str] =
    &["due", "owing", "led", "leads", "leading", "resulted", "results", "resulting"];

/// Words at the beginning of a sentence after which the condition stands, up to the comma.
const OPENING: &[&str] = &["with|without|while|as|since|because|given|under", "due|owing to"];

/// A link, by its tokens.
#[derive(Debug)]
pub(super) struct Link {
    pub(super) tokens: Range<usize>,
    cause: Range<usize>,
    effect: Range<usize>,
    /// Whether both sides say something.
    pub(super) joins_two: bool,
}

/// The links of a statement, in their order.
#[derive(Debug)]
pub(super) struct Links(pub(super) Vec<Link>);

impl Links {
    pub(super) fn find(text: &Text<'_>) -> Self {
        let mut links: Vec<Link> = Vec::new();
        for at in 0..text.tokens.len() {
            let inside_another = links.last().is_some_and(|last| at < last.tokens.end);
            if inside_another || NO_LINKS.iter().any(|pattern| text.around(at, pattern)) {
                continue;
            }
            let opening = opening_at(text, at);
            let found = opening.or_else(|| {
                LINKS
                    .iter()
                    .find_map(|(pattern, order)| Some(joined(text, at..text.phrase_at(at, pattern)?, *order)))
            });
            links.extend(found.or_else(|| condition_at(text, at)));
        }
        Self(links)
    }

    /// Whether something stands before a token as its cause.
    pub(super) fn cause_precedes(&self, at: usize) -> bool {
        self.0.iter().any(|link| link.joins_two && link.effect.contains(&at))
    }

    /// Whether the statement joins a cause to an effect.
    pub(super) fn any_joins_two(&self) -> bool {
        self.0.iter().any(|link| link.joins_two)
    }
}

/// "Because A, B", "With A, B": the effect begins after the comma.
fn opening_at(text: &Text<'_>, at: usize) -> Option<Link> {
    let sentence = text.sentence_of(at);
    if text.phrase_at(at, "as a result ,").is_some() {
        return None;
    }
    let end = (sentence.start == at).then(|| text.any_at(at, OPENING)).flatten()?;
    let comma = (end..sentence.end).find(|&token| text.word(token) == ",");
    let Some(comma) = comma else {
        // Without the comma nobody can tell where the effect begins. A long sentence holds both, and
        // no word of it counts as the effect.
        let long = text.count_words(end..sentence.end) >= 8 && text.word(at) == "because";
        return long.then_some(Link {
            tokens: at..end,
            cause: end..end,
            effect: sentence.end..sentence.end,
            joins_two: true,
        });
    };
    let says_how = matches!(text.word(at), "because" | "as" | "since" | "due" | "owing" | "given");
    let joins_two = text.count_words(end..comma) >= 2 && text.count_words(comma..sentence.end) >= 2;
    let link = Link { tokens: at..end, cause: end..comma, effect: comma + 1..sentence.end, joins_two };
    (says_how || joins_two).then_some(link)
}

/// "B while A", where A has a subject of its own ("while wiring" tells only when).
fn condition_at(text: &Text<'_>, at: usize) -> Option<Link> {
    let end = text.phrase_at(at, "while")?;
    (!text.word(end).ends_with("ing")).then(|| joined(text, at..end, CauseAfter))
}

fn joined(text: &Text<'_>, tokens: Range<usize>, order: Order) -> Link {
    let sentence = text.sentence_of(tokens.start);
    // A sentence that begins with "So" goes on from the one before.
    let start = match sentence.start == tokens.start && order == EffectAfter {
        true => text.sentence_of(sentence.start.saturating_sub(1)).start,
        false => sentence.start,
    };
    let (before, after) = (start..tokens.start, tokens.end..sentence.end);
    let (cause, effect) = match order {
        EffectAfter => (before, after),
        CauseAfter => (after, before),
    };
    let least = if JOINS_A_THING.contains(&text.word(tokens.start)) { 3 } else { 2 };
    // "as the …" has taken the first word of the cause with it.
    let taken = text.count_words(tokens.clone()).saturating_sub(1);
    let joins_two = text.count_words(cause.clone()) + taken >= least && text.count_words(effect.clone()) >= 2;
    Link { tokens, cause, effect, joins_two }
}

impl Link {
    /// The side on which something is still to be said.
    pub(super) fn lacks(&self) -> &'static str {
        if self.cause.len() < self.effect.len() { "cause" } else { "effect" }
    }
}
