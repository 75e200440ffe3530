//! What a document says, as a reader of a file has it to find.

use relook::document::Block;

/// Text in one line, without marks of direction.
pub fn plain(text: &str) -> String {
    text.replace(['\u{200E}', '\u{200F}'], "").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a document says, as paragraphs, tables and descriptions of drawings.
#[derive(Default)]
pub struct Said {
    pub headings: Vec<String>,
    pub paragraphs: Vec<String>,
    pub tables: Vec<Vec<Vec<String>>>,
    pub drawings: Vec<String>,
}

impl Said {
    /// What blocks say.
    pub fn of(blocks: &[Block]) -> Self {
        let mut all = Self::default();
        said(blocks, &mut all);
        all
    }
}

fn said(blocks: &[Block], all: &mut Said) {
    for block in blocks {
        match block {
            Block::Heading(heading) => all.headings.push(plain(&heading.text)),
            Block::Paragraph(phrase) | Block::Note(phrase) | Block::Caution(phrase) => {
                all.paragraphs.push(plain(&phrase.to_text()))
            }
            Block::List { items, .. } => {
                all.paragraphs.extend(items.iter().map(|item| plain(&item.to_text())))
            }
            Block::Table(table) => {
                let heads = table.columns().iter().map(|column| plain(&column.label)).collect();
                let rows =
                    table.rows().iter().map(|row| row.iter().map(|cell| plain(&cell.to_text())).collect());
                all.tables.push(std::iter::once(heads).chain(rows).collect());
            }
            Block::Facts(facts) => all.tables.push(
                facts.iter().map(|fact| vec![plain(&fact.label), plain(&fact.value.to_text())]).collect(),
            ),
            Block::Figure(figure) => all.drawings.push(plain(&figure.description)),
            Block::Details { summary, blocks } => {
                all.paragraphs.push(plain(summary));
                said(blocks, all);
            }
            Block::Missing(_) | Block::Markdown(_) => {}
            #[allow(unreachable_patterns, reason = "a block that is new is read by its own test")]
            _ => {}
        }
    }
}
