//! Setting the texts of a piece where its lines leave room.

use kurbo::{Affine, Rect, Shape};

use crate::allowance::Halves;
use crate::canvas::{
    AIR, Drawing, Font, Label, LabelRoom, LabelSpot, Layer, LineKind, TextLine, Tone, block, broken, straight,
};
use crate::curve::{Curve, Point, Vec2};
use crate::pattern::{EdgeId, Finish};
use crate::show::piece::legend::Legend;
use crate::show::piece::lines::{PieceLines, fold_arrow, outward};
use crate::show::piece::spots::{
    GAPS, SHARES, around_point, beside_curve, beside_line, dart_spots, mark_spots, title_spots,
};
use crate::show::piece::style::{OtherLines, Shows};
use crate::show::piece::texts::Texts;
use crate::show::piece::words;
use crate::tolerance::{LEAST_PRINTED, SAME_CUT};
use crate::truing::narrowed;

/// Heights of the font along edges, mm, the one that is wished first.
const SMALL: [f64; 4] = [3.2, 2.8, 2.4, LEAST_PRINTED];

/// The longest line that is wished, mm: beyond it the text is broken.
const LONGEST: f64 = 80.0;

/// Heights of the font of numbers that stand for a text, mm.
const NUMBER: [f64; 2] = [2.4, LEAST_PRINTED];

/// Greatest and least font height of a title, mm, and what share of the lesser side of its piece it is.
const TITLE: (f64, f64, f64) = (16.0, LEAST_PRINTED, 0.1);

/// Height of the lines under a title, as a share of it, where that leaves them as large as is readable.
const UNDER_TITLE: f64 = 0.5;

/// Height of the lines under a title from which they are read at the cutting table, mm: seven points.
const READABLE: f64 = 2.5;

/// Air that is wished around a title, mm, and the share of the wished height down to which it is; down to which share at
/// least nothing is left out of it.
const TITLE_AIR: [(f64, f64); 2] = [(12.0, 0.7), (5.0, 0.5)];
const STILL_LARGE: f64 = 0.6;

/// By how much a title that has no room is made smaller.
const SMALLER: f64 = 0.85;

/// An edge bears its text once for each stretch of this length, mm: about what a page shows of it.
const EACH: f64 = 380.0;

/// How far outside the cutting line a number is led, mm.
const LED: [f64; 4] = [4.0, 7.0, 11.0, 16.0];

/// How long the line is that leads into a piece from where an allowance narrows, mm, and by how much it is turned from square
/// to the edge, radians: all are tried.
const POINTED: [f64; 5] = [4.0, 8.0, 14.0, 22.0, 32.0];
const POINTED_ASIDE: [f64; 5] = [0.0, 0.5, -0.5, 1.0, -1.0];

/// Depths of a fold's bent arrow, mm, and the stretches of the fold that are tried for it.
const FOLD_DEPTHS: [f64; 3] = [14.0, 10.0, 7.5];
const FOLD_STRETCHES: [(f64, f64); 5] = [(0.25, 0.75), (0.1, 0.45), (0.55, 0.9), (0.3, 0.6), (0.4, 0.55)];

/// How far a fold's bent arrow keeps off the grainline, mm, or it would be taken for a part of it.
const OFF_GRAIN: f64 = 3.0;

/// A piece whose lines stand, to be labelled.
pub(super) struct Labelling<'a> {
    pub texts: Texts<'a>,
    pub lines: &'a PieceLines,
    /// The motion from the sheet to the lines.
    pub turned: Affine,
    /// Other lines that texts keep clear of.
    pub others: OtherLines<'a>,
}

/// What is being set.
struct Set {
    room: LabelRoom,
    drawing: Drawing,
    legend: Legend,
    magnified: f64,
}

impl Set {
    fn put(&mut self, labels: Vec<Label>) {
        self.drawing.labels.extend(labels);
    }

