//! Stored script: what a user may type so that another user's browser runs it.

use proptest::prelude::*;

use super::*;

/// A tag of a page: its name in lowercase and its attributes.
pub(super) struct Tag {
    name: String,
    pub(super) attributes: Vec<(String, String)>,
}

/// Every tag of an HTML text, read as a browser would at its most generous: whatever starts with
/// `<` and a letter or a slash is a tag, with attributes of any quoting.
pub(super) fn tags(html: &str) -> Vec<Tag> {
    let mut found = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        rest = &rest[at + 1..];
        let body = rest.trim_start_matches('/');
        let length = body.find(|c: char| c.is_whitespace() || c == '>' || c == '/').unwrap_or(body.len());
        let (name, mut inside) = body.split_at(length);
        let mut attributes = Vec::new();
        loop {
            inside = inside.trim_start_matches(|c: char| c.is_whitespace() || c == '/');
            if inside.is_empty() || inside.starts_with('>') {
                break;
            }
            let (attribute, after) = attribute(inside);
            attributes.push(attribute);
            inside = after;
        }
        found.push(Tag { name: name.to_lowercase(), attributes });
        rest = inside;
    }
    found
}

/// The attribute that a text starts with, and what follows it.
fn attribute(text: &str) -> ((String, String), &str) {
    let end = text[1..]
        .find(|c: char| c.is_whitespace() || c == '>' || c == '/' || c == '=')
        .map_or(text.len(), |at| at + 1);
    let (name, rest) = text.split_at(end);
    let Some(value) = rest.trim_start().strip_prefix('=') else {
        return ((name.to_lowercase(), String::new()), rest);
    };
    let value = value.trim_start();
    for quote in ['"', '\''] {
        if let Some(quoted) = value.strip_prefix(quote) {
            let (inside, after) = quoted.split_once(quote).unwrap_or((quoted, ""));
            return ((name.to_lowercase(), inside.to_owned()), after);
        }
    }
    let end = value.find(|c: char| c.is_whitespace() || c == '>').unwrap_or(value.len());
    let (bare, after) = value.split_at(end);
    ((name.to_lowercase(), bare.to_owned()), after)
}

/// What is wrong with the HTML that a user's text became; `None` when it is harmless.
fn danger(html: &str) -> Option<String> {
    const HARMLESS: [&str; 23] = [
        "p",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "ul",
        "ol",
        "li",
        "blockquote",
        "pre",
        "code",
        "em",
        "strong",
        "a",
        "hr",
        "br",
        "table",
        "thead",
        "tbody",
        "tr",
        "th",
        "td",
    ];
    for tag in tags(html) {
        if !HARMLESS.contains(&tag.name.as_str()) {
            return Some(format!("the tag <{}>", tag.name));
        }
        for (name, value) in &tag.attributes {
            let fits = match name.as_str() {
                "href" => ["https://", "http://", "mailto:", "/", "#"]
                    .iter()
                    .any(|start| value.to_lowercase().starts_with(start)),
                "rel" => value == "noopener noreferrer nofollow",
                "start" => value.chars().all(|c| c.is_ascii_digit()),
                "class" => value == "data",
                "scope" => value == "col",
                "tabindex" => value == "0",
                _ => false,
            };
            if !fits {
                return Some(format!("the attribute {name}={value:?} of <{}>", tag.name));
            }
        }
    }
    None
}

