//! The fonts of a picture: ours, and for the letters that they lack those of the machine.
//!
//! A drawing in letters that ours have is drawn with ours alone, so it is the same on every machine.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use resvg::usvg::{FontResolver, fontdb};
use ttf_parser::Face;

/// The files of our fonts.
pub(in crate::export) const OURS: [&[u8]; 6] = [
    include_bytes!("../font/next-regular.ttf"),
    include_bytes!("../font/next-bold.ttf"),
    include_bytes!("../font/next-extended.ttf"),
    include_bytes!("../font/next-signs.ttf"),
    include_bytes!("../font/mono-regular.ttf"),
    include_bytes!("../font/mono-signs.ttf"),
];

/// Our fonts.
pub(super) static DATABASE: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    for font in OURS {
        fonts.load_font_data(font.to_vec());
    }
    fonts.set_sans_serif_family("Atkinson Hyperlegible Next");
    fonts.set_monospace_family("Atkinson Hyperlegible Mono");
    Arc::new(fonts)
});

/// The same, under the same numbers, with those of the machine behind them, in an order that does not depend on how
/// they were found. Looked for once, and only when a letter is lacking.
static WITH_MACHINE: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut machine = fontdb::Database::new();
    machine.load_system_fonts();
    let files: BTreeSet<PathBuf> = machine
        .faces()
        .filter_map(|face| match &face.source {
            fontdb::Source::File(path) => Some(path.clone()),
            _ => None,
        })
        .collect();
    let mut fonts = fontdb::Database::clone(&DATABASE);
    for file in files {
        // One that cannot be read any more is as one that is not there.
        let _ = fonts.load_font_file(file);
    }
    Arc::new(fonts)
});

/// Letters for which no font was found.
pub(super) type Lacking = Arc<Mutex<BTreeSet<char>>>;

/// Looks for a letter in our fonts, then in those of the machine; writes down those that none has.
pub(super) fn resolver(lacking: &Lacking) -> FontResolver<'static> {
    let lacking = Arc::clone(lacking);
    FontResolver {
        select_font: FontResolver::default_font_selector(),
        select_fallback: Box::new(move |letter, used, fonts| {
            let found = find(letter, used, fonts).or_else(|| {
                // Nothing but steering marks: no font is asked for what is not seen.
                if !is_seen(letter) {
                    return None;
                }
                *fonts = Arc::clone(&WITH_MACHINE);
                find(letter, used, fonts)
            });
            if found.is_none() {
                lacking.lock().unwrap_or_else(PoisonError::into_inner).insert(letter);
            }
            found
        }),
    }
}

/// A font that draws a letter, of those that were not tried; best one as heavy as the first that was.
fn find(letter: char, used: &[fontdb::ID], fonts: &fontdb::Database) -> Option<fontdb::ID> {
    let first = used.first().and_then(|id| fonts.face(*id));
    let fits = |face: &fontdb::FaceInfo| {
        first.is_none_or(|first| first.weight == face.weight && first.style == face.style)
    };
    let draws = |face: &&fontdb::FaceInfo| {
        !used.contains(&face.id)
            && fonts.with_face_data(face.id, |data, index| draws(data, index, letter)).unwrap_or(false)
    };
    let mut all = fonts.faces().filter(|face| fits(face)).chain(fonts.faces().filter(|face| !fits(face)));
    all.find(draws).map(|face| face.id)
}

/// Whether a font has a letter as an outline: those of pictures in colour leave a gap.
fn draws(data: &[u8], index: u32, letter: char) -> bool {
    Face::parse(data, index).is_ok_and(|face| {
        face.glyph_index(letter)
            .is_some_and(|glyph| !is_seen(letter) || face.glyph_bounding_box(glyph).is_some())
    })
}

/// Whether a letter is to be seen: not white space, and not a mark that only steers its neighbours (Unicode,
/// `Default_Ignorable_Code_Point`, as far as people type them).
pub(in crate::export) fn is_seen(letter: char) -> bool {
    !letter.is_whitespace()
        && !letter.is_control()
        && !matches!(letter as u32,
            0xAD | 0x34F | 0x61C | 0x180B..=0x180F | 0x200B..=0x200F | 0x202A..=0x202E | 0x2060..=0x206F
            | 0xFE00..=0xFE0F | 0xFEFF | 0xE0000..=0xE0FFF)
}
