//! TOML as a person would write it: one key a line, text in basic strings, stories over several
//! lines.

use std::fmt::{Display, Write as _};

/// A TOML file in the making.
#[derive(Default)]
pub(super) struct TomlText(String);

impl TomlText {
    /// A heading, with an empty line before it.
    pub(super) fn heading(&mut self, heading: &str) {
        self.line(&format!("\n{heading}"));
    }

    fn line(&mut self, line: &str) {
        self.0.push_str(line);
        self.0.push('\n');
    }

    /// A number, or true and false: what stands without quotes.
    pub(super) fn number(&mut self, key: &str, number: impl Display) {
        self.line(&format!("{key} = {number}"));
    }

    pub(super) fn number_opt(&mut self, key: &str, number: Option<impl Display>) {
        if let Some(number) = number {
            self.number(key, number);
        }
    }

    /// A text: on one line, or over several when it has several.
    pub(super) fn text(&mut self, key: &str, text: impl Display) {
        let text = text.to_string();
        if text.contains('\n') {
            self.story(key, &text);
        } else {
            self.line(&format!("{key} = {}", in_quotes(&text)));
        }
    }

    pub(super) fn text_opt(&mut self, key: &str, text: Option<impl Display>) {
        if let Some(text) = text {
            self.text(key, text);
        }
    }

    /// A text over several lines. The line end before the closing quotes is not part of the text;
    /// whoever reads it trims it, as for every text of a case.
    pub(super) fn story(&mut self, key: &str, text: &str) {
        let text = escaped(text).replace("\"\"\"", "\"\"\\\"");
        self.line(&format!("{key} = \"\"\"\n{text}\n\"\"\""));
    }

    /// A list of texts on one line; left out when it is empty.
    pub(super) fn texts(&mut self, key: &str, texts: &[impl Display]) {
        if texts.is_empty() {
            return;
        }
        let items: Vec<String> = texts.iter().map(|text| in_quotes(&text.to_string())).collect();
        self.line(&format!("{key} = [{}]", items.join(", ")));
    }

    pub(super) fn into_text(self) -> String {
        self.0
    }
}

fn in_quotes(text: &str) -> String {
    format!("\"{}\"", escaped(text).replace('"', "\\\"").replace('\n', "\\n"))
}

/// Escapes what no basic string holds as it is: backslashes and control characters.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' => safe.push_str("\\\\"),
            '\n' | '\t' => safe.push(c),
            c if c.is_control() => {
                let _ = write!(safe, "\\u{:04X}", u32::from(c));
            }
            c => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::TomlText;

    fn read_back(key: &str, text: &str) -> String {
        let table: toml::Table = toml::from_str(text).expect("valid TOML");
        table[key].as_str().expect("a text").to_owned()
    }

    #[test]
    fn every_text_reads_back_to_itself() {
        for text in [
            "plain",
            "a \"quoted\" word",
            "ends in a quote\"",
            "back\\slash \\n \\u0041",
            "tab\tand é, ü, →, 𝄞",
            "\"\"\"three\"\"\" and four\"\"\"\"",
            "one line\nanother\n\n  indented \"\"\"\nlast\"",
            "\u{85}\u{7f} control",
        ] {
            let mut file = TomlText::default();
            file.text("one", text);
            file.story("many", text);
            let written = file.into_text();
            assert_eq!(read_back("one", &written).trim_end_matches('\n'), text, "{written}");
            assert_eq!(read_back("many", &written).trim_end_matches('\n'), text, "{written}");
        }
    }
}
