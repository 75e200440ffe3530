//! An answer of the application, and what a person finds on it.

use std::fmt;

use axum::http::{HeaderMap, StatusCode, header};
use scraper::{ElementRef, Html, Selector};

/// An answer.
pub struct Page {
    /// Its status.
    pub status: StatusCode,
    /// Its headers.
    pub headers: HeaderMap,
    /// Its body as it came.
    pub html: String,
    /// The words of its main part, with single spaces; of the whole body when it is no page.
    pub text: String,
    asked: String,
    document: Html,
}

/// A field of a form, as it stands on a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldInPage {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub value: String,
    /// `input`, `textarea` or `select`.
    pub kind: String,
}

/// A button that sends a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Button {
    /// Where it sends it.
    pub action: String,
    /// Its name; empty when it has none.
    pub name: String,
    /// What it sends under its name.
    pub value: String,
    /// What the fields of its form hold.
    pub form: Vec<(String, String)>,
}

fn css(selector: &str) -> Selector {
    Selector::parse(selector).unwrap_or_else(|error| panic!("{selector}: {error:?}"))
}

/// Elements that stand in a line; every other one starts and ends a line of its own.
const IN_LINE: [&str; 16] = [
    "a", "abbr", "b", "button", "code", "em", "i", "kbd", "label", "mark", "span", "strong", "sub", "sup",
    "tspan", "text",
];

fn push_words(element: ElementRef, text: &mut String) {
    for child in element.children() {
        if let Some(inner) = ElementRef::wrap(child) {
            let name = inner.value().name();
            if ["script", "style", "template"].contains(&name) {
                continue;
            }
            let apart = if IN_LINE.contains(&name) { "" } else { " " };
            text.push_str(apart);
            push_words(inner, text);
            text.push_str(apart);
        } else if let Some(own) = child.value().as_text() {
            text.push_str(own);
        }
    }
}

