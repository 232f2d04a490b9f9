//! What each edge says of its seams when a sheet is written.

use std::collections::HashMap;

use crate::pattern::{
    Copy, EdgeRef, Joins, Pattern, Refusal, Run, Seam, SewnFrom, from_clause, from_clauses,
};
use crate::tolerance::SAME_LENGTH;
use crate::units::Length;

/// What the edges of a pattern say of their seams, in the order of the layers.
#[derive(Debug, Default)]
pub(super) struct WrittenSeams {
    by_edge: HashMap<EdgeRef, Vec<Said>>,
}

/// What an edge says of one seam.
#[derive(Debug)]
struct Said {
    names: String,
    ease: Length,
    by: SaidBy,
}

/// Which sides of a seam say it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum SaidBy {
    One,
    Both,
}

impl Said {
    /// Whether this is where the ease must be given: on the longer side, or on the only one that says the seam.
    fn gives_ease(&self) -> bool {
        let ease = self.ease.mm();
        ease > SAME_LENGTH || (ease < -SAME_LENGTH && self.by == SaidBy::One)
    }
}

impl WrittenSeams {
    /// Every seam is said once, on a side of one edge, the longer where both are; a seam of several edges on both
    /// sides is said on all of them.
    ///
    /// # Errors
    ///
    /// Refuses a seam whose direction cannot be written.
    pub(super) fn of(pattern: &Pattern) -> Result<WrittenSeams, Refusal> {
        let joins = Joins::of(pattern.seams());
        let mut written = WrittenSeams::default();
        for seam in pattern.seams() {
            let swapped = Seam {
                first: seam.second.clone(),
                second: seam.first.clone(),
                ease: Length::from_mm(-seam.ease.mm()),
            };
            let single = |run: &Run| run.edges().len() == 1;
            let drawn = |run: &Run| run.edges().iter().all(|run| run.edge.copy == Copy::Drawn);
            let even = seam.ease.mm() == 0.0;
            let second_says = seam.ease.mm() < 0.0 || (even && drawn(&seam.second) && !drawn(&seam.first));
            match (single(&seam.first), single(&seam.second)) {
                (true, true) if second_says => written.say(pattern, &joins, &swapped, SaidBy::One)?,
                (true, _) => written.say(pattern, &joins, seam, SaidBy::One)?,
                (false, true) => written.say(pattern, &joins, &swapped, SaidBy::One)?,
                (false, false) if seam.is_to_own_mirror() => {
                    written.say(pattern, &joins, seam, SaidBy::One)?;
                }
                (false, false) => {
                    let from = from_clauses(pattern, &joins, seam)?;
                    written.add(seam, from.second.as_ref(), SaidBy::Both);
                    written.add(&swapped, from.first.as_ref(), SaidBy::Both);
                }
            }
        }
        Ok(written)
    }

    /// Says a seam on the edges of its first side; where that is on mirrored copies, as its mirror image.
    fn say(&mut self, pattern: &Pattern, joins: &Joins, seam: &Seam, by: SaidBy) -> Result<(), Refusal> {
        let mirrored = Seam { first: seam.first.mirrored(), second: seam.second.mirrored(), ease: seam.ease };
        let on_mirrored = seam.first.edges().first().is_some_and(|run| run.edge.copy == Copy::Mirrored);
        let seam = if on_mirrored { &mirrored } else { seam };
        let from = from_clause(pattern, joins, seam)?;
        self.add(seam, from.as_ref(), by);
        Ok(())
    }

    /// Lets each edge of a seam's first side say what it is sewn to; one on a mirrored copy says the mirror image.
    fn add(&mut self, seam: &Seam, from: Option<&SewnFrom>, by: SaidBy) {
        for (i, run) in seam.first.edges().iter().enumerate() {
            if seam.first.edges()[..i].iter().any(|before| before.edge.same_edge(&run.edge)) {
                continue;
            }
            let (names, from) = match run.edge.copy {
                Copy::Drawn => (seam.second.names(), from.cloned()),
                Copy::Mirrored => (seam.second.mirrored().names(), from.map(SewnFrom::mirrored)),
            };
            let from = from.map(|from| format!(" from {from}")).unwrap_or_default();
            let edge = EdgeRef::new(run.edge.piece.clone(), run.edge.edge.clone());
            self.by_edge.entry(edge).or_default().push(Said {
                names: format!("{names}{from}"),
                ease: seam.ease,
                by,
            });
        }
    }

    /// The values of `data-sewn-to` and `data-ease`, where the edge says anything.
    pub(super) fn attributes(&self, edge: &EdgeRef) -> (Option<String>, Option<String>) {
        let Some(layers) = self.by_edge.get(edge) else { return (None, None) };
        let joined = |part: fn(&Said) -> String| layers.iter().map(part).collect::<Vec<_>>().join("; ");
        let sewn_to = joined(|said| said.names.clone());
        let eased = layers.iter().any(Said::gives_ease);
        (Some(sewn_to), eased.then(|| joined(|said| said.ease.to_string())))
    }
}
