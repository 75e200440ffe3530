//! A browser in rough words, so that a person knows their own sessions: "Firefox on Linux". No more of
//! what the browser says of itself is kept.

/// What a browser calls itself, and what people call it; the first that is found counts, because most
/// browsers name others too.
const BROWSERS: [(&str, &str); 6] = [
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("Firefox/", "Firefox"),
    ("FxiOS/", "Firefox"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
];

/// The same for systems; a phone says more than the system it is built on.
const SYSTEMS: [(&str, &str); 7] = [
    ("iPhone", "an iPhone"),
    ("iPad", "an iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Mac OS X", "a Mac"),
    ("CrOS", "ChromeOS"),
    ("Linux", "Linux"),
];

/// The rough words for a `User-Agent`; empty when it says nothing that is known.
#[must_use]
pub fn rough_name(user_agent: &str) -> String {
    let find = |names: &[(&str, &'static str)]| {
        names.iter().find(|(sign, _)| user_agent.contains(sign)).map(|(_, name)| *name)
    };
    match (find(&BROWSERS), find(&SYSTEMS)) {
        (Some(browser), Some(system)) => format!("{browser} on {system}"),
        (Some(browser), None) => browser.to_owned(),
        (None, Some(system)) => format!("A browser on {system}"),
        (None, None) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::rough_name;

    #[test]
    fn browsers_are_told_apart_as_people_do() {
        for (agent, name) in [
            ("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0", "Firefox on Linux"),
            (
                "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/138.0.0.0 Safari/537.36",
                "Chrome on Windows",
            ),
            (
                "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/138.0.0.0 Safari/537.36 Edg/138.0.0.0",
                "Edge on Windows",
            ),
            (
                "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1",
                "Safari on an iPhone",
            ),
            (
                "Mozilla/5.0 (Linux; Android 15; Pixel 9) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/138.0.0.0 Mobile Safari/537.36",
                "Chrome on Android",
            ),
            ("Something on Linux", "A browser on Linux"),
            ("<script>alert(1)</script>", ""),
            ("", ""),
        ] {
            assert_eq!(rough_name(agent), name, "{agent}");
        }
    }
}
