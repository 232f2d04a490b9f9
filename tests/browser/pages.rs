//! What is held of the pages that the program writes: anyone can read them, on any screen.

use std::path::Path;
use std::process::Command;

use crate::programs::found;
use crate::run::{Bench, fixture};
use crate::{CHROMIUM, DRIVER, NODE, succeeds};

/// The coat made narrow, with its facings and linings, on cloth with a look; a dress as it is; a coat that is not true; the
/// ways of a plan.
pub const PAGES: [&str; 4] = ["lined.html", "dress.html", "untrue.html", "plans/index.html"];

/// A folder with the pages.
pub fn written() -> Bench {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let shipped = |name: &str| std::fs::read(folder.join(name)).expect("the file is there");
    let gradation = String::from_utf8(shipped("gradation.toml")).expect("a text");
    let short = "length = \"1.5m\"";
    assert!(gradation.contains(short), "what linings are cut from");
    let untrue = fixture("coat.svg").replacen("data-cut=\"1\"", "data-cut=\"3\"", 1);
    let mut bench = Bench::new()
        .with_fixture("coat.svg")
        .with_fixture("dress.svg")
        .with_file("skirt.svg", fixture("skirt-shaped-back.svg"))
        .with_file("untrue.svg", untrue)
        .with_file("gradation.toml", gradation.replace(short, "length = \"9m\""));
    for number in 1..=4 {
        let name = format!("gradation-{number}.jpg");
        bench = bench.with_file(&name, shipped(&name));
    }
    let recipe = folder.join("lined-coat.toml");
    bench.retrue(&format!("apply \"{}\" -o lined.svg", recipe.display())).is_true();
    let matched = "--match back.side --match front-side.princess";
    bench
        .retrue(&format!("lay lined.svg --cloth gradation.toml {matched} --iterations 3 -o layout.svg"))
        .is_true();
    bench.retrue("report lined.svg --before coat.svg --layout layout.svg -o lined.html").is_true();
    bench.retrue("report dress.svg -o dress.html --in").is_true();
    bench.retrue("report untrue.svg -o untrue.html").exits(0);
    bench.retrue("plan skirt.svg --cloth \"45cm x 3m\" --recuts 300 -o plans").is_true();
    bench
}

/// Light and dark, on a phone, a tablet, a screen and a wide one, by the rules of axe-core; nothing lies beyond the screen.
#[test]
fn anyone_can_read_the_pages() {
    let Some([chromium, driver, node]) = found([CHROMIUM, DRIVER, NODE]) else { return };
    let bench = written();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/accessible.mjs");
    let told = succeeds(
        Command::new(node)
            .arg(script)
            .args(PAGES.map(|page| bench.path(page)))
            .envs([("CHROMIUM", chromium), ("CHROMEDRIVER", driver)]),
    );
    assert_eq!(told.matches(" 0 violations").count(), 8 * PAGES.len(), "{told}");
}
