//! A document as a Markdown file: CommonMark with pipe tables, readable as plain text.
//!
//! The pipeline: blocks → chunks, which know only lines, lists and quotes → one text. Text of
//! the record is escaped so that it reads as the same words again and cannot start a heading, end
//! a table or open HTML (`escape`). A user's Markdown is parsed and written out again (`user`),
//! so that an unclosed fence or quote ends where the block ends, and its headings stand below
//! the section's.

mod chunk;
mod escape;
mod phrase;
mod user;

use super::format::Format;
use crate::document::{Block, ColumnKind, Document, Fact, Figure, Heading, Order, Phrase, Picture, Table};
use chunk::Chunk;
use escape::{as_one_line, cell_of, escape};

/// The format.
pub const FORMAT: Format<Document> = Format {
    slug: "markdown",
    name: "Markdown",
    extension: "md",
    media_type: "text/markdown; charset=utf-8",
    use_for: "Text with few marks, to be read anywhere and kept under version control. Drawings are told in words and tables.",
    render: |document, _| Ok(document_to_markdown(document).into_bytes()),
};

/// The whole document as the text of a `.md` file, ending in a line break.
#[must_use]
pub fn document_to_markdown(document: &Document) -> String {
    let mut chunks = vec![Chunk::Lines(format!("# {}", plain(document.title())))];
    if let Some(standing) = document.standing() {
        chunks.push(Chunk::Lines(plain(standing)));
    }
    let mut level = 1;
    write_blocks(&mut chunks, document.blocks(), &mut level);
    let mut text = chunk::render(&chunks);
    text.push('\n');
    text
}

fn write_blocks(chunks: &mut Vec<Chunk>, blocks: &[Block], level: &mut u8) {
    for block in blocks {
        write_block(chunks, block, level);
    }
}

fn write_block(chunks: &mut Vec<Chunk>, block: &Block, level: &mut u8) {
    match block {
        Block::Heading(heading) => {
            *level = heading.level.number();
            chunks.push(heading_line(heading));
        }
        Block::Paragraph(phrase) => chunks.push(Chunk::Lines(phrase::write(phrase))),
        Block::List { order, items } => {
            let items = items.iter().map(|item| vec![line_of(item)]).collect();
            let start = (*order == Order::Numbers).then_some(1);
            chunks.push(Chunk::List { start, items });
        }
        Block::Table(table) => write_table(chunks, table),
        Block::Figure(figure) => write_figure(chunks, figure),
        Block::Picture(picture) => write_picture(chunks, picture),
        Block::Facts(facts) => chunks.push(Chunk::List {
            start: None,
            items: facts.iter().map(|fact| vec![fact_line(fact)]).collect(),
        }),
        Block::Missing(what) => {
            let what = format!("Not recorded: {what}");
            chunks.push(line_of(&Phrase::new().emphasis(what)));
        }
        Block::Markdown(text) => chunks.extend(user::write(text, *level)),
        Block::Note(phrase) => chunks.push(remark("Note", phrase)),
        Block::Caution(phrase) => chunks.push(remark("Caution", phrase)),
        Block::Details { summary, blocks } => {
            chunks.push(line_of(&Phrase::new().strong(summary)));
            write_blocks(chunks, blocks, level);
        }
    }
}

fn plain(text: &str) -> String {
    phrase::write(&Phrase::from(text))
}

fn line_of(phrase: &Phrase) -> Chunk {
    Chunk::Lines(phrase::write(phrase))
}

fn heading_line(heading: &Heading) -> Chunk {
    let marks = "#".repeat(usize::from(heading.level.number()));
    Chunk::Lines(format!("{marks} {}", plain(&heading.text)))
}

fn fact_line(fact: &Fact) -> Chunk {
    let label = format!("{}:", fact.label.trim());
    line_of(&Phrase::new().strong(label).text(" ").then(fact.value.clone()))
}

fn remark(kind: &str, text: &Phrase) -> Chunk {
    let label = format!("{kind}.");
    Chunk::Quote(vec![line_of(&Phrase::new().strong(label).text(" ").then(text.clone()))])
}

/// A figure's words and values; the drawing itself has no place in a text.
fn write_figure(chunks: &mut Vec<Chunk>, figure: &Figure) {
    let title = format!("Figure: {}", figure.title);
    chunks.push(line_of(&Phrase::new().strong(title)));
    for text in [&figure.summary, &figure.description] {
        if !text.trim().is_empty() {
            chunks.push(Chunk::Lines(plain(text)));
        }
    }
    if let Some(values) = &figure.values {
        write_table(chunks, values);
    }
    if !figure.source.trim().is_empty() {
        chunks.push(Chunk::Lines(plain(&format!("Source: {}", figure.source))));
    }
}

/// Said of each still.
const NOT_HERE: &str = "(The picture itself is not in this text.)";

/// What is said of a still; its pixels have no place in a text.
fn write_picture(chunks: &mut Vec<Chunk>, picture: &Picture) {
    let caption = Phrase::new().strong(format!("Picture: {}", picture.caption.to_text()));
    chunks.push(line_of(&caption));
    chunks.push(Chunk::Lines(plain(&format!("{} {NOT_HERE}", picture.alternative))));
}

fn write_table(chunks: &mut Vec<Chunk>, table: &Table) {
    if !table.caption().trim().is_empty() {
        chunks.push(line_of(&Phrase::new().emphasis(table.caption())));
    }
    let heads = table.columns().iter().map(|column| cell_of(&escape(&as_one_line(&column.label)))).collect();
    let numeric = |kind: ColumnKind| kind != ColumnKind::Text;
    let ends = table.columns().iter().map(|c| numeric(c.kind)).collect();
    let rows = table
        .rows()
        .iter()
        .map(|row| row.iter().map(|cell| cell_of(&phrase::write(cell))).collect())
        .collect();
    chunks.push(chunk::table(&chunk::Cells { heads, ends, rows }));
}

#[cfg(test)]
mod round_trip_tests;
#[cfg(test)]
mod tests;
