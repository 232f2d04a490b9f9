//! `limit-width`.

use clap::Args;
use serde::{Deserialize, Serialize};

use crate::advice;
use crate::allowance::lies_within;
use crate::curve::{Curve, Vec2, angle_between_lines, left_of, right_of};
use crate::pattern::{EdgeId, EdgeRef, Field, Operation, Pattern, Piece, PieceName, Refusal, RefusalKind};
use crate::recut::fields::WidthToKeep;
use crate::recut::line::cut_along;
use crate::recut::open_centre::open_fold;
use crate::recut::part_names::{PartNames, left_and_right, told_by_edges};
use crate::recut::split::{CutJoint, split_by_hand};
use crate::recut::symmetry::{extent, fold_line};
use crate::recut::{Notice, WhyNothing, Work};
use crate::tolerance::{BESIDE_DART, FOLD_ON_GRAIN, SAME_CUT};
use crate::units::Length;

/// How many panels more than the fewest are tried where edges slant so that their allowances reach past a new seam's.
const MOST_MORE: usize = 3;

/// How often the line that cuts a panel off is moved so that the panel has its width: the width grows as the line moves
/// out, all but evenly: by the growth that was seen last, the third place is within a thousandth of a millimetre where it
/// is. The others are for lines that fall on darts.
const FITTED: usize = 8;

/// How often the widths of so many panels are balanced once they fit: each time halves what is left between too wide and too
/// narrow, and after six it is within two hundredths of what there was.
const BALANCED: usize = 6;

/// How often a width is sought with which so many panels fit at all: of the metre that a cloth may be wide it leaves a
/// thousandth of a millimetre.
const SOUGHT: usize = 20;

/// Cut a piece into the fewest panels no wider than a given width.
#[derive(Clone, Debug, PartialEq, Args, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LimitWidth {
    /// The piece.
    #[arg(long, value_name = "PIECE")]
    pub piece: PieceName,
    /// Most width of a panel as it is cut: opened out, allowances included.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub width: WidthToKeep,
}

impl LimitWidth {
    /// A piece in as few panels as a width needs.
    ///
    /// # Examples
    ///
    /// ```
    /// use retrue::allowance::as_cut;
    /// use retrue::recut::{LimitWidth, Step};
    ///
    /// # let sheet = std::fs::read("fixtures/coat.svg")?;
    /// let coat = retrue::sheet::read(&sheet, &Default::default())?.pattern;
    /// let narrow = Step::from(LimitWidth::of("back".parse()?, "30cm".parse()?)).apply(&coat)?.pattern;
    /// for panel in ["back-centre", "back-side"] {
    ///     assert!(as_cut(&narrow, narrow.piece(&panel.parse()?)?)?.width() <= 300.0);
    /// }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn of(piece: PieceName, width: Length) -> LimitWidth {
        LimitWidth { piece, width: width.into() }
    }
}

pub(super) fn limit_width(step: &LimitWidth, work: &mut Work) -> Result<(), Refusal> {
    let piece = work.piece(&step.piece)?;
    piece.grain()?;
    let (whole, limit) = (work.as_cut(piece.name())?.width(), step.width.given(piece.name())?.mm());
    if lies_within(whole, limit) {
        let why = WhyNothing::Fits { width: Length::from_mm(whole) };
        work.tell(Notice::NothingToDo { at: piece.name().to_string(), why });
        return Ok(());
    }
    refuse_fold_off_grain(&piece)?;
    let (allowance, centre) = (piece.usual_allowance(), work.pattern.centre_edge(&piece));
    let fewest = fewest_panels(&piece, whole, limit, allowance)?;
    for count in fewest..=fewest + MOST_MORE {
        let even = even_width(whole, allowance, count);
        if count > fewest && even < narrowest_panel(allowance) {
            break;
        }
        if let Some((mut cut, widest)) = balanced(work, (narrowest_panel(allowance), even), limit, |width| {
            let panels = Panels { piece: &piece, centre, allowance, count, width };
            panels.refuse_narrow(limit).map(|()| panels)
        })? {
            let widest = Length::from_mm(widest);
            cut.tell(Notice::Panels { piece: piece.name().clone(), count, widest });
            *work = cut;
            return Ok(());
        }
    }
    Err(too_narrow(&piece, limit, "its edges slant so much that no number of panels fits"))
}

