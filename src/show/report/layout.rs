//! Cutting layouts, each a picture of its own within the page.
//!
//! A layout is a file of someone's, with styles and ids of its own, and perhaps more. As a picture by itself it can
//! neither change the page nor run, fetch or name anything in it.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use kurbo::Shape;

use crate::canvas::{Label, labels_in_page};
use crate::cloth::picture::sample_before;
use crate::show::layout::{Layout, LayoutView, MOST_STRIPS, TitledCloth};
use crate::show::lifted::{LiftedTexts, SVG, TextOf};
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

impl Strip {
    fn end(&self) -> f64 {
        self.start + self.length
    }

    /// Whether all between two places is seen in it.
    fn holds(&self, (from, to): (f64, f64)) -> bool {
        self.start <= from && to <= self.end()
    }

    /// By how much what reaches from one place to another is moved to be seen whole in it.
    fn moves(&self, (from, to): (f64, f64)) -> f64 {
        (self.start - from).max(0.0) - (to - self.end()).max(0.0)
    }
}

impl TitledCloth {
    /// The parts of so much of it in which there is room for it; one where there is room for all.
    fn strips(&self, length: f64, room: &StripRoom) -> Vec<Strip> {
        let most = room.most();
        if length <= most {
            return vec![Strip { start: 0.0, length }];
        }
        let count = ((length - SHARED) / (most - SHARED)).ceil().min(MOST_STRIPS as f64);
        let step = (length - SHARED) / count;
        (0..count as usize).map(|strip| Strip { start: strip as f64 * step, length: step + SHARED }).collect()
    }
}

/// A row of a cloth, or a key, as strips show it.
struct ClothInStrips<'a> {
    band: &'a TitledCloth,
    /// Its upper end and its height, without a title that is set above.
    top: f64,
    height: f64,
    /// How much of it there is to be seen: no part that only a long title reaches into.
    length: f64,
    texts: Vec<&'a LiftedTexts>,
    /// Whether its title was taken out of it.
    is_titled: bool,
}

impl<'a> ClothInStrips<'a> {
    fn of(band: &'a TitledCloth, layout: &'a Layout) -> ClothInStrips<'a> {
        let bottom = band.top + band.height;
        let here = |texts: &&LiftedTexts| {
            let bounds = texts.bounds();
            band.top <= bounds.y0 && bounds.y1 <= bottom
        };
        let (titles, texts): (Vec<_>, Vec<_>) =
            layout.texts.iter().filter(here).partition(|texts| texts.of == TextOf::Title);
        let title = titles.iter().map(|title| title.bounds().y1).reduce(f64::max);
        let top = title.unwrap_or(band.top);
        let reach = |texts: &&LiftedTexts| texts.bounds().x1;
        let cloth = (!band.cloth.is_empty()).then(|| band.cloth.bounding_box().x1);
        let length = match title.and(cloth) {
            Some(cloth) => texts.iter().map(reach).fold(cloth, f64::max) + AROUND,
            None => band.length,
        };
        let length = length.min(band.length);
        ClothInStrips { band, top, height: bottom - top, length, texts, is_titled: title.is_some() }
    }

    /// The texts that are seen in one of its strips, each whole: what the end of the strip would cut stands within it where its
    /// piece has room for it there, or where it is whole in no other.
    fn texts_in(&self, strips: &[Strip], which: usize) -> Vec<Label> {
        let strip = &strips[which];
        let set = |texts: &&LiftedTexts| -> Vec<Label> {
            let bounds = texts.bounds();
            let reach = (bounds.x0, bounds.x1);
            let is_whole_in = |strip: &Strip| strip.holds(reach);
            let middle = bounds.center().x;
            // Its middle may lie in two that share it.
            let own = strips.iter().position(|strip| (strip.start..strip.end()).contains(&middle));
            let has_room = match texts.of {
                TextOf::Copy(lies) => strip.end().min(lies.x1) - strip.start.max(lies.x0) > bounds.width(),
                _ => false,
            };
            let is_cut = bounds.x1 > strip.start && bounds.x0 < strip.end() && has_room;
            let is_lost = own == Some(which) && !strips.iter().any(is_whole_in);
            match is_whole_in(strip) || is_cut || is_lost {
                true => texts.moved(strip.moves(reach)),
                false => Vec::new(),
            }
        };
        self.texts.iter().flat_map(set).collect()
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

/// Room beyond the end of a cloth in its last strip, mm of cloth.
const AROUND: f64 = 20.0;

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
                Some(view) => whole(wide, layout, view, (&id, &source, &what)),
                None => wide.empty("img", &[("src", &source), ("alt", &what), ("style", "--wide: 100%")]),
            });
            for (view, room) in &strips {
                figure.within("div", &[("class", room.all)], |all| {
                    for band in &view.bands {
                        in_strips(all, &ClothInStrips::of(band, layout), room, &id, &what);
                    }
                    if let Some(band) = &view.key {
                        key(all, layout, band, room, (&id, &what));
                    }
                });
            }
            layout.matches.iter().for_each(|told| figure.element("p", &[], told));
        });
    }
    part
}

