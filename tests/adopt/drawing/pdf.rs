//! Reading PDF into the list of drawn things: pages written by `pdf-writer`, each with one thing to be seen.

use kurbo::{Point, Rect, Shape};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect as Box, Ref, TextStr};
use retrue::drawing::{
    DrawingError, Drawn, DrawnFile, DrawnPage, DrawnText, Ink, Paint, ReadOptions, Shown, UserUnit,
    read_drawn,
};

/// A printer's point in mm.
const POINT: f64 = 25.4 / 72.0;

/// How near a place is to where it is drawn, mm: the arithmetic of doubles.
const EXACT: f64 = 1e-9;

const CATALOG: Ref = Ref::new(1);
const PAGES: Ref = Ref::new(2);
const PAGE: Ref = Ref::new(3);
const CONTENTS: Ref = Ref::new(4);
const FONT: Ref = Ref::new(5);

/// A page as it is to be written.
struct Sheet<'a> {
    media: [f32; 4],
    crop: Option<[f32; 4]>,
    rotate: i32,
    user_unit: Option<f32>,
    contents: &'a [u8],
}

impl<'a> Sheet<'a> {
    /// 200 by 300 points.
    fn of(contents: &'a str) -> Sheet<'a> {
        let media = [0.0, 0.0, 200.0, 300.0];
        Sheet { media, crop: None, rotate: 0, user_unit: None, contents: contents.as_bytes() }
    }

    /// The bytes of a file of this page; `more` writes what else it has.
    fn written_with(&self, more: impl FnOnce(&mut Pdf)) -> Vec<u8> {
        let rect = |[x0, y0, x1, y1]: [f32; 4]| Box::new(x0, y0, x1, y1);
        let mut pdf = Pdf::new();
        pdf.pages(PAGES).kids([PAGE]).count(1);
        let mut page = pdf.page(PAGE);
        page.parent(PAGES).media_box(rect(self.media)).contents(CONTENTS);
        if let Some(crop) = self.crop {
            page.crop_box(rect(crop));
        }
        if self.rotate != 0 {
            page.rotate(self.rotate);
        }
        if let Some(unit) = self.user_unit {
            page.user_unit(unit);
        }
        let mut resources = page.resources();
        resources.fonts().pair(Name(b"F"), FONT);
        resources.x_objects().pair(Name(b"Form"), Ref::new(20)).pair(Name(b"Other"), Ref::new(21));
        resources
            .insert(Name(b"Properties"))
            .dict()
            .pair(Name(b"Shown"), Ref::new(10))
            .pair(Name(b"Hidden"), Ref::new(11))
            .pair(Name(b"Either"), Ref::new(12));
        resources.finish();
        page.finish();
        pdf.type1_font(FONT).base_font(Name(b"Helvetica"));
        pdf.stream(CONTENTS, self.contents);
        more(&mut pdf);
        pdf.finish()
    }

    fn written(&self) -> Vec<u8> {
        self.written_with(|pdf| {
            pdf.catalog(CATALOG).pages(PAGES);
        })
    }

    /// The page as it is read.
    fn read(&self) -> DrawnPage {
        only_page(read(&self.written()))
    }
}

fn read(bytes: &[u8]) -> DrawnFile {
    read_drawn(bytes, &ReadOptions::default(), None).expect("reads")
}

fn refusal(bytes: &[u8]) -> DrawingError {
    read_drawn(bytes, &ReadOptions::default(), None).expect_err("is refused")
}

fn only_page(mut file: DrawnFile) -> DrawnPage {
    assert_eq!(file.pages.len(), 1);
    file.pages.remove(0)
}

/// The shapes of a page with their paints.
fn shapes(page: &DrawnPage) -> Vec<(&kurbo::BezPath, &Paint)> {
    let shapes = page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Shape { path, paint } => Some((path, paint)),
        Drawn::Hidden(_) | Drawn::Text(_) | Drawn::Writing(_) | Drawn::Picture => None,
    });
    shapes.collect()
}

