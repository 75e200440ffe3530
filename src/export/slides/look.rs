//! Where things stand on a slide and how large its text is, read from a master and its layouts
//! (ECMA-376-1, 19.3.1.36 and 21.1.2). All lengths are points.

use resvg::usvg::roxmltree::{Document, Node};

/// Units of the format in a point.
pub(in crate::export) const EMU: f64 = 12_700.0;

/// The namespaces.
pub(in crate::export) const DRAWING: &str = "http://schemas.openxmlformats.org/drawingml/2006/main";
pub(in crate::export) const SLIDES: &str = "http://schemas.openxmlformats.org/presentationml/2006/main";

/// A rectangle on a slide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::export) struct Place {
    pub(in crate::export) x: f64,
    pub(in crate::export) y: f64,
    pub(in crate::export) width: f64,
    pub(in crate::export) height: f64,
}

impl Place {
    pub(in crate::export) fn bottom(&self) -> f64 {
        self.y + self.height
    }
}

/// How text of a placeholder looks at its first level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::export) struct TextLook {
    pub(in crate::export) size: f64,
    pub(in crate::export) line: Line,
    /// The space before a paragraph.
    pub(in crate::export) before: f64,
    /// Whether a paragraph has a bullet by itself.
    pub(in crate::export) bullets: bool,
    /// How far the text of an item stands in.
    pub(in crate::export) indent: f64,
    pub(in crate::export) bold: bool,
}

/// How high a line is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::export) enum Line {
    /// So many points.
    Exactly(f64),
    /// So many times what the font takes.
    Times(f64),
}

/// The most that a font in common use takes for a line, as a share of its size.
const TALLEST: f64 = 1.3;

impl TextLook {
    /// How high a line of text of this size is.
    pub(in crate::export) fn line_height(&self, size: f64) -> f64 {
        match self.line {
            Line::Exactly(points) => points * size / self.size,
            Line::Times(times) => size * TALLEST * times.max(0.8),
        }
    }
}

/// A placeholder of a layout.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) struct Slot {
    /// Its `type`; none for any content.
    pub(in crate::export) kind: Option<String>,
    pub(in crate::export) index: Option<String>,
    pub(in crate::export) name: String,
    /// What is left for text within its margins.
    pub(in crate::export) place: Place,
    pub(in crate::export) text: TextLook,
}

impl Slot {
    fn is(&self, kinds: &[&str]) -> bool {
        kinds.contains(&self.kind.as_deref().unwrap_or("obj"))
    }
}

/// A layout.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) struct LayoutLook {
    /// Its number, from 1.
    pub(in crate::export) number: usize,
    /// Its type as the format names it; `cust` where it has none.
    pub(in crate::export) kind: String,
    pub(in crate::export) name: String,
    pub(in crate::export) slots: Vec<Slot>,
}

impl LayoutLook {
    fn find(&self, kinds: &[&str]) -> Option<&Slot> {
        self.slots.iter().find(|slot| slot.is(kinds))
    }

    pub(in crate::export) fn title(&self) -> Option<&Slot> {
        self.find(&["title", "ctrTitle"])
    }

    /// The largest place for text: not our small one for the part.
    pub(in crate::export) fn body(&self) -> Option<&Slot> {
        let area = |slot: &&Slot| slot.place.width * slot.place.height;
        self.slots
            .iter()
            .filter(|slot| slot.is(&["body", "obj", "subTitle"]) && slot.name != PART)
            .max_by(|one, other| area(one).total_cmp(&area(other)))
    }

    pub(in crate::export) fn picture(&self) -> Option<&Slot> {
        self.find(&["pic"])
    }

    pub(in crate::export) fn table(&self) -> Option<&Slot> {
        self.find(&["tbl"])
    }

    pub(in crate::export) fn footer(&self) -> Option<&Slot> {
        self.find(&["ftr"])
    }

    pub(in crate::export) fn number(&self) -> Option<&Slot> {
        self.find(&["sldNum"])
    }

    /// The place for the part of the deck, small above the title; ours have it.
    pub(in crate::export) fn part(&self) -> Option<&Slot> {
        self.slots.iter().find(|slot| slot.name == PART && slot.is(&["body"]))
    }
}

/// The name of the placeholder for the part of the deck.
const PART: &str = "Part";

/// What a page wants of a layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::export) enum Want {
    Opening,
    Text,
    Question,
    Figure,
    FigureAndText,
    Table,
    TitleOnly,
}

/// A master with its layouts, as far as laying out needs it.
#[derive(Debug, Clone, PartialEq)]
pub struct Looks {
    pub(in crate::export) size: (f64, f64),
    layouts: Vec<LayoutLook>,
    /// The place of the layout for text.
    text: usize,
    /// Whether it is our own: its colours are known.
    pub(in crate::export) is_ours: bool,
}