/// Stored-script vectors: the kinds that the OWASP XSS filter evasion cheat sheet lists, and the
/// ways by which Markdown itself can carry one. Written from memory.
const VECTORS: &[&str] = &[
    "<script>alert(1)</script>",
    "<SCRIPT SRC=https://evil.example/x.js></SCRIPT>",
    "<ScRiPt>alert(1)</sCrIpT>",
    "<script\n>alert(1)</script\n>",
    "<script/x>alert(1)</script>",
    "<scr<script>ipt>alert(1)</scr</script>ipt>",
    "<<script>alert(1);//<</script>",
    "<script>alert(1)",
    "<script src=//evil.example/x.js",
    "<img src=x onerror=alert(1)>",
    "<IMG SRC=x OnErRoR=alert(1)>",
    "<img src=x onerror\n=\nalert(1)>",
    "<img/src=x/onerror=alert(1)>",
    "<img src=\"x\"onerror=\"alert(1)\">",
    "<img src=`x` onerror=`alert(1)`>",
    "<img \"\"\"><script>alert(1)</script>\">",
    "<img src='javascript:alert(1)'>",
    "<img src=\"jav&#x09;ascript:alert(1)\">",
    "<img src=&#106;&#97;&#118;&#97;&#115;&#99;&#114;&#105;&#112;&#116;&#58;alert(1)>",
    "<img dynsrc=javascript:alert(1)>",
    "<img style=\"xss:expression(alert(1))\">",
    "<svg onload=alert(1)>",
    "<svg/onload=alert(1)>",
    "<svg><script>alert(1)</script></svg>",
    "<svg><animate onbegin=alert(1) attributeName=x dur=1s>",
    "<svg><a xlink:href=\"javascript:alert(1)\"><text>x</text></a></svg>",
    "<svg><style><img src=x onerror=alert(1)></style></svg>",
    "<math><mtext><table><mglyph><style><!--</style><img title=\"--&gt;&lt;img src=1 onerror=alert(1)&gt;\">",
    "<math href=\"javascript:alert(1)\">x</math>",
    "<noscript><p title=\"</noscript><img src=x onerror=alert(1)>\">",
    "<body onload=alert(1)>",
    "<body background=\"javascript:alert(1)\">",
    "<iframe src=javascript:alert(1)></iframe>",
    "<iframe srcdoc=\"<script>alert(1)</script>\"></iframe>",
    "<frameset><frame src=javascript:alert(1)></frameset>",
    "<object data=javascript:alert(1)></object>",
    "<embed src=\"data:image/svg+xml;base64,PHN2Zz4=\">",
    "<link rel=stylesheet href=javascript:alert(1)>",
    "<meta http-equiv=refresh content=\"0;url=javascript:alert(1)\">",
    "<base href=\"https://evil.example/\">",
    "<form action=javascript:alert(1)><button>x</button></form>",
    "<button formaction=javascript:alert(1) form=f>x</button>",
    "<input autofocus onfocus=alert(1)>",
    "<select autofocus onfocus=alert(1)>",
    "<textarea autofocus onfocus=alert(1)>",
    "<details open ontoggle=alert(1)>x</details>",
    "<marquee onstart=alert(1)>x</marquee>",
    "<video src=x onerror=alert(1)></video>",
    "<audio src=x onerror=alert(1)></audio>",
    "<video><source onerror=alert(1)></video>",
    "<div style=\"background:url(javascript:alert(1))\">x</div>",
    "<div style=\"position:fixed;inset:0\">x</div>",
    "<style>@import 'https://evil.example/x.css';</style>",
    "<style>p{background:url(\"javascript:alert(1)\")}</style>",
    "<table background=\"javascript:alert(1)\"><tr><td>x</td></tr></table>",
    "<td onclick=alert(1)>x</td>",
    "<p onmouseover=alert(1)>x</p>",
    "<a href=javascript:alert(1)>x</a>",
    "<a href=\" &#14; javascript:alert(1)\">x</a>",
    "<a href=\"java\nscript:alert(1)\">x</a>",
    "<a href=\"x\" onclick=\"alert(1)\" style=\"color:red\">x</a>",
    "<a onmouseover=alert(1)//href=x>x</a>",
    "<xss id=x tabindex=1 onfocus=alert(1)></xss>",
    "<template><script>alert(1)</script></template>",
    "<!--<img src=\"--><img src=x onerror=alert(1)//\">",
    "<!--[if gte IE 4]><script>alert(1)</script><![endif]-->",
    "<?xml version=\"1.0\"?><script>alert(1)</script>",
    "<![CDATA[<script>alert(1)</script>]]>",
    "<title><script>alert(1)</script></title>",
    "<xmp><p title=\"</xmp><script>alert(1)</script>\">",
    "\u{0}<scr\u{0}ipt>alert(1)</script>",
    "\u{ff1c}script\u{ff1e}alert(1)\u{ff1c}/script\u{ff1e}",
    "&lt;script&gt;alert(1)&lt;/script&gt;",
    "&#60;script&#62;alert(1)&#60;/script&#62;",
    "\\<script>alert(1)\\</script>",
    "[x](javascript:alert(1))",
    "[x](JaVaScRiPt:alert(1))",
    "[x](JAVASCRIPT:alert(1))",
    "[x](<javascript:alert(1)>)",
    "[x](< javascript:alert(1)>)",
    "[x](java&#115;cript:alert(1))",
    "[x](javascript&colon;alert(1))",
    "[x](javascript&#58;alert&#40;1&#41;)",
    "[x](&#x6A;avascript:alert(1))",
    "[x](java&Tab;script:alert(1))",
    "[x](\u{1}javascript:alert(1))",
    "[x](vbscript:msgbox(1))",
    "[x](data:text/html;base64,PHNjcmlwdD5hbGVydCgxKTwvc2NyaXB0Pg==)",
    "[x](DATA:text/html,<script>alert(1)</script>)",
    "[x](file:///etc/passwd)",
    "[x](//evil.example)",
    "[x](https://a.example \"onmouseover=alert(1)\")",
    "[x](https://a.example \"\\\"><script>alert(1)</script>\")",
    "[x](https://a.example/\"onclick=\"alert(1))",
    "[x][1]\n\n[1]: javascript:alert(1)",
    "[x][1]\n\n[1]: <JavaScript:alert(1)> 'title'",
    "<javascript:alert(1)>",
    "<JAVASCRIPT:alert(1)>",
    "<data:text/html,x>",
    "![x](javascript:alert(1))",
    "![x](https://evil.example/pixel.png)",
    "![x\"onerror=\"alert(1)](https://evil.example/pixel.png)",
    "![<script>alert(1)</script>](x)",
    "[![x](x)](javascript:alert(1))",
    "[<script>alert(1)</script>](https://a.example)",
    "`<script>alert(1)</script>`",
    "```\"><script>alert(1)</script>\ncode\n```",
    "```html\n</code></pre><script>alert(1)</script>\n```",
    "    <script>alert(1)</script>",
    "# <script>alert(1)</script>",
    "> <script>alert(1)</script>",
    "- <img src=x onerror=alert(1)>",
    "| <script>alert(1)</script> |\n|---|\n| <img src=x onerror=alert(1)> |",
    "**<script>**alert(1)**</script>**",
    "<scr**ipt>alert(1)</scr**ipt>",
    "<div>\n\n[x](javascript:alert(1))\n\n</div>",
    "a <b onclick=alert(1)>b</b> c",
    "<a href='javascript:alert(1)'>[x](https://a.example)</a>",
];