fn texts(page: &DrawnPage) -> Vec<&DrawnText> {
    let texts = page.things.iter().filter_map(|thing| match &thing.what {
        Drawn::Text(text) => Some(text),
        Drawn::Shape { .. } | Drawn::Hidden(_) | Drawn::Writing(_) | Drawn::Picture => None,
    });
    texts.collect()
}

/// Where the ends of the lines of the only shape lie.
fn corners(page: &DrawnPage) -> Vec<Point> {
    let shapes = shapes(page);
    assert_eq!(shapes.len(), 1);
    shapes[0].0.elements().iter().filter_map(kurbo::PathEl::end_point).collect()
}

fn assert_at(found: Point, expected: impl Into<Point>) {
    let expected = expected.into();
    assert!(found.distance(expected) <= EXACT, "{found:?} is not at {expected:?}");
}

#[test]
fn a_unit_is_a_point_or_as_large_as_the_page_says() {
    for (user_unit, mm) in [(None, POINT), (Some(2.5), 2.5 * POINT)] {
        let sheet = Sheet { user_unit, ..Sheet::of("0 300 m 72 300 l S") };
        let page = sheet.read();
        assert_at(corners(&page)[0], (0.0, 0.0));
        assert_at(corners(&page)[1], (72.0 * mm, 0.0));
        assert_eq!(page.seen.map(|seen| seen.width()), Some(200.0 * mm));
    }
}

#[test]
fn the_unit_that_is_told_goes_before_that_of_the_file() {
    let options = ReadOptions { unit: Some(UserUnit::Mm), known: None };
    let file = read_drawn(&Sheet::of("0 300 m 72 300 l S").written(), &options, None).expect("reads");
    assert_eq!(file.unit.mm_per_unit(), 1.0);
    assert_at(corners(&only_page(file))[1], (72.0, 0.0));
}

/// ISO 32000-1, table 30: a page is turned clockwise when it is shown.
#[test]
fn a_page_lies_as_it_is_turned_and_cropped() {
    let (width, height) = (180.0 * POINT, 250.0 * POINT);
    // Lower left, upper left, upper right of what is seen, from which y runs up in the file.
    let contents = "10 30 m 10 280 l 190 280 l S";
    for (rotate, expected) in [
        (0, [(0.0, height), (0.0, 0.0), (width, 0.0)]),
        (90, [(0.0, 0.0), (height, 0.0), (height, width)]),
        (180, [(width, 0.0), (width, height), (0.0, height)]),
        (270, [(height, width), (0.0, width), (0.0, 0.0)]),
        (-90, [(height, width), (0.0, width), (0.0, 0.0)]),
    ] {
        let crop = Some([10.0, 30.0, 190.0, 280.0]);
        let page = Sheet { rotate, crop, ..Sheet::of(contents) }.read();
        for (found, expected) in corners(&page).into_iter().zip(expected) {
            assert_at(found, expected);
        }
        let turned = rotate % 180 != 0;
        let size = if turned { (height, width) } else { (width, height) };
        let seen = page.seen.expect("a size");
        assert_at(seen.origin(), (0.0, 0.0));
        assert!((seen.width() - size.0).abs() <= EXACT && (seen.height() - size.1).abs() <= EXACT);
    }
}

#[test]
fn what_is_cropped_away_is_hidden_and_what_stands_beside_a_whole_page_is_not() {
    let contents = "50 -20 m 50 320 l S";
    let whole = Sheet::of(contents).read();
    assert!(whole.things[0].clip.is_none());
    let cropped = Sheet { crop: Some([10.0, 30.0, 190.0, 280.0]), ..Sheet::of(contents) }.read();
    let clip = cropped.clips.get(cropped.things[0].clip.expect("a clip"));
    assert_eq!(clip.shapes[0].path.bounding_box(), cropped.seen.expect("a size"));
}

