//! The styles beside print: slides and grey; and the PDFs.

use crate::figures::{check_grey, check_sheet, check_words, compared, synthetic, tree};
use rimhold::show::figures::{Colour, Figure, Style, Theme, resistance};
use rimhold::study::result::Push;

#[test]
fn a_slide_is_sixteen_to_nine_with_large_words() {
    for (name, figure) in compared::in_style(Style::Slide) {
        // 16 to 9, ten inches wide.
        assert!((figure.width_mm / figure.height_mm - 16.0 / 9.0).abs() < 1e-9, "{name}");
        assert!((figure.width_mm - 254.0).abs() < 1e-9, "{name}");
        let size = tree(&figure.svg).size();
        // 96 px to the inch of 25.4 mm (CSS Values and Units 3, section 6.2); header in 0.01 mm.
        assert!((f64::from(size.width()) - 960.0).abs() < 0.05, "{name}");
        // Common practice, no source: words on a slide this wide from 8 pt up; most have 11 or more.
        check_words(&name, &figure, 8.0..=30.0);
        check_sheet(&name, &figure);
    }
}

#[test]
fn grey_figures_have_no_colour() {
    check_grey(compared::in_style(Style::Grey));
}

#[test]
fn series_are_told_apart_in_grey_and_by_a_second_code() {
    let grey = Theme::double().in_grey().series;
    let colour = Theme::double().series;
    for i in 0..7 {
        // WCAG 2.1, 1.4.11: graphics need 3 to 1 against what is beside them.
        let contrast = 1.05 / (grey[i].luminance() + 0.05);
        assert!(contrast >= 3.0, "grey {i}: {contrast:.2}");
        for j in i + 1..7 {
            let apart = (grey[i].lightness() - grey[j].lightness()).abs();
            // Ten steps of L* are seen at once side by side (a just visible one is about 1: CIE
            // 1976, by its construction); half a step is lost to whole numbers.
            assert!(apart >= 9.5, "greys {i} and {j}: {apart:.1}");
        }
    }
    // In colour, orange and sky blue are as light as each other: printed without colour they are told
    // apart by the second code alone. Curves of one figure never share
    // the pattern of their dashes.
    let pushes = synthetic::eight_pushes();
    let pushes: Vec<&Push> = pushes.iter().take(7).collect();
    let figure = resistance(&pushes, &Theme::double());
    let mut dashes: Vec<String> = (0..7).map(|k| dash(&figure, colour[k])).collect();
    dashes.sort();
    dashes.dedup();
    assert_eq!(dashes.len(), 7, "{dashes:?}");
}

/// The dash pattern of the longest line in a colour.
pub fn dash(figure: &Figure, colour: Colour) -> String {
    let ink = format!("stroke=\"#{:02X}{:02X}{:02X}\"", colour.0, colour.1, colour.2);
    let lines = figure.svg.lines().filter(|l| l.starts_with("<polyline") && l.contains(&ink));
    let longest = lines.max_by_key(|l| l.len()).unwrap();
    let pattern = longest.split("stroke-dasharray=\"").nth(1);
    pattern.map_or(String::new(), |p| p.split('"').next().unwrap().to_owned())
}

fn one() -> Figure {
    let pushes = synthetic::two_pushes();
    let pushes: Vec<&Push> = pushes.iter().collect();
    resistance(&pushes, &Theme::single())
}

#[test]
fn a_pdf_has_its_true_size_its_fonts_and_no_clock() {
    let figure = one();
    let pdf = figure.pdf().unwrap();
    assert_eq!(pdf, figure.pdf().unwrap(), "the same bytes each time");
    // Read by a parser that knows nothing of the writer.
    let document = lopdf::Document::load_mem(&pdf).unwrap();
    assert_eq!(document.get_pages().len(), 1);
    let page = document.get_dictionary(document.get_pages()[&1]).unwrap();
    let size: Vec<f32> = page
        .get(b"MediaBox")
        .and_then(lopdf::Object::as_array)
        .unwrap()
        .iter()
        .map(|v| v.as_float().unwrap())
        .collect();
    // A point is 1/72 inch (PDF 32000-1, 8.3.2.3); numbers are written in f32.
    let mm = |pt: f32| f64::from(pt) * 25.4 / 72.0;
    assert!((mm(size[2]) - figure.width_mm).abs() < 1e-3, "{size:?}");
    assert!((mm(size[3]) - figure.height_mm).abs() < 1e-3, "{size:?}");
    let mut fonts = 0;
    for object in document.objects.values() {
        let Ok(dictionary) = object.as_dict() else {
            continue;
        };
        if dictionary.has_type(b"FontDescriptor") {
            fonts += 1;
            let embedded = [&b"FontFile"[..], b"FontFile2", b"FontFile3"].iter().any(|key| dictionary.get(key).is_ok());
            assert!(embedded, "{dictionary:?}");
            let name = dictionary.get(b"FontName").and_then(lopdf::Object::as_name).unwrap();
            let name = String::from_utf8_lossy(name).into_owned();
            assert!(name.contains("LiberationSans"), "{name}");
        }
        for key in [&b"CreationDate"[..], b"ModDate"] {
            assert!(dictionary.get(key).is_err(), "a date");
        }
    }
    assert!(fonts >= 1);
    // Words stay words, to be searched and copied.
    let font = |o: &&lopdf::Object| o.as_dict().is_ok_and(|d| d.has_type(b"Font") && d.has(b"ToUnicode"));
    assert!(document.objects.values().any(|o| font(&o)));
}
