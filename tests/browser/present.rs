//! A case on the wall and on the presenter's screen: by keyboard, in two windows, without a server.

use serde_json::json;

use crate::support::{Browser, How, Stage};

/// The wall of a lecture room, and the smallest that is still in use.
const WALLS: [(u32, u32); 2] = [(1920, 1080), (1024, 768)];
/// The case whose decisions are stop points.
const CASE: &str = "2025-007";
/// 24 points, the least that the last row can read, in pixels of a wall of 1920 × 1080, and what it
/// may not fall below on one of 1024 × 768.
const LEAST_TEXT: [f64; 2] = [32.0, 20.0];

const ON: char = '\u{e014}';
const BACK: char = '\u{e012}';

pub async fn key(browser: &Browser) -> String {
    browser.ask_text("document.querySelector('.screen.current')?.dataset.key ?? ''").await
}

pub async fn until_key(browser: &Browser, wanted: &str) {
    browser
        .until(&format!("the screen {wanted}"), async || (key(browser).await == wanted).then_some(()))
        .await;
}

pub async fn until_loaded(browser: &Browser) {
    browser.until_text("[data-load]", "All loaded: the cable can be pulled").await;
}

async fn present(browser: &Browser, case: &str) {
    browser.goto(&format!("/cases/{case}/present")).await;
    until_loaded(browser).await;
}

/// Presses the right arrow until a screen comes; gives the keys of the screens that were passed.
pub async fn on_to(browser: &Browser, wanted: &str) -> Vec<String> {
    let mut seen = vec![key(browser).await];
    while seen.last().is_none_or(|last| last != wanted) {
        browser.type_keys(&ON.to_string()).await;
        let now = key(browser).await;
        assert!(!seen.contains(&now), "no {wanted} in {seen:?}");
        seen.push(now);
    }
    seen
}

/// Saves a picture of the page where a person asked for it.
async fn picture(browser: &Browser, name: &str) {
    let Ok(folder) = std::env::var("RELOOK_PICTURES") else { return };
    let png = browser.client.screenshot().await.unwrap();
    std::fs::write(format!("{folder}/{name}.png"), png).unwrap();
}

#[tokio::test]
async fn the_arrows_lead_through_the_case_and_past_its_stop_points() {
    let stage = Stage::signed_in(How { width: 1280, height: 800, scripts: true }, "Fellow").await;
    let browser = &stage.browser;
    browser.goto(&format!("/cases/{CASE}")).await;
    browser.press("Present it").await;
    until_loaded(browser).await;
    assert_eq!(key(browser).await, "title");
    let html = browser.client.source().await.unwrap();
    assert!(!html.contains("diagonal lost"), "the title of the case gives the answer away");

    let seen = on_to(browser, "stop-inflate-or-prove").await;
    assert!(seen.iter().filter(|key| key.starts_with("timeline-")).count() >= 2, "{seen:?}");
    let asked = browser.text(".screen.current").await;
    assert!(asked.contains("Inflate a small balloon") && !asked.contains("was chosen"), "{asked}");
    let stopped = on_to(browser, "stop-inflate-or-prove_answer").await;
    assert!(stopped.contains(&"stop-inflate-or-prove_option-1".to_owned()), "{stopped:?}");
    let document = browser.ask_text("document.documentElement.outerHTML").await;
    assert!(!document.contains("after-inflate-or-prove"), "what followed is in the document before its time");
    // No key but the one that goes on leads past a stop.
    browser.type_keys("\u{e010}99\u{e007}").await;
    assert_eq!(key(browser).await, "stop-inflate-or-prove_answer");
    browser.until_text("[data-say]", "behind a stop point").await;

    browser.type_keys(&ON.to_string()).await;
    until_key(browser, "after-inflate-or-prove").await;
    assert!(browser.text(".screen.current").await.contains("The balloon was inflated twice"));
    browser.type_keys(&BACK.to_string()).await;
    assert_eq!(key(browser).await, "stop-inflate-or-prove_answer");
    let rest = on_to(browser, "end").await;
    let place = |wanted: &str| {
        rest.iter()
            .position(|key| key.starts_with(wanted))
            .unwrap_or_else(|| panic!("no {wanted} in {rest:?}"))
    };
    for pair in [
        "stop-closed-artery",
        "after-closed-artery",
        "situation",
        "course",
        "chain",
        "cause-",
        "rate",
        "lesson-",
        "actions",
        "end",
    ]
    .windows(2)
    {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?} in {rest:?}");
    }
    browser.type_keys("\u{e011}").await;
    assert_eq!(key(browser).await, "title");
    browser.type_keys("3\u{e007}").await;
    assert_eq!(browser.text("[data-number]").await, "3");

    browser.type_keys("b").await;
    assert_eq!(browser.count("body.blank").await, 1);
    browser.type_keys("b").await;
    browser.type_keys("l").await;
    assert_eq!(browser.ask_text("document.documentElement.dataset.room").await, "light");
    browser.type_keys("?").await;
    browser.find("dialog.deck-keys[open]").await;
    browser.type_keys("\u{e00c}").await;
    browser.until_count("dialog[open]", 0).await;
    browser.type_keys("\u{e00c}").await;
    browser.until_path("of the case", |path| path == format!("/cases/{CASE}")).await;
    assert_eq!(browser.warnings().await, Vec::<String>::new());
}