/// What an element says, with single spaces.
fn words(element: ElementRef) -> String {
    let mut text = String::new();
    push_words(element, &mut text);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn attribute(element: ElementRef, name: &str) -> String {
    element.value().attr(name).unwrap_or_default().to_owned()
}

/// What a field sends: nothing for a box that is not ticked.
fn sent(field: ElementRef) -> Option<String> {
    match field.value().name() {
        "textarea" => {
            let text: String = field.text().collect();
            Some(text)
        }
        "select" => {
            let options: Vec<ElementRef> = field.select(&css("option")).collect();
            let chosen = options.iter().find(|option| option.value().attr("selected").is_some());
            chosen.or(options.first()).map(|option| attribute(*option, "value"))
        }
        _ if ["checkbox", "radio"].contains(&attribute(field, "type").as_str()) => {
            field.value().attr("checked").map(|_| attribute(field, "value"))
        }
        _ => Some(attribute(field, "value")),
    }
}

impl Page {
    pub(super) fn new(asked: String, status: StatusCode, headers: HeaderMap, html: String) -> Self {
        let document = Html::parse_document(&html);
        let main = document.select(&css("main")).next().map(words);
        let text = main.unwrap_or_else(|| html.split_whitespace().collect::<Vec<_>>().join(" "));
        Self { status, headers, html, text, asked, document }
    }

    /// Fails, saying what the page says, unless it has this status.
    #[track_caller]
    pub fn expect(&self, status: StatusCode) -> &Self {
        assert_eq!(self.status, status, "{self}");
        self
    }

    /// The words of everything that the selector finds.
    pub fn texts(&self, selector: &str) -> Vec<String> {
        self.document.select(&css(selector)).map(words).collect()
    }

    /// How many elements the selector finds.
    pub fn count(&self, selector: &str) -> usize {
        self.document.select(&css(selector)).count()
    }

    /// An attribute of the first element that the selector finds.
    pub fn attr(&self, selector: &str, name: &str) -> Option<String> {
        self.document.select(&css(selector)).next()?.value().attr(name).map(str::to_owned)
    }

    /// Every value that an attribute has anywhere on the page.
    pub fn attributes(&self, name: &str) -> Vec<String> {
        self.document
            .select(&css(&format!("[{name}]")))
            .map(|each| attribute(each, &name.replace('\\', "")))
            .collect()
    }

    /// Every attribute on the page that would run something when something happens.
    pub fn handlers(&self) -> Vec<String> {
        let every = css("*");
        let all = self.document.select(&every).flat_map(|element| element.value().attrs());
        all.filter(|(name, _)| name.starts_with("on"))
            .map(|(name, value)| format!("{name}={value}"))
            .collect()
    }

    /// The page's heading.
    pub fn heading(&self) -> String {
        self.texts("h1").into_iter().next().unwrap_or_default()
    }

    /// Whether a heading of any level reads so.
    pub fn has_heading(&self, text: &str) -> bool {
        self.texts("h1, h2, h3, h4").iter().any(|heading| heading == text)
    }

    /// What the page says was just done.
    pub fn notice(&self) -> Option<String> {
        self.texts("#notice p").into_iter().next()
    }

    /// Where the notice's Undo is sent.
    pub fn undo(&self) -> Option<String> {
        self.attr("#notice form", "action")
    }

    /// Where the answer leads; empty when nowhere.
    pub fn location(&self) -> &str {
        self.headers.get(header::LOCATION).map_or("", |value| value.to_str().unwrap_or_default())
    }

    /// Where the first link that has these words leads.
    pub fn link(&self, text: &str) -> Option<String> {
        self.document
            .select(&css("a[href]"))
            .find(|link| words(*link).contains(text))
            .map(|link| attribute(link, "href"))
    }

    /// Whether a link leads there.
    pub fn links_to(&self, href: &str) -> bool {
        self.document.select(&css("a[href]")).any(|link| attribute(link, "href") == href)
    }

    /// What the fields of a name would send, in the order of the page.
    pub fn values(&self, name: &str) -> Vec<String> {
        self.document
            .select(&css("main input, main textarea, main select"))
            .filter(|field| attribute(*field, "name") == name)
            .filter_map(sent)
            .collect()
    }

    /// What the first field of a name would send; empty when it sends nothing.
    pub fn value(&self, name: &str) -> String {
        self.values(name).into_iter().next().unwrap_or_default()
    }

    /// The field whose label starts so.
    pub fn field(&self, label: &str) -> Option<FieldInPage> {
        let label = self.document.select(&css("label[for]")).find(|each| words(*each).starts_with(label))?;
        let id = attribute(label, "for");
        let field = self.document.select(&css("[id]")).find(|each| attribute(*each, "id") == id)?;
        Some(FieldInPage {
            name: attribute(field, "name"),
            value: sent(field).unwrap_or_default(),
            kind: field.value().name().to_owned(),
        })
    }

    /// What is said to be wrong with a field, beside it.
    pub fn error_of(&self, name: &str) -> Option<String> {
        self.texts(&format!("[id='{name}-error']")).into_iter().next()
    }

    /// Everything that is said to be wrong at the top of the page.
    pub fn errors(&self) -> Vec<String> {
        self.texts(".error-summary li, .error-summary p")
    }

    /// What a browser would send of the form for this address, buttons left out.
    pub fn form(&self, action: &str) -> Vec<(String, String)> {
        let form = self.document.select(&css("form")).find(|form| attribute(*form, "action") == action);
        fields_of(form.unwrap_or_else(|| panic!("{self} has no form for {action}")))
    }

    /// The button that reads so.
    pub fn button(&self, label: &str) -> Option<Button> {
        for form in self.document.select(&css("form")) {
            let Some(button) = form.select(&css("button")).find(|button| words(*button) == label) else {
                continue;
            };
            let own = button.value().attr("formaction");
            return Some(Button {
                action: own.map_or_else(|| attribute(form, "action"), str::to_owned),
                name: attribute(button, "name"),
                value: attribute(button, "value"),
                form: fields_of(form),
            });
        }
        None
    }
}

fn fields_of(form: ElementRef) -> Vec<(String, String)> {
    form.select(&css("input[name], textarea[name], select[name]"))
        .filter_map(|field| Some((attribute(field, "name"), sent(field)?)))
        .collect()
}

impl fmt::Display for Page {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let short: String = self.text.chars().take(600).collect();
        write!(f, "{} answered {} “{}”: {short}", self.asked, self.status, self.heading())
    }
}
