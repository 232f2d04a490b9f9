//! Giving pieces and edges other names, wherever they are named.

use crate::pattern::{
    CornerShape, EdgeName, EdgeRef, Pattern, Piece, PieceName, Press, Record, Refusal, RefusalKind, Run,
};

impl Pattern {
    /// Gives a piece another name, in all seams and in the record of new seams too. What edges originally were keeps
    /// the name they had.
    ///
    /// # Errors
    ///
    /// Refuses an unknown piece, and a name that another piece has.
    pub(crate) fn rename_piece(&mut self, old: &PieceName, new: &PieceName) -> Result<(), Refusal> {
        if old == new {
            return Ok(());
        }
        let renamed = self.piece(old)?.clone().renamed(new.clone());
        self.replace_piece(old, vec![renamed])?;
        self.rename_in_seams(|edge| {
            if edge.piece == *old {
                edge.piece = new.clone();
            }
        });
        let named = self.pieces_mut().filter_map(|piece| piece.derived.as_mut());
        named.for_each(|derived| derived.from.rename_piece(old, new));
        self.record.rename_piece(old, new);
        Ok(())
    }

    /// Gives an edge another name, in all seams, in the record of new seams and in all that stands on its piece. What
    /// it originally was keeps the name it had.
    ///
    /// # Errors
    ///
    /// Refuses an unknown piece or edge, and a name that another edge of the piece has.
    pub(crate) fn rename_edge(
        &mut self,
        piece: &PieceName,
        old: &EdgeName,
        new: &EdgeName,
    ) -> Result<(), Refusal> {
        if old == new {
            return Ok(());
        }
        self.piece_mut(piece)?.rename_edge(old, new)?;
        self.rename_in_seams(|edge| {
            if edge.piece == *piece && edge.edge == *old {
                edge.edge = new.clone();
            }
        });
        self.record.rename_edge(piece, old, new);
        Ok(())
    }

    /// Writes another name wherever a seam, or a run along which a piece was made, names an edge.
    fn rename_in_seams(&mut self, rename: impl Fn(&mut EdgeRef)) {
        for derived in self.pieces_mut().filter_map(|piece| piece.derived.as_mut()) {
            derived.from.edges_mut().for_each(&rename);
        }
        for seam in self.seams_mut() {
            for run in [&mut seam.first, &mut seam.second] {
                run.each_edge_mut(&rename);
            }
        }
    }
}

impl Run {
    fn each_edge_mut(&mut self, change: &impl Fn(&mut EdgeRef)) {
        for run in self.edges_mut() {
            change(&mut run.edge);
        }
    }
}

impl Piece {
    /// Gives an edge another name, on the piece alone.
    ///
    /// # Errors
    ///
    /// Refuses an unknown edge and a name that is taken.
    pub(crate) fn rename_edge(&mut self, old: &EdgeName, new: &EdgeName) -> Result<(), Refusal> {
        let id = self.edge_named(old)?;
        if self.find_edge(new).is_some() {
            return Err(Refusal::new(
                RefusalKind::NameTaken,
                self.name(),
                format!("an edge is named `{new}` already"),
                "give another name",
            )
            .about(new));
        }
        self.set_edge_name(id, new.clone());
        let rename = |name: &mut EdgeName| {
            if name == old {
                *name = new.clone();
            }
        };
        for notch in &mut self.notches {
            rename(&mut notch.edge);
        }
        for dart in &mut self.darts {
            if let Press::Toward(edge) = &mut dart.press {
                rename(edge);
            }
            dart.rename_mouth_edge(old, new);
        }
        for corner in &mut self.corners {
            rename(&mut corner.edges.0);
            rename(&mut corner.edges.1);
            if let CornerShape::Square(edge) = &mut corner.shape {
                rename(edge);
            }
        }
        Ok(())
    }
}

impl Record {
    fn new_seam_edges_mut(&mut self) -> impl Iterator<Item = &mut EdgeRef> {
        let seams = self.steps.iter_mut().flat_map(|step| &mut step.new_seams);
        seams.flat_map(|seam| [&mut seam.first, &mut seam.second])
    }

    /// Writes another name for a piece wherever a new seam names it.
    fn rename_piece(&mut self, old: &PieceName, new: &PieceName) {
        for edge in self.new_seam_edges_mut().filter(|edge| edge.piece == *old) {
            edge.piece = new.clone();
        }
    }

    /// Writes another name for an edge wherever a new seam names it.
    pub(crate) fn rename_edge(&mut self, piece: &PieceName, old: &EdgeName, new: &EdgeName) {
        for edge in self.new_seam_edges_mut().filter(|edge| edge.piece == *piece && edge.edge == *old) {
            edge.edge = new.clone();
        }
    }
}
