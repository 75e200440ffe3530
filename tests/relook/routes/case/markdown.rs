//! Scripts and markup in what people type: shown as text, never run, on every page that shows it.

use crate::support::{CaseBuilder, Page, StatusCode, TestApp};

const TRICKS: [&str; 24] = [
    "<script>alert(1)</script>",
    "<ScRiPt src=//elsewhere.example/x.js></sCrIpT>",
    "<img src=x onerror=alert(1)>",
    "<img src=https://elsewhere.example/pixel.png>",
    "<svg onload=alert(1)><animate onbegin=alert(1)>",
    "<svg><script>alert(1)</script></svg>",
    "<math><mtext><table><mglyph><style><img src=x onerror=alert(1)>",
    "<iframe src=javascript:alert(1)></iframe>",
    "<object data=javascript:alert(1)></object>",
    "<style>body{display:none}</style>",
    "<p style=\"position:fixed\">over all</p>",
    "<form action=/sign-out method=post><button>Sign out</button></form>",
    "<base href=//elsewhere.example/>",
    "<link rel=stylesheet href=//elsewhere.example/x.css>",
    "<meta http-equiv=refresh content=\"0;url=//elsewhere.example\">",
    "[press](javascript:alert(1))",
    "[press](  JaVaScRiPt:alert(1))",
    "[press](data:text/html;base64,PHNjcmlwdD4=)",
    "[press][x]\n\n[x]: vbscript:msgbox(1)",
    "![drawing](https://elsewhere.example/pixel.png)",
    "<a href=\"&#106;avascript:alert(1)\">press</a>",
    "</textarea></title></main><script>alert(1)</script>",
    "\"><b onmouseover=alert(1)>\"' autofocus onfocus=alert(1)",
    "<!-- <script>alert(1)</script> -->{{ 7*7 }}${7*7}",
];

/// Nothing of ours: no script or style but the frame's, no event handler, no address elsewhere.
fn check(page: &Page, trick: &str) {
    page.expect(StatusCode::OK);
    for selector in [
        "script:not([src='/static/js/relook.js'])",
        "style",
        "[style]",
        "iframe",
        "object",
        "embed",
        "base",
        "meta[http-equiv]",
        "img",
        "animate",
        "math",
        "link[href*='elsewhere']",
        "main form[action='/sign-out']",
    ] {
        assert_eq!(page.count(selector), 0, "{selector} on {page} after {trick}");
    }
    for name in ["href", "src", "action", "data", "formaction", "xlink\\:href"] {
        for scheme in ["javascript:", "vbscript:", "data:", "//elsewhere", "https://elsewhere"] {
            for address in page.attributes(name) {
                let plain: String =
                    address.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_lowercase();
                assert!(!plain.starts_with(scheme), "{name}={address} on {page} after {trick}");
            }
        }
    }
    assert_eq!(page.handlers(), [""; 0], "on {page} after {trick}");
    assert_eq!((page.count("main"), page.count("h1")), (1, 1), "the page is broken open by {trick}");
}

#[tokio::test]
async fn nothing_that_is_typed_runs_anywhere() {
    for trick in TRICKS {
        let app = TestApp::init().await;
        let line = trick.replace('\n', " ");
        let case = CaseBuilder::new(&line)
            .complete()
            .situation(&line)
            .narrative(&format!("Before\n\n{trick}\n\nafter"))
            .time_zero(&line)
            .event("+50", "finding", trick)
            .cause("th-fixation", trick)
            .lesson("prevent", trick)
            .action(&line, "2026-09-01")
            .with(|case| {
                case.patient.history = vec![line.parse().unwrap()];
                case.procedure.strategy = Some(line.parse().unwrap());
                case.outcome.discharge = Some(line.parse().unwrap());
            })
            .insert(&app)
            .await;
        let client = app.with_attending().await;
        let path = format!("/cases/{}", case.code);
        let query = form_urlencoded::Serializer::new(String::new()).append_pair("q", trick).finish();
        for address in [
            path.clone(),
            format!("{path}/summary"),
            format!("{path}/timeline"),
            format!("{path}/narrative/edit"),
            format!("{path}/situation/edit"),
            format!("{path}/complications/new"),
            "/cases".to_owned(),
            format!("/cases?{query}"),
            format!("/sign-in?next={path}"),
        ] {
            check(&client.get(&address).await, trick);
        }
        let form = client.get(&format!("{path}/situation/edit")).await;
        assert_eq!(form.value("title"), line, "the form does not give back what was typed");
    }
}