/// Why a master and its layouts cannot be built on.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LookError {
    /// A part is no XML.
    #[error("a part of it is no XML that can be read")]
    Unreadable,
    /// There is nothing to write on.
    #[error("none of its layouts has both a title and a text")]
    NoText,
}

impl Looks {
    /// Reads a master and its layouts, in their order.
    pub(in crate::export) fn read(
        size: (f64, f64),
        master: &str,
        layouts: &[&str],
    ) -> Result<Self, LookError> {
        let master = Document::parse(master).map_err(|_| LookError::Unreadable)?;
        let layouts = (1..)
            .zip(layouts)
            .map(|(number, layout)| {
                let layout = Document::parse(layout).map_err(|_| LookError::Unreadable)?;
                Ok(layout_look(number, master.root_element(), layout.root_element()))
            })
            .collect::<Result<Vec<_>, LookError>>()?;
        let text = text_layout(&layouts).ok_or(LookError::NoText)?;
        Ok(Self { size, layouts, text, is_ours: false })
    }

    pub(in crate::export) fn ours(self) -> Self {
        Self { is_ours: true, ..self }
    }

    fn by_kind(&self, kind: &str) -> Option<&LayoutLook> {
        self.layouts.iter().find(|layout| layout.kind == kind && layout.title().is_some())
    }

    fn by_name(&self, name: &str) -> Option<&LayoutLook> {
        self.layouts.iter().find(|layout| layout.name == name && layout.title().is_some())
    }

    /// The layout that serves best: by its name where it is made for it, by its type, else the one for
    /// text, whose place for text is then left out.
    pub(in crate::export) fn layout(&self, want: Want) -> &LayoutLook {
        let text = &self.layouts[self.text];
        match want {
            Want::Opening => self.by_kind("title").filter(|layout| layout.body().is_some()),
            Want::Text => None,
            Want::Question => self.by_name("Question").filter(|layout| layout.body().is_some()),
            Want::Figure => self.by_name("Figure").or_else(|| self.by_kind("titleOnly")),
            Want::FigureAndText => self.by_name("Figure and text").filter(|layout| layout.body().is_some()),
            Want::Table => self.by_kind("tbl").or_else(|| self.by_kind("titleOnly")),
            Want::TitleOnly => self.by_kind("titleOnly"),
        }
        .unwrap_or(text)
    }
}

/// The layout for text: of a title and any content, of a title and text, else one with a title and the
/// largest place for text.
fn text_layout(layouts: &[LayoutLook]) -> Option<usize> {
    let usable = |layout: &&LayoutLook| {
        layout.title().is_some()
            && layout.body().is_some_and(|body| body.place.width > 200.0 && body.place.height > 120.0)
    };
    let of_kind = |kind: &str| layouts.iter().filter(usable).find(|layout| layout.kind == kind);
    let area = |layout: &&LayoutLook| layout.body().map_or(0.0, |body| body.place.width * body.place.height);
    of_kind("obj")
        .or_else(|| of_kind("tx"))
        .or_else(|| {
            layouts
                .iter()
                .filter(usable)
                .filter(|l| l.kind != "title")
                .max_by(|a, b| area(a).total_cmp(&area(b)))
        })
        .map(|layout| layout.number - 1)
}

fn layout_look(number: usize, master: Node<'_, '_>, layout: Node<'_, '_>) -> LayoutLook {
    let slots = placeholders(layout).filter_map(|(shape, holder)| slot(master, shape, holder)).collect();
    LayoutLook {
        number,
        kind: layout.attribute("type").unwrap_or("cust").to_owned(),
        name: child(layout, SLIDES, "cSld").and_then(|c| c.attribute("name")).unwrap_or_default().to_owned(),
        slots,
    }
}

/// The shapes of a master or a layout that are placeholders, with what says so.
fn placeholders<'a, 'i>(root: Node<'a, 'i>) -> impl Iterator<Item = (Node<'a, 'i>, Node<'a, 'i>)> {
    root.descendants().filter(|node| node.has_tag_name((SLIDES, "sp"))).filter_map(|shape| {
        Some((shape, shape.descendants().find(|node| node.has_tag_name((SLIDES, "ph")))?))
    })
}

