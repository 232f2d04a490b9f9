//! One piece of a map: its edges, on a drawn seamline or behind a drawn cutting line.

use std::ops::Range;

use crate::adopt::error::refused_at;
use crate::adopt::make_darts;
use crate::adopt::make_edges::SaidEdge;
use crate::adopt::make_marks;
use crate::adopt::make_note::AdoptNote;
use crate::adopt::map::{given, span, text, value};
use crate::adopt::map_words::DrawnAs;
use crate::adopt::piece_maker::{ALL_LINES, Owner, PieceMaker};
use crate::adopt::ring::without_stubs;
use crate::allowance::{
    DartShown, DrawnCuttingLine, DrawnDart, DrawnEdge, DrawnPart, DrawnStretch, TakeOffError, TakeOffPlace,
    TakenOff, UnknownStretch, take_off,
};
use crate::curve::Curve;
use crate::pattern::{ClothName, Cut, DartName, Edge, EdgeName, EdgeRef, Finish, Piece, Refusal, Selvedge};
use crate::sheet::{agreed, attributes};
use crate::tolerance::WELD;
use crate::toml_file::TextFault;
use crate::units::Length;

/// An edge, the finish that the map gives it, and where it stands there.
pub(super) struct SaidFinish {
    pub edge: EdgeRef,
    pub finish: Option<Finish>,
    /// Where its name stands.
    pub name: Range<usize>,
    /// Where an allowance of its own stands.
    pub allowance: Option<Range<usize>>,
    /// Where it is said that it is sewn to nothing.
    pub unsewn: Option<Range<usize>>,
}

/// A piece as it was made, and the finishes that the map gives its edges.
pub(super) struct PieceFromMap {
    pub piece: Piece,
    pub finishes: Vec<SaidFinish>,
}

