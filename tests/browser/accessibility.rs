//! An accessibility scan of every page with axe-core, in light and dark, on a desk and on a phone:
//! no finding that axe calls serious or critical.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::LazyLock;

use axum::http::Method;
use relook::accounts::TotpKey;
use relook::web::router::routes;
use serde_json::{Value, json};

use crate::library::walk;
use crate::main_job::{choose, record};
use crate::support::{Browser, How, Stage};

/// Where `tests/run` puts axe-core.
const AXE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/target/axe-core/package/axe.min.js");

static SOURCE: LazyLock<String> = LazyLock::new(|| {
    std::fs::read_to_string(AXE).unwrap_or_else(|error| panic!("{AXE}: {error}. tests/run fetches it."))
});

/// Files to keep are no pages.
fn is_file(path: &str) -> bool {
    path.starts_with("/static/")
        // What a page of a presentation loads is a part of it.
        || path.contains("/segments/")
        || path.starts_with("/vote/static/")
        // A frame of a run.
        || path.contains("/frame/")
        // Counts and drafts for a script.
        || path.starts_with("/polls/")
        || path == "/drafts/form"
        // A word for a supervisor.
        || ["/health", "/ready"].contains(&path)
        || path.ends_with("{file}")
        || path.contains("/files/")
        || Path::new(path)
            .extension()
            .is_some_and(|end| ["md", "toml", "json", "csv", "docx", "pptx", "png"].iter().any(|kind| end == *kind))
}

/// Whether an address is one of a rule's.
fn is_of(address: &str, rule: &str) -> bool {
    let (address, rule): (Vec<&str>, Vec<&str>) = (address.split('/').collect(), rule.split('/').collect());
    address.len() == rule.len()
        && address
            .iter()
            .zip(&rule)
            .all(|(part, wanted)| part == wanted || (wanted.starts_with('{') && !part.is_empty()))
}

/// Turns on what is off by default, so that its pages are there: operators, and one of them.
async fn show_operators(browser: &Browser) {
    browser.goto("/settings/rates").await;
    browser.click("[name='operators'][value='on']").await;
    browser.press("Save").await;
    browser.until_path("of the settings", |path| path == "/settings").await;
    browser.goto("/settings/operators").await;
    browser.find("[name='pseudonym']").await.send_keys("Heron").await.unwrap();
    browser.press("Add the pseudonym").await;
    browser.until_count("a[href^='/settings/operators/'][href$='1']", 1).await;
}

/// Opens a vote, so that the page of a phone is there; gives its address.
async fn open_vote(browser: &Browser) -> String {
    let open = "const done = arguments[0];
        fetch('/cases/2025-007/points/inflate-or-prove/polls', { method: 'POST', body: new URLSearchParams({ phase: 'before' }) })
            .then(answer => answer.json()).then(poll => done(poll.code));";
    let code = browser.client.execute_async(open, Vec::new()).await.unwrap();
    format!("/vote/{}", code.as_str().unwrap())
}

/// Brings a picture, the one that the demo has, and burns something out; gives where its editor is.
async fn bring_picture(browser: &Browser) -> String {
    let bring = "const done = arguments[0];
        (async () => {
            const page = new DOMParser().parseFromString(await (await fetch('/cases/2025-007')).text(), 'text/html');
            const still = await (await fetch(page.querySelector('#pictures img').getAttribute('src'))).blob();
            const form = new FormData();
            form.append('file', still, 'still.png');
            const editor = (await fetch('/cases/2025-007/pictures/new', { method: 'POST', body: form })).url;
            const numbers = { do: 'burn', left: 2, top: 2, width: 10, height: 5 };
            await fetch(editor, { method: 'POST', body: new URLSearchParams(numbers) });
            return new URL(editor).pathname;
        })().then(done, error => done(String(error)));";
    let editor = browser.client.execute_async(bring, Vec::new()).await.unwrap();
    editor.as_str().unwrap().to_owned()
}