#[tokio::test]
async fn two_windows_are_in_step_and_go_on_when_the_server_is_gone() {
    let stage = Stage::signed_in(How { width: 1280, height: 800, scripts: true }, "Fellow").await;
    let Stage { demo, browser, .. } = &stage;
    present(browser, CASE).await;
    let audience = browser.client.window().await.unwrap();
    browser.type_keys("p").await;
    let presenter = browser
        .until("a second window", async || {
            browser.client.windows().await.unwrap().into_iter().find(|window| *window != audience)
        })
        .await;
    let to = async |window: &fantoccini::wd::WindowHandle| {
        browser.client.switch_to_window(window.clone()).await.unwrap();
    };
    to(&presenter).await;
    until_loaded(browser).await;
    let now = ".now .screen.current";
    until_key(browser, "title").await;

    demo.stop();
    browser.click("[data-do='on']").await;
    browser.until_text(".now h2", "2").await;
    let there = browser.text(now).await;
    to(&audience).await;
    browser
        .until("the audience's window in step", async || {
            (browser.ask_text("document.querySelector('[data-number]').textContent").await == "2")
                .then_some(())
        })
        .await;
    let shown = browser.text(".screen.current h2").await;
    assert!(there.contains(&shown), "{there} / {shown}");

    // The audience's window can lead too.
    on_to(browser, "stop-inflate-or-prove_answer").await;
    to(&presenter).await;
    until_key(browser, "stop-inflate-or-prove_answer").await;
    assert!(browser.text("[data-next]").await.contains("The room decides"));
    assert!(browser.text("[data-notes-now]").await.contains("before anybody says"));
    let document = browser.ask_text("document.documentElement.outerHTML").await;
    assert!(!document.contains("inflated twice"), "the presenter's window tells too early");
    picture(browser, "presenter-at-a-stop").await;

    // Hands are kept without a server, and shown on the wall.
    for (option, hands) in [("1", "7"), ("2", "12"), ("3", "1")] {
        let field = browser.find(&format!("#hands-before-{option}")).await;
        field.clear().await.unwrap();
        field.send_keys(hands).await.unwrap();
    }
    browser.press("Keep these hands").await;
    browser.until_text("[data-vote-say]", "kept").await;
    to(&audience).await;
    browser.until_text(".screen.current .answers", "20 answers").await;

    to(&presenter).await;
    browser.press("Go on").await;
    until_key(browser, "after-inflate-or-prove").await;
    browser.find("#hands-after-1").await.clear().await.unwrap();
    browser.find("#hands-after-2").await.send_keys("9").await.unwrap();
    browser.press("Keep these hands").await;
    to(&audience).await;
    until_key(browser, "after-inflate-or-prove").await;
    let both = browser.until_text(".screen.current .answers", "After").await;
    assert!(both.contains("Before: 20") && both.contains("Option 1, chosen"), "{both}");
    picture(browser, "answers-1280").await;
    on_to(browser, "end").await;
}

