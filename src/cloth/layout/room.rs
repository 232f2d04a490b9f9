//! The room that panels have for a piece: shape against shape, each piece by itself.
//!
//! By the polygons that a layout is searched with, so that what has room is what can be laid.

use kurbo::Point;

use crate::allowance::{AsCut, turned};
use crate::cloth::Cloth;
use crate::cloth::layout::copies::PieceCopy;
use crate::cloth::layout::polygon::around;
use crate::cloth::layout::sheets::Ground;
use crate::cloth::layout::turns::turns;
use crate::curve::Slices;
use crate::pattern::Piece;
use crate::tolerance::{LAID_OVER, PANEL_TILTS};
use crate::units::Angle;

/// The panels of a cloth, each kind once.
pub(in crate::cloth) struct PanelRooms<'a> {
    cloth: &'a Cloth,
    panels: Vec<Slices>,
}

impl<'a> PanelRooms<'a> {
    pub(in crate::cloth) fn of(cloth: &'a Cloth) -> PanelRooms<'a> {
        let panels = cloth.panels().iter().map(|panel| Ground::of_panel(cloth, panel, 1).inside());
        PanelRooms { cloth, panels: panels.map(|border| Slices::of(&border)).collect() }
    }

    /// The greatest width that a panel has all along a length, mm; none where none is that long.
    pub(in crate::cloth) fn width_over(&self, length: f64) -> Option<f64> {
        self.panels.iter().filter_map(|panel| panel.widest_over(length)).reduce(f64::max)
    }

    /// By how much a panel would have to be wider all along for a piece to lie in it with its grain a way, mm: in the one that
    /// lacks least, and for the copy that lacks most; less than nothing where it could be so much narrower. None where no panel
    /// is as long as the piece, or there is none.
    pub(in crate::cloth) fn lack_for(
        &self,
        piece: &Piece,
        cut: &AsCut,
        way: Angle,
        tolerance: Angle,
    ) -> Option<f64> {
        if self.panels.is_empty() {
            return None;
        }
        let lengthwise = turns((piece, self.cloth), false, tolerance).into_iter().map(|turn| turn.degrees);
        let half_turns = lengthwise.filter(|degrees| degrees % (2.0 * Angle::QUARTER.degrees()) == 0.0);
        let turns: Vec<f64> = half_turns.map(|degrees| degrees + way.degrees()).collect();
        let of_copy = |copy: PieceCopy| {
            let outline = around(copy.cut.path());
            let lacks = turns.iter().filter_map(|turn| self.least_tilted(&outline, *turn, tolerance));
            lacks.reduce(f64::min)
        };
        let copies = PieceCopy::of_each_hand(piece, cut).into_iter().map(of_copy);
        copies.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::max)
    }

    /// By how much a panel would have to be wider all along for an outline to lie in it at one of some turns, in degrees, mm: at the
    /// turn and in the panel that lack least.
    pub(super) fn lack_at_turns(&self, outline: &[Point], turns: impl Iterator<Item = f64>) -> Option<f64> {
        turns.filter_map(|turn| self.lack_at(outline, Angle::from_degrees(turn))).reduce(f64::min)
    }

    /// What is lacking at the best tilt within a tolerance about a turn, in degrees.
    fn least_tilted(&self, outline: &[Point], turn: f64, tolerance: Angle) -> Option<f64> {
        let lack = |degrees: f64| self.lack_at(outline, Angle::from_degrees(degrees));
        let (tolerance, mut step) = (tolerance.degrees(), tolerance.degrees() / f64::from(PANEL_TILTS));
        if tolerance <= 0.0 {
            return lack(turn);
        }
        let all = (-PANEL_TILTS..=PANEL_TILTS).map(|tilt| turn + step * f64::from(tilt));
        let tried = all.filter_map(|degrees| Some((degrees, lack(degrees)?)));
        let (mut best, mut least) = tried.min_by(|a, b| a.1.total_cmp(&b.1))?;
        for _ in 0..TILTS_HALVED {
            step /= 2.0;
            let beside = [best - step, best + step];
            let beside = beside.map(|degrees| degrees.clamp(turn - tolerance, turn + tolerance));
            for degrees in beside {
                if let Some(found) = lack(degrees).filter(|found| *found < least) {
                    (best, least) = (degrees, found);
                }
            }
        }
        Some(least)
    }

    fn lack_at(&self, outline: &[Point], turn: Angle) -> Option<f64> {
        let turn = turned(turn);
        let lies: Vec<Point> = outline.iter().map(|point| turn.apply(*point)).collect();
        let lies = Slices::of(&lies);
        self.panels.iter().filter_map(|panel| panel.lacks_for(&lies, LAID_OVER)).reduce(f64::min)
    }
}

/// How often the step between tilts is halved about the best.
const TILTS_HALVED: u32 = 8;

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::cloth::search::{Budget, Goal, Item, LaySheet, Limit, Outcome, Problem, Turn, search};

    /// A shape as the measures of its left and right border at four heights, from a line down its middle; one in which every
    /// third has a slit from its lower end.
    fn shape(
        widths: std::ops::Range<f64>,
        heights: std::ops::Range<f64>,
    ) -> impl Strategy<Value = Vec<Point>> {
        let borders = prop::array::uniform8(widths);
        (borders, heights, 0..3).prop_map(|(borders, height, kind)| {
            let at = |i: usize| height * [0.0, 0.3, 0.7, 1.0][i];
            let right = (0..4).map(|i| Point::new(borders[i], at(i)));
            let left = (0..4).rev().map(|i| Point::new(-borders[4 + i], at(i)));
            let slit = [(8.0, 1.0), (3.0, 0.6), (-6.0, 1.0)].map(|(x, share)| Point::new(x, height * share));
            let slit = slit.into_iter().filter(|_| kind == 0);
            right.chain(slit).chain(left).collect()
        })
    }

    fn laid(piece: &[Point], panel: &[Point]) -> bool {
        let item = Item {
            outline: piece.to_vec(),
            clearance: piece.to_vec(),
            turns: vec![Turn { degrees: 0.0, tolerance: 0.0 }],
            sheets: vec![0],
            holds: Vec::new(),
            phases: Vec::new(),
        };
        let sheets = vec![LaySheet { outline: panel.to_vec(), flaws: Vec::new() }];
        let problem = Problem { sheets, items: vec![item], goal: Goal::Fits, likeness: None };
        let budget = Budget { seed: 1, searchers: 1, limit: Limit::Iterations(300) };
        let found = search(&problem, &budget, &mut |_| crate::cloth::search::Continue::Search);
        matches!(found, Ok(Outcome::Fits(_)))
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

        /// What the search lays in a panel is never told to be too wide for it, and what it cannot lay never to fit: as wide as
        /// a place for it is hard to find.
        #[test]
        fn what_has_room_is_what_can_be_laid(
            piece in shape(30.0..60.0, 150.0..290.0),
            panel in shape(30.0..90.0, 280.0..300.0),
        ) {
            let [own, of_panel] = [&piece, &panel].map(|points| Slices::of(points));
            let lack = of_panel.lacks_for(&own, LAID_OVER);
            match laid(&piece, &panel) {
                true => prop_assert!(lack.is_some_and(|lack| lack <= 0.05), "laid, but lacks {lack:?}"),
                false => prop_assert!(lack.is_none_or(|lack| lack > -0.5), "not laid, but lacks {lack:?}"),
            }
        }
    }
}
