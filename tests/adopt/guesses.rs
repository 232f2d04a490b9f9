//! What the template of a map guesses is right where it says that it is sure, and for the most part elsewhere.

use std::collections::BTreeSet;

use retrue::adopt::{Certainty, LikelySeam, likely_seams};
use retrue::pattern::{EdgeRef, Pattern, Seam};

use crate::compare::read;
use crate::run::fixture;

const PATTERNS: [&str; 4] = ["coat", "dress", "skirt-shaped-back", "awkward"];

/// The two sides of a seam by the names of their edges, in no order: a piece and its mirrored copy are sewn alike.
type Sides = BTreeSet<Vec<String>>;

fn named(edges: impl Iterator<Item = EdgeRef>) -> Vec<String> {
    let mut names: Vec<String> = edges.map(|edge| format!("{}.{}", edge.piece, edge.edge)).collect();
    names.sort();
    names
}

fn sides_of(seam: &Seam) -> Sides {
    [&seam.first, &seam.second].map(|run| named(run.edges().iter().map(|run| run.edge.clone()))).into()
}

fn sides_guessed(seam: &LikelySeam) -> Sides {
    [&seam.first, &seam.second].map(|edges| named(edges.iter().cloned())).into()
}

#[test]
fn seams_of_the_fixtures_are_guessed() {
    for name in PATTERNS {
        let pattern = read(&fixture(&format!("{name}.svg")));
        let true_seams: Vec<Sides> = pattern.seams().iter().map(sides_of).collect();
        let bare = Pattern::new(pattern.pieces().cloned().collect(), Vec::new()).expect("pieces");
        let guessed = likely_seams(&bare);
        let right = |seam: &LikelySeam| true_seams.contains(&sides_guessed(seam));
        for seam in &guessed {
            let is = if right(seam) { "" } else { "WRONG " };
            eprintln!("{name}: {is}{:?} {:?} {} ({})", sides_guessed(seam), seam.certainty, seam.ease, seam.because);
        }
        for seam in &true_seams {
            if !guessed.iter().any(|guess| sides_guessed(guess) == *seam) {
                eprintln!("{name}: MISSED {seam:?}");
            }
        }
        eprintln!("{name}: {} of {}", guessed.iter().filter(|seam| right(seam)).count(), true_seams.len());
        assert!(guessed.iter().all(|seam| right(seam) || seam.certainty < Certainty::Sure), "{name}");
    }
}
