//! Reading a drawing back, to check it: a strict little parser of the XML that is drawn.

use super::svg::text_width;
use super::{Figure, FigureTable, standalone};

/// An element of a drawing, without its children.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub(super) name: String,
    pub(super) attributes: Vec<(String, String)>,
    /// The text directly in it.
    pub(super) text: String,
}

impl Drawn {
    pub(super) fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(n, _)| n == name).map(|(_, value)| value.as_str())
    }

    pub(super) fn num(&self, name: &str) -> f64 {
        self.get(name).and_then(|v| v.parse().ok()).unwrap_or_else(|| panic!("{name} of {self:?}"))
    }

    pub(super) fn has_class(&self, class: &str) -> bool {
        self.get("class").is_some_and(|names| names.split(' ').any(|name| name == class))
    }
}

/// All elements in the order in which they open.
///
/// # Panics
/// When the text is not well-formed: unbalanced tags, an attribute without quotes or twice, an
/// unescaped character, an entity that XML does not know, a second root.
pub(super) fn parse(svg: &str) -> Vec<Drawn> {
    let mut found: Vec<Drawn> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut rest = svg;
    while !rest.is_empty() {
        let Some(after) = rest.strip_prefix('<') else {
            let end = rest.find('<').unwrap_or(rest.len());
            let inside = *open.last().expect("text outside the root");
            found[inside].text.push_str(&unescape(&rest[..end]));
            rest = &rest[end..];
            continue;
        };
        let end = tag_end(after);
        let tag = &after[..end];
        rest = &after[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let last = open.pop().expect("a closing tag too many");
            assert_eq!(found[last].name, name, "tags cross");
        } else {
            assert!(!open.is_empty() || found.is_empty(), "a second root");
            let empty = tag.ends_with('/');
            found.push(read_tag(tag.trim_end_matches('/')));
            if !empty {
                open.push(found.len() - 1);
            }
        }
    }
    assert!(open.is_empty(), "tags left open");
    assert!(!found.is_empty(), "nothing drawn");
    found
}

/// The place of the `>` that ends a tag, not counting those in quotes.
fn tag_end(tag: &str) -> usize {
    let mut quoted = false;
    for (place, character) in tag.char_indices() {
        match character {
            '"' => quoted = !quoted,
            '<' => panic!("< inside a tag: {tag:.80}"),
            '>' if !quoted => return place,
            _ => {}
        }
    }
    panic!("a tag without end: {tag:.80}");
}

fn read_tag(tag: &str) -> Drawn {
    let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
    assert!(!name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric()), "name {name:?}");
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.is_empty() {
        let (key, after) = rest.split_once("=\"").expect("an attribute has quotes");
        let (value, after) = after.split_once('"').expect("quotes close");
        assert!(key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-'), "attribute {key:?}");
        assert!(attributes.iter().all(|(k, _)| k != key), "{key} stands twice");
        attributes.push((key.to_owned(), unescape(value)));
        rest = after.strip_prefix(' ').unwrap_or(after);
    }
    Drawn { name: name.to_owned(), attributes, text: String::new() }
}

fn unescape(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(place) = rest.find('&') {
        plain.push_str(&rest[..place]);
        let (entity, after) = rest[place + 1..].split_once(';').expect("an entity ends");
        plain.push(match entity {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "#39" => '\'',
            other => panic!("entity {other:?}"),
        });
        rest = after;
    }
    plain.push_str(rest);
    assert!(!plain.chars().any(|c| c.is_control()), "a control character");
    plain
}

