//! Colours, plaids and levels: what is told is what lies there, and the search finds like beside like.

use kurbo::{BezPath, Rect, Shape};
use retrue::cloth::Stock;
use retrue::cloth::colours::Colour;
use retrue::cloth::file::{NoFiles, read as read_cloth};
use retrue::cloth::layout::{Laid, LaidVerdict, LayTask, LayWish, LevelMet, LyingCopy, seam_alike};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::curve::Point;
use retrue::pattern::{ClothName, Pattern};
use retrue::sheet::{ReadOptions, read};

use super::drafted::Garment;
use crate::dyed_cloth::{file_of, gradation, random_order};
use crate::run::Bench;

/// A back and two fronts with upright sides.
fn upright() -> Garment {
    Garment { width: 260.0, length: 600.0, back_side: [0.0; 4], front_side: [0.0; 4], dart: 0.0 }
}

fn pattern() -> Pattern {
    read(upright().sheet().as_bytes(), &ReadOptions::default()).expect("a sheet").pattern
}

fn dyed(colours: &[(f64, Colour)], more: &str) -> String {
    let told = colours.iter().map(|(at, colour)| {
        let [red, green, blue] = colour.srgb();
        format!("[\"{at}mm\", \"#{red:02x}{green:02x}{blue:02x}\"]")
    });
    let told: Vec<String> = told.collect();
    format!("[main]\nwidth = \"60cm\"\nlength = \"4m\"\n{more}\ncolours = [{}]\n", told.join(", "))
}

fn stock(text: &str) -> Stock {
    read_cloth(text, &mut NoFiles).expect("a cloth")
}

fn laid(task: &LayTask<'_>, passes: u64) -> Laid {
    let budget = Budget { seed: 1, searchers: 2, limit: Limit::Iterations(passes) };
    let laid = task.search(&budget, &mut |_| Continue::Search).expect("it can be searched");
    assert_eq!(laid.verdict, LaidVerdict::Fits);
    laid
}

fn sides() -> LayWish {
    LayWish { matches: vec!["back.side".parse().expect("an edge")], ..LayWish::default() }
}

/// Worked out from the drawn corners, the motions that are told and the cloth: the side of the back lies on that of each
/// front, 5 mm by 5 mm up from the hem.
#[test]
fn the_difference_of_colours_told_is_that_of_the_cloth_where_the_sides_lie() {
    let (garment, pattern) = (upright(), pattern());
    let stock = stock(&dyed(&random_order(4000.0, 8), ""));
    let task = LayTask::of(&pattern, &stock, sides()).expect("a task");
    let laid = laid(&task, 5);
    let colouring = stock.cloths().next().expect("main").bolts()[0].colouring().expect("colours").clone();
    let motion = |name: &str| {
        laid.lying.iter().find(|lying| task.copies[lying.copy].to_string() == name).expect("it lies").motion
    };
    let alike = laid.matches[0].alike.as_ref().expect("colours are compared");
    assert_eq!(alike.sewings.len(), 2);
    for sewing in &alike.sewings {
        let front = sewing.names.iter().flatten().find(|name| name.starts_with("front")).expect("a front");
        let place =
            |name: &str, x: f64, up: f64| motion(name).apply(Point::new(x, 100.0 + garment.length - up));
        let differences: Vec<f64> = (0..=120)
            .map(|step| f64::from(step) * 5.0)
            .map(|up| {
                let [back, front] = [place("back", garment.width, up), place(front, 800.0, up)];
                let colour = |place: Point| colouring.at(place.x, place.y).expect("it is known");
                colour(back).difference(colour(front))
            })
            .collect();
        let mean = differences.iter().sum::<f64>() / differences.len() as f64;
        let worst = differences.iter().copied().fold(0.0, f64::max);
        let told = sewing.alike.expect("it is known");
        assert_eq!((told.known, told.unknown), (121, 0));
        assert!((told.mean - mean).abs() < 0.02, "told {}, seen {mean}", told.mean);
        assert!((told.worst - worst).abs() < 0.5, "told {}, seen {worst}", told.worst);
    }
}

