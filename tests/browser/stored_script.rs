//! Texts that would run as a script, written into every text field of every form and shown on every page:
//! none runs, and the browser reports no violation of the policy.
//!
//! The forms are found on the pages, as a person finds them. Each text field gets as many texts at once as it
//! takes, and the form is sent again with the next ones until all went through it.

use std::collections::BTreeMap;

use fantoccini::Locator;
use serde_json::{Value, json};

use crate::accessibility::pages;
use crate::support::{Browser, How, Stage};
use crate::vectors::ALL;

/// Listens, before anything of a page runs, to what breaks its policy.
const COLLECTOR: &str = "window.violations = [];
    document.addEventListener('securitypolicyviolation', event =>
        window.violations.push(`${event.violatedDirective} ${event.blockedURI} ${event.sample}`));";

/// Sends the forms of some pages once: each text field gets the next of its texts, all else stays as it is. What
/// a field refuses is tried with fewer texts, and one that takes none keeps what it held.
const FILL: &str = include_str!("stored_script/fill.js");

/// Pages whose forms are not walked: they change who may come in, or take something away.
const NOT_FILLED: [&str; 2] = ["/account", "/sign-in"];
/// The same of a case: with it, everything else would be gone.
const WITHDRAW: &str = "/withdraw";
/// And the form that keeps nothing of what is typed into it; its answer is asked in `routes::case::log`.
const LOG: &str = "/timeline/log";
/// At most so often each form is sent.
const ROUNDS: usize = 60;
/// How many texts go through a field of at most 160 characters, the shortest ones.
const SHORT: usize = 60;

async fn listen(browser: &Browser) {
    browser.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": COLLECTOR })).await;
}

/// Fails when a script ran on the page that is shown, or something broke its policy.
async fn check(browser: &Browser, path: &str) {
    let state = browser.ask("return [typeof zq, typeof zq === 'number' ? zq : 0, window.violations]").await;
    assert_eq!(state[0], "undefined", "{path}: a script ran: {}", state[1]);
    assert_eq!(state[2], json!([]), "{path} breaks its policy");
}

/// What became of the text fields: by form and name, how many texts went through, or none where the field takes
/// no words.
async fn fill(browser: &Browser, addresses: &[String], held: &Value) -> Value {
    let mut texts = ALL.to_vec();
    texts.sort_by_key(|text| (text.contains(|c: char| c.is_control()), text.chars().count()));
    let arguments = vec![json!(addresses), json!(texts), json!(SHORT), held.clone()];
    browser.client.execute_async(FILL, arguments).await.unwrap_or_else(|error| panic!("{error}"))
}

/// Addresses of forms that pages lead to.
async fn forms(browser: &Browser, pages: &[String]) -> Vec<String> {
    let script = "const done = arguments[arguments.length - 1];
        (async () => {
            const found = {};
            for (const path of arguments[0]) {
                const answer = await fetch(path);
                if (!(answer.headers.get('content-type') || '').startsWith('text/html')) continue;
                const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
                const general = address => address.replace(/\\d+(-\\d+)?/g, '1').replace(/\\?.*/, '');
                found[general(path)] ??= path;
                for (const link of page.querySelectorAll('main a[href^=\"/\"]')) {
                    const to = link.getAttribute('href').split('#')[0];
                    if (/\\/(new|edit)(\\?|$)/.test(to)) found[general(to)] ??= to;
                }
            }
            return Object.values(found);
        })().then(done, error => done(String(error)));";
    let found = browser.client.execute_async(script, vec![json!(pages)]).await.unwrap();
    let found = found.as_array().unwrap_or_else(|| panic!("{found}"));
    found
        .iter()
        .map(|path| path.as_str().unwrap().to_owned())
        .filter(|path| {
            !NOT_FILLED.iter().any(|start| path.starts_with(start))
                && !path.ends_with(WITHDRAW)
                && !path.ends_with(LOG)
        })
        // Saved, it is gone; the words of a kept picture go through its own form.
        .filter(|path| !path.contains("/pictures/new/"))
        .collect()
}

/// Shows a page, and passes through what it holds back: stops of a presentation, parts that are folded.
async fn show(browser: &Browser, path: &str) {
    browser.goto(path).await;
    browser.ask("document.querySelectorAll('details').forEach(part => part.open = true)").await;
    check(browser, path).await;
    if path.contains("/present") {
        for _ in 0..12 {
            browser.type_keys("\u{E014}").await;
        }
        check(browser, path).await;
    }
}