/// The pattern with the piece cut in panels that are no wider than the limit, and the width of the widest; none where there
/// are no such panels.
///
/// Panels of even width are tried first. Where the outermost is too wide, because its edges slant outward, the others take
/// more of the width: all of the limit leaves it the least, so that if it is too wide then, so many panels do not do. Else
/// the widths are balanced.
fn balanced<'a>(
    work: &Work,
    (narrowest, even): (f64, f64),
    limit: f64,
    panels_of: impl Fn(f64) -> Result<Panels<'a>, Refusal>,
) -> Result<Option<(Work, f64)>, Refusal> {
    let cut = |width: f64| {
        let mut attempt = work.clone();
        let widths = panels_of(width)?.cut(&mut attempt)?;
        Ok::<_, Refusal>((attempt, widths))
    };
    let (mut low, mut high, mut width) = match cut(even) {
        Ok((attempt, widths)) if lies_within(widths.widest(), limit) => {
            return Ok(Some((attempt, widths.widest())));
        }
        Ok(_) => (even, limit, limit),
        // Corners that stand out make the whole wider than its seamlines, so that nothing may be left for the outermost.
        Err(refusal) if refusal.kind == RefusalKind::BadLine => {
            (narrowest, even, f64::midpoint(narrowest, even))
        }
        Err(refusal) => return Err(refusal),
    };
    let mut best: Option<(Work, f64)> = None;
    for halved in 0..=SOUGHT {
        if halved > BALANCED && best.is_some() {
            break;
        }
        // Panels so wide that nothing is left for the outermost are refused.
        match cut(width) {
            Ok((attempt, found)) => {
                let fits = lies_within(found.widest(), limit);
                if fits && best.as_ref().is_none_or(|(_, widest)| found.widest() < *widest) {
                    best = Some((attempt, found.widest()));
                }
                if width == limit && !lies_within(found.outermost, limit) {
                    return Ok(None);
                }
                *(if found.outermost > found.inner { &mut low } else { &mut high }) = width;
            }
            Err(_) => high = width,
        }
        width = f64::midpoint(low, high);
    }
    Ok(best)
}

/// How wide panels are as they are cut, mm.
struct PanelWidths {
    /// The widest of those before the outermost; nothing where it is the only one.
    inner: f64,
    /// The last of them, which has the piece's own outer edges.
    outermost: f64,
}

/// A bound, never told: the width of each of so many panels of equal width as they are cut, the whole and two allowances
/// for each new seam. The widest panel is no narrower, since each seam's allowances come on top of the whole.
fn even_width(whole: f64, allowance: Length, count: usize) -> f64 {
    (whole + 2.0 * allowance.mm() * (count as f64 - 1.0)) / count as f64
}

/// The least width of a panel as it is cut: as much between its allowances as in them, mm.
fn narrowest_panel(allowance: Length) -> f64 {
    4.0 * allowance.mm()
}

/// A bound, where the search begins: the least count of panels whose [`even_width`] is within the limit.
fn fewest_panels(piece: &Piece, whole: f64, limit: f64, allowance: Length) -> Result<usize, Refusal> {
    let both = 2.0 * allowance.mm();
    if limit <= narrowest_panel(allowance) || limit <= SAME_CUT {
        return Err(too_narrow(piece, limit, "a panel would be narrower than its own allowances"));
    }
    Ok(((whole - both) / (limit - both) - SAME_CUT / limit).ceil() as usize)
}

fn too_narrow(piece: &Piece, limit: f64, why: &str) -> Refusal {
    Refusal::new(
        RefusalKind::BadWidth,
        piece.name(),
        format!("the piece cannot be cut in panels {:.1} mm wide: {why}", limit),
        "give a greater width, or smaller allowances",
    )
}

fn refuse_fold_off_grain(piece: &Piece) -> Result<(), Refusal> {
    let Some(fold) = piece.fold() else { return Ok(()) };
    let (axis, grain) = (fold_line(piece, fold)?, piece.grain_or_down());
    let degrees = angle_between_lines(axis.along, grain).degrees();
    if degrees <= FOLD_ON_GRAIN {
        return Ok(());
    }
    Err(Refusal::new(
        RefusalKind::NotOfThatSort,
        format!("{}.{}", piece.name(), piece.edge(fold).name),
        format!("the fold stands {degrees:.1}° off the grain, along which the panels are cut"),
        advice!("open the piece out first: ", Operation::Unfold.with(Field::Piece, piece.name())),
    ))
}