#[test]
fn clips_stand_in_each_other_until_they_are_left() {
    let page = Sheet::of(
        "q 10 10 100 100 re W n 0 0 m 50 50 l S q 20 20 m 80 20 l 50 70 l h W* n 0 0 m 60 60 l S Q 0 0 m 70 70 l S Q \
         0 0 m 80 80 l S",
    )
    .read();
    let around = |at: usize| {
        page.clips.outward(page.things[at].clip).map(|(_, clip)| clip.shapes[0].path.area().abs())
    };
    let square = 100.0 * 100.0 * POINT * POINT;
    let triangle = 60.0 * 50.0 / 2.0 * POINT * POINT;
    let areas: Vec<Vec<f64>> = (0..4).map(|at| around(at).collect()).collect();
    assert_eq!(areas.iter().map(Vec::len).collect::<Vec<_>>(), [1, 2, 1, 0]);
    approx::assert_relative_eq!(areas[0][0], square, max_relative = 1e-12);
    approx::assert_relative_eq!(areas[1][0], triangle, max_relative = 1e-12);
    approx::assert_relative_eq!(areas[1][1], square, max_relative = 1e-12);
}

#[test]
fn widths_and_dashes_are_as_large_as_their_transform_makes_them() {
    let page = Sheet::of(
        "2 0 0 2 0 0 cm 3 w [4 2] 0 d 0 0 m 50 0 l S [5] 0 d 0 0 m 50 0 l S [] 0 d 0 0 m 50 0 l S 0 0 1 RG [0 0] 0 d \
         4 0 0 1 0 0 cm 0 0 m 9 0 l S",
    )
    .read();
    let paints: Vec<&Paint> = shapes(&page).into_iter().map(|(_, paint)| paint).collect();
    approx::assert_relative_eq!(paints[0].stroke_width, 6.0 * POINT, max_relative = 1e-7);
    let dashes = |at: usize| paints[at].dashes.iter().map(|dash| (dash / POINT * 1e3).round() / 1e3);
    assert_eq!(dashes(0).collect::<Vec<_>>(), [8.0, 4.0]);
    assert_eq!(dashes(1).collect::<Vec<_>>(), [10.0, 10.0]);
    assert!(paints[2].dashes.is_empty() && paints[3].dashes.is_empty());
    // A transform that stretches counts by its mean: 2 and then 4 across, 1 down.
    approx::assert_relative_eq!(paints[3].stroke_width, 3.0 * 2.0 * 2.0 * POINT, max_relative = 1e-7);
    assert_eq!(paints[3].stroke, Ink::Colour([0, 0, 255]));
}

#[test]
fn a_line_around_its_own_surface_is_one_shape() {
    let page = Sheet::of("1 0 0 rg 0 1 0 RG 10 10 50 60 re B 0 0 m 9 0 l 9 9 l f 0 0 m 9 0 l 9 9 l s").read();
    let paints: Vec<(&Ink, &Ink)> =
        shapes(&page).into_iter().map(|(_, paint)| (&paint.fill, &paint.stroke)).collect();
    let (red, green) = (Ink::Colour([255, 0, 0]), Ink::Colour([0, 255, 0]));
    assert_eq!(paints, [(&red, &green), (&red, &Ink::None), (&Ink::None, &green)]);
}

#[test]
fn colours_are_told_in_red_green_and_blue() {
    let page = Sheet::of("0.5 G 0 0 m 9 0 l S 0 0 0 1 K 0 0 m 9 1 l S 1 0.5 0 RG 0 0 m 9 2 l S").read();
    let colours: Vec<Ink> = shapes(&page).into_iter().map(|(_, paint)| paint.stroke.clone()).collect();
    assert_eq!(colours[0], Ink::Colour([128, 128, 128]));
    assert_eq!(colours[2], Ink::Colour([255, 128, 0]));
    let Ink::Colour(black) = colours[1] else { panic!("a colour") };
    assert!(black.iter().all(|part| *part < 64), "{black:?}");
}

