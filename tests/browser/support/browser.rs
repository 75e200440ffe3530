//! A headless Chromium that a test looks at and types into.

use std::time::{Duration, Instant};

use fantoccini::elements::Element;
use fantoccini::wd::{Capabilities, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tempfile::TempDir;

use super::chromedriver::Chromedriver;
use super::command::{devtools, log};

/// How long a condition may take to come true. Long, because a loaded machine is slow; what is
/// waited for normally comes at once.
const PATIENCE: Duration = Duration::from_secs(90);
/// How long to wait before a condition is looked at again.
const GLANCE: Duration = Duration::from_millis(40);

/// What kind of browser.
#[derive(Debug, Clone, Copy)]
pub struct How {
    pub width: u32,
    pub height: u32,
    pub scripts: bool,
}

impl How {
    /// A desk's screen.
    pub const DESK: Self = Self { width: 1280, height: 900, scripts: true };
    /// A phone's screen.
    pub const PHONE: Self = Self { width: 390, height: 844, scripts: true };

    /// The same with JavaScript turned off.
    pub const fn without_scripts(self) -> Self {
        Self { scripts: false, ..self }
    }
}

/// An open browser.
pub struct Browser {
    pub client: Client,
    base: String,
    // In the order in which they have to go: the driver closes the browser, then its profile goes.
    _driver: Chromedriver,
    _profile: TempDir,
}

/// The switches that keep Chromium to itself: no sandbox, because the tests may run as root in a
/// container; nothing that asks its makers' hosts for anything.
const SWITCHES: [&str; 11] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--lang=en-US",
    "--font-render-hinting=none",
];

fn capabilities(profile: &TempDir, how: How) -> Capabilities {
    let mut switches: Vec<String> = SWITCHES.iter().map(|switch| (*switch).to_owned()).collect();
    switches.push(format!("--user-data-dir={}", profile.path().display()));
    switches.push(format!("--window-size={},{}", how.width.max(600), how.height));
    let scripts = if how.scripts { 1 } else { 2 };
    let all = json!({
        "browserName": "chrome",
        "goog:chromeOptions": {
            "args": switches,
            "prefs": { "profile.managed_default_content_settings.javascript": scripts, "intl.accept_languages": "en-US" },
        },
        "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
        "timeouts": { "script": 240_000, "pageLoad": 120_000 },
    });
    match all {
        Value::Object(map) => map,
        _ => unreachable!("an object was written above"),
    }
}

impl Browser {
    pub async fn open(base: &str, how: How) -> Self {
        let driver = Chromedriver::start();
        let profile = tempfile::tempdir().unwrap();
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(capabilities(&profile, how))
            .connect(&driver.url())
            .await
            .unwrap_or_else(|error| panic!("Chromium does not start ({error}). tests/run installs it."));
        let browser = Self { client, base: base.to_owned(), _driver: driver, _profile: profile };
        browser.resize(how.width, how.height).await;
        browser
    }

    /// Sends a command that WebDriver itself does not have.
    async fn issue(&self, command: impl WebDriverCompatibleCommand + Send + 'static) -> Value {
        let what = format!("{command:?}");
        self.client.issue_cmd(command).await.unwrap_or_else(|error| panic!("{what}: {error}"))
    }

    /// A command of the browser's own protocol.
    pub async fn devtools(&self, command: &str, parameters: Value) -> Value {
        self.issue(devtools(command, &parameters)).await
    }

