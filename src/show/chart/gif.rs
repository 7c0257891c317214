//! A moving picture from still ones: one palette, and of each frame only what changed (GIF89a,
//! CompuServe 1990).

use super::png::PngError;
use super::write::FIRST_LINE;
use crate::par;
use gif::{AnyExtension, DisposalMethod, Encoder, Frame, Repeat};
use std::borrow::Cow;

/// Least distance of two colours of a palette, in units of sRGB values.
const APART: i32 = 10;
/// Bits of each channel by which a colour is looked up.
const BITS: u32 = 6;
/// Colours of a palette; the index after the last is "unchanged".
const COLOURS: usize = 255;

/// At most 255 colours, and for every colour the nearest of them.
pub(crate) struct Palette {
    colours: Vec<[u8; 3]>,
    nearest: Vec<u8>,
}

impl Palette {
    /// The colours that cover most of these pictures (RGBA bytes): the most frequent first, each
    /// that is not close to one already taken. Flat fills keep their exact colour; the blends at
    /// edges fall to a neighbour.
    pub fn of(pictures: &[&[u8]]) -> Self {
        let mut pixels: Vec<u32> = pictures
            .iter()
            .flat_map(|p| p.chunks_exact(4))
            .map(|p| u32::from_be_bytes([0, p[0], p[1], p[2]]))
            .collect();
        pixels.sort_unstable();
        let mut counts: Vec<(usize, u32)> = pixels.chunk_by(|a, b| a == b).map(|run| (run.len(), run[0])).collect();
        counts.sort_unstable_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut colours: Vec<[u8; 3]> = Vec::new();
        for (_, colour) in counts {
            let [_, r, g, b] = colour.to_be_bytes();
            let close = |c: &[u8; 3]| distance(*c, [r, g, b]) < APART * APART;
            if colours.len() < COLOURS && !colours.iter().any(close) {
                colours.push([r, g, b]);
            }
        }
        if colours.is_empty() {
            colours.push([255; 3]);
        }
        let side = 1_u32 << BITS;
        let middle = |v: u32| ((v * (256 >> BITS)) + (128 >> BITS)) as u8;
        let nearest = |red: &u32| -> Vec<u8> {
            let rest = (0..side).flat_map(|green| (0..side).map(move |blue| [*red, green, blue].map(middle)));
            let best = |here| (0..colours.len()).min_by_key(|k| (distance(colours[*k], here), *k));
            rest.map(|here| best(here).unwrap_or(0) as u8).collect()
        };
        let nearest = par::map(&(0..side).collect::<Vec<u32>>(), nearest).concat();
        Self { colours, nearest }
    }

    /// A picture as indices.
    pub fn indices(&self, picture: &[u8]) -> Vec<u8> {
        let shift = 8 - BITS;
        picture
            .chunks_exact(4)
            .map(|p| {
                let [r, g, b] = [p[0], p[1], p[2]].map(|v| u32::from(v) >> shift);
                self.nearest[((r << (2 * BITS)) | (g << BITS) | b) as usize]
            })
            .collect()
    }

    fn unchanged(&self) -> u8 {
        self.colours.len() as u8
    }
}

fn distance(a: [u8; 3], b: [u8; 3]) -> i32 {
    (0..3).map(|i| (i32::from(a[i]) - i32::from(b[i])).pow(2)).sum()
}

/// The bytes of an endless animation of pictures in `palette`, each with how long it stays in
/// hundredths of a second.
pub(crate) fn encode(size: [u16; 2], palette: &Palette, pictures: &[(Vec<u8>, u16)]) -> Result<Vec<u8>, PngError> {
    let numbers: Vec<usize> = (0..pictures.len()).collect();
    let frames: Vec<Frame<'static>> = par::map(&numbers, |k| {
        let before = k.checked_sub(1).map(|b| pictures[b].0.as_slice());
        frame(size, palette, before, &pictures[*k])
    });
    let fail = |e: gif::EncodingError| PngError::Render(e.to_string());
    // One entry more than there are colours: the index that means "unchanged".
    let mut table: Vec<u8> = palette.colours.iter().flatten().copied().collect();
    table.extend([255; 3]);
    let mut encoder = Encoder::new(Vec::new(), size[0], size[1], &table).map_err(fail)?;
    encoder.set_repeat(Repeat::Infinite).map_err(fail)?;
    let mark: &[&[u8]] = &[FIRST_LINE.as_bytes()];
    encoder.write_raw_extension(AnyExtension(COMMENT), mark).map_err(fail)?;
    for frame in &frames {
        encoder.write_lzw_pre_encoded_frame(frame).map_err(fail)?;
    }
    encoder.into_inner().map_err(fail)
}