    /// Sets a text in the first way that has room.
    fn text(&mut self, text: &str, sizes: &[f64], spots: &[LabelSpot]) -> bool {
        let sizes: Vec<f64> = sizes.iter().map(|size| size * self.magnified).collect();
        let width = Font::get().width(text) * sizes.first().copied().unwrap_or_default();
        let wished = ((width / LONGEST / self.magnified).ceil() as usize).clamp(1, 3);
        let settings: Vec<Vec<TextLine>> =
            (wished..=3).chain((1..wished).rev()).map(|lines| broken(text, lines)).collect();
        let labels = self.room.set(&settings, &sizes, spots);
        let set = labels.is_some();
        self.put(labels.unwrap_or_default());
        set
    }

    /// Sets a text; where there is no room a number that stands for it, led out if need be; at the least the legend
    /// tells it.
    fn text_or_number(&mut self, text: String, spots: &[LabelSpot], led: &[(Point, Vec2)]) {
        if self.text(&text, &SMALL, spots) {
            return;
        }
        let number = self.legend.next_number();
        let numbered = self.text(&number.to_string(), &NUMBER, spots) || self.led(number, led);
        self.legend.entries.push((numbered.then_some(number), text));
    }

    /// A number outside the piece with a line to a place on its cutting line.
    fn led(&mut self, number: usize, places: &[(Point, Vec2)]) -> bool {
        let setting = [(number.to_string(), 1.0)];
        for length in LED {
            for (from, away) in places {
                let end = *from + *away * (length * self.magnified);
                let spot = LabelSpot::Beside {
                    on: end,
                    away: *away,
                    gap: 0.8 * self.magnified,
                    along: Vec2::new(1.0, 0.0),
                };
                let labels = block(&setting, spot, NUMBER[0] * self.magnified);
                let start = *from + *away;
                if self.room.is_free_outside(&labels, (start, end)) {
                    labels.iter().for_each(|label| self.room.block_label(label));
                    self.put(labels);
                    let leader = straight(start, end);
                    self.room.block_path(&leader);
                    self.drawing.stroke(LineKind::Leader, leader);
                    return true;
                }
            }
        }
        false
    }
}

