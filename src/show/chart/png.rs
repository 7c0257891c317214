//! PNG from a figure's SVG.

use super::figure::Figure;
use super::lettering::reading;
use resvg::{tiny_skia, usvg};
use thiserror::Error;

/// Keyword and text of the PNG chunk by which our own files are known again.
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
    let per_mm = f64::from(dpi) / 25.4;
    let width = (figure.width_mm * per_mm).round() as u32;
    let height = (figure.height_mm * per_mm).round() as u32;
    let plain = encoded(pixels(&figure.svg, width, height)?).map_err(|e| PngError::Render(e.to_string()))?;
    Ok(with_size_and_mark(&plain, dpi))
}

/// The picture of an SVG in so many pixels, on white paper.
pub(crate) fn pixels(svg: &str, width: u32, height: u32) -> Result<tiny_skia::Pixmap, PngError> {
    let fail = |e: String| PngError::Render(e);
    let tree = usvg::Tree::from_str(svg, &reading()).map_err(|e| fail(e.to_string()))?;
    let mut pixels =
        tiny_skia::Pixmap::new(width, height).ok_or_else(|| fail(format!("{width} × {height} pixels are too many")))?;
    pixels.fill(tiny_skia::Color::WHITE);
    let size = tree.size();
    let transform = tiny_skia::Transform::from_scale(width as f32 / size.width(), height as f32 / size.height());
    resvg::render(&tree, transform, &mut pixels.as_mut());
    Ok(pixels)
}

/// A picture on white paper as PNG. It hides nothing, and so it is written without opacity, from the
/// memory that it was drawn in: a copy of a large one would be most of what a report takes.
fn encoded(picture: tiny_skia::Pixmap) -> Result<Vec<u8>, png::EncodingError> {
    let (width, height) = (picture.width(), picture.height());
    let mut bytes = picture.take();
    let dots = bytes.len() / 4;
    for k in 1..dots {
        bytes.copy_within(4 * k..4 * k + 3, 3 * k);
    }
    bytes.truncate(3 * dots);
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&bytes)?;
    writer.finish()?;
    Ok(out)
}

/// Adds the physical size (pHYs) and the mark (tEXt) behind the header chunk, which always takes
/// the first 33 bytes (PNG, ISO/IEC 15948: signature 8, IHDR 25).
fn with_size_and_mark(plain: &[u8], dpi: u32) -> Vec<u8> {
    let per_metre = (f64::from(dpi) / 0.0254).round() as u32;
    let mut size = per_metre.to_be_bytes().to_vec();
    size.extend(per_metre.to_be_bytes());
    size.push(1);
    let (header, rest) = plain.split_at(33.min(plain.len()));
    let mut out = header.to_vec();
    out.extend(chunk(b"pHYs", &size));
    out.extend(chunk(b"tEXt", MARK));
    out.extend(rest);
    out
}

fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut out = (data.len() as u32).to_be_bytes().to_vec();
    out.extend(kind);
    out.extend(data);
    let sum = checksum(&out[4..]);
    out.extend(sum.to_be_bytes());
    out
}

/// CRC-32 as PNG wants it (ISO 3309).
fn checksum(data: &[u8]) -> u32 {
    let mut c = u32::MAX;
    for byte in data {
        c ^= u32::from(*byte);
        for _ in 0..8 {
            c = if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 };
        }
    }
    !c
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checksum_of_the_standard_message() {
        // Check value of CRC-32/ISO-HDLC for "123456789" (handbook value).
        assert_eq!(checksum(b"123456789"), 0xCBF4_3926);
    }
}
