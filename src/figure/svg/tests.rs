use super::*;
use crate::figure::testing::parse;

#[test]
fn text_and_attributes_are_escaped_and_read_back_the_same() {
    let nasty = r#"</text><script>alert("1 & 2")</script>'"#;
    let drawn = parse(&Element::new("text").set("id", nasty).text(nasty).write());
    assert_eq!(drawn.len(), 1);
    assert_eq!(drawn[0].text, nasty);
    assert_eq!(drawn[0].get("id"), Some(nasty));
}

#[test]
fn characters_that_xml_does_not_allow_are_replaced() {
    let written = Element::new("text").text("a\u{0}b\u{1b}c\nd\u{ffff}").write();
    assert_eq!(written, "<text>a\u{fffd}b\u{fffd}c d\u{fffd}</text>");
}

#[test]
fn numbers_are_finite_and_short() {
    for (value, text) in [
        (1.0, "1"),
        (1.5, "1.5"),
        (1.005_001, "1.01"),
        (-0.001, "0"),
        (100.0, "100"),
        (f64::NAN, "0"),
        (f64::INFINITY, "0"),
    ] {
        assert_eq!(number(value), text);
    }
}

#[test]
fn an_attribute_set_again_replaces_the_first() {
    let written = Element::new("rect").fill(INK).fill(PAPER).write();
    assert_eq!(written, r##"<rect fill="#ffffff"/>"##);
}

#[test]
fn the_root_is_named_by_ids_of_its_prefix() {
    let written = root("a b<c>-1", "T", "D", 960.0, 10.0).write();
    assert!(written.contains(r#"aria-labelledby="abc-1-title abc-1-desc""#));
}
