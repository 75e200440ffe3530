//! A visitor: sends requests as a browser does, keeps cookies, follows nothing by itself.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::net::SocketAddr;

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Method, Request, header};
use axum_extra::extract::cookie::Cookie;
use http_body_util::BodyExt as _;
use tower::ServiceExt as _;

use super::page::Page;

/// What a browser calls a form's body.
const FORM: &str = "application/x-www-form-urlencoded";

/// What a browser says about a request that a page of ours makes.
const SAME_SITE: &str = "same-origin";

/// A visitor of the application.
pub struct Client {
    router: Router,
    cookies: RefCell<BTreeMap<String, String>>,
    address: Option<SocketAddr>,
    agent: &'static str,
    forwarded_for: Option<String>,
}

/// Names and values as the body of a form.
pub fn encoded(fields: &[(&str, &str)]) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish()
}

impl Client {
    pub(super) fn new(router: Router) -> Self {
        Self { router, cookies: RefCell::default(), address: None, agent: "", forwarded_for: None }
    }

    /// The visitor with this cookie too.
    pub fn with_cookie(self, name: &str, value: &str) -> Self {
        self.cookies.borrow_mut().insert(name.to_owned(), value.to_owned());
        self
    }

    /// The visitor as one who comes from this address.
    pub fn at_address(self, address: &str) -> Self {
        Self { address: Some(SocketAddr::new(address.parse().unwrap(), 50_000)), ..self }
    }

    /// The visitor as one of whom a proxy, or who speaks like one, says this.
    pub fn forwarded_for(self, told: &str) -> Self {
        Self { forwarded_for: Some(told.to_owned()), ..self }
    }

    /// The visitor with a browser that calls itself so.
    pub fn with_agent(self, agent: &'static str) -> Self {
        Self { agent, ..self }
    }

    /// Types a name and a password on the sign-in page.
    pub async fn sign_in(&self, name: &str, password: &str) -> Page {
        self.post("/sign-in", &[("name", name), ("password", password), ("next", "/cases")]).await
    }

    /// What a cookie holds.
    pub fn cookie(&self, name: &str) -> Option<String> {
        self.cookies.borrow().get(name).cloned()
    }

    /// Asks for a page.
    pub async fn get(&self, path: &str) -> Page {
        self.send(Method::GET, path, None, Vec::new(), SAME_SITE).await
    }

