//! How a deck opens: what this is, the situation, the patient, the procedure, the lesions.

use super::{Head, Making, Purpose, fit, notes, stops};
use crate::case::reading::words::{count, join, lower_first, place_words, sentence, upper_first};
use crate::case::{Age, Stage, StoredCase};
use crate::document::{Block, Fact, Phrase};
use crate::review::summary::lesion_words;

impl Making<'_> {
    pub(super) fn opening(&mut self) {
        let case = self.material.case;
        let stops = stops(case).count();
        self.title(stops);
        if stops == 0 {
            self.situation();
        }
        self.background();
        self.lesions();
    }

    /// The first screen. Before a stop point the title would give the answer away, so there it says
    /// who came for what.
    fn title(&mut self, stops: usize) {
        let case = self.material.case;
        let title = if stops == 0 { case.head.title.to_string() } else { who_came_for_what(case) };
        let draft = match case.head.stage {
            Stage::Recorded | Stage::InPreparation => " Draft: the case is still being prepared.",
            Stage::Ready | Stage::Presented | Stage::Closed => "",
        };
        let decide = match stops {
            0 => String::new(),
            1 => "At one point the room decides before it is told what was done.".to_owned(),
            some => format!(
                "At {} points the room decides before it is told what was done.",
                count(some).to_lowercase()
            ),
        };
        let standing = format!("Case {}, {}.{draft}", case.code, case.head.month.in_words());
        let mut body = vec![Block::paragraph(standing)];
        if !decide.is_empty() {
            body.push(Block::paragraph(decide.clone()));
        }
        body.push(Block::Caution(Phrase::from(self.material.confidential)));
        let say = [
            self.material.confidential.to_owned(),
            "No name of a patient or a colleague is said; the question is what made this easy to miss"
                .to_owned(),
            decide,
        ];
        self.add(Head::new("title", "Case conference", title).saying(notes(say)), Purpose::Tell, body);
    }

    /// The situation in two sentences, under the title of the case.
    pub(super) fn situation(&mut self) {
        let case = self.material.case;
        let Some(situation) = &case.head.situation else { return };
        let head = Head::new("situation", "Situation", case.head.title.as_str());
        let room = fit::room(&head.title, 0.0);
        self.add_all(head, &Purpose::Tell, fit::paragraphs(situation.as_str(), room));
    }

    fn background(&mut self) {
        let head = &self.material.case.head;
        let (patient, procedure) = (&head.patient, &head.procedure);
        let mut facts: Vec<Fact> = Vec::new();
        let mut fact = |label: &str, value: Option<String>| {
            facts.extend(value.filter(|value| !value.is_empty()).map(|value| Fact::new(label, value)));
        };
        fact("Came with", patient.presentation.map(|p| p.label().to_owned()));
        let history: Vec<&str> = patient.history.iter().take(8).map(|term| term.as_str()).collect();
        fact("History", Some(upper_first(&history.join(", "))));
        fact("eGFR", patient.egfr.map(|egfr| format!("{egfr} mL/min/1.73 m²")));
        fact("Weight", patient.weight_kg.map(|weight| format!("{weight} kg")));
        fact("Urgency", procedure.urgency.map(|urgency| urgency.label().to_owned()));
        let access: Vec<String> = procedure.access.iter().map(|a| a.label().to_lowercase()).collect();
        fact("Access", Some(upper_first(&join(&access))));
        let plan = procedure.strategy.as_ref().map(|plan| sentence(plan.as_str()));
        let person = person(self.material.case);
        if facts.is_empty() && plan.is_none() && person.is_none() {
            return;
        }
        let title = person.unwrap_or_else(|| "The patient and the plan".to_owned());
        let left_out: Vec<&str> = patient.history.iter().skip(8).map(|term| term.as_str()).collect();
        let more = (!left_out.is_empty()).then(|| format!("Further history: {}", left_out.join(", ")));
        let screen = Head::new("background", "Background", title).saying(notes(more));
        if !facts.is_empty() || plan.is_none() {
            self.add(
                screen,
                Purpose::Tell,
                if facts.is_empty() { Vec::new() } else { vec![Block::Facts(facts)] },
            );
        }
        if let Some(plan) = plan {
            let (title, rest) = fit::headline(&plan);
            let screen = Head::new("plan", "The plan", title);
            if rest.is_empty() {
                self.add(screen, Purpose::Tell, Vec::new());
            } else {
                let room = fit::room(&screen.title, 0.0);
                self.add_all(screen, &Purpose::Tell, fit::paragraphs(&rest, room));
            }
        }
    }

    fn lesions(&mut self) {
        let lesions = &self.material.case.lesions;
        let items: Vec<Phrase> =
            lesions.iter().map(|row| Phrase::from(sentence(&lesion_words(&row.value)))).collect();
        if items.is_empty() {
            return;
        }
        let mut places: Vec<String> = lesions.iter().map(|row| place_words(row.value.segment)).collect();
        places.dedup();
        let title = match places.as_slice() {
            [one] if lesions.len() == 1 => format!("One lesion, in the {one}"),
            many => format!("{} lesions: {}", count(lesions.len()), join(&many[..many.len().min(4)])),
        };
        self.list(Head::new("lesions", "Background", title), items, 5);
    }
}

/// `A 69-year-old man`, `A woman`; none when neither age nor sex is recorded.
fn person(case: &StoredCase) -> Option<String> {
    let patient = &case.head.patient;
    let noun = patient.sex.map_or("patient", |sex| match sex.slug() {
        "female" => "woman",
        "male" => "man",
        _ => "patient",
    });
    match patient.age {
        Some(Age::Years(years)) => {
            let article = if years == 8 || years == 11 || years == 18 || (80..90).contains(&years) {
                "An"
            } else {
                "A"
            };
            Some(format!("{article} {years}-year-old {noun}"))
        }
        Some(Age::NinetyOrOlder) => Some(format!("A {noun} of 90 or older")),
        None if noun != "patient" => Some(format!("A {noun}")),
        None => None,
    }
}

/// What was known when the case began: who came, and where the lesions are.
fn who_came_for_what(case: &StoredCase) -> String {
    let person = person(case).unwrap_or_else(|| "A patient".to_owned());
    let with = case
        .head
        .patient
        .presentation
        .map_or_else(String::new, |presentation| format!(" with {}", lower_first(presentation.label())));
    let urgency = case
        .head
        .procedure
        .urgency
        .map_or_else(String::new, |urgency| format!("{} ", urgency.label().to_lowercase()));
    let mut places: Vec<String> = case.lesions.iter().map(|row| place_words(row.value.segment)).collect();
    places.dedup();
    let of = if places.is_empty() || places.len() > 3 {
        String::new()
    } else {
        format!(" of the {}", join(&places))
    };
    format!("{person}{with}, for {urgency}PCI{of}")
}
