//! Every seam of every shipped pattern, on striped cloth and on cloth with marks: whatever is asked for, a layout comes of
//! it, or a refusal that names the seam.

use retrue::cloth::file;
use retrue::cloth::layout::{LaidVerdict, LayError, LayTask, LayWish};
use retrue::cloth::search::{Budget, Continue, Limit};
use retrue::pattern::Pattern;
use retrue::sheet::{ReadOptions, read};

use crate::run::fixture;

const CLOTHS: [&str; 2] = [
    "stripes = { repeat = \"64mm\", first = \"10mm\" }",
    "stripes = { marks = [\"12cm\", \"31cm\", \"37cm\", \"61cm\", \"83cm\", \"89cm\", \"1.02m\", \"1.31m\", \"1.55m\", \"1.7m\", \"1.92m\", \"2.3m\", \"2.8m\"] }",
];

/// Width and length of a cloth.
type Size = [&'static str; 2];

const WIDE: Size = ["160cm", "6m"];

/// The back of the coat recut for it lies from selvedge to selvedge.
const NARROW: Size = ["37cm", "11.4m"];

fn every_seam(pattern: &Pattern, [width, length]: Size) -> usize {
    let mut laid_out = 0;
    for stripes in CLOTHS {
        let cloth = |name: &str| format!("[{name}]\nwidth = \"{width}\"\nlength = \"{length}\"\n{stripes}\n");
        let all: String = ["main", "companion", "lining"].map(cloth).concat();
        let stock = file::read(&all, &mut file::NoFiles).expect("a cloth file");
        for seam in pattern.seams() {
            // The side that names it alone, where an edge is sewn in several layers.
            let edges = [&seam.first, &seam.second].map(|run| run.edges()[0].edge.clone());
            let task = edges.iter().find_map(|edge| {
                let wish = LayWish { matches: vec![edge.clone()], ..LayWish::default() };
                match LayTask::of(pattern, &stock, wish) {
                    Err(LayError::Pattern(_)) => None,
                    other => Some(other),
                }
            });
            let name = seam.name();
            let task = match task {
                None | Some(Err(LayError::TwoCloths { .. })) => continue,
                Some(task) => task.unwrap_or_else(|error| panic!("{name}: {error}")),
            };
            let budget = Budget { seed: 1, searchers: 1, limit: Limit::Iterations(2) };
            let laid = task.search(&budget, &mut |_| Continue::Search);
            let laid = laid.unwrap_or_else(|error| panic!("{name} on {stripes}: {error}"));
            if laid.verdict != LaidVerdict::Fits {
                continue;
            }
            laid_out += 1;
            let found = &laid.matches[0];
            assert!(!found.met.sewings.is_empty(), "{name}: which copies are sewn is known");
            for sewing in &found.met.sewings {
                let met = sewing.met.unwrap_or_else(|| panic!("{name}: the stripes are known"));
                assert!(
                    met.worst.is_finite() && met.meets() <= met.whole.1 - met.whole.0 + 1e-6,
                    "{name}: {met:?}"
                );
                assert!(!sewing.pairs.is_empty());
            }
        }
    }
    laid_out
}

fn shipped(text: &str, cloth: Size) {
    let pattern = read(text.as_bytes(), &ReadOptions::default()).expect("a pattern").pattern;
    let seams = pattern.seams().len();
    let laid_out = every_seam(&pattern, cloth);
    // Twice each, but for those between two cloths.
    assert!(laid_out > seams, "{laid_out} layouts of {seams} seams");
}

#[test]
fn every_seam_of_the_coat() {
    shipped(&fixture("coat.svg"), WIDE);
}

#[test]
fn every_seam_of_the_dress() {
    shipped(&fixture("dress.svg"), WIDE);
}

#[test]
fn every_seam_of_the_skirt_and_of_awkward_pieces() {
    shipped(&fixture("skirt-shaped-back.svg"), WIDE);
    shipped(&fixture("awkward.svg"), WIDE);
}

#[test]
fn every_seam_of_the_coat_recut_for_narrow_cloth() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/narrow-coat.svg");
    shipped(&std::fs::read_to_string(file).expect("the example is there"), NARROW);
}