#[test]
fn no_stored_script_survives_on_a_page() {
    assert!(VECTORS.len() >= 60, "{} vectors", VECTORS.len());
    for vector in VECTORS {
        let html = markdown_to_html(vector);
        assert_eq!(danger(&html), None, "{vector:?} became {html}");
        assert!(!html.to_lowercase().contains("<script"), "{vector:?}");
    }
}

#[test]
fn the_cleaner_alone_would_hold_if_html_came_through() {
    for vector in VECTORS {
        let html = clean(vector);
        assert_eq!(danger(&html), None, "{vector:?} became {html}");
        let mut unread = String::new();
        push_html(&mut unread, pulldown_cmark::Parser::new(vector));
        let html = clean(&unread);
        assert_eq!(danger(&html), None, "{vector:?} became {html}");
    }
}

#[test]
fn the_scan_of_these_tests_finds_what_it_looks_for() {
    for bad in [
        "<script>x</script>",
        "<p onclick=x>",
        "<p style=\"x\">",
        "<a href=\"javascript:x\">",
        "<a href=' javascript:x'>",
        "<a\nhref=data:x>",
        "<img src=x>",
        "<p/onclick=x>",
        "<svg",
        "<a href=\"/x\"onclick=\"y\">",
    ] {
        assert!(danger(bad).is_some(), "{bad}");
    }
    assert_eq!(danger("<p>a <a href=\"/x\">b</a> &lt;script&gt;</p>"), None);
}

proptest! {
    #[test]
    fn no_mixture_of_vectors_becomes_harmful(
        pieces in prop::collection::vec(
            (prop::sample::select(VECTORS.to_vec()), 0..40_usize, 0..40_usize),
            1..6,
        )
    ) {
        // Parts of vectors, cut anywhere and joined, stand for what nobody listed.
        let mixed: String = pieces
            .iter()
            .flat_map(|(vector, from, length)| vector.chars().skip(*from).take(*length))
            .collect();
        let html = markdown_to_html(&mixed);
        prop_assert_eq!(danger(&html), None, "{} became {}", mixed, html);
        let html = clean(&mixed);
        prop_assert_eq!(danger(&html), None, "{} became {}", mixed, html);
    }
}
