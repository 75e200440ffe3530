//! The text of a file: is it one, how large, and which line and column a byte of it is.

use std::ops::Range;

use super::{FileProblem, PROBLEMS_AT_MOST};

/// The most bytes that a file may have: one MiB, some fifty times a long case.
pub const FILE_AT_MOST: usize = 1024 * 1024;

/// A text that knows its lines.
pub(super) struct Source<'a> {
    text: &'a str,
    line_starts: Vec<usize>,
}

impl<'a> Source<'a> {
    /// The text of a file, without the byte order mark that some editors put before it.
    ///
    /// # Errors
    /// When it is too large, no text, or a text in another encoding than UTF-8.
    pub(super) fn read(bytes: &'a [u8]) -> Result<Self, FileProblem> {
        let first = |message: &str| FileProblem {
            line: 1,
            column: 1,
            path: String::new(),
            message: message.to_owned(),
        };
        if bytes.len() > FILE_AT_MOST {
            return Err(first(
                "This file is larger than 1 MiB. A case file is far smaller; is this the right file?",
            ));
        }
        if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
            return Err(first("This text is saved as UTF-16. Save it as UTF-8."));
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let (text, broken) = match std::str::from_utf8(bytes) {
            Ok(text) => (text, false),
            Err(error) => {
                let good = bytes.get(..error.valid_up_to()).unwrap_or_default();
                (std::str::from_utf8(good).unwrap_or_default(), true)
            }
        };
        let source = Self::of(text);
        if let Some(at) = text.find('\0') {
            return Err(source.problem(at, "", "This is not a text file: it holds a zero byte here."));
        }
        if broken {
            let message = "From this character on the file is not valid UTF-8. Save it as UTF-8; if it is no text file, it cannot be read.";
            return Err(source.problem(text.len(), "", message));
        }
        Ok(source)
    }

    fn of(text: &'a str) -> Self {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { text, line_starts }
    }

    /// The text.
    pub(super) const fn text(&self) -> &'a str {
        self.text
    }

    /// Line and column of a byte, both from 1; the column counts characters.
    pub(super) fn place(&self, at: usize) -> (usize, usize) {
        let line = self.line_of(at);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column =
            self.text.get(start..at.min(self.text.len())).map_or(1, |before| before.chars().count() + 1);
        (line, column)
    }

    /// The line of a byte, from 1.
    pub(super) fn line_of(&self, at: usize) -> usize {
        self.line_starts.partition_point(|start| *start <= at).max(1)
    }

    pub(super) fn problem(&self, at: usize, path: &str, message: &str) -> FileProblem {
        let (line, column) = self.place(at);
        FileProblem { line, column, path: path.to_owned(), message: message.to_owned() }
    }
}

/// What is wrong with a file, by the byte where it is.
#[derive(Default)]
pub(super) struct Problems {
    found: Vec<(usize, String, String)>,
    /// Stretches of which the reader of the language understood nothing.
    broken: Vec<Range<usize>>,
}

impl Problems {
    /// Adds a problem with what a value means.
    pub(super) fn add(&mut self, at: usize, path: impl Into<String>, message: impl Into<String>) {
        if !self.is_full() {
            self.found.push((at, path.into(), message.into()));
        }
    }

    /// Whether far more was found than is told. From here on nothing is gathered, so that a hostile
    /// file fills neither the memory nor the day.
    pub(super) fn is_full(&self) -> bool {
        self.found.len() >= PROBLEMS_AT_MOST * 10
    }

    /// Adds a problem with how the file is written, and the stretch that could not be understood
    /// for it; none when all could.
    pub(super) fn add_broken(
        &mut self,
        at: usize,
        stretch: Option<Range<usize>>,
        message: impl Into<String>,
    ) {
        self.add(at, "", message);
        self.broken.extend(stretch);
    }

    pub(super) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// Whether part of the file was not understood, so that what seems missing may be there.
    pub(super) fn is_broken(&self) -> bool {
        !self.broken.is_empty()
    }

    /// Adds what was found in the values, without what lies where the file was not understood.
    pub(super) fn add_understood(&mut self, values: Self, source: &Source) {
        let understood = |at: usize| {
            !self
                .broken
                .iter()
                .any(|stretch| stretch.contains(&at) || source.line_of(stretch.start) == source.line_of(at))
        };
        let kept: Vec<_> = values.found.into_iter().filter(|(at, _, _)| understood(*at)).collect();
        self.found.extend(kept);
    }

    /// The problems in the order of the file, each once, the first [`PROBLEMS_AT_MOST`] of them.
    pub(super) fn told(mut self, source: &Source) -> Vec<FileProblem> {
        self.found.sort_by_key(|(at, _, _)| *at);
        self.found.dedup();
        let more = self.found.len() > PROBLEMS_AT_MOST;
        self.found.truncate(PROBLEMS_AT_MOST);
        let mut told: Vec<FileProblem> =
            self.found.iter().map(|(at, path, message)| source.problem(*at, path, message)).collect();
        if let (true, Some(last)) = (more, told.last()) {
            told.push(FileProblem {
                line: last.line,
                column: last.column,
                path: String::new(),
                message: format!("There are more problems after this one. Mend the first {PROBLEMS_AT_MOST}, then check again."),
            });
        }
        told
    }
}
