//! Which words are questioned, and where they are innocent.

/// Words that are questioned for the same reason.
pub(super) struct Group {
    /// The words or phrases.
    pub(super) words: &'static [&'static str],
    /// The rest of a sentence that begins with the quoted word.
    pub(super) why: &'static str,
    /// What would say it better.
    pub(super) ask: &'static str,
    /// Whether the word is fine once its cause stands before it.
    pub(super) a_cause_excuses: bool,
}

/// The list is that of our reference on review method, section 4 (RCA², from memory), with a few of
/// the same family.
pub(super) const GROUPS: &[Group] = &[
    Group {
        words: &[
            "poor|poorly|inadequate|inadequately|insufficient|insufficiently|suboptimal|suboptimally|sub-optimal|sub-optimally",
            "not|never|hardly adequate|adequately|sufficient|sufficiently|proper|properly|appropriate|appropriately|optimal|optimally",
            "substandard|sub-standard|bad|badly|improper|improperly|inappropriate|inappropriately",
        ],
        why: "gives a verdict and leaves out what was seen or measured.",
        ask: "What exactly was seen, counted or measured, and what did it lead to?",
        a_cause_excuses: false,
    },
    Group {
        words: &[
            "careless|carelessly|carelessness|negligent|negligently|negligence|sloppy|sloppily|complacent|complacency",
            "inattention|inattentive|inattentively|incompetent|incompetence|reckless|recklessly",
        ],
        why: "describes a person, and the same person in other conditions would not be described so.",
        ask: "What in the place, the task or the tools made this easy to happen to anybody?",
        a_cause_excuses: false,
    },
    Group {
        words: &["wrong|wrongly"],
        why: "says that two things were exchanged and not which, nor how they came to be.",
        ask: "What was meant, what was used instead, and what made the two easy to exchange?",
        a_cause_excuses: true,
    },
    Group {
        words: &["lack of", "lacked|lacking"],
        why: "names what was absent and not what there was.",
        ask: "What was there, where was the rest, and what did that lead to?",
        a_cause_excuses: false,
    },
    Group {
        words: &["failure|failures of|in", "failure|failures|failed|fails|failing to"],
        why: "judges an outcome and leaves out what was done or not done.",
        ask: "What happened, in the words of somebody who watched, and what came before it?",
        a_cause_excuses: false,
    },
    Group {
        words: &["forgot|forgotten|forget|forgetting|forgets"],
        why: "tells what went on in a head. What anybody could have seen is that something was not done.",
        ask: "What was not done, and what held the attention at that moment?",
        a_cause_excuses: false,
    },
    Group {
        words: &["unfortunately|obviously|simply|just"],
        why: "tells how it looks from here, and adds nothing to what happened.",
        ask: "Does the sentence lose anything without it?",
        a_cause_excuses: false,
    },
];

/// Where these words say something exact. The star is on the questioned word; beside each row, why.
#[rustfmt::skip]
pub(super) const INNOCENT: &[&str] = &[
    // A sign of the body, of imaging or of a device, for which the word is the usual term:
    // "poor R-wave progression", "inadequate platelet inhibition on assay", "lack of collaterals".
    "*poor|poorly|inadequate|inadequately|insufficient|insufficiently|suboptimal|suboptimally|sub-optimal|bad --2 $sign",
    "$sign was|were|is|are|remained|stayed|being --1 *poor|inadequate|insufficient|suboptimal|bad",
    "*lack of --2 $sign", "$sign *lacking", "*inappropriate --1 shock|shocks|tachycardia|therapy|secretion",
    "*not|never|hardly adequate|sufficient|optimal|adequately|sufficiently|optimally|properly --2 $sign",
    "*not|never|hardly adequately|sufficiently|optimally|properly --1 $shape",
    "$sign was|were|is|are --1 *not adequate|sufficient|optimal",
    // The verdict with its measurement beside it: "insufficient anticoagulation (ACT 180 s)".
    "*poor|inadequate|insufficient|suboptimal --2 $measured ..6 #",
    // The state of a vessel: "badly calcified". The state of an illness: "poorly controlled".
    "*badly|poorly|inadequately|insufficiently|suboptimally --1 $shape",
    // A direction: "wrong-way flow" is one word; unhyphenated it is two.
    "*wrong way flow|filling", "nothing|not|anything|never *wrong",
    // A diagnosis, or a fault of a device: "heart failure", "device failure".
    "$organ *failure|failures",
    "*failure|failures of|in --3 $thing", "*failure|failures of|in --3 $organ",
    // What a heart, a balloon or a drug does not do: "left ventricular failure to eject".
    "*failure|failures|failed|fails|failing to --1 $mechanical", "$thing had|has? --1 *failed|fails to", "$organ *failure to",
    "$thing 's *failure to",
    // A distance, a moment or a place: "just distal to".
    "*just --1 $near", "*just #", "had|has|have|having|only *just", "*just been|come",
];
