//! The keyboard and nothing else: key events to whatever has the focus.

use fantoccini::actions::{InputSource as _, KeyAction, KeyActions};
use fantoccini::key::Key;

use super::browser::Browser;

const fn code(key: Key) -> char {
    match key {
        Key::Tab => '\u{e004}',
        Key::Enter => '\u{e007}',
        Key::Escape => '\u{e00c}',
        Key::Up => '\u{e013}',
        Key::Down => '\u{e015}',
        Key::Left => '\u{e012}',
        Key::Right => '\u{e014}',
        Key::Home => '\u{e011}',
        Key::End => '\u{e010}',
        Key::Delete => '\u{e017}',
        Key::F8 => '\u{e038}',
        _ => panic!("this key is not pressed by any test"),
    }
}

fn press(keys: impl IntoIterator<Item = char>) -> KeyActions {
    keys.into_iter().fold(KeyActions::new("keyboard".to_owned()), |all, value| {
        all.then(KeyAction::Down { value }).then(KeyAction::Up { value })
    })
}

impl Browser {
    /// Types a text, letter by letter.
    pub async fn type_keys(&self, text: &str) {
        if !text.is_empty() {
            self.client.perform_actions(press(text.chars())).await.unwrap();
        }
    }

    /// Presses one key.
    pub async fn key(&self, key: Key) {
        self.client.perform_actions(press([code(key)])).await.unwrap();
    }

    /// Presses one key so many times.
    pub async fn keys(&self, key: Key, times: usize) {
        for _ in 0..times {
            self.key(key).await;
        }
    }

    /// Marks all of the field that has the focus, so that typing replaces it.
    pub async fn all_of_it(&self) {
        let keys = KeyActions::new("keyboard".to_owned())
            .then(KeyAction::Down { value: '\u{e009}' })
            .then(KeyAction::Down { value: 'a' })
            .then(KeyAction::Up { value: 'a' })
            .then(KeyAction::Up { value: '\u{e009}' });
        self.client.perform_actions(keys).await.unwrap();
    }

    /// What has the focus: its name, or its id, or what it says.
    pub async fn focus(&self) -> String {
        self.ask_text(
            "(e => e.name || e.id || e.textContent.trim().replace(/\\s+/g, ' ').slice(0, 60))(document.activeElement)",
        )
        .await
    }

    /// Presses Tab until what has the focus is the one that is looked for.
    pub async fn tab_to(&self, wanted: &str) {
        let mut passed = Vec::new();
        for _ in 0..80 {
            let focus = self.focus().await;
            if focus == wanted || focus.starts_with(&format!("{wanted} ")) {
                return;
            }
            passed.push(focus);
            self.key(Key::Tab).await;
        }
        panic!("Tab does not lead to {wanted}; it passed {passed:?}");
    }
}
