//! What a list asks of an event, in words.

use crate::case::{Device, EventKind};
use crate::quantity::TimiFlow;
use crate::response::{Place, PromptList, Sign, Slug};

/// A label in the middle of a sentence: `balloon`, but `ECG change`.
fn inside(label: &str) -> String {
    let mut letters = label.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if second.is_lowercase() || second == '-' => {
            first.to_lowercase().chain(label.chars().skip(1)).collect()
        }
        _ => label.to_owned(),
    }
}

/// `a, b or c`.
fn any_of(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

fn kind(slug: &Slug) -> String {
    slug.as_str().parse::<EventKind>().map_or_else(|_| slug.to_string(), |kind| kind.label().to_owned())
}

fn device(slug: &Slug) -> String {
    slug.as_str().parse::<Device>().map_or_else(|_| slug.to_string(), |device| inside(device.label()))
}

fn flow(least: TimiFlow) -> String {
    match least.grade() {
        0 => "with any TIMI grade".to_owned(),
        3 => "with TIMI 3".to_owned(),
        grade => format!("with TIMI {grade} or better"),
    }
}

/// The text of a step, as it stands in a sentence.
pub(super) fn quoted(text: &str) -> String {
    format!("“{}”", text.trim_end_matches('.'))
}

/// What an event has to be to fit a sign. Of a step that may come before the onset, any time will do.
pub(super) fn sign(sign: &Sign, list: &PromptList, any_time: bool) -> String {
    let kinds: Vec<String> = sign.kinds.iter().map(kind).enumerate().map(first_large).collect();
    let devices: Vec<String> = sign.devices.iter().map(device).collect();
    let mut parts = vec![any_of(&kinds)];
    if !devices.is_empty() {
        parts.push(format!("device: {}", any_of(&devices)));
    }
    parts.extend(sign.flow_at_least.map(flow));
    if sign.place != Place::Any {
        parts.push(sign.place.label().to_owned());
    }
    parts.push(if any_time { "at any time" } else { sign.from.label() }.to_owned());
    if sign.after_lost_flow {
        parts.push("after flow was lost there".to_owned());
    }
    if let Some(step) = &sign.after_step {
        let text = list.steps().iter().find(|other| other.slug == *step).map(|step| step.text.as_str());
        parts.push(format!("after {} was done", quoted(text.unwrap_or(step.as_str()))));
    }
    parts.join("; ")
}

fn first_large((number, label): (usize, String)) -> String {
    if number == 0 { label } else { inside(&label) }
}

/// A word that may show a step: `damp…` for any ending.
pub(super) fn hint(hint: &str) -> String {
    match hint.strip_suffix('*') {
        Some(beginning) => format!("“{beginning}…”"),
        None => format!("“{hint}”"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::{Allowed, LISTS};

    const ALLOWED: Allowed = Allowed {
        mechanisms: &["flow-slow"],
        kinds: &["wire", "ecg", "imaging", "flow"],
        devices: &["intravascular-imaging", "coil", "reentry-balloon"],
    };

    fn in_words(signs: &str, any_time: bool) -> Vec<String> {
        let text = format!(
            "slug = \"ours\"\ntitle = \"Ours\"\nsource = \"Ours\"\nmechanisms = [\"flow-slow\"]\n[[steps]]\nslug = \"one\"\ntext = \"Wire kept.\"\nwhy = \"W\"\n[[steps]]\nslug = \"two\"\ntext = \"T\"\nwhy = \"W\"\nsigns = [{signs}]\n"
        );
        let list = PromptList::parse(&text, &ALLOWED).unwrap();
        list.steps()[1].signs.iter().map(|each| sign(each, &list, any_time)).collect()
    }

    #[test]
    fn a_sign_says_all_that_it_asks() {
        assert_eq!(in_words("{ kinds = [\"wire\"] }", false), ["Wire advanced; after it began"]);
        assert_eq!(in_words("{ kinds = [\"wire\"] }", true), ["Wire advanced; at any time"]);
        assert_eq!(
            in_words(
                "{ kinds = [\"imaging\", \"flow\", \"ecg\"], devices = [\"intravascular-imaging\", \"reentry-balloon\"], place = \"same-tree\", from = \"at-recognition\" }",
                false
            ),
            [
                "Imaging, flow change or ECG change; device: intravascular imaging or re-entry balloon; in the same vessel, upstream or downstream of it; from the event that it was recognised by"
            ]
        );
        assert_eq!(
            in_words(
                "{ kinds = [\"flow\"], flow_at_least = 2, after_lost_flow = true, place = \"same-vessel\", from = \"after-recognition\", after_step = \"one\" }, { kinds = [\"flow\"], flow_at_least = 3 }, { kinds = [\"flow\"], flow_at_least = 0 }",
                false
            ),
            [
                "Flow change; with TIMI 2 or better; in the same vessel; after it was recognised; after flow was lost there; after “Wire kept” was done",
                "Flow change; with TIMI 3; after it began",
                "Flow change; with any TIMI grade; after it began",
            ]
        );
    }

    #[test]
    fn a_word_with_any_ending_says_so() {
        assert_eq!(hint("damp*"), "“damp…”");
        assert_eq!(hint("wire held"), "“wire held”");
    }

    #[test]
    fn every_kind_and_device_of_the_lists_that_ship_has_a_label() {
        let words: Vec<&str> = EventKind::ALL.iter().map(|kind| kind.slug()).collect();
        let devices: Vec<&str> = Device::ALL.iter().map(|device| device.slug()).collect();
        let mechanisms: Vec<&str> =
            crate::vocabulary::mechanisms().leaf.iter().map(|leaf| leaf.slug.as_str()).collect();
        let allowed = Allowed { mechanisms: &mechanisms, kinds: &words, devices: &devices };
        for (slug, text) in LISTS {
            let list = PromptList::parse(text, &allowed).unwrap();
            for step in list.steps() {
                for each in step.signs.iter().chain(&step.suggests) {
                    let said = sign(each, &list, step.may_precede);
                    assert!(!said.contains("-vessel") && said.contains("; "), "{slug}: {said}");
                }
            }
        }
    }
}
