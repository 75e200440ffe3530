//! A picture on its way: brought, a frame chosen by scrubbing, rectangles drawn by mouse and by keyboard, looked at,
//! kept, and seen on the page of the case. And the same without JavaScript.

use std::path::{Path, PathBuf};
use std::process::Command;

use fantoccini::Locator;
use fantoccini::actions::{InputSource as _, MouseActions, PointerAction};
use fantoccini::key::Key;
use tempfile::TempDir;

use crate::support::{Browser, How, Stage};

const CASE: &str = "/cases/2025-007";

/// A run of 12 frames that pydicom wrote, in a folder that goes when it does.
fn run() -> (TempDir, PathBuf) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().unwrap();
    let made = folder.path().join("made");
    let done = Command::new(root.join("target/python/bin/python"))
        .arg(root.join("tests/python/pictures.py"))
        .arg("make")
        .arg(&made)
        .status()
        .expect("target/python: tests/run installs it");
    assert!(done.success());
    (folder, made.join("run.dcm"))
}

/// Opens the page on which a picture is brought, and sends the run.
async fn bring(browser: &Browser, file: &Path) {
    browser.goto(CASE).await;
    browser.click("#pictures-h ~ a[href$='/pictures/new']").await;
    browser.until_path("to bring a picture", |path| path.ends_with("/pictures/new")).await;
    browser.find("#file").await.send_keys(file.to_str().unwrap()).await.unwrap();
    browser.press("Read it").await;
    browser.until_path("of the editor", |path| path.contains("/pictures/new/")).await;
    browser.until_text("main", "a run of 12 frames").await;
    browser.until_text("main", "identify somebody: all dropped").await;
}

/// Draws from one place of the picture to another, in percent.
async fn draw(browser: &Browser, from: (f64, f64), to: (f64, f64)) {
    browser.ask("document.querySelector('[data-stage]').scrollIntoView({ block: 'center' })").await;
    let place = browser
        .ask("const { left, top, width, height } = document.querySelector('[data-stage]').getBoundingClientRect(); return [left, top, width, height]")
        .await;
    let side = |at: usize| place[at].as_f64().unwrap();
    let at = |(x, y): (f64, f64)| PointerAction::MoveTo {
        duration: None,
        x: side(0) + side(2) * x / 100.0,
        y: side(1) + side(3) * y / 100.0,
    };
    let mouse = MouseActions::new("mouse".to_owned())
        .then(at(from))
        .then(PointerAction::Down { button: 0 })
        .then(at(to))
        .then(PointerAction::Up { button: 0 });
    browser.client.perform_actions(mouse).await.unwrap();
}

async fn number(browser: &Browser, name: &str, row: usize) -> f64 {
    let text = browser.ask_text(&format!("document.getElementById('{name}-{row}').value")).await;
    text.parse().unwrap_or_else(|_| panic!("{name} of {row} is {text:?}"))
}

