//! The fonts that the app serves, inside the sheet that names them.

use data_encoding::BASE64;

const SHEET: &str = include_str!("../../../static/css/font.css");

macro_rules! fonts {
    ($($name:literal),+ $(,)?) => {
        [$(($name, include_bytes!(concat!("../../../static/font/", $name)).as_slice())),+]
    };
}

/// The files that the sheet names.
const FONTS: [(&str, &[u8]); 7] = fonts![
    "next-latin.woff2",
    "next-latin-ext.woff2",
    "next-latin-italic.woff2",
    "next-latin-ext-italic.woff2",
    "next-signs.woff2",
    "mono-latin.woff2",
    "mono-signs.woff2",
];

/// The sheet with each file in place of its address.
pub(super) fn sheet() -> String {
    FONTS.iter().fold(SHEET.to_owned(), |sheet, (name, font)| {
        sheet.replace(&format!("../font/{name}"), &format!("data:font/woff2;base64,{}", BASE64.encode(font)))
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn no_font_is_left_outside() {
        assert!(!super::sheet().contains("../font/"));
        assert!(super::sheet().matches("data:font/woff2;base64,").count() >= 7);
        assert!(!super::sheet().contains("</"), "the sheet cannot end its element");
    }
}
