use super::script_tests::tags;
use super::*;
use crate::document::{Column, Fact, Figure, Phrase, Svg, Table};

#[test]
fn html_in_a_users_text_is_shown_as_it_was_typed() {
    let html = markdown_to_html("p<0.05 and <b>bold</b> & more\n\n<div>\nline\n</div>");
    assert!(html.contains("p&lt;0.05 and &lt;b&gt;bold&lt;/b&gt; &amp; more"), "{html}");
    assert!(html.contains("&lt;div&gt;"), "{html}");
}

#[test]
fn a_users_headings_stand_below_the_section_and_keep_their_order() {
    let html = markdown_to_html("# One\n\n### Two\n\nText");
    assert!(html.contains("<h3>One</h3>") && html.contains("<h5>Two</h5>"), "{html}");
    // The highest one decides, wherever it starts.
    assert!(markdown_to_html("### One").contains("<h3>One</h3>"));
    assert!(markdown_to_html_below("# One", 3).contains("<h4>One</h4>"));
    assert!(markdown_to_html_below("# a\n\n###### b", 6).contains("<h6>b</h6>"));
    assert!(markdown_to_html_below("# a", 200).contains("<h6>a</h6>"));
}

#[test]
fn safe_links_stay_and_do_not_tell_where_the_reader_came_from() {
    let html = markdown_to_html("[a](https://example.org/x?a=1&b=2) <someone@example.org>");
    assert!(html.contains("href=\"https://example.org/x?a=1&amp;b=2\""), "{html}");
    assert!(html.contains("rel=\"noopener noreferrer nofollow\""), "{html}");
    assert!(html.contains("href=\"mailto:someone@example.org\""), "{html}");
    let html = markdown_to_html("[the words stay](javascript:alert(1))");
    assert!(html.contains("the words stay") && !html.contains("<a"), "{html}");
}

#[test]
fn a_picture_is_its_alternative_text() {
    let html = markdown_to_html("Before ![the *closed* vessel](https://example.org/x.png) after");
    assert_eq!(html, "<p>Before the <em>closed</em> vessel after</p>\n");
}

#[test]
fn ordinary_markdown_reads_as_it_should() {
    let html =
        markdown_to_html("A *b* **c** `d`\n\n- one\n- two\n\n3. three\n\n> q\n\n---\n\n```\nx < y\n```");
    for part in [
        "<em>b</em> <strong>c</strong> <code>d</code>",
        "<li>one</li>",
        "<ol start=\"3\">",
        "<blockquote>",
        "<hr>",
        "x &lt; y",
    ] {
        assert!(html.contains(part), "{part} in {html}");
    }
    let html = markdown_to_html("| a | b |\n|:--|--:|\n| 1 | 2 |");
    assert!(html.contains("<th scope=\"col\">a</th>") && html.contains("<td>2</td>"), "{html}");
}

#[test]
fn deep_nesting_is_flattened_and_stays_quick() {
    let quotes = format!("{}x", ">".repeat(50_000));
    let lists = format!("{}x", "- ".repeat(20_000));
    let stars = "*a **b ".repeat(10_000);
    let links = "[".repeat(30_000);
    let started = std::time::Instant::now();
    for text in [quotes, lists, stars, links] {
        let html = markdown_to_html(&text);
        assert!(html.matches("<blockquote>").count() <= user_markdown::DEEPEST);
        assert!(html.matches("<ul>").count() <= user_markdown::DEEPEST);
    }
    // Far above what it takes; a quadratic reader would need minutes.
    assert!(started.elapsed().as_secs() < 20, "{:?}", started.elapsed());
}

fn figure(svg: &str) -> Figure {
    Figure {
        title: "Flow & time".into(),
        description: "d".into(),
        svg: Svg::trusted(svg),
        values: Some(
            Table::of("Flow by time", [Column::offset("Time"), Column::text("Flow")])
                .rows([["+0:00".into(), "TIMI 3".into()]])
                .into(),
        ),
        summary: "Flow was lost.".into(),
        source: "The record".into(),
    }
}

