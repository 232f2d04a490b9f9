//! What of an edge is sewn: its length less the mouths of darts on it.

use crate::pattern::{Dart, EdgeId, EdgeName, Mouth, Piece};

impl Piece {
    /// The mouths on an edge, in order along it.
    #[must_use]
    pub fn mouths_on(&self, edge: &EdgeName) -> Vec<(&Dart, &Mouth)> {
        let mut mouths: Vec<_> = self
            .darts
            .iter()
            .filter_map(|dart| dart.mouth().map(|mouth| (dart, mouth)))
            .filter(|(_, mouth)| mouth.edge == *edge)
            .collect();
        mouths.sort_by(|a, b| a.1.from.total_cmp(&b.1.from));
        mouths
    }

    /// The length of an edge that is sewn: its length less the mouths on it.
    #[must_use]
    pub fn sewn_length(&self, id: EdgeId) -> f64 {
        self.to_sewn(id, self.edge(id).curve.length())
    }

    /// The sewn length of an edge up to a walk distance along its curve. Inside a mouth it is that of the
    /// mouth's first end.
    #[must_use]
    pub fn to_sewn(&self, id: EdgeId, at: f64) -> f64 {
        let folded: f64 = self
            .mouths_on(&self.edge(id).name)
            .iter()
            .map(|(_, mouth)| (at.min(mouth.to) - mouth.from).max(0.0))
            .sum();
        at - folded
    }

    /// The walk distance along an edge's curve at a sewn length. At a mouth it is that of the mouth's
    /// first end.
    #[must_use]
    pub fn from_sewn(&self, id: EdgeId, sewn: f64) -> f64 {
        let mut at = sewn;
        for (_, mouth) in self.mouths_on(&self.edge(id).name) {
            if at <= mouth.from {
                break;
            }
            at += mouth.to - mouth.from;
        }
        at
    }

    /// The stretches of an edge that are sewn, between the mouths on it: walk distances in order.
    #[must_use]
    pub fn sewn_stretches(&self, id: EdgeId) -> Vec<(f64, f64)> {
        let mut stretches = Vec::new();
        let mut start = 0.0;
        for (_, mouth) in self.mouths_on(&self.edge(id).name) {
            if mouth.from > start {
                stretches.push((start, mouth.from));
            }
            start = mouth.to;
        }
        let length = self.edge(id).curve.length();
        if length > start {
            stretches.push((start, length));
        }
        stretches
    }
}