fn slot(master: Node<'_, '_>, shape: Node<'_, '_>, holder: Node<'_, '_>) -> Option<Slot> {
    let kind = holder.attribute("type");
    // What a placeholder takes over from the master (ECMA-376-1, 19.7.10).
    let parent_kind = match kind {
        Some("title" | "ctrTitle") => "title",
        Some(own @ ("dt" | "ftr" | "sldNum")) => own,
        _ => "body",
    };
    let parent = placeholders(master)
        .find(|(_, holder)| holder.attribute("type").unwrap_or("obj") == parent_kind)
        .map(|(shape, _)| shape);
    let frame = rectangle(shape).or_else(|| parent.and_then(rectangle))?;
    let inset = |name: &str, usual: f64| {
        [Some(shape), parent]
            .into_iter()
            .flatten()
            .find_map(|shape| descend(shape, &["txBody", "bodyPr"])?.attribute(name)?.parse::<f64>().ok())
            .map_or(usual, |emu| emu / EMU)
    };
    let (left, right, top, bottom) =
        (inset("lIns", 7.2), inset("rIns", 7.2), inset("tIns", 3.6), inset("bIns", 3.6));
    Some(Slot {
        kind: kind.map(ToOwned::to_owned),
        index: holder.attribute("idx").map(ToOwned::to_owned),
        name: descend(shape, &["nvSpPr", "cNvPr"])
            .and_then(|n| n.attribute("name"))
            .unwrap_or_default()
            .to_owned(),
        place: Place {
            x: frame.x + left,
            y: frame.y + top,
            width: (frame.width - left - right).max(1.0),
            height: (frame.height - top - bottom).max(1.0),
        },
        text: text_look(&levels(master, shape, parent, parent_kind)),
    })
}

/// What says how the first level looks, the nearest first.
fn levels<'a, 'i>(
    master: Node<'a, 'i>,
    shape: Node<'a, 'i>,
    parent: Option<Node<'a, 'i>>,
    kind: &str,
) -> Vec<Node<'a, 'i>> {
    let style = match kind {
        "title" => "titleStyle",
        "body" => "bodyStyle",
        _ => "otherStyle",
    };
    let own = [Some(shape), parent]
        .into_iter()
        .flatten()
        .filter_map(|shape| descend(shape, &["txBody", "lstStyle"]));
    let of_master = descend(master, &["txStyles", style]);
    own.chain(of_master).filter_map(|list| child(list, DRAWING, "lvl1pPr")).collect()
}

fn text_look(levels: &[Node<'_, '_>]) -> TextLook {
    let run = |name: &str| levels.iter().find_map(|level| child(*level, DRAWING, "defRPr")?.attribute(name));
    let size =
        run("sz").and_then(|size| size.parse::<f64>().ok()).map_or(18.0, |hundredths| hundredths / 100.0);
    let spacing = |name: &str| {
        levels.iter().find_map(|level| {
            let spacing = child(*level, DRAWING, name)?;
            let value = |kind: &str| {
                child(spacing, DRAWING, kind)?.attribute("val")?.trim_end_matches('%').parse::<f64>().ok()
            };
            value("spcPts").map(|points| Line::Exactly(points / 100.0)).or_else(|| {
                value("spcPct")
                    .map(|share| Line::Times(if share > 1_000.0 { share / 100_000.0 } else { share / 100.0 }))
            })
        })
    };
    let before = match spacing("spcBef") {
        Some(Line::Exactly(points)) => points,
        Some(Line::Times(share)) if share < 5.0 => share * size,
        _ => 0.0,
    };
    let mark = levels.iter().find_map(|level| {
        level.children().find(|node| {
            ["buNone", "buChar", "buAutoNum", "buBlip"].iter().any(|name| node.has_tag_name((DRAWING, *name)))
        })
    });
    let margin = levels.iter().find_map(|level| level.attribute("marL")?.parse::<f64>().ok());
    TextLook {
        size,
        line: spacing("lnSpc").unwrap_or(Line::Times(1.0)),
        before,
        bullets: mark.is_some_and(|mark| !mark.has_tag_name((DRAWING, "buNone"))),
        indent: margin.unwrap_or(0.0) / EMU,
        bold: run("b").is_some_and(|bold| matches!(bold, "1" | "true")),
    }
}

fn rectangle(shape: Node<'_, '_>) -> Option<Place> {
    let frame = descend(shape, &["spPr", "xfrm"])?;
    let number = |name: &str, attribute: &str| -> Option<f64> {
        child(frame, DRAWING, name)?.attribute(attribute)?.parse::<f64>().ok().map(|emu| emu / EMU)
    };
    Some(Place {
        x: number("off", "x")?,
        y: number("off", "y")?,
        width: number("ext", "cx")?,
        height: number("ext", "cy")?,
    })
}

/// The element at the end of a way of names, in any namespace of the format.
fn descend<'a, 'i>(node: Node<'a, 'i>, way: &[&str]) -> Option<Node<'a, 'i>> {
    way.iter().try_fold(node, |node, name| {
        node.children().find(|child| child.is_element() && child.tag_name().name() == *name)
    })
}

fn child<'a, 'i>(node: Node<'a, 'i>, space: &str, name: &str) -> Option<Node<'a, 'i>> {
    node.children()
        .find(|child| child.tag_name().name() == name && child.tag_name().namespace() == Some(space))
}