/// An address for every page that the table of routes has, found by following the links of pages
/// from the overview and from a case that holds everything, as somebody who may see all of them.
pub async fn pages(stage: &Stage) -> Vec<String> {
    show_operators(&stage.browser).await;
    const STARTS: [&str; 4] = ["/cases/2025-007", "/", "/cases", "/settings"];
    let rules: BTreeSet<&str> = routes()
        .rules()
        .into_iter()
        .filter(|rule| {
            rule.method == Method::GET && !is_file(rule.path) && rule.path != "/sign-in/link/{secret}"
        })
        .map(|rule| rule.path)
        .collect();
    let mut found: BTreeMap<&str, String> =
        rules.iter().filter(|rule| !rule.contains('{')).map(|rule| (*rule, (*rule).to_owned())).collect();
    found.insert("/vote/{code}", open_vote(&stage.browser).await);
    let editor = bring_picture(&stage.browser).await;
    found.insert("/cases/{code}/pictures/new/{token}/look", format!("{editor}/look"));
    found.insert("/cases/{code}/pictures/new/{token}", editor);
    let mut ahead: Vec<String> = STARTS.iter().rev().map(|start| (*start).to_owned()).collect();
    ahead.splice(0..0, found.values().cloned());
    let mut seen = BTreeSet::new();
    while let Some(path) = ahead.pop() {
        if !seen.insert(path.clone()) {
            continue;
        }
        stage.browser.goto(&path).await;
        let links = stage
            .browser
            .ask("return [...document.querySelectorAll('main a[href]')].map(link => link.pathname)")
            .await;
        for link in links.as_array().unwrap().iter().filter_map(Value::as_str) {
            // What is written out in the table comes before what a placeholder would also take.
            if rules.contains(link) {
                continue;
            }
            for rule in &rules {
                if is_of(link, rule) && !found.contains_key(rule) {
                    found.insert(rule, link.to_owned());
                    ahead.push(link.to_owned());
                }
            }
        }
    }
    let lost: Vec<&&str> = rules.iter().filter(|rule| !found.contains_key(*rule)).collect();
    assert!(lost.is_empty(), "no link leads to {lost:?}");
    found.into_values().collect()
}

/// Runs axe-core over the page as it is shown; gives what it found, and fails when it did not run.
async fn findings(browser: &Browser, only_colour: bool) -> Vec<Value> {
    let has_axe = browser.ask_text("typeof window.axe").await == "object";
    if !has_axe {
        browser.client.execute(&SOURCE, Vec::new()).await.unwrap();
    }
    let options = if only_colour {
        json!({ "runOnly": { "type": "rule", "values": ["color-contrast", "link-in-text-block"] }, "preload": false })
    } else {
        json!({ "preload": false })
    };
    let script = "const [options, done] = arguments;
        // A transition that never ends is not waited for: no style of ours takes a second.
        const ended = document.getAnimations().map(each => each.finished.catch(() => {}));
        Promise.race([Promise.all(ended), new Promise(over => setTimeout(over, 1000))])
            .then(() => axe.run(document, options))
            .then(result => done({
                passed: result.passes.length,
                found: result.violations.map(rule => ({
                    rule: rule.id, impact: rule.impact, help: rule.help,
                    at: rule.nodes.slice(0, 5).map(node => node.target.join(' ') + ' — ' + node.failureSummary.replace(/\\s+/g, ' ')),
                })),
            }))
            .catch(error => done({ error: String(error) }));";
    let answer = browser.client.execute_async(script, vec![options]).await.unwrap();
    assert!(answer["passed"].as_u64().unwrap_or(0) > 0, "axe found nothing to look at: {answer}");
    answer["found"].as_array().cloned().unwrap_or_default()
}

/// The scans of a session, and what they found.
#[derive(Default)]
struct Scan {
    runs: usize,
    grave: Vec<String>,
    lesser: BTreeSet<String>,
}

impl Scan {
    /// Looks at the page in light and dark, at a desk and on a phone. In the dark only colours can
    /// differ, so only they are looked at there.
    async fn look(&mut self, browser: &Browser, name: &str) {
        for (width, height) in [(1280, 900), (390, 844)] {
            browser.resize(width, height).await;
            for scheme in ["light", "dark"] {
                browser.show_as("screen", scheme).await;
                for finding in findings(browser, scheme == "dark").await {
                    let said = format!("{}: {} ({})", finding["impact"], finding["rule"], finding["help"]);
                    if ["serious", "critical"].iter().any(|grave| finding["impact"] == *grave) {
                        self.grave.push(format!("{name}, {width} px, {scheme}: {said}: {}", finding["at"]));
                    } else {
                        self.lesser.insert(format!("{said} on {name}: {}", finding["at"]));
                    }
                }
                self.runs += 1;
            }
        }
        browser.show_as("screen", "light").await;
        browser.resize(1280, 900).await;
    }

    fn report(self) {
        println!("{} scans", self.runs);
        for each in &self.lesser {
            println!("lesser: {each}");
        }
        assert!(self.grave.is_empty(), "{} findings:\n{}", self.grave.len(), self.grave.join("\n"));
    }
}

