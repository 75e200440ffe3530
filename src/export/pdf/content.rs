//! Pieces as the data that the sheets read, and the pictures that go with it.

use serde_json::{Value, json};

use super::tree::nodes;
use crate::export::office::columns;
use crate::export::office::image::Image;
use crate::export::office::measure::widest_word;
use crate::export::office::text::{Cells, Inside, Paragraph, Piece, Role, Run, strong, words};
use crate::export::office::xml::is_right_to_left;
use crate::export::picture::in_our_letters;

/// The width of the text on a page of A4 and the size of its text, in points; `sheet/document.typ` has the
/// same.
const WIDTH: f64 = 482.0;
const SIZE: f64 = 10.5;
/// The size of the largest heading, and of the title.
const HEADING_SIZE: f64 = 14.0;
const TITLE_SIZE: f64 = 21.0;
/// The highest drawing, in points: what stands above and beneath it stays on its page.
const HIGHEST: f64 = 560.0;
/// The size of the text in a table, and what is free beside it.
const TABLE_SIZE: f64 = 9.5;
const BESIDE: f64 = 5.0;
/// A row with more letters than this may be torn over pages.
const LONG_ROW: usize = 700;
/// A word that is wider than its place may be torn after so many letters.
const TEAR: usize = 8;

/// A picture in a file of its own.
#[derive(Clone)]
pub(super) enum Drawn {
    /// A drawing of ours.
    Svg(String),
    /// Pixels.
    Png(Vec<u8>),
}

/// What the data refers to.
#[derive(Default)]
pub(super) struct Content {
    pub(super) pictures: Vec<Drawn>,
}