impl Labelling<'_> {
    /// The bent arrow of a fold, and all labels.
    pub(super) fn done(&self) -> (Drawing, Drawing) {
        let magnified = self.texts.style.magnified;
        let mut room = LabelRoom::within(std::slice::from_ref(&self.lines.outline), magnified);
        self.others.drawn.iter().for_each(|path| room.block_path(path));
        self.others.joins.iter().for_each(|path| room.join_at(path));
        for stroke in &self.lines.drawing.strokes {
            match stroke.kind.layer() {
                Layer::Stitching => room.block_seamline(&stroke.path),
                _ => room.block_path(&stroke.path),
            }
        }
        for fill in &self.lines.drawing.fills {
            room.block_path(&fill.path);
        }
        let mut set = Set { room, drawing: Drawing::default(), legend: Legend::default(), magnified };
        let fold_arrow = self.fold_arrow(&mut set);
        self.title(&mut set);
        if !self.texts.style.shows.is_shape() {
            self.narrowings(&mut set);
            self.edges(&mut set);
            self.marks(&mut set);
        }
        let everything = [Some(self.bounds()), set.drawing.bounds()];
        let bounds = everything.into_iter().flatten().reduce(|a, b| a.union(b)).unwrap_or_default();
        let legend = set.legend.under(&self.texts.called(), bounds, magnified);
        set.drawing.add(legend);
        (fold_arrow, set.drawing)
    }

    fn bounds(&self) -> Rect {
        self.lines.outline.bounding_box()
    }

    /// The bent arrow where it crosses nothing but levels, or none.
    fn fold_arrow(&self, set: &mut Set) -> Drawing {
        let mut drawing = Drawing::default();
        let piece = self.texts.piece;
        let (Some(fold), Halves::OnFold) = (piece.fold(), self.texts.style.halves) else { return drawing };
        let fold = &piece.edge(fold).curve;
        let crossable = |kind| matches!(kind, LineKind::Level | LineKind::Fold);
        let grain =
            piece.grainline.as_ref().map(|grain| (self.turned * grain.start, self.turned * grain.end));
        let blocking: Vec<_> = self
            .lines
            .drawing
            .strokes
            .iter()
            .filter(|stroke| !crossable(stroke.kind))
            .filter_map(|stroke| Curve::from_path(&stroke.path).ok())
            .collect();
        for depth in FOLD_DEPTHS.map(|depth| depth * set.magnified) {
            for (from, to) in FOLD_STRETCHES {
                let stretch = (fold.length() * from, fold.length() * to);
                let (path, arrows) = fold_arrow(fold, stretch, depth);
                let (path, arrows) = (self.turned * path, arrows.map(|arrow| self.turned * arrow));
                let free = Curve::from_path(&path).is_ok_and(|bent| {
                    self.is_inside(bent.point_at(bent.length() / 2.0))
                        && blocking.iter().all(|line| bent.crossings(line).is_empty())
                        && grain.is_none_or(|grain| is_off(&bent, grain, OFF_GRAIN * set.magnified))
                });
                if free {
                    arrows.iter().chain([&path]).for_each(|path| set.room.block_path(path));
                    drawing.stroke(LineKind::Grainline, path);
                    for arrow in arrows {
                        drawing.fill(arrow, Tone::Black, Layer::Marks);
                    }
                    return drawing;
                }
            }
        }
        drawing
    }

    fn is_inside(&self, place: Point) -> bool {
        self.lines.outline.contains(place)
    }

    fn title(&self, set: &mut Set) {
        let bounds = self.bounds();
        let magnified = set.magnified;
        let (most, least, share) = (TITLE.0 * magnified, TITLE.1 * magnified, TITLE.2);
        let first = (bounds.width().min(bounds.height()) * share).clamp(least * 1.5, most);
        let sizes: Vec<f64> = std::iter::successors(Some(first), |size| Some(size * SMALLER))
            .take_while(|size| *size >= least)
            .collect();
        let spots = title_spots(bounds, self.grain());
        let larger = |share: f64| sizes.iter().copied().filter(move |size| *size >= first * share);
        let mut tries: Vec<(f64, f64, usize)> = Vec::new();
        for (air, share) in TITLE_AIR {
            tries.extend(larger(share).map(|size| (size, air * magnified, 1)));
        }
        tries.extend(larger(STILL_LARGE).map(|size| (size, AIR * magnified, 2)));
        tries.extend(larger(0.0).map(|size| (size, AIR * magnified, usize::MAX)));
        let ways = set.room.over_joins().iter();
        let mut tries = ways.flat_map(|over| tries.iter().map(|tried| (*over, *tried)));
        let labels = tries.find_map(|(over, (size, air, settings))| {
            let lines = self.title_lines((READABLE * magnified / size).clamp(UNDER_TITLE, 1.0));
            let lines = &lines[..lines.len().min(settings)];
            set.room.set_over(lines, &[size], spots.iter().copied(), (air, over))
        });
        match labels {
            Some(labels) => set.put(labels),
            None => {
                let texts = &self.texts;
                set.legend.title = vec![texts.called()];
                if !texts.style.shows.is_shape() {
                    set.legend.title.push(format!("{}, {}", texts.count(), texts.cloth()));
                    set.legend.title.extend(texts.style.garment.clone());
                }
            }
        }
    }

    /// How a title may be broken into lines, the one that is wished first; those under the name have a share of its height.
    fn title_lines(&self, share: f64) -> Vec<Vec<TextLine>> {
        let texts = &self.texts;
        let (name, count, cloth) = (texts.called(), texts.count(), texts.cloth());
        if texts.style.shows.is_shape() {
            return vec![vec![(name, 1.0)]];
        }
        let both = format!("{count}, {cloth}");
        let garment = texts.style.garment.clone().map(|garment| (garment, share));
        let with = |mut lines: Vec<TextLine>| {
            lines.extend(garment.clone());
            lines
        };
        let apart = vec![(name.clone(), 1.0), (count, share), (cloth, share)];
        let joined = vec![(name.clone(), 1.0), (both.clone(), share)];
        let one = vec![(format!("{name}: {both}"), share.max(0.8))];
        let mut all = vec![with(apart.clone()), with(joined.clone())];
        if texts.style.garment.is_some() {
            all.extend([apart, joined, with(one.clone())]);
        }
        all.push(one);
        all
    }

    fn grain(&self) -> Option<Vec2> {
        let grain = self.texts.piece.grainline.as_ref()?;
        let (start, end) = (self.turned * grain.start, self.turned * grain.end);
        Some((end - start).normalize())
    }

    fn edges(&self, set: &mut Set) {
        for id in self.texts.piece.edge_ids() {
            let curve = &self.texts.piece.edge(id).curve;
            let times = match self.texts.style.shows {
                Shows::Cutting => (curve.length() / EACH).round().max(1.0) as usize,
                Shows::Lengths | Shows::SeamlineLengths | Shows::Shape | Shows::SeamlineShape => 1,
            };
            let text = self.texts.edge(id);
            for i in 0..times {
                let stretch = (i as f64 / times as f64, (i + 1) as f64 / times as f64);
                let spots = self.edge_spots(id, stretch);
                let wishes = [(spots.clone(), i == 0), (self.mirrored(&spots), false)];
                for (spots, needed) in wishes.into_iter().filter(|(spots, _)| !spots.is_empty()) {
                    if needed && !set.text(&text, &SMALL, &spots) {
                        let all = self.edge_spots(id, (0.0, 1.0));
                        set.text_or_number(text.clone(), &all, &self.led_from(id));
                    } else if !needed {
                        set.text(&text, &SMALL[..3], &spots);
                    }
                }
            }
        }
    }

    /// Where an allowance narrows: what is left, at a line to the place.
    fn narrowings(&self, set: &mut Set) {
        if self.texts.style.shows != Shows::Cutting {
            return;
        }
        for shortage in self.texts.line.shortages(self.texts.piece) {
            let edge = self.texts.piece.edge(shortage.edge);
            let (on, along) = (edge.curve.point_at(shortage.at), edge.curve.tangent_at(shortage.at));
            let inward = -outward(edge, shortage.at);
            // Two edges may be short at one corner.
            let text = format!("{}: {}", edge.name, narrowed(shortage.left, self.texts.style.unit));
            let ways = POINTED.into_iter().flat_map(|long| POINTED_ASIDE.map(|aside| (long, aside)));
            let ends = ways.map(|(long, aside)| {
                let away = inward * f64::cos(aside) + along * f64::sin(aside);
                (away, on + away * (long * set.magnified))
            });
            let clear =
                |room: &LabelRoom, end| room.is_clear_of_labels((self.turned * on, self.turned * end));
            let (own, others): (Vec<_>, Vec<_>) =
                ends.partition(|(_, end)| self.is_nearest(shortage.edge, *end));
            // Along its own edge first: at a corner another edge may be short as well, along which a text would be read as its.
            let along_own = own.iter().map(|end| (end, 1));
            let tries = along_own.chain(own.iter().chain(&others).map(|end| (end, usize::MAX)));
            let led = tries.into_iter().find_map(|((away, end), most)| {
                let (away, end) = (*away, *end);
                if !clear(&set.room, end) {
                    return None;
                }
                let beside = |along| LabelSpot::Beside { on: end, away, gap: GAPS[0], along };
                let mut spots = self.turned(vec![beside(along), beside(inward)]);
                let level = Vec2::new(1.0, 0.0);
                let (tip, back) = (self.turned * end, self.turned * (end - away));
                spots.push(LabelSpot::Beside { on: tip, away: tip - back, gap: GAPS[0], along: level });
                spots.truncate(most);
                set.text(&text, &SMALL, &spots).then(|| self.turned * straight(on, end))
            });
            match led {
                Some(pointer) => {
                    set.room.block_path(&pointer);
                    set.drawing.stroke(LineKind::Leader, pointer);
                }
                None => set.text_or_number(text, &[], &self.led_from(shortage.edge)),
            }
        }
    }

    /// Whether no other edge passes nearer to a place than one does.
    fn is_nearest(&self, edge: EdgeId, to: Point) -> bool {
        let piece = self.texts.piece;
        let off = |id: EdgeId| piece.edge(id).curve.nearest(to).distance;
        piece.edge_ids().filter(|id| *id != edge).all(|other| off(edge) < off(other))
    }

    /// The spots on the other half of an opened piece.
    fn mirrored(&self, spots: &[LabelSpot]) -> Vec<LabelSpot> {
        let Some(mirror) = self.lines.mirror else { return Vec::new() };
        let motion = self.turned * mirror * self.turned.inverse();
        spots.iter().map(|spot| spot.moved(motion)).collect()
    }

    /// In the allowance of an edge first, then inside along it.
    fn edge_spots(&self, id: EdgeId, (from, to): (f64, f64)) -> Vec<LabelSpot> {
        let edge = self.texts.piece.edge(id);
        let length = edge.curve.length();
        let places: Vec<(Point, Vec2, Vec2)> = SHARES
            .iter()
            .map(|share| length * (from + (to - from) * (0.5 + share)))
            .map(|at| (edge.curve.point_at(at), edge.curve.tangent_at(at), outward(edge, at)))
            .collect();
        let band = edge.cut_allowance().mm();
        let in_band = places
            .iter()
            .filter(|_| band > LEAST_PRINTED)
            .map(|(on, along, out)| LabelSpot::Middle { at: *on + *out * (band / 2.0), along: *along });
        let inside = GAPS.iter().flat_map(|gap| {
            places.iter().map(|(on, along, out)| LabelSpot::Beside {
                on: *on,
                away: -*out,
                gap: *gap,
                along: *along,
            })
        });
        let inside: Vec<LabelSpot> = inside.collect();
        let spots: Vec<LabelSpot> = match edge.finish {
            Finish::Fold => inside,
            _ => in_band.chain(inside).collect(),
        };
        spots.into_iter().map(|spot| spot.moved(self.turned)).collect()
    }

    /// Places on the cutting line beside an edge from which a number can be led, and the way outward.
    fn led_from(&self, id: EdgeId) -> Vec<(Point, Vec2)> {
        let edge = self.texts.piece.edge(id);
        let place = |share: &f64| {
            let at = edge.curve.length() * (0.5 + share);
            let (on, out) = (edge.curve.point_at(at), outward(edge, at));
            let cut = match edge.cut_allowance().mm() {
                added if added > SAME_CUT && self.texts.style.shows.has_allowances() => {
                    self.texts.line.met_from(on, out)?
                }
                _ => on,
            };
            let turned = self.turned * (cut + out) - self.turned * cut;
            Some((self.turned * cut, turned))
        };
        SHARES.iter().filter_map(place).collect()
    }

    /// The names of darts, levels, points, style lines and the grain.
    fn marks(&self, set: &mut Set) {
        let piece = self.texts.piece;
        for dart in &piece.darts {
            set.text_or_number(self.texts.dart(dart), &self.turned(dart_spots(dart)), &[]);
        }
        for point in &piece.points {
            let around = around_point(point.at, point.radius);
            set.text_or_number(point.name.to_string(), &self.turned(around), &[]);
        }
        for level in &piece.levels {
            let longest =
                level.stretches.iter().max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
            if let Some((from, to)) = longest {
                let spots = self.turned(beside_line(*from, *to));
                set.text_or_number(level.name.to_string(), &spots, &[]);
            }
        }
        for style in &piece.style_lines {
            let curve = &style.curve;
            set.text_or_number(style.name.to_string(), &self.turned(beside_curve(curve)), &[]);
        }
        if let Some(grain) = &piece.grainline {
            let spots = self.turned(beside_line(grain.start, grain.end));
            set.text(self.texts.grain(), &SMALL, &spots);
        }
        for mark in &piece.marks {
            if let Some(text) = words::of(mark) {
                set.text_or_number(text, &self.turned(mark_spots(mark)), &[]);
            }
        }
    }

    fn turned(&self, spots: Vec<LabelSpot>) -> Vec<LabelSpot> {
        spots.into_iter().map(|spot| spot.moved(self.turned)).collect()
    }
}

/// Whether a straight line keeps so far off a curve, mm, at its ends and between.
fn is_off(curve: &Curve, (from, to): (Point, Point), reach: f64) -> bool {
    let mut places = (0..=20).map(|i| from.lerp(to, f64::from(i) / 20.0));
    places.all(|place| curve.nearest(place).distance > reach)
}