/// Checks what holds for every drawing: well-formed, named, without script or style, every
/// coordinate finite and inside the view box, no text below 12.
pub(super) fn check(svg: &str) -> Vec<Drawn> {
    let drawn = parse(svg);
    let root = &drawn[0];
    assert_eq!(root.name, "svg");
    assert_eq!(root.get("role"), Some("img"));
    for id in root.get("aria-labelledby").expect("a name").split(' ') {
        assert!(drawn.iter().any(|d| d.get("id") == Some(id)), "no element {id}");
    }
    let view: Vec<f64> = root.get("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    let (width, height) = (view[2], view[3]);
    for element in &drawn {
        assert!(
            ["svg", "title", "desc", "g", "path", "rect", "line", "circle", "text"]
                .contains(&element.name.as_str())
        );
        for (name, _) in &element.attributes {
            assert!(name != "style" && !name.starts_with("on") && !name.ends_with("href"), "{name}");
        }
        if element.name == "text" {
            assert!(element.num("font-size") >= 12.0, "small text: {element:?}");
        }
        for (x, y) in points(element) {
            assert!(x.is_finite() && y.is_finite());
            let inside = (-0.01..=width + 0.01).contains(&x) && (-0.01..=height + 0.01).contains(&y);
            assert!(inside, "({x}, {y}) outside {width} × {height}: {element:?}");
        }
    }
    drawn
}

/// The points between which an element is drawn.
pub(super) fn points(element: &Drawn) -> Vec<(f64, f64)> {
    match element.name.as_str() {
        "rect" => {
            let (x, y) = (element.num("x"), element.num("y"));
            vec![(x, y), (x + element.num("width"), y + element.num("height"))]
        }
        "line" => vec![(element.num("x1"), element.num("y1")), (element.num("x2"), element.num("y2"))],
        "circle" => {
            let (x, y, r) = (element.num("cx"), element.num("cy"), element.num("r"));
            vec![(x - r, y - r), (x + r, y + r)]
        }
        "path" => {
            let numbers: Vec<f64> = element
                .get("d")
                .unwrap()
                .split(|c: char| c.is_ascii_alphabetic() || c == ' ')
                .filter(|part| !part.is_empty())
                .map(|part| part.parse().unwrap())
                .collect();
            assert_eq!(numbers.len() % 2, 0, "{element:?}");
            numbers.chunks(2).map(|pair| (pair[0], pair[1])).collect()
        }
        "text" => {
            let b = text_box(element);
            vec![(b.0, b.1), (b.2, b.3)]
        }
        _ => Vec::new(),
    }
}

/// Left, top, right and bottom of a text.
pub(super) fn text_box(text: &Drawn) -> (f64, f64, f64, f64) {
    let (x, y, size) = (text.num("x"), text.num("y"), text.num("font-size"));
    let width = text_width(&text.text, size);
    let left = match text.get("text-anchor").unwrap() {
        "start" => x,
        "middle" => x - width / 2.0,
        _ => x - width,
    };
    (left, y - 0.75 * size, left + width, y + 0.2 * size)
}

/// The elements of a class.
pub(super) fn with_class<'a>(drawn: &'a [Drawn], class: &str) -> Vec<&'a Drawn> {
    drawn.iter().filter(|d| d.has_class(class)).collect()
}

/// The texts of a class.
pub(super) fn texts(drawn: &[Drawn], class: &str) -> Vec<String> {
    with_class(drawn, class).iter().map(|d| d.text.clone()).collect()
}

/// The cells of a column of a table.
pub(super) fn column(table: &FigureTable, name: &str) -> Vec<String> {
    let place = table.columns.iter().position(|column| column == name);
    let place = place.unwrap_or_else(|| panic!("{name} of {:?}", table.columns));
    table.rows.iter().map(|row| row[place].clone()).collect()
}

/// Checks what holds for every figure: its drawing is sound, no text stands on another, and the
/// rows of its table are as long as there are columns.
pub(super) fn check_figure(figure: &Figure) -> Vec<Drawn> {
    let drawn = check(&figure.svg);
    assert_eq!(overlapping_texts(&drawn), None, "{}", figure.title);
    let size = (drawn[0].num("width"), drawn[0].num("height"));
    assert_eq!(standalone::size(&figure.svg), Some(size), "{}", figure.title);
    assert!(figure.table.rows.iter().all(|row| row.len() == figure.table.columns.len()));
    assert_eq!(number_gone_wrong(&drawn), None, "{}", figure.title);
    drawn
}

