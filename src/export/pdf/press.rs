//! From data to the bytes of a PDF.

use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

use serde_json::{Value, json};
use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::ecow::EcoVec;
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Library, LibraryExt, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use super::content::{Content, Drawn};
use super::font::Fonts;
use super::letter;
use crate::export::format::ExportError;

/// How pages look.
const SHEETS: [(&str, &str); 3] = [
    ("common.typ", include_str!("sheet/common.typ")),
    ("document.typ", include_str!("sheet/document.typ")),
    ("slides.typ", include_str!("sheet/slides.typ")),
];

/// The name under which a sheet finds its data.
const DATA: &str = "data.json";

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| {
    let library = Library::builder().with_features([Feature::A11yExtras].into_iter().collect()).build();
    LazyHash::new(library)
});

/// Sets data with a sheet.
pub(super) fn print(sheet: &str, mut data: Value, content: Content) -> Result<Vec<u8>, ExportError> {
    let Content { mut pictures } = content;
    let mut letters = BTreeSet::new();
    each_text(&mut data, &mut pictures, &mut |text| {
        *text = letter::usual(text);
        letters.extend(text.chars());
    });
    let ours = Fonts::ours();
    if ours.lacking(&letters).is_empty() {
        return print_in(sheet, (data, pictures), ours, &letters);
    }
    let first = print_in(sheet, (data.clone(), pictures.clone()), Fonts::for_letters(&letters), &letters);
    // A font of the machine may be broken, or lack what joins its letters: then ours alone.
    first.or_else(|_| print_in(sheet, (data, pictures), ours, &letters))
}

/// Sets data in these fonts.
fn print_in(
    sheet: &str,
    (mut data, mut pictures): (Value, Vec<Drawn>),
    fonts: Fonts,
    letters: &BTreeSet<char>,
) -> Result<Vec<u8>, ExportError> {
    let lacking = fonts.lacking(letters);
    each_text(&mut data, &mut pictures, &mut |text| *text = letter::drawable(text, &fonts, &lacking));
    data["lacking"] = json!(letter::told(&lacking));
    let mut files: HashMap<FileId, Bytes> = HashMap::new();
    for (name, text) in SHEETS {
        files.insert(id(name)?, Bytes::from_string(text));
    }
    files.insert(id(DATA)?, Bytes::from_string(data.to_string()));
    for (number, picture) in pictures.into_iter().enumerate() {
        let name = id(&picture.name(number))?;
        let bytes = match picture {
            Drawn::Svg(svg) => Bytes::from_string(svg),
            Drawn::Png(png) => Bytes::new(png),
        };
        files.insert(name, bytes);
    }
    let book = LazyHash::new(fonts.book());
    let made = Press { main: id(sheet)?, files, fonts, book }.pdf();
    // What was remembered of this document would be kept for the next, which is another.
    typst::comemo::evict(0);
    made
}

/// What is said and not drawn: the document's name, and what a drawing shows.
const NOT_DRAWN: [&str; 2] = ["named", "alternative"];

/// Does something with each text of data that is drawn, and with the drawings, which hold texts.
fn each_text(data: &mut Value, pictures: &mut [Drawn], work: &mut impl FnMut(&mut String)) {
    each_string(data, work);
    for picture in pictures {
        if let Drawn::Svg(svg) = picture {
            work(svg);
        }
    }
}

fn each_string(data: &mut Value, work: &mut impl FnMut(&mut String)) {
    match data {
        Value::String(text) => work(text),
        Value::Array(items) => items.iter_mut().for_each(|item| each_string(item, work)),
        Value::Object(fields) => fields
            .iter_mut()
            .filter(|(name, _)| !NOT_DRAWN.contains(&name.as_str()))
            .for_each(|(_, field)| each_string(field, work)),
        _ => {}
    }
}

fn id(name: &str) -> Result<FileId, ExportError> {
    let path = VirtualPath::new(name).map_err(|error| ExportError::Typesetting(error.to_string()))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

/// What a document is set from: it reads nothing else, neither files of the machine nor the network.
struct Press {
    main: FileId,
    files: HashMap<FileId, Bytes>,
    fonts: Fonts,
    book: LazyHash<FontBook>,
}

impl Press {
    fn pdf(&self) -> Result<Vec<u8>, ExportError> {
        let document: PagedDocument = typst::compile(self).output.map_err(|errors| failed(&errors))?;
        let standards = PdfStandards::new(&[PdfStandard::Ua_1])
            .map_err(|error| ExportError::Typesetting(error.message().to_string()))?;
        let options = PdfOptions {
            // The same document is the same bytes: no clock, and an identifier that does not change.
            ident: Smart::Custom("relook".to_owned()),
            creator: Smart::Custom(Some("Relook".to_owned())),
            timestamp: None,
            standards,
            ..PdfOptions::default()
        };
        typst_pdf::pdf(&document, &options).map_err(|errors| failed(&errors))
    }
}

fn failed(errors: &EcoVec<SourceDiagnostic>) -> ExportError {
    let messages: Vec<&str> = errors.iter().map(|error| error.message.as_str()).collect();
    ExportError::Typesetting(messages.join("; "))
}

impl World for Press {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let bytes = self.file(id)?;
        let text = bytes.as_str().map_err(|_| FileError::InvalidUtf8)?;
        Ok(Source::new(id, text.to_owned()))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.files.get(&id).cloned().ok_or_else(|| FileError::NotFound(id.vpath().get_without_slash().into()))
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index)
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