#[tokio::test]
async fn every_page_is_free_of_serious_findings() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let mut scan = Scan::default();
    let all = pages(&stage).await;
    assert!(all.len() > 25, "only {} pages", all.len());
    for path in &all {
        stage.browser.goto(path).await;
        scan.look(&stage.browser, path).await;
    }
    scan.report();
}

/// A password that every rule accepts.
const PASSWORD: &str = "lamp river hat sock";

/// Sets up a second factor for whoever is signed in, and signs in with it: each page on the way.
async fn second_factor(browser: &Browser, scan: &mut Scan) {
    browser.goto("/account/second-factor").await;
    scan.look(browser, "a second factor that is off").await;
    browser.press("Set it up").await;
    let key = browser.find(".key-text").await.text().await.unwrap().replace(' ', "");
    let key: TotpKey = key.parse().unwrap();
    let code = |steps: i64| {
        let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap().as_secs();
        key.code(i64::try_from(now).unwrap() / 30 + steps)
    };
    scan.look(browser, "a second factor to confirm").await;
    browser.find("#current_password").await.send_keys("another one").await.unwrap();
    browser.press("Turn it on").await;
    browser.find(".error-summary").await;
    scan.look(browser, "a second factor that was not confirmed").await;
    browser.find("#current_password").await.send_keys(PASSWORD).await.unwrap();
    browser.find("#code").await.send_keys(&code(0)).await.unwrap();
    browser.press("Turn it on").await;
    browser.find(".recovery-codes").await;
    scan.look(browser, "recovery codes").await;
    for path in ["", "/second-factor", "/second-factor/codes", "/second-factor/off"] {
        browser.goto(&format!("/account{path}")).await;
        scan.look(browser, &format!("/account{path} with a second factor")).await;
    }
    browser.press("Sign out").await;
    browser.find("#name").await.send_keys("Rae Reader").await.unwrap();
    browser.find("#password").await.send_keys(PASSWORD).await.unwrap();
    browser.click("main form button").await;
    browser.find("#code").await;
    scan.look(browser, "the question for a code").await;
    browser.find("#code").await.send_keys(&code(1)).await.unwrap();
    browser.click("main form button").await;
    browser.until_path("after the code", |path| !path.contains("/sign-in")).await;
}

#[tokio::test]
async fn pages_of_other_people_are_free_of_serious_findings() {
    let stage = Stage::set(How::DESK).await;
    let browser = &stage.browser;
    let mut scan = Scan::default();
    browser.goto("/sign-in").await;
    scan.look(browser, "signing in").await;
    browser.goto(stage.demo.link("Fellow")).await;
    scan.look(browser, "a sign-in link").await;
    for person in ["Fellow", "Attending"] {
        browser.sign_in(stage.demo.link(person)).await;
        for path in [
            "/",
            "/cases",
            "/cases/2025-007",
            "/cases/2026-010",
            "/settings",
            "/conferences/1/meeting",
            "/conferences/2/meeting",
        ] {
            browser.goto(path).await;
            scan.look(browser, &format!("{path} for the {person}")).await;
        }
    }
    // The demo has no reader, so the quality lead makes one.
    browser.sign_in(stage.demo.link("Quality lead")).await;
    browser.goto("/settings/users/new").await;
    browser.find("#name").await.send_keys("Rae Reader").await.unwrap();
    let role = browser.find("[name='role']").await;
    if role.tag_name().await.unwrap() == "select" {
        role.select_by_value("reader").await.unwrap();
    } else {
        browser.click("[name='role'][value='reader']").await;
    }
    browser.click("main form button.primary").await;
    let link = browser.find("#link").await.prop("value").await.unwrap().unwrap();
    scan.look(browser, "the new account's link").await;
    let opened = link.find("/sign-in").map(|at| link[at..].to_owned()).unwrap();
    browser.goto(&opened).await;
    scan.look(browser, "choosing a password").await;
    for field in ["#new_password", "#again"] {
        browser.find(field).await.send_keys(PASSWORD).await.unwrap();
    }
    browser.click("main form button").await;
    browser.until_path("after signing in", |path| !path.contains("/sign-in")).await;
    second_factor(browser, &mut scan).await;
    for path in [
        "/",
        "/cases",
        "/cases/2025-007",
        "/cases/2025-007/summary",
        "/cases/2025-007/walk",
        "/cases/2025-007/walk/1",
        "/library",
        "/library?q=wire&view=lessons",
        "/lessons/recurring",
        "/lessons/recurring/1",
        "/rates",
        "/conferences",
        "/conferences/1",
        "/account",
    ] {
        browser.goto(path).await;
        scan.look(browser, &format!("{path} for a reader")).await;
    }
    scan.report();
}

