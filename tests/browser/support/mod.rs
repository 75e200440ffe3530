//! What the browser tests stand on.

pub mod browser;
pub mod chromedriver;
pub mod command;
pub mod demo;
pub mod keys;

use std::sync::LazyLock;

use tokio::sync::{Semaphore, SemaphorePermit};

pub use browser::{Browser, How};
pub use demo::Demo;

/// Two browsers at a time: more would only wait for each other.
static ROOM: LazyLock<Semaphore> = LazyLock::new(|| Semaphore::new(2));

/// A department and a browser before it.
pub struct Stage {
    pub demo: Demo,
    pub browser: Browser,
    _room: SemaphorePermit<'static>,
}

impl Stage {
    /// A fresh department, and a browser of this kind.
    pub async fn set(how: How) -> Self {
        Self::set_with(how, &[]).await
    }

    /// The same with options of the program.
    pub async fn set_with(how: How, options: &[&str]) -> Self {
        let room = ROOM.acquire().await.unwrap();
        let demo = Demo::start(options);
        let browser = Browser::open(&demo.base, how).await;
        Self { demo, browser, _room: room }
    }

    /// The same, with a person signed in by the link that the terminal shows.
    pub async fn signed_in(how: How, person: &str) -> Self {
        let stage = Self::set(how).await;
        stage.browser.sign_in(stage.demo.link(person)).await;
        stage
    }
}
