//! The words of a document, as whoever looks it through needs them: text by text, in reading order.

use super::{Block, Document, Inline, Phrase, Table};

impl Document {
    /// Every text of the document. Names under what somebody signed are left out: they stand there on
    /// purpose.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut words = vec![self.title().to_owned()];
        words.extend(self.standing().map(str::to_owned));
        of_blocks(self.blocks(), &mut words);
        words.retain(|text| !text.trim().is_empty());
        words
    }
}

fn of_blocks(blocks: &[Block], words: &mut Vec<String>) {
    for block in blocks {
        match block {
            Block::Heading(heading) => words.push(heading.text.clone()),
            Block::Paragraph(phrase) | Block::Note(phrase) | Block::Caution(phrase) => {
                words.push(of_phrase(phrase));
            }
            Block::List { items, .. } => words.extend(items.iter().map(of_phrase)),
            Block::Table(table) => of_table(table, words),
            Block::Figure(figure) => {
                words.extend(
                    [&figure.title, &figure.description, &figure.summary, &figure.source].map(Clone::clone),
                );
                if let Some(values) = &figure.values {
                    of_table(values, words);
                }
            }
            Block::Picture(picture) => {
                words.extend([picture.alternative.clone(), of_phrase(&picture.caption)])
            }
            Block::Facts(facts) => {
                words.extend(facts.iter().flat_map(|fact| [fact.label.clone(), of_phrase(&fact.value)]));
            }
            Block::Missing(text) | Block::Markdown(text) => words.push(text.clone()),
            Block::Details { summary, blocks } => {
                words.push(summary.clone());
                of_blocks(blocks, words);
            }
        }
    }
}

fn of_table(table: &Table, words: &mut Vec<String>) {
    words.push(table.caption().to_owned());
    words.extend(table.columns().iter().map(|column| column.label.clone()));
    words.extend(table.rows().iter().flatten().map(of_phrase));
}

fn of_phrase(phrase: &Phrase) -> String {
    let said = phrase.inlines().iter().filter(|inline| !matches!(inline, Inline::Signed(_)));
    said.map(Inline::as_text).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Fact;

    #[test]
    fn every_block_gives_its_words_and_a_signature_does_not() {
        let mut document = Document::new("Title");
        document.stands_as("Standing");
        document.section("Section").paragraph(Phrase::new().text("said ").strong("so"));
        document
            .bullets(["one", "two"])
            .facts([Fact::new("Label", "value")])
            .missing("the end")
            .markdown("# Own");
        document.push(Block::Note(Phrase::new().text("signed by ").signed("Dr Attending")));
        document
            .push(Block::Details { summary: "More".to_owned(), blocks: vec![Block::paragraph("inside")] });
        assert_eq!(
            document.words(),
            [
                "Title",
                "Standing",
                "Section",
                "said so",
                "one",
                "two",
                "Label",
                "value",
                "the end",
                "# Own",
                "signed by ",
                "More",
                "inside",
            ]
        );
    }
}