impl PanelWidths {
    fn widest(&self) -> f64 {
        self.inner.max(self.outermost)
    }
}

/// How a piece is cut in panels.
struct Panels<'a> {
    piece: &'a Piece,
    centre: Option<EdgeId>,
    allowance: Length,
    /// How many there are of the piece opened out.
    count: usize,
    /// How wide each is as it is cut, opened out.
    width: f64,
}

impl Panels<'_> {
    fn refuse_narrow(&self, limit: f64) -> Result<(), Refusal> {
        if self.width < narrowest_panel(self.allowance) {
            return Err(too_narrow(self.piece, limit, "a panel would be narrower than its own allowances"));
        }
        Ok(())
    }

    /// Cuts the piece; gives the widths of the panels as they are cut. A half piece keeps a panel on the fold where the
    /// count is odd; where it is even the fold becomes a seam.
    fn cut(&self, work: &mut Work) -> Result<PanelWidths, Refusal> {
        let so_far = work.notices.len();
        let mut rest = self.piece.clone();
        let step = self.width - 2.0 * self.allowance.mm();
        let (first, drawn) = match (self.piece.fold(), self.count % 2) {
            (Some(fold), 1) => (self.off_fold(fold) + step / 2.0, self.count.div_ceil(2)),
            (Some(fold), _) => {
                open_fold(work, &rest, fold)?;
                rest = work.piece(rest.name())?;
                (self.off_fold(fold) + step, self.count / 2)
            }
            (None, _) => {
                let (from, _) = work.as_cut(self.piece.name())?.span_on_sheet(self.outward());
                (from + self.width - self.allowance.mm(), self.count)
            }
        };
        let names: Vec<PieceName> = match drawn {
            1 => vec![self.piece.name().clone()],
            _ => self.names(&work.pattern, drawn),
        };
        let mut at = first;
        for pair in names.windows(2) {
            let seam = self.cut_to_width(work, &rest, at, pair)?;
            rest = work.piece(&pair[1])?;
            let (piece, id) = work.pattern.edge(&seam)?;
            at = piece.edge(id).curve.start().to_vec2().dot(self.outward()) + step;
        }
        if drawn > 1 {
            self.tell_panels(work, so_far, &names);
        }
        let widths = names.iter().map(|name| work.as_cut(name).map(|cut| cut.width()));
        let mut widths = widths.collect::<Result<Vec<f64>, Refusal>>()?;
        let outermost = widths.pop().unwrap_or_default();
        Ok(PanelWidths { inner: widths.into_iter().fold(0.0, f64::max), outermost })
    }

    /// What so many panels are called, from the first on: by where they lie, or by numbers where there are too many for words.
    fn names(&self, pattern: &Pattern, count: usize) -> Vec<PieceName> {
        let name = self.piece.name();
        let words = match (self.piece.fold(), self.centre) {
            (None, None) => self.told_by_edges(pattern).or_else(|| left_and_right(self.piece)),
            _ => Some(["centre", "side"]),
        };
        let names: Vec<PieceName> = match (words, count) {
            (Some([first, last]), 2) => vec![name.with(first), name.with(last)],
            (Some([first, last]), 3) => vec![name.with(first), name.with("middle"), name.with(last)],
            _ => (1..=count).map(|number| name.part(number)).collect(),
        };
        names.into_iter().map(|name| pattern.free_name(name)).collect()
    }

    /// What the first and the last panel are called by the edges that lie on either side of the piece's middle.
    fn told_by_edges(&self, pattern: &Pattern) -> Option<[&'static str; 2]> {
        let out = self.outward();
        let reach = |id: EdgeId| extent([&self.piece.edge(id).curve], out);
        let whole = self.piece.edge_ids().map(reach);
        let (low, high) = whole.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
        let middle = f64::midpoint(low, high);
        let own = |lies: &dyn Fn((f64, f64)) -> bool| -> Vec<EdgeId> {
            self.piece.edge_ids().filter(|id| lies(reach(*id))).collect()
        };
        let (first, last) = (own(&|(_, high)| high <= middle), own(&|(low, _)| low >= middle));
        told_by_edges(pattern, self.piece, [&first, &last])
    }

    /// Square to the grain: away from the fold or the centre edge, else to the right where the grain runs down.
    fn outward(&self) -> Vec2 {
        let grain = self.piece.grain_or_down();
        let right = left_of(grain);
        let Some(centre) = self.centre else { return right };
        let centre = &self.piece.edge(centre).curve;
        let to_middle = self.piece.bounds().center() - centre.point_at(centre.length() / 2.0);
        if to_middle.dot(right) < -SAME_CUT { -right } else { right }
    }

    fn off_fold(&self, fold: EdgeId) -> f64 {
        let curve = &self.piece.edge(fold).curve;
        curve.start().midpoint(curve.end()).to_vec2().dot(self.outward())
    }

    /// Cuts a panel off so that it is as wide as it should be, as it is cut: a hem that slants stands out beyond the seam
    /// where it is turned up, so that the seam must stand further in. Where a dart is in the way the seam stands before it.
    /// Gives the new edge of the rest.
    fn cut_to_width(
        &self,
        work: &mut Work,
        rest: &Piece,
        mut at: f64,
        names: &[PieceName],
    ) -> Result<EdgeRef, Refusal> {
        let (mut cut, mut last) = (None, None::<(f64, f64)>);
        let mut in_the_way = None;
        for _ in 0..FITTED {
            let mut attempt = work.clone();
            match self.cut_off(&mut attempt, rest, at, names) {
                Ok(seam) => {
                    let over = attempt.as_cut(&names[0])?.width() - self.width;
                    // A panel on the fold grows at both sides; one whose hem slants, by more than the seam moves.
                    let sides = if attempt.piece(&names[0])?.fold().is_some() { 2.0 } else { 1.0 };
                    let by_last = last.map(|(seam, was)| (over - was) / (at - seam));
                    let growth = by_last.filter(|growth| *growth >= sides / 2.0).unwrap_or(sides);
                    last = Some((at, over));
                    at -= over / growth;
                    if over <= SAME_CUT {
                        cut = Some((attempt, seam));
                    }
                    if over.abs() <= SAME_CUT {
                        break;
                    }
                }
                Err(refusal) => {
                    let Some(before) = self.before_dart(rest, at) else { return Err(refusal) };
                    in_the_way = Some(refusal);
                    if last.is_some_and(|(seam, over)| over <= SAME_CUT && seam >= before - SAME_CUT) {
                        break;
                    }
                    at = before;
                }
            }
        }
        match (cut, in_the_way) {
            (Some((attempt, seam)), _) => {
                *work = attempt;
                Ok(seam)
            }
            (None, Some(refusal)) => Err(refusal),
            (None, None) => self.cut_off(work, rest, at, names),
        }
    }

    /// Where a line along the grain just does not cross the dart that it would cross here: on the dart's inner side; none
    /// where no dart is.
    fn before_dart(&self, rest: &Piece, at: f64) -> Option<f64> {
        let reaches = rest.darts.iter().map(|dart| extent(<[&Curve; 2]>::from(dart.legs()), self.outward()));
        let over = reaches.filter(|(near, far)| (*near..*far).contains(&at));
        over.map(|(near, _)| near - BESIDE_DART).min_by(f64::total_cmp)
    }

    /// Cuts a panel off along the grain; gives the new edge of the rest.
    fn cut_off(
        &self,
        work: &mut Work,
        rest: &Piece,
        at: f64,
        names: &[PieceName],
    ) -> Result<EdgeRef, Refusal> {
        let out = self.outward();
        let along = right_of(out);
        let middle = rest.bounds().center().to_vec2();
        let foot = (out * at + along * middle.dot(along)).to_point();
        let bounds = rest.bounds();
        let reach = bounds.width() + bounds.height();
        let line = Curve::line(foot - along * reach, foot + along * reach)?;
        let cut = cut_along(rest, &line)?;
        // The line runs so that what lies outward is on its left.
        let names = PartNames { right: names[0].clone(), left: names[1].clone() };
        let joint = CutJoint { allowance: self.allowance, word: "seam" };
        split_by_hand(work, rest, &cut, names, &joint).map(|(_, second)| second)
    }

    /// Tells of the panels as made of the piece, in place of how they were cut one after another.
    fn tell_panels(&self, work: &mut Work, since: usize, names: &[PieceName]) {
        work.untell(since, |notice| matches!(notice, Notice::PieceMade { .. }));
        for name in names {
            work.tell(Notice::PieceMade { piece: name.clone(), from: vec![self.piece.name().clone()] });
        }
    }
}
