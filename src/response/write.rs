//! A list as a TOML file that reads back to the same list.

use std::fmt::Write;

use super::list::{Condition, Place, PromptList, Question, Sign, Since, Step};
use super::slug::Slug;

impl PromptList {
    /// The list as TOML, with the keys in their usual order and without those that say nothing.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut file = File(String::new());
        file.text("slug", self.slug.as_str());
        file.text("title", &self.title);
        file.text("source", &self.source);
        file.line("mechanisms", &slugs(&self.mechanisms));
        for question in &self.questions {
            file.question(question);
        }
        for step in &self.steps {
            file.step(step);
        }
        file.0
    }
}

struct File(String);

impl File {
    fn line(&mut self, key: &str, value: &str) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.0, "{key} = {value}");
    }

    fn text(&mut self, key: &str, text: &str) {
        self.line(key, &quoted(text));
    }

    fn question(&mut self, question: &Question) {
        self.0.push_str("\n[[questions]]\n");
        self.text("slug", question.slug.as_str());
        self.text("asks", &question.asks);
        self.condition(question.only_if.as_ref());
        for (key, mechanisms) in
            [("yes_mechanisms", &question.yes_mechanisms), ("no_mechanisms", &question.no_mechanisms)]
        {
            if !mechanisms.is_empty() {
                self.line(key, &slugs(mechanisms));
            }
        }
        self.signs("yes_signs", &question.yes_signs);
        self.signs("no_signs", &question.no_signs);
    }

    fn step(&mut self, step: &Step) {
        self.0.push_str("\n[[steps]]\n");
        self.text("slug", step.slug.as_str());
        self.text("text", &step.text);
        self.text("why", &step.why);
        if let Some(source) = &step.source {
            self.text("source", source);
        }
        self.condition(step.only_if.as_ref());
        if let Some(before) = &step.before {
            self.text("before", before.as_str());
        }
        if step.may_precede {
            self.line("may_precede", "true");
        }
        self.signs("signs", &step.signs);
        self.signs("suggests", &step.suggests);
        if !step.hints.is_empty() {
            let hints: Vec<String> = step.hints.iter().map(|hint| quoted(hint)).collect();
            self.line("hints", &format!("[{}]", hints.join(", ")));
        }
    }

    fn condition(&mut self, condition: Option<&Condition>) {
        if let Some(Condition { question, answer }) = condition {
            self.line("only_if", &format!("{{ question = \"{question}\", answer = \"{answer}\" }}"));
        }
    }

    fn signs(&mut self, key: &str, signs: &[Sign]) {
        match signs {
            [] => {}
            [one] => self.line(key, &format!("[{}]", sign(one))),
            several => {
                let lines: String = several.iter().map(|one| format!("    {},\n", sign(one))).collect();
                self.line(key, &format!("[\n{lines}]"));
            }
        }
    }
}

fn sign(sign: &Sign) -> String {
    let mut parts = vec![format!("kinds = {}", slugs(&sign.kinds))];
    if !sign.devices.is_empty() {
        parts.push(format!("devices = {}", slugs(&sign.devices)));
    }
    if sign.place != Place::Any {
        parts.push(format!("place = \"{}\"", sign.place));
    }
    if let Some(flow) = sign.flow_at_least {
        parts.push(format!("flow_at_least = {}", flow.grade()));
    }
    if sign.after_lost_flow {
        parts.push("after_lost_flow = true".to_owned());
    }
    if sign.from != Since::AfterOnset {
        parts.push(format!("from = \"{}\"", sign.from));
    }
    if let Some(step) = &sign.after_step {
        parts.push(format!("after_step = \"{step}\""));
    }
    format!("{{ {} }}", parts.join(", "))
}

fn slugs(slugs: &[Slug]) -> String {
    let quoted: Vec<String> = slugs.iter().map(|slug| format!("\"{slug}\"")).collect();
    format!("[{}]", quoted.join(", "))
}

/// A text in quotes. It holds no control characters; the two signs that mean something are escaped.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