    /// Sends a form with these names and values.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Page {
        self.post_body(path, FORM, encoded(fields).into_bytes()).await
    }

    /// Sends a body as it is.
    pub async fn post_body(&self, path: &str, kind: &str, body: Vec<u8>) -> Page {
        self.send(Method::POST, path, Some(kind), body, SAME_SITE).await
    }

    /// Sends a form the way a browser does when the page that holds it is another site's.
    pub async fn post_from_another_site(&self, path: &str, fields: &[(&str, &str)]) -> Page {
        self.send(Method::POST, path, Some(FORM), encoded(fields).into_bytes(), "cross-site").await
    }

    /// Goes where an answer leads.
    pub async fn follow(&self, page: &Page) -> Page {
        let location = page.location();
        assert!(!location.is_empty(), "{page} leads nowhere");
        // The part after # stays in the browser.
        self.get(location.split('#').next().unwrap_or_default()).await
    }

    /// Asks for a page and goes where it leads until there is one.
    pub async fn open(&self, path: &str) -> Page {
        let mut page = self.get(path).await;
        for _ in 0..5 {
            if !page.status.is_redirection() {
                return page;
            }
            page = self.follow(&page).await;
        }
        panic!("{path} leads round in a circle");
    }

    /// Sends the form that a page has for this address as it stands there, hidden fields too, with
    /// these fields typed anew.
    pub async fn submit(&self, page: &Page, action: &str, typed: &[(&str, &str)]) -> Page {
        let mut fields = page.form(action);
        fields.retain(|(name, _)| typed.iter().all(|(other, _)| other != name));
        fields.extend(typed.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        let fields: Vec<(&str, &str)> =
            fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        self.post(action, &fields).await
    }

    /// Presses the button of a page that reads so.
    pub async fn press(&self, page: &Page, label: &str) -> Page {
        let button = page.button(label).unwrap_or_else(|| panic!("{page} has no button “{label}”"));
        let own = Some((button.name.as_str(), button.value.as_str())).filter(|(name, _)| !name.is_empty());
        let fields: Vec<(&str, &str)> =
            button.form.iter().map(|(name, value)| (name.as_str(), value.as_str())).chain(own).collect();
        self.post(&button.action, &fields).await
    }

    async fn send(&self, method: Method, path: &str, kind: Option<&str>, body: Vec<u8>, site: &str) -> Page {
        let cookies: Vec<String> =
            self.cookies.borrow().iter().map(|(name, value)| format!("{name}={value}")).collect();
        let mut request = Request::builder()
            .method(method.clone())
            .uri(path)
            .header(header::HOST, "127.0.0.1:8080")
            .header("sec-fetch-site", site)
            .header(header::USER_AGENT, self.agent)
            .header(header::COOKIE, cookies.join("; "));
        if let Some(told) = &self.forwarded_for {
            request = request.header("x-forwarded-for", told);
        }
        if let Some(address) = self.address {
            request = request.extension(ConnectInfo(address));
        }
        if let Some(kind) = kind {
            request = request.header(header::CONTENT_TYPE, kind);
        }
        let request =
            request.body(Body::from(body)).unwrap_or_else(|error| panic!("{method} {path}: {error}"));
        self.send_as_it_is(request).await
    }

    /// Sends a request with its own headers; the visitor's cookies go with it.
    pub async fn ask(&self, method: &Method, path: &str, headers: &[(&str, &str)], body: &str) -> Page {
        let mut request = Request::builder().method(method.clone()).uri(path);
        let cookies: Vec<String> =
            self.cookies.borrow().iter().map(|(name, value)| format!("{name}={value}")).collect();
        if !cookies.is_empty() {
            request = request.header(header::COOKIE, cookies.join("; "));
        }
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let request = request.body(Body::from(body.to_owned()));
        self.send_as_it_is(request.unwrap_or_else(|error| panic!("{method} {path}: {error}"))).await
    }

    /// Sends a request that is made in full.
    pub async fn send_as_it_is(&self, request: Request<Body>) -> Page {
        let (method, path) = (request.method().clone(), request.uri().to_string());
        let Ok(response) = self.router.clone().oneshot(request).await;
        let (parts, body) = response.into_parts();
        self.keep_cookies(&parts.headers);
        let bytes =
            body.collect().await.unwrap_or_else(|error| panic!("{method} {path}: {error}")).to_bytes();
        // A picture or a font is no text; what of it can be read is enough for a test.
        let is_no_text =
            parts.headers.get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).is_some_and(|kind| {
                kind == "image/png"
                    || kind == "application/pdf"
                    || kind.starts_with("font/")
                    || kind.starts_with("application/vnd.openxmlformats")
            });
        let html = if is_no_text {
            String::from_utf8_lossy(&bytes).into_owned()
        } else {
            String::from_utf8(bytes.to_vec()).unwrap_or_else(|_| panic!("{method} {path} is not UTF-8"))
        };
        Page::new(format!("{method} {path}"), parts.status, parts.headers, html)
    }

    fn keep_cookies(&self, headers: &HeaderMap) {
        let mut held = self.cookies.borrow_mut();
        for set in headers.get_all(header::SET_COOKIE) {
            let cookie = Cookie::parse(set.to_str().unwrap().to_owned()).unwrap();
            let ended = cookie.max_age().is_some_and(|age| age.whole_seconds() <= 0);
            if ended {
                held.remove(cookie.name());
            } else {
                held.insert(cookie.name().to_owned(), cookie.value().to_owned());
            }
        }
    }
}
