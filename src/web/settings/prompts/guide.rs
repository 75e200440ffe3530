//! What a list holds, for somebody who writes one.

use crate::case::{Device, EventKind};
use crate::response::{Place, Since};
use crate::vocabulary::Vocabulary;

/// A key and what it says.
pub(super) type Row = (String, String);

/// A part of a list, with its keys.
pub(super) struct Part {
    pub(super) title: &'static str,
    pub(super) keys: &'static [(&'static str, &'static str)],
}

/// The keys of a list, part by part.
pub(super) const PARTS: &[Part] = &[
    Part {
        title: "The list",
        keys: &[
            ("slug", "Its lasting name: small letters, digits and hyphens. It never changes."),
            ("title", "The complication that it answers to."),
            ("source", "Where it comes from: your protocol with its date, a publication."),
            ("mechanisms", "The mechanisms that it is for, by their lasting names."),
        ],
    },
    Part {
        title: "[[questions]]",
        keys: &[
            ("slug", "Its lasting name."),
            ("asks", "The question, to be answered by yes or no."),
            ("only_if", "The answer to an earlier question that leads to it."),
            ("yes_mechanisms", "Mechanisms that say yes by what they are; no_mechanisms: that say no."),
            ("yes_signs", "Events that say yes; no_signs: that say no."),
        ],
    },
    Part {
        title: "[[steps]]",
        keys: &[
            ("slug", "Its lasting name."),
            ("text", "What somebody in the room can see being done."),
            ("why", "Why it is done."),
            ("source", "Where it comes from, when the list’s source does not say it all."),
            ("only_if", "The answer that the step hangs on."),
            ("before", "The step that it should come before."),
            ("may_precede", "true when it also counts if it was done before the complication began."),
            ("signs", "Events that show it was done."),
            ("suggests", "Events that may show it; a person confirms."),
            (
                "hints",
                "Words in an event that may show it; a person confirms. With * at the end, any ending.",
            ),
        ],
    },
    Part {
        title: "A sign, in braces",
        keys: &[
            ("kinds", "Its kind is one of these."),
            ("devices", "Its device class is one of these; left out, any or none."),
            ("place", "Where it lies, seen from the complication; left out, anywhere."),
            ("from", "From when on it counts; left out, after the complication began."),
            ("flow_at_least", "It says a TIMI grade, at least this one: 0 to 3."),
            ("after_lost_flow", "true when flow must have been lost there before (TIMI 0 or 1)."),
            ("after_step", "It comes after this step was done."),
        ],
    },
];

/// A short list that holds most of what a list can hold.
pub(super) const EXAMPLE: &str = r#"slug = "our-slow-flow"
title = "Slow flow, as we do it"
source = "Our protocol of May 2026, agreed by the department"
mechanisms = ["flow-slow"]

[[questions]]
slug = "low-pressure"
asks = "Is the pressure low?"

[[steps]]
slug = "help-called"
text = "Help called."
why = "Two more hands are there before they are needed."
may_precede = true
signs = [{ kinds = ["help"] }]

[[steps]]
slug = "pressure-raised"
text = "Pressure raised."
why = "Drugs that widen vessels need a pressure to spend."
only_if = { question = "low-pressure", answer = "yes" }
before = "drug-given"
suggests = [{ kinds = ["support", "drug"] }]
hints = ["noradrenaline", "fluid*"]

[[steps]]
slug = "drug-given"
text = "A drug given through the microcatheter."
why = "It reaches the small vessels."
signs = [{ kinds = ["drug"], devices = ["microcatheter"], place = "same-vessel" }]
"#;

/// Words that a list may use: what they are for, each with its label.
pub(super) fn vocabularies(vocabulary: &Vocabulary) -> Vec<(&'static str, Vec<Row>)> {
    let row = |slug: &str, label: &str| (slug.to_owned(), label.to_owned());
    let mechanisms = vocabulary.mechanisms.iter().filter(|leaf| !leaf.retired);
    vec![
        ("Mechanisms", mechanisms.map(|leaf| row(leaf.slug.as_str(), &leaf.label)).collect()),
        ("Kinds of event", EventKind::ALL.iter().map(|kind| row(kind.slug(), kind.label())).collect()),
        ("Device classes", Device::ALL.iter().map(|device| row(device.slug(), device.label())).collect()),
        ("Places", Place::ALL.iter().map(|place| row(place.slug(), place.label())).collect()),
        ("From when on", Since::ALL.iter().map(|since| row(since.slug(), since.label())).collect()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::{Allowed, PromptList};

    const ALLOWED: Allowed = Allowed {
        mechanisms: &["flow-slow"],
        kinds: &["help", "support", "drug", "flow"],
        devices: &["microcatheter"],
    };

    #[test]
    fn the_example_is_a_list_and_is_written_as_the_program_writes_one() {
        let list = PromptList::parse(EXAMPLE, &ALLOWED).unwrap();
        assert_eq!(list.to_toml(), EXAMPLE);
    }

    /// A value that the key of a part can have.
    fn value(key: &str) -> &str {
        match key {
            "mechanisms" | "yes_mechanisms" => "[\"flow-slow\"]",
            "only_if" => "{ question = \"first\", answer = \"no\" }",
            "may_precede" | "after_lost_flow" => "true",
            "signs" | "suggests" | "yes_signs" => "[{ kinds = [\"help\"] }]",
            "hints" => "[\"word\"]",
            "kinds" => "[\"flow\"]",
            "devices" => "[\"microcatheter\"]",
            "place" => "\"same-vessel\"",
            "from" => "\"at-onset\"",
            "flow_at_least" => "2",
            "after_step" => "\"early\"",
            "before" => "\"late\"",
            _ => "\"a text\"",
        }
    }

    #[test]
    fn every_key_that_is_explained_is_a_key() {
        let keys = |part: usize, but: &[&str]| -> String {
            let keys = PARTS[part].keys.iter().filter(|(key, _)| !but.contains(key));
            keys.map(|(key, _)| format!("{key} = {}\n", value(key))).collect()
        };
        let sign: Vec<String> =
            PARTS[3].keys.iter().map(|(key, _)| format!("{key} = {}", value(key))).collect();
        let text = format!(
            "slug = \"all\"\n{}[[questions]]\nslug = \"first\"\nasks = \"One?\"\n[[questions]]\nslug = \"second\"\n{}[[steps]]\nslug = \"early\"\ntext = \"E\"\nwhy = \"E\"\n[[steps]]\nslug = \"middle\"\n{}[[steps]]\nslug = \"late\"\ntext = \"L\"\nwhy = \"L\"\nsigns = [{{ {} }}]\n",
            keys(0, &["slug"]),
            keys(1, &["slug"]),
            keys(2, &["slug"]),
            sign.join(", "),
        );
        assert!(
            PromptList::parse(&text, &ALLOWED).is_ok(),
            "{text}\n{:#?}",
            PromptList::parse(&text, &ALLOWED)
        );
    }
}