#[test]
fn a_document_is_an_article_of_sections() {
    let mut document = Document::new("Lost < found");
    document
        .stands_as("Confidential")
        .paragraph("First.")
        .section("What it was")
        .facts([Fact::or_missing("eGFR", None::<String>)])
        .figure(figure("<svg class=\"fig\"></svg>"))
        .part("Why")
        .markdown("# Big")
        .missing("when flow returned")
        .caution("Not for care.");
    let html = document_to_html(&document);
    for part in [
        "<article class=\"summary\">",
        "<p class=\"confidential\">Confidential</p>",
        "<h1>Lost &lt; found</h1>",
        "<p class=\"lead\">First.</p>",
        "<section aria-labelledby=\"what-it-was\">",
        "<h2 id=\"what-it-was\">What it was</h2>",
        "<dt>eGFR</dt><dd><span class=\"missing\">not recorded</span></dd>",
        "<figcaption><strong>Flow &amp; time</strong> <span>Flow was lost.</span></figcaption>",
        "<svg class=\"fig\"></svg>",
        "<details><summary>The numbers</summary>",
        "<th scope=\"col\" class=\"c-time\">Time</th>",
        "<h3 id=\"why\">Why</h3>",
        "<h4>Big</h4>",
        "<p class=\"missing\">Not recorded: when flow returned</p>",
        "<footer>\n<p class=\"caution\">Not for care.</p>\n</footer>",
    ] {
        assert!(html.contains(part), "{part} in {html}");
    }
    assert!(!html.contains("style="));
}

#[test]
fn every_text_of_a_document_is_escaped() {
    let evil = "\"'><script>alert(1)</script>&";
    let mut document = Document::new(evil);
    let phrase = Phrase::new()
        .text(evil)
        .strong(evil)
        .emphasis(evil)
        .mono(evil)
        .mark(evil)
        .quiet(evil)
        .signed(evil)
        .missing(evil)
        .link(evil, "https://example.org/'\"><script>");
    let mut figure = figure("<svg></svg>");
    for text in [&mut figure.title, &mut figure.description, &mut figure.summary, &mut figure.source] {
        evil.clone_into(text);
    }
    document
        .stands_as(evil)
        .paragraph(phrase.clone())
        .section(evil)
        .bullets([phrase.clone()])
        .numbered([phrase.clone()])
        .facts([Fact::new(evil, phrase.clone())])
        .table(
            Table::of(evil, [Column::text(evil), Column::number(evil)])
                .rows([[phrase.clone(), phrase.clone()]])
                .first_column_names_the_row(),
        )
        .figure(figure)
        .missing(evil)
        .markdown(evil)
        .note(phrase.clone())
        .details(evil, [Block::paragraph(phrase.clone())])
        .caution(phrase);
    let html = document_to_html(&document);
    assert!(!html.contains("<script"), "{html}");
    for tag in tags(&html) {
        for (name, value) in tag.attributes {
            assert!(!name.starts_with("on") && name != "style", "{name}");
            assert!(!value.contains('<'), "{name}={value}");
        }
    }
}

#[test]
fn a_table_under_its_heading_does_not_repeat_it_and_numbers_stand_at_the_end() {
    let mut document = Document::new("t");
    let table = || {
        Table::of("Actions", [Column::text("What"), Column::number("n")])
            .rows([["a".into(), "1".into()]])
            .first_column_names_the_row()
    };
    document.section("Actions").table(table()).table(table());
    let html = document_to_html(&document);
    assert_eq!(html.matches("<caption class=\"visually-hidden\">Actions").count(), 1);
    assert_eq!(html.matches("<caption>Actions").count(), 1);
    assert!(html.contains("<th scope=\"row\">a</th><td class=\"num\">1</td>"), "{html}");
}

#[test]
fn parts_of_a_page_have_no_title() {
    let mut document = Document::new("t");
    document.paragraph("one").markdown("# two").section("three");
    let html = blocks_to_html(document.blocks());
    assert!(html.starts_with("<p>one</p>\n<div class=\"prose\">\n<h3>two</h3>"), "{html}");
    assert!(html.contains("<h2 id=\"three\">three</h2>") && !html.contains("<h1"));
}