#[tokio::test]
async fn a_frame_is_chosen_rectangles_are_drawn_and_the_picture_stands_on_the_page_of_the_case() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    let (_folder, file) = run();
    browser.goto(CASE).await;
    let before = browser.count("#pictures img").await;
    bring(browser, &file).await;
    // Scrubbing: the slider by keys, the steps by buttons.
    let source =
        || async { browser.ask_text("document.querySelector('[data-stage] img').getAttribute('src')").await };
    let middle = source().await;
    assert!(middle.ends_with("/frame/7"), "{middle}");
    browser.click("[data-step='1']").await;
    browser.until("the next frame", async || source().await.ends_with("/frame/8").then_some(())).await;
    browser.ask("document.querySelector('[data-scrub] input').focus()").await;
    browser.keys(Key::Left, 3).await;
    browser.until("three frames before", async || source().await.ends_with("/frame/5").then_some(())).await;
    assert_eq!(browser.ask_text("document.getElementById('frame').value").await, "5");
    // By mouse.
    draw(browser, (10.0, 10.0), (40.0, 30.0)).await;
    browser.until_count(".redact-box", 1).await;
    let drawn = [
        number(browser, "left", 1).await,
        number(browser, "top", 1).await,
        number(browser, "width", 1).await,
        number(browser, "height", 1).await,
    ];
    for (drawn, wanted) in drawn.iter().zip([10.0, 10.0, 30.0, 20.0]) {
        assert!((drawn - wanted).abs() < 1.0, "{drawn} rather than {wanted}");
    }
    // By keyboard: one more, moved, made larger, another taken away again.
    browser.click("[data-add]").await;
    browser.until_count(".redact-box", 2).await;
    let (left, width) = (number(browser, "left", 2).await, number(browser, "width", 2).await);
    browser.keys(Key::Right, 4).await;
    browser.ask("document.activeElement.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', shiftKey: true, bubbles: true, cancelable: true }))").await;
    assert!((number(browser, "left", 2).await - left - 4.0).abs() < 0.01);
    assert!((number(browser, "width", 2).await - width - 1.0).abs() < 0.01);
    browser.click("[data-add]").await;
    browser.until_count(".redact-box", 3).await;
    browser.key(Key::Delete).await;
    browser.until_count(".redact-box", 2).await;
    browser.press("Burn them in, and look").await;
    browser.until_path("to look at it", |path| path.ends_with("/look")).await;
    browser.until_text("main", "2 rectangles were burnt out").await;
    // The picture that is looked at is the server's: its pixels are grey where something was drawn.
    let pixel = browser
        .client
        .execute_async(
            "const done = arguments[0]; const image = document.querySelector('.still-full img');
             image.decode().then(() => { const canvas = document.createElement('canvas'); canvas.width = image.naturalWidth; canvas.height = image.naturalHeight;
             const to = canvas.getContext('2d'); to.drawImage(image, 0, 0); done([...to.getImageData(16, 10, 1, 1).data]); });",
            Vec::new(),
        )
        .await
        .unwrap();
    assert_eq!(pixel, serde_json::json!([88, 88, 88, 255]));
    browser.find("#shows").await.send_keys("The branch ends early.").await.unwrap();
    browser.find("#caption").await.send_keys("Flow is gone").await.unwrap();
    browser.ask("for (const box of document.querySelectorAll('#looked input, [id=\"no-writing\"] input')) box.checked = true").await;
    browser.press("Keep this picture").await;
    browser.until_path("of the case", |path| path == CASE).await;
    browser.until_count("#pictures img", before + 1).await;
    browser.until_text("#pictures", "Flow is gone").await;
    browser.check_width().await;
    // What is said of it is edited where it stands.
    let last =
        browser.client.find_all(Locator::Css("#pictures [data-in-place]")).await.unwrap().pop().unwrap();
    last.click().await.unwrap();
    browser.until_count("#pictures textarea", 1).await;
    assert_eq!(browser.warnings().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_picture_is_burnt_and_kept_without_a_script_on_a_phone() {
    let stage = Stage::set(How::PHONE.without_scripts()).await;
    let browser = &stage.browser;
    browser.sign_in(stage.demo.link("Fellow")).await;
    let (_folder, file) = run();
    browser.goto(&format!("{CASE}/pictures/new")).await;
    browser.find("#file").await.send_keys(file.to_str().unwrap()).await.unwrap();
    browser.press("Read it").await;
    browser.until_path("of the editor", |path| path.contains("/pictures/new/")).await;
    let frame = browser.find("#frame").await;
    frame.clear().await.unwrap();
    frame.send_keys("3").await.unwrap();
    browser.press("Show this frame").await;
    browser.until_count("[data-stage] img[src$='/frame/3']", 1).await;
    for (name, text) in [("left", "0"), ("top", "0"), ("width", "50"), ("height", "20")] {
        let field = browser.find(&format!("#{name}-1")).await;
        field.clear().await.unwrap();
        field.send_keys(text).await.unwrap();
    }
    browser.press("Burn them in, and look").await;
    browser.until_path("to look at it", |path| path.ends_with("/look")).await;
    browser.find("#shows").await.send_keys("The branch ends early.").await.unwrap();
    for selector in ["#no-writing input", "#looked input"] {
        if browser.count(selector).await > 0 {
            browser.click(selector).await;
        }
    }
    browser.press("Keep this picture").await;
    browser.until_path("of the case", |path| path == CASE).await;
    browser.until_count("#pictures img", 3).await;
}