/// Label of a comment extension (GIF89a, section 24).
const COMMENT: u8 = 0xFE;

/// The rectangle in which a picture differs from the one before, its unchanged pixels transparent.
fn frame(size: [u16; 2], palette: &Palette, before: Option<&[u8]>, (now, delay): &(Vec<u8>, u16)) -> Frame<'static> {
    let width = usize::from(size[0]);
    let mut frame =
        Frame { delay: *delay, dispose: DisposalMethod::Keep, width: size[0], height: size[1], ..Frame::default() };
    let Some(before) = before else {
        frame.buffer = Cow::Owned(now.clone());
        frame.make_lzw_pre_encoded();
        return frame;
    };
    // Least and greatest column and row; one pixel where nothing changed.
    let (mut x, mut y) = ([width, 0], [usize::from(size[1]), 0]);
    for (row, (a, b)) in before.chunks(width).zip(now.chunks(width)).enumerate() {
        if a == b {
            continue;
        }
        let differs = |k: &usize| a[*k] != b[*k];
        x[0] = x[0].min((0..width).find(differs).unwrap_or(width));
        x[1] = x[1].max((0..width).rfind(differs).unwrap_or(0));
        y = [y[0].min(row), row];
    }
    if y[0] > y[1] {
        (x, y) = ([0, 0], [0, 0]);
    }
    let mut buffer = Vec::with_capacity((x[1] - x[0] + 1) * (y[1] - y[0] + 1));
    for row in y[0]..=y[1] {
        for column in x[0]..=x[1] {
            let k = row * width + column;
            buffer.push(if before[k] == now[k] { palette.unchanged() } else { now[k] });
        }
    }
    frame.left = x[0] as u16;
    frame.top = y[0] as u16;
    frame.width = (x[1] - x[0] + 1) as u16;
    frame.height = (y[1] - y[0] + 1) as u16;
    frame.transparent = Some(palette.unchanged());
    frame.buffer = Cow::Owned(buffer);
    frame.make_lzw_pre_encoded();
    frame
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decoder_gives_the_pictures_back() {
        let picture = |at: usize| -> Vec<u8> {
            let mut p = [255, 255, 255, 255].repeat(40 * 30);
            for row in 10..20 {
                for column in at..at + 8 {
                    p[4 * (row * 40 + column)..][..3].copy_from_slice(&[0, 114, 178]);
                }
            }
            p
        };
        let pictures: Vec<Vec<u8>> = (0..6).map(|k| picture(5 * k)).collect();
        let palette = Palette::of(&[&pictures[0]]);
        let indexed: Vec<(Vec<u8>, u16)> = pictures.iter().map(|p| (palette.indices(p), 7)).collect();
        let bytes = encode([40, 30], &palette, &indexed).unwrap();
        let mut options = gif::DecodeOptions::new();
        options.set_color_output(gif::ColorOutput::RGBA);
        let mut decoder = options.read_info(bytes.as_slice()).unwrap();
        let mut seen = vec![0; 4 * 40 * 30];
        for expected in &pictures {
            let frame = decoder.read_next_frame().unwrap().unwrap();
            assert_eq!(frame.delay, 7);
            for (k, p) in frame.buffer.chunks_exact(4).enumerate() {
                if p[3] > 0 {
                    let (w, x) = (usize::from(frame.width), usize::from(frame.left));
                    let (row, column) = (k / w + usize::from(frame.top), k % w + x);
                    seen[4 * (row * 40 + column)..][..4].copy_from_slice(p);
                }
            }
            assert_eq!(&seen, expected);
        }
        assert!(decoder.read_next_frame().unwrap().is_none());
    }
}
