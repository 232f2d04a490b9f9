//! What each edge says of its seams when a sheet is written.

use rustc_hash::FxHashMap;

use crate::pattern::{
    Copy, EdgeRef, Joins, Pattern, Refusal, Run, Seam, SewnFrom, corners_entered, from_clause, from_corners,
    is_read, said_by_corners, settle, unwritable_direction,
};
use crate::tolerance::SAME_LENGTH;
use crate::units::Length;

/// What the edges of a pattern say of their seams, in the order of the layers.
#[derive(Debug, Default)]
pub(super) struct WrittenSeams {
    by_edge: FxHashMap<EdgeRef, Vec<SaidOfSeam>>,
}

/// What an edge says of one seam.
#[derive(Debug)]
struct SaidOfSeam {
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

impl SaidOfSeam {
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
                    written.say_on_both(pattern, &joins, [seam, &swapped])?;
                }
            }
        }
        Ok(written)
    }

    /// Says a seam on the edges of its first side.
    fn say(&mut self, pattern: &Pattern, joins: &Joins, seam: &Seam, by: SaidBy) -> Result<(), Refusal> {
        let seam = as_drawn(seam);
        match from_clause(pattern, joins, &seam) {
            Ok(from) => self.add(pattern, &seam, from.as_ref(), by),
            Err(refusal) => {
                let (seam, from) = said_by_corners(&seam).ok_or(refusal)?;
                self.add(pattern, &seam, Some(&from), by)
            }
        }
    }

    /// Says a seam on the edges of both its sides: it is given with either side first.
    fn say_on_both(
        &mut self,
        pattern: &Pattern,
        joins: &Joins,
        [seam, swapped]: [&Seam; 2],
    ) -> Result<(), Refusal> {
        let (one, other) = (as_drawn(seam), as_drawn(swapped));
        let found = from_clause(pattern, joins, &one)
            .and_then(|second| Ok((from_clause(pattern, joins, &other)?, second)));
        let is_clear = |(first, second): &(Option<SewnFrom>, Option<SewnFrom>)| {
            let says = |said: &Seam, from: &Option<SewnFrom>| {
                [said.clone(), said.mirrored()]
                    .iter()
                    .all(|said| is_read(pattern, joins, said, from.as_ref()))
            };
            says(&one, second) && says(&other, first)
        };
        let (first, second) = match found {
            Ok(found) if is_clear(&found) => found,
            _ => {
                let corners = from_corners(pattern, joins, seam);
                let all = || (corners_entered(&seam.first), corners_entered(&seam.second));
                let (first, second) = corners.unwrap_or_else(all);
                (Some(first), Some(second))
            }
        };
        self.add(pattern, &one, second.as_ref(), SaidBy::Both)?;
        self.add(pattern, &other, first.as_ref(), SaidBy::Both)
    }

    /// Lets each edge of a seam's first side say what it is sewn to; one on a mirrored copy says the mirror image.
    ///
    /// # Errors
    ///
    /// Refuses an end of a mirrored copy whose name means an edge that is drawn: it would be read as an end of that.
    fn add(
        &mut self,
        pattern: &Pattern,
        seam: &Seam,
        from: Option<&SewnFrom>,
        by: SaidBy,
    ) -> Result<(), Refusal> {
        for (i, run) in seam.first.edges().iter().enumerate() {
            if seam.first.edges()[..i].iter().any(|before| before.edge.same_edge(&run.edge)) {
                continue;
            }
            let (partners, from) = match run.edge.copy {
                Copy::Drawn => (seam.second.clone(), from.cloned()),
                Copy::Mirrored => (seam.second.mirrored(), from.map(SewnFrom::mirrored)),
            };
            let names_another = partners.edges().iter().any(|run| settle(pattern, &run.edge) != run.edge);
            if by == SaidBy::Both && from.is_some() && names_another {
                return Err(unwritable_direction(seam));
            }
            let names = partners.names();
            let from = from.map(|from| format!(" from {from}")).unwrap_or_default();
            let edge = EdgeRef::new(run.edge.piece.clone(), run.edge.edge.clone());
            self.by_edge.entry(edge).or_default().push(SaidOfSeam {
                names: format!("{names}{from}"),
                ease: seam.ease,
                by,
            });
        }
        Ok(())
    }

    /// The values of `data-sewn-to` and `data-ease`, where the edge says anything.
    pub(super) fn attributes(&self, edge: &EdgeRef) -> (Option<String>, Option<String>) {
        let Some(layers) = self.by_edge.get(edge) else { return (None, None) };
        let joined = |part: fn(&SaidOfSeam) -> String| layers.iter().map(part).collect::<Vec<_>>().join("; ");
        let sewn_to = joined(|said| said.names.clone());
        let eased = layers.iter().any(SaidOfSeam::gives_ease);
        (Some(sewn_to), eased.then(|| joined(|said| said.ease.to_string())))
    }
}

/// The seam, or its mirror image where its first side is on mirrored copies: the edge that says it is drawn.
fn as_drawn(seam: &Seam) -> Seam {
    match seam.first.edges().first().map(|run| run.edge.copy) {
        Some(Copy::Mirrored) => seam.mirrored(),
        _ => seam.clone(),
    }
}
