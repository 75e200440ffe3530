//! One line of a table, cut into its cells.

/// A cell without the white space around it, and the byte where it starts.
pub(super) struct Cell {
    pub(super) at: usize,
    pub(super) text: String,
}

/// Cuts a line that starts at a byte of the file.
///
/// # Errors
/// The byte and a sentence, when quotation marks do not come in pairs around a cell.
pub(super) fn split(at: usize, line: &str) -> Result<Vec<Cell>, (usize, &'static str)> {
    let mut cells = Vec::new();
    let mut start = 0;
    loop {
        let rest = line.get(start..).unwrap_or_default();
        let blank = rest.len() - rest.trim_start_matches([' ', '\t']).len();
        let (text, length) = match rest.get(blank..).and_then(|rest| rest.strip_prefix('"')) {
            Some(quoted) => {
                let (text, length) = in_quotes(quoted).map_err(|message| (at + start + blank, message))?;
                (text, blank + 1 + length)
            }
            None => {
                let length = rest.find(',').unwrap_or(rest.len());
                (rest.get(..length).unwrap_or_default().to_owned(), length)
            }
        };
        cells.push(Cell { at: at + start + blank, text: text.trim().to_owned() });
        start += length;
        if start >= line.len() {
            return Ok(cells);
        }
        start += ','.len_utf8();
    }
}

/// The text of a quoted cell after its opening quotation mark, and its length to the comma or
/// the end of the line. A quotation mark inside is doubled.
fn in_quotes(quoted: &str) -> Result<(String, usize), &'static str> {
    let mut text = String::new();
    let mut letters = quoted.char_indices().peekable();
    while let Some((_, letter)) = letters.next() {
        if letter != '"' {
            text.push(letter);
            continue;
        }
        if letters.next_if(|(_, next)| *next == '"').is_some() {
            text.push('"');
            continue;
        }
        while letters.next_if(|(_, next)| matches!(next, ' ' | '\t')).is_some() {}
        return match letters.peek() {
            None => Ok((text, quoted.len())),
            Some((end, next)) if *next == ',' => Ok((text, *end)),
            Some(_) => Err("Something follows the closing quotation mark of this cell."),
        };
    }
    Err("The quotation mark of this cell is not closed on its line.")
}

#[cfg(test)]
mod tests {
    use super::split;

    fn texts(line: &str) -> Vec<String> {
        split(0, line).unwrap_or_default().into_iter().map(|cell| cell.text).collect()
    }

    #[test]
    fn cells_are_cut_at_commas_outside_quotation_marks() {
        assert_eq!(texts("a,b,c"), ["a", "b", "c"]);
        assert_eq!(texts("a,,"), ["a", "", ""]);
        assert_eq!(texts(""), [""]);
        assert_eq!(texts(" a , \"b, c\" ,\"d \"\"e\"\"\""), ["a", "b, c", "d \"e\""]);
    }

    #[test]
    fn a_lone_quotation_mark_is_told_where_it_stands() {
        assert_eq!(split(10, "a,\"b").err().map(|(at, _)| at), Some(12));
        assert!(split(0, "\"a\"b,c").is_err());
        assert_eq!(texts("a\"b,c"), ["a\"b", "c"]);
    }
}