#[test]
fn letters_of_one_line_are_joined_into_words_with_their_place_and_size() {
    let page = Sheet::of(
        "BT /F 10 Tf 40 200 Td [(Cut ) -50 (2)] TJ 0 -30 Td (on) Tj ( the fold) Tj ET \
         BT /F 20 Tf 0 1 -1 0 100 50 Tm (Front) Tj ET",
    )
    .read();
    let texts = texts(&page);
    let words: Vec<&str> = texts.iter().map(|text| text.words.as_str()).collect();
    assert_eq!(words, ["Cut 2", "on the fold", "Front"]);
    assert!((texts[0].at - Point::new(40.0 * POINT, 100.0 * POINT)).hypot() < 1e-4, "{:?}", texts[0].at);
    assert!((texts[0].size - 10.0 * POINT).abs() < 1e-4);
    assert!((texts[2].at - Point::new(100.0 * POINT, 250.0 * POINT)).hypot() < 1e-4, "{:?}", texts[2].at);
    assert!((texts[2].along - kurbo::Vec2::new(0.0, -1.0)).hypot() < 1e-4);
    assert!((texts[2].size - 20.0 * POINT).abs() < 1e-4);
}

/// Words apart by a move of the pen, as in columns or by writers that leave spaces out.
#[test]
fn words_are_apart_where_the_pen_moves_and_columns_are_texts_of_their_own() {
    let page =
        Sheet::of("BT /F 10 Tf 20 200 Td [(size) -400 (38)] TJ ET BT /F 10 Tf 150 200 Td (40) Tj ET").read();
    let words: Vec<&str> = texts(&page).into_iter().map(|text| text.words.as_str()).collect();
    assert_eq!(words, ["size 38", "40"]);
}

/// A file with a layer that is shown, one that is hidden, and either of both.
fn with_layers(contents: &str, form: &str) -> Vec<u8> {
    Sheet::of(contents).written_with(|pdf| {
        let mut catalog = pdf.catalog(CATALOG);
        catalog.pages(PAGES);
        let mut properties = catalog.insert(Name(b"OCProperties")).dict();
        properties.insert(Name(b"OCGs")).array().items([Ref::new(10), Ref::new(11)]);
        let mut default = properties.insert(Name(b"D")).dict();
        default.insert(Name(b"OFF")).array().items([Ref::new(11)]);
        default.finish();
        properties.finish();
        catalog.finish();
        for (id, name) in [(10, "size 38"), (11, "Größe 40")] {
            let mut group = pdf.indirect(Ref::new(id)).dict();
            group.pair(Name(b"Type"), Name(b"OCG")).pair(Name(b"Name"), TextStr(name));
        }
        let mut either = pdf.indirect(Ref::new(12)).dict();
        either.pair(Name(b"Type"), Name(b"OCMD"));
        either.insert(Name(b"OCGs")).array().items([Ref::new(10), Ref::new(11)]);
        either.finish();
        let mut object = pdf.form_xobject(Ref::new(20), form.as_bytes());
        object.bbox(Box::new(0.0, 0.0, 200.0, 300.0));
        object.pair(Name(b"OC"), Ref::new(11));
        object.finish();
    })
}

/// The layer of each shape, and whether the file shows it.
fn layers_of(file: &DrawnFile) -> Vec<(String, bool)> {
    let things = &file.pages[0].things;
    things.iter().map(|thing| (file.layers.path(thing.layer), file.layers.shows(thing.layer))).collect()
}

#[test]
fn what_lies_in_hidden_layers_is_read_and_marked() {
    let line = "0 0 m 50 50 l S ";
    let contents = format!(
        "/OC /Shown BDC {line} EMC /OC /Hidden BDC {line} /OC /Shown BDC {line} EMC EMC {line} /OC /Either BDC {line} EMC \
         /Form Do {line}"
    );
    let file = read(&with_layers(&contents, line));
    let expected = [
        ("size 38", true),
        ("Größe 40", false),
        ("Größe 40 / size 38", false),
        ("", true),
        ("size 38, Größe 40", true),
        ("Größe 40", false),
        ("", true),
    ];
    let expected: Vec<(String, bool)> = expected.map(|(name, shown)| (name.to_owned(), shown)).into();
    assert_eq!(layers_of(&file), expected);
    let hidden: Vec<&str> = file
        .layers
        .iter()
        .filter(|(_, layer)| layer.shown == Shown::No)
        .map(|(_, layer)| layer.name.as_str())
        .collect();
    assert_eq!(hidden, ["Größe 40"]);
}