#[tokio::test]
async fn without_scripts_the_screens_are_read_from_stop_to_stop() {
    let stage = Stage::signed_in(How::DESK.without_scripts(), "Fellow").await;
    let browser = &stage.browser;
    browser.goto(&format!("/cases/{CASE}/present")).await;
    let first = browser.text("main").await;
    assert!(first.contains("What next?") && !first.contains("The balloon was inflated twice"), "{first}");
    browser.press("Go on to what was chosen").await;
    assert!(browser.text("main").await.contains("The balloon was inflated twice"));
    browser.check_width().await;
}

/// A server that keeps answers, as far as the windows see one: it holds one poll, and forgets
/// nothing that is sent twice.
const POLLS: &str = "
    const poll = { code: 'k7m3xq', decision: 'inflate-or-prove', phase: 'before', question: 'What next?', open: true, total: 0,
        address: 'http://192.168.1.20:7351/vote/k7m3xq', hands_only: null,
        qr: '<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 2 2\"><rect width=\"1\" height=\"1\"/></svg>',
        options: [1, 2, 3].map(position => ({ position, text: 'Option ' + position, hands: 0, phones: 0 })) };
    window.polls = { asked: [], poll, down: false };
    window.fetch = async (address, how = {}) => {
        const path = new URL(address, location).pathname;
        if (window.polls.down) throw new TypeError('no server');
        window.polls.asked.push(`${how.method ?? 'GET'} ${path} ${how.body ?? ''}`.trim());
        if (path.endsWith('/hands')) for (const [position, hands] of how.body) poll.options[position - 1].hands = Number(hands);
        if (path.endsWith('/close')) poll.open = false;
        return new Response(JSON.stringify(poll), { status: path.endsWith('/polls') ? 201 : 200 });
    };
";

#[tokio::test]
async fn phones_are_opened_counted_live_and_closed_when_the_room_goes_on() {
    let stage = Stage::signed_in(How { width: 1280, height: 800, scripts: true }, "Fellow").await;
    let browser = &stage.browser;
    present(browser, CASE).await;
    on_to(browser, "stop-inflate-or-prove_answer").await;
    browser.ask(POLLS).await;
    browser.type_keys("v").await;
    browser.press("Open phones").await;
    browser.type_keys("\u{e00c}").await;
    browser.until_text("[data-code]", "http://192.168.1.20:7351/vote/k7m3xq").await;
    browser.until_count("[data-code] img[src^='data:image/svg']", 1).await;
    browser.ask("window.polls.poll.options[1].phones = 14").await;
    browser.until_text("[data-code]", "14 answers").await;
    picture(browser, "code-1280").await;
    browser.type_keys("q").await;
    browser.until_text(".screen.current .answers", "14 answers").await;

    // The cable is out while hands are counted: they are sent, once, when it is back.
    browser.ask("window.polls.down = true").await;
    browser.type_keys("v").await;
    let field = browser.find("#hands-before-1").await;
    field.clear().await.unwrap();
    field.send_keys("6").await.unwrap();
    browser.press("Keep these hands").await;
    browser.until_text("[data-vote-say]", "not sent yet").await;
    browser.type_keys("\u{e00c}").await;
    browser.until_text(".screen.current .answers", "20 answers").await;
    browser.ask("window.polls.down = false").await;
    browser
        .until("the hands to be sent", async || {
            (browser.ask_text("window.polls.poll.options[0].hands").await == "6").then_some(())
        })
        .await;
    // Going on closes the question: nobody answers it with what only hindsight tells.
    browser.type_keys(&ON.to_string()).await;
    until_key(browser, "after-inflate-or-prove").await;
    browser
        .until("the poll to be closed", async || {
            (browser.ask_text("window.polls.poll.open").await == "false").then_some(())
        })
        .await;
    let asked = browser.ask_text("window.polls.asked.filter(one => one.startsWith('POST')).join('|')").await;
    assert_eq!(
        asked,
        "POST /cases/2025-007/points/inflate-or-prove/polls phase=before|POST /polls/k7m3xq/hands 1=6&2=0&3=0|POST /polls/k7m3xq/close"
    );
    assert!(browser.text(".screen.current .answers").await.contains("Before: 20"));
}

