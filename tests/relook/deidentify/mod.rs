//! The detector of identifiers from outside: over notes with invented identifiers, and over the app's own words.

mod notes;
mod own_words;
