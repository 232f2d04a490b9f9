//! Random chains of operations on shipped and random patterns.

use proptest::prelude::*;
use proptest::sample::Index;
use retrue::pattern::{Pattern, Piece};
use retrue::recut::Step;
use retrue::sheet;
use serde_json::{Value, json};

use crate::random::block;
use crate::random_bodice;

/// How many numbers there are for operations; some stand for the same one.
pub const OPERATIONS: usize = 28;

/// The number of a split.
pub const SPLIT: usize = 0;

/// The number of a princess seam.
pub const PRINCESS_SEAM: usize = 2;

/// What a chain starts from.
pub fn first_pattern() -> impl Strategy<Value = Pattern> {
    let fixture = prop_oneof!["coat", "dress", "skirt-shaped-back", "awkward"].prop_map(|name| {
        let bytes = std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap();
        sheet::read(&bytes, &Default::default()).unwrap().pattern
    });
    prop_oneof![
        2 => fixture,
        1 => block::draft().prop_map(|draft| draft.pattern()),
        1 => random_bodice::bodice().prop_map(|bodice| bodice.pattern()),
    ]
}

/// A step in the making: which operation, and what its fields are chosen by once the pattern is known.
#[derive(Clone, Debug)]
pub struct Wish {
    operation: Index,
    piece: Index,
    edges: (Index, Index),
    shares: (f64, f64),
    size: f64,
    choice: Index,
}

pub fn wish() -> impl Strategy<Value = Wish> {
    let index = || any::<Index>();
    (index(), index(), (index(), index()), (2.0..98.0_f64, 2.0..98.0_f64), 3.0..80.0_f64, index()).prop_map(
        |(operation, piece, edges, shares, size, choice)| Wish {
            operation,
            piece,
            edges,
            shares,
            size,
            choice,
        },
    )
}