#[tokio::test]
async fn hands_that_are_counted_while_others_are_on_their_way_are_sent_too() {
    let stage = Stage::signed_in(How { width: 1280, height: 800, scripts: true }, "Fellow").await;
    let browser = &stage.browser;
    present(browser, CASE).await;
    on_to(browser, "stop-inflate-or-prove").await;
    browser.ask(POLLS).await;
    browser
        .ask("const ours = window.fetch; window.fetch = async (address, how) => { if (address.endsWith('/hands') && !window.go) await new Promise(done => { window.go = done; }); return ours(address, how); }")
        .await;
    browser.type_keys("v").await;
    let field = browser.find("#hands-before-1").await;
    for hands in ["6", "7"] {
        field.clear().await.unwrap();
        field.send_keys(hands).await.unwrap();
        browser.press("Keep these hands").await;
        browser
            .until("the first to be on their way", async || {
                (browser.ask_text("typeof window.go").await == "function").then_some(())
            })
            .await;
    }
    browser.ask("window.go()").await;
    browser
        .until("the second to be sent", async || {
            (browser.ask_text("window.polls.poll.options[0].hands").await == "7").then_some(())
        })
        .await;
    browser.type_keys("\u{e00c}").await;
    browser.until_text(".screen.current .answers", "7 answers").await;
}

#[tokio::test]
async fn hands_are_kept_by_the_server_and_phones_need_its_leave() {
    let stage = Stage::signed_in(How { width: 1280, height: 800, scripts: true }, "Fellow").await;
    let browser = &stage.browser;
    present(browser, CASE).await;
    on_to(browser, "stop-inflate-or-prove").await;
    browser.type_keys("v").await;
    let field = browser.find("#hands-before-2").await;
    field.clear().await.unwrap();
    field.send_keys("11").await.unwrap();
    browser.press("Keep these hands").await;
    let said = browser.until_text("[data-vote-say]", "Hands are kept.").await;
    assert!(said.contains("--votes-on"), "{said}");
    browser.type_keys("\u{e00c}").await;
    browser.until_text(".screen.current .answers", "11 answers").await;
    let code = browser
        .ask_text("JSON.parse(localStorage.getItem('relook-votes-2025-007'))['inflate-or-prove'].before.poll")
        .await;
    browser.goto(&format!("/polls/{code}")).await;
    assert!(browser.text("body").await.contains("\"hands\":11"));
}

#[tokio::test]
async fn a_question_that_the_record_lost_leaves_the_hands_and_says_so() {
    let stage = Stage::signed_in(How { width: 1280, height: 800, scripts: true }, "Fellow").await;
    let browser = &stage.browser;
    present(browser, CASE).await;
    on_to(browser, "stop-inflate-or-prove").await;
    browser.ask("const ours = window.fetch; window.fetch = async (address, how) => String(address).includes('/polls') ? new Response('', { status: 404 }) : ours(address, how)").await;
    browser.type_keys("v").await;
    browser.press("Open phones").await;
    browser.until_text("[data-vote-say]", "The record does not have this question now").await;
}

#[tokio::test]
async fn the_screens_are_arranged_with_the_keyboard_and_the_notes_are_said() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto(&format!("/cases/{CASE}/deck")).await;
    picture(browser, "deck-1280").await;
    browser.click("#line-background summary").await;
    let notes = browser.find("#notes-background").await;
    notes.clear().await.unwrap();
    notes.send_keys("Say that the department chose this case").await.unwrap();
    browser.click("#line-lesions [name='hidden']").await;
    browser.press("Save").await;
    browser.until_text("#notice", "Saved").await;
    browser.check_width().await;
    browser.goto(&format!("/cases/{CASE}/presenter?minutes=7")).await;
    until_loaded(browser).await;
    browser.type_keys(&ON.to_string()).await;
    browser.until_text("[data-notes-now]", "Say that the department chose this case").await;
    browser.until_text("[data-left]", "left of 7 min").await;
    assert!(!browser.texts("[data-jump] li").await.join(" ").contains("One lesion"));
    picture(browser, "presenter-1280").await;
}

