//! A container that somebody sent: opened within bounds, and only where it names what a presentation has.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read as _};

use resvg::usvg::roxmltree::{Document, ParsingOptions};
use zip::ZipArchive;

use super::Refused;

/// The most parts, the most bytes of a part of XML and of any part, and the most that are unpacked in all.
const PARTS: usize = 3_000;
const XML: u64 = 4 * 1024 * 1024;
const PART: u64 = 12 * 1024 * 1024;
const ALL: u64 = 48 * 1024 * 1024;
/// The most elements of a part.
const NODES: u32 = 200_000;

const PACKAGE_RELATIONS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";

/// A file that begins as the old formats do, and as one that a password seals.
const COMPOUND: [u8; 8] = [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];

/// An archive that was looked over.
pub(super) struct Archive<'b> {
    zip: ZipArchive<Cursor<&'b [u8]>>,
    /// The places of the parts by their names in small letters.
    parts: BTreeMap<String, usize>,
    unpacked: u64,
}

/// A relation of a part, within the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Found {
    pub(super) id: String,
    /// The last word of its type.
    pub(super) kind: String,
    pub(super) part: String,
}

impl<'b> Archive<'b> {
    pub(super) fn open(bytes: &'b [u8]) -> Result<Self, Refused> {
        if bytes.starts_with(&COMPOUND) {
            return Err(Refused::Protected);
        }
        let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|_| Refused::NoPresentation)?;
        if zip.len() > PARTS {
            return Err(Refused::Hostile("it has too many parts"));
        }
        let mut parts = BTreeMap::new();
        let mut declared = 0_u64;
        for place in 0..zip.len() {
            let entry = zip.by_index_raw(place).map_err(|_| Refused::NoPresentation)?;
            if entry.encrypted() {
                return Err(Refused::Protected);
            }
            declared = declared.saturating_add(entry.size());
            let Ok(name) = entry.name() else {
                return Err(Refused::Hostile("a name in it is none"));
            };
            let name = name.into_owned();
            let leads_elsewhere = name.starts_with('/')
                || name.contains(['\\', '\0'])
                || name.split('/').any(|part| part == ".." || part == ".");
            if leads_elsewhere {
                return Err(Refused::Hostile("a name in it leads out of the file"));
            }
            if name.ends_with('/') {
                continue;
            }
            if parts.insert(name.to_lowercase(), place).is_some() {
                return Err(Refused::Hostile("two of its parts have one name"));
            }
        }
        // A presentation with films may say more than we would unpack; what we need of it is little.
        if declared > 100 * ALL {
            return Err(Refused::Hostile("it would unpack to more than it may"));
        }
        Ok(Self { zip, parts, unpacked: 0 })
    }

    pub(super) fn holds(&self, part: &str) -> bool {
        self.parts.contains_key(&part.to_lowercase())
    }

    /// The bytes of a part; none where it is not there.
    pub(super) fn bytes(&mut self, part: &str) -> Result<Option<Vec<u8>>, Refused> {
        self.read(part, PART)
    }

    fn read(&mut self, part: &str, most: u64) -> Result<Option<Vec<u8>>, Refused> {
        let Some(&place) = self.parts.get(&part.to_lowercase()) else { return Ok(None) };
        let damaged = || Refused::Damaged(format!("its part {} cannot be unpacked", short(part)));
        let entry = self.zip.by_index(place).map_err(|_| damaged())?;
        let mut bytes = Vec::new();
        // What an entry says of its size is its own word: what comes out is counted.
        entry.take(most + 1).read_to_end(&mut bytes).map_err(|_| damaged())?;
        let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        self.unpacked = self.unpacked.saturating_add(length);
        if length > most || self.unpacked > ALL {
            return Err(Refused::Hostile("it unpacks to more than it may"));
        }
        Ok(Some(bytes))
    }

    /// A part as text of XML.
    pub(super) fn xml(&mut self, part: &str) -> Result<Option<String>, Refused> {
        let Some(bytes) = self.read(part, XML)? else { return Ok(None) };
        let text = String::from_utf8(bytes)
            .map_err(|_| Refused::Damaged(format!("its part {} is no text", short(part))))?;
        Ok(Some(text.strip_prefix('\u{FEFF}').map(ToOwned::to_owned).unwrap_or(text)))
    }

    /// The relations of a part within the file, those of the whole file for the empty name; what leads out
    /// of it is not among them.
    pub(super) fn relations(&mut self, part: &str) -> Result<Vec<Found>, Refused> {
        let (folder, name) = part.rsplit_once('/').unwrap_or(("", part));
        let place = if folder.is_empty() {
            format!("_rels/{name}.rels")
        } else {
            format!("{folder}/_rels/{name}.rels")
        };
        let Some(text) = self.xml(&place)? else { return Ok(Vec::new()) };
        let tree = parse(&text, &place)?;
        let mut seen = BTreeSet::new();
        let found = tree
            .root_element()
            .children()
            .filter(|node| node.has_tag_name((PACKAGE_RELATIONS, "Relationship")))
            .filter(|node| node.attribute("TargetMode") != Some("External"))
            .filter_map(|node| {
                let id = node.attribute("Id")?.to_owned();
                let kind = node.attribute("Type")?.rsplit('/').next()?.to_owned();
                let part = resolve(folder, node.attribute("Target")?)?;
                seen.insert(id.clone()).then_some(Found { id, kind, part })
            })
            .collect();
        Ok(found)
    }
}

/// XML, without a document type and within bounds.
pub(super) fn parse<'t>(text: &'t str, part: &str) -> Result<Document<'t>, Refused> {
    let options = ParsingOptions { allow_dtd: false, nodes_limit: NODES, ..ParsingOptions::default() };
    Document::parse_with_options(text, options)
        .map_err(|_| Refused::Damaged(format!("its part {} cannot be read", short(part))))
}

/// The name of a part as a sentence bears it.
fn short(part: &str) -> String {
    let name: String = part.chars().filter(|c| c.is_ascii_graphic()).take(60).collect();
    format!("“{name}”")
}

/// The name of a part that a target leads to from a folder; none where it leads out of the file.
fn resolve(folder: &str, target: &str) -> Option<String> {
    if target.contains(['\\', ':', '\0']) {
        return None;
    }
    let mut way: Vec<&str> = if target.starts_with('/') { Vec::new() } else { folder.split('/').collect() };
    for step in target.split('/') {
        match step {
            "" | "." => {}
            ".." => {
                way.pop()?;
            }
            step => way.push(step),
        }
    }
    way.retain(|step| !step.is_empty());
    (!way.is_empty()).then(|| way.join("/"))
}

#[cfg(test)]
mod tests {
    use super::resolve;

    #[test]
    fn a_target_stays_within_the_file() {
        assert_eq!(
            resolve("ppt/slideMasters", "../theme/theme1.xml").as_deref(),
            Some("ppt/theme/theme1.xml")
        );
        assert_eq!(resolve("ppt", "/ppt/media/a.png").as_deref(), Some("ppt/media/a.png"));
        assert_eq!(resolve("", "ppt/presentation.xml").as_deref(), Some("ppt/presentation.xml"));
        for bad in ["../../../etc/passwd", "file:///etc/passwd", "..\\..\\x", "http://example.org/x"] {
            assert_eq!(resolve("ppt/slideMasters", bad), None, "{bad}");
        }
    }
}
