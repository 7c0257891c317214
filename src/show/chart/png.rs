//! PNG and PDF from a figure's SVG; the PDF has the vendored fonts embedded.

use super::figure::Figure;
use super::lettering::reading;
use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use png::{BitDepth, ColorType, Encoder, EncodingError, PixelDimensions, Unit};
use resvg::{tiny_skia, usvg};
use thiserror::Error;

/// Keyword and text of the PNG chunk by which our own files are known again.
const SOFTWARE: [&str; 2] = ["Software", "rimhold figure"];
/// The same as it stands in the file.
#[cfg(feature = "cli")]
pub(crate) const MARK: &[u8] = b"Software\0rimhold figure";

/// Why a figure could not be rendered.
#[derive(Debug, Error)]
pub enum PngError {
    /// A resolution that gives no picture, or one too large.
    #[error("a resolution of {0} dpi gives no usable picture; 72 to 2400 is allowed")]
    Resolution(u32),
    /// The renderer refused the SVG or the encoder failed.
    #[error("the figure could not be rendered: {0}")]
    Render(String),
}

pub(crate) fn render(figure: &Figure, dpi: u32) -> Result<Vec<u8>, PngError> {
    if !(72..=2400).contains(&dpi) {
        return Err(PngError::Resolution(dpi));
    }
    let [width, height] = [figure.width_mm, figure.height_mm].map(|mm| (mm * f64::from(dpi) / 25.4).round() as u32);
    encoded(pixels(&figure.svg, width, height)?, dpi).map_err(|e| PngError::Render(e.to_string()))
}

/// The picture of an SVG in so many pixels, on white paper.
pub(crate) fn pixels(svg: &str, width: u32, height: u32) -> Result<tiny_skia::Pixmap, PngError> {
    let tree = usvg::Tree::from_str(svg, &reading()).map_err(|e| PngError::Render(e.to_string()))?;
    let mut pixels = tiny_skia::Pixmap::new(width, height)
        .ok_or_else(|| PngError::Render(format!("{width} × {height} pixels are too many")))?;
    pixels.fill(tiny_skia::Color::WHITE);
    let size = tree.size();
    let transform = tiny_skia::Transform::from_scale(width as f32 / size.width(), height as f32 / size.height());
    resvg::render(&tree, transform, &mut pixels.as_mut());
    Ok(pixels)
}

/// A picture on white paper as PNG, with its resolution and our mark. It hides nothing, and so it is written
/// without opacity, from the memory that it was drawn in: a copy of a large one would be most of what a report
/// takes.
fn encoded(picture: tiny_skia::Pixmap, dpi: u32) -> Result<Vec<u8>, EncodingError> {
    let (width, height) = (picture.width(), picture.height());
    let mut bytes = picture.take();
    let dots = bytes.len() / 4;
    for k in 1..dots {
        bytes.copy_within(4 * k..4 * k + 3, 3 * k);
    }
    bytes.truncate(3 * dots);
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, width, height);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    let per_metre = (f64::from(dpi) / 0.0254).round() as u32;
    encoder.set_pixel_dims(Some(PixelDimensions { xppu: per_metre, yppu: per_metre, unit: Unit::Meter }));
    encoder.add_text_chunk(SOFTWARE[0].to_owned(), SOFTWARE[1].to_owned())?;
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&bytes)?;
    writer.finish()?;
    Ok(out)
}

/// Points to the millimetre.
const PT: f64 = 72.0 / 25.4;

/// One page of the figure's true size. No date is written and the identifier is the figure's name,
/// so that the same figure gives the same bytes.
pub(crate) fn render_pdf(figure: &Figure) -> Result<Vec<u8>, PngError> {
    let fail = |what: &str| PngError::Render(what.to_owned());
    let tree = usvg::Tree::from_str(&figure.svg, &reading()).map_err(|e| PngError::Render(e.to_string()))?;
    let (w, h) = ((figure.width_mm * PT) as f32, (figure.height_mm * PT) as f32);
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(figure.name.clone())
            .description(figure.alt.clone())
            .creator("rimhold figure".to_owned())
            .producer("rimhold figure".to_owned())
            .language("en".to_owned())
            .document_id(figure.name.clone()),
    );
    let settings = PageSettings::from_wh(w, h).ok_or_else(|| fail("it has no size"))?;
    let mut page = document.start_page_with(settings);
    let mut surface = page.surface();
    let size = Size::from_wh(w, h).ok_or_else(|| fail("it has no size"))?;
    surface.draw_svg(&tree, size, SvgSettings::default()).ok_or_else(|| fail("its drawing could not be laid out"))?;
    surface.finish();
    page.finish();
    document.finish().map_err(|e| PngError::Render(format!("{e:?}")))
}
