//! An address as a QR code (ISO/IEC 18004), for phones to scan.
//!
//! Dark on light in every light: many scanners do not read it the other way round.

use qrcodegen::{QrCode, QrCodeEcc};

use super::scale::float;
use super::svg::{self, Element, Path};
use super::{Figure, FigureTable};

/// Why there is no code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum QrError {
    /// There is nothing to scan.
    #[error("There is no address to make a code of.")]
    Empty,
    /// No code holds so much.
    #[error("The address is too long for a code to scan: use a shorter one.")]
    TooLong,
}

/// The quiet zone around the code, in modules: ISO/IEC 18004 asks for four (from memory).
pub const QUIET: usize = 4;
/// The side of a module in the units of the drawing.
pub const MODULE: f64 = 8.0;

/// Draws the code of an address. `action` says what scanning it does, such as `vote`; `prefix`
/// makes its ids unique on the page.
///
/// # Errors
/// When the address is empty, or longer than a code can hold (2,331 bytes).
pub fn draw(prefix: &str, address: &str, action: &str) -> Result<Figure, QrError> {
    let address = address.trim();
    let action = if action.trim().is_empty() { "open the page" } else { action.trim() };
    let summary = format!("A code to scan with a phone, which leads to {address}");
    draw_code(prefix, address, &format!("Scan to {action}"), &summary)
}

/// As [`draw`], with a title and a summary that need not say the address.
///
/// # Errors
/// As [`draw`].
pub fn draw_code(prefix: &str, address: &str, title: &str, summary: &str) -> Result<Figure, QrError> {
    if address.is_empty() {
        return Err(QrError::Empty);
    }
    let code = QrCode::encode_text(address, QrCodeEcc::Medium).map_err(|_| QrError::TooLong)?;
    let modules = usize::try_from(code.size()).unwrap_or_default() + 2 * QUIET;
    let side = float(modules) * MODULE;
    let root = svg::root(prefix, title, summary, side, side)
        .class("fig fig-code")
        .set("shape-rendering", "crispEdges")
        .with(svg::rect(0.0, 0.0, side, side).class("code-light").fill("#ffffff"))
        .with(dark(&code));
    Ok(Figure {
        title: title.to_owned(),
        description: "A square code of the address; who types the address comes to the same page.".to_owned(),
        svg: root.write(),
        table: FigureTable { columns: vec!["Address".to_owned()], rows: vec![vec![address.to_owned()]] },
        summary: summary.to_owned(),
    })
}

/// All dark modules as one path, a rectangle for each run in a row.
fn dark(code: &QrCode) -> Element {
    let mut path = Path::default();
    let at = |module: i32| f64::from(module) * MODULE + float(QUIET) * MODULE;
    for y in 0..code.size() {
        let mut x = 0;
        while x < code.size() {
            let start = x;
            while code.get_module(x, y) {
                x += 1;
            }
            if x > start {
                let (left, right, top, bottom) = (at(start), at(x), at(y), at(y + 1));
                path = path.hop(left, top).line(right, top).line(right, bottom).line(left, bottom).close();
            }
            x += 1;
        }
    }
    path.element().class("code-dark").fill("#000000")
}

#[cfg(test)]
mod tests;