impl Wish {
    fn pick<'a>(&self, choices: &[&'a str]) -> &'a str {
        choices[self.choice.index(choices.len())]
    }

    /// A facing along an edge and, as often as not, what goes on from it across a seam.
    fn facing(&self, pattern: &Pattern, piece: &Piece, edge: &str, depth: &str) -> Value {
        let mut along = format!("{}.{edge}", piece.name());
        let other = pattern.pieces().find(|other| {
            other.name() != piece.name() && other.edges().iter().any(|own| own.name.as_str() == edge)
        });
        if let (Some(other), 0) = (other, self.edges.1.index(2)) {
            along.push_str(&format!(", {}.{edge}", other.name()));
        }
        let smaller = self.pick(&["0mm", "0mm", "1mm"]);
        json!({"do": "add-facing", "along": along, "depth": depth, "smaller-by": smaller})
    }

    /// The step for a pattern; none where the pattern has nothing of the kind.
    pub fn fields(&self, pattern: &Pattern) -> Option<Value> {
        self.fields_of(self.operation.index(OPERATIONS), pattern)
    }

    /// The same for an operation that is given by its number.
    pub fn fields_of(&self, operation: usize, pattern: &Pattern) -> Option<Value> {
        let pieces: Vec<&Piece> = pattern.pieces().collect();
        let piece = pieces[self.piece.index(pieces.len())];
        let name = piece.name().as_str();
        let edge = |index: &Index| piece.edges()[index.index(piece.edges().len())].name.as_str();
        let (first, second) = (edge(&self.edges.0), edge(&self.edges.1));
        let place = |edge: &str, share: f64| format!("{edge}@{share:.3}%");
        let (from, to) = (place(first, self.shares.0), place(second, self.shares.1));
        let dart = || {
            (!piece.darts.is_empty()).then(|| piece.darts[self.choice.index(piece.darts.len())].name.as_str())
        };
        let point = || {
            (!piece.points.is_empty())
                .then(|| piece.points[self.choice.index(piece.points.len())].name.as_str())
        };
        let size = format!("{:.2}mm", self.size);
        let seams = pattern.seams();
        let seam = || {
            let run = (!seams.is_empty()).then(|| &seams[self.piece.index(seams.len())])?;
            let edges = [&run.first, &run.second].map(|run| run.edges()[0].edge.clone());
            Some(if self.edges.0.index(2) == 0 {
                edges
            } else {
                let [a, b] = edges;
                [b, a]
            })
        };
        let fields = match operation {
            SPLIT | 1 => json!({"do": "split", "piece": name, "line": format!("{from} > {to}")}),
            PRINCESS_SEAM => {
                json!({"do": "add-princess-seam", "piece": name, "from": from, "through": point()?, "to": to})
            }
            3 => json!({"do": "dart-to-seam", "piece": name, "dart": dart()?}),
            4 => {
                json!({"do": "pivot-dart", "piece": name, "dart": dart()?, "to": from, "share": self.pick(&["100%", "40%"])})
            }
            5 | 6 => {
                let [edge, other] = seam()?;
                let mut fields = json!({
                    "do": "move-seam", "seam": edge.to_string(), "from": other.piece.as_str(), "by": size,
                    "shaping": self.pick(&["carry", "carry", "dart", "drop"])
                });
                if self.edges.1.index(2) == 0 {
                    fields["line"] = "grain".into();
                }
                if self.edges.1.index(3) == 0 {
                    fields["longer"] = "hem".into();
                }
                fields
            }
            7 | 8 => {
                json!({"do": "merge-at-seamline", "seam": seam()?[0].to_string(), "shaping": self.pick(&["dart", "refuse"])})
            }
            9 => json!({"do": "add-band", "piece": name, "edge": first, "depth": size}),
            10 => {
                json!({"do": "limit-width", "piece": name, "width": format!("{:.1}mm", 100.0 + 5.0 * self.size)})
            }
            11 => json!({"do": self.pick(&["unfold", "fold", "open-centre"]), "piece": name}),
            12 => json!({"do": "turn-grain", "piece": name, "to": self.pick(&["lengthwise", "crosswise"])}),
            13 => {
                json!({"do": "set-allowance", "edges": format!("{name}.{first}, {name}.{second}"), "allowance": size})
            }
            14 => {
                json!({"do": "set-edge", "edge": format!("{name}.{first}"), "finish": self.pick(&["seam", "hem", "free"])})
            }
            15 => json!({"do": "true-seam", "seam": seam()?[0].to_string()}),
            16 => {
                json!({"do": "divide-edge", "edge": format!("{name}.{first}"), "at": place(first, self.shares.0)})
            }
            17 => {
                let next = piece.edge(piece.next(piece.find_edge(&first.parse().unwrap())?)).name.as_str();
                json!({"do": "join-edges", "edges": format!("{name}.{first}, {name}.{next}")})
            }
            18 => {
                let [edge, _] = seam()?;
                let on = |share: f64| place(edge.edge.as_str(), share);
                json!({
                    "do": "open-seam", "seam": edge.to_string(), "from": on(self.shares.0), "to": on(self.shares.1),
                    "for": self.pick(&["pocket", "buttonhole", "vent"])
                })
            }
            19 => {
                let mut fields = json!({
                    "do": "extend-edge", "edge": format!("{name}.{first}"), "by": size,
                    "ends": self.pick(&["along", "square"])
                });
                if self.edges.1.index(2) == 0 {
                    fields["cloth"] = "companion".into();
                }
                fields
            }
            20 => {
                let [edge, _] = seam()?;
                let lap = self.pick(&["0mm", "8mm", "none"]);
                json!({"do": "set-edge", "edge": edge.to_string(), "lap": lap})
            }
            21 => {
                json!({"do": "set-pattern", "size": size, "measures": format!("bust {:.1}mm", 10.0 * self.size)})
            }
            22 => {
                let (purpose, copy) = (self.pick(&["plain", "underlining", "interfacing", "lining"]), "copy");
                json!({"do": "copy-piece", "piece": name, "name": format!("{name}-{copy}"), "for": purpose})
            }
            23 => self.facing(pattern, piece, first, &size),
            24 => json!({"do": "follow"}),
            25 => {
                let width = format!("{:.1}mm", 5.0 + self.size / 2.0);
                match (seam(), self.edges.1.index(2)) {
                    (Some([edge, _]), 0) => json!({
                        "do": "add-strip", "over": edge.to_string(), "width": width,
                        "to": place(edge.edge.as_str(), self.shares.0), "to-end": self.pick(&["straight", "pointed", "round"])
                    }),
                    _ => {
                        json!({"do": "add-strip", "piece": name, "over": format!("{from} > {to}"), "width": width})
                    }
                }
            }
            26 => {
                let open = pattern.pieces().flat_map(|piece| {
                    let open = piece.edge_ids().filter(|id| piece.edge(*id).open.is_some());
                    open.map(|id| piece.edge_ref(id)).collect::<Vec<_>>()
                });
                let open: Vec<_> = open.collect();
                let edge = (!open.is_empty()).then(|| &open[self.choice.index(open.len())])?;
                json!({"do": "close-seam", "seam": edge.to_string()})
            }
            _ => json!({"do": "set-piece", "piece": name, "cloth": self.pick(&["main", "lining"])}),
        };
        Some(fields)
    }
}

/// The step of its fields; none where they are not even read.
pub fn read_step(mut fields: Value) -> Option<Step> {
    let name = fields.as_object_mut()?.remove("do")?;
    Step::read(name.as_str()?, fields).ok()
}
