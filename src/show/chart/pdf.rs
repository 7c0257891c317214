//! PDF from a figure's SVG, with the vendored fonts embedded.

use super::figure::Figure;
use super::lettering::reading;
use super::png::PngError;
use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use resvg::usvg;

/// Points to the millimetre.
const PT: f64 = 72.0 / 25.4;

/// One page of the figure's true size. No date is written and the identifier is the figure's name,
/// so that the same figure gives the same bytes.
pub(crate) fn render(figure: &Figure) -> Result<Vec<u8>, PngError> {
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
