//! A part written anew: of its elements those of drawing and slides that show something, of its attributes
//! the plain ones, of its relations those to pictures.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use resvg::usvg::roxmltree::Node;

use super::super::look::{DRAWING, SLIDES};
use super::Refused;
use crate::export::office::package::{RELATION, Relation};
use crate::export::office::xml::{DECLARATION, escape};

/// What is left behind though it is of the format: what moves, sounds, leads somewhere or is kept for a program.
const LEFT: [&str; 22] = [
    "extLst",
    "custDataLst",
    "custData",
    "controls",
    "control",
    "oleObj",
    "contentPart",
    "timing",
    "transition",
    "hlinkClick",
    "hlinkHover",
    "hlinkMouseOver",
    "snd",
    "sndAc",
    "audioCd",
    "wavAudioFile",
    "audioFile",
    "videoFile",
    "quickTimeFile",
    "custShowLst",
    "tags",
    "sldLayoutIdLst",
];
/// How deep elements may stand in each other.
const DEEPEST: usize = 80;
const COMPATIBILITY: &str = "http://schemas.openxmlformats.org/markup-compatibility/2006";
/// The one kind of frame that is taken over.
const TABLE: &str = "http://schemas.openxmlformats.org/drawingml/2006/table";

/// A part that was written anew.
#[derive(Debug, Clone, Default)]
pub(super) struct Filtered {
    pub(super) xml: String,
    pub(super) relations: Vec<Relation>,
    /// How many pictures that it shows could not be taken over.
    pub(super) lost: usize,
}

/// The pictures of a part that are taken over: their names by their relations.
pub(super) type Pictures = BTreeMap<String, String>;

/// Writes a part anew. New relations are counted from `first`; after the element `after`, when there is one,
/// stands what is given with it.
pub(super) fn filter(
    root: Node<'_, '_>,
    pictures: &Pictures,
    first: usize,
    after: Option<(&str, &str)>,
) -> Result<Filtered, Refused> {
    let mut writer = Writer { pictures, first, after, filtered: Filtered::default(), used: BTreeMap::new() };
    let mut xml = DECLARATION.to_owned();
    writer.element(root, &mut xml, 0)?;
    writer.filtered.xml = xml;
    Ok(writer.filtered)
}

struct Writer<'a> {
    pictures: &'a Pictures,
    first: usize,
    after: Option<(&'a str, &'a str)>,
    filtered: Filtered,
    /// New relations by the old ones.
    used: BTreeMap<String, String>,
}

impl Writer<'_> {
    fn element(&mut self, node: Node<'_, '_>, xml: &mut String, depth: usize) -> Result<(), Refused> {
        if depth > DEEPEST {
            return Err(Refused::Hostile("its elements stand too deep in each other"));
        }
        if node.tag_name().namespace() == Some(COMPATIBILITY) {
            return self.fallback(node, xml, depth);
        }
        let Some(prefix) = prefix(node) else { return Ok(()) };
        let name = node.tag_name().name();
        if LEFT.contains(&name) || !is_name(name) {
            return Ok(());
        }
        if name == "graphicFrame" && !is_table(node) {
            self.filtered.lost += 1;
            return Ok(());
        }
        // A picture that is not taken over leaves no empty frame.
        if name == "pic" && prefix == "p" && !node.descendants().any(|inner| self.shows(inner)) {
            self.filtered.lost += 1;
            return Ok(());
        }
        let _ = write!(xml, "<{prefix}:{name}");
        if depth == 0 {
            let _ = write!(xml, " xmlns:a=\"{DRAWING}\" xmlns:r=\"{RELATION}\" xmlns:p=\"{SLIDES}\"");
        }
        self.attributes(node, xml);
        let mut inside = String::new();
        for child in node.children() {
            if child.is_text() {
                inside.push_str(&escape(child.text().unwrap_or_default()));
            } else if child.is_element() {
                self.element(child, &mut inside, depth + 1)?;
            }
        }
        if inside.is_empty() {
            xml.push_str("/>");
        } else {
            let _ = write!(xml, ">{inside}</{prefix}:{name}>");
        }
        if let Some((_, told)) = self.after.filter(|(after, _)| depth == 1 && *after == name) {
            xml.push_str(told);
        }
        Ok(())
    }

    /// Of what is written twice, for new and for old programs, the one for old.
    fn fallback(&mut self, node: Node<'_, '_>, xml: &mut String, depth: usize) -> Result<(), Refused> {
        let old = node.children().find(|child| child.has_tag_name((COMPATIBILITY, "Fallback")));
        for child in old.into_iter().flat_map(|old| old.children()).filter(Node::is_element) {
            self.element(child, xml, depth + 1)?;
        }
        Ok(())
    }

    fn attributes(&mut self, node: Node<'_, '_>, xml: &mut String) {
        for attribute in node.attributes() {
            match attribute.namespace() {
                None if is_name(attribute.name()) => {
                    let _ = write!(xml, " {}=\"{}\"", attribute.name(), escape(attribute.value()));
                }
                Some(RELATION) if attribute.name() == "embed" => match self.relation(attribute.value()) {
                    Some(id) => {
                        let _ = write!(xml, " r:embed=\"{id}\"");
                    }
                    None => self.filtered.lost += 1,
                },
                _ => {}
            }
        }
    }

    /// Whether an element shows a picture that is taken over.
    fn shows(&self, node: Node<'_, '_>) -> bool {
        node.has_tag_name((DRAWING, "blip"))
            && node.attribute((RELATION, "embed")).is_some_and(|id| self.pictures.contains_key(id))
    }

    /// The new name of a relation to a picture.
    fn relation(&mut self, old: &str) -> Option<String> {
        if let Some(known) = self.used.get(old) {
            return Some(known.clone());
        }
        let part = self.pictures.get(old)?;
        let number = self.first + self.filtered.relations.len();
        self.filtered.relations.push(Relation::to(number, "image", part));
        let new = format!("rId{number}");
        self.used.insert(old.to_owned(), new.clone());
        Some(new)
    }
}

fn prefix(node: Node<'_, '_>) -> Option<&'static str> {
    match node.tag_name().namespace() {
        Some(DRAWING) => Some("a"),
        Some(SLIDES) => Some("p"),
        _ => None,
    }
}

fn is_name(name: &str) -> bool {
    !name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric())
}

fn is_table(frame: Node<'_, '_>) -> bool {
    frame
        .descendants()
        .any(|node| node.has_tag_name((DRAWING, "graphicData")) && node.attribute("uri") == Some(TABLE))
}
