//! Pages: nothing is lost between them, none is blank, and each says what it is.

use kurbo::{ParamCurve, Point, Rect, Shape};
use retrue::canvas::LineKind;
use retrue::show::print::{Copies, Page, Print, PrintError, PrintOptions, SheetSize, Use};
use retrue::units::Length;

use crate::prints::{along_outline, each_print, pattern, portrait};
use crate::reader;
use crate::run::fixture;
use crate::spoiled;

/// Every point of every cutting line, and every label, is on some page.
#[test]
fn pages_cover_everything_that_is_cut() {
    let mut points = 0;
    each_print(|_, options, print| {
        for (index, area) in print.areas.iter().enumerate() {
            let shown: Vec<Rect> = print
                .pages
                .iter()
                .filter_map(|page| page.shown)
                .filter(|shown| shown.area == index)
                .map(|shown| shown.rect)
                .collect();
            assert_eq!(shown.len(), area.pages);
            for piece in &area.pieces {
                let corners = piece.drawing.labels.iter().flat_map(|label| label.corners());
                for point in along_outline(piece).into_iter().chain(corners) {
                    points += 1;
                    let seen = shown.iter().any(|rect| rect.contains(point));
                    assert!(seen, "{} at {point:?} on {}", piece.title, options.paper.title());
                }
            }
        }
    });
    assert!(points > 100_000, "{points}");
}

/// No page is blank: a cutting line passes through it, or it lies within a piece, or something is written on it.
#[test]
fn no_page_is_blank() {
    each_print(|_, options, print| {
        for page in &print.pages {
            let Some(shown) = page.shown else { continue };
            let pieces = &print.areas[shown.area].pieces;
            let used = pieces.iter().any(|piece| {
                along_outline(piece).into_iter().any(|point| shown.rect.contains(point))
                    || piece.outline.contains(shown.rect.center())
                    || piece.drawing.labels.iter().any(|label| shown.rect.overlaps(label.bounds()))
            });
            assert!(used, "{} of {} is blank", page.label, options.paper.title());
        }
    });
}

/// Neighbouring pages share the overlap asked for, to the last digit that matters.
#[test]
fn neighbouring_pages_share_the_overlap() {
    let options = PrintOptions {
        overlap: Length::from_mm(15.0),
        ..PrintOptions::usual("coat", portrait(SheetSize::A4))
    };
    let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
    let shown: Vec<_> = print.pages.iter().filter_map(|page| page.shown).collect();
    let mut pairs = 0;
    for a in &shown {
        for b in &shown {
            let (Some(one), Some(other)) = (a.tile, b.tile) else { panic!("tiles") };
            let shared = a.rect.intersect(b.rect);
            if (one.row, one.column + 1) == (other.row, other.column) {
                assert!((shared.width() - 15.0).abs() < 1e-9);
                pairs += 1;
            } else if (one.row + 1, one.column) == (other.row, other.column) {
                assert!((shared.height() - 15.0).abs() < 1e-9);
                pairs += 1;
            }
        }
    }
    assert!(pairs > 20, "{pairs}");
}

/// What is written around the window stays off the margin, and no text there lies on another or on a bar.
#[test]
fn what_stands_around_a_page_keeps_within_the_printable_area_and_apart() {
    each_print(|_, options, print| {
        let margin = options.margin.mm();
        for page in &print.pages {
            let (paper, name) = (options.paper.title(), &page.label);
            let room = Rect::from_origin_size(Point::ORIGIN, page.page).inset(-margin + 1e-6);
            let furniture = &page.furniture;
            for label in &furniture.labels {
                assert!(room.contains_rect(label.bounds()), "`{}` of {name} on {paper}", label.text);
            }
            for stroke in &furniture.strokes {
                let bounds = stroke.path.bounding_box();
                assert!(room.contains_rect(bounds), "{:?} {bounds:?} of {name} on {paper}", stroke.kind);
            }
            let outside = |label: &&retrue::canvas::Label| !page.window.contains(label.bounds().center());
            let texts: Vec<_> = furniture.labels.iter().filter(outside).collect();
            for (i, text) in texts.iter().enumerate() {
                let on = texts[..i].iter().find(|other| {
                    let shared = text.bounds().intersect(other.bounds());
                    shared.width() > 1e-6 && shared.height() > 1e-6
                });
                assert!(
                    on.is_none(),
                    "`{}` lies on `{}`: {name} on {paper}",
                    text.text,
                    on.expect("one").text
                );
                let letters = text.bounds().inset(-0.3 * text.size);
                let line = furniture.strokes.iter().find(|stroke| {
                    let bounds = stroke.path.bounding_box();
                    stroke.kind == LineKind::Rule
                        && bounds.width().min(bounds.height()) < 1e-9
                        && letters.overlaps(bounds.inflate(0.05, 0.05))
                });
                assert!(line.is_none(), "`{}` lies on a bar: {name} on {paper}", text.text);
            }
        }
    });
}