/// The cloth comes again after 900 mm, so that a layout exists in which both sides look the same all along.
#[test]
fn a_layout_in_which_all_looks_alike_is_found_where_there_is_one() {
    const AGAIN: f64 = 900.0;
    let once = random_order(AGAIN - 5.0, 5);
    let colours: Vec<(f64, Colour)> = (0..4)
        .flat_map(|i| once.iter().map(move |(at, colour)| (at + f64::from(i) * AGAIN, *colour)))
        .filter(|(at, _)| *at < 3600.0)
        .collect();
    let stock = stock(&dyed(&colours, ""));
    let pattern = pattern();
    let task = LayTask::of(&pattern, &stock, sides()).expect("a task");
    let found = laid(&task, 400);
    let found = found.matches[0].alike.as_ref().and_then(|alike| alike.whole()).expect("it is known").mean;
    let plain = LayTask::of(&pattern, &stock, LayWish::default()).expect("a task");
    let plain = laid(&plain, 400);
    let lying: Vec<LyingCopy<'_>> = plain
        .lying
        .iter()
        .map(|lying| LyingCopy {
            copy: &task.copies[lying.copy],
            ground: &task.grounds[lying.ground],
            motion: lying.motion,
        })
        .collect();
    let unlooked = seam_alike(&pattern, &stock, task.seams[0].id, &lying).expect("it is measured");
    let unlooked = unlooked.whole().expect("it is known").mean;
    assert!(found < 1.0 && unlooked > 5.0, "{found:.2}, without looking {unlooked:.2}");
}

#[test]
fn a_cloth_that_may_not_be_turned_is_not_turned_for_its_colours() {
    let stock = stock(&dyed(&gradation(4000.0, 2), "direction = \"one-way\""));
    let pattern = pattern();
    let task = LayTask::of(&pattern, &stock, sides()).expect("a task");
    for lying in &laid(&task, 60).lying {
        assert!(lying.motion.apply_vec(retrue::curve::Vec2::new(0.0, 1.0)).y > 0.999);
    }
}

/// Upright sides: both sets of stripes meet all along, and are told apart.
#[test]
fn a_plaid_meets_both_ways_where_the_grain_allows_it() {
    let stripes = "stripes = [{ repeat = \"64mm\" }, { repeat = \"48mm\", along = \"length\" }]";
    let stock = stock(&format!("[main]\nwidth = \"60cm\"\nlength = \"4m\"\n{stripes}\n"));
    let pattern = pattern();
    let task = LayTask::of(&pattern, &stock, sides()).expect("a task");
    let laid = laid(&task, 300);
    let found = &laid.matches[0];
    let upright = found.upright.as_ref().expect("the other set");
    for set in [&found.met, upright] {
        assert!(set.worst() <= 1.6, "{}", set.worst());
    }
    assert!(found.is_met());
}

/// The level lies at the same place of the repeat in all copies.
#[test]
fn a_level_is_matched_all_the_way_round() {
    let sheet = std::fs::read("fixtures/dress.svg").expect("the dress");
    let pattern = read(&sheet, &ReadOptions::default()).expect("a pattern").pattern;
    let stock = stock("[main]\nwidth = \"140cm\"\nlength = \"5m\"\nstripes = { repeat = \"64mm\" }\n");
    let main = pattern.pieces().filter(|piece| piece.cloth == ClothName::main());
    let level = main.flat_map(|piece| &piece.levels).next().expect("a level").name.clone();
    let task = LayTask::of(&pattern, &stock, LayWish { levels: vec![level.clone()], ..LayWish::default() });
    let task = task.expect("a task");
    let laid = laid(&task, 60);
    let along: Vec<f64> = laid
        .lying
        .iter()
        .filter_map(|lying| {
            let wished =
                task.levels[0].places.iter().find(|place| place.piece == task.copies[lying.copy].piece)?;
            Some(lying.motion.apply(wished.at).y / 64.0)
        })
        .collect();
    assert!(along.len() > 2, "{level}: {along:?}");
    let off = |at: &f64| ((at - along[0]) - (at - along[0]).round()).abs() * 64.0;
    assert!(along.iter().all(|at| off(at) < 0.05), "{along:?}");
    let LevelMet::Stripes(told, _) = &laid.levels[0].met else { panic!("{:?}", laid.levels[0]) };
    assert!(*told < 0.05 && laid.levels[0].is_met());
}

const LAY: &str = "lay sheet.svg --cloth cloth.toml --match back.side --iterations 20";

#[test]
fn the_garment_is_drawn_as_it_is_sewn_with_its_cloth() {
    let bench = Bench::new()
        .with_file("sheet.svg", upright().sheet())
        .with_file("cloth.toml", dyed(&gradation(4000.0, 2), ""));
    let report = bench.retrue(&format!("{LAY} -o lay.svg --sewn sewn.svg --json")).is_true().reports("lay");
    let colours = &report["matches"][0]["colours"];
    assert_eq!(colours.as_array().expect("both halves").len(), 2);
    assert!(colours[0]["mean"].as_f64().expect("a mean") <= colours[0]["worst"].as_f64().expect("a worst"));
    let sewn = bench.text_of("sewn.svg");
    assert_eq!(sewn.matches("<clipPath").count(), 3 + 4, "back and fronts; fronts, and the back in halves");
    assert!(sewn.matches("class=\"dyed\"").count() > 50, "the cloth is on them");
    let layout = bench.text_of("lay.svg");
    assert!(
        layout.contains("class=\"dyed\"")
            && layout.contains(">selvedge<")
            && layout.contains(">cutting line<")
    );
    let page = bench.retrue("report sheet.svg --layout lay.svg");
    for side in ["back", "front"] {
        page.prints(&format!("aria-label=\"As it is sewn: From the {side}\""));
    }
    bench.retrue(&format!("{LAY} -o two.svg --sewn sewn.png")).is_true().says("colours differ by");
    let png = std::fs::read(bench.path("sewn.png")).expect("it is written");
    assert!(png.starts_with(b"\x89PNG"));
    bench.retrue(&format!("{LAY} -o same.svg --sewn same.svg")).is_refused().says("the same place");
    bench.retrue(&format!("{LAY} -o other.svg --sewn sewn.pdf")).is_refused();
    assert!(!bench.path("other.svg").exists() && !bench.path("same.svg").exists());
}

