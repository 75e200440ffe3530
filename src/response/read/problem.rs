//! What is wrong with a file, and where.

use std::fmt;

/// The most problems that are told at once.
const AT_MOST: usize = 50;

/// Something that is wrong with a file, in a sentence, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListProblem {
    /// The line, from 1.
    pub line: usize,
    /// The column, in characters from 1.
    pub column: usize,
    /// What is wrong, and what to do.
    pub message: String,
}

impl fmt::Display for ListProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Line {}, column {}: {}", self.line, self.column, self.message)
    }
}

/// Problems by the byte where they are.
#[derive(Debug, Default)]
pub(super) struct Problems(Vec<(usize, String)>);

impl Problems {
    pub(super) fn add(&mut self, at: usize, message: impl Into<String>) {
        // Far more than is told is not gathered, so that a hostile file does not fill the memory.
        if self.0.len() < AT_MOST * 10 {
            self.0.push((at, message.into()));
        }
    }

    pub(super) const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The problems in the order of the file, each once; never none, so that no refusal is without a reason.
    pub(super) fn told(mut self, text: &str) -> Vec<ListProblem> {
        if self.is_empty() {
            self.add(0, "This file holds no list that can be read.");
        }
        self.0.sort();
        self.0.dedup();
        let more = self.0.len() > AT_MOST;
        self.0.truncate(AT_MOST);
        let mut told: Vec<ListProblem> =
            self.0.into_iter().map(|(at, message)| place(text, at, message)).collect();
        if let (true, Some(last)) = (more, told.last()) {
            let message = format!(
                "There are more problems after this one. Mend the first {AT_MOST}, then read it again."
            );
            told.push(ListProblem { message, ..*last });
        }
        told
    }
}

fn place(text: &str, at: usize, message: String) -> ListProblem {
    let before = text.get(..at.min(text.len())).unwrap_or(text);
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    ListProblem {
        line: before.matches('\n').count() + 1,
        column: before.get(start..).map_or(1, |line| line.chars().count() + 1),
        message,
    }
}