/// What of the screen that is shown is cut off, too small or too faint.
const LOOK: &str = "
    const [least] = arguments;
    const screen = document.querySelector('.screen.current');
    const found = [];
    const body = screen.querySelector('.deck-body');
    for (const [name, box] of [['the screen', screen], ['its body', body]]) {
        if (box.scrollHeight > box.clientHeight + 1) found.push(`${name} is ${box.scrollHeight - box.clientHeight} px too tall`);
        if (box.scrollWidth > box.clientWidth + 1) found.push(`${name} is ${box.scrollWidth - box.clientWidth} px too wide`);
    }
    const walker = document.createTreeWalker(screen, NodeFilter.SHOW_TEXT);
    const paint = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
    const light = colour => {
        paint.clearRect(0, 0, 1, 1);
        paint.fillStyle = colour;
        paint.fillRect(0, 0, 1, 1);
        const [r, g, b] = [...paint.getImageData(0, 0, 1, 1).data].map(v => v / 255).map(v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const paper = light(getComputedStyle(screen).backgroundColor);
    while (walker.nextNode()) {
        const holder = walker.currentNode.parentElement;
        const text = walker.currentNode.textContent.trim();
        if (!text || holder.closest('template, title, desc, .visually-hidden, [hidden]')) continue;
        const style = getComputedStyle(holder);
        const scale = holder.ownerSVGElement ? holder.getScreenCTM().a : 1;
        const size = parseFloat(style.fontSize) * scale;
        if (size < least - 0.5) found.push(`${size.toFixed(1)} px: ${text.slice(0, 40)}`);
        const solid = holder.classList.contains('on-solid');
        const ink = light(holder.ownerSVGElement ? style.fill : style.color);
        const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
        if (!solid && ratio < 7) found.push(`contrast ${ratio.toFixed(1)}: ${text.slice(0, 40)}`);
        const box = holder.getBoundingClientRect();
        if (holder.ownerSVGElement && (box.left < -1 || box.right > innerWidth + 1)) found.push(`runs out of the screen: ${text.slice(0, 40)}`);
    }
    for (const line of screen.querySelectorAll('svg :is(path, line, rect, circle)')) {
        const style = getComputedStyle(line);
        if (style.stroke === 'none' || line.closest('title')) continue;
        const width = parseFloat(style.strokeWidth) * line.getScreenCTM().a;
        if (width < 2.6) found.push(`a line of ${width.toFixed(1)} px: ${line.getAttribute('class')}`);
    }
    return [...new Set(found)];
";

#[tokio::test]
async fn every_screen_of_every_full_case_is_read_from_the_last_row() {
    let stage = Stage::signed_in(How { width: 1920, height: 1080, scripts: true }, "Fellow").await;
    let browser = &stage.browser;
    let full: Vec<String> = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/demo-cases"))
        .unwrap()
        .filter_map(|file| file.unwrap().file_name().into_string().ok())
        .filter(|name| name.ends_with(".toml"))
        .map(|name| name[..8].to_owned())
        .collect();
    assert!(full.len() > 12, "{full:?}");
    let (mut wrong, mut looked) = (Vec::new(), 0);
    for code in &full {
        for ((width, height), least) in WALLS.into_iter().zip(LEAST_TEXT) {
            browser.resize(width, height).await;
            for room in ["dark", "light"] {
                browser.ask(&format!("localStorage.setItem('relook-room', JSON.stringify('{room}')); sessionStorage.clear()")).await;
                present(browser, code).await;
                browser.type_keys("\u{e011}").await;
                let mut before = String::new();
                loop {
                    let now = key(browser).await;
                    if now == before {
                        break;
                    }
                    let found = browser.client.execute(LOOK, vec![json!(least)]).await.unwrap();
                    looked += 1;
                    for each in found.as_array().map(Vec::as_slice).unwrap_or_default() {
                        wrong.push(format!(
                            "{code} {now}, {width} × {height}, {room}: {}",
                            each.as_str().unwrap_or_default()
                        ));
                    }
                    picture(browser, &format!("{code}-{width}-{room}-{looked:04}-{now}")).await;
                    before = now;
                    browser.type_keys(&ON.to_string()).await;
                }
                assert_eq!(before, "end", "{code} ends at {before}");
                // Size and place do not depend on the light: the second room is looked at once a case.
                if code != CASE && room == "dark" && width == 1024 {
                    break;
                }
            }
        }
    }
    println!("{looked} screens");
    assert!(wrong.is_empty(), "{} findings:\n{}", wrong.len(), wrong.join("\n"));
}
