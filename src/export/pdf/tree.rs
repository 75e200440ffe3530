//! Items as lists in lists, as a reader of tags expects them.

use serde_json::{Value, json};

use super::content::runs;
use crate::export::office::text::{Item, Paragraph, Role, Run, words};
use crate::export::office::xml::is_right_to_left;

/// A list, or what stands between lists.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node<'a> {
    /// A paragraph.
    Paragraph(&'a Paragraph),
    /// A list.
    List(List<'a>),
}

/// A list.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct List<'a> {
    depth: u8,
    /// Which list of the document it is, so that two that touch stay two.
    list: usize,
    /// The number of its first item; none in a list with bullets.
    start: Option<u32>,
    items: Vec<Vec<Node<'a>>>,
}

/// Paragraphs, with the items among them as lists.
pub(super) fn nodes(paragraphs: &[Paragraph]) -> Vec<Node<'_>> {
    let mut nodes = Vec::new();
    for paragraph in paragraphs {
        add(&mut nodes, paragraph);
    }
    nodes
}

fn add<'a>(nodes: &mut Vec<Node<'a>>, paragraph: &'a Paragraph) {
    match paragraph.role {
        Role::Item(item) => add_item(nodes, item, paragraph),
        Role::InItem(depth) => match last_item(nodes, depth) {
            Some(item) => item.push(Node::Paragraph(paragraph)),
            None => nodes.push(Node::Paragraph(paragraph)),
        },
        _ => nodes.push(Node::Paragraph(paragraph)),
    }
}

fn add_item<'a>(nodes: &mut Vec<Node<'a>>, item: Item, paragraph: &'a Paragraph) {
    let first = vec![Node::Paragraph(paragraph)];
    match nodes.last_mut() {
        Some(Node::List(list)) if list.depth < item.depth => {
            if let Some(last) = list.items.last_mut() {
                add_item(last, item, paragraph);
            }
        }
        Some(Node::List(list)) if list.depth == item.depth && list.list == item.list => {
            list.items.push(first);
        }
        _ => nodes.push(Node::List(List {
            depth: item.depth,
            list: item.list,
            start: item.number,
            items: vec![first],
        })),
    }
}

/// What stands in the last item of this depth.
fn last_item<'n, 'a>(nodes: &'n mut Vec<Node<'a>>, depth: u8) -> Option<&'n mut Vec<Node<'a>>> {
    let Some(Node::List(list)) = nodes.last_mut() else { return None };
    let own = list.depth;
    let last = list.items.last_mut()?;
    if own >= depth { Some(last) } else { last_item(last, depth) }
}

impl Node<'_> {
    /// As data for the sheets, its lines so many points wide at a size.
    pub(super) fn data(&self, width: f64, size: f64) -> Value {
        match self {
            Self::Paragraph(paragraph) => text(role(paragraph.role), &paragraph.runs, width, size),
            Self::List(list) => json!({
                "kind": "list",
                "start": list.start,
                "items": list
                    .items
                    .iter()
                    .map(|item| item.iter().map(|node| node.data(width * 0.8, size)).collect::<Vec<_>>())
                    .collect::<Vec<_>>(),
            }),
        }
    }
}

fn text(role: &str, of: &[Run], width: f64, size: f64) -> Value {
    json!({ "kind": role, "rtl": is_right_to_left(&words(of)), "runs": runs(of, width, size) })
}

const fn role(role: Role) -> &'static str {
    match role {
        Role::Heading(_) => "heading",
        Role::Body | Role::Item(_) | Role::InItem(_) => "body",
        Role::Quote => "quote",
        Role::Note => "note",
        Role::Caution => "caution",
        Role::Caption => "caption",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Block;
    use crate::export::office::text::{Piece, pieces};

    /// The lists of a text in Markdown, each item in brackets.
    fn shape(markdown: &str) -> String {
        fn write(nodes: &[Node<'_>]) -> String {
            nodes
                .iter()
                .map(|node| match node {
                    Node::Paragraph(paragraph) => words(&paragraph.runs),
                    Node::List(list) => {
                        let items: String =
                            list.items.iter().map(|item| format!("[{}]", write(item))).collect();
                        format!("{}({items})", list.start.map_or("•".to_owned(), |start| start.to_string()))
                    }
                })
                .collect()
        }
        let blocks = [Block::Markdown(markdown.to_owned())];
        let paragraphs: Vec<Paragraph> = pieces(&blocks)
            .into_iter()
            .filter_map(|piece| match piece {
                Piece::Paragraph(paragraph) => Some(paragraph),
                _ => None,
            })
            .collect();
        write(&nodes(&paragraphs))
    }

    #[test]
    fn items_are_lists_in_lists() {
        assert_eq!(shape("- a\n- b\n\nc"), "•([a][b])c");
        assert_eq!(shape("3. a\n   - b\n   - c\n4. d"), "3([a•([b][c])][d])");
        assert_eq!(shape("- a\n\n  b\n\n- c"), "•([ab][c])");
    }

    #[test]
    fn two_lists_that_touch_stay_two() {
        assert_eq!(shape("- a\n\n1. b"), "•([a])1([b])");
    }
}
