//! Cutting layouts, each a picture of its own within the page.
//!
//! A layout is a file of someone's, with styles and ids of its own, and perhaps more. As a picture by itself it can
//! neither change the page nor run, fetch or name anything in it.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use crate::show::layout::{Layout, LayoutView, MOST_STRIPS, SVG, TitledCloth};
use crate::show::markup::Markup;

/// A part of a layout that a page has room for, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Strip {
    start: f64,
    length: f64,
}

impl LayoutView {
    /// Whether there is room for all of it side by side.
    fn has_room(&self, room: &StripRoom) -> bool {
        self.length <= room.most()
    }
}

impl TitledCloth {
    /// The parts in which there is room for it; one where there is room for the whole, with all that stands beside it.
    fn strips(&self, room: &StripRoom) -> Vec<Strip> {
        let most = room.most();
        if self.length <= most {
            return vec![Strip { start: 0.0, length: most }];
        }
        let count = ((self.length - SHARED) / (most - SHARED)).ceil().min(MOST_STRIPS as f64);
        let step = (self.length - SHARED) / count;
        (0..count as usize).map(|strip| Strip { start: strip as f64 * step, length: step + SHARED }).collect()
    }
}

/// What a layout is cut into strips for.
struct StripRoom {
    /// How wide it is, mm.
    wide: f64,
    /// The class of its strips together, and of each.
    all: &'static str,
    each: &'static str,
}

/// A printed page between its margins, A4 and Letter alike; a screen has as much.
const PAGE: StripRoom = StripRoom { wide: 180.0, all: "strips", each: "strip" };

/// A phone.
const PHONE: StripRoom = StripRoom { wide: 80.0, all: "strips on-phone", each: "strip-on-phone" };

impl StripRoom {
    /// What there is room for, mm of cloth.
    fn most(&self) -> f64 {
        self.wide / SCALE
    }
}

/// How large a layout is shown: the rows in which cloth is drawn so that they can be read on A4 are then as wide as a page.
const SCALE: f64 = 0.08;

/// What a strip of a printed layout shows of the one before it, mm of cloth.
const SHARED: f64 = 100.0;

pub(super) fn part(layouts: &[Layout]) -> Markup {
    let mut part = Markup::default();
    for (number, layout) in layouts.iter().enumerate() {
        let what = match layout.titles.is_empty() {
            true => format!("Cutting layout {}", layout.name),
            false => format!("Cutting layout {}: {}", layout.name, layout.titles.join("; ")),
        };
        let source = format!("data:image/svg+xml;base64,{}", STANDARD.encode(&layout.svg));
        let rooms = layout.view.iter().flat_map(|view| [PAGE, PHONE].map(|room| (view, room)));
        let strips: Vec<(&LayoutView, StripRoom)> =
            rooms.filter(|(view, room)| !view.has_room(room)).collect();
        let class = match strips.len() {
            0 => "layout",
            1 => "layout wide-on-phone",
            _ => "layout long",
        };
        part.within("figure", &[("class", class)], |figure| {
            figure.element("figcaption", &[], &what);
            let id = format!("layout-{}", number + 1);
            figure.within("div", &[("class", "whole")], |wide| match &layout.view {
                Some(view) => whole(wide, view, &id, &source, &what),
                None => wide.empty("img", &[("src", &source), ("alt", &what), ("style", "--wide: 100%")]),
            });
            for (view, room) in &strips {
                figure.within("div", &[("class", room.all)], |all| {
                    let parts = view.bands.iter().chain(&view.key);
                    parts.for_each(|band| in_strips(all, band, room, &id, &what));
                });
            }
            layout.matches.iter().for_each(|told| figure.element("p", &[], told));
        });
    }
    part
}

/// The layout as it is seen on a screen, and the only place where it is written.
fn whole(wide: &mut Markup, view: &LayoutView, id: &str, source: &str, what: &str) {
    let (length, height) = (view.length.to_string(), view.height.to_string());
    let style = format!("--wide: {:.0}mm", view.length * SCALE);
    let seen = format!("0 0 {length} {height}");
    let attributes =
        [("xmlns", SVG), ("viewBox", &seen), ("role", "img"), ("aria-label", what), ("style", &style)];
    wide.within("svg", &attributes, |svg| {
        svg.empty("image", &[("id", id), ("href", source), ("width", &length), ("height", &height)]);
    });
}

/// A cloth in strips one below the other.
fn in_strips(all: &mut Markup, band: &TitledCloth, room: &StripRoom, id: &str, what: &str) {
    let from = format!("#{id}");
    let strips = band.strips(room);
    for (i, Strip { start, length }) in strips.iter().enumerate() {
        let part = match (band.title.split(':').next(), strips.len()) {
            (_, 1) => String::new(),
            (Some(cloth), count) if !cloth.is_empty() => format!("{cloth}, part {} of {count}", i + 1),
            (_, count) => format!("part {} of {count}", i + 1),
        };
        let name =
            if part.is_empty() { format!("{what}: {}", band.title) } else { format!("{what}: {part}") };
        let seen = format!("{start} {} {length} {}", band.top, band.height);
        let style = format!("--wide: {:.1}mm; --ratio: {:.3}", length * SCALE, length / band.height);
        let attributes = [
            ("xmlns", SVG),
            ("viewBox", seen.as_str()),
            ("role", "img"),
            ("aria-label", name.as_str()),
            ("style", style.as_str()),
        ];
        all.within("div", &[("class", room.each)], |strip| {
            if !part.is_empty() {
                strip.element("p", &[], &part);
            }
            strip.within("svg", &attributes, |svg| svg.empty("use", &[("href", &from)]));
        });
    }
}
