//! The two commands of chromedriver that WebDriver itself does not have: the browser's own
//! protocol, and its logs.

use axum::http::Method;
use fantoccini::wd::WebDriverCompatibleCommand;
use serde_json::{Value, json};
use url::{ParseError, Url};

/// A POST below the session's address.
#[derive(Debug)]
pub struct Below {
    path: &'static str,
    body: Value,
}

/// A command of the browser's own protocol.
pub fn devtools(command: &str, parameters: &Value) -> Below {
    Below { path: "goog/cdp/execute", body: json!({ "cmd": command, "params": parameters }) }
}

/// What was logged since the last time: `browser` is the console, `performance` the requests.
pub fn log(kind: &str) -> Below {
    Below { path: "se/log", body: json!({ "type": kind }) }
}

impl WebDriverCompatibleCommand for Below {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        base.join(&format!("session/{}/{}", session.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(self.body.to_string()))
    }
}