#[test]
fn a_form_object_lies_where_it_is_drawn_and_is_cut_by_its_box() {
    let bytes = Sheet::of("q 2 0 0 2 10 20 cm /Form Do Q").written_with(|pdf| {
        pdf.catalog(CATALOG).pages(PAGES);
        let mut form = pdf.form_xobject(Ref::new(20), b"0 0 m 30 0 l S");
        form.bbox(Box::new(0.0, 0.0, 20.0, 20.0)).matrix([1.0, 0.0, 0.0, 1.0, 5.0, 0.0]);
    });
    let page = only_page(read(&bytes));
    assert_at(corners(&page)[0], (20.0 * POINT, 280.0 * POINT));
    assert_at(corners(&page)[1], (80.0 * POINT, 280.0 * POINT));
    let clip = page.clips.get(page.things[0].clip.expect("a clip"));
    let expected = Rect::new(20.0, 240.0, 60.0, 280.0).scale_from_origin(POINT);
    assert!((clip.shapes[0].path.bounding_box().origin() - expected.origin()).hypot() < 1e-4);
}

#[test]
fn a_page_that_is_a_picture_has_a_picture_and_nothing_else() {
    let bytes = Sheet::of("200 0 0 300 0 0 cm /Form Do").written_with(|pdf| {
        pdf.catalog(CATALOG).pages(PAGES);
        let mut image = pdf.image_xobject(Ref::new(20), &[0; 4]);
        image.width(2).height(2).bits_per_component(8).color_space().device_gray();
        image.finish();
    });
    let page = only_page(read(&bytes));
    assert!(matches!(page.things.as_slice(), [thing] if matches!(thing.what, Drawn::Picture)));
}

/// Each form object draws the next one ten times: 10¹² lines.
#[test]
fn form_objects_that_multiply_are_refused() {
    let calls = "/Next Do ".repeat(10);
    let bytes = Sheet::of("/Form Do").written_with(|pdf| {
        pdf.catalog(CATALOG).pages(PAGES);
        for id in 20..32 {
            let mut form = pdf.form_xobject(Ref::new(id), calls.as_bytes());
            form.bbox(Box::new(0.0, 0.0, 200.0, 300.0));
            form.resources().x_objects().pair(Name(b"Next"), Ref::new(id + 1));
        }
        pdf.form_xobject(Ref::new(32), b"0 0 m 9 9 l S").bbox(Box::new(0.0, 0.0, 200.0, 300.0));
    });
    assert!(matches!(refusal(&bytes), DrawingError::PdfTooMuch { .. }));
}

#[test]
fn a_form_object_that_draws_itself_ends() {
    for calls in ["/Form Do 0 0 m 9 9 l S", "/Form Do /Form Do 0 0 m 9 9 l S"] {
        let bytes = Sheet::of("/Form Do").written_with(|pdf| {
            pdf.catalog(CATALOG).pages(PAGES);
            let mut form = pdf.form_xobject(Ref::new(20), calls.as_bytes());
            form.bbox(Box::new(0.0, 0.0, 200.0, 300.0));
            form.resources().x_objects().pair(Name(b"Form"), Ref::new(20));
        });
        let _ended = read_drawn(&bytes, &ReadOptions::default(), None);
    }
}

