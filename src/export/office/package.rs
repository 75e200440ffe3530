//! A container of parts (Open Packaging Conventions, ECMA-376-2:2021): a ZIP with the types of its
//! parts and the relations between them.
//!
//! Parts stand in the order of their names after the list of types, and every date is 1 January 1980, so
//! that the same parts are the same bytes.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::xml::{DECLARATION, escape};
use crate::export::format::ExportError;

/// Types of relations begin with this (ECMA-376-1, Annex A).
pub const RELATION: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/// A relation of a part to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Relation {
    /// Its name in the part that has it: `rId1`.
    pub id: String,
    /// Its type, whole.
    pub kind: String,
    /// Where it leads: the name of a part, or an address outside.
    pub target: Target,
}

/// Where a relation leads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// To another part, by its whole name without the first slash: `ppt/theme/theme1.xml`.
    Part(String),
    /// Out of the file: a link that a reader may follow.
    Outside(String),
}

impl Relation {
    /// A relation of this number to another part; the type is the last word of an office relation's.
    #[must_use]
    pub fn to(number: usize, kind: &str, part: impl Into<String>) -> Self {
        Self {
            id: format!("rId{number}"),
            kind: format!("{RELATION}/{kind}"),
            target: Target::Part(part.into()),
        }
    }
}

/// A part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its media type.
    pub media_type: String,
    /// What it holds.
    pub bytes: Vec<u8>,
    /// Its relations.
    pub relations: Vec<Relation>,
}

/// Parts that become one file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Package {
    parts: BTreeMap<String, Part>,
    relations: Vec<Relation>,
}

impl Package {
    /// A package without parts.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a part, or replaces the one of its name.
    pub fn add(
        &mut self,
        name: impl Into<String>,
        media_type: impl Into<String>,
        bytes: impl Into<Vec<u8>>,
        relations: Vec<Relation>,
    ) {
        self.insert(name, Part { media_type: media_type.into(), bytes: bytes.into(), relations });
    }

    /// Adds a part that was made elsewhere.
    pub fn insert(&mut self, name: impl Into<String>, part: Part) {
        self.parts.insert(name.into(), part);
    }

    /// Says that the file has this relation to a part: its main part, its properties.
    pub fn relate(&mut self, relation: Relation) {
        self.relations.push(relation);
    }

    /// The parts by their names.
    #[must_use]
    pub const fn parts(&self) -> &BTreeMap<String, Part> {
        &self.parts
    }

    /// Properties of a file that name nobody: what it is called, in which language, and fixed dates.
    pub fn describe(&mut self, title: &str, language: &str) {
        let core = format!(
            "{DECLARATION}<cp:coreProperties xmlns:cp=\"http://schemas.openxmlformats.org/package/2006/metadata/core-properties\" \
             xmlns:dc=\"http://purl.org/dc/elements/1.1/\" xmlns:dcterms=\"http://purl.org/dc/terms/\" \
             xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\">\
             <dc:title>{}</dc:title><dc:creator></dc:creator><dc:language>{language}</dc:language>\
             <dcterms:created xsi:type=\"dcterms:W3CDTF\">1980-01-01T00:00:00Z</dcterms:created>\
             <dcterms:modified xsi:type=\"dcterms:W3CDTF\">1980-01-01T00:00:00Z</dcterms:modified></cp:coreProperties>",
            escape(title)
        );
        let app = format!(
            "{DECLARATION}<Properties xmlns=\"http://schemas.openxmlformats.org/officeDocument/2006/extended-properties\">\
             <Application>Relook</Application></Properties>"
        );
        self.add(
            "docProps/core.xml",
            "application/vnd.openxmlformats-package.core-properties+xml",
            core,
            Vec::new(),
        );
        self.add(
            "docProps/app.xml",
            "application/vnd.openxmlformats-officedocument.extended-properties+xml",
            app,
            Vec::new(),
        );
        let number = self.relations.len() + 1;
        self.relate(Relation {
            id: format!("rId{number}"),
            kind: "http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties"
                .to_owned(),
            target: Target::Part("docProps/core.xml".to_owned()),
        });
        self.relate(Relation::to(number + 1, "extended-properties", "docProps/app.xml"));
    }