impl PieceMaker<'_> {
    /// The piece.
    pub fn made(&self, notes: &mut Vec<AdoptNote>) -> Result<PieceFromMap, TextFault> {
        let order = self.order()?;
        self.refuse_unknown_ignored()?;
        let (mut piece, taken) = match self.drawn {
            DrawnAs::Seamline => (self.on_seamline(&order)?, None),
            DrawnAs::CuttingLine => {
                let taken = self.taken_off(&order)?;
                notes.extend(taken.unknown.iter().map(|stretch| self.unknown(stretch)));
                (self.behind_cutting_line(&taken)?, Some(taken))
            }
        };
        piece.cut = given::<Cut>(self.map.cut.as_ref(), "a count of copies")?.unwrap_or(Cut::ONE);
        piece.cloth = given(self.map.cloth.as_ref(), "the name of a cloth")?.unwrap_or_else(ClothName::main);
        self.add_corners(&mut piece)?;
        make_darts::add(self, &mut piece, taken.as_ref(), notes)?;
        make_marks::add(self, &mut piece, taken.as_ref())?;
        notes.extend(self.left_out());
        let finishes = self.edges.iter().zip(&self.map.edges).map(|(edge, said)| SaidFinish {
            edge: EdgeRef::new(self.name.clone(), edge.name.clone()),
            finish: edge.finish,
            name: span(&said.name),
            allowance: said.allowance.as_ref().map(span),
            unsewn: said.sewn_to.as_ref().map(span),
        });
        Ok(PieceFromMap { finishes: finishes.collect(), piece })
    }

    /// All stretches clockwise, from the beginning of the first edge.
    fn order(&self) -> Result<Vec<usize>, TextFault> {
        let count = self.stretches.len();
        let first = self.edges[0].stretches[0];
        let order: Vec<usize> = (0..count).map(|step| (first + step) % count).collect();
        let mut last = None;
        let mut closed: Vec<usize> = Vec::new();
        for at in &order {
            let Owner::Edge(edge) = self.owners[*at] else { continue };
            if last != Some(edge) {
                if closed.contains(&edge) {
                    return Err(self.not_in_one(edge));
                }
                closed.extend(last);
                last = Some(edge);
            }
        }
        for (edge, said) in self.edges.iter().enumerate() {
            let places: Vec<usize> =
                said.stretches.iter().filter_map(|at| order.iter().position(|other| other == at)).collect();
            if places.windows(2).any(|pair| pair[0] >= pair[1]) {
                return Err(self.not_in_one(edge));
            }
        }
        Ok(order)
    }

    fn not_in_one(&self, edge: usize) -> TextFault {
        let name = &self.edges[edge].name;
        TextFault::new(
            span(&self.map.edges[edge].at),
            format!("the parts of edge `{name}` do not follow one another"),
            "not in one, clockwise",
            "name them clockwise as they stand in the picture, with nothing of another edge between them",
        )
    }

    fn on_seamline(&self, order: &[usize]) -> Result<Piece, TextFault> {
        let unnamed: Vec<String> = order
            .iter()
            .filter(|at| self.owners[**at] == Owner::Nothing)
            .map(|at| self.stretches.label(*at))
            .collect();
        if !unnamed.is_empty() {
            return Err(TextFault::new(
                span(&self.map.outline),
                format!("edges {} of the outline have no name", unnamed.join(", ")),
                "not all of it is named",
                "give each to an edge: two numbers may be one edge, as in at = \"3-4\"; or say drawn = \"cutting-line\"",
            ));
        }
        let mut edges = Vec::new();
        for said in &self.edges {
            let curve = self.seamline(said)?;
            edges.push(said.edge(curve));
        }
        self.sorted(&mut edges, order);
        Piece::new(self.name.clone(), edges).map_err(|refusal| self.refused(&refusal))
    }

    fn sorted(&self, edges: &mut [Edge], order: &[usize]) {
        edges.sort_by_key(|edge| {
            let said = self.edges.iter().find(|said| said.name == edge.name);
            said.and_then(|said| order.iter().position(|at| *at == said.stretches[0]))
        });
    }

    /// The seamline of an edge: its stretches, straight over the mouths of darts that are cut in.
    fn seamline(&self, said: &SaidEdge) -> Result<Curve, TextFault> {
        let mut line: Option<Curve> = None;
        for at in self.span_of(said) {
            let part = self.stretches.curve(at);
            if self.owners[at] == Owner::Nothing || matches!(self.owners[at], Owner::Dart(_)) {
                continue;
            }
            line = Some(match line {
                None => part.clone(),
                Some(before) => self.bridged(&before, part)?,
            });
        }
        line.ok_or_else(|| {
            TextFault::new(span(&self.map.outline), "an edge has no line", "no line", "name its number")
        })
    }

    fn bridged(&self, before: &Curve, part: &Curve) -> Result<Curve, TextFault> {
        let wrong = |error: crate::curve::CurveError| {
            TextFault::new(
                span(&self.map.outline),
                "the parts of an edge do not join",
                error,
                "look at the picture",
            )
        };
        if before.end().distance(part.start()) <= WELD {
            return before.joined_within(part, WELD).map_err(wrong);
        }
        let mouth = Curve::line(before.end(), part.start()).map_err(wrong)?;
        before.joined(&mouth).and_then(|line| line.joined(part)).map_err(wrong)
    }

    /// All stretches from the first of an edge to its last.
    fn span_of(&self, said: &SaidEdge) -> impl Iterator<Item = usize> {
        let count = self.stretches.len();
        let first = said.stretches.first().copied().unwrap_or(0);
        let last = said.stretches.last().copied().unwrap_or(first);
        let length = (last + count - first) % count + 1;
        (0..length).map(move |step| (first + step) % count)
    }

    fn taken_off(&self, order: &[usize]) -> Result<TakenOff, TextFault> {
        let stretches = order.iter().map(|at| {
            let part = match self.owners[*at] {
                Owner::Edge(edge) => DrawnPart::Edge(self.drawn_edge(&self.edges[edge])),
                Owner::Dart(_) | Owner::Nothing => DrawnPart::Corner,
            };
            DrawnStretch { curve: self.stretches.curve(*at).clone(), part }
        });
        let drawn = DrawnCuttingLine {
            stretches: stretches.collect(),
            corners: self.corners()?,
            darts: self.drawn_darts()?,
        };
        take_off(&drawn).map_err(|error| self.not_taken_off(&error))
    }

    fn drawn_edge(&self, said: &SaidEdge) -> DrawnEdge {
        let finish = said.finish.unwrap_or_default();
        let none = finish == Finish::Fold || (finish == Finish::Free && said.selvedge == Selvedge::Yes);
        let allowance = if none { Length::ZERO } else { said.allowance };
        DrawnEdge { name: said.name.clone(), allowance, finish }
    }

    fn drawn_darts(&self) -> Result<Vec<DrawnDart>, TextFault> {
        let mut darts = Vec::new();
        for dart in &self.map.darts {
            let name: DartName = value(&dart.name, "the name of a dart")?;
            let shown = match &dart.drawn {
                Some(word) => match make_darts::drawn_line(self, word)? {
                    line if line.start() == line.end() => continue,
                    line => {
                        let (first, second) = make_darts::legs(word, &name, &line)?;
                        DartShown::Legs(first, second)
                    }
                },
                None => DartShown::Outside,
            };
            let edge = self.dart_edge(dart, &shown)?;
            darts.push(DrawnDart { name, edge, shown });
        }
        Ok(darts)
    }

    /// The edge that a dart opens on: as said, else that around what is cut in, else the nearest to its legs.
    fn dart_edge(&self, dart: &crate::adopt::map::MapDart, shown: &DartShown) -> Result<EdgeName, TextFault> {
        if let Some(word) = &dart.edge {
            let name = value(word, "the name of an edge")?;
            let names = self.edges.iter().map(|edge| edge.name.as_str());
            if self.edges.iter().all(|edge| edge.name != name) {
                let refusal = Refusal::unknown("edge", name.as_str(), &self.name, names.collect::<Vec<_>>());
                return Err(refused_at(span(word), &refusal));
            }
            return Ok(name);
        }
        let place = match (shown, &dart.cut_in) {
            (_, Some(word)) => {
                let first = self.stretches.named(word)?[0];
                Some(self.stretches.curve(first).start())
            }
            (DartShown::Legs(first, _), None) => Some(first.start()),
            _ => None,
        };
        let nearest = place.and_then(|place| {
            let owned = (0..self.stretches.len()).filter_map(|at| match self.owners[at] {
                Owner::Edge(edge) => Some((edge, self.stretches.curve(at).nearest(place).distance)),
                _ => None,
            });
            owned.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(edge, _)| self.edges[edge].name.clone())
        });
        nearest.ok_or_else(|| {
            let way_out = "name the edge it opens on: edge = \"waist\"";
            TextFault::new(span(&dart.name), "it is not known where the dart opens", "no edge", way_out)
        })
    }

    fn not_taken_off(&self, error: &TakeOffError) -> TextFault {
        let said = match error.place() {
            TakeOffPlace::Piece => None,
            TakeOffPlace::Edge(name) => {
                let edge = self.edges.iter().position(|edge| edge.name == *name);
                edge.map(|edge| &self.map.edges[edge])
                    .map(|said| said.allowance.as_ref().unwrap_or(&said.name))
            }
            TakeOffPlace::Dart(name) => {
                self.map.darts.iter().map(|dart| &dart.name).find(|word| text(word).trim() == name.as_str())
            }
        };
        let place = span(said.unwrap_or(&self.map.outline));
        let what = format!("the allowances of piece `{}` cannot be taken off", self.name);
        TextFault::new(
            place,
            what,
            error,
            "look at the allowances, and at which numbers are edges and which corners",
        )
    }

    fn behind_cutting_line(&self, taken: &TakenOff) -> Result<Piece, TextFault> {
        let edges = taken.edges.iter().filter_map(|edge| {
            let said = self.edges.iter().find(|said| said.name == edge.name)?;
            Some(said.edge(without_stubs(&edge.curve)))
        });
        Piece::new(self.name.clone(), edges.collect()).map_err(|refusal| self.refused(&refusal))
    }

    fn unknown(&self, stretch: &UnknownStretch) -> AdoptNote {
        let what = format!(
            "the cutting line does not tell the seamline of `{}` from ({:.1}mm, {:.1}mm) to ({:.1}mm, {:.1}mm), where its \
             allowance was trimmed; it was run on smoothly: look whether that is right, or draw the seamline there",
            stretch.edge, stretch.start.x, stretch.start.y, stretch.end.x, stretch.end.y
        );
        AdoptNote::Unknown { piece: self.name.clone(), what }
    }

    fn corners(&self) -> Result<Vec<crate::pattern::ShapedCorner>, TextFault> {
        let Some(word) = &self.map.corners else { return Ok(Vec::new()) };
        let entries = text(word).split(';').filter(|entry| !entry.trim().is_empty());
        let read = |entry: &str| {
            attributes::corner(entry).ok_or_else(|| {
                let way_out = "write \"side hem: mitre\" with mitre, square, turned-up or jog";
                TextFault::new(
                    span(word),
                    format!("`{}` is not the shape of a corner", entry.trim()),
                    "not known",
                    way_out,
                )
            })
        };
        entries.map(read).collect()
    }

    fn add_corners(&self, piece: &mut Piece) -> Result<(), TextFault> {
        for corner in self.corners()? {
            let word = self.map.corners.as_ref().unwrap_or(&self.map.outline);
            agreed::refuse_apart(piece, &corner).map_err(|refusal| refused_at(span(word), &refusal))?;
            piece.corners.push(corner);
        }
        Ok(())
    }

    fn left_out(&self) -> Option<AdoptNote> {
        let map = self.map;
        let drawn = map.darts.iter().filter_map(|dart| dart.drawn.as_ref());
        let drawn = drawn.chain(map.notches.iter().filter_map(|notch| notch.drawn.as_ref()));
        let drawn = drawn.chain(map.levels.iter().map(|level| &level.drawn));
        let drawn = drawn.chain(map.points.iter().chain(&map.style_lines).map(|mark| &mark.drawn));
        let drawn = drawn.chain(&map.grainline).chain(&map.marks).chain(&map.ignore);
        let said: Vec<&str> = drawn.flat_map(|word| text(word).split_whitespace()).collect();
        if said.contains(&ALL_LINES) {
            return None;
        }
        let lines = self.found.lines_in(self.at).map(|line| line.letter.as_str());
        let letters: Vec<String> = lines.filter(|letter| !said.contains(letter)).map(str::to_owned).collect();
        (!letters.is_empty()).then(|| AdoptNote::LeftOut { piece: self.name.clone(), letters })
    }
}