/// 200 MB of blanks are packed in 200 KB.
#[test]
fn contents_that_unpack_to_too_much_are_refused() {
    let packed = miniz_oxide::deflate::compress_to_vec_zlib(&vec![b' '; 200 << 20], 6);
    let bytes = Sheet::of("").written_with(|pdf| {
        pdf.catalog(CATALOG).pages(PAGES);
        pdf.stream(Ref::new(20), &packed).filter(Filter::FlateDecode);
    });
    assert!(matches!(refusal(&bytes), DrawingError::PdfUnpacks { .. }));
}

#[test]
fn a_point_beyond_every_sheet_is_refused_with_its_page() {
    let bytes = Sheet::of("0 0 m 99999999999 0 l S").written();
    assert!(matches!(refusal(&bytes), DrawingError::TooFarOnPage { page: 1, .. }));
}

#[test]
fn pages_are_called_as_the_file_calls_them() {
    let bytes = Sheet::of("0 0 m 9 9 l S").written_with(|pdf| {
        let mut catalog = pdf.catalog(CATALOG);
        catalog.pages(PAGES);
        let mut labels = catalog.page_labels();
        labels.nums().insert(0, Ref::new(30));
        labels.finish();
        catalog.finish();
        let mut label = pdf.indirect(Ref::new(30)).dict();
        label.pair(Name(b"P"), TextStr("row A, ")).pair(Name(b"S"), Name(b"D")).pair(Name(b"St"), 7);
    });
    assert_eq!(only_page(read(&bytes)).label.as_deref(), Some("row A, 7"));
}

#[test]
fn what_is_no_pdf_inside_is_told() {
    for bytes in [&b"%PDF-1.7\nnothing of it"[..], b"%PDF-", b"\n\n%PDF-1.4 trailer <</Root 1 0 R>>"] {
        let told = refusal(bytes).to_string();
        assert!(told.starts_with("this PDF cannot be read: "), "{told}");
    }
}

/// Pages that each draw the whole of a large drawing and show a part of it: 4.2 million parts of lines, of which the pages hide
/// all but 100,000. What is hidden is kept once, where it lies on each page.
#[test]
fn what_many_pages_hide_is_kept_once() {
    const COUNT: i32 = 42;
    let line = |at: i32| -> String {
        let x = 200 * at + 20;
        let zigzag = (1..2_400).map(|k| format!("{} {} l ", x + 3 * (k % 2), k / 10 + 20));
        format!("{x} 20 m {} S ", zigzag.collect::<String>())
    };
    let form: String = (0..COUNT).map(line).collect();
    let mut pdf = Pdf::new();
    pdf.catalog(CATALOG).pages(PAGES);
    let [page, contents] = [0, 1].map(|odd| move |at: i32| Ref::new(30 + 2 * at + odd));
    pdf.pages(PAGES).kids((0..COUNT).map(page)).count(COUNT);
    pdf.form_xobject(Ref::new(20), form.as_bytes()).bbox(Box::new(0.0, 0.0, 9000.0, 300.0));
    for at in 0..COUNT {
        let mut written = pdf.page(page(at));
        written.parent(PAGES).media_box(Box::new(0.0, 0.0, 200.0, 300.0)).contents(contents(at));
        written.resources().x_objects().pair(Name(b"Form"), Ref::new(20));
        written.finish();
        let drawn = format!("5 5 190 290 re W n 1 0 0 1 {} 0 cm /Form Do", -200 * at);
        pdf.stream(contents(at), drawn.as_bytes());
    }
    let file = read(&pdf.finish());
    for (at, page) in (0..).zip(&file.pages) {
        assert_eq!((page.things.len(), shapes(page).len()), (COUNT as usize, 1), "page {at}");
        let hidden = page.things.iter().zip(0..).filter_map(|(thing, line)| match &thing.what {
            Drawn::Hidden(hidden) => Some((line, hidden)),
            _ => None,
        });
        for (line, hidden) in hidden {
            let first = hidden.placed().elements()[0].end_point().expect("a place");
            assert_at(first, Point::new(f64::from(200 * (line - at) + 20) * POINT, 280.0 * POINT));
        }
    }
}