impl Content {
    /// Pieces as data.
    pub(super) fn pieces(&mut self, pieces: &[Piece<'_>]) -> Vec<Value> {
        let mut data = Vec::new();
        let mut level = 0;
        let mut rest = pieces;
        while let Some(first) = rest.first() {
            let count = rest.iter().take_while(|piece| is_text(piece)).count();
            if count > 0 {
                let paragraphs: Vec<Paragraph> = rest[..count].iter().filter_map(paragraph).collect();
                data.extend(nodes(&paragraphs).iter().map(|node| node.data(WIDTH, SIZE)));
                rest = &rest[count..];
                continue;
            }
            match first {
                Piece::Paragraph(heading) => {
                    if let Role::Heading(wanted) = heading.role {
                        // No level is left out, which a reader of tags would stumble over.
                        level = wanted.saturating_sub(1).clamp(1, level + 1);
                        let text = words(&heading.runs);
                        data.push(json!({
                            "kind": "heading", "level": level, "name": name(heading),
                            "text": line(&text, WIDTH, HEADING_SIZE), "rtl": is_right_to_left(&text),
                        }));
                    }
                }
                Piece::Table(cells) => data.push(table(cells)),
                Piece::Image(image) => data.push(self.image(*image, WIDTH, HIGHEST)),
            }
            rest = &rest[1..];
        }
        data
    }

    /// A drawing or a still within a width and a height, in points.
    fn image(&mut self, image: Image<'_>, width: f64, highest: f64) -> Value {
        let (wide, high) = image.units();
        // A still of few pixels is not blown up to coarse squares.
        let most = match image {
            Image::Drawing(_) => width,
            Image::Still(..) => width.min(wide * 0.75).max(width / 2.0),
        };
        let across = most.min(highest * wide / high);
        let mut data = self.picture(image, across);
        if let Image::Drawing(figure) = image {
            let source = figure.source.trim();
            data["title"] = json!(line(&figure.title, WIDTH, SIZE));
            data["summary"] = json!(line(figure.summary.trim(), WIDTH, SIZE));
            data["source"] = json!(if source.is_empty() {
                String::new()
            } else {
                line(&format!("Source: {source}"), WIDTH, SIZE)
            });
        }
        data
    }

    /// A picture, so many points wide, without words beside it.
    pub(super) fn picture(&mut self, image: Image<'_>, width: f64) -> Value {
        let name = picture_name(self.pictures.len(), &image);
        self.pictures.push(match image {
            Image::Drawing(figure) => Drawn::Svg(in_our_letters(figure.svg.as_str())),
            Image::Still(_, png) => Drawn::Png(png.to_vec()),
        });
        json!({ "kind": "image", "file": name, "width": width, "alternative": image.alternative() })
    }
}

/// What a picture is called among the data.
fn picture_name(number: usize, image: &Image<'_>) -> String {
    let extension = match image {
        Image::Drawing(_) => "svg",
        Image::Still(..) => "png",
    };
    format!("picture-{number}.{extension}")
}

impl Drawn {
    /// What it is called among the data: [`picture_name`].
    pub(super) fn name(&self, number: usize) -> String {
        match self {
            Self::Svg(_) => format!("picture-{number}.svg"),
            Self::Png(_) => format!("picture-{number}.png"),
        }
    }
}

fn is_text(piece: &Piece<'_>) -> bool {
    matches!(piece, Piece::Paragraph(paragraph) if !matches!(paragraph.role, Role::Heading(_)))
}

fn paragraph(piece: &Piece<'_>) -> Option<Paragraph> {
    match piece {
        Piece::Paragraph(paragraph) => Some(paragraph.clone()),
        _ => None,
    }
}

/// The name of a heading, which a link can lead to.
fn name(heading: &Paragraph) -> Option<&str> {
    heading.runs.iter().find_map(|run| match &run.inside {
        Some(Inside::Named(name)) => Some(name.as_str()),
        _ => None,
    })
}

/// Runs as data, in lines so many points wide at a size.
pub(super) fn runs(runs: &[Run], width: f64, size: f64) -> Value {
    let tears = widest_word(runs, size) > width;
    let data = runs.iter().map(|run| {
        let text = if tears { torn(&run.text) } else { run.text.clone() };
        json!({
            "text": text,
            "bold": run.look.bold,
            "italic": run.look.italic,
            "mono": run.look.mono,
            "quiet": run.look.quiet,
            "link": run.link.as_ref().map(|link| link.as_str()),
            "to": match &run.inside {
                Some(Inside::LeadsTo(name)) => Some(name),
                _ => None,
            },
        })
    });
    data.collect()
}

/// Text in lines so many points wide at a size: a word that is wider may be torn.
fn line(text: &str, width: f64, size: f64) -> String {
    if widest_word(&[strong(text)], size) > width { torn(text) } else { text.to_owned() }
}

/// A title as it stands above a document.
pub(super) fn title(text: &str) -> String {
    line(text, WIDTH, TITLE_SIZE)
}

/// Text whose long words may be torn.
fn torn(text: &str) -> String {
    let mut torn = String::new();
    let mut length = 0;
    for c in text.chars() {
        length = if c.is_whitespace() { 0 } else { length + 1 };
        if length > TEAR {
            torn.push('\u{200B}');
            length = 1;
        }
        torn.push(c);
    }
    torn
}

/// A cell of a table as data, with so much room for its text.
pub(super) fn cell(cell: &[Run], room: f64, size: f64) -> Value {
    // Half a point for what rounding takes away.
    json!({ "runs": runs(cell, room + 0.5, size), "rtl": is_right_to_left(&words(cell)) })
}

fn table(cells: &Cells) -> Value {
    let (widths, _) = columns::widths(cells, WIDTH, TABLE_SIZE, BESIDE);
    let row = |row: &Vec<Vec<Run>>| {
        let cells: Vec<Value> = row
            .iter()
            .zip(&widths)
            .map(|(runs, width)| cell(runs, width - 2.0 * BESIDE, TABLE_SIZE))
            .collect();
        let longest = row.iter().map(|cell| words(cell).chars().count()).max().unwrap_or(0);
        json!({ "cells": cells, "whole": longest < LONG_ROW })
    };
    json!({
        "kind": "table",
        "caption": line(&cells.caption, WIDTH, SIZE),
        "widths": widths,
        "ends": cells.ends,
        "head": (!cells.heads.is_empty()).then(|| row(&cells.heads)),
        "rows": cells.rows.iter().map(row).collect::<Vec<_>>(),
        "names": cells.names_rows,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{Block, Column, Document, Table};
    use crate::export::office::text::pieces;

    fn data(document: &Document) -> Vec<Value> {
        Content::default().pieces(&pieces(document.blocks()))
    }

    #[test]
    fn a_link_within_the_document_leads_to_its_heading() {
        let mut document = Document::new("x");
        document
            .section("What it was")
            .paragraph(crate::document::Phrase::new().link("there", "#what-it-was"));
        let data = data(&document);
        assert_eq!(data[0]["name"], "what-it-was");
        assert_eq!(data[1]["runs"][0]["to"], "what-it-was");
    }

    #[test]
    fn no_level_of_heading_is_left_out() {
        let mut document = Document::new("x");
        document
            .heading(crate::document::Level::Point, "first")
            .section("second")
            .heading(crate::document::Level::Point, "third");
        let levels: Vec<Value> = data(&document).iter().map(|piece| piece["level"].clone()).collect();
        assert_eq!(levels, [1, 1, 2]);
    }

    #[test]
    fn a_word_that_is_wider_than_the_page_may_be_torn_and_others_not() {
        let mut document = Document::new("x");
        document.paragraph("short words only").paragraph("y".repeat(200));
        let data = data(&document);
        assert_eq!(data[0]["runs"][0]["text"], "short words only");
        let torn = data[1]["runs"][0]["text"].as_str().unwrap();
        assert_eq!(torn.replace('\u{200B}', ""), "y".repeat(200));
        assert_eq!(torn.matches('\u{200B}').count(), 24);
    }

    #[test]
    fn a_table_is_as_wide_as_the_page_and_its_long_rows_may_be_torn() {
        let mut document = Document::new("x");
        let table = Table::of("c", [Column::offset("Time"), Column::text("Event")])
            .rows([["+0:00".into(), "wire".into()], ["+1:00".into(), "x ".repeat(400).into()]]);
        document.push(Block::from(table));
        let table = &data(&document)[0];
        let widths: f64 = table["widths"].as_array().unwrap().iter().filter_map(Value::as_f64).sum();
        assert!((widths - WIDTH).abs() < 0.01, "{widths}");
        assert_eq!(table["rows"][0]["whole"], true);
        assert_eq!(table["rows"][1]["whole"], false);
    }
}
