//! `plan` on the command line.

use crate::run::Bench;

const SVG: &str = "http://www.w3.org/2000/svg";
const CLOTH: &str = include_str!("../../examples/cloth.toml");

#[test]
fn plans_are_written_as_recipes_that_apply_and_fit() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("cloth.toml", CLOTH);
    let planned = "plan coat.svg --cloth cloth.toml -o plans --alternatives 2 --iterations 50";
    let report = bench.retrue(&format!("{planned} --json")).is_true().reports("plan");
    assert_eq!(report["fits"], true);
    assert_eq!(report["alternatives"].as_array().expect("alternatives").len(), 2);
    for number in 1..=2 {
        bench.retrue(&format!("apply plans/{number}.toml coat.svg -o recut.svg --force")).is_true();
        bench.retrue("check recut.svg").is_true();
        bench.retrue("fit recut.svg --cloth cloth.toml").is_true();
        assert!(bench.text_of(&format!("plans/{number}.svg")).contains("<svg"));
    }
    shows_side_by_side(&bench.text_of("plans/index.html"), &report);
    bench.retrue(planned).is_refused().says("this folder holds plans already");
    let again = bench.retrue(&format!("{planned} --force"));
    again.is_true().prints("seams added").says("better ones are looked for, but this fits: ");
}

/// The page of plans tells each alternative, shows what it looks like and how it lies, and says how it is done.
fn shows_side_by_side(page: &str, report: &serde_json::Value) {
    let page = page.strip_prefix("<!DOCTYPE html>").expect("a page of HTML");
    let document = roxmltree::Document::parse(page).expect("sound XML");
    let named = |tag: &'static str| document.descendants().filter(move |node| node.has_tag_name(tag));
    let words = |node: roxmltree::Node<'_, '_>| -> String {
        node.descendants().filter(|part| part.is_text()).filter_map(|part| part.text()).collect()
    };
    let headings: Vec<String> = named("h2").map(|node| words(node).trim().to_owned()).collect();
    let layouts: Vec<&str> = named("img").filter_map(|node| node.attribute("src")).collect();
    let codes = named("code").filter_map(|node| node.text());
    let commands: Vec<&str> = codes.filter(|code| code.starts_with("retrue apply")).collect();
    let told: Vec<String> = named("p").map(|node| words(node).trim().to_owned()).collect();
    let alternatives = report["alternatives"].as_array().expect("alternatives");
    assert_eq!(layouts, ["1.svg", "2.svg"]);
    // The front is seen beside the back, whichever of them is cut.
    for picture in document.descendants().filter(|node| node.has_tag_name((SVG, "svg"))) {
        let told = words(picture);
        assert!(told.contains("front") && told.contains("back"), "{told}");
    }
    for (number, alternative) in (1..).zip(alternatives) {
        let words = |field: &str| alternative[field].as_str().expect("a sentence").replace('`', "");
        assert_eq!(headings[number - 1], format!("{number}. {}", words("look")));
        assert!(told.contains(&words("sentence")), "{told:?}");
        let command = format!("retrue apply plans/{number}.toml coat.svg -o recut.svg");
        assert_eq!(commands[number - 1], command);
    }
    assert_eq!(
        document.descendants().filter(|node| node.has_tag_name((SVG, "svg"))).count(),
        alternatives.len()
    );
}

#[test]
fn a_plan_file_is_refused_on_its_line() {
    let cases = [
        ("whole = [\"bak\"]\n", "did you mean `back`?"),
        ("hole = [\"back\"]\n", "did you mean `whole`?"),
        ("\nunwanted = [\"princes\"]\n", "did you mean \"princess\"?"),
        ("unwanted = [\"princess frunt\"]\n", "did you mean `front`?"),
        ("unwanted = [\"princes front\"]\n", "did you mean \"princess\"?"),
        ("most-new-seams = \"3\"\n", "cannot be a text"),
        ("stay = [\"back\"]\n", "cannot name an edge"),
        ("whole = back\n", "this is not a plan file"),
    ];
    for (text, says) in cases {
        let bench = Bench::new().with_fixture("coat.svg").with_file("taste.toml", text);
        bench.retrue("plan coat.svg --cloth \"37cm x 9m\" --taste taste.toml").is_refused().says(says);
    }
}

#[test]
fn a_folder_with_other_things_in_it_is_left_alone() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("mine/letter.txt", "dear");
    let plan = "plan coat.svg --cloth \"150cm x 4m\" --iterations 5 --force -o";
    bench.retrue(&format!("{plan} mine")).is_refused().says("holds other things than plans");
    bench.retrue(&format!("{plan} coat.svg/plans")).is_refused().says("is no folder");
    bench.retrue(&format!("{plan} coat.svg")).is_refused().says("not a folder");
    assert_eq!(bench.text_of("mine/letter.txt"), "dear");
}

#[test]
fn what_fits_as_it_is_has_a_recipe_that_changes_nothing() {
    let bench = Bench::new().with_fixture("coat.svg");
    let plan = "plan coat.svg --cloth \"150cm x 4m\" --iterations 5 -o plans";
    bench.retrue(plan).is_true().prints("It fits as it is").says("`under-collar` is cut from `companion`");
    bench.retrue("apply plans/1.toml coat.svg -o same.svg").is_true();
    bench.retrue("check same.svg").is_true();
}

#[test]
fn where_nothing_fits_the_missing_cloth_is_told_and_nothing_written() {
    let bench = Bench::new().with_fixture("coat.svg");
    let plan = "plan coat.svg --cloth \"6cm x 20m\" --recuts 50 -o plans";
    bench.retrue(plan).is_untrue().says("nothing was found that fits").says("too narrow for");
    assert!(!bench.path("plans").exists());
}