/// From the back the left front lies left of the back and the right one right of it; from the front the fronts lie beside each
/// other, the right one on the left, each with its half of the back beyond. Pieces that are sewn to each other touch.
#[test]
fn the_garment_is_seen_from_the_back_and_from_the_front() {
    let cloth = dyed(&gradation(4000.0, 2), "");
    let bench = Bench::new().with_file("sheet.svg", upright().sheet()).with_file("cloth.toml", cloth);
    bench.retrue(&format!("{LAY} -o lay.svg --sewn sewn.svg")).is_true();
    let sewn = bench.text_of("sewn.svg");
    let document = roxmltree::Document::parse(&sewn).expect("sound XML");
    let mut views: Vec<(String, Vec<(String, Rect)>)> = Vec::new();
    for group in document.root_element().children().filter(|node| node.has_attribute("data-name")) {
        let name = group.attribute("data-name").expect("a name").to_owned();
        if group.attribute("class") == Some("view") {
            views.push((name, Vec::new()));
            continue;
        }
        let lines = group.children().filter_map(|line| BezPath::from_svg(line.attribute("d")?).ok());
        let bounds = lines.map(|line| line.bounding_box()).reduce(|a, b| a.union(b)).expect("lines");
        views.last_mut().expect("a view").1.push((name, bounds));
    }
    let [from_back, from_front] = &mut views[..] else { panic!("{views:?}") };
    assert_eq!([from_back.0.as_str(), from_front.0.as_str()], ["From the back", "From the front"]);
    for (view, order) in [
        (&mut from_back.1, &["front L", "back", "front R"][..]),
        (&mut from_front.1, &["back", "front R", "front L", "back"][..]),
    ] {
        view.sort_by(|a, b| a.1.x0.total_cmp(&b.1.x0));
        assert_eq!(view.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), order);
        for pair in view.windows(2) {
            let gap = pair[1].1.x0 - pair[0].1.x1;
            assert!((-0.1..10.0).contains(&gap), "{pair:?}");
        }
    }
}

/// A photograph that shows 1.5 m of a cloth of 4 m, half as high as it ought to be for that.
#[test]
fn what_a_photograph_leaves_open_is_told() {
    let picture = image::RgbImage::from_fn(600, 800, |_, y| image::Rgb([(y / 4) as u8, 120, 90]));
    let told = "pictures = [{ file = \"bolt.png\", from = \"0m\", to = \"1.5m\" }]";
    let bench = Bench::new()
        .with_file("sheet.svg", upright().sheet())
        .with_file("bolt.png", file_of(&picture, image::ImageFormat::Png))
        .with_file("cloth.toml", format!("[main]\nwidth = \"60cm\"\nlength = \"4m\"\n{told}\n"));
    let laid = bench.retrue(&format!("{LAY} -o lay.svg"));
    laid.is_true()
        .says("no picture shows it from 1500 mm to 4000 mm")
        .says("smaller by 47 % along than across");
    for line in ["fit sheet.svg --cloth cloth.toml", "plan sheet.svg --cloth cloth.toml --recuts 1"] {
        bench.retrue(line).says("no picture shows it from 1500 mm to 4000 mm");
    }
    let bench = bench.with_file("bolt.png", "no picture");
    bench
        .retrue(&format!("{LAY} -o again.svg"))
        .is_refused()
        .says("neither a PNG nor a JPEG")
        .says("cloth.toml:4");
}

#[test]
fn levels_that_are_not_there_are_refused() {
    let bench = Bench::new()
        .with_fixture("dress.svg")
        .with_file("cloth.toml", "[main]\nwidth = \"140cm\"\nlength = \"5m\"\n");
    let lay = "lay dress.svg --cloth cloth.toml -o lay.svg";
    bench.retrue(&format!("{lay} --match-level waits")).is_refused().says("no piece has a level `waits`");
    bench.retrue(&format!("{lay} --match-level waist")).is_refused().says("neither stripes nor colours");
}
