//! The fonts of a PDF: ours, and for the letters that they lack those of the machine.

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::LazyLock;

use resvg::usvg::fontdb;
use typst::foundations::Bytes;
use typst::text::{Font, FontBook, FontFlags, FontInfo, FontStretch, FontStyle};

use crate::export::picture::{OURS, is_seen};

/// What a drawing has no use for, and text has.
const ITALIC: &[u8] = include_bytes!("../font/next-italic.ttf");

static OUR_FONTS: LazyLock<Vec<Font>> = LazyLock::new(|| {
    OURS.into_iter().chain([ITALIC]).filter_map(|data| Font::new(Bytes::new(data), 0)).collect()
});

/// A font of the machine that can be read when it is needed.
struct OfMachine {
    path: PathBuf,
    index: u32,
    info: FontInfo,
}

/// The fonts of the machine, in the order of [`OfMachine::order`], however they were found. Looked for once.
static OF_MACHINE: LazyLock<Vec<OfMachine>> = LazyLock::new(|| {
    let mut database = fontdb::Database::new();
    database.load_system_fonts();
    let mut fonts: Vec<OfMachine> = database
        .faces()
        .filter_map(|face| {
            let fontdb::Source::File(path) = &face.source else { return None };
            let info = database.with_face_data(face.id, FontInfo::new)??;
            Some(OfMachine { path: path.clone(), index: face.index, info })
        })
        .collect();
    fonts.sort_by(|one, other| one.order().cmp(&other.order()));
    fonts
});

impl OfMachine {
    /// Those first that look most like ours: upright and of usual weight and width, without serifs.
    fn order(&self) -> (bool, bool, bool, bool, u16, &PathBuf, u32) {
        let FontInfo { variant, flags, .. } = &self.info;
        (
            flags.contains(FontFlags::MONOSPACE),
            flags.contains(FontFlags::SERIF),
            variant.style != FontStyle::Normal,
            variant.stretch != FontStretch::NORMAL,
            variant.weight.to_number().abs_diff(400),
            &self.path,
            self.index,
        )
    }
}

/// The fonts that a document is set in.
pub(super) struct Fonts {
    fonts: Vec<Font>,
}

impl Fonts {
    /// Ours alone.
    pub(super) fn ours() -> Self {
        Self { fonts: OUR_FONTS.clone() }
    }

    /// Ours, and as few of the machine's as have the letters that ours lack.
    pub(super) fn for_letters(letters: &BTreeSet<char>) -> Self {
        let mut all = Self::ours();
        let mut lacking = all.lacking(letters);
        if lacking.is_empty() {
            return all;
        }
        let mut left: Vec<&OfMachine> = OF_MACHINE.iter().collect();
        // The one that has the most of them, then the one that has the most of what is left.
        while let Some((at, _)) = left
            .iter()
            .map(|font| lacking.iter().filter(|letter| has(&font.info, **letter)).count())
            .enumerate()
            .filter(|(_, most)| *most > 0)
            .max_by_key(|(at, most)| (*most, Reverse(*at)))
        {
            let font = left.remove(at);
            let read = std::fs::read(&font.path).ok();
            if let Some(read) = read.and_then(|data| Font::new(Bytes::new(data), font.index)) {
                lacking.retain(|letter| !has(read.info(), *letter));
                all.fonts.push(read);
            }
        }
        all
    }

    /// Those of the letters that none has.
    pub(super) fn lacking(&self, letters: &BTreeSet<char>) -> BTreeSet<char> {
        let none_has = |letter: char| !self.fonts.iter().any(|font| has(font.info(), letter));
        letters.iter().copied().filter(|letter| is_seen(*letter) && none_has(*letter)).collect()
    }

    /// Whether one of them has all letters of a sign.
    pub(super) fn one_has(&self, sign: &str) -> bool {
        self.fonts.iter().any(|font| sign.chars().all(|letter| !is_seen(letter) || has(font.info(), letter)))
    }

    /// What is known of them, in their order.
    pub(super) fn book(&self) -> FontBook {
        FontBook::from_fonts(&self.fonts)
    }

    /// One of them.
    pub(super) fn get(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }
}

fn has(info: &FontInfo, letter: char) -> bool {
    info.coverage.contains(u32::from(letter))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn our_fonts_are_read_and_serve_the_usual_letters() {
        assert_eq!(OUR_FONTS.len(), OURS.len() + 1);
        let usual = "Flow lost at +12:30 – “no-reflow” ≈ ≥ 90 mm² é ł μ\u{200B}\u{AD}".chars().collect();
        let fonts = Fonts::for_letters(&usual);
        assert!(fonts.lacking(&usual).is_empty());
        assert_eq!(fonts.fonts.len(), OUR_FONTS.len(), "no font of the machine is asked");
    }

    #[test]
    fn a_letter_that_no_machine_has_is_lacking() {
        // U+10FFFD is for private use; no font in common use has a shape for it.
        let letters = ['a', '\u{10FFFD}'].into();
        assert_eq!(Fonts::for_letters(&letters).lacking(&letters), ['\u{10FFFD}'].into());
    }
}
