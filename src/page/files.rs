//! The files of the page, built in.

/// A file: its path, its type, its bytes.
type Built = (&'static str, &'static str, &'static [u8]);

macro_rules! built {
    ($($path:literal: $kind:literal, $file:literal;)*) => { &[$(($path, $kind, include_bytes!($file))),*] };
}

/// The page itself; the caution is put in where it is served.
pub(super) const PAGE: &str = include_str!("web/index.html");

/// All others.
#[rustfmt::skip]
pub(super) const FILES: &[Built] = built! {
    "/page.css": "text/css; charset=utf-8", "web/page.css";
    "/page.js": "text/javascript; charset=utf-8", "web/page.js";
    "/answer.js": "text/javascript; charset=utf-8", "web/answer.js";
    "/ask.js": "text/javascript; charset=utf-8", "web/ask.js";
    "/dom.js": "text/javascript; charset=utf-8", "web/dom.js";
    "/draw.js": "text/javascript; charset=utf-8", "web/draw.js";
    "/history.js": "text/javascript; charset=utf-8", "web/history.js";
    "/link.js": "text/javascript; charset=utf-8", "web/link.js";
    "/orders.js": "text/javascript; charset=utf-8", "web/orders.js";
    "/presenter.js": "text/javascript; charset=utf-8", "web/presenter.js";
    "/save.js": "text/javascript; charset=utf-8", "web/save.js";
    "/settings.js": "text/javascript; charset=utf-8", "web/settings.js";
    "/timeline.js": "text/javascript; charset=utf-8", "web/timeline.js";
    "/sans.ttf": "font/ttf", "../show/chart/fonts/LiberationSans-Regular.ttf";
    "/sans-bold.ttf": "font/ttf", "../show/chart/fonts/LiberationSans-Bold.ttf";
    "/sans-italic.ttf": "font/ttf", "../show/chart/fonts/LiberationSans-Italic.ttf";
};
