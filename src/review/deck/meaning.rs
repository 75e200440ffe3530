//! What it was: the harms, the time without flow, the chain, the trade's grades, the end.

use super::{Head, Making, Purpose, fit};
use crate::case::reading::ComplicationSpan;
use crate::case::reading::words::{count, join, later, lower_first, place_words, sentence, upper_first};
use crate::case::{Complication, drawing};
use crate::clinical::{Finding, Verdict};
use crate::document::{Block, Figure, Phrase, Svg};
use crate::figure::{self, Distance};

/// The patient's eGFR stands in the background.
const SAID_ELSEWHERE: &str = "egfr";
/// At most so many grades, and harms, on a screen.
const GRADES: usize = 3;
const HARMS: usize = 4;
/// At most so many harms under a drawing of the vessels; the list holds all of them.
const BRACKETS: usize = 3;

impl Making<'_> {
    pub(super) fn meaning(&mut self) {
        self.flow();
        self.chain();
        self.harms();
        self.grades();
        self.outcome();
    }

    /// The vessels with the spans of the harms beneath, and how long flow was lost.
    fn flow(&mut self) {
        let material = self.material;
        let mut drawing = drawing::timeline(material.case, material.vocabulary);
        if drawing.brackets.is_empty() {
            return;
        }
        drawing.marks.clear();
        drawing.brackets.truncate(BRACKETS);
        // A line each: the place is seen on the drawing, and the first response stands in the list.
        for bracket in &mut drawing.brackets {
            if let Some((name, _)) = bracket.label.rsplit_once(", ") {
                bracket.label = name.to_owned();
            }
            (bracket.responded, bracket.to_response) = (None, None);
        }
        let mut drawn = drawing.draw_for(Distance::Room, "course");
        while drawing.brackets.len() > 1
            && fit::title_lines(&drawn.title) + fit::figure_lines(&drawn.svg) > fit::LINES + 1.0
        {
            drawing.brackets.pop();
            drawn = drawing.draw_for(Distance::Room, "course");
        }
        let sentences: Vec<String> =
            material.reading.flow_sentences().iter().map(|found| found.text.clone()).collect();
        let head = Head::new("course", "What it was", drawn.title.clone()).saying(sentences.join("\n"));
        self.add(head, Purpose::Tell, vec![picture(drawn)]);
    }

    fn chain(&mut self) {
        let chain = drawing::chain(self.material.case, self.material.vocabulary);
        if chain.edges.is_empty() {
            return;
        }
        let drawn = chain.draw_for(Distance::Room, "chain");
        let head = Head::new("chain", "What it was", drawn.title.clone()).saying(drawn.summary.clone());
        self.add(head, Purpose::Tell, vec![picture(drawn)]);
    }

    fn harms(&mut self) {
        let material = self.material;
        let harms: Vec<(&Complication, &ComplicationSpan)> =
            material.case.complications.iter().map(|row| &row.value).zip(material.reading.spans()).collect();
        let named: Vec<String> =
            harms.iter().map(|(harm, _)| material.vocabulary.mechanism_label(&harm.mechanism)).collect();
        let title = match named.as_slice() {
            [] => return,
            [one] => one.clone(),
            many => {
                let names: Vec<String> = many.iter().map(|name| lower_first(name)).collect();
                let (title, _) = fit::headline(&format!("{} harms: {}", count(many.len()), join(&names)));
                title
            }
        };
        let items = harms.iter().map(|(harm, span)| self.harm(harm, span)).collect();
        self.list(Head::new("harms", "What it was", title), items, HARMS);
    }

    /// What it was, where, and how long after its beginning it was recognised, answered and controlled.
    fn harm(&self, harm: &Complication, span: &ComplicationSpan) -> Phrase {
        let name = drawing::complication_words(harm, self.material.vocabulary);
        let place = harm.segment.map_or_else(String::new, |s| format!(", {}", lower_first(&place_words(s))));
        let parts = [
            ("recognised", span.to_recognition()),
            ("first response", span.to_response()),
            ("controlled", span.to_control()),
        ];
        let said: Vec<String> = parts
            .into_iter()
            .filter_map(|(what, elapsed)| Some(format!("{what} {}", later(elapsed?))))
            .collect();
        let phrase = Phrase::new().strong(format!("{name}{place}. "));
        if said.is_empty() { phrase } else { phrase.text(sentence(&upper_first(&join(&said)))) }
    }

    /// The grades that are met, each with the clause that decided it.
    fn grades(&mut self) {
        let met: Vec<&Finding> =
            self.material.findings.met.iter().filter(|found| found.definition != SAID_ELSEWHERE).collect();
        for (number, page) in (1..).zip(met.chunks(GRADES)) {
            let headlines: Vec<&str> = page.iter().map(|found| found.headline.as_ref()).collect();
            let (title, _) = fit::headline(&upper_first(&headlines.join("; ")));
            let key = if number == 1 { "grades".to_owned() } else { format!("grades-{number}") };
            let items = page.iter().map(|found| grade(found)).collect();
            self.list(Head::new(key, "By the trade's definitions", title), items, GRADES);
        }
    }

    fn outcome(&mut self) {
        let outcome = &self.material.case.head.outcome;
        let (title, rest) = match (&outcome.discharge, outcome.harm) {
            (None, None) => return,
            (Some(discharge), _) => fit::headline(&sentence(discharge.as_str())),
            (None, Some(_)) => ("How it ended".to_owned(), String::new()),
        };
        let harm = outcome.harm.map(|harm| format!("Degree of harm: {}.", harm.label().to_lowercase()));
        let text = [Some(rest), harm].into_iter().flatten().collect::<Vec<_>>().join(" ");
        let head = Head::new("outcome", "How it ended", title);
        let room = fit::room(&head.title, 0.0);
        let bodies =
            if text.trim().is_empty() { vec![Vec::new()] } else { fit::paragraphs(text.trim(), room) };
        self.add_all(head, &Purpose::Tell, bodies);
    }
}

/// A drawing that says in its title what the screen's title says.
pub(super) fn picture(drawn: figure::Figure) -> Block {
    Block::Figure(Figure {
        title: drawn.title,
        description: drawn.summary,
        svg: Svg::trusted(drawn.svg),
        values: None,
        summary: String::new(),
        source: String::new(),
    })
}

/// Whether a sentence says a clause already, in its words or nearly.
fn says(sentence: &str, clause: &str) -> bool {
    let heard = sentence.to_lowercase();
    let words = || clause.split(|c: char| !c.is_alphanumeric()).filter(|word| word.chars().count() > 3);
    words().all(|word| heard.contains(&word.to_lowercase()))
}

fn grade(found: &Finding) -> Phrase {
    let phrase = Phrase::new().text(found.sentence.clone());
    match &found.verdict {
        Verdict::Met { clause, .. } if !says(&found.sentence, clause) => {
            phrase.quiet(format!(" Decided by: {}", sentence(clause)))
        }
        _ => phrase,
    }
}
