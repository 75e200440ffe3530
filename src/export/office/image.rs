//! A figure or a still as a picture in a file.

use crate::document::{Figure, Picture};
use crate::export::format::ExportError;
use crate::export::picture::{Paper, png_across};

/// What a file holds as a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Image<'a> {
    /// A drawing of ours.
    Drawing(&'a Figure),
    /// Pixels that are kept, with their PNG.
    Still(&'a Picture, &'a [u8]),
}

impl<'a> Image<'a> {
    /// A still, when its pixels are at hand.
    #[must_use]
    pub fn of(picture: &'a Picture) -> Option<Self> {
        picture.png.as_deref().map(|png| Self::Still(picture, png))
    }

    /// Its width and height, in units of its own. A drawing of ours says them at its root.
    #[must_use]
    pub fn units(self) -> (f64, f64) {
        let figure = match self {
            Self::Still(picture, _) => {
                return (f64::from(picture.width.max(1)), f64::from(picture.height.max(1)));
            }
            Self::Drawing(figure) => figure,
        };
        let svg = figure.svg.as_str();
        let numbers =
            svg.split_once("viewBox=\"").and_then(|(_, rest)| rest.split('"').next()).map(|numbers| {
                numbers.split_whitespace().filter_map(|number| number.parse().ok()).collect::<Vec<f64>>()
            });
        match numbers.as_deref() {
            Some([_, _, width, height]) if *width > 0.0 && *height > 0.0 => (*width, *height),
            _ => (960.0, 400.0),
        }
    }

    /// Its PNG: a drawing so many dots across, a still as it is kept.
    ///
    /// # Errors
    /// A drawing that cannot be drawn.
    pub fn png(self, dots: f64, paper: Paper) -> Result<Vec<u8>, ExportError> {
        match self {
            Self::Drawing(figure) => Ok(png_across(figure.svg.as_str(), dots, paper)?),
            Self::Still(_, png) => Ok(png.to_vec()),
        }
    }

    /// What a reader hears who does not see it: what it shows, what is drawn, what it says.
    #[must_use]
    pub fn alternative(self) -> String {
        let figure = match self {
            Self::Still(picture, _) => return picture.alternative.clone(),
            Self::Drawing(figure) => figure,
        };
        let mut parts: Vec<&str> = Vec::new();
        for part in [&figure.title, &figure.description, &figure.summary] {
            let part = part.trim();
            if !part.is_empty() && !parts.contains(&part) {
                parts.push(part);
            }
        }
        let mut text = String::new();
        for part in parts {
            if !text.is_empty() {
                text.push_str(if text.ends_with(['.', '?', '!']) { " " } else { ". " });
            }
            text.push_str(part);
        }
        text
    }
}
