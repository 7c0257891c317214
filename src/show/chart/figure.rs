//! A finished figure.

use super::canvas::Canvas;
use super::png::{self, PngError};

/// A figure with what belongs to it. Nothing is on disk until it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Name: the stem of its files; lower-case letters, digits and hyphens.
    pub name: String,
    /// True width, mm.
    pub width_mm: f64,
    /// True height, mm.
    pub height_mm: f64,
    /// The one source: an SVG on a 0.01 mm grid.
    pub svg: String,
    /// The numbers behind it.
    pub csv: String,
    /// Caption for a paper, with the drawing language in words.
    pub caption: String,
    /// Alternative text for a reader who cannot see it.
    pub alt: String,
}

impl Figure {
    pub(crate) fn new(name: &str, canvas: Canvas, csv: String, caption: String, alt: String) -> Self {
        let name = slug(name);
        let [width_mm, height_mm] = canvas.size();
        Self { width_mm, height_mm, svg: canvas.finish(&name, &alt), csv, caption, alt, name }
    }

    /// The same with the name of what it shows behind its own, so that those of several stand side by
    /// side.
    #[must_use]
    pub(crate) fn of(mut self, what: &str) -> Self {
        self.name = slug(&format!("{} {what}", self.name));
        self
    }

    /// The figure as PNG bytes at `dpi` dots per inch, made from its SVG with the vendored font.
    ///
    /// # Errors
    /// When the resolution is zero or the picture would not fit in memory.
    pub fn png(&self, dpi: u32) -> Result<Vec<u8>, PngError> {
        png::render(self, dpi)
    }

    /// The figure as PDF bytes: one page of its true size, fonts embedded.
    ///
    /// # Errors
    /// When the drawing could not be laid out.
    pub fn pdf(&self) -> Result<Vec<u8>, PngError> {
        png::render_pdf(self)
    }
}

/// A name made fit for a file: lower case, with a hyphen for all but letters and digits.
fn slug(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars() {
        if c.is_ascii_alphanumeric() {
            slug.push(c.to_ascii_lowercase());
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "figure" } else { slug }.to_owned()
}

/// Numbers figures whose names fall together once they are fit for a file.
pub(crate) fn name_apart<'a>(figures: impl IntoIterator<Item = &'a mut Figure>) {
    let mut taken: Vec<String> = Vec::new();
    for figure in figures {
        let base = figure.name.clone();
        let mut number = 2;
        while taken.contains(&figure.name) {
            figure.name = format!("{base}-{number}");
            number += 1;
        }
        taken.push(figure.name.clone());
    }
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn names_cannot_leave_their_folder() {
        assert_eq!(slug("construct ../../Two by two"), "construct-two-by-two");
        assert_eq!(slug("..."), "figure");
    }
}