/// A page names its neighbours at each side, and no page that is left out.
#[test]
fn pages_name_their_neighbours() {
    let mut named = 0;
    each_print(|_, _, print| {
        for page in &print.pages {
            let Some(shown) = page.shown else { continue };
            let Some(tile) = shown.tile else { continue };
            let beside = [
                ("left", Some(tile.row), tile.column.checked_sub(1)),
                ("right", Some(tile.row), Some(tile.column + 1)),
                ("above", tile.row.checked_sub(1), Some(tile.column)),
                ("below", Some(tile.row + 1), Some(tile.column)),
            ];
            for (side, row, column) in beside {
                let there = print.pages.iter().filter_map(|other| other.shown).find(|other| {
                    let place = other.tile.map(|other| (Some(other.row), Some(other.column)));
                    other.area == shown.area && place == Some((row, column))
                });
                let text = page.furniture.labels.iter().find(|label| label.text.starts_with(side));
                let wanted =
                    there.and_then(|other| other.tile).map(|other| format!("{side}: {}", other.name()));
                assert_eq!(text.map(|label| label.text.clone()), wanted, "{}", page.label);
                named += usize::from(text.is_some());
            }
        }
    });
    assert!(named > 500, "{named}");
}

/// The map comes first and tells how many pages there are and how large they are put together.
#[test]
fn the_map_tells_the_pages_and_their_size() {
    let options = PrintOptions::usual("dress", portrait(SheetSize::A4));
    let print = Print::of(&pattern("fixtures/dress.svg"), &options).expect("pages");
    let document = reader::read(&print.pdf().expect("a PDF"));
    let pages: Vec<Rect> = print.pages.iter().filter_map(|page| page.shown).map(|shown| shown.rect).collect();
    let all = pages.iter().copied().reduce(|a, b| a.union(b)).expect("pages");
    let map = document.pages[0].text();
    for needed in [
        format!("{} pages of A4 and this map", pages.len()),
        format!("{:.0} mm wide and {:.0} mm high", all.width(), all.height()),
        "sew a trial garment".to_owned(),
        "bodice-back: cut 1 pair: R as drawn, L mirrored, main cloth".to_owned(),
    ] {
        assert!(map.contains(&needed), "`{needed}` is not in {map}");
    }
    assert_eq!(document.pages.len(), pages.len() + 1);
    assert_eq!((document.labels[0].as_str(), document.labels[1].as_str()), ("map", "1-A"));
    assert_eq!(document.labels.len(), document.pages.len());
    for piece in &print.areas[0].pieces {
        assert!(document.bookmarks.contains(&piece.title), "{} is no bookmark", piece.title);
    }
    let layers =
        document.pages.iter().flat_map(|page| &page.layers).collect::<std::collections::BTreeSet<_>>();
    assert_eq!(layers.len(), 5, "{layers:?}");
}

/// Copies are told apart by their hand, pairs say so, and a fold says that it is one.
#[test]
fn left_and_right_are_told() {
    let text = |copies| {
        let options = PrintOptions {
            copies,
            on: Some(Use::Together),
            ..PrintOptions::usual("coat", portrait(SheetSize::A0))
        };
        let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
        let pages = reader::read(&print.pdf().expect("a PDF")).pages;
        pages.iter().map(reader::Seen::text).collect::<Vec<_>>().join(" ")
    };
    let (drawn, each) = (text(Copies::AsDrawn), text(Copies::Each));
    for needed in [
        "cut 1 pair: R as drawn, L mirrored",
        "cut 1 pair on the fold: R and L",
        "cut 1 on the fold",
        "coat, piece 1 of 13",
    ] {
        assert!(drawn.contains(needed), "`{needed}` is not in {drawn}");
    }
    for needed in ["sleeve R", "sleeve L", "cut 1: right", "cut 1: left"] {
        assert!(each.contains(needed), "`{needed}` is not in {each}");
    }
}