/// An attribute that holds what is no number where one belongs. The words of a figure may say so.
fn number_gone_wrong(drawn: &[Drawn]) -> Option<&(String, String)> {
    let names = |name: &str| name.starts_with("aria-") || ["id", "class"].contains(&name);
    let attributes = drawn.iter().flat_map(|element| &element.attributes);
    attributes
        .filter(|(name, _)| !names(name))
        .find(|(_, value)| value.contains("NaN") || value.contains("inf"))
}

#[test]
fn a_number_gone_wrong_is_found_in_an_attribute_and_words_may_say_nan() {
    let found = |svg: &str| number_gone_wrong(&parse(svg)).map(|(name, _)| name.clone());
    assert_eq!(found("<svg><text x=\"1.0\" class=\"info\">NaN and inf</text></svg>"), None);
    assert_eq!(found("<svg><text x=\"NaN\">12</text></svg>").as_deref(), Some("x"));
    assert_eq!(found("<svg><path d=\"M1.0 2.0L-inf 3.0\"/></svg>").as_deref(), Some("d"));
}

/// Checks the figures of examples, and that the same example is always drawn the same.
pub(super) fn check_examples<T>(examples: Vec<(&str, T)>, draw: impl Fn(&T) -> Figure) {
    assert!(!examples.is_empty());
    for (name, example) in examples {
        let figure = draw(&example);
        check_figure(&figure);
        assert_eq!(figure, draw(&example), "{name}");
    }
}

/// The first two texts that overlap.
pub(super) fn overlapping_texts(drawn: &[Drawn]) -> Option<(String, String)> {
    let texts: Vec<&Drawn> = drawn.iter().filter(|d| d.name == "text" && !d.text.is_empty()).collect();
    for (index, a) in texts.iter().enumerate() {
        for b in &texts[..index] {
            let (p, q) = (text_box(a), text_box(b));
            if p.0 < q.2 && q.0 < p.2 && p.1 < q.3 && q.1 < p.3 {
                return Some((a.text.clone(), b.text.clone()));
            }
        }
    }
    None
}

mod the_parser_itself {
    use super::*;

    #[test]
    fn reads_what_is_well_formed() {
        let drawn = parse(r#"<svg a="1 &lt; 2"><g><text x="1">A &amp; B</text><line/></g></svg>"#);
        assert_eq!(drawn.iter().map(|d| d.name.as_str()).collect::<Vec<_>>(), ["svg", "g", "text", "line"]);
        assert_eq!(drawn[0].get("a"), Some("1 < 2"));
        assert_eq!(drawn[2].text, "A & B");
    }

    #[test]
    fn sees_texts_that_overlap_and_only_those() {
        let texts = |second: &str| {
            parse(&format!(
                r#"<svg><text x="10" y="20" font-size="14" text-anchor="start">LAD</text>{second}</svg>"#
            ))
        };
        let at =
            |x: u8, y: u8| format!(r#"<text x="{x}" y="{y}" font-size="14" text-anchor="middle">D1</text>"#);
        assert!(overlapping_texts(&texts(&at(20, 24))).is_some());
        assert!(overlapping_texts(&texts(&at(90, 24))).is_none());
        assert!(overlapping_texts(&texts(&at(20, 40))).is_none());
    }

    #[test]
    fn refuses_what_is_not() {
        for wrong in [
            "",
            "<svg>",
            "</svg>",
            "<svg><g></svg></g>",
            "<svg/><svg/>",
            "<svg a=1/>",
            r#"<svg a="1" a="2"/>"#,
            "<svg>&nbsp;</svg>",
            "<svg>a & b</svg>",
            "text",
            r#"<svg a="<"/>"#,
            "<svg>\u{1}</svg>",
        ] {
            assert!(std::panic::catch_unwind(|| parse(wrong)).is_err(), "{wrong}");
        }
    }
}