    /// The file.
    ///
    /// # Errors
    /// When a part cannot be packed, which is a fault of ours.
    pub fn into_bytes(self) -> Result<Vec<u8>, ExportError> {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        write(&mut zip, "[Content_Types].xml", self.content_types().as_bytes())?;
        write(&mut zip, "_rels/.rels", relations_xml("", &self.relations).as_bytes())?;
        for (name, part) in &self.parts {
            write(&mut zip, name, &part.bytes)?;
            if !part.relations.is_empty() {
                let relations = relations_xml(name, &part.relations);
                write(&mut zip, &relations_name(name), relations.as_bytes())?;
            }
        }
        Ok(zip.finish().map_err(packing)?.into_inner())
    }

    /// The types of all parts: pictures by the ending of their names, all else by name.
    fn content_types(&self) -> String {
        let mut text = format!(
            "{DECLARATION}<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
             <Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
             <Default Extension=\"xml\" ContentType=\"application/xml\"/>"
        );
        let pictures: BTreeMap<&str, &str> = self
            .parts
            .iter()
            .filter(|(_, part)| part.media_type.starts_with("image/"))
            .filter_map(|(name, part)| Some((name.rsplit_once('.')?.1, part.media_type.as_str())))
            .collect();
        for (ending, media_type) in pictures {
            let _ = write!(text, "<Default Extension=\"{ending}\" ContentType=\"{media_type}\"/>");
        }
        for (name, part) in self.parts.iter().filter(|(_, part)| !part.media_type.starts_with("image/")) {
            let _ = write!(text, "<Override PartName=\"/{name}\" ContentType=\"{}\"/>", part.media_type);
        }
        text.push_str("</Types>");
        text
    }
}

fn write(zip: &mut ZipWriter<Cursor<Vec<u8>>>, name: &str, bytes: &[u8]) -> Result<(), ExportError> {
    // A picture is packed already.
    let method = if name.ends_with(".png") { CompressionMethod::Stored } else { CompressionMethod::Deflated };
    let options = SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(zip::DateTime::default())
        .unix_permissions(0o644);
    zip.start_file(name, options).map_err(packing)?;
    zip.write_all(bytes).map_err(|error| packing(error.into()))
}

#[expect(clippy::needless_pass_by_value, reason = "it stands where an error is turned into another")]
fn packing(error: zip::result::ZipError) -> ExportError {
    ExportError::Packing(error.to_string())
}

/// Where the relations of a part stand.
fn relations_name(part: &str) -> String {
    let (folder, name) = part.rsplit_once('/').unwrap_or(("", part));
    format!("{folder}/_rels/{name}.rels")
}

/// The relations of a part, with targets relative to the folder of the part.
fn relations_xml(part: &str, relations: &[Relation]) -> String {
    let folder: Vec<&str> = part.split('/').collect();
    let folder = &folder[..folder.len() - 1];
    let mut text = format!(
        "{DECLARATION}<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">"
    );
    for relation in relations {
        let (target, mode) = match &relation.target {
            Target::Part(name) => (relative(folder, name), ""),
            Target::Outside(address) => (address.clone(), " TargetMode=\"External\""),
        };
        let _ = write!(
            text,
            "<Relationship Id=\"{}\" Type=\"{}\" Target=\"{}\"{mode}/>",
            relation.id,
            relation.kind,
            escape(&target)
        );
    }
    text.push_str("</Relationships>");
    text
}

/// The name of a part as seen from a folder.
fn relative(folder: &[&str], name: &str) -> String {
    let parts: Vec<&str> = name.split('/').collect();
    let shared = folder.iter().zip(&parts).take_while(|(one, other)| one == other).count();
    let up = std::iter::repeat_n("..", folder.len() - shared);
    up.chain(parts[shared..].iter().copied()).collect::<Vec<_>>().join("/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_target_is_written_as_its_part_sees_it() {
        assert_eq!(relative(&["ppt", "slides"], "ppt/media/image1.png"), "../media/image1.png");
        assert_eq!(relative(&["ppt"], "ppt/slides/slide1.xml"), "slides/slide1.xml");
        assert_eq!(relative(&[], "ppt/presentation.xml"), "ppt/presentation.xml");
        assert_eq!(relations_name("ppt/slides/slide1.xml"), "ppt/slides/_rels/slide1.xml.rels");
    }

    #[test]
    fn the_same_parts_are_the_same_bytes() {
        let package = || {
            let mut package = Package::new();
            package.add("b/two.xml", "application/xml", "<b/>", vec![Relation::to(1, "x", "a/one.png")]);
            package.add("a/one.png", "image/png", [1, 2, 3], Vec::new());
            package.relate(Relation::to(1, "officeDocument", "b/two.xml"));
            package.describe("A & B", "en-GB");
            package.into_bytes().unwrap()
        };
        assert_eq!(package(), package());
    }
}
