//! Whether what may identify somebody, looked for while one types, ever holds a key up.
//!
//! `cargo bench --profile dev --bench typing` opens the narrative of a case in headless Chromium, with 2,000 words
//! and forty places that are marked, types 300 keys at the pace of a quick typist, and asks the browser how long
//! each took from the key to the paint (Event Timing) and which tasks were long (over 50 ms, Long Tasks). Then the
//! same with the marks switched off, for what the page itself takes. It fails on nothing.

#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used, clippy::panic, dead_code)]

#[path = "../tests/browser/support/mod.rs"]
mod support;

use std::time::Duration;

use support::{How, Stage};

const KEYS: usize = 300;
const PACE: Duration = Duration::from_millis(60);

const WATCH: &str = "
    window.keys = []; window.long = [];
    new PerformanceObserver((list) => { for (const e of list.getEntries()) if (e.name === 'keydown' || e.name === 'keypress') window.keys.push(e.duration); })
        .observe({ type: 'event', durationThreshold: 16 });
    new PerformanceObserver((list) => { for (const e of list.getEntries()) window.long.push(e.duration); }).observe({ type: 'longtask' });
    window.asked = 0;
    const fetched = window.fetch; window.fetch = (...all) => { if (String(all[0]).includes('identifiers')) window.asked++; return fetched(...all); };";

const FILL: &str = "
    const plain = 'The wire crossed at once and flow was TIMI 3 after a 3.0 x 28 mm stent at 14 atm. ';
    const held = 'Dr Marlow asked for a second view on 3 March 2024. ';
    let text = '';
    for (let i = 0; i < 100; i++) text += plain + (i % 5 === 0 ? held : '');
    const field = document.querySelector('textarea[name=narrative]');
    field.value = text; field.focus(); field.setSelectionRange(1000, 1000);
    field.dispatchEvent(new Event('input', { bubbles: true }));
    return text.split(' ').length";

async fn typed(stage: &Stage, what: &str, off: bool) {
    let browser = &stage.browser;
    browser.goto("/cases/2026-008/narrative/edit").await;
    if off {
        browser
            .ask("const f = document.querySelector('textarea[name=narrative]'); const g = f.cloneNode(true); f.closest('.marked-text').replaceWith(g);")
            .await;
    }
    let words = browser.ask(FILL).await;
    tokio::time::sleep(Duration::from_secs(2)).await;
    let marks = browser.count(".marks .found").await;
    browser.ask(WATCH).await;
    for index in 0..KEYS {
        // A pause now and then, in which the server is asked.
        if index % 40 == 39 {
            tokio::time::sleep(Duration::from_millis(700)).await;
        }
        browser.type_keys(if index % 6 == 5 { " " } else { "a" }).await;
        tokio::time::sleep(PACE).await;
    }
    tokio::time::sleep(Duration::from_secs(1)).await;
    let told = browser
        .ask("const k = window.keys.sort((a, b) => a - b); return [k.length, k.length ? k[k.length >> 1] : 0, k.length ? k[k.length - 1] : 0, window.long.length, Math.max(0, ...window.long), window.asked]")
        .await;
    println!(
        "{what}: {words} words, {marks} marks, {KEYS} keys: [keys that took 16 ms or more, their median ms, the slowest ms, long tasks, the longest ms, times asked] = {told}"
    );
}

#[tokio::main]
async fn main() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    typed(&stage, "with marks", false).await;
    typed(&stage, "without   ", true).await;
}