#[tokio::test]
async fn no_text_that_somebody_typed_runs_as_a_script_on_any_page() {
    let distinct: std::collections::BTreeSet<&&str> = ALL.iter().collect();
    assert!(distinct.len() == ALL.len() && ALL.len() >= 60, "{} texts", ALL.len());
    let started = std::time::Instant::now();
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let browser = &stage.browser;
    let all = pages(&stage).await;
    listen(browser).await;
    let forms = forms(browser, &all).await;
    browser.warnings().await;
    let (mut held, mut rounds) = (json!({}), 0);
    while rounds < ROUNDS {
        held = fill(browser, &forms, &held).await;
        assert!(held.is_object(), "{held}");
        rounds += 1;
        // Fields of few characters take the most rounds; the pages that show them are seen each time.
        let of_cases = held["open"].as_array().is_some_and(|open| {
            open.iter().filter_map(Value::as_str).any(|name| name.starts_with("/cases/"))
        });
        let shown =
            |path: &&String| shows_short_texts(path, rounds % 5 == 0) && (of_cases || rounds % 5 == 0);
        for path in all.iter().filter(shown) {
            show(browser, path).await;
        }
        if held["unfinished"] == 0 {
            break;
        }
    }
    for path in &all {
        show(browser, path).await;
    }
    let said = browser.warnings().await;
    let grave: Vec<&String> = said.iter().filter(|line| !line.contains("status of 4")).collect();
    assert!(grave.is_empty(), "{grave:?}");
    told(&held, rounds, &all, started);
    edited_in_place(browser).await;
    given_back(browser).await;
}

/// Pages on which titles, names and lines of words stand: the case, and now and then the others.
fn shows_short_texts(path: &str, others: bool) -> bool {
    let others_of_a_case = ["/cases/2025-007/summary", "/cases/2025-007/present"];
    let lists = ["/", "/cases", "/conferences", "/actions", "/settings/users"];
    path == "/cases/2025-007"
        || others && (others_of_a_case.contains(&path) || lists.contains(&path) || path.ends_with("/meeting"))
}

/// Says what was done, and fails when a field of words was left out.
fn told(held: &Value, rounds: usize, all: &[String], started: std::time::Instant) {
    println!("forms that were refused as a whole: {}", held["problems"]);
    let fields: BTreeMap<String, i64> = held["fields"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(name, field)| {
            (name.clone(), if field["refuses"] == true { -1 } else { field["next"].as_i64().unwrap() })
        })
        .collect();
    let of_words = fields.values().filter(|count| **count >= 0).count();
    let refuse: Vec<&String> = fields.iter().filter(|(_, count)| **count < 0).map(|(name, _)| name).collect();
    println!(
        "{} texts, {of_words} fields of words, {} fields that take none ({refuse:?}), {rounds} rounds, {} pages, {:?}",
        ALL.len(),
        refuse.len(),
        all.len(),
        started.elapsed()
    );
    let still_there = |name: &str| held["fields"][name]["round"] == held["round"];
    let left: Vec<(&String, &i64)> =
        fields.iter().filter(|(name, count)| (0..60).contains(*count) && still_there(name)).collect();
    assert!(left.is_empty(), "fewer than 60 texts went through {left:?}");
    assert!(of_words >= 200, "{of_words} fields of words: {fields:?}");
}

/// The forms that scripts put where the text stands hold the same texts.
async fn edited_in_place(browser: &Browser) {
    let path = "/cases/2025-007";
    for part in ["situation", "narrative", "outcome"] {
        browser.goto(path).await;
        browser.click(&format!("#{part} a.edit")).await;
        browser.find(&format!("#{part} form[data-edit]")).await;
        check(browser, path).await;
    }
    // A press on what looks like a link or a button of somebody's text leads nowhere that runs.
    browser.goto(path).await;
    for link in browser.client.find_all(Locator::Css("main a[href]")).await.unwrap() {
        let href = link.attr("href").await.unwrap().unwrap_or_default();
        let scheme = href.split(':').next().unwrap_or_default().trim().to_lowercase();
        let leads =
            href.starts_with(['/', '#', '?']) || ["http", "https", "mailto"].contains(&scheme.as_str());
        assert!(leads, "a link leads to {href}");
    }
}

/// A form that is sent back holds what was typed.
async fn given_back(browser: &Browser) {
    browser.goto("/record").await;
    let typed = "for (const field of document.querySelectorAll('main textarea, main input[type=text]')) field.value = arguments[0];
        document.querySelector('main form[method=post]').submit();";
    browser.client.execute(typed, vec![json!(ALL.join(" "))]).await.unwrap();
    browser.find("main .error-summary").await;
    check(browser, "/record").await;
}

#[tokio::test]
async fn a_script_that_runs_and_a_policy_that_is_broken_would_be_seen() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    listen(browser).await;
    browser.goto("/cases").await;
    check(browser, "/cases").await;
    // Inline, as a text that was not escaped would stand: refused, and reported.
    browser
        .ask("document.querySelector('main').insertAdjacentHTML('beforeend', '<img src=x onerror=\"zq=1\">')")
        .await;
    let reported = browser
        .until("the report of a violation", async || {
            let seen = browser.ask("return window.violations").await;
            seen.as_array().filter(|seen| !seen.is_empty()).map(|seen| seen[0].to_string())
        })
        .await;
    assert!(reported.contains("script-src"), "{reported}");
    assert_eq!(browser.ask_text("typeof zq").await, "undefined");
    // Were it to run, the mark would be there.
    browser.ask("window.zq = 1").await;
    assert_eq!(browser.ask_text("typeof zq").await, "number");
}
