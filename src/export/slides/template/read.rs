//! What of an archive becomes a base.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::super::look::{EMU, SLIDES};
use super::archive::{Archive, Found, parse};
use super::filter::{Filtered, Pictures, filter};
use super::{Cleaned, Parts, Refused};
use crate::export::office::package::RELATION;
use crate::picture::bare::{Bare, bare};

/// The most layouts and pictures that are taken over.
const LAYOUTS: usize = 60;
const PICTURES: usize = 80;
/// The smallest slide, in points: 16 by 12 centimetres.
const SMALLEST: (f64, f64) = (453.0, 340.0);

const MAIN_TYPES: [&str; 2] = [
    "application/vnd.openxmlformats-officedocument.presentationml.presentation.main+xml",
    "application/vnd.openxmlformats-officedocument.presentationml.template.main+xml",
];

pub(super) fn read(archive: &mut Archive<'_>) -> Result<Cleaned, Refused> {
    let main = main_part(archive)?;
    let main_text = needed(archive, &main)?;
    let tree = parse(&main_text, &main)?;
    let size = slide_size(tree.root_element())?;
    let master_id = tree
        .descendants()
        .find(|node| node.has_tag_name((SLIDES, "sldMasterId")))
        .and_then(|node| node.attribute((RELATION, "id")))
        .ok_or_else(|| damaged("it has no master"))?;
    let master = archive
        .relations(&main)?
        .into_iter()
        .find(|found| found.id == master_id && found.kind == "slideMaster")
        .ok_or_else(|| damaged("its master is not there"))?
        .part;
    let mut reader = Reader { archive, pictures: BTreeMap::new(), taken: Vec::new(), foreign: 0 };
    let parts = reader.parts(&master, size)?;
    let lost =
        parts.master.lost + parts.theme.lost + parts.layouts.iter().map(|layout| layout.lost).sum::<usize>();
    let left_out = match lost {
        0 => Vec::new(),
        1 => {
            vec![
                "One picture or object that could not be taken over: only whole PNG, JPEG and GIF files are."
                    .to_owned(),
            ]
        }
        some => vec![format!(
            "{some} pictures or objects that could not be taken over: only whole PNG, JPEG and GIF files are."
        )],
    };
    Ok(Cleaned { base: parts.into_base()?, left_out })
}

fn damaged(why: &str) -> Refused {
    Refused::Damaged(why.to_owned())
}

fn needed(archive: &mut Archive<'_>, part: &str) -> Result<String, Refused> {
    archive.xml(part)?.ok_or_else(|| damaged("a part that it names is not there"))
}

/// The part that the file says is a presentation, of a kind without macros.
fn main_part(archive: &mut Archive<'_>) -> Result<String, Refused> {
    let types = archive.xml("[Content_Types].xml")?.ok_or(Refused::NoPresentation)?;
    let types = parse(&types, "[Content_Types].xml").map_err(|_| Refused::NoPresentation)?;
    let main = archive
        .relations("")?
        .into_iter()
        .find(|found| found.kind == "officeDocument")
        .map(|found| found.part);
    let main = main.ok_or(Refused::NoPresentation)?;
    let of_part = types.descendants().find(|node| {
        node.attribute("PartName")
            .is_some_and(|name| name.trim_start_matches('/').eq_ignore_ascii_case(&main))
    });
    match of_part.and_then(|node| node.attribute("ContentType")) {
        Some(kind) if MAIN_TYPES.contains(&kind) => {}
        Some(kind) if kind.contains("macroEnabled") => return Err(Refused::Macros),
        _ => return Err(Refused::NoPresentation),
    }
    if archive.holds("ppt/vbaProject.bin") {
        return Err(Refused::Macros);
    }
    Ok(main)
}

fn slide_size(root: resvg::usvg::roxmltree::Node<'_, '_>) -> Result<(f64, f64), Refused> {
    let size = root.descendants().find(|node| node.has_tag_name((SLIDES, "sldSz")));
    let number = |name: &str| size?.attribute(name)?.parse::<f64>().ok().map(|emu| emu / EMU);
    let (Some(width), Some(height)) = (number("cx"), number("cy")) else {
        return Err(damaged("it does not say how large its slides are"));
    };
    // The largest that the format has is 56 inches (ECMA-376-1, 19.7.14).
    if width < SMALLEST.0 || height < SMALLEST.1 {
        return Err(Refused::TooSmall);
    }
    if width > 4_032.0 || height > 4_032.0 {
        return Err(damaged("its slides are larger than the format allows"));
    }
    Ok((width, height))
}

