//! A title that fits: set smaller where it is long, and shortened where even that is not enough.

use super::look::Slot;
use crate::export::office::measure::{shorten, wrap};
use crate::export::office::text::{Look, Run, plain};

/// The smallest that a title is set, in points.
const SMALLEST: f64 = 24.0;

/// A title as it stands on a page.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) struct Title {
    pub(in crate::export) text: String,
    /// Its size, where it is not that of the layout.
    pub(in crate::export) size: Option<f64>,
    /// Whether words were left out.
    pub(in crate::export) is_short: bool,
}

/// A title in the place that a layout has for it, with what stands behind it, such as `(continued)`.
pub(in crate::export) fn fit(text: &str, behind: &str, slot: &Slot) -> Title {
    let run = |text: String| Run { look: Look { bold: true, ..Look::default() }, ..plain(text) };
    let whole = run(format!("{text}{behind}"));
    let lines = |size: f64| {
        let room = slot.place.height + 0.5;
        let mut lines = 1_usize;
        while slot.text.line_height(size) * f64::from(u32::try_from(lines).unwrap_or(u32::MAX) + 1) <= room {
            lines += 1;
        }
        lines
    };
    let usual = slot.text.size;
    let mut size = usual;
    loop {
        if wrap(std::slice::from_ref(&whole), size, slot.place.width).len() <= lines(size) {
            return Title { text: whole.text, size: (size < usual).then_some(size), is_short: false };
        }
        if size - 2.0 < SMALLEST {
            break;
        }
        size -= 2.0;
    }
    // The ellipsis stands before what stands behind: both are kept.
    let most = lines(size);
    let mut short = shorten(run(text.to_owned()), size, slot.place.width, most).text;
    while wrap(&[run(format!("{short}{behind}"))], size, slot.place.width).len() > most {
        let kept = short.trim_end_matches('…').trim_end();
        let Some((at, _)) = kept.char_indices().next_back() else { break };
        short = format!("{}…", kept[..at].trim_end());
    }
    Title { text: format!("{short}{behind}"), size: (size < usual).then_some(size), is_short: true }
}