#[tokio::test]
async fn what_opens_on_a_page_and_what_goes_wrong_is_free_of_serious_findings() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    let mut scan = Scan::default();
    for (path, name) in [
        ("/nowhere", "no such page"),
        ("/cases?q=xyzzy", "no case answers"),
        ("/cases?from=March", "a question that cannot be read"),
        ("/library?q=xyzzy", "nothing in the library answers"),
        ("/library?mechanism=xyzzy", "a question to the library that cannot be read"),
        ("/library?q=wire+lumen", "the library with hits"),
    ] {
        browser.goto(path).await;
        scan.look(browser, name).await;
    }
    browser.goto("/cases/2025-007/walk/1").await;
    browser.press("Choose, and see what followed").await;
    browser.find(".error-summary").await;
    scan.look(browser, "a stop without a choice").await;
    for stop in walk(browser, "/cases/2025-007").await {
        browser.goto(&stop).await;
        scan.look(browser, &format!("{stop} when it is answered")).await;
    }

    browser.goto("/record").await;
    browser.press("Record it").await;
    browser.find(".error-summary").await;
    scan.look(browser, "a first entry that lacks its answers").await;

    browser.goto("/conferences/2/meeting").await;
    browser.ask("document.querySelectorAll('main details').forEach(each => { each.open = true })").await;
    scan.look(browser, "a meeting with every form unfolded").await;
    browser.find("[name=lesson]").await.send_keys("Half a lesson").await.unwrap();
    browser.click("section:has([name=lesson]) form button").await;
    browser.find("main .error-summary").await;
    scan.look(browser, "a lesson that lacks its kind").await;

    let case = record(browser, "reflow", "No-reflow").await;
    scan.look(browser, "a case that was just recorded").await;
    browser.click("#kind-find").await;
    browser.until_count("#kind-list [role=option]", 19).await;
    scan.look(browser, "a chooser that is open").await;
    browser.find("#at").await.send_keys("12:75").await.unwrap();
    browser.click("form[data-rows] button").await;
    browser.find("#at-error").await;
    scan.look(browser, "a row that is wrong").await;

    // Somebody saves while the form is open.
    browser.goto(&case).await;
    browser.click("#outcome a.edit").await;
    browser.find("#outcome [name=discharge]").await.send_keys("Mine").await.unwrap();
    scan.look(browser, "a form in its place").await;
    let other = "const done = arguments[0];
        fetch(document.querySelector('#outcome form').action.replace(/$/, '/edit')).then(answer => answer.text()).then(html => {
            const form = new DOMParser().parseFromString(html, 'text/html').querySelector('form[data-edit]');
            form.elements.discharge.value = 'Theirs';
            return fetch(form.getAttribute('action'), { method: 'POST', body: new URLSearchParams(new FormData(form)) });
        }).then(answer => done(answer.status));";
    assert_eq!(browser.client.execute_async(other, Vec::new()).await.unwrap(), json!(200));
    browser.press("Save").await;
    browser.find("[data-stale]").await;
    scan.look(browser, "two versions side by side").await;

    browser.goto(&case).await;
    browser.press("Keys").await;
    browser.find("dialog[open]").await;
    scan.look(browser, "the list of keys").await;
    scan.report();
}

#[tokio::test]
async fn a_page_with_a_grave_fault_would_be_found() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto("/cases").await;
    browser.ask("const image = new Image(); image.src = '/static/icon.svg'; document.querySelector('main').append(image);
        const faint = document.createElement('p'); faint.textContent = 'Hardly to be read'; faint.style.color = '#ddd';
        faint.style.background = '#fff'; document.querySelector('main').append(faint)").await;
    let rules: BTreeSet<String> =
        findings(browser, false).await.iter().map(|each| each["rule"].as_str().unwrap().to_owned()).collect();
    assert!(rules.contains("image-alt") && rules.contains("color-contrast"), "{rules:?}");
    browser
        .until("the colours alone", async || {
            let rules = findings(browser, true).await;
            rules.iter().all(|each| each["rule"] == "color-contrast").then_some(())
        })
        .await;
    choose_nothing_else(browser).await;
}

/// A chooser without its name would be found too.
async fn choose_nothing_else(browser: &Browser) {
    browser.goto("/record").await;
    choose(browser, "main form", "mechanism", "no re", "No-reflow").await;
    browser.ask("document.querySelectorAll('label').forEach(label => label.remove())").await;
    let found = findings(browser, false).await;
    assert!(
        found.iter().any(|each| each["rule"] == "label" || each["rule"] == "aria-input-field-name"),
        "{found:?}"
    );
}
