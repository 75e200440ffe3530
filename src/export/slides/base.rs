//! What a deck is built on: a master with its layouts, theme and pictures.

use std::sync::LazyLock;

use super::look::Looks;
use crate::export::office::package::{Package, Part, Relation};

/// The part that holds the master.
pub(super) const MASTER: &str = "ppt/slideMasters/slideMaster1.xml";
/// The part that holds the theme of the master.
pub(super) const THEME: &str = "ppt/theme/theme1.xml";
/// The media types of the parts.
pub(super) const MASTER_TYPE: &str =
    "application/vnd.openxmlformats-officedocument.presentationml.slideMaster+xml";
pub(super) const LAYOUT_TYPE: &str =
    "application/vnd.openxmlformats-officedocument.presentationml.slideLayout+xml";
pub(in crate::export) const THEME_TYPE: &str = "application/vnd.openxmlformats-officedocument.theme+xml";

/// A master with its layouts, theme and pictures, and how large what stands on them is.
#[derive(Debug, Clone, PartialEq)]
pub struct Base {
    parts: Package,
    looks: Looks,
}

impl Base {
    /// A base of parts that were looked at; the master names its layouts in their order.
    pub(super) const fn new(parts: Package, looks: Looks) -> Self {
        Self { parts, looks }
    }

    /// Our own: paper, ink and teal.
    #[must_use]
    pub fn ours() -> &'static Self {
        &OURS
    }

    /// The master, the layouts, the theme, and the pictures that they show.
    pub(super) const fn parts(&self) -> &Package {
        &self.parts
    }

    pub(super) const fn looks(&self) -> &Looks {
        &self.looks
    }
}

/// Our theme: paper, ink and teal.
pub(in crate::export) const THEME_XML: &str = include_str!("base/theme.xml");

/// The part that holds the layout of this number, from 1.
pub(super) fn layout_name(number: usize) -> String {
    format!("ppt/slideLayouts/slideLayout{number}.xml")
}

const LAYOUTS: [&str; 7] = [
    include_str!("base/layout-opening.xml"),
    include_str!("base/layout-content.xml"),
    include_str!("base/layout-question.xml"),
    include_str!("base/layout-figure.xml"),
    include_str!("base/layout-figure-text.xml"),
    include_str!("base/layout-table.xml"),
    include_str!("base/layout-title-only.xml"),
];

/// Points of our slides: 16:9, 13⅓ by 7½ inches.
const SIZE: (f64, f64) = (960.0, 540.0);

static OURS: LazyLock<Base> = LazyLock::new(|| {
    let mut parts = Package::new();
    let mut relations = Vec::new();
    for (number, layout) in (1..).zip(LAYOUTS) {
        let to_master = vec![Relation::to(1, "slideMaster", MASTER)];
        parts.add(layout_name(number), LAYOUT_TYPE, layout, to_master);
        relations.push(Relation::to(number, "slideLayout", layout_name(number)));
    }
    relations.push(Relation::to(LAYOUTS.len() + 1, "theme", THEME));
    parts.add(MASTER, MASTER_TYPE, include_str!("base/master.xml"), relations);
    parts.add(THEME, THEME_TYPE, THEME_XML, Vec::new());
    let looks = Looks::read(SIZE, include_str!("base/master.xml"), &LAYOUTS);
    #[expect(clippy::expect_used, reason = "they are constants, and a test reads them")]
    let looks = looks.expect("our own master and layouts can be read").ours();
    Base::new(parts, looks)
});

/// A part of ours that no template replaces.
pub(super) fn notes_master() -> Part {
    Part {
        media_type: "application/vnd.openxmlformats-officedocument.presentationml.notesMaster+xml".to_owned(),
        bytes: include_bytes!("base/notes-master.xml").to_vec(),
        relations: vec![Relation::to(1, "theme", "ppt/theme/theme2.xml")],
    }
}

/// The theme of the notes.
pub(super) fn notes_theme() -> Part {
    Part { media_type: THEME_TYPE.to_owned(), bytes: THEME_XML.into(), relations: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::slides::look::Want;

    #[test]
    fn each_of_our_layouts_is_found_and_has_what_it_is_for() {
        let looks = Base::ours().looks();
        for (want, name) in [
            (Want::Opening, "Opening"),
            (Want::Text, "Title and content"),
            (Want::Question, "Question"),
            (Want::Figure, "Figure"),
            (Want::FigureAndText, "Figure and text"),
            (Want::Table, "Table"),
            (Want::TitleOnly, "Title only"),
        ] {
            let layout = looks.layout(want);
            assert_eq!(layout.name, name);
            assert!(
                layout.title().is_some() && layout.footer().is_some() && layout.number().is_some(),
                "{name}"
            );
            assert!(layout.part().is_some_and(|part| (part.text.size - 18.0).abs() < 0.1), "{name}");
        }
    }

    #[test]
    fn body_text_is_of_24_points() {
        let body = Base::ours().looks().layout(Want::Text).body().unwrap();
        assert!(
            (body.text.size - 24.0).abs() < 0.1 && (body.text.line_height(24.0) - 29.0).abs() < 0.1,
            "{body:?}"
        );
        assert!((body.place.width - 864.0).abs() < 0.1 && (body.place.height - 336.0).abs() < 0.1);
    }
}
