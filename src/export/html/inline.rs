//! Pieces of a line as HTML.

use crate::document::{Inline, Phrase};

use super::escape;

/// A phrase as HTML.
pub(super) fn phrase(phrase: &Phrase) -> String {
    phrase.inlines().iter().map(inline).collect()
}

fn inline(inline: &Inline) -> String {
    let text = escape(inline.as_text());
    match inline {
        Inline::Text(_) => text,
        Inline::Strong(_) => format!("<strong>{text}</strong>"),
        Inline::Emphasis(_) => format!("<em>{text}</em>"),
        Inline::Mono(_) => format!("<span class=\"offset\">{text}</span>"),
        Inline::Mark(_) => format!("<mark>{text}</mark>"),
        Inline::Quiet(_) => format!("<span class=\"muted\">{text}</span>"),
        Inline::Signed(_) => format!("<span class=\"signed\">{text}</span>"),
        Inline::Missing(_) => format!("<span class=\"missing\">{text}</span>"),
        Inline::Link { href, .. } => {
            let rel = if href.is_outside() { " rel=\"noopener noreferrer nofollow\"" } else { "" };
            format!("<a href=\"{}\"{rel}>{text}</a>", escape(href.as_str()))
        }
    }
}
