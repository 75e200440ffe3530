//! How wide text is, and how it is shortened and broken into lines.

/// The advance widths of the characters from space to tilde in Atkinson Hyperlegible Next, in
/// thousandths of its size: for each the wider of its weights 400 and 600, as a browser measures
/// them from the font that the pages use.
#[rustfmt::skip]
const WIDTHS: [u16; 95] = [
    303, 298, 362, 730, 604, 953, 731, 195, 324, 324, 485, 606, 252, 369, 253, 424, 656, 430, 569,
    592, 621, 602, 617, 529, 621, 595, 253, 253, 564, 628, 564, 526, 780, 662, 634, 654, 683, 589,
    562, 711, 699, 415, 546, 654, 548, 848, 710, 737, 617, 747, 639, 604, 592, 690, 628, 877, 666,
    627, 615, 333, 424, 344, 573, 391, 274, 544, 587, 502, 586, 555, 349, 582, 565, 285, 255, 536,
    301, 870, 565, 567, 587, 591, 368, 497, 360, 559, 509, 723, 522, 499, 492, 370, 249, 370, 555,
];

/// How wide a text is drawn in the page's font, in bold or not; never too little for Latin text.
#[must_use]
pub fn text_width(content: &str, size: f64) -> f64 {
    let thousandths: f64 = content.chars().map(|c| f64::from(advance(c))).sum();
    thousandths / 1000.0 * size
}

fn advance(character: char) -> u16 {
    let place = (character as usize).wrapping_sub(' ' as usize);
    WIDTHS.get(place).copied().unwrap_or(match character {
        '\u{300}'..='\u{36f}' => 0,
        '…' | '—' | '→' => 830,
        c if c.is_uppercase() => 750,
        c if (c as u32) < 0x2E80 => 620,
        _ => 1050,
    })
}

/// The width of a text of 12.5 in the font for numbers, in which every character is as wide.
pub(super) fn mono_width(text: &str) -> f64 {
    text.chars().map(|_| 7.8).sum()
}

/// A text shortened with an ellipsis to fit a width.
#[must_use]
pub fn fit(content: &str, size: f64, width: f64) -> String {
    if text_width(content, size) <= width {
        return content.to_owned();
    }
    let mut short = String::new();
    for character in content.chars() {
        short.push(character);
        if text_width(&short, size) + text_width("…", size) > width {
            short.pop();
            break;
        }
    }
    format!("{}…", short.trim_end())
}

/// A text in at most so many lines of a width; what does not fit ends in an ellipsis.
#[must_use]
pub fn wrap(content: &str, size: f64, width: f64, at_most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut words = content.split_whitespace().peekable();
    let mut current = String::new();
    while let Some(word) = words.next() {
        let longer = if current.is_empty() { word.to_owned() } else { format!("{current} {word}") };
        if text_width(&longer, size) <= width || current.is_empty() {
            current = longer;
        } else if lines.len() + 1 == at_most {
            let rest: Vec<&str> = std::iter::once(word).chain(words).collect();
            current = format!("{current} {}", rest.join(" "));
            break;
        } else {
            lines.push(fit(&current, size, width));
            word.clone_into(&mut current);
        }
    }
    if !current.is_empty() {
        lines.push(fit(&current, size, width));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_as_wide_as_its_characters() {
        assert!((text_width("TIMI 0", 1000.0) - 3229.0).abs() < 1.0);
        assert!(text_width("", 14.0).abs() < f64::EPSILON);
        assert!(text_width("−3:00 ≈ Prüfung", 14.0) > 60.0);
    }

    #[test]
    fn what_fits_is_left_as_it_is_and_what_does_not_ends_in_an_ellipsis() {
        assert_eq!(fit("LAD", 14.0, 100.0), "LAD");
        let short = fit("Posterolateral branch", 14.0, 100.0);
        assert!(short.ends_with('…') && text_width(&short, 14.0) <= 100.0);
        assert_eq!(fit("", 14.0, 0.0), "");
    }

    #[test]
    fn a_text_breaks_between_words_into_lines_that_fit() {
        let lines = wrap("Side-branch loss after stenting of the main vessel", 14.0, 180.0, 3);
        assert_eq!(lines, ["Side-branch loss after", "stenting of the main vessel"]);
        let lines = wrap("Side-branch loss after stenting of the main vessel", 14.0, 120.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
        for line in lines {
            assert!(text_width(&line, 14.0) <= 120.0);
        }
        assert!(wrap("   ", 14.0, 100.0, 2).is_empty());
    }
}