#[test]
fn a_paper_without_room_for_a_bar_is_refused() {
    let options = PrintOptions {
        margin: Length::from_mm(60.0),
        ..PrintOptions::usual("coat", portrait(SheetSize::A4))
    };
    let refused = Print::of(&pattern("fixtures/coat.svg"), &options);
    assert!(matches!(refused, Err(PrintError::PaperTooSmall { .. })), "{refused:?}");
}

/// No page is called as a paper is, and each tells which pieces are on it, as the map does.
#[test]
fn pages_are_not_called_like_papers_and_tell_their_pieces() {
    let options = PrintOptions::usual("coat", portrait(SheetSize::Letter));
    let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
    let said = |page: &Page| page.furniture.labels.iter().map(|label| label.text.clone()).collect::<Vec<_>>();
    for page in print.pages.iter().filter(|page| page.shown.is_some()) {
        let shown = page.shown.expect("a part of the pattern");
        let tile = shown.tile.expect("a tile");
        let name = tile.name();
        let (row, column) = name.split_once('-').expect("row and column");
        assert_eq!(row.parse(), Ok(tile.row + 1));
        assert!(column.chars().all(|letter| letter.is_ascii_uppercase()), "{name}");
        let inside = shown.rect.inset(-options.overlap.mm());
        for piece in &print.areas[0].pieces {
            let is_on_it = piece.outline.segments().any(|line| inside.contains(line.eval(0.5)));
            let told = said(page).join(" ");
            assert!(
                !is_on_it || told.contains(&piece.title),
                "{} is not told on {name}: {told}",
                piece.title
            );
        }
    }
}

/// A print of one page needs no map; it has the key to its lines, clear of the piece, and no place among others.
#[test]
fn a_page_alone_has_the_key() {
    for paper in [SheetSize::A4, SheetSize::Letter] {
        let pieces = vec!["hanger".parse().expect("a name")];
        let options = PrintOptions { pieces, ..PrintOptions::usual("coat", portrait(paper)) };
        let print = Print::of(&pattern("fixtures/coat.svg"), &options).expect("pages");
        let [page] = &print.pages[..] else { panic!("{} pages", print.pages.len()) };
        let label = |text: &str| page.furniture.labels.iter().find(|label| label.text == text);
        let piece = print.areas[0].pieces[0].bounds + page.window.origin().to_vec2();
        for needed in ["cut here", "grain: lay it parallel to the selvedge"] {
            let bounds = label(needed).unwrap_or_else(|| panic!("`{needed}` is missing")).bounds();
            assert!(!bounds.overlaps(piece) && page.window.contains_rect(bounds), "{needed}");
        }
        assert!(label("1-A").is_none());
    }
}

/// The first page that a maker sees says that the pattern is not true, and so does every page that pieces are cut from.
#[test]
fn a_print_of_an_untrue_pattern_says_so_on_the_map_and_on_every_page() {
    let sheet = spoiled::uneven_allowance(&fixture("coat.svg"));
    let untrue = retrue::sheet::read(sheet.as_bytes(), &Default::default()).expect("a pattern").pattern;
    let texts = |page: &Page| -> String {
        page.furniture.labels.iter().map(|label| format!("{} ", label.text)).collect()
    };
    for size in [SheetSize::A4, SheetSize::A0] {
        let options = PrintOptions::usual("coat", portrait(size));
        let print = Print::of(&untrue, &options).expect("a print");
        assert!(!print.verdict.is_true());
        assert!(print.pages.iter().all(|page| texts(page).contains("NOT TRUE: 1 finding")));
        if size == SheetSize::A4 {
            let map = texts(&print.pages[0]);
            assert!(map.contains("the allowances of the two sides differ by 7 mm"), "{map}");
        }
        let of_true = Print::of(&pattern("fixtures/coat.svg"), &options).expect("a print");
        assert!(of_true.pages.iter().all(|page| !texts(page).contains("NOT TRUE")));
    }
}
