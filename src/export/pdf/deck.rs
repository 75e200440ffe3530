//! Slides as data: what stands on each, and where.

use serde_json::{Value, json};

use super::content::{Content, cell};
use super::tree::nodes;
use crate::export::office::measure::{shorten, wrap};
use crate::export::office::text::{Paragraph, Role, plain};
use crate::export::office::xml::is_right_to_left;
use crate::export::slides::LaidOut;
use crate::export::slides::flow::{INDENT, text_size};
use crate::export::slides::grid::{Grid, GridRow};
use crate::export::slides::look::{LayoutLook, Place, Slot, Want};
use crate::export::slides::page::{Page, Placed};

/// The width of a page and the size of the notes on it, in points: as in `sheet/slides.typ`.
const WIDTH: f64 = 482.0;
const NOTES: f64 = 10.5;
/// How many lines of notes stay on one page with their slide.
const MOST_LINES: usize = 26;
/// What is free beside the text of a cell: as in `sheet/slides.typ`.
const BESIDE: f64 = 6.0;

/// The slides of a deck as data.
pub(super) fn slides(laid_out: &LaidOut<'_>, content: &mut Content) -> Vec<Value> {
    laid_out.pages.iter().map(|page| slide(page, laid_out, content)).collect()
}

fn slide(page: &Page<'_>, laid_out: &LaidOut<'_>, content: &mut Content) -> Value {
    let layout = laid_out.looks.layout(page.want);
    let body = layout.body().or_else(|| laid_out.looks.layout(Want::Text).body());
    let items: Vec<Value> = page.items.iter().map(|item| placed(item, body, content)).collect();
    json!({
        "opening": page.want == Want::Opening,
        "question": page.want == Want::Question,
        "part": part(page, layout),
        "title": title(page, layout),
        "items": items,
        "notes": notes(&page.notes),
        "whole": lines(&page.notes) <= MOST_LINES,
    })
}

fn part(page: &Page<'_>, layout: &LayoutLook) -> Option<Value> {
    let slot = layout.part()?;
    let run = shorten(plain(&page.part), slot.text.size, slot.place.width, 1);
    Some(json!({ "text": run.text, "x": slot.place.x, "y": slot.place.y, "size": slot.text.size }))
}

fn title(page: &Page<'_>, layout: &LayoutLook) -> Option<Value> {
    let slot = layout.title()?;
    let size = page.title.size.unwrap_or(slot.text.size);
    let Place { x, y, width, height } = slot.place;
    Some(json!({
        "text": page.title.text, "rtl": is_right_to_left(&page.title.text),
        "x": x, "y": y, "width": width, "height": height,
        "size": size, "line": slot.text.line_height(size),
    }))
}

fn placed(item: &Placed<'_>, body: Option<&Slot>, content: &mut Content) -> Value {
    match item {
        Placed::Text { place, paragraphs } => match body {
            Some(slot) => text(paragraphs, place.unwrap_or(slot.place), slot),
            None => Value::Null,
        },
        Placed::Table { place, grid } => json!({
            "kind": "table", "x": place.x, "y": place.y, "width": place.width,
            "size": grid.size,
            "heights": grid.rows.iter().map(|row| row.height).collect::<Vec<_>>(),
            "table": table(grid),
        }),
        Placed::Picture { place, image } => {
            let mut data = content.picture(*image, place.width);
            data["x"] = json!(place.x);
            data["y"] = json!(place.y);
            data
        }
    }
}

fn text(paragraphs: &[Paragraph], place: Place, slot: &Slot) -> Value {
    let size = text_size(slot);
    json!({
        "kind": "text", "x": place.x, "y": place.y, "width": place.width,
        "size": size,
        "line": slot.text.line_height(size),
        "before": slot.text.before,
        "indent": slot.text.indent.max(INDENT),
        "paragraphs": nodes(paragraphs).iter().map(|node| node.data(place.width, size)).collect::<Vec<_>>(),
    })
}

fn table(grid: &Grid) -> Value {
    let row = |row: &GridRow| {
        let cells: Vec<Value> = row
            .cells
            .iter()
            .zip(&grid.columns)
            .map(|(runs, (width, _))| cell(runs, width - 2.0 * BESIDE, grid.size))
            .collect();
        json!({ "cells": cells, "whole": true })
    };
    let (head, rows) = match grid.rows.split_first() {
        Some((first, rest)) if grid.has_heads => (Some(first), rest),
        _ => (None, grid.rows.as_slice()),
    };
    json!({
        "caption": grid.caption,
        "widths": grid.columns.iter().map(|(width, _)| width).collect::<Vec<_>>(),
        "ends": grid.columns.iter().map(|(_, ends)| ends).collect::<Vec<_>>(),
        "head": head.map(row),
        "rows": rows.iter().map(row).collect::<Vec<_>>(),
        "names": grid.names_rows,
    })
}

/// How many lines notes take, with the space between them as half a line.
fn lines(notes: &str) -> usize {
    notes
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| 2 * wrap(&[plain(line)], NOTES, WIDTH).len() + 1)
        .sum::<usize>()
        .div_ceil(2)
}

/// What may be said, a line a thought.
fn notes(notes: &str) -> Vec<Value> {
    let paragraphs: Vec<Paragraph> = notes
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| Paragraph { role: Role::Body, runs: vec![plain(line)] })
        .collect();
    nodes(&paragraphs).iter().map(|node| node.data(WIDTH, NOTES)).collect()
}
