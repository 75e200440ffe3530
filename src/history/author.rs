//! Who changes the record, and through which door.

use crate::quantity::words;

words!(
    /// The way by which a change came.
    Door, "a door", {
        Page = "page", "a page";
        CommandLine = "command-line", "the command line";
        Program = "program", "Relook itself";
        Elsewhere = "elsewhere", "something other than Relook";
    }
);

/// Who changes the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Author {
    /// The account; none when nobody is signed in.
    pub account: Option<i64>,
    /// The name at the time; it stays when the account changes.
    pub name: String,
    /// The door.
    pub door: Door,
}

impl Author {
    /// Somebody with an account, at a page.
    #[must_use]
    pub fn account(id: i64, name: impl ToString) -> Self {
        Self { account: Some(id), name: name.to_string(), door: Door::Page }
    }

    /// Somebody at a page who is not signed in.
    #[must_use]
    pub fn visitor() -> Self {
        Self { account: None, name: "Nobody signed in".to_owned(), door: Door::Page }
    }

    /// Whoever uses the command line of the machine.
    #[must_use]
    pub fn command_line() -> Self {
        Self { account: None, name: "Command line".to_owned(), door: Door::CommandLine }
    }

    /// The program, at its own upkeep.
    #[must_use]
    pub fn program() -> Self {
        Self { account: None, name: "Relook".to_owned(), door: Door::Program }
    }

    /// Whoever changed the file with another program.
    #[must_use]
    pub(super) fn elsewhere() -> Self {
        Self { account: None, name: "Unknown".to_owned(), door: Door::Elsewhere }
    }

    /// Who acts now: whom [`as_author`] named, else the program itself.
    #[must_use]
    pub fn now() -> Self {
        NOW.try_with(Clone::clone).unwrap_or_else(|_| Self::program())
    }
}

tokio::task_local! {
    static NOW: Author;
}

/// Does something in a person's name. Who acts belongs to a request as its number does: a handler can neither
/// forget it nor give another's name.
pub async fn as_author<T>(author: Author, act: impl Future<Output = T>) -> T {
    NOW.scope(author, act).await
}