struct Reader<'a, 'b> {
    archive: &'a mut Archive<'b>,
    /// Pictures that are taken over: their new names by their old ones.
    pictures: BTreeMap<String, String>,
    taken: Vec<(String, &'static str, Vec<u8>)>,
    foreign: usize,
}

impl Reader<'_, '_> {
    fn parts(&mut self, master: &str, size: (f64, f64)) -> Result<Parts, Refused> {
        let relations = self.archive.relations(master)?;
        let text = needed(self.archive, master)?;
        let tree = parse(&text, master)?;
        if !tree.root_element().has_tag_name((SLIDES, "sldMaster")) {
            return Err(damaged("its master is none"));
        }
        // In the order that the master gives them.
        let named: Vec<String> = tree
            .descendants()
            .filter(|node| node.has_tag_name((SLIDES, "sldLayoutId")))
            .filter_map(|node| node.attribute((RELATION, "id")))
            .filter_map(|id| relations.iter().find(|found| found.id == id && found.kind == "slideLayout"))
            .map(|found| found.part.clone())
            .take(LAYOUTS)
            .collect();
        let mut layouts: Vec<Filtered> = Vec::new();
        for part in &named {
            let relations = self.archive.relations(part)?;
            let text = needed(self.archive, part)?;
            let tree = parse(&text, part)?;
            if !tree.root_element().has_tag_name((SLIDES, "sldLayout")) {
                return Err(damaged("a layout of it is none"));
            }
            let pictures = self.pictures_of(&relations)?;
            layouts.push(filter(tree.root_element(), &pictures, 2, None)?);
        }
        let theme_part = relations
            .iter()
            .find(|found| found.kind == "theme")
            .map(|found| found.part.clone())
            .ok_or_else(|| damaged("its master has no theme"))?;
        let of_theme = self.archive.relations(&theme_part)?;
        let theme_text = needed(self.archive, &theme_part)?;
        let theme_tree = parse(&theme_text, &theme_part)?;
        let pictures = self.pictures_of(&of_theme)?;
        let theme = filter(theme_tree.root_element(), &pictures, 1, None)?;
        let mut list = "<p:sldLayoutIdLst>".to_owned();
        for number in 1..=layouts.len() {
            let _ = write!(
                list,
                "<p:sldLayoutId id=\"{}\" r:id=\"rId{number}\"/>",
                2_147_483_648_u64 + number as u64
            );
        }
        list.push_str("</p:sldLayoutIdLst>");
        let pictures = self.pictures_of(&relations)?;
        let first = layouts.len() + 2;
        let mut master = filter(tree.root_element(), &pictures, first, Some(("clrMap", &list)))?;
        master.lost += self.foreign;
        Ok(Parts { size, master, layouts, theme, pictures: std::mem::take(&mut self.taken) })
    }

    /// The pictures that relations lead to and that can be taken over, under their new names.
    fn pictures_of(&mut self, relations: &[Found]) -> Result<Pictures, Refused> {
        let mut named = Pictures::new();
        for found in relations.iter().filter(|found| found.kind == "image") {
            if let Some(name) = self.pictures.get(&found.part) {
                named.insert(found.id.clone(), name.clone());
                continue;
            }
            let Some(bytes) = self.archive.bytes(&found.part)? else { continue };
            // Who made it, where and with what stays behind: else it would stand in every deck.
            let Some(Bare { ending, media_type, bytes }) = bare(&bytes) else { continue };
            if self.taken.len() >= PICTURES {
                self.foreign += 1;
                continue;
            }
            let name = format!("ppt/media/template{}.{ending}", self.taken.len() + 1);
            self.pictures.insert(found.part.clone(), name.clone());
            self.taken.push((name.clone(), media_type, bytes));
            named.insert(found.id.clone(), name);
        }
        Ok(named)
    }
}