/// The layout as it is seen on a screen, and the only place where it is written.
fn whole(wide: &mut Markup, layout: &Layout, view: &LayoutView, (id, source, what): (&str, &str, &str)) {
    let (length, height) = (view.length.to_string(), view.height.to_string());
    let style = format!("--wide: {:.0}mm", view.length * SCALE);
    let seen = format!("0 0 {length} {height}");
    let attributes =
        [("xmlns", SVG), ("viewBox", &seen), ("role", "img"), ("aria-label", what), ("style", &style)];
    wide.within("svg", &attributes, |svg| {
        svg.empty("image", &[("id", id), ("href", source), ("width", &length), ("height", &height)]);
        let texts: Vec<Label> = layout.texts.iter().flat_map(|texts| texts.labels.clone()).collect();
        svg.drawing(&labels_in_page(&texts));
    });
}

/// A cloth in strips one below the other, its title above them.
fn in_strips(all: &mut Markup, shown: &ClothInStrips<'_>, room: &StripRoom, id: &str, what: &str) {
    let from = format!("#{id}");
    let strips = shown.band.strips(shown.length, room);
    let title = &shown.band.title;
    if shown.is_titled {
        all.element("p", &[("class", "cloth")], title);
    }
    for (i, Strip { start, length }) in strips.iter().enumerate() {
        let part = match (title.split([':', ',']).next(), strips.len()) {
            (_, 1) => String::new(),
            (Some(cloth), count) if !cloth.is_empty() => format!("{cloth}, part {} of {count}", i + 1),
            (_, count) => format!("part {} of {count}", i + 1),
        };
        let name = if part.is_empty() { format!("{what}: {title}") } else { format!("{what}: {part}") };
        let seen = format!("{start} {} {length} {}", shown.top, shown.height);
        let style = format!("--wide: {:.1}mm; --ratio: {:.3}", length * SCALE, length / shown.height);
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
            strip.within("svg", &attributes, |svg| {
                svg.empty("use", &[("href", &from)]);
                svg.drawing(&labels_in_page(&shown.texts_in(&strips, i)));
            });
        });
    }
}

/// The key of lines: a sample of each out of the drawing, and what it means; the key as it is drawn where its words are not
/// known.
fn key(all: &mut Markup, layout: &Layout, band: &TitledCloth, room: &StripRoom, (id, what): (&str, &str)) {
    let texts: Vec<&Label> =
        layout.texts.iter().filter(|texts| texts.of == TextOf::Key).flat_map(|texts| &texts.labels).collect();
    if texts.is_empty() {
        return in_strips(all, &ClothInStrips::of(band, layout), room, id, what);
    }
    all.within("ul", &[("class", "lines")], |list| {
        for label in texts {
            list.within("li", &[], |item| {
                sample(item, label, id);
                item.text(&label.text);
            });
        }
    });
}

/// What stands before a text of a key.
fn sample(item: &mut Markup, label: &Label, id: &str) {
    let part = sample_before(label);
    let seen = format!("{} {} {} {}", part.x0, part.y0, part.width(), part.height());
    let name = format!("line: {}", label.text);
    let attributes = [("xmlns", SVG), ("viewBox", seen.as_str()), ("role", "img"), ("aria-label", &name)];
    item.within("svg", &attributes, |svg| svg.empty("use", &[("href", &format!("#{id}"))]));
}