    /// Gives the page this size, a narrow one as a phone does.
    pub async fn resize(&self, width: u32, height: u32) {
        let mobile = width < 600;
        let metrics = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile });
        self.devtools("Emulation.setDeviceMetricsOverride", metrics).await;
    }

    /// Shows the page on this medium (`screen`, `print`) and in this scheme (`light`, `dark`).
    pub async fn show_as(&self, medium: &str, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.devtools("Emulation.setEmulatedMedia", json!({ "media": medium, "features": features })).await;
    }

    /// Waits until something is so; when it never is, says what was waited for and what the page shows.
    pub async fn until<T>(&self, what: &str, mut look: impl AsyncFnMut() -> Option<T>) -> T {
        let end = Instant::now() + PATIENCE;
        loop {
            if let Some(found) = look().await {
                return found;
            }
            if Instant::now() > end {
                let page = self.ask_text("location.pathname + ' with the focus in ' + (document.activeElement?.outerHTML.slice(0, 300)) + ' holding ' + document.activeElement?.value + ' shows: ' + document.body.innerText.replace(/\\s+/g, ' ').slice(0, 1500)").await;
                panic!("waited {} s for {what}; {page}", PATIENCE.as_secs());
            }
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// Goes to an address of the department.
    pub async fn goto(&self, path: &str) {
        let address = if path.contains("://") { path.to_owned() } else { format!("{}{path}", self.base) };
        self.client.goto(&address).await.unwrap_or_else(|error| panic!("{address}: {error}"));
    }

    /// The path of the page that is shown.
    pub async fn path(&self) -> String {
        self.client.current_url().await.unwrap().path().to_owned()
    }

    /// Waits until the page's path is one that is looked for.
    pub async fn until_path(&self, what: &str, is_it: impl Fn(&str) -> bool) -> String {
        self.until(&format!("the page {what}"), async || Some(self.path().await).filter(|path| is_it(path)))
            .await
    }

    /// Signs in by a link: opens it and presses its button.
    pub async fn sign_in(&self, link: &str) {
        self.goto(link).await;
        self.click("main form button").await;
        self.until_path("after signing in", |path| !path.contains("/sign-in")).await;
    }

    /// The first element that the selector finds, once there is one.
    pub async fn find(&self, selector: &str) -> Element {
        self.until(selector, async || self.client.find(Locator::Css(selector)).await.ok()).await
    }

    /// Presses what the selector finds, once it can be pressed.
    pub async fn click(&self, selector: &str) {
        self.until(&format!("a press on {selector}"), async || {
            self.client.find(Locator::Css(selector)).await.ok()?.click().await.ok()
        })
        .await;
    }

    /// How many elements the selector finds now.
    pub async fn count(&self, selector: &str) -> usize {
        self.client.find_all(Locator::Css(selector)).await.unwrap().len()
    }

    /// Waits until the selector finds so many.
    pub async fn until_count(&self, selector: &str, number: usize) {
        self.until(&format!("{number} of {selector}"), async || {
            (self.count(selector).await == number).then_some(())
        })
        .await;
    }

    /// What the first element that the selector finds shows.
    pub async fn text(&self, selector: &str) -> String {
        self.find(selector).await.text().await.unwrap()
    }

    /// What every element that the selector finds shows.
    pub async fn texts(&self, selector: &str) -> Vec<String> {
        let mut texts = Vec::new();
        for element in self.client.find_all(Locator::Css(selector)).await.unwrap() {
            texts.push(element.text().await.unwrap());
        }
        texts
    }

    /// Waits until an element shows these words.
    pub async fn until_text(&self, selector: &str, words: &str) -> String {
        self.until(&format!("“{words}” in {selector}"), async || {
            let element = self.client.find(Locator::Css(selector)).await.ok()?;
            element.text().await.ok().filter(|text| text.contains(words))
        })
        .await
    }

    /// Presses the first visible link or button that shows these words, once there is one.
    pub async fn press(&self, words: &str) {
        let path = format!(
            "//*[self::a or self::button or self::summary][contains(normalize-space(.), \"{words}\")]"
        );
        self.until(&format!("a link or button “{words}”"), async || {
            for element in self.client.find_all(Locator::XPath(&path)).await.ok()? {
                // A page that changes meanwhile takes its elements with it: look again.
                if element.is_displayed().await.unwrap_or(false) && element.click().await.is_ok() {
                    return Some(());
                }
            }
            None
        })
        .await;
    }

    /// What a script that is run from outside the page answers.
    pub async fn ask(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap_or_else(|error| panic!("{script}: {error}"))
    }

    /// Answers `expression` as a text.
    pub async fn ask_text(&self, expression: &str) -> String {
        self.ask(&format!("return String({expression})")).await.as_str().unwrap_or_default().to_owned()
    }

    /// Fails when the page is wider than the screen, which makes a phone scroll sideways.
    pub async fn check_width(&self) {
        let page = self.path().await;
        let widths =
            self.ask("const root = document.documentElement; return [root.scrollWidth, innerWidth]").await;
        let [Some(page_width), Some(screen)] = [widths[0].as_u64(), widths[1].as_u64()] else {
            panic!("{page}: no widths in {widths}");
        };
        assert!(page_width <= screen, "{page} is {page_width} px wide on a screen of {screen} px");
    }

    /// Every address that the browser asked for since the last time.
    pub async fn requests(&self) -> Vec<String> {
        let mut all = Vec::new();
        for entry in self.entries("performance").await {
            let message: Value =
                serde_json::from_str(entry["message"].as_str().unwrap_or_default()).unwrap_or_default();
            if message["message"]["method"] == "Network.requestWillBeSent" {
                let address = &message["message"]["params"]["request"]["url"];
                all.extend(address.as_str().map(str::to_owned));
            }
        }
        all
    }

    /// What the console warned of since the last time; hints to developers are left out.
    pub async fn warnings(&self) -> Vec<String> {
        let entries = self.entries("browser").await;
        let grave =
            entries.iter().filter(|entry| ["WARNING", "SEVERE"].iter().any(|level| entry["level"] == *level));
        grave.map(|entry| entry["message"].as_str().unwrap_or_default().to_owned()).collect()
    }

    async fn entries(&self, kind: &str) -> Vec<Value> {
        self.issue(log(kind)).await.as_array().cloned().unwrap_or_default()
    }
}
