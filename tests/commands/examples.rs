//! Every shipped example runs, and what it makes is true.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::written_widths::written_reaches;
use retrue::pattern::Pattern;
use retrue::sheet;

const RETRUE: &str = env!("CARGO_BIN_EXE_retrue");

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

fn recipes(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let is_recipe = |path: &PathBuf| {
        path.extension().is_some_and(|e| e == "toml")
            && std::fs::read_to_string(path).unwrap().contains("[[step]]")
    };
    let mut found: Vec<PathBuf> = entries.filter(is_recipe).collect();
    found.sort();
    found
}

fn apply(recipe: &Path) -> Pattern {
    let output = Command::new(RETRUE).args(["-q", "apply"]).arg(recipe).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{}: {said}", recipe.display());
    sheet::read(&output.stdout, &Default::default()).unwrap().pattern
}

#[test]
fn every_recipe_makes_a_true_pattern() {
    let all = [recipes(&examples()), recipes(&examples().join("operations"))].concat();
    assert!(all.len() >= 21, "{}", all.len());
    for recipe in all {
        apply(&recipe);
    }
}

/// Each operation has an example of its own.
#[test]
fn every_operation_has_an_example() {
    for name in retrue::recut::Step::NAMES {
        let recipe = std::fs::read_to_string(examples().join(format!("operations/{name}.toml"))).unwrap();
        assert!(recipe.contains(&format!("do = \"{name}\"")), "{name}");
    }
}

/// The pipe rounds to six decimals between its commands.
#[test]
fn the_chain_gives_the_same_pieces_as_the_recipe() {
    let chain = Command::new("sh").arg(examples().join("chain.sh")).env("RETRUE", RETRUE).output().unwrap();
    assert!(chain.status.success(), "{}", String::from_utf8_lossy(&chain.stderr));
    let chain = sheet::read(&chain.stdout, &Default::default()).unwrap().pattern;
    let recipe = apply(&examples().join("narrow-coat.toml"));
    assert_eq!(chain.pieces().len(), recipe.pieces().len());
    for (one, other) in chain.pieces().zip(recipe.pieces()) {
        assert_eq!(one.name(), other.name());
        for (one, other) in one.edges().iter().zip(other.edges()) {
            assert_eq!((&one.name, one.finish), (&other.name, other.finish));
            assert!(one.curve.distance_to(&other.curve) < 1e-3, "{}", one.name);
        }
    }
}

/// Every panel of the narrow coat can be cut from the bolt: allowances included, within 37 cm; and the garment is the same
/// size as before at every level. The back is measured opened out.
#[test]
fn the_narrow_coat_fits_the_cloth_and_keeps_its_girth() {
    let coat = std::fs::read(examples().join("../fixtures/coat.svg")).unwrap();
    let before = retrue::truing::girths(&sheet::read(&coat, &Default::default()).unwrap().pattern);
    for name in ["narrow-coat", "centre-seam-coat"] {
        let new = apply(&examples().join(format!("{name}.toml")));
        for (old, now) in before.iter().zip(retrue::truing::girths(&new)) {
            assert!((old.around.mm() - now.around.mm()).abs() < 0.5, "{name}: {}", old.level);
        }
        let written = written_reaches(&sheet::write(&new).unwrap());
        for piece in new.pieces().filter(|piece| piece.cloth.as_str() == "main") {
            let width = written[piece.name().as_str()].width;
            assert!(width <= 370.0 + 1e-5, "{name}: {} is {width:.1} mm wide", piece.name());
        }
    }
}

/// The whole coat has all that goes with its pieces, is true, and can be done again from the shipped coat.
#[test]
fn the_whole_coat_is_true_with_all_that_goes_with_it() {
    let coat = std::fs::read(examples().join("../fixtures/coat.svg")).unwrap();
    let before = sheet::read(&coat, &Default::default()).unwrap().pattern;
    let recipe = apply(&examples().join("whole-coat.toml"));
    let text = sheet::write(&recipe).unwrap();
    let whole = sheet::read(text.as_bytes(), &Default::default()).unwrap().pattern;
    let verdict = retrue::truing::Verdict::of(&whole);
    assert!(verdict.is_true(), "{:?}", verdict.untrue().collect::<Vec<_>>());
    let off = retrue::resew::resew(&before, &whole).unwrap();
    let off = off.findings(&retrue::resew::ResewLimits::default());
    assert!(off.is_empty(), "{off:?}");
    let made = |by: &str| {
        let of =
            |piece: &&retrue::pattern::Piece| piece.derived.as_ref().is_some_and(|made| made.by.word() == by);
        whole.pieces().filter(of).count()
    };
    assert_eq!([made("add-facing"), made("copy-piece"), made("add-strip")], [2, 3, 1]);
    let edges = || whole.pieces().flat_map(retrue::pattern::Piece::edges);
    assert!(edges().any(|edge| edge.lap.is_some()));
    assert!(edges().any(|edge| edge.open == Some(retrue::pattern::Opening::Pocket)));
}

/// The coat with a seam down the back lies on the shipped cloth, its collar across.
#[test]
fn the_coat_with_a_centre_seam_lies_on_the_shipped_cloth() {
    let folder = tempfile::tempdir().unwrap();
    let (coat, lay) = (folder.path().join("coat.svg"), folder.path().join("lay.svg"));
    let run = |arguments: &[&std::ffi::OsStr]| {
        let output = Command::new(RETRUE).args(["-q"]).args(arguments).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    };
    let (recipe, cloth) = (examples().join("centre-seam-coat.toml"), examples().join("cloth.toml"));
    run(&["apply".as_ref(), recipe.as_ref(), "-o".as_ref(), coat.as_ref()]);
    run(&["fit".as_ref(), coat.as_ref(), "--cloth".as_ref(), cloth.as_ref()]);
    let search = ["--iterations".as_ref(), "40".as_ref(), "-o".as_ref(), lay.as_ref()];
    run(&[["lay".as_ref(), coat.as_ref(), "--cloth".as_ref(), cloth.as_ref()], search].concat());
    assert!(std::fs::read_to_string(lay).unwrap().contains("companion: 1100 mm × 1500 mm"));
}
